//! The audit of the power path: what `power` prints and the power sheet shows. The same checks and figures are asked of the old drive
//! as it stands and of the candidate with all that is done to it, each over everything that the survey leaves open.

mod lines;

use std::collections::BTreeSet;

use calc::working::{Datum, Working};
use dossier::power::{Audit, Line, Reading, Section, Worked};
use findings::candidate::{Candidate, Measure};
use findings::caution;
use findings::check::{Check, Severity};
use findings::facts::{FactSet, Point, Stop, Survey};
use findings::figures::Figure;
use findings::registry;
use plant::choice::{Choice, Duty, Presence};
use plant::fact::Fact;
use plant::position::Position;
use plant::product::Series;
use plant::quantity::{DimensionInfo, System, show};
use plant::survey::{self, FactId, OLD_DUTY, RESISTOR};

use self::lines::{SECTIONS, Take, Wanted};
use crate::assess::{Input, old_series, with_assessed};
use crate::bounds::{Bounds, Depth, Verdict};
use crate::options::{Assessed, Context, Finding, Hints, assess};
use crate::report;
use crate::searches::Margins;

/// Cautions that go with every look into the power path: arc flash, the charged link, lock-out, hot parts, a load that drives.
const CAUTIONS: &str = "ALDHO";

/// The audit of the position of that tag, for the candidate of that name or the one that stands first; `None` when the site has no
/// such position.
///
/// # Errors
/// A sentence when no pack offers a candidate, or none of that name.
#[must_use]
pub fn audit(input: Input<'_>, tag: &str, candidate: Option<&str>) -> Option<Result<Audit, String>> {
    let surveyed = input.positions.iter().find(|p| p.tag == tag)?;
    Some(with_assessed(input, surveyed, |survey, candidates, report| audit_of(input, survey, candidates, &report, candidate)))
}

/// The same from a position that is assessed already.
///
/// # Errors
/// As [`audit`].
pub(crate) fn audit_of(
    input: Input<'_>,
    survey: &Survey<'_>,
    candidates: &[Assessed<'_>],
    report: &dossier::Position,
    wanted: Option<&str>,
) -> Result<Audit, String> {
    let asked = match wanted {
        None => candidates.first().ok_or("no pack offers a candidate: put packs that may replace into packs/")?,
        Some(id) => candidates.iter().find(|c| c.unit.id() == id).ok_or_else(|| format!("no pack offers a candidate “{id}”"))?,
    };
    let margins = Margins::of(survey, input.searches);
    let in_full = in_full(input, &margins, asked);
    let asked = in_full.as_ref().unwrap_or(asked);
    let mut remarks = Vec::new();
    let old = old_unit(input, survey.position(), &mut remarks);
    let view = View { survey, margins: &margins, system: input.site.units, old: old.as_ref(), new: asked };
    let sections: Vec<Section> = SECTIONS.iter().map(|(name, title, lines)| view.section(name, title, lines)).collect();
    let open: BTreeSet<&String> = sections.iter().flat_map(|s| &s.lines).flat_map(|l| &l.open).collect();
    remarks.push(
        "A range goes from the lowest to the highest value over all that the survey leaves open; verdicts are by the worst of it.".into(),
    );
    Ok(Audit {
        tag: report.tag.clone(),
        machine: report.machine.clone(),
        old: old.is_some().then(|| report.old.clone()),
        new: asked.unit.id(),
        verdict: view.worst().word().into(),
        remedies: view.judging().filter_map(|f| f.taken.as_ref()).map(|r| r.what.clone()).collect(),
        open: open.into_iter().cloned().collect(),
        cautions: CAUTIONS
            .chars()
            .filter_map(caution::find)
            .map(|c| dossier::Caution { hazard: c.hazard.into(), text: c.text.into() })
            .chain(old_series(input, survey.position()).into_iter().flat_map(|s| report::unit_cautions(s, "old unit")))
            .chain(report::unit_cautions(asked.unit.series, "new unit"))
            .collect(),
        sections,
        remarks,
    })
}

/// The candidate searched in full, where it was screened alone.
fn in_full<'a>(input: Input<'a>, margins: &Margins<'_, '_>, asked: &Assessed<'a>) -> Option<Assessed<'a>> {
    if asked.depth == Depth::Full {
        return None;
    }
    let mut unit = asked.unit.clone();
    unit.measures = findings::candidate::Measures::default();
    let context = Context { margins, site: input.site, accepted: &input.decisions.accepted };
    Some(assess(context, unit, &mut Hints::new(), Depth::Full))
}

/// The drive that stands there today in the shape of a candidate, where its pack and type code tell.
fn old_unit<'a>(input: Input<'a>, position: &Position, remarks: &mut Vec<String>) -> Option<Candidate<'a>> {
    let found = old_series(input, position).zip(position.old_code.as_deref()).and_then(|(series, code)| old_rating(series, code, position));
    let Some((mut unit, several)) = found else {
        remarks.push("Nothing is said of the old drive: its pack (old.series) and its type code (old.code) tell what it is.".into());
        return None;
    };
    if several {
        remarks.push(format!("The old drive's duty class is not known (old.duty): it is shown as {} duty.", unit.rating.duty.word()));
    }
    // An old unit beside a brake resistor has its chopper, whatever its order code left to choose.
    if unit.frame.chopper == Presence::Optional && position.fact(RESISTOR.id).is_some_and(|f| !f.is_missing()) {
        unit.measures = unit.measures.with(Measure::Chopper);
    }
    Some(unit)
}

/// The old rating, and whether another duty class may be meant.
fn old_rating<'a>(series: &'a Series, code: &str, position: &Position) -> Option<(Candidate<'a>, bool)> {
    let duty = position.fact(OLD_DUTY.id).and_then(|f| f.known.bounds()).and_then(|(low, high)| {
        #[expect(clippy::float_cmp, reason = "indices of words are whole numbers")]
        let one = low == high;
        one.then_some(if low < 0.5 { Duty::Light } else { Duty::Heavy })
    });
    let decoded = series.decode(code).ok()?;
    let fits: Vec<_> = decoded.ratings.iter().filter(|r| duty.is_none_or(|d| d == r.duty)).collect();
    let rating = **fits.first().or(decoded.ratings.first().as_ref())?;
    let unit = Candidate::all(series).find(|u| u.rating.code == rating.code && u.rating.duty == rating.duty)?;
    Some((unit, fits.len() > 1))
}

/// What the lines are read from.
struct View<'v, 'a> {
    survey: &'v Survey<'v>,
    margins: &'v Margins<'v, 'v>,
    system: System,
    old: Option<&'v Candidate<'a>>,
    new: &'v Assessed<'a>,
}

/// A quantity with what it rests on.
#[derive(Default)]
struct Taken {
    reading: Reading,
    source: String,
    note: String,
    open: FactSet,
    working: Worked,
}

impl<'a> View<'_, 'a> {
    /// The findings that the lines name.
    fn judging(&self) -> impl Iterator<Item = &Finding<'a>> {
        self.new.findings.iter().filter(|f| SECTIONS.iter().flat_map(|(_, _, lines)| lines.iter()).any(|l| l.finding == f.check.name))
    }

    fn worst(&self) -> Verdict {
        self.judging().filter(|f| f.counts()).map(Finding::verdict).max().unwrap_or(Verdict::Holds)
    }

    fn section(&self, name: &str, title: &str, lines: &[Wanted]) -> Section {
        Section { name: name.into(), title: title.into(), lines: lines.iter().map(|l| self.line(l)).collect() }
    }

    fn line(&self, wanted: &Wanted) -> Line {
        let found = self.new.findings.iter().find(|f| f.check.name == wanted.finding);
        let after = self.take(&wanted.value, &self.new.unit, found.map(|f| &f.bounds));
        let limit = self.take(&wanted.limit, &self.new.unit, found.map(|f| &f.bounds));
        let judged_before = self.old.zip(registry::find(wanted.finding)).map(|(old, check)| (check, self.bounds(check, old)));
        let before = self.old.map(|old| self.take(&wanted.value, old, judged_before.as_ref().map(|(_, b)| b))).unwrap_or_default();
        let mut line = Line {
            what: wanted.what.into(),
            source: after.source,
            note: after.note,
            before: before.reading,
            after: after.reading,
            limit: limit.reading,
            margin_before: judged_before.as_ref().and_then(|(check, b)| margin(check, b)),
            verdict_before: judged_before
                .as_ref()
                .filter(|(_, b)| b.low.is_some())
                .map(|(_, b)| b.verdict().word().into())
                .unwrap_or_default(),
            ..Line::default()
        };
        line.working_before = before.working;
        // A quantity out of the working of the finding stands there already.
        if matches!(wanted.value, Take::Figure(_)) {
            line.working = after.working;
        }
        if matches!(wanted.limit, Take::Figure(_)) {
            line.working_limit = limit.working;
        }
        let mut open = after.open;
        if let Some(found) = found {
            self.judge(&mut line, found);
            open.extend(&found.bounds.open);
        }
        if line.source.is_empty() {
            line.source = before.source;
        }
        line.open = open.iter().filter(|id| self.unknown(*id)).map(survey::path).collect();
        line
    }

    /// Whether a fact is really not known, and not one that stands as a word that is tried.
    fn unknown(&self, id: FactId) -> bool {
        self.survey.position().fact(id).is_none_or(Fact::is_missing)
    }

    /// What the finding says of the candidate.
    fn judge(&self, line: &mut Line, found: &Finding<'a>) {
        let (check, bounds) = (found.check, &found.bounds);
        line.finding = Some(check.name.into());
        line.verdict = found.verdict().word().into();
        line.margin = margin(check, bounds);
        if found.verdict() == Verdict::Depends {
            let all = self.margins.depends_on(check, &self.new.unit, bounds);
            line.depends_on = all.into_iter().filter(|id| !bounds.open.contains(*id)).map(survey::path).collect();
        }
        let mut notes: Vec<String> = Vec::new();
        if !line.note.is_empty() {
            notes.push(std::mem::take(&mut line.note));
        }
        if let Some(why) = why(bounds, self.new.unit.series) {
            notes.push(why);
        } else if bounds.low.is_none() && found.verdict() == Verdict::Holds {
            // Nothing was held against anything: a verdict would say more than was looked at.
            line.verdict.clear();
        }
        if check.severity == Severity::Nuisance && found.verdict() != Verdict::Holds {
            notes.push("told, not counted".into());
        }
        if let Some(taken) = &found.taken {
            notes.push(format!("with: {}", taken.what));
        }
        if let Some(accepted) = found.accepted.filter(|_| found.is_taken_on()) {
            notes.push(format!("taken on by {}: {}", accepted.by, accepted.reason));
        }
        line.note = notes.join("; ");
    }

    fn bounds(&self, check: &'static Check, unit: &Candidate<'_>) -> Bounds {
        self.margins.bounds(check, unit, &FactSet::default(), Depth::Full)
    }

    /// A quantity for one unit; `own` are the bounds of the line's finding, where they are known already.
    fn take(&self, take: &Take, unit: &Candidate<'_>, own: Option<&Bounds>) -> Taken {
        match take {
            Take::Nothing => Taken::default(),
            Take::Figure(figure) => self.figure(figure, unit),
            Take::Step(name, symbol) => self.of_check(name, unit, own, |check, b| self.step(check, symbol, unit, b)),
            Take::Span(name, low, high) => {
                self.of_check(name, unit, own, |check, b| between(self.step(check, low, unit, b), self.step(check, high, unit, b)))
            }
            Take::Words(name) => self.of_check(name, unit, own, |check, b| self.words(check, unit, b)),
        }
    }

    fn of_check(
        &self,
        name: &str,
        unit: &Candidate<'_>,
        own: Option<&Bounds>,
        then: impl FnOnce(&'static Check, &Bounds) -> Taken,
    ) -> Taken {
        let Some(check) = registry::find(name) else { return Taken::default() };
        match own {
            Some(own) => then(check, own),
            None => then(check, &self.bounds(check, unit)),
        }
    }

    /// What a check that only holds or fails says it has looked at, at its worst completion.
    fn words(&self, check: &'static Check, unit: &Candidate<'_>, found: &Bounds) -> Taken {
        let mut taken = Taken { open: found.open, ..Taken::default() };
        let working;
        (working, taken.working) = self.worked(check, unit, &found.low_at);
        if let Some(last) = working.steps.into_iter().rev().find(|s| s.symbol == "verdict") {
            (taken.reading.text, taken.source) = (last.name, last.source.text());
        } else if found.low.is_none() && found.not_here_somewhere {
            taken.reading.text = "none".into();
        }
        taken
    }

    fn figure(&self, figure: &'static Figure, unit: &Candidate<'_>) -> Taken {
        let found = self.bounds(&figure.check, unit);
        let mut taken = Taken { open: found.open, ..Taken::default() };
        match (found.low_margin(), found.high_margin()) {
            (Some(low), Some(high)) => {
                taken.reading = reading(low, high, figure.dimension, self.system);
                let working;
                (working, taken.working) = self.worked(&figure.check, unit, &found.low_at);
                if let Some(last) = working.steps.last() {
                    taken.source = last.source.text();
                    taken.note.clone_from(&last.note);
                }
            }
            _ if found.stopped.is_some() || found.unanswered_somewhere => {
                taken.reading.text = "not known".into();
                taken.note = why(&found, unit.series).unwrap_or_default();
            }
            _ => taken.reading.text = "none".into(),
        }
        taken
    }

    /// The value that a step of a check comes to, at its worst and its best completion.
    fn step(&self, check: &'static Check, symbol: &str, unit: &Candidate<'_>, found: &Bounds) -> Taken {
        let mut taken = Taken { open: found.open, ..Taken::default() };
        let mut span: Option<(f64, f64, &'static DimensionInfo)> = None;
        for point in [&found.low_at, &found.high_at] {
            let (working, told) = self.worked(check, unit, point);
            let Some((value, source, note)) = valued(&working, symbol) else { continue };
            if taken.working.is_empty() {
                taken.working = told;
            }
            match value {
                Datum::Number(value, info) => {
                    let (low, high, _) = span.unwrap_or((value, value, info));
                    span = Some((low.min(value), high.max(value), info));
                }
                Datum::Word(word) if taken.reading.text.is_empty() => taken.reading.text = word,
                Datum::Word(_) => {}
            }
            if taken.source.is_empty() {
                (taken.source, taken.note) = (source, note);
            }
        }
        if let Some((low, high, info)) = span {
            taken.reading = reading(low, high, info, self.system);
        }
        taken
    }

    /// The calculation of a check at one completion, and the same as it is told.
    fn worked(&self, check: &Check, unit: &Candidate<'_>, point: &Point) -> (Working, Worked) {
        let (mut working, mut reader) = (Working::default(), self.survey.at(point));
        // A check that stops on its way leaves the steps made until then; they are true all the same.
        let _ = (check.worked)(&mut reader, unit, &mut working);
        let told = Worked {
            steps: working.steps.iter().map(|s| report::step(s, self.system)).collect(),
            inputs: reader.reads().iter().filter_map(|id| report::input_row(self.survey, point, id, self.system)).collect(),
        };
        (working, told)
    }
}

/// From the one to the other, where both are known.
fn between(low: Taken, high: Taken) -> Taken {
    if low.reading.text.is_empty() || high.reading.text.is_empty() {
        return Taken { open: low.open, ..Taken::default() };
    }
    let text = format!("{} … {}", low.reading.text, high.reading.text);
    Taken { reading: Reading { low: low.reading.low, high: high.reading.high, unit: high.reading.unit, text }, ..low }
}

/// The last step of that symbol, or the last input of that symbol: value, source, note.
fn valued(working: &Working, symbol: &str) -> Option<(Datum, String, String)> {
    let of_step = working.steps.iter().rev().find(|s| s.symbol == symbol).map(|s| (s.value.clone(), s.source.text(), s.note.clone()));
    of_step.or_else(|| {
        working.steps.iter().rev().find_map(|s| {
            let value = s.inputs.iter().find(|(own, _)| *own == symbol)?;
            Some((value.1.clone(), s.source.text(), String::new()))
        })
    })
}

fn margin(check: &Check, found: &Bounds) -> Option<dossier::Margin> {
    found.low?;
    let finite = |m: Option<f64>| m.filter(|m| m.is_finite());
    Some(dossier::Margin { low: finite(found.low_margin()), high: finite(found.high_margin()), unit: check.unit.into() })
}

/// Why no figure or margin could be computed at some completion.
fn why(found: &Bounds, series: &Series) -> Option<String> {
    match &found.stopped {
        Some(Stop::PackSilent(what)) => return Some(format!("the pack of {} does not say: {what}", series.name)),
        Some(Stop::Refused(text)) => return Some(text.clone()),
        Some(Stop::Open(id)) => return Some(format!("{} is not known", survey::path(*id))),
        None => {}
    }
    let open: Vec<String> = found.open.iter().map(survey::path).collect();
    (found.unanswered_somewhere && !open.is_empty()).then(|| format!("waits for {}", open.join(", ")))
}

/// Values this close, relatively, are one value to people.
const SAME: f64 = 1e-3;

fn reading(low: f64, high: f64, info: &'static DimensionInfo, system: System) -> Reading {
    let unit = info.units.first().map(|u| u.symbol.to_owned()).unwrap_or_default();
    let text = |v: f64| if v.is_infinite() { "never".to_owned() } else { show(v, info, system) };
    let one = (high - low).abs() <= SAME * high.abs() || (low.is_infinite() && high.is_infinite());
    let words = if one { text(low) } else { format!("{} … {}", text(low), text(high)) };
    Reading { low: Some(low).filter(|v| v.is_finite()), high: Some(high).filter(|v| v.is_finite()), unit, text: words }
}
