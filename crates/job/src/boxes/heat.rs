//! The heat of a box, today and afterwards, and what cooling would have to do.

use calc::enclosure::cooling::{FanConstant, cooling_unit, exchanger, ventilation};
use calc::enclosure::heat::{BoxHeat, SafeSide, Wall, box_rise, effective_surface, safe_side, simple_rise};
use calc::working::{Silent, Working};
use dossier::boxes::{Heat, HeatRow};
use findings::candidate::{Candidate, Measure, Measures};
use findings::facts::{Reader, Stop};
use findings::surroundings::{self, BoxAir, COOLED_TO, Climates, FAN_RISE, box_air, climate, mounted, to_be_cooled, unit_losses};
use plant::fact::Known;
use plant::quantity::{Power, Ratio, System, Temperature, digits};
use plant::survey::{AIR_TEMPERATURE, ALTITUDE, OLD_HEAT_SINK, OTHER_LOSSES};

use super::Guest;
use crate::assess::{Input, old_heat, old_losses};
use crate::report;

/// Share of a fan's free flow that filters, grilles and the box leave. Common practice, no source.
const LEFT_BY_FILTERS: Ratio = Ratio::percent(65.0);

/// The balance; `None` where the drives hang open in a room.
pub(super) fn balance(input: Input<'_>, guests: &[Guest<'_, '_>]) -> Result<Option<Heat>, Stop> {
    let mut facts = guests[0].read();
    // Cooling that one of them brings cools all.
    let cooling = [Measure::CoolingUnit, Measure::Exchanger, Measure::FilterFan];
    let cooled = guests.iter().map(Guest::unit).find(|u| cooling.iter().any(|m| u.measures.has(*m)));
    let (room, altitude, afterwards) = climate(&mut facts, cooled.unwrap_or(guests[0].unit()), &mut Silent)?;
    if afterwards == Climates::Room {
        return Ok(None);
    }
    let mut heat = Heat::default();
    let other = facts.get(OTHER_LOSSES)?.power();
    heat.rows.push(row("everything but drives and added parts", Some(other), Some(other), "survey"));
    for guest in guests {
        let (before, remark) = old_share(input, guest);
        let after = new_heat(guest)?;
        let inside = mounted(&mut guest.read(), guest.unit())?.heat_inside;
        let share = if inside.in_of_one() < 1.0 {
            format!("{} of the new unit's losses stay inside", inside.text(System::Both))
        } else {
            String::new()
        };
        let remarks = [remark, share].into_iter().filter(|r| !r.is_empty()).collect::<Vec<_>>().join("; ");
        heat.rows.push(row(&format!("drive of {}", guest.tag), before, Some(after), &remarks));
        for part in &guest.survey.position().added {
            heat.rows.push(row(&format!("{} of {}", part.name, guest.tag), None, Some(part.losses), "added"));
        }
    }
    let drives_known = heat.rows.iter().filter(|r| r.remark != "added").all(|r| r.before.is_some());
    heat.before = drives_known.then(|| heat.rows.iter().filter_map(|r| r.before).sum());
    heat.after = heat.rows.iter().filter_map(|r| r.after).sum();
    let loss = Power::w(heat.after);
    let system = input.site.units;
    let mut working = Working::default();
    let air = box_air(room, altitude, &afterwards, loss, &mut working)?;
    heat.working = working.steps.iter().map(|s| report::step(s, system)).collect();
    heat.air.push(air_text("afterwards", &air, system));
    today(&mut heat, &mut facts, guests, system)?;
    let bare = bare(guests[0].unit());
    let (_, _, as_it_is) = climate(&mut facts, &bare, &mut Silent)?;
    if let Climates::Walls(walls) = as_it_is {
        heat.air.extend(simple_beside(&walls, loss, system));
    }
    sizes(&mut heat, &mut facts, room, loss, system)?;
    Ok(Some(heat))
}

/// Reads what a balance of this guest reads.
pub(super) fn touch(reader: &mut Reader<'_>, guest: &Guest<'_, '_>) {
    // What stops here stops the balance as well, and is told there.
    let _ = climate(reader, guest.unit(), &mut Silent);
    let _ = mounted(reader, guest.unit());
    let _ = reader.get(OTHER_LOSSES);
    let _ = reader.get(OLD_HEAT_SINK);
}

fn row(what: &str, before: Option<Power>, after: Option<Power>, remark: &str) -> HeatRow {
    let watts = |p: Option<Power>| p.map(|p| (p.in_w() * 10.0).round() / 10.0);
    HeatRow { what: what.to_owned(), before: watts(before), after: watts(after), remark: remark.to_owned() }
}

/// The candidate without what is done to it: the box as it is.
fn bare<'a>(unit: &Candidate<'a>) -> Candidate<'a> {
    let mut bare = unit.clone();
    bare.measures = Measures::default();
    bare
}

/// What the drive of today gives into the box.
fn old_share(input: Input<'_>, guest: &Guest<'_, '_>) -> (Option<Power>, String) {
    let position = guest.survey.position();
    match (old_losses(input, position), old_heat(input, position)) {
        (None, _) => (None, "losses of the old drive are not known".into()),
        (Some(_), None) => (None, "the old heat sink is outside, and its pack does not say which share of the losses stays inside".into()),
        (Some(all), Some(inside)) if inside < all => (Some(inside), "old drive at rated load, its heat sink outside".into()),
        (Some(_), inside) => (inside, "old drive at rated load".into()),
    }
}

/// What the new drive gives into the box at its load.
fn new_heat(guest: &Guest<'_, '_>) -> Result<Power, Stop> {
    let mut facts = guest.read();
    let current = facts.demand()?.get()?.rms;
    let inside = mounted(&mut facts, guest.unit())?.heat_inside;
    Ok(unit_losses(&mut facts, guest.unit(), current, &mut Silent)? * inside.in_of_one())
}

fn air_text(when: &str, air: &BoxAir, system: System) -> String {
    let text = |t: Temperature| t.text(system);
    if air.mid == air.top {
        format!("{when}: {} throughout, with {} around the box", text(air.top), text(air.room))
    } else {
        format!("{when}: {} at half height and {} at the top, with {} around the box", text(air.mid), text(air.top), text(air.room))
    }
}

/// The state of today, computed and as it was measured: a check of the calculation.
fn today(heat: &mut Heat, facts: &mut Reader<'_>, guests: &[Guest<'_, '_>], system: System) -> Result<(), Stop> {
    let Some(before) = heat.before else { return Ok(()) };
    let (room, altitude, as_it_is) = climate(facts, &bare(guests[0].unit()), &mut Silent)?;
    let air = box_air(room, altitude, &as_it_is, Power::w(before), &mut Silent)?;
    heat.air.push(air_text("today, with the old drives", &air, system));
    let surveyed = guests[0].survey.position().fact(AIR_TEMPERATURE.id).filter(|f| f.known != Known::Missing);
    if surveyed.is_some() {
        let range = report::range_text(guests[0].survey, AIR_TEMPERATURE.id, system);
        heat.air.push(format!(
            "surveyed inside the box: {range}; far from what is computed for today, look for sun, hot neighbours or a blocked filter"
        ));
    }
    Ok(())
}

/// P = k·A·ΔT beside the report's figure.
fn simple_beside(walls: &BoxHeat, loss: Power, system: System) -> Option<String> {
    let surface = effective_surface(&walls.standing, &mut Silent).ok()?.effective;
    let simple = simple_rise(loss, surface, Wall::PaintedSteel, &mut Silent).ok()?;
    let full = box_rise(&BoxHeat { loss, ..*walls }, &mut Silent).ok()?;
    let side = match safe_side(simple, &full) {
        SafeSide::Safe => "on the safe side here",
        SafeSide::BelowTop => "NOT on the safe side for what hangs above half height",
        SafeSide::BelowMid => "NOT on the safe side: cooler than IEC TR 60890 even at half height",
    };
    Some(format!(
        "without cooling, the simple P = k·A·ΔT gives a rise of {}, IEC TR 60890 {} at the top: {side}",
        simple.text(system),
        full.top.text(system)
    ))
}

/// Sizes of what could be bought.
fn sizes(heat: &mut Heat, facts: &mut Reader<'_>, room: Temperature, loss: Power, system: System) -> Result<(), Stop> {
    let altitude = facts.get(ALTITUDE)?;
    if surroundings::fan_may_be(facts)? {
        let air = ventilation(loss, FAN_RISE, FanConstant::Air(room), LEFT_BY_FILTERS, altitude, &mut Silent)?;
        heat.cooling.push(format!(
            "filter fan to stay within {} of the room: {} through the box, {} blowing freely",
            FAN_RISE.text(system),
            air.flow.text(system),
            air.free_flow.text(system)
        ));
    } else {
        heat.cooling.push("no filter fan: none is made for the rating that the place asks for".into());
    }
    let warm = Temperature::si(room.in_si() + FAN_RISE.in_si());
    if let Ok(found) = to_be_cooled(facts, loss, warm).and_then(|c| Ok(exchanger(&c, altitude, &mut Silent)?)) {
        heat.cooling.push(format!(
            "air-to-air exchanger to stay within {} of the room: {} W/K",
            FAN_RISE.text(system),
            digits(found.w_per_k, 3)
        ));
    }
    let found = cooling_unit(&to_be_cooled(facts, loss, COOLED_TO)?, &mut Silent)?;
    let capacity = found.capacity.electric();
    let capacity = match system {
        // As coolers are sold there.
        System::Us => format!("{} W ({} BTU/h)", digits(capacity.in_we(), 3), digits(capacity.in_btu_h(), 3)),
        System::Metric | System::Both => capacity.text(system),
    };
    heat.cooling.push(format!("cooling unit set to {}: {capacity}", COOLED_TO.text(system)));
    Ok(())
}
