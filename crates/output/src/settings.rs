//! The settings of a position as files: the sheet and the load sequence as CSV (RFC 4180), the object dictionary as DCF where there is one.

use dossier::settings::{Settings, Value};

/// All files of the settings, each with its name.
#[must_use]
pub fn files(answer: &Settings, date: &str) -> Vec<(&'static str, String)> {
    let mut files = vec![("settings.csv", sheet_csv(answer)), ("load-sequence.csv", load_csv(answer))];
    if answer.load_sequence.iter().any(|s| s.index.is_some()) {
        files.push(("settings.dcf", crate::dcf::dcf(answer, &answer.maker, date)));
    }
    files
}

/// The sheet: one row for each line.
#[must_use]
pub fn sheet_csv(answer: &Settings) -> String {
    let head = ["old", "old name", "old value", "concept", "value", "unit", "new", "new name", "new value", "outcome", "loss", "reason"];
    let mut text = row(&head);
    for line in &answer.settings {
        let old = line.old.clone().unwrap_or_default();
        let new = line.new.clone().unwrap_or_default();
        let (concept, value, unit) = match &line.meaning {
            Some(m) => {
                let value = match &m.value {
                    Value::Number(number) => number.to_string(),
                    Value::Word(word) => word.clone(),
                    Value::Unknown => String::new(),
                };
                (m.concept.as_str(), value, m.unit.as_str())
            }
            None => ("", String::new(), ""),
        };
        let loss = line.loss.clone().unwrap_or_default();
        text += &row(&[
            &old.id,
            &old.name,
            &old.text,
            concept,
            &value,
            unit,
            &new.id,
            &new.name,
            &new.text,
            &line.outcome,
            &loss,
            &line.reason,
        ]);
    }
    text
}

/// What to enter, in order.
#[must_use]
pub fn load_csv(answer: &Settings) -> String {
    let mut text = row(&["step", "id", "name", "value", "motor", "why"]);
    for step in &answer.load_sequence {
        text += &row(&[&step.step.to_string(), &step.id, &step.name, &step.text, &step.access, &step.why]);
    }
    text
}

fn row(cells: &[&str]) -> String {
    let cell = |text: &&str| {
        // What begins like a formula is run as one by spreadsheets; a number with its sign is none.
        let formula = text.starts_with(['=', '@', '\t', '\r'])
            || (text.starts_with(['+', '-']) && !text[1..].starts_with(|c: char| c.is_ascii_digit()));
        let text = if formula { format!("'{text}") } else { (*text).to_owned() };
        if text.contains(['"', ',', '\n', '\r', ';']) { format!("\"{}\"", text.replace('"', "\"\"")) } else { text }
    };
    cells.iter().map(cell).collect::<Vec<_>>().join(",") + "\n"
}

#[cfg(test)]
mod tests {
    use dossier::settings::{Line, Setting};

    use super::*;

    #[test]
    fn cells_stay_cells() {
        let setting = |text: &str| Some(Setting { id: "A".into(), text: text.into(), name: "=1+1".into() });
        let line = Line { old: setting("5, \"x\""), new: setting("-10 Hz"), outcome: "carried".into(), ..Line::default() };
        let text = sheet_csv(&Settings { settings: vec![line], ..Settings::default() });
        assert_eq!(text.lines().nth(1), Some("A,'=1+1,\"5, \"\"x\"\"\",,,,A,'=1+1,-10 Hz,carried,,"));
    }
}
