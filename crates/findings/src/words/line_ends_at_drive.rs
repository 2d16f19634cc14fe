//! The line goes on behind the old drive, or around a ring, and the new drive does not pass it on.

use calc::sources::PACK;
use calc::working::Recorder;
use plant::choice::Choice;
use plant::network::{NetworkPath, Protocol};
use plant::survey::NETWORK_PATH;

use crate::candidate::Candidate;
use crate::check::{Outcome, check, holds_if, no_remedy};
use crate::facts::{Reader, Stop};

check! {
    name: "words/line-ends-at-drive",
    severity: Downtime,
    rows: &[88],
    unit: "",
    ways: &[],
    measures: &[],
    page: "line_ends_at_drive.md",
    run: run,
    remedies: no_remedy,
}

fn run<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    let Some((_, new)) = facts.both_words(unit)? else { return Ok(Outcome::NotHere) };
    // A bus of terminals goes on at the terminals; these protocols may travel by plugs, from port to port.
    if !matches!(new.protocol, Protocol::ModbusTcp | Protocol::Profidrive | Protocol::Cip) {
        return Ok(Outcome::NotHere);
    }
    let Some(ports) = new.ports else {
        return Err(Stop::PackSilent("through how many ports a network can go on (layouts.csv, ports)"));
    };
    let path = facts.get(NETWORK_PATH)?;
    let passes = match path {
        NetworkPath::Branch => ports >= 1,
        NetworkPath::Through => ports >= 2,
        NetworkPath::Ring => {
            let Some(ring) = new.ring else { return Err(Stop::PackSilent("whether it can be a station of a ring (layouts.csv, ring)")) };
            ports >= 2 && ring
        }
    };
    Ok(holds_if(rec, passes, || format!("the network goes by as “{}”; the new drive has {ports} ports", path.word()), &PACK))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::check::Outcome;
    use crate::words::cases::{is, is_silent, margin, plain, with};

    fn ports(ports: u32, ring: bool) -> plant::network::Layout {
        with(|l| (l.protocol, l.ports, l.ring) = (Protocol::ModbusTcp, Some(ports), Some(ring)))
    }

    #[test]
    fn what_went_through_must_go_through() {
        for (path, count, ring, holds) in [
            ("branch", 1, false, true),
            ("through", 1, false, false),
            ("through", 2, false, true),
            ("ring", 2, false, false),
            ("ring", 2, true, true),
        ] {
            is(&CHECK, &[("network.path", path)], plain(), ports(count, ring), holds);
        }
        is_silent(&CHECK, &[("network.path", "ring")], plain(), with(|l| (l.protocol, l.ports) = (Protocol::Cip, Some(2))), "ring");
        is_silent(&CHECK, &[], plain(), with(|l| l.protocol = Protocol::Cip), "ports");
    }

    #[test]
    fn a_serial_line_goes_on_at_its_terminals() {
        assert_eq!(margin(&CHECK, &[], plain(), plain(), false), Ok(Outcome::NotHere));
    }
}
