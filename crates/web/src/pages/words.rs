//! The network words: what becomes of each word and bit of the old drive, who may start and stop, and the proof.

use dossier::words::{At, Mapped, Words};
use job::assess::{join, old_series};
use maud::{Markup, html};
use plant::quantity::digits;
use serde_json::json;

use super::answer::{Answered, of};
use crate::ask::Ask;
use crate::server::Desk;
use crate::view::{Tab, Trouble, View};

fn made(answered: &Answered, series: &str) -> Result<Words, String> {
    let input = answered.now.input();
    let surveyed = answered.now.folder.position(&answered.tag).ok_or("the position is gone")?;
    let position = join(input, surveyed, &mut Vec::new());
    let new = answered.now.folder.packs.iter().find(|s| s.id == series).ok_or_else(|| format!("there is no pack “{series}”"))?;
    job::words::words(&position, old_series(input, &position), new, &Default::default()).map(|answer| answer.words)
}

pub(crate) fn show(desk: &Desk, ask: &Ask) -> Result<View, Trouble> {
    let answered = of(desk, ask)?;
    let series = answered.candidate(ask).map(|c| c.id.split('/').next().unwrap_or_default().to_owned());
    let made = series.as_deref().ok_or_else(|| "there is no candidate".to_owned()).and_then(|series| made(&answered, series));
    let body = html! {
        (answered.head())
        @match &made {
            Err(why) => { h2 { "Words" } p { "Not examined: " (why) "." } },
            Ok(words) => (page(words)),
        }
    };
    let json = json!({ "tag": answered.tag, "words": made.as_ref().ok(), "not_examined": made.as_ref().err() });
    Ok(answered.page(Tab::Words, "words", body, json))
}

fn page(words: &Words) -> Markup {
    html! {
        p { "Old: " (words.old) ". New: " (words.new) "." }
        @if !words.open.is_empty() { section { h2 { "To read first" } ul { @for o in &words.open { li { (o) } } } } }
        @for (direction, title) in [("to-drive", "What the old program writes"), ("from-drive", "What the old program reads")] {
            section { h2 { (title) } (map(words.map.iter().filter(|m| m.direction == direction))) }
        }
        section { h2 { "Who may start and stop" }
            table.cards {
                thead { tr { th { "What" } th { "Old" } th { "New" } th { "So" } } }
                tbody { @for a in &words.arbitration { tr { th scope="row" { (a.what) } td data-name="Old" { (a.old) } td data-name="New" { (a.new) } td data-name="So" { (a.then) } } } }
            }
        }
        section { h2 { "Proof on simulated drives" }
            @match &words.proof {
                Some(p) => { p { (p.words_tested) " words, " (p.values_tested) " values and patterns, " strong { (p.mismatches) } " came out differently." } ul { @for e in &p.examples { li { (e) } } } },
                None => p { "None: no block was written." },
            }
            p { "The block itself and its tables are written by " code { "changeout words" } "." }
        }
        @if !words.lines.is_empty() { section { h2 { "Scaling without the block" } ul { @for l in &words.lines { li { (l) } } } } }
        @if !words.remarks.is_empty() { section { h2 { "To know" } ul { @for r in &words.remarks { li { (r) } } } } }
    }
}

fn map<'m>(rows: impl Iterator<Item = &'m Mapped>) -> Markup {
    let place = |at: Option<&At>| {
        at.map_or_else(|| "—".to_owned(), |a| a.bit.map_or_else(|| a.word.clone(), |bit| format!("{} bit {bit}", a.word)))
    };
    html! {
        table.cards {
            thead { tr { th { "Meaning" } th { "Old" } th { "New" } th { "Outcome" } th { "Scale and remarks" } } }
            tbody { @for m in rows { tr {
                th scope="row" { (m.meaning) } td data-name="Old" { (place(m.old.as_ref())) } td data-name="New" { (place(m.new.as_ref())) } td data-name="Outcome" { (m.outcome) }
                td data-name="Remarks" {
                    (m.scale)
                    @if let Some(e) = &m.max_error { span.sub { "greatest error " (digits(e.value, 3)) " " (e.unit) ", " (digits(e.counts, 3)) " counts of the old word" } }
                    @if !m.note.is_empty() { span.sub { (m.note) } }
                }
            } } }
        }
    }
}
