//! docs/facts.md: every fact of a survey, with what it takes to find out and what is assumed until then.

use plant::quantity::{System, show};
use plant::survey::{Assume, DUTY_COLUMNS, FACTS, FactDef, Kind, def, path};

use super::{code, table};

pub(super) fn page() -> String {
    let mut page = String::from(
        "# Facts of a survey\n\nWhat a position's file may say, table by table: what each fact is, what it takes to find out, and what is assumed while it \
         is not known. Assumptions are habits of the trade (common practice, no source) unless the reason names a source; every answer that \
         rests on one says so.\n",
    );
    let mut tables: Vec<&str> = Vec::new();
    for fact in FACTS.iter().chain(DUTY_COLUMNS) {
        if !tables.contains(&fact.table()) {
            tables.push(fact.table());
        }
    }
    for name in tables {
        let rows = FACTS.iter().chain(DUTY_COLUMNS).filter(|f| f.table() == name).map(row);
        let heads = ["key", "what it is", "takes", "to find out", "until then", "because"];
        page += &format!("\n## {}\n\n{}", if name == "duty" { "[[duty]]".into() } else { format!("[{name}]") }, table(&heads, rows));
    }
    page
}

fn row(fact: &FactDef) -> Vec<String> {
    let takes = match fact.kind {
        Kind::Quantity(info) => info.name.to_owned(),
        Kind::Choice(info) => info.words.iter().map(|w| code(w.word)).collect::<Vec<_>>().join(", "),
    };
    vec![code(fact.key()), fact.label.into(), takes, fact.effort.words().into(), assumed(fact), fact.because.into()]
}

/// What is assumed, in words.
fn assumed(fact: &FactDef) -> String {
    let value = |raw: f64| match fact.kind {
        Kind::Quantity(info) => show(raw, info, System::Metric),
        Kind::Choice(info) => {
            info.words.iter().zip(0_u32..).find(|(_, i)| (f64::from(*i) - raw).abs() < 0.5).map_or(String::new(), |(w, _)| code(w.word))
        }
    };
    match fact.assume {
        Assume::Nothing => "nothing: what needs it stays open".into(),
        Assume::NotNeeded => "nothing: checks do without it".into(),
        Assume::Is(raw) => value(raw),
        Assume::Between(low, high) => format!("{} to {}", value(low), value(high)),
        Assume::OneOf(values) => values.iter().map(|v| value(*v)).collect::<Vec<_>>().join(" or "),
        Assume::AnyWord => "any of the words".into(),
        Assume::TimesMotors(low, high) => format!("{low} to {high} × the rated current of all motors"),
        Assume::Times(base, low, high) => format!("{low} to {high} × {} ({})", code(&path(base)), def(base).label),
        Assume::By(_) => "follows from other facts".into(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_fact_has_a_row_and_every_assumption_words() {
        let page = page();
        for fact in FACTS {
            assert!(page.contains(&format!("| `{}` | {} |", fact.key(), fact.label)), "{}", fact.path);
            assert!(!assumed(fact).is_empty(), "{}", fact.path);
        }
    }
}
