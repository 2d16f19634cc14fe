//! What the check refuses, all at once.

use dossier::program::{Arm, Block, Function, Given, Span, Statement};

use super::super::{check, expression::conversion};
use super::*;

fn problems(unit: Unit) -> Vec<String> {
    match check(&Project::new("p").unit(unit)) {
        Ok(()) => Vec::new(),
        Err(wrong) => wrong.problems.iter().map(ToString::to_string).collect(),
    }
}

#[test]
fn every_mistake_is_told_with_its_place() {
    let unit = Unit::block("B")
        .input("IN_WORD", Type::Word, "")
        .output("O", Type::Int, "")
        .constant("C", Literal::Int(1), "")
        .local("o", Type::Int, "")
        .instance("EDGE", Block::RisingEdge, "")
        .instance("LATER", Block::Own("NOT_THERE".into()), "")
        .body([
            assign("O", var("IN_WORD")),
            assign("IN_WORD", word(1)),
            assign("C", int(2)),
            assign("NOBODY", int(2)),
            assign("O", var("O") + convert(Type::Word, Type::Dint, var("IN_WORD"))),
            assign("O", !int(1)),
            assign("O", -uint(1)),
            when(int(1).equals(int(1)) & var("IN_WORD"), [assign("O", var("MISSING"))]),
            call("EDGE", [("CLK", int(1)), ("CLOCK", bool(true))], [("Q", "O"), ("R", "O")]),
            call("O", [], []),
            assign("EDGE", bool(true)),
            assign("O", var("EDGE")),
            assign("O", out("EDGE", "WHAT")),
            assign("O", shift_left(word(1), 16)),
            assign("O", function(Function::Absolute, [])),
            assign("O", convert(Type::Int, Type::Dword, int(1))),
            Statement::If { branches: Vec::new(), otherwise: Vec::new() },
            case(var("IN_WORD"), [arm(1, "", [])], []),
        ]);
    let told = problems(unit);
    let expected = [
        "B: the name o is declared twice",
        "B: LATER is an instance of NOT_THERE: no function block of that name stands before this unit",
        "B, statement 1: the value is a WORD: INT expected",
        "B, statement 2: IN_WORD is an input",
        "B, statement 3: C is a constant",
        "B, statement 4: NOBODY is not declared",
        "B, statement 5: + between a INT and a DINT",
        "B, statement 6: NOT of a INT",
        "B, statement 7: minus before a UINT",
        "B, statement 8: AND between a BOOL and a WORD",
        "B, statement 9: MISSING is not declared",
        "B, statement 10: the value for CLK is a INT: BOOL expected",
        "B, statement 10: EDGE has no input CLOCK",
        "B, statement 10: the output Q is a BOOL, but O is a INT",
        "B, statement 10: EDGE has no output R",
        "B, statement 11: O is called but is no instance",
        "B, statement 12: EDGE is an instance and takes no value",
        "B, statement 13: EDGE is an instance: name one of its outputs",
        "B, statement 14: EDGE has no input or output WHAT",
        "B, statement 15: a WORD is shifted by 16 places",
        "B, statement 16: ABS with 0 arguments: 1 expected",
        "B, statement 17: INT_TO_DWORD: controllers do not agree",
        "B, statement 18: an IF without a condition",
        "B, statement 19: CASE of a WORD",
    ];
    for line in expected {
        assert!(told.iter().any(|t| t.starts_with(line)), "{line} is not among {told:#?}");
    }
    assert_eq!(told.len(), expected.len(), "{told:#?}");
}

#[test]
fn cases_do_not_overlap() {
    let spans = |list: &[(i64, i64)]| Arm {
        values: list.iter().map(|(first, last)| Span { first: *first, last: *last }).collect(),
        note: String::new(),
        body: Vec::new(),
    };
    let told = |arms: Vec<Arm>| problems(Unit::block("B").input("N", Type::Int, "").body([case(var("N"), arms, [])]));
    assert!(told(vec![spans(&[(1, 3)]), spans(&[(4, 4), (-9, 0)])]).is_empty());
    assert!(told(vec![spans(&[(1, 3)]), spans(&[(3, 4)])])[0].contains("twice"));
    assert!(told(vec![spans(&[(3, 1)])])[0].contains("wrong way round"));
    assert!(told(vec![spans(&[(0, 40_000)])])[0].contains("outside INT"));
    assert!(told(vec![spans(&[])])[0].contains("names no value"));
    assert!(told(vec![])[0].contains("without values"));
}

#[test]
fn units_stand_in_order_so_that_nothing_calls_itself() {
    let own = |name: &str, of: &str| Unit::block(name).instance("X", Block::Own(of.into()), "").body([call("X", [], [])]);
    assert!(problems(own("A", "A"))[0].contains("no function block of that name stands before"));
    let wrong = check(&Project::new("p").unit(own("A", "B")).unit(own("B", "A"))).unwrap_err();
    assert!(wrong.to_string().contains("A: X is an instance of B"));
    let wrong = check(&Project::new("p").unit(Unit::block("TON")).unit(Unit::block("ton"))).unwrap_err();
    assert_eq!(wrong.problems.len(), 3);
}

#[test]
fn what_would_take_for_ever_is_refused() {
    // Each unit calls the one before ten times: 10²⁰ calls in a cycle.
    let mut project = Project::new("p").unit(Unit::block("U0"));
    for n in 1..20 {
        let calls = (0..10).map(|_| call("X", [], []));
        project = project.unit(Unit::block(&format!("U{n}")).instance("X", Block::Own(format!("U{}", n - 1)), "").body(calls));
    }
    assert!(check(&project).unwrap_err().to_string().contains("a cycle may take"));
    // Each unit has ten of the one before: 10¹⁹ values.
    let mut project = Project::new("p").unit(Unit::block("U0").local("A", Type::Int, ""));
    for n in 1..20 {
        let before = Block::Own(format!("U{}", n - 1));
        let unit = (0..10).fold(Unit::block(&format!("U{n}")), |u, i| u.instance(&format!("X{i}"), before.clone(), ""));
        project = project.unit(unit);
    }
    assert!(check(&project).unwrap_err().to_string().contains("values"));
    // A chain of instances, of operators and of branches.
    let mut project = Project::new("p").unit(Unit::block("U0"));
    for n in 1..1000 {
        project =
            project.unit(Unit::block(&format!("U{n}")).instance("X", Block::Own(format!("U{}", n - 1)), "").body([call("X", [], [])]));
    }
    assert!(check(&project).unwrap_err().to_string().contains("instances stand inside each other"));
    let deep = (0..2000).fold(int(1), |e, _| -e);
    assert!(problems(Unit::block("B").output("O", Type::Int, "").body([assign("O", deep)]))[0].contains("operators and functions"));
    let deep = (0..500).fold(Statement::Return, |s, _| when(bool(true), [s]));
    assert!(problems(Unit::block("B").body([deep]))[0].contains("statements stand inside each other"));
}

#[test]
fn an_input_is_given_once() {
    let twice = Statement::Call {
        instance: "E".into(),
        inputs: vec![Given { input: "CLK".into(), value: bool(true) }, Given { input: "clk".into(), value: bool(true) }],
        outputs: Vec::new(),
    };
    assert!(problems(Unit::block("B").instance("E", Block::RisingEdge, "").body([twice]))[0].contains("given twice"));
}

#[test]
fn conversions_that_controllers_do_differently_are_not_there() {
    let mut allowed = Vec::new();
    for from in Type::ALL {
        for to in Type::ALL {
            if conversion(from, to).is_some() {
                allowed.push(Function::Convert { from, to }.name());
            }
        }
    }
    for refused in ["INT_TO_DWORD", "DWORD_TO_INT", "WORD_TO_BOOL", "REAL_TO_WORD", "TIME_TO_REAL", "INT_TO_INT", "DINT_TO_WORD"] {
        assert!(!allowed.iter().any(|a| a == refused), "{refused}");
    }
    // From BOOL 7, BYTE 6, WORD 6, DWORD 5, INT 5, UINT 6, DINT 6, UDINT 5, REAL 5, TIME 1.
    assert_eq!(allowed.len(), 52, "{allowed:?}");
}

#[test]
fn a_unit_that_is_not_there_is_told() {
    let wrong = Machine::new(&Project::new("p").unit(Unit::block("A")), "B").unwrap_err();
    assert_eq!(wrong.to_string(), "p: no unit B: one of A expected");
}
