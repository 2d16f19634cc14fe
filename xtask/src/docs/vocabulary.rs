//! docs/vocabulary.md: the neutral vocabulary in which old and new drives meet.

use plant::vocabulary::{Concept, Group, concepts};

use super::{code, table};

pub(super) fn page() -> String {
    let mut page = format!(
        "# Vocabulary\n\n{} things that a setting, a terminal or a network word of a drive can mean, whatever makers call them. Packs name the ids; \
         `changeout explain ID` shows one. Numbers of objects and clauses are from memory.\n",
        concepts().count()
    );
    for group in Group::ALL {
        let heads = ["id", "term", "in open standards", "unit", "what it is", "the trap"];
        page += &format!("\n## {}\n\n{}", group.title(), table(&heads, group.concepts().iter().map(row)));
    }
    page
}

fn row(concept: &Concept) -> Vec<String> {
    let unit =
        concept.unit.map_or(concept.unit_text, |info| if info.units[0].symbol.is_empty() { info.name } else { info.units[0].symbol });
    [&code(concept.id), concept.term, concept.standard, unit, concept.definition, concept.trap].map(str::to_owned).into()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_concept_has_a_row() {
        let page = page();
        assert!(concepts().all(|c| page.contains(&format!("| `{}` |", c.id))));
    }
}
