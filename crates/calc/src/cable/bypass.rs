//! A drive with a bypass: whether both contactors can be closed at once, and which wires to change when a direction is wrong.

use crate::registry::{Arguments, Calculation, output, word};
use crate::sources::{DEFINITION, PRACTICE};
use crate::working::{Recorder, Step, Working};
use plant::quantity::dim;

/// Where two wires are to change places.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Swap {
    /// Nowhere: both turn right.
    Nowhere,
    /// At the unit's output, before the bypass joins: the bypass is not touched. Or the phase order in the unit's settings.
    UnitOutput,
    /// In the bypass alone, between its contactor and the line: the unit is not touched (a diode front end knows no phase order).
    Bypass,
    /// At the motor, behind both: turns both.
    Motor,
}

impl Swap {
    /// As people are told.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Nowhere => "nothing to change",
            Self::UnitOutput => "two wires at the unit's output, before the bypass joins; not at the motor",
            Self::Bypass => "two wires of the bypass alone; not at the motor",
            Self::Motor => "two wires at the motor: turns both",
        }
    }
}

/// Which wires to change, from the direction on the unit and on the bypass.
///
/// The order of the line and that of the unit's output have nothing to do with one another; each is looked at alone, with the
/// machine uncoupled or free to turn backwards. The table is the whole answer: two directions, two ways to feed the motor.
///
/// Source: definition. Worked example: right on the unit, wrong in bypass: change two wires in the bypass alone.
/// ```
/// use calc::{cable::bypass::{swap, Swap}, working::Silent};
/// assert_eq!(swap(true, false, &mut Silent), Swap::Bypass);
/// ```
pub fn swap<R: Recorder>(unit_right: bool, bypass_right: bool, rec: &mut R) -> Swap {
    let where_to = match (unit_right, bypass_right) {
        (true, true) => Swap::Nowhere,
        (false, true) => Swap::UnitOutput,
        (true, false) => Swap::Bypass,
        (false, false) => Swap::Motor,
    };
    rec.step(|| {
        Step::new("swap", "wires to change", "", &DEFINITION)
            .gives(where_to.words())
            .note("look at each direction again afterwards, uncoupled or free to turn")
    });
    where_to
}

/// What keeps two contactors apart.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Interlock {
    /// A mechanical link: neither can close while the other is closed.
    pub mechanical: bool,
    /// Each coil runs over an auxiliary contact of the other that mirrors its main contacts.
    pub mirror_contacts: bool,
    /// The change-over waits for the contactors and the motor's field.
    pub changeover_time: bool,
}

/// Whether line and unit can meet at the motor.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum BothClosed {
    /// Not by one fault.
    Kept,
    /// By one welded contact or one wrong command.
    ByOneFault,
    /// Without any fault, by command alone.
    ByCommand,
}

/// Whether the state with both contactors closed can be reached; the line then stands at the unit's output, which destroys it.
///
/// Source: common practice, no source. Worked example: mirror contacts without a mechanical link: one welded contact is enough
/// where the change-over does not wait.
/// ```
/// use calc::{cable::bypass::{both_closed, BothClosed, Interlock}, working::Silent};
/// let wired = Interlock { mechanical: false, mirror_contacts: true, changeover_time: true };
/// assert_eq!(both_closed(wired, &mut Silent), BothClosed::ByOneFault);
/// ```
pub fn both_closed<R: Recorder>(interlock: Interlock, rec: &mut R) -> BothClosed {
    let (state, words) = match (interlock.mechanical, interlock.mirror_contacts && interlock.changeover_time) {
        (true, _) => (BothClosed::Kept, "kept apart by the mechanical link"),
        (false, true) => (BothClosed::ByOneFault, "one fault closes both: a mechanical link is asked for"),
        (false, false) => (BothClosed::ByCommand, "commands alone can close both: must not be energised so"),
    };
    rec.step(|| Step::new("both", "both contactors closed", "", &PRACTICE).gives(words));
    state
}

/// `calc rotation-table`.
pub const ROTATION_TABLE: Calculation = Calculation {
    name: "rotation-table",
    summary: "Which wires to change when the motor turns wrong on the unit or in bypass, and whether both contactors can be closed.",
    inputs: &[
        word("unit", &["right", "wrong"], "direction on the unit"),
        word("bypass", &["right", "wrong"], "direction in bypass"),
        word("mechanical", &["no", "yes"], "mechanical link between the two contactors"),
        word("mirror-contacts", &["no", "yes"], "each coil runs over a mirror contact of the other"),
        word("waits", &["no", "yes"], "the change-over waits for the contactors and for the motor's field"),
    ],
    results: &[
        output::<dim::CountDim>("at-unit", "", "1 change two wires at the unit's output"),
        output::<dim::CountDim>("in-bypass", "", "1 change two wires of the bypass alone"),
        output::<dim::CountDim>("at-motor", "", "1 change two wires at the motor"),
        output::<dim::CountDim>("both-closed", "", "0 kept apart, 1 one fault closes both, 2 commands alone close both"),
    ],
    sources: &[&DEFINITION, &PRACTICE],
    run: |a: &Arguments, w: &mut Working| {
        let yes = |name| a.word(name) == "yes";
        let at = swap(a.word("unit") == "right", a.word("bypass") == "right", w);
        let interlock = Interlock { mechanical: yes("mechanical"), mirror_contacts: yes("mirror-contacts"), changeover_time: yes("waits") };
        let state = match both_closed(interlock, w) {
            BothClosed::Kept => 0.0,
            BothClosed::ByOneFault => 1.0,
            BothClosed::ByCommand => 2.0,
        };
        let one = |swap: Swap| f64::from(u8::from(at == swap));
        Ok(vec![one(Swap::UnitOutput), one(Swap::Bypass), one(Swap::Motor), state])
    },
};
