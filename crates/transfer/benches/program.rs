//! How many cycles a second a block runs: one of the size of a mapping (bits by mask, scaling with clamp, an edge, a timer) over all 65,536
//! values of a word. The block is invented.

#![allow(clippy::expect_used, reason = "a benchmark may stop at the first broken expectation")]

use dossier::program::build::*;
use dossier::program::{Block, Literal, Project, Type, Unit};
use transfer::program::Machine;

fn main() {
    divan::main();
}

fn machine() -> Machine {
    let mut body = vec![assign("NEW_COMMAND", word(0))];
    for (old, new) in [(0, 3), (1, 0), (2, 1), (3, 7), (4, 4), (5, 5), (6, 6), (7, 2)] {
        let set = assign("NEW_COMMAND", var("NEW_COMMAND") | word(1 << new));
        body.push(when(bit(var("OLD_COMMAND"), old), [set]));
    }
    body.extend([
        call("RESET", [("CLK", bit(var("OLD_COMMAND"), 7))], []),
        call("LOSS", [("IN", !bit(var("OLD_COMMAND"), 15)), ("PT", time(500))], []),
        when(out("RESET", "Q"), [assign("NEW_COMMAND", var("NEW_COMMAND") | word(0x0080))]),
        assign("SCALED", convert(Type::Int, Type::Dint, convert(Type::Word, Type::Int, var("OLD_REFERENCE"))) * dint(16384) / dint(32767)),
        assign("SCALED", limit(dint(-16384), var("SCALED"), dint(16384))),
        either(
            out("LOSS", "Q"),
            [assign("NEW_REFERENCE", word(0))],
            [assign("NEW_REFERENCE", convert(Type::Int, Type::Word, convert(Type::Dint, Type::Int, var("SCALED"))))],
        ),
    ]);
    let unit = Unit::block("MAP")
        .input("OLD_COMMAND", Type::Word, "")
        .input("OLD_REFERENCE", Type::Word, "")
        .output("NEW_COMMAND", Type::Word, "")
        .output("NEW_REFERENCE", Type::Word, "")
        .local("SCALED", Type::Dint, "")
        .instance("RESET", Block::RisingEdge, "")
        .instance("LOSS", Block::OnDelay, "")
        .body(body);
    Machine::new(&Project::new("bench").unit(unit), "MAP").expect("the block is right")
}

#[divan::bench]
fn all_values_of_a_word(bencher: divan::Bencher) {
    let mut machine = machine();
    let command = machine.input("OLD_COMMAND").expect("declared");
    let reference = machine.input("OLD_REFERENCE").expect("declared");
    let result = machine.slot("NEW_REFERENCE").expect("declared");
    bencher.counter(divan::counter::ItemsCount::new(65_536_usize)).bench_local(|| {
        let mut sum = 0_u64;
        for value in 0..=u16::MAX {
            machine.set(command, Literal::Word(value | 0x8000));
            machine.set(reference, Literal::Word(value));
            machine.cycle(10).expect("it runs");
            if let Literal::Word(word) = machine.get(result) {
                sum += u64::from(word);
            }
        }
        sum
    });
}
