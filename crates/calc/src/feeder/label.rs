//! Whether an arc-flash label still belongs to what is behind it. Never an energy: that is a study's, by a competent engineer.

use plant::quantity::{Current, Time, dim};

use crate::checks::{above_zero, flag};
use crate::registry::{Arguments, Calculation, Refusal, output, quantity, word};
use crate::sources::{Knowledge, Source};
use crate::working::{Recorder, Step, Working};

/// When a label must be looked at again.
pub const LABELS: Source = Source::new(
    "NFPA 70E 130.5: the assessment is reviewed when a change could affect it; fault current, clearing device and its setting are such",
    Knowledge::FromMemory,
);

/// Two figures are the same when they differ in their last binary digits only.
const SAME: f64 = 1e-9;

/// What the study of a label went by.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Study {
    /// Fault current at the label.
    pub fault: Current,
    /// Time in which the device ahead clears it.
    pub clearing: Time,
}

/// What changed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct LabelChange {
    /// The fault current.
    pub fault: bool,
    /// The device, its size, its class or its setting.
    pub device: bool,
    /// The time in which it clears.
    pub clearing: bool,
}

impl LabelChange {
    /// The study must be looked at again before energised work.
    #[must_use]
    pub fn changed(self) -> bool {
        self.fault || self.device || self.clearing
    }
}

/// Whether the study behind an arc-flash label must be looked at again: any change counts, a lower fault current too, for a slower
/// device may let more energy through.
///
/// # Errors
/// When a current or time is not above zero.
///
/// Source: NFPA 70E. Worked example: 31.4 kA before, 24 kA behind a new reactor: look at it again.
/// ```
/// use calc::{feeder::label::{Study, label_changed}, working::Silent};
/// use plant::quantity::{Current, Time};
/// let study = |ka| Study { fault: Current::ka(ka), clearing: Time::ms(50.0) };
/// assert!(label_changed(&study(31.4), &study(24.0), false, &mut Silent).unwrap().changed());
/// assert!(!label_changed(&study(31.4), &study(31.4), false, &mut Silent).unwrap().changed());
/// ```
pub fn label_changed<R: Recorder>(before: &Study, after: &Study, device: bool, rec: &mut R) -> Result<LabelChange, Refusal> {
    for study in [before, after] {
        above_zero("a fault current", study.fault)?;
        above_zero("a clearing time", study.clearing)?;
    }
    let differs = |a: f64, b: f64| (a - b).abs() > SAME * a.max(b);
    let found = LabelChange {
        fault: differs(before.fault.in_a(), after.fault.in_a()),
        device,
        clearing: differs(before.clearing.in_s(), after.clearing.in_s()),
    };
    rec.step(|| {
        Step::new("label", "fault current, device, clearing time", "", &LABELS)
            .with("before", before.fault)
            .with("after", after.fault)
            .gives(if found.changed() { "changed: the study must be looked at again" } else { "unchanged, as far as these three go" })
            .note("a label is never worked out here; treat it as void until the study is renewed")
    });
    Ok(found)
}

/// `calc label-changed`.
pub const LABEL_CHANGED: Calculation = Calculation {
    name: "label-changed",
    summary: "Whether the study behind an arc-flash label must be looked at again; never an energy.",
    inputs: &[
        quantity::<dim::CurrentDim>("fault-before", "fault current that the study went by"),
        quantity::<dim::CurrentDim>("fault-after", "fault current now"),
        quantity::<dim::TimeDim>("clearing-before", "clearing time that the study went by"),
        quantity::<dim::TimeDim>("clearing-after", "clearing time now"),
        word("device", &["same", "other"], "whether device, size, class and setting are the same"),
    ],
    results: &[
        output::<dim::CountDim>("changed", "", "1 when it must be looked at again"),
        output::<dim::CountDim>("fault", "", "1 when the fault current changed"),
        output::<dim::CountDim>("device", "", "1 when the device changed"),
        output::<dim::CountDim>("clearing", "", "1 when the clearing time changed"),
    ],
    sources: &[&LABELS],
    run: |a: &Arguments, w: &mut Working| {
        let before = Study { fault: a.get("fault-before"), clearing: a.get("clearing-before") };
        let after = Study { fault: a.get("fault-after"), clearing: a.get("clearing-after") };
        let found = label_changed(&before, &after, a.word("device") == "other", w)?;
        Ok([found.changed(), found.fault, found.device, found.clearing].map(flag).to_vec())
    },
};

#[cfg(test)]
mod tests {
    use super::*;
    use crate::working::Silent;

    const STUDY: Study = Study { fault: Current::ka(20.0), clearing: Time::ms(30.0) };

    #[test]
    fn each_change_counts_alone_and_either_way() {
        let at = |after: Study, device| label_changed(&STUDY, &after, device, &mut Silent).unwrap();
        assert!(!at(STUDY, false).changed());
        assert_eq!(at(STUDY, true), LabelChange { fault: false, device: true, clearing: false });
        for fault in [Current::ka(19.9), Current::ka(20.1)] {
            assert_eq!(at(Study { fault, ..STUDY }, false), LabelChange { fault: true, device: false, clearing: false });
        }
        assert!(at(Study { clearing: Time::ms(10.0), ..STUDY }, false).clearing);
        assert!(label_changed(&STUDY, &Study { fault: Current::ZERO, ..STUDY }, false, &mut Silent).is_err());
    }
}
