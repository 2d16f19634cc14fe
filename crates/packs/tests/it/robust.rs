//! No input makes a reader panic or hang.

use packs::{PackFile, Problem, SHEET_BYTES, Source, TEXT_BYTES, record};
use packs::{read_current_log, read_decisions, read_pack, read_position, read_site, read_ticks};
use proptest::prelude::*;

use crate::common::{DECISIONS, FULL, LOG, SITE, quellmoor, source};

fn read_all(text: &str) -> Vec<Problem> {
    let source = source("x/A.toml", text);
    let mut problems = read_site(&source).problems;
    problems.extend(read_position(&source).problems);
    problems.extend(read_decisions(&source).problems);
    problems.extend(read_ticks(&source, None).problems);
    problems.extend(read_current_log(&source, true).problems);
    let _ = record(&source, "motor.current", "5 A", None);
    let files: Vec<(String, &[u8])> =
        ["pack.toml", "ratings.csv", "code.csv", "derates.csv", "frames.csv"].map(|n| (n.to_owned(), text.as_bytes())).into();
    let files: Vec<PackFile<'_>> = files.iter().map(|(name, bytes)| PackFile { name, bytes }).collect();
    problems.extend(read_pack(&files, "x").problems);
    for problem in &problems {
        if let Some(span) = &problem.span {
            assert!(span.start <= span.end && text.get(span.clone()).is_some(), "{problem}: {span:?} is no part of the text");
        }
    }
    problems
}

/// A text with a few pieces cut out, doubled or put elsewhere.
fn damaged(text: &'static str) -> impl Strategy<Value = String> {
    let characters: Vec<char> = text.chars().collect();
    proptest::collection::vec((any::<prop::sample::Index>(), 0..12usize, any::<prop::sample::Index>(), 0..4u8), 1..6).prop_map(
        move |cuts| {
            let mut text = characters.clone();
            for (from, length, to, what) in cuts {
                let from = from.index(text.len() + 1);
                let piece: Vec<char> = text[from..(from + length).min(text.len())].to_vec();
                if what != 1 {
                    text.drain(from..from + piece.len());
                }
                let to = to.index(text.len() + 1);
                match what {
                    0 => {}
                    3 => text.extend_from_slice(&['"', '\u{fffd}', '[', '\0', '°']),
                    _ => drop(text.splice(to..to, piece)),
                }
            }
            text.into_iter().collect()
        },
    )
}

proptest! {
    #[test]
    fn any_text(text in "\\PC{0,200}") {
        read_all(&text);
    }

    #[test]
    fn text_that_looks_like_toml(text in "([a-z_]{1,8} = |schema = 1\n|\\[[a-z]{0,8}\\]|\\[\\[duty\\]\\]|\"[^\"]{0,8}\"|[0-9.]{1,6}|\n|\\{|\\}|,|=|'''|\"\"\"|#){0,40}") {
        read_all(&text);
    }

    #[test]
    fn any_bytes(bytes in proptest::collection::vec(any::<u8>(), 0..300)) {
        let files = [PackFile { name: "pack.toml", bytes: &bytes }, PackFile { name: "ratings.xlsx", bytes: &bytes }, PackFile { name: "frames.csv", bytes: &bytes }];
        let _ = read_pack(&files, "x");
        let _ = Source::from_bytes("x", &bytes, TEXT_BYTES);
    }

    #[test]
    fn damaged_files(site in damaged(SITE), position in damaged(FULL), decisions in damaged(DECISIONS), log in damaged(LOG)) {
        for text in [site, position, decisions, log] {
            read_all(&text);
        }
    }
}

#[test]
fn damaged_tables() {
    let mut runner = proptest::test_runner::TestRunner::default();
    let texts = quellmoor();
    for (index, (name, text)) in texts.iter().enumerate() {
        let text: &'static str = Box::leak(text.clone().into_boxed_str());
        let run = runner.run(&damaged(text), |damaged| {
            let mut texts = texts.clone();
            texts[index].1.clone_from(&damaged);
            let read = crate::common::pack(&texts, "quellmoor-q3");
            for problem in read.problems.iter().filter(|p| &*p.file == name) {
                assert!(problem.span.as_ref().is_none_or(|s| damaged.get(s.clone()).is_some()));
            }
            Ok(())
        });
        run.unwrap_or_else(|e| panic!("{name}: {e}"));
    }
}

#[test]
fn damaged_workbooks() {
    let mut book = rust_xlsxwriter::Workbook::new();
    let sheet = book.add_worksheet();
    for (row, line) in (0..).zip(quellmoor()[2].1.lines()) {
        (0..).zip(line.split(',')).for_each(|(column, cell)| assert!(sheet.write_string(row, column, cell).is_ok()));
    }
    let whole = book.save_to_buffer().expect("memory");
    let mut runner = proptest::test_runner::TestRunner::default();
    let changes = proptest::collection::vec((any::<prop::sample::Index>(), any::<u8>()), 1..8);
    let run = runner.run(&(changes, any::<prop::sample::Index>(), any::<bool>()), |(changes, end, cut)| {
        let mut bytes = whole.clone();
        changes.iter().for_each(|(at, byte)| *at.get_mut(&mut bytes) = *byte);
        if cut {
            bytes.truncate(end.index(bytes.len()));
        }
        let mut texts = quellmoor();
        texts.remove(2);
        let mut files: Vec<PackFile<'_>> = texts.iter().map(|(name, text)| PackFile { name, bytes: text.as_bytes() }).collect();
        files.push(PackFile { name: "ratings.xlsx", bytes: &bytes });
        let _ = read_pack(&files, "quellmoor-q3");
        Ok(())
    });
    run.expect("no panic");
}

#[test]
fn what_is_too_large_or_too_deep_is_refused_at_once() {
    let deep = format!("schema = 1\ntag = {}", "[".repeat(200_000));
    assert!(read_all(&deep).iter().any(Problem::is_error));
    let deep = format!("schema = 1\n{} = 1", vec!["a"; 100_000].join("."));
    assert!(read_all(&deep).iter().any(Problem::is_error));
    let deep = format!("schema = 1\n[{}]", vec!["a"; 50_000].join("."));
    assert!(read_all(&deep).iter().any(Problem::is_error));
    let large = " ".repeat(TEXT_BYTES + 1);
    let problems = read_site(&source("site.toml", &large)).problems;
    assert!(problems.len() == 1 && problems[0].message.contains("the most"), "{problems:?}");
    let bytes = vec![0; SHEET_BYTES + 1];
    let problems =
        read_pack(&[PackFile { name: "pack.toml", bytes: b"schema = 1" }, PackFile { name: "ratings.xlsx", bytes: &bytes }], "x").problems;
    assert!(problems.iter().any(|p| &*p.file == "ratings.xlsx" && p.message.contains("the most")));
    let many: String = "code,frame\n".chars().chain("1,2\n".repeat(packs::ROWS + 1).chars()).collect();
    let mut texts = quellmoor();
    texts
        .iter_mut()
        .filter(|(n, _)| n == "slots.csv")
        .for_each(|(_, t)| *t = format!("slot\n{}", (0..=packs::ROWS).map(|i| format!("s{i}\n")).collect::<String>()));
    let problems = crate::common::pack(&texts, "quellmoor-q3").problems;
    assert!(problems.iter().any(|p| p.message.contains("more than 100000 rows")), "{problems:?}");
    assert!(read_all(&many).len() < 5_000);
    // Eight megabytes of lines with a mistake each.
    let wrong = "x = y z\n".repeat(TEXT_BYTES / 8);
    assert!(read_site(&source("site.toml", &wrong)).problems.len() < 300);
}
