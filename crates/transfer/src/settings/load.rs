//! The order in which the new values are entered: what others hang on first, at standstill before running.

use plant::settings::{Access, Raw, Setting};

use super::translate::Line;

/// One entry.
#[derive(Clone, Debug, PartialEq)]
pub struct Step {
    /// Place among the new unit's settings.
    pub at: usize,
    /// Its id.
    pub id: String,
    /// Its name.
    pub name: String,
    /// The value, as shown.
    pub text: String,
    /// The value.
    pub raw: Raw,
    /// Whether the motor must stand.
    pub access: Access,
    /// Why it stands at this place.
    pub why: &'static str,
}

/// Concepts that change what other settings mean, or reset them, in the order in which they are entered.
const FIRST: &[&[&str]] = &[
    &["region-defaults", "display-units", "parameter-sets"],
    &["duty-class", "motor-control-method"],
    &[
        "motor-power",
        "motor-voltage",
        "motor-frequency",
        "motor-speed",
        "motor-current",
        "motor-power-factor",
        "no-load-current",
        "pole-count",
        "stator-resistance",
    ],
    &["maximum-output-frequency", "maximum-speed", "reference-frequency", "minimum-speed"],
];

/// What is entered last: it ends the work, or lets the motor be started.
const LAST: &[&[&str]] = &[
    &["start-source", "reference-source", "start-wiring", "control-from-network"],
    &["start-on-power-up", "fault-auto-restart"],
    &["motor-identification"],
    &["access-lock"],
];

/// The entries that differ from the new unit's defaults, in order.
pub(crate) fn sequence(lines: &[Line], new: &[Setting]) -> Vec<Step> {
    let mut steps: Vec<(usize, usize, Step)> = lines
        .iter()
        .filter_map(|line| {
            let (shown, raw) = (line.new.as_ref()?, line.raw.clone()?);
            let at = shown.at?;
            let setting = new.get(at)?;
            if setting.default.as_ref() == Some(&raw) || setting.access == Access::ReadOnly {
                return None;
            }
            let concept = line.concept.map_or("", |(id, _)| id);
            let (rank, why) = rank(concept);
            let step =
                Step { at, id: setting.id.clone(), name: setting.text.clone(), text: shown.text.clone(), raw, access: setting.access, why };
            Some((rank, at, step))
        })
        .collect();
    steps.sort_by_key(|(rank, at, step)| (*rank, step.access == Access::Running, *at));
    steps.dedup_by(|a, b| a.1 == b.1);
    steps.into_iter().map(|(.., step)| step).collect()
}

fn rank(concept: &str) -> (usize, &'static str) {
    const WHY: [&str; 4] = [
        "it changes what other settings mean",
        "it resets others in many units",
        "the motor’s data come before what is counted in them",
        "ramps and ends are counted in it",
    ];
    if let Some(at) = FIRST.iter().position(|list| list.contains(&concept)) {
        return (at, WHY[at.min(WHY.len() - 1)]);
    }
    match LAST.iter().position(|list| list.contains(&concept)) {
        Some(at) => (FIRST.len() + 1 + at, "last, so that nothing starts before the rest stands"),
        None => (FIRST.len(), ""),
    }
}
