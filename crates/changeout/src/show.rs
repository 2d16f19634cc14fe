//! The dossier on a terminal: one readable answer per position.

use std::io::{self, Write};

use comfy_table::presets::NOTHING;
use comfy_table::{Cell, CellAlignment, ContentArrangement, Table};
use dossier::{Candidate, Dossier, Finding, Position, Step};
pub(crate) use job::phrase::margin_text;
use job::phrase::{beside_others, cost, money, standing, weeks_in_words};
use plant::quantity::digits;

/// Width that long lines are broken to when the terminal does not say.
pub(crate) const WIDTH: u16 = 110;
/// Readings that are shown of the list.
const READINGS: usize = 5;
/// Findings that are shown as the tightest.
const TIGHTEST: usize = 4;

pub(crate) fn table() -> Table {
    let mut table = Table::new();
    table.load_style(NOTHING).set_content_arrangement(ContentArrangement::Dynamic);
    if table.width().is_none() {
        table.set_width(WIDTH);
    }
    table
}

/// Prints a table set in by a few spaces, without trailing blanks.
pub(crate) fn print_table(out: &mut impl Write, table: &Table) -> io::Result<()> {
    for line in table.to_string().lines() {
        writeln!(out, "    {}", line.trim_end())?;
    }
    Ok(())
}

/// A paragraph behind `head`, its further lines set in under it.
pub(crate) fn wrap(out: &mut impl Write, head: &str, text: &str) -> io::Result<()> {
    let indent = head.chars().count();
    let width = usize::from(WIDTH).saturating_sub(indent);
    let mut line = String::new();
    let mut lead = head.to_owned();
    for word in text.split_whitespace() {
        if !line.is_empty() && line.chars().count() + 1 + word.chars().count() > width {
            writeln!(out, "{lead}{line}")?;
            lead = " ".repeat(indent);
            line.clear();
        }
        if !line.is_empty() {
            line.push(' ');
        }
        line.push_str(word);
    }
    writeln!(out, "{lead}{line}")
}

/// The whole site.
pub(crate) fn dossier(out: &mut impl Write, dossier: &Dossier, working: bool) -> io::Result<()> {
    for position in &dossier.positions {
        self::position(out, position, &dossier.currency, working)?;
    }
    writeln!(out, "{}\n{}, {}\n", "─".repeat(usize::from(WIDTH)), dossier.site, dossier.date)?;
    let mut table = table();
    table.set_header(["position", "verdict", "candidate", "installed", "sound", "in doubt", "ruled out"]);
    for p in &dossier.positions {
        let first = p.candidates.first();
        let mut row: Vec<Cell> = vec![
            Cell::new(&p.tag),
            Cell::new(first.map_or("no candidate", standing)),
            Cell::new(p.chosen.as_deref().unwrap_or("—")),
            Cell::new(first.map_or_else(String::new, |c| cost(c, &dossier.currency))).set_alignment(CellAlignment::Right),
        ];
        let counts = [p.counts.sound_by_choice, p.counts.doubtful_by_choice, p.counts.ruled_out_by_choice];
        row.extend(counts.map(|n| Cell::new(n).set_alignment(CellAlignment::Right)));
        table.add_row(row);
    }
    print_table(out, &table)?;
    writeln!(out)?;
    cautions(out, dossier)?;
    if let Some(position) = dossier.positions.first() {
        wrap(out, "Not examined at any position: ", &format!("{}.", position.not_examined.join("; ")))?;
    }
    wrap(
        out,
        "",
        "Nothing here says that an installation complies with a code. The unit's own instructions, the local code and licensed people \
         decide what may be built and energised.",
    )
}

/// Each caution once, with the positions that it goes with.
fn cautions(out: &mut impl Write, dossier: &Dossier) -> io::Result<()> {
    let mut seen: Vec<&dossier::Caution> = Vec::new();
    for caution in dossier.positions.iter().flat_map(|p| &p.cautions) {
        if !seen.contains(&caution) {
            seen.push(caution);
        }
    }
    for caution in seen {
        let tags: Vec<&str> = dossier.positions.iter().filter(|p| p.cautions.contains(caution)).map(|p| p.tag.as_str()).collect();
        let whose = if tags.len() == dossier.positions.len() { String::new() } else { format!(" ({})", tags.join(", ")) };
        wrap(out, "⚠ ", &format!("{}{whose}: {}", caution.hazard, caution.text))?;
    }
    writeln!(out)
}

/// One position.
pub(crate) fn position(out: &mut impl Write, position: &Position, currency: &str, working: bool) -> io::Result<()> {
    let rule = "─".repeat(usize::from(WIDTH));
    writeln!(out, "{rule}\n{}  {}", position.tag, position.machine)?;
    if !position.old.is_empty() {
        let meaning: Vec<String> = position.old_decoded.iter().map(|s| format!("{}: {}", s.segment, s.meaning)).collect();
        let meaning = if meaning.is_empty() { String::new() } else { format!(" ({})", meaning.join(" · ")) };
        wrap(out, "  old drive: ", &format!("{}{meaning}", position.old))?;
    }
    for remark in &position.remarks {
        wrap(out, "  ! ", remark)?;
    }
    let Some(first) = position.candidates.first() else {
        return writeln!(out, "  no pack offers a candidate: put packs that may replace into packs/\n");
    };
    let by = position.chosen_by.as_ref().map_or(String::new(), |by| format!(" (chosen by {by})"));
    writeln!(out, "\n  {}: {} {}, {} duty{by}", standing(first).to_uppercase(), first.series, first.code, first.duty)?;
    match (first.verdict.as_str(), first.by_choice.as_str()) {
        ("holds", _) => {}
        (_, "holds") => writeln!(out, "  sound in all that a choice of drive can decide; the rest is the position's own, see below")?,
        (_, "depends") => writeln!(out, "  whether it is sound depends on more than the position's own trouble, see below")?,
        _ => writeln!(out, "  no candidate is better in everything; this one has the fewest findings against it")?,
    }
    writeln!(out, "  installed {}", cost(first, currency))?;
    for line in first.bill.iter().skip(1) {
        let price = line.price.map_or_else(|| "price not known".into(), money);
        let comes = line.lead_weeks.map_or_else(String::new, |weeks| format!(", in {}", weeks_in_words(weeks)));
        wrap(out, "    · ", &format!("{} ({price}{comes})", line.what))?;
    }
    findings(out, first)?;
    if working {
        workings(out, first)?;
    }
    runners_up(out, position, currency)?;
    measure_next(out, position)?;
    let counts = position.counts;
    let all = counts.hold + counts.hold_but_open + counts.depend + counts.fail;
    writeln!(out)?;
    wrap(
        out,
        "  ",
        &format!(
            "of {all} candidates, {} are sound in all that a choice of drive can decide, {} are in doubt, {} are ruled out",
            counts.sound_by_choice, counts.doubtful_by_choice, counts.ruled_out_by_choice
        ),
    )?;
    let mut hazards: Vec<&str> = position.cautions.iter().map(|c| c.hazard.as_str()).collect();
    hazards.dedup();
    wrap(out, "  ⚠ ", &hazards.join(" · "))?;
    writeln!(out)
}

fn findings(out: &mut impl Write, candidate: &Candidate) -> io::Result<()> {
    let unsettled: Vec<&Finding> = candidate.findings.iter().filter(|f| f.verdict != "holds").collect();
    let mut tight: Vec<&Finding> =
        candidate.findings.iter().filter(|f| f.verdict == "holds" && f.margin.low.is_some() && !f.margin.unit.is_empty()).collect();
    tight.sort_by(|a, b| a.margin.low.unwrap_or(f64::MAX).total_cmp(&b.margin.low.unwrap_or(f64::MAX)));
    let mut table = table();
    for finding in unsettled.iter().chain(tight.iter().take(TIGHTEST)) {
        let depends = if finding.depends_on.is_empty() {
            finding.reason.clone().unwrap_or_default()
        } else {
            format!("on {}", finding.depends_on.join(", "))
        };
        let because = match &finding.accepted {
            _ if finding.verdict == "holds" => String::new(),
            Some(accepted) if finding.stays_open => format!("accepted by {}, and open all the same {depends}", accepted.by),
            Some(accepted) => format!("accepted by {}: {}", accepted.by, accepted.reason),
            None if finding.severity == "nuisance" => format!("told, not counted {depends}").trim_end().to_owned(),
            None => depends,
        };
        table.add_row([
            finding.verdict.clone(),
            finding.name.clone(),
            margin_text(&finding.margin),
            if finding.verdict == "holds" { "tightest".into() } else { finding.severity.clone() },
            because,
        ]);
    }
    writeln!(out, "\n  findings")?;
    print_table(out, &table)?;
    for finding in &candidate.findings {
        for remedy in finding.remedies.iter().filter(|r| r.taken) {
            wrap(out, "    remedy taken: ", &format!("{} (for {})", remedy.what, finding.name))?;
        }
    }
    Ok(())
}

fn workings(out: &mut impl Write, candidate: &Candidate) -> io::Result<()> {
    for finding in &candidate.findings {
        writeln!(out, "\n    {}: {}", finding.name, finding.title)?;
        for input in &finding.inputs {
            writeln!(out, "      {} = {}   [{}; {}; {}]", input.fact, input.value, input.range, input.origin, input.place)?;
        }
        steps(out, &finding.working)?;
    }
    Ok(())
}

/// A working, step by step.
pub(crate) fn steps(out: &mut impl Write, working: &[Step]) -> io::Result<()> {
    for step in working {
        let line = if step.formula.is_empty() { String::new() } else { format!("{} = ", step.formula) };
        let numbers = if step.numbers == step.formula { String::new() } else { format!("{} = ", step.numbers) };
        let note = if step.note.is_empty() { String::new() } else { format!("; {}", step.note) };
        writeln!(out, "      {} = {line}{numbers}{}   [{}; {}{note}]", step.symbol, step.value, step.name, step.source)?;
    }
    Ok(())
}

fn runners_up(out: &mut impl Write, position: &Position, currency: &str) -> io::Result<()> {
    if position.candidates.len() < 2 {
        return Ok(());
    }
    writeln!(out, "\n  beside it")?;
    let mut table = table();
    for candidate in &position.candidates[1..] {
        let worst = candidate.findings.iter().find(|f| f.margin.low.is_some() && !f.margin.unit.is_empty());
        table.add_row([
            candidate.id.clone(),
            beside_others(candidate).into(),
            cost(candidate, currency),
            worst.map_or_else(String::new, |f| format!("{} {}", f.name, margin_text(&f.margin))),
        ]);
    }
    print_table(out, &table)
}

fn measure_next(out: &mut impl Write, position: &Position) -> io::Result<()> {
    if position.measure_next.is_empty() {
        return Ok(());
    }
    writeln!(out, "\n  measure next")?;
    let mut table = table();
    for (i, reading) in position.measure_next.iter().take(READINGS).enumerate() {
        table.add_row([
            format!("{}.", i + 1),
            reading.label.clone(),
            reading.fact.clone(),
            format!("settles {}", digits(reading.settles, 2)),
            reading.effort_words.clone(),
            reading.expected.clone(),
        ]);
    }
    print_table(out, &table)
}
