//! Edges and timers, after tables 36 and 38 of IEC 61131-3 edition 2, from memory.

use dossier::program::Block;

use super::*;

/// Q and ET of a block over cycles of (elapsed ms, input).
fn run(block: Block, pt: Option<i32>, cycles: &[(u32, bool)]) -> Vec<(bool, i32)> {
    let pin = if pt.is_some() { "IN" } else { "CLK" };
    let mut given = vec![(pin, var("X"))];
    given.extend(pt.map(|pt| ("PT", time(pt))));
    let mut unit = Unit::block("T").input("X", Type::Bool, "").output("Q", Type::Bool, "").output("ET", Type::Time, "");
    unit = unit.instance("B", block, "").body([call("B", given, [("Q", "Q")])]);
    if pt.is_some() {
        unit = unit.body([assign("ET", out("B", "ET"))]);
    }
    let mut machine = Machine::new(&Project::new("t").unit(unit), "T").unwrap();
    let slots = ["X", "Q", "ET"].map(|name| machine.slot(name).unwrap());
    let mut seen = Vec::new();
    for (elapsed, on) in cycles {
        assert!(machine.set(slots[0], Literal::Bool(*on)));
        machine.cycle(*elapsed).unwrap();
        let (Literal::Bool(q), Literal::Time(et)) = (machine.get(slots[1]), machine.get(slots[2])) else { panic!("types") };
        seen.push((q, et));
    }
    seen
}

#[test]
fn edges_last_one_cycle() {
    let cycles = [false, true, true, false, false, true].map(|x| (10, x));
    let q = |block| run(block, None, &cycles).into_iter().map(|(q, _)| q).collect::<Vec<_>>();
    assert_eq!(q(Block::RisingEdge), [false, true, false, false, false, true]);
    // A clock that is FALSE in the first cycle is an edge, as the standard's note says.
    assert_eq!(q(Block::FallingEdge), [true, false, false, true, false, false]);
    assert_eq!(run(Block::RisingEdge, None, &[(1, true)]), [(true, 0)]);
}

#[test]
fn an_on_delay_counts_between_cycles() {
    let cycles = [(5, false), (10, true), (40, true), (60, true), (500, true), (10, false), (10, true)];
    let expected = [(false, 0), (false, 0), (false, 40), (true, 100), (true, 100), (false, 0), (false, 0)];
    assert_eq!(run(Block::OnDelay, Some(100), &cycles), expected);
    assert_eq!(run(Block::OnDelay, Some(0), &[(10, true)]), [(true, 0)]);
    assert_eq!(run(Block::OnDelay, Some(-5), &[(10, true)]), [(true, 0)]);
}

#[test]
fn an_off_delay_holds_after_the_input_has_gone() {
    let cycles = [(5, false), (10, true), (40, false), (60, false), (50, false), (10, false), (10, true)];
    let expected = [(false, 0), (true, 0), (true, 0), (true, 60), (false, 100), (false, 100), (true, 0)];
    assert_eq!(run(Block::OffDelay, Some(100), &cycles), expected);
}

#[test]
fn time_never_overflows() {
    let cycles: Vec<_> = (0..5).map(|_| (u32::MAX, true)).collect();
    assert_eq!(run(Block::OnDelay, Some(i32::MAX), &cycles).last(), Some(&(true, i32::MAX)));
}
