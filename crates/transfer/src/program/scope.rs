//! Declarations: names to slots.

use dossier::program::{Block, Holds, Literal, Section, Unit, UnitKind};

use super::code::{Code, Place, What};
use super::{Problem, blocks, number};

/// Slots that a unit may take with all instances in it. A mapping takes dozens; the rest is room for mistakes to be told.
const MOST_SLOTS: usize = 1_000_000;

/// The variables of a unit, after those that stand before it.
pub(super) fn declare(unit: &Unit, before: &[Code], problems: &mut Vec<Problem>) -> (Vec<Place>, Vec<i64>) {
    let mut places: Vec<Place> = Vec::new();
    let mut initial: Vec<i64> = Vec::new();
    for variable in &unit.variables {
        let mut wrong = |what: String| problems.push(Problem { place: unit.name.clone(), what });
        let name = variable.name.to_uppercase();
        if places.iter().any(|p| p.name == name) {
            wrong(format!("the name {} is declared twice (capitals and small letters count as the same)", variable.name));
            continue;
        }
        let at = initial.len();
        let what = match &variable.holds {
            Holds::Value(kind) => {
                match (variable.initial, variable.section) {
                    (Some(value), _) if value.kind() != *kind => {
                        wrong(format!("{} is a {kind} but begins with a {}", variable.name, value.kind()));
                    }
                    (Some(Literal::Real(value)), _) if !value.is_finite() => {
                        wrong(format!("{} begins with {value}: finite expected", variable.name))
                    }
                    (None, Section::Constant) => wrong(format!("the constant {} has no value", variable.name)),
                    _ => {}
                }
                initial.push(variable.initial.map_or(0, number::written));
                What::Value(*kind)
            }
            Holds::Instance(block) => {
                if variable.initial.is_some() {
                    wrong(format!("{} is an instance of {} and cannot begin with a value", variable.name, block.name()));
                }
                if variable.section != Section::Local {
                    wrong(format!("{} is an instance of {}: it belongs under VAR", variable.name, block.name()));
                }
                match block {
                    Block::Own(own) => {
                        let own = own.to_uppercase();
                        let Some(index) = before.iter().position(|c| c.name == own && !c.program) else {
                            wrong(format!(
                                "{} is an instance of {own}: no function block of that name stands before this unit",
                                variable.name
                            ));
                            continue;
                        };
                        let slots = before.get(index).map(|c| c.initial.as_slice()).unwrap_or_default();
                        if initial.len() + slots.len() > MOST_SLOTS {
                            wrong(format!("with {} it takes more than {MOST_SLOTS} values", variable.name));
                            continue;
                        }
                        initial.extend_from_slice(slots);
                        What::Own(index)
                    }
                    standard => {
                        initial.extend(blocks::variables(standard).iter().map(|_| 0));
                        What::Standard(standard.clone())
                    }
                }
            }
        };
        places.push(Place { name, section: variable.section, what, at });
    }
    if unit.kind == UnitKind::Program && unit.variables.is_empty() && unit.body.is_empty() {
        problems.push(Problem { place: unit.name.clone(), what: "the program is empty".to_owned() });
    }
    (places, initial)
}

impl What {
    /// A named input or output of an instance: its section, type and slot inside the instance.
    pub(super) fn pin(&self, name: &str, before: &[Code]) -> Option<(Section, dossier::program::Type, usize)> {
        let name = name.to_uppercase();
        match self {
            Self::Value(_) => None,
            Self::Standard(block) => blocks::variables(block)
                .iter()
                .enumerate()
                .find(|(_, (n, ..))| !n.is_empty() && *n == name)
                .map(|(at, (_, section, kind))| (*section, *kind, at)),
            Self::Own(index) => before.get(*index)?.places.iter().find(|p| p.name == name).and_then(|p| match p.what {
                Self::Value(kind) => Some((p.section, kind, p.at)),
                _ => None,
            }),
        }
    }
}
