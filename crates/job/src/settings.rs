//! The settings of a position: from its list and two packs to the sheet, the load sequence and the conflicts.

use dossier::settings::{Conflict, Count, Line, Meaning, Setting, Settings, Step, Value};
use plant::choice::{Choice, Duty};
use plant::fact::Known;
use plant::position::Position;
use plant::product::{Rating, Series};
use plant::quantity::{System, show};
use plant::settings::{FoundList, Outcome, Raw};
use plant::survey::{
    FactId, MOTOR_CURRENT, MOTOR_FREQUENCY, MOTOR_POWER, MOTOR_POWER_FACTOR, MOTOR_SPEED, MOTOR_VOLTAGE, OLD_CURRENT, SUPPLY_VOLTAGE,
};
use transfer::settings::{self, Machine, Sheet, Shown, translate};

use crate::assess::{Input, old_series};
use crate::options::Assessed;

/// Works the settings of a joined position out for a new series, or for one of its ratings with its duty class.
///
/// # Errors
/// A sentence that says what is missing before anything can be carried over: no list, no pack, a pack without settings.
pub fn settings(
    position: &Position,
    old_series: Option<&Series>,
    new_series: &Series,
    rating: Option<(&Rating, Duty)>,
    units: System,
) -> Result<Settings, String> {
    let (list, old, sheet) = sheet(position, old_series, new_series, rating)?;
    let new = match rating {
        Some((rating, duty)) => format!("{}, {} {}", new_series.name, rating.code, duty.word()),
        None => new_series.name.clone(),
    };
    let counts = count(&sheet);
    Ok(Settings {
        tag: position.tag.clone(),
        old: old.name.clone(),
        new,
        maker: new_series.maker.clone(),
        extent: list.extent.map_or_else(String::new, |e| e.word().to_owned()),
        settings: sheet.lines.iter().map(|l| line(l, old, new_series, units)).collect(),
        load_sequence: sheet.load.iter().enumerate().map(|(n, s)| step(n, s, new_series)).collect(),
        conflicts: sheet.conflicts.iter().map(|c| Conflict { settings: c.settings.clone(), what: c.what.clone() }).collect(),
        counts,
        remarks: remarks(position, &sheet, rating.is_some()),
        files: Vec::new(),
    })
}

/// The sheet before it is told, with the list and the old series behind it; errors as [`settings`].
fn sheet<'s>(
    position: &'s Position,
    old_series: Option<&'s Series>,
    new_series: &'s Series,
    rating: Option<(&Rating, Duty)>,
) -> Result<(&'s FoundList, &'s Series, Sheet<'s>), String> {
    let tag = &position.tag;
    let list = position.settings.as_ref().ok_or_else(|| {
        format!("{tag} has no settings list: its position file names none under [settings]; upload the settings of the old drive, or read them from its keypad")
    })?;
    let old = old_series.ok_or_else(|| format!("{tag}: there is no pack of the old series, so its settings have no meaning"))?;
    for series in [old, new_series] {
        if series.settings.is_empty() {
            return Err(format!("the pack of {} lists no settings: fill in its settings.csv", series.name));
        }
    }
    let sheet = translate(
        list,
        &old.settings,
        one(position, OLD_CURRENT.id),
        &new_series.settings,
        rating.map(|(r, _)| r.current.in_a()),
        machine(position),
        rating.map(|(_, duty)| duty),
    );
    Ok((list, old, sheet))
}

/// How many settings are to be loaded into a candidate of a joined position; `None` where no sheet can be made.
pub(crate) fn to_load(input: Input<'_>, position: &Position, candidate: &Assessed<'_>) -> Option<usize> {
    let (series, rating) = (candidate.unit.series, candidate.unit.rating);
    let (_, _, sheet) = sheet(position, old_series(input, position), series, Some((rating, rating.duty))).ok()?;
    Some(sheet.load.len())
}

/// The settings of a joined position for its candidate; `None` where the survey has no list of them.
pub(crate) fn of_candidate(input: Input<'_>, position: &Position, candidate: &Assessed<'_>) -> Option<Result<Settings, String>> {
    position.settings.as_ref()?;
    let rating = (candidate.unit.rating, candidate.unit.rating.duty);
    Some(settings(position, old_series(input, position), candidate.unit.series, Some(rating), input.site.units))
}

/// All numbers of the survey that a sheet of settings is made from, beside the lists of both sides.
pub(crate) fn rests_on(position: &Position) -> [Option<f64>; 8] {
    let Machine { frequency, voltage, current, power, speed, power_factor, supply } = machine(position);
    [frequency, voltage, current, power, speed, power_factor, supply, one(position, OLD_CURRENT.id)]
}

/// The motor and its supply as far as each is one value.
fn machine(position: &Position) -> Machine {
    let one = |id| one(position, id);
    Machine {
        frequency: one(MOTOR_FREQUENCY.id),
        voltage: one(MOTOR_VOLTAGE.id),
        current: one(MOTOR_CURRENT.id),
        power: one(MOTOR_POWER.id),
        speed: one(MOTOR_SPEED.id),
        power_factor: one(MOTOR_POWER_FACTOR.id),
        supply: one(SUPPLY_VOLTAGE.id),
    }
}

fn one(position: &Position, id: FactId) -> Option<f64> {
    match position.fact(id)?.known {
        Known::Value(value) => Some(value),
        _ => None,
    }
}

fn line(line: &settings::Line, old: &Series, new: &Series, units: System) -> Line {
    let name = |series: &Series, at: Option<usize>| at.and_then(|a| series.settings.get(a)).map_or_else(String::new, |s| s.text.clone());
    let setting = |shown: &Shown, series: &Series| Setting { id: shown.id.clone(), text: shown.text.clone(), name: name(series, shown.at) };
    let concept = line.concept.map(|(id, number)| if number > 1 { format!("{id} {number}") } else { id.to_owned() });
    let meaning = concept.map(|concept| {
        let (value, unit, text) = match line.value {
            Some(settings::Value::Number(si, info)) => {
                let symbol = if info.name == "ratio" { "" } else { info.units.first().map_or("", |u| u.symbol) };
                (Value::Number(si), symbol.to_owned(), show(si, info, units))
            }
            Some(settings::Value::Word(word)) => (Value::Word(word.to_owned()), String::new(), word.to_owned()),
            None => (Value::Unknown, String::new(), String::new()),
        };
        Meaning { concept, value, unit, text }
    });
    let loss = match (line.loss, line.value) {
        (Some(loss), Some(settings::Value::Number(_, info))) => {
            Some(format!("{}{}", if loss > 0.0 { "+" } else { "" }, show(loss, info, units).replace('-', "−")))
        }
        _ => None,
    };
    Line {
        old: line.old.as_ref().map(|s| setting(s, old)),
        meaning,
        new: line.new.as_ref().map(|s| setting(s, new)),
        outcome: line.outcome.word().to_owned(),
        loss,
        reason: line.reason.clone(),
        from_default: line.from_default,
    }
}

fn step(place: usize, step: &settings::Step, series: &Series) -> Step {
    let setting = series.settings.get(step.at);
    let object = setting.and_then(|s| s.object);
    let number = match (&step.raw, setting.and_then(|s| s.scale())) {
        (Raw::Number(number), Some(scale)) => Some(number * scale.counts),
        (Raw::Number(number), None) => Some(*number),
        (Raw::Text(text), _) => text.parse::<f64>().ok(),
    };
    #[expect(clippy::cast_possible_truncation, reason = "looked at to be within 32 bits")]
    let count = number.map(f64::round).filter(|n| n.abs() <= f64::from(u32::MAX)).map(|n| n as i64);
    let data_type = setting.and_then(|s| s.data_type);
    let inside = |n: &i64| data_type.is_none_or(|t| (t.range().0..=t.range().1).contains(n));
    Step {
        step: place + 1,
        id: step.id.clone(),
        name: step.name.clone(),
        text: step.text.clone(),
        access: step.access.word().to_owned(),
        why: step.why.to_owned(),
        index: object.map(|o| o.0),
        subindex: object.map(|o| o.1),
        data_type: data_type.map(plant::settings::DataType::code),
        count: count.filter(inside),
    }
}

fn count(sheet: &Sheet<'_>) -> Vec<Count> {
    (0..)
        .map_while(Outcome::from_index)
        .map(|outcome| Count { outcome: outcome.word().to_owned(), lines: sheet.lines.iter().filter(|l| l.outcome == outcome).count() })
        .filter(|c| c.lines > 0)
        .collect()
}

fn remarks(position: &Position, sheet: &Sheet<'_>, rated: bool) -> Vec<String> {
    let machine = machine(position);
    let mut remarks = Vec::new();
    let defaults = sheet.lines.iter().filter(|l| l.from_default).count();
    if defaults > 0 {
        remarks.push(format!(
            "the list holds only what was changed: {defaults} settings that it leaves out are taken to stand at the old unit’s defaults, as its pack has them"
        ));
    }
    if !rated {
        remarks.push(
            "no rating is named: what counts in the new unit’s rated current, and its duty class, is open; --candidate names one".into(),
        );
    }
    if one(position, OLD_CURRENT.id).is_none() {
        remarks.push("the old unit’s rated current is not one value (old.rated_current, or duty): what is a share of it is open".into());
    }
    let open: Vec<&str> = [
        (machine.frequency, "motor.frequency"),
        (machine.voltage, "motor.voltage"),
        (machine.current, "motor.current"),
        (machine.power, "motor.power"),
        (machine.speed, "motor.speed"),
        (machine.supply, "supply.voltage"),
    ]
    .iter()
    .filter(|(value, _)| value.is_none())
    .map(|(_, path)| *path)
    .collect();
    if !open.is_empty() {
        remarks.push(format!("not one value in the survey, so that what hangs on it is open: {}", open.join(", ")));
    }
    if position.settings.as_ref().is_some_and(|l| l.rows.iter().any(|r| !r.unread.is_empty())) {
        remarks.push("some rows of the list could not be read: they need a decision, with the reason beside them".into());
    }
    remarks.push("the rated torque is that of the motor’s plate: power over speed".into());
    remarks.push("compare the new unit against this sheet after loading, and keep the list that was read from it".into());
    remarks
}
