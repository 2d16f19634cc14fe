//! The function block that shows the old layout to the old program and speaks the new one.
//!
//! It is called once in each scan, with the words that the old program wrote and the words that the new drive sent. It keeps the old
//! drive's command sequence (also edges and, for the profiles, states), walks the new drive through its own, converts numbers in whole
//! arithmetic of 32 bits, and shows the old drive's status. Words whose bytes travel against the habit of their protocol are turned.

mod numbers;
mod old;
mod sequence;
mod show;
mod turn;

use dossier::program::build::{assign, bit, call, note, select, var, when, word};
use dossier::program::{Block, Expression, Literal, Project, Statement, Type, Unit};
use plant::network::{Bit, BitMeaning as M, DataWord, Direction, Layout, Sense, WordMeaning, WordOrder};

use super::logic::Cond;
use super::pair::{Pair, names};

/// Name of the block.
pub const BLOCK: &str = "OLD_TO_NEW";

/// How long the block waits for the new drive to answer a start or a reset before it gives the edge anew, in ms. Common practice, no
/// source: longer than a scan and a network cycle, shorter than a person waits.
pub const RETRY_MS: i32 = 500;

/// Why there is no block for a pair.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NoBlock {
    /// What stands in the way, and what would help.
    pub why: Vec<String>,
}

/// Builds the block of a pair.
///
/// # Errors
/// Everything that a block cannot be written without: an unknown order of words, a missing command, status or setpoint word.
pub fn block(pair: &Pair<'_>) -> Result<Project, NoBlock> {
    let mut why = Vec::new();
    for (side, layout) in [("old", pair.old), ("new", pair.new)] {
        for meaning in [WordMeaning::Command, WordMeaning::SpeedSetpoint, WordMeaning::Status] {
            if layout.word(meaning).is_none() {
                why.push(format!("the {side} layout “{}” has no word for {}", layout.name, phrase(meaning)));
            }
        }
        if layout.word_order.is_none() && layout.words.iter().any(|w| w.width == 32) {
            why.push(format!("the {side} layout “{}” has a value of 32 bits and does not say which of its words comes first", layout.name));
        }
    }
    if pair.conversion(WordMeaning::SpeedSetpoint).is_none() {
        why.push("the two setpoints cannot be converted: their scales are not both speeds".to_owned());
    }
    if !why.is_empty() {
        return Err(NoBlock { why });
    }
    let mut writer = Writer { pair, unit: Unit::block(BLOCK), body: Vec::new() };
    writer.declare();
    writer.read_new();
    writer.demands();
    writer.sequence();
    writer.show();
    writer.turn();
    let Writer { unit, body, .. } = writer;
    let project = Project::new("network words")
        .note(&format!("Old layout: {}. New layout: {}.", pair.old.name, pair.new.name))
        .note("This block was computed and simulated; it was tried on no real drive. Try it with the motor uncoupled.")
        .note("The unit's own instructions, the local code and licensed people decide what may be energised.");
    Ok(project.unit(unit.body(body)))
}

fn phrase(meaning: WordMeaning) -> &'static str {
    match meaning {
        WordMeaning::Command => "commands",
        WordMeaning::Status => "status",
        _ => "the speed setpoint",
    }
}

struct Writer<'p, 'a> {
    pair: &'p Pair<'a>,
    unit: Unit,
    body: Vec<Statement>,
}

impl Writer<'_, '_> {
    fn say(&mut self, statement: Statement) {
        self.body.push(statement);
    }

    fn head(&mut self, text: &str) {
        self.say(note(text));
    }

    fn change(&mut self, with: impl FnOnce(Unit) -> Unit) {
        self.unit = with(std::mem::replace(&mut self.unit, Unit::block("")));
    }

    fn local(&mut self, name: &str, kind: Type, about: &str) {
        self.change(|u| u.local(name, kind, about));
    }

    fn local_from(&mut self, name: &str, value: Literal, about: &str) {
        self.change(|u| u.local_from(name, value, about));
    }

    fn instance(&mut self, name: &str, of: Block, about: &str) {
        self.change(|u| u.instance(name, of, about));
    }

    /// Keeps a condition in a BOOL of its own.
    fn keep(&mut self, name: &str, cond: Cond, about: &str) -> Cond {
        if let Cond::Always(_) = cond {
            return cond;
        }
        self.local(name, Type::Bool, about);
        self.say(assign(name, cond.expression()));
        var(name).into()
    }

    fn declare(&mut self) {
        let both = [("OLD", self.pair.old, Direction::ToDrive), ("NEW", self.pair.new, Direction::FromDrive)];
        for (prefix, layout, input) in both {
            for (at, word) in layout.words.iter().enumerate() {
                if prefix == "NEW" && !self.pair.uses_new(word) {
                    continue;
                }
                for name in names(prefix, layout, at).unwrap_or_default() {
                    let who = if prefix == "OLD" { "the old program" } else { "the new drive" };
                    let about = format!("{}, {} {who}", word.name, if word.direction == input { "from" } else { "to" });
                    if word.direction == input {
                        self.change(|u| u.input(&name, Type::Word, &about));
                    } else {
                        self.change(|u| u.output(&name, Type::Word, &about));
                    }
                }
            }
        }
        self.change(|u| u.input_from("LINK_OK", Literal::Bool(true), "TRUE while the new drive answers"));
        self.change(|u| u.note("Shows the old drive's words to the old program and speaks the new drive's words."));
        self.change(|u| u.note("Call it once in each scan, before the words are sent to the drive."));
    }

    /// What the new drive says: kept in BOOLs.
    fn read_new(&mut self) {
        self.head("What the new drive says");
        let faulted = self.new_says(M::Faulted).unwrap_or(Cond::Always(false));
        self.keep("FAULTED", faulted, "a fault is stored in the new drive");
        let run = self.new_says(M::Run).or_else(|| self.new_says(M::SwitchedOn)).unwrap_or(Cond::Always(false));
        let driven = self.new_says(M::RunReverse).map_or(run.clone(), |reverse| run.or(reverse));
        self.keep("DRIVEN", driven, "the new drive drives the motor");
        self.read_numbers();
    }

    fn faulted(&self) -> Cond {
        if self.has_local("FAULTED") { var("FAULTED").into() } else { Cond::Always(false) }
    }

    fn driven(&self) -> Cond {
        if self.has_local("DRIVEN") { var("DRIVEN").into() } else { Cond::Always(false) }
    }

    fn has_local(&self, name: &str) -> bool {
        self.unit.variables.iter().any(|v| v.name == name)
    }

    /// What a bit of the new drive says; `None` where it has none.
    fn new_says(&self, meaning: M) -> Option<Cond> {
        let (at, bit) = self.pair.new.bit(Direction::FromDrive, meaning)?;
        said("NEW", self.pair.new, at, bit)
    }

    /// The control words of one side, put together from conditions. Bits that are always 1 stand in the first line.
    fn put_bits(&mut self, prefix: &str, layout: &Layout, direction: Direction, says: &dyn Fn(&Bit) -> Cond) {
        for (at, word_def) in layout.words(direction).filter(|(_, w)| !w.bits.is_empty()) {
            let Some(parts) = names(prefix, layout, at) else { continue };
            for (part, name) in parts.iter().enumerate() {
                let here =
                    word_def.bits.iter().filter_map(|b| place(layout, word_def, b.at).filter(|(p, _)| *p == part).map(|(_, at)| (b, at)));
                let mut always = 0_u16;
                let mut rest = Vec::new();
                for (b, at) in here {
                    let cond = says(b);
                    match if b.sense == Sense::High { cond } else { cond.not() } {
                        Cond::Always(true) => always |= 1 << at,
                        Cond::Always(false) => {}
                        Cond::When(expression) => rest.push((at, expression)),
                    }
                }
                self.say(assign(name, word(always)));
                for (at, expression) in rest {
                    self.say(when(expression, [assign(name, var(name) | word(1 << at))]));
                }
            }
        }
    }

    fn timer(&mut self, name: &str, input: Expression, about: &str) {
        self.instance(name, Block::OnDelay, about);
        self.say(call(name, [("IN", input), ("PT", dossier::program::build::time(RETRY_MS))], []));
    }
}

/// Highest frequency that the new layout can be told, in Hz: the end of its setpoint word, or the highest frequency.
#[must_use]
pub(crate) fn reach_hz(pair: &Pair<'_>) -> f64 {
    let highest = pair.highest().in_hz();
    let Some((_, word)) = pair.new.word(WordMeaning::SpeedSetpoint) else { return 0.0 };
    let Some(step) = word.scale.and_then(|s| super::scale::per_count(s, &pair.new_settings)) else { return highest };
    #[expect(clippy::cast_precision_loss, reason = "counts have at most 32 bits")]
    let most = numbers::most_counts(word, highest, &pair.new_settings) as f64;
    most * step
}

/// Which variable of a word holds a bit, and at which place: a value of 32 bits has two.
fn place(layout: &Layout, word: &DataWord, at: u8) -> Option<(usize, u32)> {
    if word.width < 32 {
        return (at < 16).then_some((0, u32::from(at)));
    }
    let high = at >= 16;
    let first = (layout.word_order? == WordOrder::HighFirst) == high;
    Some((usize::from(!first), u32::from(at % 16)))
}

/// What a bit of a layout says, read from its variable.
fn said(prefix: &str, layout: &Layout, at: usize, bit_def: &Bit) -> Option<Cond> {
    let (part, place) = place(layout, layout.words.get(at)?, bit_def.at)?;
    let name = names(prefix, layout, at)?.into_iter().nth(part)?;
    let set = Cond::When(bit(var(&name), place));
    Some(if bit_def.sense == Sense::High { set } else { set.not() })
}

/// `SEL(turned, value, -value)`
fn turned(value: Expression, by: Cond) -> Expression {
    match by {
        Cond::Always(false) => value,
        Cond::Always(true) => -value,
        Cond::When(by) => select(by, value.clone(), -value),
    }
}
