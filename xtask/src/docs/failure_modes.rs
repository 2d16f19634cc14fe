//! docs/failure-modes.md: every known way in which a replacement fails, and which finding catches it.

use findings::failure_modes::{FAILURE_MODES, FailureMode, ON_PAPER, find};
use findings::registry::CHECKS;

use super::table;

const OPEN: &str = "open";

pub(super) fn page() -> String {
    let caught = FAILURE_MODES.iter().filter(|mode| !caught_by(mode).is_empty()).count();
    let on_paper = ON_PAPER.iter().filter(|o| find(o.row).is_some_and(|mode| caught_by(mode).is_empty())).count();
    let open = FAILURE_MODES.len() - caught - on_paper;
    let rest = if open == 0 { "none is open".to_owned() } else { format!("{open} are {OPEN}") };
    let mut page = format!(
        "# What goes wrong, and what catches it\n\n{} ways in which a replacement fails, at the cutover or in the weeks after; {caught} of them are \
         caught by a finding; {on_paper} that no survey decides are put before people by a paper of the job; {rest}. Facts of the trade (common \
         practice, no source). `changeout explain NAME` prints the page of a finding; the letters name its cautions.\n",
        FAILURE_MODES.len()
    );
    let mut groups: Vec<&str> = FAILURE_MODES.iter().map(|mode| mode.group).collect();
    groups.dedup();
    for group in groups {
        let rows = FAILURE_MODES.iter().filter(|mode| mode.group == group).map(|mode| {
            let paper = ON_PAPER.iter().filter(|o| o.row == mode.row).map(|o| format!("paper `{}`", o.paper));
            let findings: Vec<String> = caught_by(mode).into_iter().chain(paper).collect();
            let findings = if findings.is_empty() { OPEN.to_owned() } else { findings.join(", ") };
            vec![mode.row.to_string(), mode.symptom.into(), mode.cause.into(), mode.severity.into(), mode.cautions.into(), findings]
        });
        let heads = ["row", "what people see", "what was overlooked", "may cause", "cautions", "finding"];
        page += &format!("\n## {}\n\n{}", group[..1].to_uppercase() + &group[1..], table(&heads, rows));
    }
    page
}

/// Links to the pages of the findings that name a row.
fn caught_by(mode: &FailureMode) -> Vec<String> {
    let link = |name: &str| format!("[{name}](../crates/findings/src/{}.md)", name.replace('-', "_"));
    CHECKS.iter().filter(|c| c.rows.contains(&mode.row)).map(|c| link(c.name)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_row_is_open() {
        let on_paper = |row: u8| ON_PAPER.iter().any(|o| o.row == row);
        let open: Vec<u8> = FAILURE_MODES.iter().filter(|m| caught_by(m).is_empty() && !on_paper(m.row)).map(|m| m.row).collect();
        assert!(open.is_empty(), "rows {open:?} are open");
    }

    #[test]
    fn every_row_and_every_finding_is_on_the_page() {
        let page = page();
        assert!(FAILURE_MODES.iter().all(|mode| page.contains(&format!("\n| {} | ", mode.row))));
        for check in CHECKS {
            assert!(check.rows.is_empty() || page.contains(&format!("[{}]", check.name)), "{}", check.name);
        }
    }
}
