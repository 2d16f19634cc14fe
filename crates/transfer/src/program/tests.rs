//! Meaning of the language, told by what programs do.

mod faults;
mod meaning;
mod naming;
mod timers;

use dossier::program::build::*;
use dossier::program::{Expression, Literal, Project, Type, Unit};

use super::{Machine, Stopped};

/// The value of an expression over inputs, after one cycle.
fn value(result: Type, expression: Expression, inputs: &[(&str, Literal)]) -> Result<Literal, Stopped> {
    let mut unit = Unit::block("TRY").output("RESULT", result, "").body([assign("RESULT", expression)]);
    for (name, value) in inputs {
        unit = unit.input_from(name, *value, "");
    }
    let mut machine = Machine::new(&Project::new("try").unit(unit), "TRY").expect("the expression is right");
    machine.cycle(10)?;
    Ok(machine.get(machine.slot("RESULT").expect("it is declared")))
}
