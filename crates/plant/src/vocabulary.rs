//! The neutral vocabulary of an AC drive: each thing that a setting, terminal or network word can mean, once, whatever
//! makers call it. Packs name these ids; old and new meet in them. Terms are those of the trade and of open standards
//! (object and clause numbers from memory); a group has its own file.
//!
//! To add a concept: one entry in the file of its group. An id once published is never given to another meaning.

use crate::quantity::DimensionInfo;

mod braking;
mod digital;
mod feedback;
mod motor;
mod network;
mod process;
mod protection;
mod ratings;
mod records;
mod reference;
mod safety;
mod speed;
mod starting;
mod torque;

/// One thing that a setting, a terminal or a word can mean.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Concept {
    /// Stable name, as packs write it: "acceleration-ramp".
    pub id: &'static str,
    /// Where it belongs.
    pub group: Group,
    /// What the trade calls it.
    pub term: &'static str,
    /// Its names in open standards, apart by ";"; empty where only the trade has a name.
    pub standard: &'static str,
    /// The physical dimension that its values are compared in, where it has one.
    pub unit: Option<&'static DimensionInfo>,
    /// How the trade writes its unit where no single dimension fits: "counts", "% for s"; empty otherwise.
    pub unit_text: &'static str,
    /// What it is, the physical meaning first.
    pub definition: &'static str,
    /// What differs among units under the same word.
    pub trap: &'static str,
}

/// The groups, in the order of the job.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Group {
    /// What the unit can give and what it needs: the numbers of its label and of its data sheet.
    Ratings,
    /// The motor as the unit knows it, and how it makes voltage for it.
    Motor,
    /// Limits of speed, ramps and the fixed speeds.
    Speed,
    /// Limits and references of torque and current, and the regulator of speed.
    Torque,
    /// Stopping, braking and holding.
    Braking,
    /// Who may start, what happens at power-up, after a fault and through a dip.
    Starting,
    /// Where the reference comes from and what an analogue signal means.
    Reference,
    /// Contacts, inputs and outputs.
    Digital,
    /// Words and bits on a network.
    Network,
    /// What trips, when, and what follows.
    Protection,
    /// Encoder and gearing.
    Feedback,
    /// The regulator for a process quantity inside the unit.
    Process,
    /// Functions on which people’s safety rests; each needs the assessment of a competent person.
    Safety,
    /// Settings as data: storing, copying, locking.
    Records,
}

/// The concepts of each group, in the order of [`Group`].
const GROUPS: [&[Concept]; 14] = [
    ratings::CONCEPTS,
    motor::CONCEPTS,
    speed::CONCEPTS,
    torque::CONCEPTS,
    braking::CONCEPTS,
    starting::CONCEPTS,
    reference::CONCEPTS,
    digital::CONCEPTS,
    network::CONCEPTS,
    protection::CONCEPTS,
    feedback::CONCEPTS,
    process::CONCEPTS,
    safety::CONCEPTS,
    records::CONCEPTS,
];

impl Group {
    /// Every group, in order.
    pub const ALL: [Self; 14] = [
        Self::Ratings,
        Self::Motor,
        Self::Speed,
        Self::Torque,
        Self::Braking,
        Self::Starting,
        Self::Reference,
        Self::Digital,
        Self::Network,
        Self::Protection,
        Self::Feedback,
        Self::Process,
        Self::Safety,
        Self::Records,
    ];

    /// As a heading.
    #[must_use]
    pub const fn title(self) -> &'static str {
        match self {
            Self::Ratings => "Ratings",
            Self::Motor => "Motor data and control",
            Self::Speed => "Speed limits and ramps",
            Self::Torque => "Torque and current limits",
            Self::Braking => "Stopping and braking",
            Self::Starting => "Start, restart, ride-through",
            Self::Reference => "References and analogue signals",
            Self::Digital => "Digital inputs and outputs",
            Self::Network => "Network words",
            Self::Protection => "Protection",
            Self::Feedback => "Feedback",
            Self::Process => "Process control",
            Self::Safety => "Safety functions",
            Self::Records => "Records",
        }
    }

    /// The concepts of this group.
    #[must_use]
    pub const fn concepts(self) -> &'static [Concept] {
        GROUPS[self as usize]
    }
}

/// Every concept, group by group.
pub fn concepts() -> impl Iterator<Item = &'static Concept> + Clone {
    GROUPS.into_iter().flatten()
}

/// The concept of that id, spelled exactly.
///
/// ```
/// use plant::vocabulary::{Group, find};
/// let ramp = find("acceleration-ramp").unwrap();
/// assert_eq!((ramp.group, ramp.unit.unwrap().units[0].symbol), (Group::Speed, "Hz/s"));
/// assert_eq!(find("Acceleration"), None);
/// ```
#[must_use]
pub fn find(id: &str) -> Option<&'static Concept> {
    concepts().find(|concept| concept.id == id)
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use super::*;

    /// What a job needs at least; fewer would mean that entries got lost.
    const FEWEST: usize = 120;
    /// A definition or trap shorter than this says nothing that the term does not say.
    const SHORTEST: usize = 40;
    /// Families of open standards; a maker's name has no place among them.
    const FAMILIES: &[&str] =
        &["IEC ", "ISO ", "NEC ", "NEMA ", "CiA ", "CIP ", "PROFIdrive ", "Modbus", "NAMUR ", "DIN ", "TIA-", "TN", "SCCR"];

    #[test]
    fn ids_are_stable_names_of_their_own() {
        let ids: BTreeSet<&str> = concepts().map(|c| c.id).collect();
        assert_eq!(ids.len(), concepts().count(), "an id stands twice");
        assert!(ids.len() >= FEWEST, "{} concepts", ids.len());
        for id in ids {
            let parts = id.split('-').all(|part| !part.is_empty() && part.bytes().all(|b| b.is_ascii_lowercase() || b.is_ascii_digit()));
            assert!(parts && id.starts_with(|c: char| c.is_ascii_lowercase()), "“{id}” is no kebab-case name");
        }
    }

    #[test]
    fn every_concept_is_explained() {
        for concept in concepts() {
            assert!(!concept.term.is_empty(), "{}", concept.id);
            for text in [concept.definition, concept.trap] {
                assert!(text.len() >= SHORTEST && text.ends_with('.') && !text.contains("  "), "{}: “{text}”", concept.id);
            }
            assert!(concept.unit.is_none() || concept.unit_text.is_empty(), "{}: a dimension or a text, not both", concept.id);
        }
    }

    #[test]
    fn terms_come_from_open_standards_only() {
        for concept in concepts().filter(|c| !c.standard.is_empty()) {
            for name in concept.standard.split("; ") {
                assert!(FAMILIES.iter().any(|family| name.starts_with(family)), "{}: “{name}” is of no known standard", concept.id);
            }
        }
    }

    #[test]
    fn groups_stand_in_order_and_hold_their_own() {
        assert!(Group::ALL.windows(2).all(|pair| pair[0] < pair[1]));
        for group in Group::ALL {
            assert!(!group.concepts().is_empty() && group.concepts().iter().all(|c| c.group == group), "{group:?}");
        }
        assert_eq!(concepts().count(), Group::ALL.iter().map(|g| g.concepts().len()).sum::<usize>());
    }
}
