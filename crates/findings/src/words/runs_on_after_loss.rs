//! The new drive cannot be set to do what the machine needs when its controller falls silent, or not in time.

use calc::sources::PACK;
use calc::working::Recorder;
use plant::choice::Choice;
use plant::survey::{NETWORK_LOSS_ACTION, NETWORK_TIMEOUT};

use crate::candidate::Candidate;
use crate::check::{Outcome, check, holds_if, no_remedy};
use crate::facts::{Reader, Stop};

check! {
    name: "words/runs-on-after-loss",
    severity: Injury,
    rows: &[80],
    unit: "",
    ways: &[],
    measures: &[],
    page: "runs_on_after_loss.md",
    run: run,
    remedies: no_remedy,
}

fn run<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    let Some((_, new)) = facts.both_words(unit)? else { return Ok(Outcome::NotHere) };
    let action = facts.get(NETWORK_LOSS_ACTION)?;
    let timeout = facts.get(NETWORK_TIMEOUT)?;
    if new.loss_actions.is_empty() {
        return Err(Stop::PackSilent("what the unit can do on loss of communication (layouts.csv, loss_actions)"));
    }
    let Some(longest) = new.longest_timeout else {
        return Err(Stop::PackSilent("how long the unit can wait for its controller (layouts.csv, longest_timeout)"));
    };
    let offered = new.loss_actions.contains(&action);
    Ok(holds_if(
        rec,
        offered && timeout <= longest,
        || {
            format!(
                "needed: {} after {timeout}; {} offered, waits at most {longest}",
                action.word(),
                if offered { "it is" } else { "it is not" }
            )
        },
        &PACK,
    ))
}

#[cfg(test)]
mod tests {
    use plant::quantity::Time;

    use super::*;
    use crate::words::cases::{is, is_silent, notes_open, plain, with};

    fn waits() -> plant::network::Layout {
        with(|l| l.longest_timeout = Some(Time::s(10.0)))
    }

    #[test]
    fn action_and_time_must_be_offered() {
        is(&CHECK, &[("network.loss_action", "ramp-stop"), ("network.timeout", "5 s")], plain(), waits(), true);
        is(&CHECK, &[("network.loss_action", "coast"), ("network.timeout", "5 s")], plain(), waits(), false);
        is(&CHECK, &[("network.loss_action", "ramp-stop"), ("network.timeout", "11 s")], plain(), waits(), false);
        is_silent(&CHECK, &[("network.loss_action", "trip"), ("network.timeout", "1 s")], plain(), plain(), "longest_timeout");
    }

    #[test]
    fn nothing_is_assumed_of_the_action() {
        notes_open(&CHECK, plain(), waits(), "network.loss_action");
    }
}
