//! A simulated drive to rehearse with: the old or the new drive of a position behind its own registers, with the settings that the block
//! counts on.

use plant::choice::Choice;
use plant::network::{Direction, Layout, LossAction, Protocol};
use plant::position::Position;
use plant::product::Series;
use plant::quantity::{System, Time, digits};
use plant::survey::{FactType, NETWORK_LOSS_ACTION, NETWORK_TIMEOUT, path};
use transfer::words::drive::Behaviour;

use crate::words::{Making, Sides, old_side, sides};

/// How long a simulated drive takes from standstill to its highest frequency. Its own ramp times are settings that nobody read.
const RAMP_S: f64 = 3.0;
/// After how long it misses its master where nobody read the time.
const TIMEOUT_S: f64 = 5.0;

/// What is simulated.
#[derive(Clone, Debug)]
pub struct Rehearsal {
    /// Series and layout, for people.
    pub name: String,
    /// Its layout.
    pub layout: Layout,
    /// How it behaves.
    pub behaviour: Behaviour,
    /// What was assumed and what to know.
    pub remarks: Vec<String>,
}

/// The drive of a joined position: the new one of a series, or the old one when `new_series` is left out.
///
/// # Errors
/// A sentence that says why there is none: no network or layout, a layout that is not on Modbus, a setting that is still to be read.
pub fn rehearsal(position: &Position, old_series: Option<&Series>, new_series: Option<&Series>) -> Result<Rehearsal, String> {
    let Sides { old_series: series, old, new } = match new_series {
        Some(new_series) => sides(position, old_series, new_series)?,
        None => {
            let (old_series, old) = old_side(position, old_series)?;
            Sides { old_series, old, new: old }
        }
    };
    let (series, layout) = (new_series.unwrap_or(series), new);
    on_modbus(series, layout)?;
    let mut made = Making { position, open: Vec::new(), remarks: Vec::new() };
    let (old_settings, new_settings) = made.settings(old, new, series);
    if !made.open.is_empty() {
        return Err(format!("what a count stands for is not known yet; to read first: {}", made.open.join("; ")));
    }
    let mut settings = if new_series.is_some() { new_settings } else { old_settings };
    if new_series.is_none() {
        // Those remarks are about settings of a new drive.
        made.remarks.clear();
        settings.highest = old_settings.highest;
    }
    let (loss, timeout) = loss(&mut made, layout);
    let ramp = settings.highest.in_hz() / RAMP_S;
    made.remarks.push(format!("its ramps are assumed: {} Hz/s, the same up and down and for a quick stop", digits(ramp, 3)));
    made.remarks.push("it has no load: its current is 0".to_owned());
    if layout.protocol == Protocol::ModbusRtu {
        made.remarks
            .push("the real drive speaks Modbus RTU on a serial line; here the same registers are served over Modbus TCP".to_owned());
    }
    if layout.writes.is_empty() {
        made.remarks.push("the pack does not say how registers may be written: one or several at a time are both taken".to_owned());
    }
    Ok(Rehearsal {
        name: format!("{}, {}", series.name, layout.name),
        layout: layout.clone(),
        behaviour: Behaviour { settings, ramp, loss, timeout },
        remarks: made.remarks,
    })
}

/// Whether the layout can be served at all.
fn on_modbus(series: &Series, layout: &Layout) -> Result<(), String> {
    let name = format!("{}, {}", series.name, layout.name);
    if !matches!(layout.protocol, Protocol::ModbusRtu | Protocol::ModbusTcp) {
        let others: Vec<&str> = series
            .layouts
            .iter()
            .filter(|l| matches!(l.protocol, Protocol::ModbusRtu | Protocol::ModbusTcp))
            .map(|l| l.name.as_str())
            .collect();
        let instead =
            if others.is_empty() { String::new() } else { format!("; [network] wanted may name one that does: {}", others.join(", ")) };
        return Err(format!("{name} travels by {}; only layouts on Modbus can be rehearsed{instead}", layout.protocol.word()));
    }
    let unplaced = layout.words.iter().find(|w| layout.address(w).is_none());
    match unplaced {
        Some(_) if layout.addressing.is_none() => {
            Err(format!("the pack of {} does not say how the register numbers of {name} are counted (addressing)", series.name))
        }
        Some(word) => {
            Err(format!("{name}: register {} (“{}”) has no address by the counting that the pack states", word.number, word.name))
        }
        None if layout.words(Direction::ToDrive).next().is_none() => Err(format!("{name} has no words to the drive")),
        None => Ok(()),
    }
}

/// Action on loss of the master and after how many seconds, with what was assumed.
fn loss(made: &mut Making<'_>, layout: &Layout) -> (LossAction, f64) {
    let read = made.one(NETWORK_LOSS_ACTION.id).and_then(LossAction::from_raw);
    let action = read.unwrap_or_else(|| {
        let assumed = layout.loss_actions.first().copied().unwrap_or(LossAction::Trip);
        made.remarks.push(format!("{} is not known: {} is assumed", path(NETWORK_LOSS_ACTION.id), assumed.word()));
        assumed
    });
    if !layout.loss_actions.is_empty() && !layout.loss_actions.contains(&action) {
        made.remarks
            .push(format!("the layout is not known to offer {} on loss of communication; it is simulated all the same", action.word()));
    }
    if action == LossAction::PresetSpeed {
        made.remarks.push("the preset speed is not known: it holds its last setpoint instead".to_owned());
    }
    let read = made.one(NETWORK_TIMEOUT.id).filter(|s| *s > 0.0);
    let mut timeout = read.unwrap_or_else(|| {
        made.remarks.push(format!("{} is not known: {TIMEOUT_S} s are assumed", path(NETWORK_TIMEOUT.id)));
        TIMEOUT_S
    });
    if let Some(longest) = layout.longest_timeout.filter(|l| timeout > l.in_s()) {
        made.remarks.push(format!("it can be set to wait for {} at most, and waits so long", longest.text(System::Metric)));
        timeout = longest.in_s();
    }
    let time = Time::si(timeout).text(System::Metric);
    made.remarks
        .push(format!("{} when no request was carried out for {time}; then its command word has to be written again", action.word()));
    (action, timeout)
}
