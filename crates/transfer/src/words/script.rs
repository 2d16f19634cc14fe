//! What a master writes that knows its drive: words put together by meaning, and the commands that lead from power-up to running.

use plant::network::{BitMeaning as M, Direction, Layout, Sequence, WordMeaning};

use super::scale::{Settings, counted};

/// Raw values of all words of a layout that demand just this; words from the drive are 0.
#[must_use]
pub fn words(layout: &Layout, demands: &[M], setpoint_hz: f64, settings: &Settings) -> Vec<u32> {
    layout
        .words
        .iter()
        .map(|word| match (word.direction, word.meaning) {
            (Direction::ToDrive, WordMeaning::Command) => {
                word.bits.iter().map(|bit| bit.said(demands.contains(&bit.meaning))).fold(0, |a, b| a | b)
            }
            (Direction::ToDrive, WordMeaning::SpeedSetpoint) => counted(word, setpoint_hz, settings).map_or(0, |c| c.raw),
            _ => 0,
        })
        .collect()
}

/// Demands that stand at rest: ramps let through, control claimed.
const REST: &[M] = &[M::RampOutput, M::RampRun, M::RampInput, M::NetworkControl, M::NetworkReference];

/// The demands of each step from power-up to running, in order; a master gives each for some scans.
#[must_use]
pub fn start(sequence: Sequence) -> Vec<Vec<M>> {
    let with = |more: &[M]| [REST, more].concat();
    match sequence {
        Sequence::Level | Sequence::Edge => vec![with(&[]), with(&[M::Run])],
        Sequence::Pulses => vec![with(&[]), with(&[M::Start])],
        Sequence::States => vec![with(&[]), with(&[M::SwitchOn]), with(&[M::SwitchOn, M::EnableOperation])],
        Sequence::OnOff => vec![with(&[M::EnableOperation]), with(&[M::EnableOperation, M::Run])],
    }
}

/// The demands of a stop by the ramp.
#[must_use]
pub fn stop(sequence: Sequence) -> Vec<M> {
    match sequence {
        Sequence::Pulses => [REST, &[M::Stop]].concat(),
        Sequence::States => [REST, &[M::SwitchOn]].concat(),
        Sequence::OnOff => [REST, &[M::EnableOperation]].concat(),
        Sequence::Level | Sequence::Edge => REST.to_vec(),
    }
}
