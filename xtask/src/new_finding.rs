//! `cargo xtask new-finding GROUP/NAME`: lays out a finding that compiles, is registered and passes its own test, to be
//! rewritten by whoever adds it: the check, its page with every heading, its lines in group and registry.

use std::path::Path;

use findings::check::HEADINGS;

use crate::insert::{Edit, Name, list_line, module_line, write_all};
use crate::tidy::faults::forbidden_pattern;
use crate::tree::{Tree, root};
use crate::{Done, Failure, one_argument};

const SRC: &str = "crates/findings/src";

/// Runs the command.
///
/// # Errors
/// A name that does not fit, is forbidden or was given before, or a file that can't be written.
pub(crate) fn run(arguments: &[String]) -> Done {
    let name = Name::parse(one_argument(arguments, "GROUP/NAME")?)?;
    create(&root(), &name)?;
    println!(
        "\nnext: the check and the failure-mode rows that it catches in {SRC}/{}/{}.rs, the page beside it,",
        name.group_file(),
        name.file()
    );
    println!("then cargo test --release -p findings and cargo xtask docs");
    Ok(())
}

/// Lays the finding out in the repository at `root`.
///
/// # Errors
/// As [`run`].
pub(crate) fn create(root: &Path, name: &Name) -> Done {
    let tree = Tree::read(root)?;
    write_all(root, plan(&tree, name)?)
}

fn plan(tree: &Tree, name: &Name) -> Result<Vec<Edit>, Failure> {
    let full = format!("{}/{}", name.group, name.name);
    let (group, module) = (name.group_module(), name.module());
    let group_file = format!("{SRC}/{}.rs", name.group_file());
    let stem = format!("{SRC}/{}/{}", name.group_file(), name.file());
    let (lib_file, registry_file) = (format!("{SRC}/lib.rs"), format!("{SRC}/registry.rs"));
    let registry = tree.text(&registry_file);

    if let Some(pattern) = forbidden_pattern(&full) {
        return Err(Failure::Usage(format!("“{full}” matches “{pattern}”: a finding names the fault, never the cure or the check")));
    }
    if let Some(taken) = [format!("{stem}.rs"), format!("{stem}.md")].iter().find(|path| tree.has(path)) {
        return Err(Failure::Usage(format!("{taken} is there already")));
    }
    if registry.contains(&format!("\"{full}\"")) {
        return Err(Failure::Usage(format!("“{full}” was a finding before; a name is never given to another fault")));
    }
    let registered = format!("&{group}::");
    let is_group = registry.contains(&registered);
    if tree.has(&group_file) && !is_group {
        return Err(Failure::Usage(format!("{group_file} is no group of findings, so the group needs another name")));
    }

    let mut edits = Vec::new();
    let mut registry = list_line(registry, "pub const CHECKS:", &registered, &format!("&{group}::{module}::CHECK,"))?;
    if is_group {
        edits.push(Edit::new(&group_file, module_line(tree.text(&group_file), &format!("pub mod {module};"))));
    } else {
        const USE: &str = "use crate::{";
        if !registry.contains(USE) {
            return Err(Failure::Work(format!("{registry_file} has no “{USE}…}};” to name the new group in")));
        }
        registry = registry.replacen(USE, &format!("{USE}{group}, "), 1);
        edits.push(Edit::new(
            &group_file,
            format!("//! {}: say in one sentence which faults belong here.\n\npub mod {module};\n", name.group),
        ));
        edits.push(Edit::new(&lib_file, module_line(tree.text(&lib_file), &format!("pub mod {group};"))));
    }
    edits.push(Edit::new(&registry_file, registry));
    edits.push(Edit::new(format!("{stem}.rs"), CHECK.replace("NAME_FULL", &full).replace("NAME_FILE", &name.file())));
    edits.push(Edit::new(format!("{stem}.md"), page(&name.name)));
    Ok(edits)
}

fn page(name: &str) -> String {
    let words = name.replace('-', " ");
    let mut page =
        format!("# {}{}: say the fault in one line\n\nSay what is wrong, in one sentence.\n", words[..1].to_uppercase(), &words[1..]);
    for heading in HEADINGS {
        page += &format!("\n## {heading}\n\n{}\n", hint(heading));
    }
    page
}

/// What to write under a heading.
fn hint(heading: &str) -> &'static str {
    match heading {
        "What it means" => "Say what stands against what, in words that an electrician uses.",
        "Why it hurts" => "Say what people see when it is overlooked, and what it costs them.",
        "How it is computed" => "margin = what is there/what is needed − 1, in %. Below zero it fails.",
        "What settles it" => "- Say which reading, taken how, and under which precautions.",
        "Remedies" => "1. Say what makes it hold, the cheapest first; none but another candidate is an answer too.",
        "Cautions" => "- The unit's own instructions and the local code govern.",
        "Sources" => "- Title, edition, table or clause, and how it is known (survey).",
        _ => "Say it in a sentence or two, in the words of the trade.",
    }
}

/// The unit's current against the motor's stands in for the real thing: it shows every part that a check has.
const CHECK: &str = r##"//! Say in one sentence what is wrong when this check fails, and what was overlooked.

use calc::sources::{PACK, SURVEY};
use calc::working::{Recorder, Step};
use plant::survey::MOTOR_CURRENT;

use crate::candidate::Candidate;
use crate::check::{Outcome, Way, check, covered, no_remedy};
use crate::facts::{Reader, Stop};

check! {
    name: "NAME_FULL",
    severity: Downtime,
    rows: &[3],
    unit: "%",
    ways: &[(MOTOR_CURRENT.id, Way::Down)],
    measures: &[],
    page: "NAME_FILE.md",
    run: run,
    remedies: no_remedy,
}

fn run<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    let motor = facts.get(MOTOR_CURRENT)?;
    rec.step(|| Step::new("I_M", "rated current of the motor", "", &SURVEY).gives(motor));
    rec.step(|| Step::new("I_N", "rated current of the unit", "", &PACK).gives(unit.rating.current));
    Ok(covered(rec, "I_N/I_M − 1", ("I_N", unit.rating.current), ("I_M", motor)))
}

#[cfg(test)]
mod tests {
    use plant::choice::Duty;

    use super::*;
    use crate::fixture::{by_hand, just_covered, unit};

    #[test]
    fn the_margin_is_as_worked_out_by_hand() {
        // 52/50 = 1.04; 52/60 = 0.8667.
        let heavy = unit("R1", Duty::Heavy);
        by_hand(&CHECK, &[("motor.current", "50 A")], &heavy, 4.0);
        by_hand(&CHECK, &[("motor.current", "60 A")], &heavy, -13.33);
    }

    #[test]
    fn it_turns_where_it_is_just_covered() {
        just_covered(&CHECK, &[("motor.current", "52 A")], &unit("R1", Duty::Heavy));
    }
}
"##;

#[cfg(test)]
mod tests {
    use super::*;

    fn tree() -> Tree {
        Tree::of(&[
            ("crates/findings/src/lib.rs", "//! F.\n\npub mod check;\npub mod rating;\npub mod registry;\n"),
            ("crates/findings/src/check.rs", "//! C.\n"),
            ("crates/findings/src/rating.rs", "//! R.\n\npub mod short;\n"),
            ("crates/findings/src/rating/short.rs", "//! S.\n"),
            (
                "crates/findings/src/registry.rs",
                "use crate::{rating};\n\npub const CHECKS: &[&Check] = &[\n    &rating::short::CHECK,\n];\n\npub const REPLACED: &[(&str, &str)] = &[(\"rating/old-name\", \"rating/short\")];\n",
            ),
        ])
    }

    fn planned(name: &str) -> Result<Vec<Edit>, Failure> {
        plan(&tree(), &Name::parse(name).unwrap())
    }

    #[test]
    fn a_group_that_is_there_gets_one_more() {
        let edits = planned("rating/torque-short").unwrap();
        let paths: Vec<&str> = edits.iter().map(|e| e.path.trim_start_matches("crates/findings/src/")).collect();
        assert_eq!(paths, ["rating.rs", "registry.rs", "rating/torque_short.rs", "rating/torque_short.md"]);
        assert!(edits[0].text.contains("pub mod torque_short;") && edits[1].text.contains("&rating::torque_short::CHECK,\n]"));
        assert!(HEADINGS.iter().all(|h| edits[3].text.contains(&format!("\n## {h}\n"))) && edits[3].text.starts_with("# Torque short: "));
    }

    #[test]
    fn a_new_group_is_made_even_where_its_name_is_a_keyword() {
        let edits = planned("box/too-hot").unwrap();
        assert!(edits[1].text.contains("pub mod r#box;"), "{}", edits[1].text);
        assert!(edits[2].text.contains("use crate::{r#box, rating};") && edits[2].text.contains("&r#box::too_hot::CHECK,"));
        assert_eq!(edits[3].path, "crates/findings/src/box/too_hot.rs");
    }

    #[test]
    fn what_exists_existed_or_names_a_cure_is_refused() {
        for bad in ["rating/short", "rating/old-name", "check/anything", "rating/fix-overload", "rating/use-larger-unit"] {
            assert!(matches!(planned(bad), Err(Failure::Usage(_))), "{bad}");
        }
    }
}
