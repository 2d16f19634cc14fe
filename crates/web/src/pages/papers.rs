//! The papers of a position: what there is, for whom, in which revision; and the files to take along.

use std::collections::BTreeMap;
use std::sync::{Arc, PoisonError};

use dossier::paper::Binder;
use maud::html;
use serde_json::json;

use super::answer::{Answered, of};
use crate::ask::{Ask, part_of_path};
use crate::server::Desk;
use crate::view::{Tab, Trouble, View, at};

/// Positions whose finished files are kept: people take several files of one position after each other.
const KEPT: usize = 3;

/// Finished files by the state of the site and the tag.
pub(crate) type Finished = Vec<((u64, String), Arc<BTreeMap<String, Vec<u8>>>)>;

/// The papers of a position; those of the night hang on all positions that share its window.
fn binder(desk: &Desk, answered: &Answered) -> Arc<Option<Binder>> {
    let (now, tag) = (&answered.now, &answered.tag);
    desk.binders.of(now.whole(), tag, || job::papers::binder(now.input(), tag))
}

fn gone(answered: &Answered) -> Trouble {
    super::answer::no_position(&answered.now, &answered.tag)
}

fn link(tag: &str, name: &str) -> String {
    let parts: Vec<String> = name.split('/').map(part_of_path).collect();
    at(tag, &format!("/papers/{}", parts.join("/")))
}

pub(crate) fn show(desk: &Desk, ask: &Ask) -> Result<View, Trouble> {
    let answered = of(desk, ask)?;
    let binder = binder(desk, &answered);
    let binder = binder.as_ref().as_ref().ok_or_else(|| gone(&answered))?;
    let file = |number: usize, name: &str| format!("papers/{:02}-{name}.pdf", number + 1);
    let body = html! {
        (answered.head())
        p { "Made from the survey as it stands on " (binder.date) ". They claim no compliance: the unit's own instructions, the local code and licensed people decide." }
        p {
            "All in one: " a href=(link(&answered.tag, "all-papers.pdf")) { "all papers (PDF)" } ", "
            a href=(link(&answered.tag, "tables.xlsx")) { "all tables (XLSX)" } ", "
            a href=(link(&answered.tag, "all.zip")) { "every file, drawings and inputs included (ZIP)" } "."
        }
        table.cards {
            thead { tr { th { "Paper" } th { "For whom" } th { "Revision" } th { "File" } } }
            tbody { @for (i, p) in binder.papers.iter().enumerate() { tr {
                th scope="row" { (p.title) }
                td data-name="For whom" { (p.for_whom) }
                td data-name="Revision" { code { (p.revision) } }
                td data-name="File" { @if let Some(why) = &p.not_examined { "None: " (why) } @else { a href=(link(&answered.tag, &file(i, &p.name))) aria-label={ (p.title) ", PDF" } { "PDF" } } }
            } } }
        }
        p.help { "A paper's revision changes only when something on it does. Papers that are printed and papers on the screen are the same when their revisions are." }
    };
    let papers: Vec<_> = binder
        .papers
        .iter()
        .enumerate()
        .map(|(i, p)| {
            let file = p.not_examined.is_none().then(|| file(i, &p.name));
            json!({ "name": p.name, "title": p.title, "for_whom": p.for_whom, "revision": p.revision, "fingerprint": p.fingerprint, "not_examined": p.not_examined, "file": file })
        })
        .collect();
    let json = json!({ "tag": answered.tag, "date": binder.date, "papers": papers, "files": ["all-papers.pdf", "tables.xlsx", "all.zip"] });
    Ok(answered.page(Tab::Papers, "papers", body, json))
}

/// One of the files.
pub(crate) fn file(desk: &Desk, ask: &Ask) -> Result<View, Trouble> {
    let answered = of(desk, ask)?;
    let name = ask.part("name");
    let files = files(desk, &answered)?;
    let bytes = files.get(name).ok_or_else(|| Trouble::missing(format!("the papers of {} have no file “{name}”", answered.tag)))?;
    let last = name.rsplit('/').next().unwrap_or(name);
    Ok(View::File { name: format!("{}-{last}", answered.tag), bytes: bytes.clone() })
}

fn files(desk: &Desk, answered: &Answered) -> Result<Arc<BTreeMap<String, Vec<u8>>>, Trouble> {
    let key = (answered.now.whole(), answered.tag.clone());
    // Held while they are made: two at once would do the same work twice.
    let mut made = desk.papers.lock().unwrap_or_else(PoisonError::into_inner);
    if let Some((_, files)) = made.iter().find(|(own, _)| *own == key) {
        return Ok(Arc::clone(files));
    }
    let binder = binder(desk, answered);
    let binder = binder.as_ref().as_ref().ok_or_else(|| gone(answered))?;
    let files = Arc::new(desk.world.papers(&answered.now.folder, binder).map_err(Trouble::unusable)?);
    made.push((key, Arc::clone(&files)));
    let more = made.len().saturating_sub(KEPT);
    made.drain(..more);
    Ok(files)
}
