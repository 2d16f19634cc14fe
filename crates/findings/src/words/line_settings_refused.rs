//! The new drive's serial line cannot be set to the speed or the frame of a character that the line has.

use calc::sources::PACK;
use calc::working::Recorder;
use plant::choice::Choice;
use plant::network::{Layout, Protocol};
use plant::survey::{NETWORK_BAUD, NETWORK_FRAME};

use crate::candidate::Candidate;
use crate::check::{Outcome, check, holds_if, no_remedy};
use crate::facts::{Reader, Stop};

check! {
    name: "words/line-settings-refused",
    severity: Downtime,
    rows: &[79],
    unit: "",
    ways: &[],
    measures: &[],
    page: "line_settings_refused.md",
    run: run,
    remedies: no_remedy,
}

/// Whether the layout travels on a serial line whose stations have to agree.
pub(crate) const fn is_serial(layout: &Layout) -> bool {
    matches!(layout.protocol, Protocol::ModbusRtu | Protocol::Serial)
}

fn run<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    let Some((old, new)) = facts.both_words(unit)? else { return Ok(Outcome::NotHere) };
    if !(is_serial(old) && is_serial(new)) {
        return Ok(Outcome::NotHere);
    }
    if new.bauds.is_empty() {
        return Err(Stop::PackSilent("which speeds its serial line can be set to (layouts.csv, bauds)"));
    }
    if new.frames.is_empty() {
        return Err(Stop::PackSilent("which frames of a character its serial line can be set to (layouts.csv, frames)"));
    }
    let (speed, frame) = (facts.get(NETWORK_BAUD)?, facts.get(NETWORK_FRAME)?);
    let taken = new.bauds.contains(&speed) && new.frames.contains(&frame);
    Ok(holds_if(rec, taken, || format!("the line runs at {} bits a second, {}", speed.word(), frame.word()), &PACK))
}

#[cfg(test)]
mod tests {
    use plant::network::{LineFrame, LineSpeed};

    use super::*;
    use crate::fixture::Entries;
    use crate::words::cases::{is, is_silent, plain, with};

    const LINE: Entries<'_> = &[("network.baud", "19200"), ("network.frame", "8e1")];

    fn takes(bauds: &[LineSpeed], frames: &[LineFrame]) -> Layout {
        with(|l| (l.bauds, l.frames) = (bauds.to_vec(), frames.to_vec()))
    }

    #[test]
    fn speed_and_frame_must_both_be_taken() {
        let (slow, fast) = (LineSpeed::B9600, LineSpeed::B19200);
        is(&CHECK, LINE, plain(), takes(&[slow, fast], &[LineFrame::Even1]), true);
        is(&CHECK, LINE, plain(), takes(&[slow], &[LineFrame::Even1]), false);
        is(&CHECK, LINE, plain(), takes(&[fast], &[LineFrame::None2, LineFrame::Odd1]), false);
    }

    #[test]
    fn a_pack_without_them_is_asked() {
        is_silent(&CHECK, LINE, plain(), plain(), "bauds");
        is_silent(&CHECK, LINE, plain(), takes(&[LineSpeed::B9600], &[]), "frames");
    }
}
