//! `cargo xtask new-calc SUBJECT/NAME`: lays out a calculation that compiles, computes and is on the list, to be
//! rewritten by whoever adds it: its file, its line in the subject, and its table of published figures.

use std::path::Path;

use crate::insert::{Edit, Name, list_line, module_line, write_all};
use crate::tree::{Tree, root};
use crate::{Done, Failure, one_argument};

const CALC: &str = "crates/calc";
/// How each subject declares its list.
const LIST: &str = "pub const CALCULATIONS:";

/// Runs the command.
///
/// # Errors
/// A name that does not fit or exists, or a file that can't be written.
pub(crate) fn run(arguments: &[String]) -> Done {
    let name = Name::parse(one_argument(arguments, "SUBJECT/NAME")?)?;
    create(&root(), &name)?;
    println!(
        "\nnext: the equation, its limits and its source in {CALC}/src/{}/{}.rs, and rows from a standard or",
        name.group,
        name.file()
    );
    println!("handbook in {CALC}/tests/published/{}.csv; then cargo test --release -p calc", name.file());
    Ok(())
}

/// Lays the calculation out in the repository at `root`.
///
/// # Errors
/// As [`run`].
pub(crate) fn create(root: &Path, name: &Name) -> Done {
    let tree = Tree::read(root)?;
    write_all(root, plan(&tree, name)?)
}

fn plan(tree: &Tree, name: &Name) -> Result<Vec<Edit>, Failure> {
    let (subject, module) = (name.group_file(), name.module());
    let constant = name.file().to_uppercase();
    let list = format!("{CALC}/src/{subject}.rs");
    let file = format!("{CALC}/src/{subject}/{}.rs", name.file());
    let figures = format!("{CALC}/tests/published/{}.csv", name.file());
    if !tree.text(&list).contains(LIST) {
        let subjects = tree.files.iter().filter(|f| f.path.starts_with(&format!("{CALC}/src/")) && f.text.contains(LIST));
        let known: Vec<&str> = subjects.map(|f| f.name().trim_end_matches(".rs")).collect();
        return Err(Failure::Usage(format!("there is no subject “{}”; known are {}", name.group, known.join(", "))));
    }
    if let Some(taken) = [&file, &figures].into_iter().find(|path| tree.has(path)) {
        return Err(Failure::Usage(format!("{taken} is there already")));
    }
    let declared = format!("name: \"{}\"", name.name);
    if let Some(taken) = tree.files.iter().find(|f| f.path.starts_with(&format!("{CALC}/src/")) && f.text.contains(&declared)) {
        return Err(Failure::Usage(format!("a calculation of that name stands in {}", taken.path)));
    }
    let text = module_line(tree.text(&list), &format!("pub mod {module};"));
    let text = list_line(&text, LIST, "", &format!("&{module}::{constant},"))?;
    let body = TEMPLATE
        .replace("SUBJECT", &name.group_module())
        .replace("NAME_MODULE", &module)
        .replace("NAME_KEBAB", &name.name)
        .replace("NAME_CONSTANT", &constant)
        .replace("NAME_WORDS", &name.name.replace('-', " "));
    Ok(vec![Edit::new(list, text), Edit::new(file, body), Edit::new(figures, format!("{}\n", header(tree)))])
}

/// The header that the tables of published figures share.
fn header(tree: &Tree) -> &str {
    let tables = tree.files.iter().filter(|f| f.path.starts_with(&format!("{CALC}/tests/published/")) && f.path.ends_with(".csv"));
    tables.filter_map(|f| f.text.lines().next()).next().unwrap_or("id,calculation,inputs,result,expected,unit,tolerance,source,how,notes")
}

/// The energy that a power brings in a time stands in for the real thing: it shows every part that a calculation has.
const TEMPLATE: &str = r##"//! NAME_WORDS: say in one sentence what belongs here.

use plant::quantity::{Energy, Power, Time, dim};

use crate::registry::{Arguments, Calculation, Refusal, output, quantity};
use crate::sources::DEFINITION;
use crate::working::{Recorder, Step, Working};

/// Say what it computes, in one sentence.
///
/// E = P·t: the equation, each symbol with its unit (P in W, t in s, E in J), and for which values it holds (t of zero or more).
///
/// # Errors
/// When the time is below zero.
///
/// Source: title, edition, table or clause, and how it is known. Worked example: 2 kW for 3 s are 6 kJ.
/// ```
/// use calc::{SUBJECT::NAME_MODULE::energy, working::Silent};
/// use plant::quantity::{Power, Time};
/// let e = energy(Power::kw(2.0), Time::s(3.0), &mut Silent).unwrap();
/// assert!((e.in_j() - 6000.0).abs() < 1e-9);
/// ```
pub fn energy<R: Recorder>(power: Power, time: Time, rec: &mut R) -> Result<Energy, Refusal> {
    if !(time >= Time::ZERO && time.is_finite() && power.is_finite()) {
        return Err(Refusal::new(format!("the time must be zero or more, not {time}")));
    }
    let energy = Energy::j(power.in_w() * time.in_s());
    rec.step(|| Step::new("E", "energy", "P·t", &DEFINITION).with("P", power).with("t", time).gives(energy));
    Ok(energy)
}

/// `calc NAME_KEBAB`.
pub const NAME_CONSTANT: Calculation = Calculation {
    name: "NAME_KEBAB",
    summary: "Say what it computes, in one sentence.",
    inputs: &[quantity::<dim::PowerDim>("power", "what it is"), quantity::<dim::TimeDim>("time", "what it is")],
    results: &[output::<dim::EnergyDim>("energy", "kJ", "what it is")],
    sources: &[&DEFINITION],
    run: |a: &Arguments, w: &mut Working| Ok(vec![energy(a.get("power"), a.get("time"), w)?.in_si()]),
};

#[cfg(test)]
mod tests {
    use super::*;
    use crate::working::Silent;

    #[test]
    fn outside_its_limits_it_is_refused() {
        assert!(energy(Power::kw(2.0), Time::s(-1.0), &mut Silent).is_err());
        assert!(energy(Power::kw(2.0), Time::s(f64::NAN), &mut Silent).is_err());
    }

    #[test]
    fn it_is_on_the_list() {
        assert!(crate::registry::find(NAME_CONSTANT.name).is_some());
    }
}
"##;

#[cfg(test)]
mod tests {
    use super::*;

    fn tree() -> Tree {
        Tree::of(&[
            ("crates/calc/src/motor.rs", "//! M.\n\npub mod slip;\n\npub const CALCULATIONS: &[&Calculation] = &[\n    &slip::SLIP,\n];\n"),
            ("crates/calc/src/motor/slip.rs", "name: \"slip\""),
            ("crates/calc/src/motor/shaft.rs", "name: \"shaft-torque\""),
            ("crates/calc/tests/published/slip.csv", "id,calculation\nX,slip\n"),
        ])
    }

    fn planned(name: &str) -> Result<Vec<Edit>, Failure> {
        plan(&tree(), &Name::parse(name).unwrap())
    }

    #[test]
    fn it_is_registered_and_gets_a_table() {
        let edits = planned("motor/heat-store").unwrap();
        assert!(edits[0].text.contains("pub mod heat_store;") && edits[0].text.contains("    &heat_store::HEAT_STORE,\n]"));
        assert!(edits[1].text.contains("name: \"heat-store\"") && edits[1].text.contains("calc::{motor::heat_store::energy"));
        assert_eq!((edits[2].path.as_str(), edits[2].text.as_str()), ("crates/calc/tests/published/heat_store.csv", "id,calculation\n"));
    }

    #[test]
    fn what_exists_is_left_alone() {
        for taken in ["motor/slip", "motor/shaft-torque", "pump/head"] {
            assert!(matches!(planned(taken), Err(Failure::Usage(_))), "{taken}");
        }
    }
}
