//! docs/calculations.md: every calculation that can be called by name, with its inputs, results and sources.

use calc::registry::{Calculation, Input, InputKind, all};
use plant::quantity::DimensionInfo;

use super::{code, table};

pub(super) fn page() -> String {
    let mut page = format!(
        "# Calculations\n\nEach of the {} is called with `changeout calc NAME key=value …` and shows its working.\n\n",
        all().count()
    );
    page += &table(&["name", "what it computes"], all().map(|c| vec![format!("[{0}](#{0})", c.name), c.summary.into()]));
    all().for_each(|calculation| page += &section(calculation));
    page
}

fn section(calculation: &Calculation) -> String {
    let inputs = calculation.inputs.iter().map(|i| vec![code(i.name), takes(i), left_out(i), i.doc.into()]);
    let results = calculation.results.iter().map(|r| vec![code(r.name), r.dimension.name.into(), r.unit.into(), r.doc.into()]);
    let sources: String = calculation.sources.iter().map(|s| format!("- {}\n", s.text())).collect();
    format!(
        "\n## {}\n\n{}\n\n{}\n{}\nSources:\n\n{sources}",
        calculation.name,
        calculation.summary,
        table(&["input", "takes", "left out", "what it is"], inputs),
        table(&["result", "quantity", "unit", "what it is"], results),
    )
}

/// What an input's text may be.
fn takes(input: &Input) -> String {
    match input.kind {
        InputKind::Quantity(info) => quantity(info),
        InputKind::Word(words) => words.iter().map(|w| code(w)).collect::<Vec<_>>().join(", "),
        InputKind::Rows(cells) => {
            format!("rows, apart by “;”, of {}, apart by “, ”", cells.iter().map(|i| quantity(i)).collect::<Vec<_>>().join(" and "))
        }
    }
}

fn quantity(info: &DimensionInfo) -> String {
    let units: Vec<&str> = info.units.iter().map(|u| if u.symbol.is_empty() { "bare number" } else { u.symbol }).collect();
    format!("{} ({})", info.name, units.join(", "))
}

/// What is taken when an input is left out.
fn left_out(input: &Input) -> String {
    match input.default {
        None => "required".into(),
        Some("") => "goes without".into(),
        Some(text) => format!("as {}", code(text)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_calculation_has_its_section() {
        let page = page();
        for calculation in all() {
            assert!(page.contains(&format!("\n## {}\n", calculation.name)), "{}", calculation.name);
            assert!(calculation.sources.iter().all(|s| page.contains(&s.text())), "{}", calculation.name);
        }
    }
}
