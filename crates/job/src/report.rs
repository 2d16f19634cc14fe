//! Results into the dossier's plain tables.

use std::collections::BTreeSet;

use calc::working::{Datum, Step, Working};
use findings::caution;
use findings::facts::{Domain, Point, Stop, Survey};
use findings::failure_modes::FAILURE_MODES;
use plant::choice::Choice;
use plant::fact::{Fact, Known};
use plant::position::Position;
use plant::product::Series;
use plant::quantity::{System, Time};
use plant::survey::{self, Assume, FactId, Kind, Rule};
use rayon::prelude::*;

use crate::assess::{Input, duty_word, old_series};
use crate::bounds::Verdict;
use crate::measure::{self, Reading};
use crate::options::{self, Assessed, BillLine, Delivery, Finding, Standing, bill, remedy_cost};
use crate::searches::Margins;

/// Subjects of a replacement that no check of this version looks at.
pub const NOT_EXAMINED: &[&str] = &[
    "how a holding brake is set in time (its working shows what it needs); ratings of the DC fuses of joined links",
    "wires and settings that no list of the survey names; cables, terminators and switches of a network",
    "what a control scheme does beyond the habits and wires that packs and survey tell; whether a safety function reaches its level",
];

/// The report of one position.
#[must_use]
pub fn position(
    input: Input<'_>,
    margins: &Margins<'_, '_>,
    candidates: &[Assessed<'_>],
    readings: &[Reading],
    remarks: Vec<String>,
) -> dossier::Position {
    let survey = margins.survey;
    let position = survey.position();
    let system = input.site.units;
    let choice = input.decisions.chosen.iter().rev().find(|c| c.tag == position.tag);
    let chosen = candidates.first();
    let mut remarks = remarks;
    if let Some(choice) = choice
        && chosen.is_none_or(|c| c.unit.id() != choice.candidate)
    {
        remarks.push(format!("{}: the chosen candidate “{}” is in no pack", choice.place, choice.candidate));
    }
    let by_person = choice.filter(|c| chosen.is_some_and(|first| first.unit.id() == c.candidate));
    let shown: Vec<&Assessed<'_>> = options::shown(candidates, input.shown.max(1)).into_iter().map(|i| &candidates[i]).collect();
    let count = |standing| candidates.iter().filter(|c| c.standing == standing).count();
    let by_choice = |which: fn(Standing) -> bool| candidates.iter().filter(|c| which(c.by_choice)).count();
    let read: BTreeSet<FactId> = shown.iter().flat_map(|c| c.findings.iter().flat_map(|f| f.bounds.reads.iter())).collect();
    dossier::Position {
        tag: position.tag.clone(),
        machine: position.machine.clone(),
        old: old_unit(input, position),
        old_decoded: Vec::new(),
        chosen: chosen.map(|c| c.unit.id()),
        chosen_by: by_person.map(|c| format!("{} on {}", c.by, c.on)),
        verdict: chosen.map_or(Verdict::Depends, |c| c.standing.verdict()).word().into(),
        candidates: shown.par_iter().map(|c| candidate(input, &margins.beside(), c)).collect(),
        counts: dossier::Counts {
            hold: count(Standing::Holds),
            hold_but_open: count(Standing::HoldsButOpen),
            depend: count(Standing::Depends),
            fail: count(Standing::Fails),
            sound_by_choice: by_choice(|s| s == Standing::Holds),
            doubtful_by_choice: by_choice(|s| matches!(s, Standing::HoldsButOpen | Standing::Depends)),
            ruled_out_by_choice: by_choice(|s| s == Standing::Fails),
        },
        measure_next: readings.iter().map(|r| reading(survey, r, system)).collect(),
        open: open(survey, &shown),
        assumptions: assumptions(survey, &read, system),
        not_examined: NOT_EXAMINED.iter().map(|s| (*s).to_owned()).collect(),
        cautions: cautions(survey, candidates.first()),
        notes: position.notes.clone(),
        remarks,
    }
}

fn bill_line(line: BillLine) -> dossier::BillLine {
    let (ordered, weeks) = match line.delivery {
        Delivery::Work => (false, None),
        Delivery::After(time) => (true, time.map(Time::in_weeks)),
    };
    dossier::BillLine { what: line.what, price: line.price, ordered, lead_weeks: weeks }
}

fn candidate(input: Input<'_>, margins: &Margins<'_, '_>, assessed: &Assessed<'_>) -> dossier::Candidate {
    let unit = &assessed.unit;
    let mut findings: Vec<&Finding<'_>> = assessed.findings.iter().collect();
    // Worst first: what fails, then what depends; within, the more severe, then the smaller margin.
    findings.sort_by(|a, b| {
        let margin = |f: &Finding<'_>| f.bounds.low.unwrap_or(f64::NEG_INFINITY);
        b.verdict()
            .cmp(&a.verdict())
            .then(a.is_taken_on().cmp(&b.is_taken_on()))
            .then(b.check.severity.cmp(&a.check.severity))
            .then(margin(a).total_cmp(&margin(b)))
    });
    dossier::Candidate {
        id: unit.id(),
        series: format!("{} {}", unit.series.maker, unit.series.name),
        code: unit.rating.code.clone(),
        duty: duty_word(unit.rating.duty).into(),
        frame: unit.frame.name.clone(),
        verdict: assessed.standing.verdict().word().into(),
        only_open: assessed.standing == Standing::HoldsButOpen,
        by_choice: assessed.by_choice.verdict().word().into(),
        cost: assessed.cost,
        unpriced: assessed.unpriced,
        installed: crate::cutover::installed(input, margins, assessed),
        bill: bill(assessed, input.site, margins.survey.position()).into_iter().map(bill_line).collect(),
        findings: findings.into_iter().map(|f| finding(input, margins, assessed, f)).collect(),
    }
}

pub(crate) fn finding(input: Input<'_>, margins: &Margins<'_, '_>, assessed: &Assessed<'_>, finding: &Finding<'_>) -> dossier::Finding {
    let (survey, system) = (margins.survey, input.site.units);
    let (check, bounds) = (finding.check, &finding.bounds);
    let mut working = Working::default();
    let mut reader = survey.at(&bounds.low_at);
    // The working of the lowest margin: what a reviewer wants to see first. A stop leaves the steps made until then.
    let outcome = (check.worked)(&mut reader, &assessed.unit, &mut working);
    let reads = *reader.reads();
    let verdict = finding.verdict();
    let depends = if verdict == Verdict::Depends { margins.depends_on(check, &assessed.unit, bounds) } else { Vec::new() };
    // A check that ends before its first step still rests on what the survey says.
    let mut sources: Vec<String> = if working.steps.is_empty() { vec![calc::sources::SURVEY.text()] } else { Vec::new() };
    for step in &working.steps {
        let text = step.source.text();
        if !sources.contains(&text) {
            sources.push(text);
        }
    }
    // A remedy that was offered but not taken would not have made the verdict better: only another candidate does.
    let remedies =
        finding.taken.iter().map(|r| dossier::Remedy { what: r.what.clone(), cost: remedy_cost(r, input.site), taken: true }).collect();
    let not_known = |id: FactId| format!("{} is not known, and nothing may be assumed for it", survey::path(id));
    let stop = bounds.stopped.as_ref().or(outcome.as_ref().err());
    let reason = match stop {
        Some(Stop::Open(id)) => Some(not_known(*id)),
        Some(Stop::PackSilent(what)) => Some(format!("the pack of {} does not say: {what}", assessed.unit.series.name)),
        Some(Stop::Refused(text)) => Some(text.clone()),
        None if bounds.low.is_none() => Some("the fault cannot arise here; its page says when it can".to_owned()),
        None => bounds.open.iter().next().map(not_known),
    };
    dossier::Finding {
        name: check.name.into(),
        title: check.title().into(),
        verdict: verdict.word().into(),
        severity: check.severity.word().into(),
        margin: dossier::Margin {
            low: bounds.low_margin().filter(|m| m.is_finite()),
            high: bounds.high_margin().filter(|m| m.is_finite()),
            unit: check.unit.into(),
        },
        depends_on: depends.into_iter().map(survey::path).collect(),
        reason,
        inputs: reads.iter().filter_map(|id| input_row(survey, &bounds.low_at, id, system)).collect(),
        working: working.steps.iter().map(|s| step(s, system)).collect(),
        sources,
        remedies,
        stays_open: finding.accepted.is_some() && !finding.is_taken_on(),
        accepted: finding.accepted.map(|a| dossier::Acceptance { by: a.by.clone(), on: a.on.clone(), reason: a.reason.clone() }),
    }
}

pub(crate) fn step(step: &Step, system: System) -> dossier::Step {
    dossier::Step {
        symbol: step.symbol.into(),
        name: step.name.clone(),
        formula: step.formula.into(),
        numbers: step.with_numbers(system),
        value: step.value.text(system),
        source: step.source.text(),
        note: step.note.clone(),
    }
}

pub(crate) fn input_row(survey: &Survey<'_>, point: &Point, id: FactId, system: System) -> Option<dossier::Input> {
    let value = survey.at(point).raw(id).ok();
    if value.is_none() && *survey.domain(id) == Domain::Absent {
        return None;
    }
    let fact = survey.position().fact(id);
    Some(dossier::Input {
        fact: survey::path(id),
        value: value.map_or_else(|| "not known".into(), |v| raw_text(v, survey::def(id).kind, system)),
        range: range_text(survey, id, system),
        origin: origin_text(fact, id),
        place: fact.map_or_else(|| "not surveyed".into(), |f| f.origin.place.to_string()),
    })
}

pub(crate) fn origin_text(fact: Option<&Fact>, id: FactId) -> String {
    let Some(fact) = fact.filter(|f| !f.is_missing()) else {
        return match survey::def(id).assume {
            Assume::Nothing => "open: nothing may be assumed".into(),
            _ => format!("assumed: {}", survey::def(id).because),
        };
    };
    let origin = &fact.origin;
    let parts = [origin.kind.map(|k| k.word().to_owned()), origin.by.clone(), origin.on.clone(), origin.proof.clone()];
    let text = parts.into_iter().flatten().collect::<Vec<_>>().join(", ");
    if text.is_empty() { "survey".into() } else { text }
}

/// A raw number as text: quantity or word.
#[must_use]
pub fn raw_text(raw: f64, kind: Kind, system: System) -> String {
    match kind {
        Kind::Quantity(info) => Datum::Number(raw, info).text(system),
        Kind::Choice(info) => {
            #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "indices of words are small")]
            let index = raw.max(0.0) as usize;
            info.words.get(index).map_or("?", |w| w.word).to_owned()
        }
    }
}

fn percent_text(share: f64) -> String {
    plant::quantity::Ratio::of_one(share).text(System::Both)
}

/// All that a fact may be, as text.
#[must_use]
pub fn range_text(survey: &Survey<'_>, id: FactId, system: System) -> String {
    let kind = survey::def(id).kind;
    let text = |v: f64| raw_text(v, kind, system);
    match survey.domain(id) {
        Domain::Fixed(value) => text(*value),
        Domain::Between(low, high) => format!("{} … {}", text(*low), text(*high)),
        Domain::OneOf(values) | Domain::OpenWords(values) => values.iter().map(|v| text(*v)).collect::<Vec<_>>().join(" | "),
        Domain::Times(base, low, high) => {
            let share = format!("{} … {} of {}", percent_text(*low), percent_text(*high), survey::path(*base));
            match measure::possible(survey, id, 2)[..] {
                [a, b] => format!("{share} ({} … {})", text(a), text(b)),
                _ => share,
            }
        }
        Domain::TimesMotors(low, high) => {
            let share = format!("{} … {} of all motors", percent_text(*low), percent_text(*high));
            match measure::possible(survey, id, 2)[..] {
                [a, b] => format!("{share} ({} … {})", text(a), text(b)),
                _ => share,
            }
        }
        Domain::By(Rule::SupplyVoltage | Rule::PeakByKind | Rule::FaultByTransformer) => match measure::possible(survey, id, 2)[..] {
            [a, b] if (b - a).abs() > 1e-9 * b.abs() => format!("{} … {}", text(a), text(b)),
            [a, ..] => text(a),
            _ => "follows from the plates".into(),
        },
        Domain::By(Rule::FullLoadAmps) => "follows from power, voltage, efficiency and power factor".into(),
        Domain::By(_) => survey.at(&survey.middle()).raw(id).map_or_else(|_| "cannot be told".into(), text),
        Domain::Absent => "not given".into(),
        Domain::Open => "open".into(),
    }
}

/// The old unit in words: maker and series where there is a pack of it, what the survey calls the series otherwise, and its type code.
fn old_unit(input: Input<'_>, position: &Position) -> String {
    let series = old_series(input, position).map(|s| format!("{} {}", s.maker, s.name)).or_else(|| position.old_series.clone());
    series.into_iter().chain(position.old_code.clone()).collect::<Vec<_>>().join(" ")
}

fn reading(survey: &Survey<'_>, reading: &Reading, system: System) -> dossier::Reading {
    let def = survey::def(reading.fact);
    dossier::Reading {
        fact: survey::path(reading.fact),
        label: def.label.into(),
        settles: (reading.settles * 100.0).round() / 100.0,
        findings: reading.findings.iter().map(|f| (*f).to_owned()).collect(),
        effort: def.effort as u8,
        effort_words: def.effort.words().into(),
        expected: range_text(survey, reading.fact, system),
    }
}

fn open(survey: &Survey<'_>, shown: &[&Assessed<'_>]) -> Vec<dossier::Open> {
    let ids: BTreeSet<FactId> = shown.iter().flat_map(|c| c.findings.iter().flat_map(|f| f.bounds.open.iter())).collect();
    ids.into_iter()
        .filter(|id| survey.position().fact(*id).is_none_or(Fact::is_missing))
        .map(|id| dossier::Open { fact: survey::path(id), label: survey::def(id).label.into(), why: survey::def(id).because.into() })
        .collect()
}

fn assumptions(survey: &Survey<'_>, read: &BTreeSet<FactId>, system: System) -> Vec<dossier::Assumption> {
    read.iter()
        .filter(|id| survey.position().fact(**id).is_none_or(|f| f.known == Known::Missing))
        .filter(|id| !matches!(survey::def(**id).assume, Assume::Nothing | Assume::NotNeeded))
        .map(|id| dossier::Assumption {
            fact: survey::path(*id),
            label: survey::def(*id).label.into(),
            assumed: range_text(survey, *id, system),
            why: survey::def(*id).because.into(),
        })
        .collect()
}

/// Cautions of the failure modes behind what the leading candidate leaves unsettled, and those that every swap carries.
fn cautions(survey: &Survey<'_>, first: Option<&Assessed<'_>>) -> Vec<dossier::Caution> {
    // Isolation, the charged bus, rotation, mass and unexpected start go with every swap.
    let mut letters: BTreeSet<char> = "LDRWX".chars().collect();
    let may_drive = measure::possible(survey, survey::LOAD_OVERHAULING.id, 2);
    let point = survey.middle();
    let drives = survey.at(&point).get(survey::LOAD_OVERHAULING).is_ok_and(|yes| yes == plant::choice::YesNo::Yes);
    if drives || !may_drive.is_empty() {
        letters.insert('O');
    }
    for finding in first.iter().flat_map(|c| &c.findings).filter(|f| f.verdict() != Verdict::Holds || f.taken.is_some()) {
        for mode in FAILURE_MODES.iter().filter(|m| finding.check.rows.contains(&m.row)) {
            letters.extend(mode.cautions.chars().filter(char::is_ascii_uppercase));
        }
    }
    letters.into_iter().filter_map(caution::find).map(|c| dossier::Caution { hazard: c.hazard.into(), text: c.text.into() }).collect()
}

/// What a type code says; empty where it cannot be read (a remark says why).
pub(crate) fn decoded(series: &Series, code: &str, system: System) -> Vec<dossier::Segment> {
    let Ok(decoded) = series.decode(code) else { return Vec::new() };
    let ratings: Vec<String> =
        decoded.ratings.iter().map(|r| format!("{} {}, {} class", r.current.text(system), duty_word(r.duty), r.class)).collect();
    decoded
        .segments
        .into_iter()
        .filter(|(_, _, meaning)| meaning != "separator")
        .map(|(segment, characters, meaning)| {
            let meaning = if meaning == "rating" { ratings.join("; ") } else { meaning };
            dossier::Segment { segment, characters, meaning }
        })
        .collect()
}

/// What a unit's own documents prescribe: its waiting time, as a guide, and further cautions.
pub(crate) fn unit_cautions(series: &Series, which: &str) -> Vec<dossier::Caution> {
    let name = format!("{} {} ({which})", series.maker, series.name);
    let wait = series
        .bus_wait
        .map(|time| format!("its documents say to wait {time} after switching off; that is a guide, measure the bus all the same"));
    wait.into_iter().chain(series.cautions.iter().cloned()).map(|text| dossier::Caution { hazard: name.clone(), text }).collect()
}
