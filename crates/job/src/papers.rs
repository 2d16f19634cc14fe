//! The papers of a position: each is made from the assessed position by its own file below and says which facts it was made from.
//! A paper whose subject nobody has examined says so in place of its contents.

mod after;
mod answer;
mod behaviour;
mod book;
mod crosswalk;
mod differences;
mod interlocks;
mod labels;
mod money;
mod network;
mod night;
mod power;
mod price;
mod register;
mod room;
mod rotation;
mod safety;
mod sequence;
mod sheet;
mod survey;
mod work;

use dossier::paper::{Binder, Paper};
use dossier::program::Project;
use findings::facts::Survey;
use plant::position::Position;
use rayon::prelude::*;
use sha2::{Digest, Sha256};
use transfer::program::names::Rules;

use crate::assess::{Input, old_series, with_assessed};
use crate::cutover::Own;
use crate::options::Assessed;
use crate::searches::Searches;
use crate::{boxes, words};
use sheet::Desk;

/// Characters of a fingerprint that stand on each page as its revision.
const REVISION: usize = 8;

/// The papers of the position of that tag; `None` when the site has none of it.
#[must_use]
pub fn binder(input: Input<'_>, tag: &str) -> Option<Binder> {
    let surveyed = input.positions.iter().find(|p| p.tag == tag)?;
    // Box, power path and each assumption ask again for much of what the assessment searched.
    let own = Searches::default();
    let input = Input { searches: input.searches.or(Some(&own)), ..input };
    Some(with_assessed(input, surveyed, |survey, candidates, report| bind(input, survey, candidates, &report)))
}

fn bind<'a>(input: Input<'a>, survey: &Survey<'_>, candidates: &[Assessed<'a>], report: &dossier::Position) -> Binder {
    let position = survey.position();
    let first = candidates.first();
    // None of these hangs on another, and each may take long.
    let ((words, programs, data), (room, (wires, behaviour))) = rayon::join(
        || network_words(input, position, candidates),
        || {
            rayon::join(
                || boxes::report(input, position.enclosure.as_deref().unwrap_or(&position.tag)),
                || {
                    rayon::join(
                        || first.and_then(|c| crate::wires::of_candidate(input, position, c)),
                        || first.and_then(|c| crate::behaviour::behaviour(position, old_series(input, position), c.unit.series).ok()),
                    )
                },
            )
        },
    );
    let night = crate::cutover::plan_ahead(input, Own { position, first, room: room.as_ref() });
    let desk = Desk {
        input,
        survey,
        candidates,
        report,
        room,
        words,
        settings: first.and_then(|c| crate::settings::of_candidate(input, position, c)),
        wires,
        night,
        behaviour,
    };
    let make: &[fn(&Desk<'_>) -> Paper] = &[
        answer::answer,
        survey::sheet,
        book::book,
        differences::list,
        money::bill,
        money::quotation,
        power::sheet,
        crosswalk::paper,
        labels::paper,
        interlocks::paper,
        sequence::book,
        network::pack,
        room::sheet,
        safety::stub,
        work::bench,
        night::plan,
        safety::isolation,
        work::commissioning,
        after::as_left,
        after::door_card,
        after::what_changed,
        register::register,
    ];
    let papers: Vec<Paper> = make.iter().map(|make| make(&desk)).collect();
    let papers = papers.into_par_iter().with_max_len(1).map(marked).collect();
    let settings = desk.settings.and_then(Result::ok);
    Binder {
        site: input.site.name.clone(),
        tag: position.tag.clone(),
        machine: position.machine.clone(),
        date: input.date.to_owned(),
        verdict: report.verdict.clone(),
        papers,
        programs,
        settings,
        data,
    }
}

/// What became of the network words, the block, and its tables.
type Network = (Option<Result<dossier::words::Words, String>>, Vec<Project>, Vec<dossier::words::Table>);

/// Works the network words out; nothing where the position is on no network or there is no candidate.
fn network_words(input: Input<'_>, position: &Position, candidates: &[Assessed<'_>]) -> Network {
    let (Some(_), Some(first)) = (&position.network, candidates.first()) else { return (None, Vec::new(), Vec::new()) };
    match words::words(position, old_series(input, position), first.unit.series, &Rules::default()) {
        Ok(answer) => {
            let data = answer.words.tables.clone();
            (Some(Ok(answer.words)), answer.project.into_iter().collect(), data)
        }
        Err(why) => (Some(Err(why)), Vec::new(), Vec::new()),
    }
}

/// Puts fingerprint and revision on a finished paper.
fn marked(mut paper: Paper) -> Paper {
    // The debug form of plain data is the same on every machine; what stands in it decides, not how it is printed.
    let contents = format!("{:?}", (&paper.title, &paper.not_examined, &paper.parts));
    let digest = Sha256::digest(contents.as_bytes());
    paper.fingerprint = digest.iter().map(|byte| format!("{byte:02x}")).collect();
    paper.revision = paper.fingerprint.chars().take(REVISION).collect();
    paper
}
