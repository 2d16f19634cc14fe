//! Who may start and stop the motor: network, terminals and keypad, on both sides.

use plant::choice::Choice;
use plant::network::{Bit, BitMeaning as M, Direction, Layout, Sense, Sequence, Trigger};

use super::pair::Pair;

/// One question of who commands, answered for both sides.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Line {
    /// The question.
    pub what: &'static str,
    /// The old drive.
    pub old: String,
    /// The new drive.
    pub new: String,
    /// What the block does about it, or what to set.
    pub then: String,
}

/// Start, stop, control and reference by the network, and the reset, side by side.
#[must_use]
pub fn arbitration(pair: &Pair<'_>) -> Vec<Line> {
    let line = |what, of: &dyn Fn(&Layout) -> String, then: String| Line { what, old: of(pair.old), new: of(pair.new), then };
    let has = |layout: &Layout, meaning| layout.bit(Direction::ToDrive, meaning).is_some();
    let by = |meaning, bit: &str, without: &str| match (has(pair.old, meaning), has(pair.new, meaning)) {
        (true, true) => "the block keeps it as the old program gives it".to_owned(),
        (false, true) => {
            format!("the block always gives {bit}: set the new drive so that a person at it can take over, if that was so before")
        }
        (true, false) => format!("the new drive cannot be told: {without}"),
        (false, false) => format!("no bit on either side: {without}"),
    };
    vec![
        line("start", &start, "the block gives what the new drive asks for, when the old one would have started".to_owned()),
        line("stop", &stop, stop_then(pair)),
        line(
            "control by the network",
            &|l| said(l, M::NetworkControl, "no bit: a setting or a terminal chooses"),
            by(M::NetworkControl, "control to the network", "choose the source of commands in the new drive's settings"),
        ),
        line(
            "setpoint by the network",
            &|l| said(l, M::NetworkReference, "no bit: a setting or a terminal chooses"),
            by(M::NetworkReference, "the setpoint to the network", "choose the source of the setpoint in the new drive's settings"),
        ),
        line(
            "reset",
            &|l| said(l, M::FaultReset, "no bit: at the drive alone"),
            match (has(pair.old, M::FaultReset), has(pair.new, M::FaultReset)) {
                (true, true) => "the block passes it on, once for each time the old drive would have taken it",
                (true, false) => "the new drive cannot be told: faults have to be cleared at the drive",
                (false, _) => "the block never gives it",
            }
            .to_owned(),
        ),
    ]
}

fn bit_text(layout: &Layout, meaning: M) -> Option<String> {
    let (at, bit) = layout.bit(Direction::ToDrive, meaning)?;
    let Bit { at: place, sense, trigger, .. } = *bit;
    let word = &layout.words.get(at)?.name;
    let sense = if sense == Sense::High { "" } else { " while 0" };
    let edge = if trigger == Trigger::Edge { ", by its coming" } else { "" };
    Some(format!("{} ({word} bit {place}{sense}{edge})", meaning.word()))
}

fn said(layout: &Layout, meaning: M, without: &str) -> String {
    bit_text(layout, meaning).unwrap_or_else(|| without.to_owned())
}

fn all(layout: &Layout, meanings: &[M]) -> String {
    meanings.iter().filter_map(|m| bit_text(layout, *m)).collect::<Vec<_>>().join(", ")
}

fn start(layout: &Layout) -> String {
    let bits = all(layout, &[M::Run, M::RunReverse, M::Start, M::SwitchOn, M::EnableOperation]);
    let how = match layout.sequence {
        Sequence::Level => "as long as it stands, also after power-up and a reset",
        Sequence::Edge => "as long as it stands; it has to come anew after power-up, a stop or a fault",
        Sequence::Pulses => "by a pulse, until a stop",
        Sequence::States => "through its states, one command after the other",
        Sequence::OnOff => "through its states; ON has to come anew",
    };
    format!("{bits}: {how}")
}

fn stop(layout: &Layout) -> String {
    let bits = all(layout, &[M::Stop, M::Coast, M::QuickStop, M::Halt]);
    let bits = if bits.is_empty() { "by the end of its start alone".to_owned() } else { bits };
    let reach = match layout.stop_always_acts {
        Some(true) => "acts under local control too",
        Some(false) => "acts under network control only",
        None => "whether it acts under local control is not known",
    };
    format!("{bits}; {reach}")
}

fn stop_then(pair: &Pair<'_>) -> String {
    match (pair.old.stop_always_acts, pair.new.stop_always_acts) {
        (Some(old), Some(new)) if old == new => "the same on both sides".to_owned(),
        (Some(false), Some(true)) => "a stop bit that the program leaves on bars a start by hand now".to_owned(),
        (Some(true), Some(false)) => "the program's stop no longer reaches a drive that a person has taken over".to_owned(),
        _ => "read it in the documents of both, and try it".to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use plant::network::ReferenceUnit;
    use plant::quantity::Frequency;

    use super::super::profiles;
    use super::super::scale::Settings;
    use super::*;

    #[test]
    fn each_question_is_answered_for_both_sides() {
        let sixty = Frequency::hz(60.0);
        let settings = Settings { full_scale: sixty, highest: sixty, unit: ReferenceUnit::Hertz, poles: 4.0 };
        let (mut old, new) = (profiles::modbus(), profiles::profidrive1());
        old.stop_always_acts = Some(true);
        let lines = |old: &Layout, new: &Layout| {
            arbitration(&Pair { old, new, old_settings: settings, new_settings: settings, old_faults: &[], new_faults: &[] })
        };
        let found = lines(&old, &new);
        assert_eq!(found.len(), 5);
        assert!(found.iter().all(|l| !l.old.is_empty() && !l.new.is_empty() && !l.then.is_empty()), "{found:#?}");
        let control = found.iter().find(|l| l.what == "control by the network").unwrap();
        assert!(control.new.contains("bit 10"), "PROFIdrive STW1 bit 10 is control by PLC (from memory): {control:?}");
        let mut silent = profiles::modbus();
        silent.stop_always_acts = Some(false);
        assert!(lines(&old, &silent)[1].then.contains("no longer reaches"));
        assert!(lines(&silent, &old)[1].then.contains("bars a start by hand"));
        assert_eq!(lines(&old, &old)[1].then, "the same on both sides");
    }
}
