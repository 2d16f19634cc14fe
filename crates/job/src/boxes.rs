//! A box with all the drives that go into it: their places, the holes, the heat, the drawing. Where something is known as a
//! range, the report stands on its worse end.

mod adapter;
mod heat;
mod layout;
mod sheet;

use dossier::boxes::{BoxReport, Drive};
use findings::candidate::{Candidate, Measures};
use findings::check::Way;
use findings::facts::{Point, Reader, Stop, Survey};
use findings::registry::CHECKS;
use plant::position::Position;
use plant::quantity::{Length, Mass, System};
use plant::survey::{self, FactId};

use crate::assess::{Input, all_candidates, join, survey_of};
use crate::bounds::Verdict;
use crate::options::{Assessed, Finding};
use crate::report;
use crate::searches::Margins;

/// The findings that speak of the box.
const GROUP: &str = "box/";

/// A drive that goes in, with its survey and its first candidate.
struct Guest<'a, 's> {
    tag: &'a str,
    survey: &'s Survey<'s>,
    point: Point,
    first: Assessed<'a>,
}

impl Guest<'_, '_> {
    fn read(&self) -> Reader<'_> {
        self.survey.at(&self.point)
    }

    fn unit(&self) -> &Candidate<'_> {
        &self.first.unit
    }
}

/// Names of the boxes that drives of the site stand in, in the order of the site file; then tags of drives without a named box.
#[must_use]
pub fn names(input: Input<'_>) -> Vec<String> {
    let inside = |name: &str| input.positions.iter().any(|p| p.enclosure.as_deref() == Some(name));
    let named = input.site.boxes.iter().map(|b| b.named.name.clone()).filter(|name| inside(name));
    named.chain(input.positions.iter().filter(|p| p.enclosure.is_none()).map(|p| p.tag.clone())).collect()
}

/// The report of a box; of a drive without a named box under its tag. `None` when no drive stands in a box of that name.
#[must_use]
pub fn report(input: Input<'_>, name: &str) -> Option<BoxReport> {
    let is_guest = |p: &&Position| p.enclosure.as_deref() == Some(name) || p.enclosure.is_none() && p.tag == name;
    let mut remarks = Vec::new();
    let positions: Vec<Position> = input.positions.iter().filter(is_guest).map(|p| join(input, p, &mut remarks)).collect();
    if positions.is_empty() {
        return None;
    }
    // All of them are placed together: who stands where today is in nobody's way.
    remarks.retain(|remark: &String| !remark.contains("counted as being in the way"));
    let surveys: Vec<Survey<'_>> = positions.iter().map(|p| survey_of(input, p)).collect();
    let mut guests = Vec::new();
    for survey in &surveys {
        match all_candidates(input, survey).into_iter().next() {
            Some(first) => guests.push(Guest { tag: &survey.position().tag, survey, point: worst(survey), first }),
            None => remarks.push(format!("{}: no pack that may replace has a rating; it is left out", survey.position().tag)),
        }
    }
    let mut report = BoxReport { name: name.to_owned(), remarks, verdict: Verdict::Holds.word().into(), ..BoxReport::default() };
    let mut worst_of_all = Verdict::Holds;
    for guest in &guests {
        let own: Vec<&Finding<'_>> = guest.first.findings.iter().filter(|f| f.check.name.starts_with(GROUP)).collect();
        worst_of_all = own.iter().filter(|f| f.counts()).map(|f| f.verdict()).fold(worst_of_all, Verdict::max);
        let margins = Margins::of(guest.survey, input.searches);
        report.drives.push(Drive {
            tag: guest.tag.to_owned(),
            candidate: guest.unit().id(),
            outline: outline(guest, input.site.units),
            findings: own.into_iter().map(|f| report::finding(input, &margins, &guest.first, f)).collect(),
        });
        report.cautions.extend(mass_caution(guest, input.site.units));
    }
    report.verdict = worst_of_all.word().into();
    if guests.is_empty() {
        return Some(report);
    }
    match layout::lay(&guests) {
        Ok(laid) => {
            let (mut told, adapters) = (layout::told(&laid, &guests), adapter::adapters(&laid, &guests, input.site.units));
            told.adapters = adapters;
            report.drawing = Some(sheet::draw(name, &laid, &told));
            report.layout = Some(told);
        }
        Err(stop) => report.to_measure.push(missing(&stop)),
    }
    match heat::balance(input, &guests) {
        Ok(balance) => report.heat = balance,
        Err(stop) => report.to_measure.push(missing(&stop)),
    }
    report.to_measure.dedup();
    report.taken = taken(&guests, input.site.units);
    Some(report)
}

/// The completion at the worse end of each range whose direction the checks of the box declare.
fn worst(survey: &Survey<'_>) -> Point {
    let mut point = survey.middle();
    for (at, id) in survey.uncertain().iter().enumerate().filter(|(_, id)| survey.domain(**id).listed().is_none()) {
        match CHECKS.iter().filter(|c| c.name.starts_with(GROUP)).find_map(|c| c.way(*id, Measures::default())) {
            Some(Way::Up) => point.set(at, 0.0),
            Some(Way::Down) => point.set(at, 1.0),
            None => {}
        }
    }
    point
}

/// What the answer takes for facts of the box that are not exactly known.
fn taken(guests: &[Guest<'_, '_>], system: System) -> Vec<String> {
    let mut lines = Vec::new();
    for guest in guests {
        let of_box = |id: &FactId| matches!(survey::def(*id).table(), "box" | "conductors" | "old" | "conditions");
        // What a layout and a balance do not look at is not told.
        let mut reader = guest.read();
        layout::touch(&mut reader, guest);
        heat::touch(&mut reader, guest);
        for id in guest.survey.uncertain().iter().filter(|id| of_box(id) && reader.reads().contains(**id)) {
            let Ok(value) = guest.read().raw(*id) else { continue };
            let text = report::raw_text(value, survey::def(*id).kind, system);
            let line = format!(
                "{} ({}): {text} out of {}",
                survey::def(*id).label,
                survey::path(*id),
                report::range_text(guest.survey, *id, system)
            );
            if !lines.contains(&line) {
                lines.push(line);
            }
        }
    }
    lines
}

fn missing(stop: &Stop) -> String {
    match stop {
        Stop::Open(id) => format!("{} ({}): {}", survey::def(*id).label, survey::path(*id), survey::def(*id).because),
        Stop::PackSilent(what) => format!("from the documents of the unit: {what}"),
        Stop::Refused(text) => text.clone(),
    }
}

fn outline(guest: &Guest<'_, '_>, system: System) -> String {
    let frame = guest.unit().frame;
    let sides = [frame.width, frame.height, frame.depth];
    let size = |number: fn(Length) -> f64, digits: i32| sides.map(|l| plant::quantity::digits(number(l), digits)).join(" × ");
    // The tables of the layout are in millimetres for everybody.
    let inches = if system == System::Us { format!(" ({} in)", size(Length::in_inch, 3)) } else { String::new() };
    format!("frame {}: {} mm deep{inches}, {}", frame.name, size(Length::in_mm, 4), frame.mass.text(system))
}

/// From here on a unit is not lifted by one person, and not without a hoist. Common practice, no source.
const TWO_PEOPLE: Mass = Mass::kg(23.0);
const HOIST: Mass = Mass::kg(50.0);

fn mass_caution(guest: &Guest<'_, '_>, system: System) -> Option<String> {
    let mass = guest.unit().frame.mass;
    let how = if mass > HOIST {
        "a hoist on the unit's own lifting points"
    } else if mass > TWO_PEOPLE {
        "two people, or a hoist"
    } else {
        return None;
    };
    Some(format!("{}: {} — lift it with {how}; hold the old unit before its last screw is out", guest.tag, mass.text(system)))
}
