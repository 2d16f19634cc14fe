//! Bytes the other way round: where a unit sends the two bytes of a word against the habit of its protocol, the block turns them first thing
//! and last thing, so that all between reckons with numbers.

use dossier::program::build::{assign, note, shift_left, shift_right, var};
use dossier::program::{Expression, Statement, Type};
use plant::network::{Direction, Layout};

use super::super::pair::names;
use super::Writer;

/// The word with its two bytes changed over.
fn turned(name: &str) -> Expression {
    shift_left(var(name), 8) | shift_right(var(name), 8)
}

/// Name of an input with its bytes in place.
fn in_place(name: &str) -> String {
    format!("{name}_TURNED")
}

impl Writer<'_, '_> {
    /// Turns the inputs that need it before the body, lets the body read them so, and turns the outputs after it.
    pub(super) fn turn(&mut self) {
        let sides = [
            ("OLD", self.pair.old, Direction::ToDrive, "the old program's"),
            ("NEW", self.pair.new, Direction::FromDrive, "the new drive's"),
        ];
        let (mut first, mut last) = (Vec::new(), Vec::new());
        let mut read = Vec::new();
        for (prefix, layout, input, whose) in sides {
            for name in self.against_habit(prefix, layout, input) {
                let local = in_place(&name);
                self.local(&local, Type::Word, &format!("{name}, its bytes in place"));
                first.push(assign(&local, turned(&name)));
                read.push(name);
            }
            let output = if input == Direction::ToDrive { Direction::FromDrive } else { Direction::ToDrive };
            let out: Vec<Statement> = self.against_habit(prefix, layout, output).iter().map(|n| assign(n, turned(n))).collect();
            if !out.is_empty() {
                last.push(note(&format!("The two bytes of {whose} words change over")));
                last.extend(out);
            }
        }
        for statement in &mut self.body {
            statement.each_variable(&mut |name| {
                if read.contains(name) {
                    *name = in_place(name);
                }
            });
        }
        if !first.is_empty() {
            first.insert(0, note("The two bytes of these words come the other way round"));
        }
        self.body.splice(0..0, first);
        self.body.extend(last);
    }

    /// Variables of the words in a direction whose bytes travel against the habit of their protocol.
    fn against_habit(&self, prefix: &str, layout: &Layout, direction: Direction) -> Vec<String> {
        let used = |w: &plant::network::DataWord| prefix == "OLD" || self.pair.uses_new(w);
        let words = layout.words(direction).filter(|(_, w)| layout.turns_bytes(w) && used(w));
        words.flat_map(|(at, _)| names(prefix, layout, at).unwrap_or_default()).collect()
    }
}
