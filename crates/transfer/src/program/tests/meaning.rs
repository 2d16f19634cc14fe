//! Numbers, bits, branches and instances.

use dossier::program::{Arm, Block, Function, Span, Statement};

use super::super::Fault;
use super::*;

#[test]
fn whole_numbers_keep_their_low_bits_and_that_is_counted() {
    // Worked out by hand from two's complement.
    let cases: [(Type, Expression, Literal); 9] = [
        (Type::Int, int(32767) + var("I"), Literal::Int(-32768)),
        (Type::Int, int(-32768) - var("I"), Literal::Int(32767)),
        (Type::Uint, uint(0) - var("U"), Literal::Uint(65535)),
        (Type::Uint, uint(65535) * uint(65535), Literal::Uint(1)),
        (Type::Dint, dint(i32::MAX) + dint(1), Literal::Dint(i32::MIN)),
        (Type::Udint, udint(u32::MAX) * udint(u32::MAX), Literal::Udint(1)),
        (Type::Int, int(-32768) / int(-1), Literal::Int(-32768)),
        (Type::Int, absolute(int(-32768)), Literal::Int(-32768)),
        (Type::Int, convert(Type::Dint, Type::Int, dint(98_304)), Literal::Int(-32768)),
    ];
    for (kind, expression, expected) in cases {
        let unit = Unit::block("W").input_from("I", Literal::Int(1), "").input_from("U", Literal::Uint(1), "").output("R", kind, "");
        let project = Project::new("w").unit(unit.body([assign("R", expression.clone())]));
        let mut machine = Machine::new(&project, "W").unwrap();
        machine.cycle(1).unwrap();
        assert_eq!((machine.get(machine.slot("R").unwrap()), machine.wraps()), (expected, 1), "{expression:?}");
    }
}

#[test]
fn what_fits_is_not_counted() {
    let unit = Unit::block("W").output("R", Type::Int, "").body([assign("R", int(-32768) + int(32767) * int(1))]);
    let mut machine = Machine::new(&Project::new("w").unit(unit), "W").unwrap();
    machine.cycle(1).unwrap();
    assert_eq!(machine.wraps(), 0);
}

#[test]
fn real_to_whole_follows_the_table_of_the_standard() {
    // IEC 61131-3 edition 2, 2.5.1.5.1, from memory: REAL_TO_INT to the nearest, halves to even; TRUNC towards zero.
    for (real_value, nearest, cut) in
        [(1.6, 2, 1), (-1.6, -2, -1), (1.5, 2, 1), (-1.5, -2, -1), (1.4, 1, 1), (-1.4, -1, -1), (2.5, 2, 2), (-2.5, -2, -2)]
    {
        assert_eq!(value(Type::Int, convert(Type::Real, Type::Int, real(real_value)), &[]).unwrap(), Literal::Int(nearest));
        assert_eq!(value(Type::Dint, function(Function::Truncate, [real(real_value)]), &[]).unwrap(), Literal::Dint(cut));
    }
}

#[test]
fn division_goes_towards_zero_and_mod_takes_the_sign_of_the_left() {
    // IEC 61131-3 edition 2, table 24, from memory: 7/3 = 2, −7/3 = −2; IN1 MOD IN2 = IN1 − (IN1/IN2)·IN2.
    for (a, b, quotient, rest) in [(7, 3, 2, 1), (-7, 3, -2, -1), (7, -3, -2, 1), (-7, -3, 2, -1)] {
        assert_eq!(value(Type::Int, int(a) / int(b), &[]).unwrap(), Literal::Int(quotient));
        assert_eq!(value(Type::Int, int(a) % int(b), &[]).unwrap(), Literal::Int(rest));
    }
}

#[test]
fn bits_carry_over_unchanged() {
    let cases = [
        (Type::Int, convert(Type::Word, Type::Int, word(0xFFFF)), Literal::Int(-1)),
        (Type::Dint, convert(Type::Word, Type::Dint, word(0xFFFF)), Literal::Dint(65535)),
        (Type::Word, convert(Type::Int, Type::Word, int(-2)), Literal::Word(0xFFFE)),
        (Type::Word, convert(Type::Dword, Type::Word, dword(0x1234_5678)), Literal::Word(0x5678)),
        (Type::Dword, convert(Type::Dint, Type::Dword, dint(-1)), Literal::Dword(u32::MAX)),
        // IEEE 754: 1.0 is 3F80 0000, −2.5 is C020 0000.
        (Type::Real, convert(Type::Dword, Type::Real, dword(0xC020_0000)), Literal::Real(-2.5)),
        (Type::Dword, convert(Type::Real, Type::Dword, real(1.0)), Literal::Dword(0x3F80_0000)),
        (Type::Word, convert(Type::Bool, Type::Word, bool(true)), Literal::Word(1)),
        (Type::Word, !word(0x00FF), Literal::Word(0xFF00)),
        (Type::Bool, !bool(true), Literal::Bool(false)),
        (Type::Word, shift_left(word(0x8001), 1), Literal::Word(0x0002)),
        (Type::Word, shift_right(word(0x8001), 1), Literal::Word(0x4000)),
        (Type::Word, function(Function::ShiftLeft, [word(1), var("MANY")]), Literal::Word(0)),
        (Type::Word, function(Function::ShiftRight, [word(1), var("MANY")]), Literal::Word(0)),
        (Type::Byte, convert(Type::Word, Type::Byte, word(0x12F4)), Literal::Byte(0xF4)),
        (Type::Bool, bit(word(0x0008), 3) & !bit(word(0x0008), 2) & !bit(word(0xFFFF), 16), Literal::Bool(true)),
    ];
    for (kind, expression, expected) in cases {
        assert_eq!(value(kind, expression.clone(), &[("MANY", Literal::Uint(200))]).unwrap(), expected, "{expression:?}");
    }
}

#[test]
fn selections_follow_the_standard() {
    let cases = [
        (limit(int(0), int(-5), int(10)), 0),
        (limit(int(0), int(5), int(10)), 5),
        (limit(int(0), int(50), int(10)), 10),
        // MIN(MAX(IN, MN), MX): with the ends the wrong way round the upper one wins.
        (limit(int(10), int(5), int(0)), 0),
        (select(bool(false), int(1), int(2)), 1),
        (select(bool(true), int(1), int(2)), 2),
        (function(Function::Minimum, [int(-3), int(2)]), -3),
        (function(Function::Maximum, [int(-3), int(2)]), 2),
    ];
    for (expression, expected) in cases {
        assert_eq!(value(Type::Int, expression.clone(), &[]).unwrap(), Literal::Int(expected), "{expression:?}");
    }
    assert_eq!(value(Type::Real, limit(real(-1.0), real(-3.5), real(1.0)), &[]).unwrap(), Literal::Real(-1.0));
    assert_eq!(value(Type::Bool, real(-1.0).below(real(0.5)) & word(0xFFFF).above(word(1)), &[]).unwrap(), Literal::Bool(true));
}

#[test]
fn faults_stop_the_machine_until_it_is_reset() {
    let unit = Unit::block("F").input("D", Type::Int, "").output("R", Type::Int, "").body([
        note("a remark counts for no statement"),
        assign("R", int(1)),
        when(bool(true), [assign("R", int(10) / var("D"))]),
    ]);
    let mut machine = Machine::new(&Project::new("f").unit(unit), "F").unwrap();
    let stopped = machine.cycle(1).unwrap_err();
    assert_eq!((stopped.fault, stopped.place.statement), (Fault::DividedByZero, 3));
    assert_eq!(stopped.to_string(), "F, statement 3: divided by zero");
    let d = machine.input("D").unwrap();
    assert!(machine.set(d, Literal::Int(5)));
    assert_eq!(machine.cycle(1).unwrap_err(), stopped, "a stopped machine stays stopped");
    machine.reset();
    machine.set(d, Literal::Int(5));
    machine.cycle(1).unwrap();
    assert_eq!(machine.get(machine.slot("R").unwrap()), Literal::Int(2));
}

#[test]
fn every_fault_is_found() {
    let zero = [("Z", Literal::Int(0)), ("RZ", Literal::Real(0.0)), ("N", Literal::Int(-1))];
    let cases = [
        (Type::Int, int(1) % var("Z"), Fault::DividedByZero),
        (Type::Real, real(1.0) / var("RZ"), Fault::DividedByZero),
        (Type::Real, real(f32::MAX) * real(2.0), Fault::NotFinite),
        (Type::Real, convert(Type::Dword, Type::Real, dword(0x7FC0_0000)), Fault::NotFinite),
        (Type::Int, convert(Type::Real, Type::Int, real(32767.5)), Fault::OutOfRange),
        (Type::Uint, convert(Type::Real, Type::Uint, real(-1.0)), Fault::OutOfRange),
        (Type::Dint, function(Function::Truncate, [real(2_147_483_648.0)]), Fault::OutOfRange),
        (Type::Word, function(Function::ShiftLeft, [word(1), var("N")]), Fault::NegativeShift),
        // A function works out all its arguments.
        (Type::Int, select(bool(false), int(0), int(1) / var("Z")), Fault::DividedByZero),
    ];
    for (kind, expression, expected) in cases {
        assert_eq!(value(kind, expression.clone(), &zero).unwrap_err().fault, expected, "{expression:?}");
    }
    assert_eq!(value(Type::Int, convert(Type::Real, Type::Int, real(32767.4)), &[]).unwrap(), Literal::Int(32767));
}

#[test]
fn branches_and_cases_take_one_way() {
    let unit = Unit::block("C").input("N", Type::Int, "").output("R", Type::Int, "").output("S", Type::Int, "").body([
        first_of(
            [branch(var("N").below(int(0)), [assign("R", int(-1))]), branch(var("N").equals(int(0)), [assign("R", int(0))])],
            [assign("R", int(1))],
        ),
        case(
            var("N"),
            [
                arm(-3, "", [assign("S", int(1))]),
                Arm {
                    values: vec![Span { first: 0, last: 0 }, Span { first: 5, last: 9 }],
                    note: String::new(),
                    body: vec![assign("S", int(2))],
                },
            ],
            [assign("S", int(3)), when(var("N").above(int(100)), [Statement::Return]), assign("S", int(4))],
        ),
    ]);
    let mut machine = Machine::new(&Project::new("c").unit(unit), "c").unwrap();
    let (n, r, s) = (machine.input("n").unwrap(), machine.slot("R").unwrap(), machine.slot("S").unwrap());
    for (given, sign, arm) in [(-3, -1, 1), (0, 0, 2), (4, 1, 4), (5, 1, 2), (9, 1, 2), (10, 1, 4), (101, 1, 3)] {
        machine.set(n, Literal::Int(given));
        machine.cycle(1).unwrap();
        assert_eq!((machine.get(r), machine.get(s)), (Literal::Int(sign), Literal::Int(arm)), "N = {given}");
    }
}

#[test]
fn instances_keep_their_own_state() {
    let counter = Unit::block("COUNTER")
        .input_from("STEP", Literal::Int(1), "")
        .output("TOTAL", Type::Int, "")
        .body([assign("TOTAL", var("TOTAL") + var("STEP"))]);
    let main = Unit::program("MAIN")
        .instance("A", Block::Own("Counter".into()), "")
        .instance("B", Block::Own("COUNTER".into()), "")
        .local("SUM", Type::Int, "")
        .local("OF_B", Type::Int, "")
        .body([
            call("A", [], []),
            call("B", [("STEP", int(10))], [("TOTAL", "OF_B")]),
            call("A", [], []),
            assign("SUM", out("A", "TOTAL") + out("B", "total")),
        ]);
    let mut machine = Machine::new(&Project::new("p").unit(counter).unit(main), "MAIN").unwrap();
    for cycle in 1..=3 {
        machine.cycle(1).unwrap();
        let seen = ["SUM", "OF_B", "A.TOTAL", "B.STEP"].map(|name| machine.get(machine.slot(name).unwrap()));
        assert_eq!(seen, [12 * cycle, 10 * cycle, 2 * cycle, 10].map(Literal::Int));
    }
}

#[test]
fn inputs_take_only_what_fits() {
    let unit = Unit::block("I").input("X", Type::Real, "").output("Y", Type::Real, "").body([assign("Y", var("X"))]);
    let mut machine = Machine::new(&Project::new("i").unit(unit), "I").unwrap();
    let (x, y) = (machine.input("X").unwrap(), machine.slot("Y").unwrap());
    assert!(!machine.set(x, Literal::Int(1)) && !machine.set(x, Literal::Real(f32::NAN)) && !machine.set(y, Literal::Real(1.0)));
    assert!(machine.set(x, Literal::Real(1.5)) && x.kind() == Type::Real);
    assert!(machine.input("Y").is_none() && machine.slot("Z").is_none() && machine.slot("X.Q").is_none());
}
