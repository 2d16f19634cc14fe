//! `cargo xtask tidy`: the house rules that no compiler knows. Each rule is one line below; every rule is also a test of
//! its own, so that `cargo test` shows them too.

use crate::tree::{Tree, root};
use crate::{Done, Failure, no_arguments};

mod architecture;
mod calculations;
pub(crate) mod faults;
mod layers;
mod texts;

/// What a rule has to say: one line per place where it is broken.
type Problems = Result<Vec<String>, Failure>;

/// One rule.
struct Rule {
    says: &'static str,
    check: fn(&Tree) -> Problems,
}

/// `rules! { name: check, "what it says"; … }`: the list, and a test for each.
macro_rules! rules {
    ($($name:ident: $check:expr, $says:literal;)+) => {
        const RULES: &[Rule] = &[$(Rule { says: $says, check: $check }),+];

        #[cfg(test)]
        mod this_repository {
            use super::*;

            $(#[test]
            fn $name() {
                let problems = ($check)(&Tree::read(&root()).unwrap()).unwrap();
                assert!(problems.is_empty(), "{}:\n{}", $says, problems.join("\n"));
            })+
        }
    };
}

rules! {
    files_say_what_they_hold: texts::without_opening, "every Rust file begins with //! and what belongs there";
    nothing_is_left_to_do: texts::left_to_do, "no code is left unwritten";
    no_neighbour_is_named: texts::neighbours, "nothing outside the repository is named";
    no_registry_is_named: texts::registries, "no host of a registry is named";
    names_are_plain: texts::product_words, "no word that many products wear, in names of files or in texts for people";
    links_lead_somewhere: texts::dead_links, "every link from page to page leads to a file";
    architecture_is_the_disk: architecture::differs, "ARCHITECTURE.md names every crate with its invariant, and no other";
    lints_are_taken: architecture::without_lints, "every crate takes the lints of the workspace";
    layers_are_kept: layers::broken, "no crate depends on what it must never know";
    findings_are_in_place: faults::out_of_place, "every finding stands in its file, with its page, under its name, once";
    findings_name_faults: faults::named_for_cures, "a finding names the fault, never the cure or the check";
    calculations_can_be_called: calculations::unlisted, "every calculation that is written stands in a list and can be called by its name";
    calculations_named_are_there: calculations::named_in_vain, "pages name no calculation that is not there";
    pages_are_current: crate::docs::stale, "generated pages are current (cargo xtask docs)";
}

/// Runs the command.
///
/// # Errors
/// Every place where a rule is broken.
pub(crate) fn run(arguments: &[String]) -> Done {
    no_arguments(arguments)?;
    let tree = Tree::read(&root())?;
    let mut broken = 0;
    for rule in RULES {
        let problems = (rule.check)(&tree)?;
        println!("{} {}", if problems.is_empty() { "ok    " } else { "BROKEN" }, rule.says);
        for problem in &problems {
            println!("         {problem}");
        }
        broken += problems.len();
    }
    for (path, lines) in texts::long(&tree) {
        println!("note   {path} has {lines} lines; does it hold two subjects?");
    }
    if broken == 0 { Ok(()) } else { Err(Failure::Work(format!("{broken} places break a rule"))) }
}
