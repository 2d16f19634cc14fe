//! Two stations of one line have the same address.

use calc::sources::{Knowledge, Source};
use calc::working::Recorder;
use plant::choice::YesNo;
use plant::survey::NETWORK_ALONE;

use crate::candidate::Candidate;
use crate::check::{Outcome, check, holds_if, no_remedy};
use crate::facts::{Reader, Stop};

/// Addresses of the site's positions, and the list of stations.
const LIST: Source = Source::new("list of the stations of the line", Knowledge::Survey);

check! {
    name: "words/address-used-twice",
    severity: Downtime,
    rows: &[88],
    unit: "",
    ways: &[],
    measures: &[],
    page: "address_used_twice.md",
    run: run,
    remedies: no_remedy,
}

fn run<R: Recorder>(facts: &mut Reader<'_>, _: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    let Some(used) = &facts.position().network else { return Ok(Outcome::NotHere) };
    let line = used.line.as_deref().unwrap_or("the line");
    let node = used.node.map_or_else(|| "its address".to_owned(), |n| format!("address {n}"));
    if !used.same_address.is_empty() {
        return Ok(holds_if(rec, false, || format!("{node} on “{line}” is also that of {}", used.same_address.join(", ")), &LIST));
    }
    let alone = facts.get(NETWORK_ALONE)? == YesNo::Yes;
    Ok(holds_if(rec, alone, || format!("{node} on “{line}” against the list of all stations"), &LIST))
}

#[cfg(test)]
mod tests {
    use plant::choice::Duty;
    use plant::network::NetworkUse;

    use super::*;
    use crate::check::Outcome::Margin;
    use crate::facts::Survey;
    use crate::fixture::{position, said, unit};
    use crate::words::cases::{is, plain};

    #[test]
    fn the_list_decides_and_a_twin_of_the_site_comes_first() {
        is(&CHECK, &[("network.address_alone", "yes")], plain(), plain(), true);
        is(&CHECK, &[("network.address_alone", "no")], plain(), plain(), false);
        let mut twin = position(&[("network.address_alone", "yes")]);
        twin.network = Some(NetworkUse { node: Some(12), same_address: vec!["BE-101".into()], ..NetworkUse::default() });
        assert_eq!(said(&CHECK, &Survey::new(&twin), &unit("R1", Duty::Heavy)).outcome, Ok(Margin(-1.0)));
    }
}
