//! The box around a candidate in the form that calculations take: plate, things on it, the unit with its clearances, losses,
//! air. Reads facts, decides nothing.

use calc::drive::derate::Curve;
use calc::drive::losses::{Printed, losses_at};
use calc::enclosure::bend::{Exit, Strands, bend_space};
use calc::enclosure::cooling::{Climate, FanConstant, ventilated_rise};
use calc::enclosure::fit::{Mount, Obstacle, Plate, Point, Rect, Side, Sides, Tenths, Unit};
use calc::enclosure::heat::{
    Arrangement, BoxHeat, BoxSize, Edition, Openings, Standing as Stands, Wall, box_rise, effective_surface, wall_heat,
};
use calc::sources::{DEFINITION, PACK, PRACTICE, SURVEY};
use calc::working::{Recorder, Step};
use plant::choice::{BoxCooling, BoxRating, Fixing, Hinge, Housing, Mounting, PlateSide, Standing, Style, YesNo};
use plant::position::{AddedPart, Thing};
use plant::quantity::{Current, Length, Power, Ratio, Temperature, TemperatureRise};
use plant::survey::{
    AIR_TEMPERATURE, ALTITUDE, BOX_COOLING, BOX_COOLING_CAPACITY, BOX_DEPTH, BOX_EXCHANGE, BOX_FAN_FLOW, BOX_HEIGHT, BOX_HINGE,
    BOX_HOUSING, BOX_PARTITIONS, BOX_RATING, BOX_SET_POINT, BOX_STANDING, BOX_TOP_COVERED, BOX_WIDTH, CONDUCTOR_AREA, CONDUCTORS_EACH,
    MOUNTING, OTHER_LOSSES, PLATE_DEPTH, PLATE_GAP, PLATE_HEIGHT, PLATE_WIDTH, ROOM_TEMPERATURE,
};

use crate::candidate::{Candidate, Measure};
use crate::facts::{Reader, Stop};

/// How much warmer than outside a box is kept by a fan that is bought for it. Common practice, no source.
pub const FAN_RISE: TemperatureRise = TemperatureRise::dk(10.0);
/// Temperature that a cooling unit bought for a box is set to. Common practice, no source.
pub const COOLED_TO: Temperature = Temperature::c(35.0);

/// How a candidate is mounted.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Mounted {
    /// Clearances, upright.
    pub clear: Sides,
    /// Depth in front of the plate.
    pub depth: Length,
    /// Share of its losses that stays in the box.
    pub heat_inside: Ratio,
}

/// How it is mounted: through the wall or closed where a measure says so, side by side where the place says so.
///
/// # Errors
/// When a fact is open or a length is none.
pub fn mounted(facts: &mut Reader<'_>, unit: &Candidate<'_>) -> Result<Mounted, Stop> {
    let frame = unit.frame;
    let style = if unit.measures.has(Measure::ThroughWall) {
        Style::ThroughWall
    } else if unit.measures.has(Measure::EnclosureKit) {
        Style::Enclosed
    } else if facts.get(MOUNTING)? == Mounting::SideBySide {
        Style::SideBySide
    } else {
        Style::Panel
    };
    let own = unit.series.mounting(&frame.name, style);
    let (above, below, side) =
        own.map_or((frame.clear_above, frame.clear_below, frame.clear_side), |m| (m.clear_above, m.clear_below, m.clear_side));
    let clear = Sides { above: Tenths::up(above)?, below: Tenths::up(below)?, left: Tenths::up(side)?, right: Tenths::up(side)? };
    let depth = own.and_then(|m| m.depth).unwrap_or(frame.depth);
    Ok(Mounted { clear, depth, heat_inside: own.map_or(Ratio::of_one(1.0), |m| m.heat_inside) })
}

/// The unit as a layout takes it, with room for bending the conductors at its terminals.
///
/// # Errors
/// When a fact is open, or the pack leaves out what is needed.
pub fn unit<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Unit, Stop> {
    let (frame, mounted) = (unit.frame, mounted(facts, unit)?);
    let bend = bend_beyond(facts, unit, rec)?;
    let side = side(frame.cable_side);
    let clear = mounted.clear.with(side, mounted.clear.at(side).max(Tenths::up(bend)?));
    rec.step(|| {
        Step::new("W × H", "outline of the unit", "", &PACK).gives(format!("{} × {}", frame.width, frame.height)).note(format!(
            "free above {}, below {}, left {}, right {}",
            clear.above.length(),
            clear.below.length(),
            clear.left.length(),
            clear.right.length()
        ))
    });
    Ok(Unit {
        name: format!("{} {}", unit.series.name, unit.rating.code),
        width: Tenths::up(frame.width)?,
        height: Tenths::up(frame.height)?,
        depth: Tenths::up(mounted.depth)?,
        front: Tenths::up(frame.front)?,
        clear,
        may_turn: frame.may_turn,
        shares_air: true,
        stand_off: None,
    })
}

/// Space that the conductors need between a power terminal and the wall that it points at; none where a terminal block takes them: what
/// runs on to the unit is chosen for its terminals and bends in its clearance.
pub(crate) fn bend_at_terminal<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Option<Length>, Stop> {
    if unit.measures.has(Measure::TerminalBlock) {
        return Ok(None);
    }
    if let Some(space) = unit.frame.bend_space {
        rec.step(|| Step::new("B", "space for bending the conductors, from terminal to wall", "", &PACK).gives(space));
        return Ok(Some(space));
    }
    let wires = each(facts)?;
    Ok(Some(bend_space(facts.get(CONDUCTOR_AREA)?, wires, Exit::Opposite, Strands::Common, rec)?.space))
}

/// The part of it beyond the unit's outline.
pub(crate) fn bend_beyond<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Length, Stop> {
    let Some(needed) = bend_at_terminal(facts, unit, rec)? else { return Ok(Length::ZERO) };
    let beyond = (needed - unit.frame.terminal_inset).max(Length::ZERO);
    rec.step(|| {
        Step::new("b", "space for bending the conductors, beyond the outline", "B − i", &DEFINITION)
            .with("B", needed)
            .with("i", unit.frame.terminal_inset)
            .gives(beyond)
    });
    Ok(beyond)
}

/// Conductors at one terminal.
///
/// # Errors
/// When the fact is open.
pub fn each(facts: &mut Reader<'_>) -> Result<u8, Stop> {
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "the survey bounds it from 1 to 8; a part of one counts whole"
    )]
    Ok(facts.get(CONDUCTORS_EACH)?.in_count().ceil() as u8)
}

/// A side of the plate as the geometry has it.
#[must_use]
pub const fn side(side: PlateSide) -> Side {
    match side {
        PlateSide::Below => Side::Below,
        PlateSide::Above => Side::Above,
        PlateSide::Left => Side::Left,
        PlateSide::Right => Side::Right,
    }
}

/// The mounting plate.
///
/// # Errors
/// When it was not measured.
pub fn plate(facts: &mut Reader<'_>) -> Result<Plate, Stop> {
    Ok(Plate {
        width: Tenths::down(facts.get(PLATE_WIDTH)?)?,
        height: Tenths::down(facts.get(PLATE_HEIGHT)?)?,
        depth: Tenths::down(facts.get(PLATE_DEPTH)?)?,
        beyond: Sides::all(Tenths::down(facts.get(PLATE_GAP)?)?),
    })
}

/// What stands on the plate and on the door, the other drives of today among it.
///
/// A device on the door swings with it: its inner corner runs on a circle around the hinges and needs a little more room on the
/// side away from them, √(r² + e²) − r for a corner at r from the hinges that stands e off the door.
///
/// # Errors
/// When a fact is open or a length is none.
pub fn obstacles(facts: &mut Reader<'_>, plate: &Plate) -> Result<Vec<Obstacle>, Stop> {
    let neighbours = facts.position().neighbours.iter().filter_map(|n| n.stands.as_ref());
    let mut all = things(facts, plate)?;
    for thing in neighbours {
        all.push(obstacle(thing, plate, None)?);
    }
    Ok(all)
}

/// The same without the drives of today.
///
/// # Errors
/// As for [`obstacles`].
pub fn things(facts: &mut Reader<'_>, plate: &Plate) -> Result<Vec<Obstacle>, Stop> {
    let things = &facts.position().things;
    let hinge = if things.iter().any(|t| t.fixing == Fixing::Door) { Some(facts.get(BOX_HINGE)?) } else { None };
    things.iter().map(|thing| obstacle(thing, plate, hinge)).collect()
}

fn obstacle(thing: &Thing, plate: &Plate, hinge: Option<Hinge>) -> Result<Obstacle, Stop> {
    let (left, bottom) = (Tenths::down(thing.left)?, Tenths::down(thing.bottom)?);
    let mut at = Rect { left, bottom, right: Tenths::up(thing.left + thing.width)?, top: Tenths::up(thing.bottom + thing.height)? };
    let height = Tenths::up(thing.depth)?;
    let swing = |r: Tenths| {
        let (r, e) = (r.max(Tenths::ZERO).length(), height.length());
        Tenths::up(Length::m(r.in_m().hypot(e.in_m())) - r)
    };
    match (thing.fixing, hinge) {
        (Fixing::Door, Some(Hinge::Left)) => at.right = at.right + swing(at.right + plate.beyond.left)?,
        (Fixing::Door, Some(Hinge::Right)) => at.left = at.left - swing(plate.width + plate.beyond.right - at.left)?,
        _ => {}
    }
    let mount = if thing.fixing == Fixing::Door { Mount::Door } else { Mount::Plate };
    Ok(Obstacle { name: thing.name.clone(), at, height, mount, movable: thing.movable })
}

/// A part that goes in beside the unit.
///
/// # Errors
/// When a length is none.
pub fn added(part: &AddedPart) -> Result<Unit, Stop> {
    let (ends, side) = (Tenths::up(part.clear_ends)?, Tenths::up(part.clear_side)?);
    Ok(Unit {
        name: part.name.clone(),
        width: Tenths::up(part.width)?,
        height: Tenths::up(part.height)?,
        depth: Tenths::up(part.depth)?,
        front: Tenths::ZERO,
        clear: Sides { above: ends, below: ends, left: side, right: side },
        may_turn: part.may_turn,
        shares_air: true,
        stand_off: None,
    })
}

/// Where the old unit's lower left corner stands on the plate, where it was measured.
///
/// # Errors
/// When a fact that it follows from is open.
pub fn old_corner(facts: &mut Reader<'_>) -> Result<Option<Point>, Stop> {
    let (left, bottom) = (facts.find(plant::survey::OLD_LEFT)?, facts.find(plant::survey::OLD_BOTTOM)?);
    let Some((left, bottom)) = left.zip(bottom) else { return Ok(None) };
    Ok(Some(Point::new(Tenths::nearest(left)?, Tenths::nearest(bottom)?)))
}

/// Losses of the candidate at a current.
///
/// # Errors
/// When the pack does not tell.
pub fn unit_losses<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, current: Current, rec: &mut R) -> Result<Power, Stop> {
    let rated = unit.rating.losses.ok_or(Stop::PackSilent("losses at rated load (ratings.csv, losses)"))?;
    let carrier = match (unit.carrier(facts)?, unit.series.control.default_carrier) {
        (Some(used), Some(own)) if (used / own - 1.0).abs() > SAME_CARRIER => {
            let curve = |frame: Option<&str>| -> Vec<(f64, f64)> {
                let rows = unit.series.carrier_losses.iter().filter(|l| l.frame.as_deref() == frame);
                rows.map(|l| (l.carrier.in_hz(), l.factor.in_of_one())).collect()
            };
            let (of_frame, general) = (curve(Some(&unit.frame.name)), curve(None));
            let points = if of_frame.is_empty() { general } else { of_frame };
            // A slower carrier never costs more than the unit's own.
            let silent = if used < own { Some(1.0) } else { None };
            Curve::unchecked(&points)
                .factor_at(used.in_hz())
                .or(silent)
                .ok_or(Stop::PackSilent("losses at another carrier frequency (losses.csv)"))?
        }
        (Some(_), None) => return Err(Stop::PackSilent("carrier frequency that the unit comes set to (default_carrier)")),
        _ => 1.0,
    };
    let printed = Printed { rated, idle: unit.rating.idle_losses, carrier: Ratio::of_one(carrier) };
    Ok(losses_at(printed, Ratio::of_one(current / unit.rating.current), rec)?)
}

/// Carrier frequencies that differ by less are the same.
const SAME_CARRIER: f64 = 1e-6;

/// Losses in the box besides those of the candidate.
///
/// # Errors
/// When a fact is open or another drive's losses are not known.
pub fn losses_beside<R: Recorder>(facts: &mut Reader<'_>, rec: &mut R) -> Result<Power, Stop> {
    let other = facts.get(OTHER_LOSSES)?.power();
    let mut sum = other;
    for part in &facts.position().added {
        rec.step(|| Step::new("P_a", format!("losses of {}", part.name), "", &SURVEY).gives(part.losses.electric()));
        sum += part.losses;
    }
    for neighbour in &facts.position().neighbours {
        let losses = neighbour
            .losses
            .ok_or(Stop::PackSilent("losses of the other drives in this box (old series, type code and its ratings.csv)"))?;
        rec.step(|| {
            Step::new("P_n", format!("losses of the drive of {}", neighbour.tag), "", &PACK)
                .gives(losses.electric())
                .note("of the drive that stands there today, at rated load")
        });
        sum += losses;
    }
    rec.step(|| {
        Step::new("P_o", "losses of everything else in the box", "", &SURVEY)
            .with("P_c", other.electric())
            .gives(sum.electric())
            .note("P_c: all but drives and added parts")
    });
    Ok(sum)
}

/// Temperature of the air at the candidate's inlet as the survey has it, or as a measure makes it.
///
/// # Errors
/// When a fact is open.
pub fn inlet_air<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Temperature, Stop> {
    let surveyed: Temperature = facts.get(AIR_TEMPERATURE)?;
    let measures = unit.measures;
    let any = [Measure::FilterFan, Measure::Exchanger, Measure::CoolingUnit].into_iter().any(|m| measures.has(m));
    if !any || facts.get(BOX_HOUSING)? == Housing::Room {
        return Ok(surveyed);
    }
    let Some((kept, what)) = kept_by(facts, unit)? else { return Ok(surveyed) };
    let air = kept.min(surveyed);
    rec.step(|| Step::new("ϑ_in", "air at the unit with the box cooled", "", &PRACTICE).gives(air).note(what));
    Ok(air)
}

/// Whether filter fans are made for the rating that the place asks for: none keeps out jets of water or all dust. Common
/// practice, no source.
///
/// # Errors
/// When the fact is open.
pub fn fan_may_be(facts: &mut Reader<'_>) -> Result<bool, Stop> {
    use BoxRating as B;
    Ok(match facts.get(BOX_RATING)? {
        B::Ip00 | B::Ip20 | B::Ip21 | B::Ip44 | B::Ip54 | B::Ip55 | B::Type1 | B::Type3R | B::Type12 => true,
        B::Ip65 | B::Ip66 | B::Type4 | B::Type4X => false,
    })
}

/// Temperature that the cooling among a candidate's measures keeps, and what does it; `None` without any that works there.
fn kept_by(facts: &mut Reader<'_>, unit: &Candidate<'_>) -> Result<Option<(Temperature, &'static str)>, Stop> {
    let measures = unit.measures;
    Ok(if measures.has(Measure::CoolingUnit) {
        Some((COOLED_TO, "a cooling unit set to 35 °C"))
    } else if measures.has(Measure::Exchanger) {
        Some((warmer(facts.get(ROOM_TEMPERATURE)?, FAN_RISE), "an exchanger sized to keep the box within 10 K of the air around it"))
    } else if measures.has(Measure::FilterFan) && fan_may_be(facts)? {
        Some((warmer(facts.get(ROOM_TEMPERATURE)?, FAN_RISE), "a fan sized to keep the box within 10 K of the air around it"))
    } else {
        None
    })
}

/// How warm the box gets.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BoxAir {
    /// Air of the room or around the box.
    pub room: Temperature,
    /// Air at half height.
    pub mid: Temperature,
    /// Air at the top, where everything that has no known place is thought to be.
    pub top: Temperature,
}

/// What makes the box's own air, read once: the losses may then vary.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Climates {
    /// No box: the room's air.
    Room,
    /// Its walls carry the heat (IEC TR 60890).
    Walls(BoxHeat),
    /// Outside air is blown through.
    Blown(plant::quantity::Flow),
    /// An exchanger carries heat beside the walls; only the exchanger is counted.
    Exchanger(plant::quantity::ThermalConductance),
    /// A cooling unit holds a temperature as far as its capacity reaches; the box's walls take part.
    Cooled {
        /// Capacity.
        capacity: Power,
        /// Set temperature.
        to: Temperature,
        /// The box, for what is beyond its capacity.
        walls: BoxHeat,
    },
    /// A measure keeps this temperature, whatever the losses: its size follows from them.
    Kept(Temperature),
}

/// The box's climate with the candidate's measures.
///
/// # Errors
/// When a fact is open.
pub fn climate<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<(Temperature, Length, Climates), Stop> {
    let room: Temperature = facts.get(ROOM_TEMPERATURE)?;
    let altitude = facts.get(ALTITUDE)?;
    rec.step(|| Step::new("ϑ_a", "air around the box", "", &SURVEY).gives(room));
    if facts.get(BOX_HOUSING)? == Housing::Room {
        return Ok((room, altitude, Climates::Room));
    }
    if let Some((kept, _)) = kept_by(facts, unit)? {
        return Ok((room, altitude, Climates::Kept(kept)));
    }
    let climate = match facts.get(BOX_COOLING)? {
        BoxCooling::Closed => Climates::Walls(walls(facts, altitude)?),
        BoxCooling::Fan => Climates::Blown(facts.get(BOX_FAN_FLOW)?),
        BoxCooling::Exchanger => Climates::Exchanger(facts.get(BOX_EXCHANGE)?),
        BoxCooling::CoolingUnit => Climates::Cooled {
            capacity: facts.get(BOX_COOLING_CAPACITY)?.power(),
            to: facts.get(BOX_SET_POINT)?,
            walls: walls(facts, altitude)?,
        },
    };
    Ok((room, altitude, climate))
}

/// The box as IEC TR 60890 takes it, without losses.
fn walls(facts: &mut Reader<'_>, altitude: Length) -> Result<BoxHeat, Stop> {
    let size = BoxSize { width: facts.get(BOX_WIDTH)?, height: facts.get(BOX_HEIGHT)?, depth: facts.get(BOX_DEPTH)? };
    let arrangement = match facts.get(BOX_STANDING)? {
        Standing::Wall => Arrangement::Wall,
        Standing::Free => Arrangement::Free,
        Standing::RowEnd => Arrangement::RowEnd,
        Standing::RowEndWall => Arrangement::RowEndWall,
        Standing::RowMiddle => Arrangement::RowMiddle,
        Standing::RowMiddleWall => Arrangement::RowMiddleWall,
    };
    let standing = Stands { size, arrangement, top_covered: facts.get(BOX_TOP_COVERED)? == YesNo::Yes };
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "the survey bounds it from 0 to 3; a part of one counts whole"
    )]
    let partitions = facts.get(BOX_PARTITIONS)?.in_count().ceil() as u8;
    Ok(BoxHeat { standing, loss: Power::ZERO, partitions, curve: 1, edition: Edition::Tr2022, openings: Openings::None, altitude })
}

/// How warm the box gets with these losses inside.
///
/// # Errors
/// Outside the ranges of the calculation.
pub fn box_air<R: Recorder>(room: Temperature, altitude: Length, climate: &Climates, loss: Power, rec: &mut R) -> Result<BoxAir, Stop> {
    let even = |rise: TemperatureRise| BoxAir { room, mid: warmer(room, rise), top: warmer(room, rise) };
    Ok(match *climate {
        Climates::Room => even(TemperatureRise::ZERO),
        Climates::Kept(kept) => {
            rec.step(|| Step::new("ϑ", "temperature that the cooling added to the box keeps", "", &PRACTICE).gives(kept));
            BoxAir { room, mid: kept, top: kept }
        }
        Climates::Walls(heat) => {
            let rise = box_rise(&BoxHeat { loss, ..heat }, rec)?;
            BoxAir { room, mid: warmer(room, rise.mid), top: warmer(room, rise.top) }
        }
        Climates::Blown(flow) => even(ventilated_rise(loss, flow, FanConstant::Air(room), altitude, rec)?),
        Climates::Exchanger(w_k) => {
            let rise = TemperatureRise::dk(loss.in_w() / w_k.in_w_k());
            rec.step(|| {
                Step::new("Δϑ", "rise over the exchanger", "P/q", &DEFINITION)
                    .with("P", loss.electric())
                    .with("q", w_k)
                    .gives(rise)
                    .note("what the walls carry is left out, on the safe side")
            });
            even(rise)
        }
        Climates::Cooled { capacity, to, walls } => {
            let surface = effective_surface(&walls.standing, rec)?.effective;
            // A room warmer than the set temperature heats the box through its walls.
            let gain = wall_heat(surface, Wall::PaintedSteel, TemperatureRise::dk((room.in_kelvin() - to.in_kelvin()).max(0.0)), rec)?;
            let over = (loss + gain - capacity).max(Power::ZERO);
            rec.step(|| {
                Step::new("P_x", "what the cooling unit cannot carry", "max(0, P + P_w − P_K)", &DEFINITION)
                    .with("P", loss.electric())
                    .with("P_w", gain.electric())
                    .with("P_K", capacity.electric())
                    .gives(over.electric())
            });
            if over == Power::ZERO {
                BoxAir { room, mid: to, top: to }
            } else {
                let rise = box_rise(&BoxHeat { loss: over, ..walls }, rec)?;
                let from = room.max(to);
                BoxAir { room, mid: warmer(from, rise.mid), top: warmer(from, rise.top) }
            }
        }
    })
}

/// For sizing a cooler: the box as its formulas take it.
///
/// # Errors
/// When the box was not measured.
pub fn to_be_cooled(facts: &mut Reader<'_>, loss: Power, inside: Temperature) -> Result<Climate, Stop> {
    let altitude = facts.get(ALTITUDE)?;
    let heat = walls(facts, altitude)?;
    let surface = effective_surface(&heat.standing, &mut calc::working::Silent)?.effective;
    Ok(Climate { loss, surface, wall: Wall::PaintedSteel, inside, room: facts.get(ROOM_TEMPERATURE)? })
}

fn warmer(air: Temperature, rise: TemperatureRise) -> Temperature {
    Temperature::si(air.in_si() + rise.in_si())
}
