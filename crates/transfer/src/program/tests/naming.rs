//! Names for controllers.

use dossier::program::Block;
use proptest::prelude::*;

use super::super::check;
use super::super::names::{Rules, fault, fit};
use super::*;

/// A block with names of all kinds of trouble, and a program that calls it.
fn troubled(names: &[String; 3], block: &str) -> Project {
    let [a, b, c] = names;
    let inner = Unit::block(block).input(a, Type::Int, "").output(b, Type::Int, "").body([assign(b, var(a) + int(1))]);
    let main = Unit::program("main program")
        .instance(c, Block::Own(block.to_owned()), "")
        .local("SUM", Type::Int, "")
        .body([call(c, [(a.as_str(), int(41))], [(b.as_str(), "SUM")]), assign("SUM", out(c, b))]);
    Project::new("names").unit(inner).unit(main)
}

#[test]
fn only_what_must_change_changes() {
    let project = troubled(&["Old word 1".into(), "LIMIT".into(), "MAP".into()], "MAP");
    let fitted = fit(&project, &Rules::default()).unwrap();
    let told: Vec<_> = fitted.renamed.iter().map(|r| (r.unit.as_str(), r.old.as_str(), r.new.as_str(), r.why.as_str())).collect();
    assert_eq!(
        told,
        [
            ("", "main program", "main_program", "has characters other than A to Z, 0 to 9 and _"),
            ("MAP", "Old word 1", "Old_word_1", "has characters other than A to Z, 0 to 9 and _"),
            ("MAP", "LIMIT", "LIMIT_2", "is a reserved word"),
            ("main program", "MAP", "MAP_2", "is the name of a unit"),
        ]
    );
    let mut machine = Machine::new(&fitted.project, "main_program").unwrap();
    machine.cycle(1).unwrap();
    assert_eq!(machine.get(machine.slot("SUM").unwrap()), Literal::Int(42));
    assert_eq!(fit(&fitted.project, &Rules::default()).unwrap().renamed, []);
}

#[test]
fn names_that_end_alike_stay_apart() {
    let rules = Rules { longest: 8, reserved: vec!["old_spee".into()], ..Rules::default() };
    let project = troubled(&["old_speed_reference".into(), "old_speed_feedback".into(), "x".into()], "B");
    let fitted = fit(&project, &rules).unwrap();
    let news: Vec<_> = fitted.renamed.iter().map(|r| r.new.as_str()).collect();
    assert_eq!(news, ["main_pro", "old_sp_2", "old_sp_3"]);
}

#[test]
fn faults_of_names() {
    let rules = Rules { reserved: vec!["Special".into()], ..Rules::default() };
    for (name, expected) in [
        ("", "is empty"),
        ("1A", "begins with a digit"),
        ("_A", "begins with _"),
        ("A__B", "two _"),
        ("A_", "at the end"),
        ("Ä", "other than"),
        ("ABCDEFGHIJKLMNOPQRSTUVWXY", "longer than 24"),
        ("end_if", "reserved"),
        ("SPECIAL", "reserved"),
        ("word_to_int", "reserved"),
    ] {
        assert!(fault(name, &rules).is_some_and(|f| f.contains(expected)), "{name}");
    }
    assert!(["A", "a1", "Word_to_drive", "IN", "Q"].iter().all(|n| fault(n, &rules).is_none()));
    assert!(fault("_A", &Rules { underscore_first: true, ..Rules::default() }).is_none());
}

#[test]
fn what_cannot_be_told_apart_is_refused() {
    let rules = Rules { longest: 3, ..Rules::default() };
    let wrong = fit(&troubled(&["a".into(), "A".into(), "c".into()], "B"), &rules).unwrap_err();
    assert_eq!(wrong.to_string(), "names: names of at most 3 characters: 6 or more expected\nB: the name A stands twice");
}

proptest! {
    #[test]
    fn any_names_become_names_that_hold(
        names in proptest::array::uniform3("[ -~ÄéЖ]{0,12}|(if|END_IF|[a-c_1]{1,9})"),
        block in "[ -~Ö]{0,30}|TON|word",
        longest in 6_usize..30,
    ) {
        let rules = Rules { longest, ..Rules::default() };
        if let Ok(fitted) = fit(&troubled(&names, &block), &rules) {
            for unit in &fitted.project.units {
                prop_assert_eq!(fault(&unit.name, &rules), None, "{}", unit.name);
                for variable in &unit.variables {
                    prop_assert_eq!(fault(&variable.name, &rules), None, "{}", variable.name);
                }
            }
            prop_assert!(check(&fitted.project).is_ok(), "{:?} {:?}", check(&fitted.project), fitted.project);
        }
    }
}
