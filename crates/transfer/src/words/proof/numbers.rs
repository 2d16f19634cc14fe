//! Every value of every number, both ways.

use dossier::program::Project;
use plant::choice::Choice;
use plant::network::{BitMeaning as M, DataWord, Direction, WordMeaning};

use super::super::block::NoBlock;
use super::super::map::{Error, NumberError};
use super::super::pair::Pair;
use super::super::rig::Rig;
use super::super::scale::{Settings, per_count, value};
use super::super::script;
use super::Proof;

/// Share of a count that the whole-number line may add to the half count of rounding.
const LINE_SLACK: f64 = 0.02;

/// All values of a word: every one of 16 bits; of 32 bits all low words with a high word of 0, every 64th
/// high word, the lowest negative numbers, and the corners.
pub(super) fn values(word: &DataWord) -> Vec<u32> {
    if word.width < 32 {
        return (0..=word.mask()).collect();
    }
    let corners = [0x7FFF_FFFF, 0x8000_0000, 0x7F80_0000, 0xFF80_0000, 0x7FC0_0000, 0x0001_0000, 0x0001_FFFF, 0x4270_0000, 0xC270_0000];
    let (low, high) = (0..=0xFFFF_u32, (0..=0xFFFF_u32).step_by(64));
    low.chain(0xFFFF_F000..=0xFFFF_FFFF).chain(high.map(|high| high << 16)).chain(corners).collect()
}

pub(super) fn all(pair: &Pair<'_>, project: &Project) -> Result<Proof, NoBlock> {
    let mut proof = Proof::default();
    setpoint(pair, project, &mut proof)?;
    for meaning in [WordMeaning::SpeedActual, WordMeaning::CurrentActual, WordMeaning::TorqueActual] {
        actual(pair, project, meaning, &mut proof)?;
    }
    fault_codes(pair, project, &mut proof)?;
    status(pair, project, &mut proof)?;
    Ok(proof)
}

fn step(word: &DataWord, settings: &Settings) -> f64 {
    word.scale.and_then(|s| per_count(s, settings)).unwrap_or(0.0)
}

/// Both motors at every setpoint, forward and, where the old layout has a bit for it, in reverse.
fn setpoint(pair: &Pair<'_>, project: &Project, proof: &mut Proof) -> Result<(), NoBlock> {
    let (Some((at, old)), Some((_, new))) = (pair.old.word(WordMeaning::SpeedSetpoint), pair.new.word(WordMeaning::SpeedSetpoint)) else {
        return Ok(());
    };
    let mut rig = Rig::of(pair, project)?;
    let mut runs = vec![Vec::new()];
    if pair.new_can_reverse() {
        runs.extend([M::Reverse, M::RunReverse].into_iter().filter(|m| pair.old.bit(Direction::ToDrive, *m).is_some()).map(|m| vec![m]));
    }
    let (old_step, new_step) = (step(old, &pair.old_settings), step(new, &pair.new_settings));
    let highest = pair.old_settings.highest.in_hz();
    // Half a new count of rounding, a share of one for the whole-number line, single precision where floats are in it, and up to a whole
    // count at the highest frequency, which is not always a whole number of counts.
    let allowed = new_step * (0.5 + LINE_SLACK) + highest * 1e-6;
    let mut error = Error::default();
    let mut clipped = 0_u64;
    proof.words_tested += 1;
    for turn in runs {
        rig.reset();
        for demands in script::start(pair.old.sequence) {
            let demands: Vec<M> =
                demands.into_iter().filter(|m| !(turn.contains(&M::RunReverse) && *m == M::Run)).chain(turn.iter().copied()).collect();
            for _ in 0..8 {
                if let Err(stopped) = rig.scan(&script::words(pair.old, &demands, 0.0, &pair.old_settings)) {
                    proof.differs(|| format!("the block stopped while starting: {stopped}"));
                    return Ok(());
                }
            }
        }
        let last = script::start(pair.old.sequence).pop().unwrap_or_default();
        let demands: Vec<M> =
            last.into_iter().filter(|m| !(turn.contains(&M::RunReverse) && *m == M::Run)).chain(turn.iter().copied()).collect();
        let mut words = script::words(pair.old, &demands, 0.0, &pair.old_settings);
        for raw in values(old) {
            words[at] = raw;
            if let Err(stopped) = rig.scan(&words) {
                proof.differs(|| format!("setpoint {raw:#x}: the block stopped: {stopped}"));
                return Ok(());
            }
            proof.values_tested += 1;
            let wanted = value(old, raw, &pair.old_settings);
            let backwards = wanted.is_some_and(|hz| hz < 0.0) == turn.is_empty();
            if backwards && !pair.new_can_reverse() {
                clipped += u64::from(rig.old.output() != 0.0);
                continue;
            }
            let gone = rig.new.output() - rig.old.output();
            let at_end = rig.old.output().abs() >= highest - new_step;
            let reach = super::super::block::reach_hz(pair);
            if rig.old.output().abs() > reach + new_step {
                clipped += 1;
            } else if wanted.is_none() {
                // A float that is no number: the old drive stands, the block keeps what it had.
            } else if gone.abs() > if at_end { allowed.max(new_step * (1.0 + LINE_SLACK)) } else { allowed }
                || !rig.motors_agree(f64::INFINITY)
            {
                proof.differs(|| format!("setpoint {raw:#x}: old {:.4} Hz, new {:.4} Hz", rig.old.output(), rig.new.output()));
            } else {
                error.take(gone);
            }
        }
        proof.wraps += rig.wraps();
    }
    if clipped > 0 {
        proof.remarks.push(format!("{clipped} setpoints lie beyond what the new layout can say and are cut at its end"));
    }
    proof.errors.push((WordMeaning::SpeedSetpoint, NumberError { quantity: error.greatest, counts: error.in_counts(old_step), clipped }));
    Ok(())
}

/// What the old program is shown for every value that the new drive sends.
fn actual(pair: &Pair<'_>, project: &Project, meaning: WordMeaning, proof: &mut Proof) -> Result<(), NoBlock> {
    if pair.conversion(meaning).is_none() {
        return Ok(());
    }
    let (Some((old_at, old)), Some((new_at, new))) = (pair.old.word(meaning), pair.new.word(meaning)) else { return Ok(()) };
    let mut rig = Rig::of(pair, project)?;
    let master = script::words(pair.old, &[], 0.0, &pair.old_settings);
    let mut report = rig.new.report();
    let old_step = step(old, &pair.old_settings);
    let (low, high) = old.counts();
    let mut error = Error::default();
    let (mut clipped, mut cut) = (0_u64, 0_u64);
    proof.words_tested += 1;
    for raw in values(new) {
        report[new_at] = raw;
        // A value of two words is taken once it has stood for three scans.
        for _ in 0..if new.width == 32 { 3 } else { 1 } {
            if let Err(stopped) = rig.translate(&master, &report) {
                proof.differs(|| format!("{} {raw:#x}: the block stopped: {stopped}", meaning.word()));
                return Ok(());
            }
        }
        proof.values_tested += 1;
        let Some(is) = value(new, raw, &pair.new_settings) else { continue };
        let is = if low == 0 && !old.is_float() { is.abs() } else { is };
        let shown = rig.shown().get(old_at).copied().unwrap_or(0);
        let Some(says) = value(old, shown, &pair.old_settings) else {
            proof.differs(|| format!("{} {raw:#x}: shown {shown:#x}, which is no number", meaning.word()));
            continue;
        };
        #[expect(clippy::cast_precision_loss, reason = "counts have at most 32 bits")]
        let (bottom, top) = (low as f64 * old_step, high as f64 * old_step);
        let beyond = meaning == WordMeaning::SpeedActual && is.abs() > 2.0 * pair.highest().in_hz();
        // The block takes no number beyond 10⁹ counts.
        let beyond = beyond || new.width == 32 && !new.is_float() && new.count(raw).abs() > 1_000_000_000;
        if !old.is_float() && (is > top + old_step / 2.0 || is < bottom - old_step / 2.0) || beyond {
            cut += 1;
            // A speed that no motor has is no loss.
            clipped += u64::from(meaning != WordMeaning::SpeedActual || is.abs() <= pair.highest().in_hz());
            continue;
        }
        let gone = says - is;
        // Single precision keeps seven digits.
        let allowed = old_step * (0.5 + LINE_SLACK) + is.abs() * 1e-6 + 1e-9;
        if gone.abs() > allowed {
            proof.differs(|| format!("{} {raw:#x}: is {is:.5}, shown {says:.5}", meaning.word()));
        } else {
            error.take(gone);
        }
    }
    proof.wraps += rig.wraps();
    if cut > 0 {
        proof
            .remarks
            .push(format!("{cut} values of {} lie beyond what the old word can show, or beyond any speed, and are cut", meaning.word()));
    }
    proof.errors.push((meaning, NumberError { quantity: error.greatest, counts: error.in_counts(old_step), clipped }));
    Ok(())
}

/// Every fault code of the new drive.
fn fault_codes(pair: &Pair<'_>, project: &Project, proof: &mut Proof) -> Result<(), NoBlock> {
    let (Some((old_at, old)), Some((new_at, new))) = (pair.old.word(WordMeaning::FaultCode), pair.new.word(WordMeaning::FaultCode)) else {
        return Ok(());
    };
    if new.width > 16 || old.width > 16 {
        return Ok(());
    }
    let mut rig = Rig::of(pair, project)?;
    let master = script::words(pair.old, &[], 0.0, &pair.old_settings);
    let mut report = rig.new.report();
    proof.words_tested += 1;
    for raw in values(new) {
        report[new_at] = raw;
        if let Err(stopped) = rig.translate(&master, &report) {
            proof.differs(|| format!("fault code {raw}: the block stopped: {stopped}"));
            return Ok(());
        }
        proof.values_tested += 1;
        let shown = rig.shown().get(old_at).copied().unwrap_or(0);
        let known = pair.new_faults.iter().find(|f| f.code == raw);
        let expected = known.and_then(|f| pair.old_faults.iter().find(|o| o.meaning == f.meaning));
        if expected.is_some_and(|o| o.code & old.mask() != shown) || (raw == 0 && shown != 0) {
            proof.differs(|| format!("fault code {raw} is shown as {shown}"));
        }
    }
    Ok(())
}

/// Every pattern of the new status word: bits that say the same on both sides come through.
fn status(pair: &Pair<'_>, project: &Project, proof: &mut Proof) -> Result<(), NoBlock> {
    const SAME: &[M] = &[M::Faulted, M::Warning, M::LimitActive, M::NetworkControl, M::NetworkReference, M::VoltageEnabled];
    let (Some((old_at, _)), Some((new_at, new))) = (pair.old.word(WordMeaning::Status), pair.new.word(WordMeaning::Status)) else {
        return Ok(());
    };
    let mut rig = Rig::of(pair, project)?;
    let master = script::words(pair.old, &[], 0.0, &pair.old_settings);
    let mut report = rig.new.report();
    proof.words_tested += 1;
    for raw in values(new) {
        report[new_at] = raw;
        if let Err(stopped) = rig.translate(&master, &report) {
            proof.differs(|| format!("status {raw:#x}: the block stopped: {stopped}"));
            return Ok(());
        }
        proof.values_tested += 1;
        let shown = rig.shown().get(old_at).copied().unwrap_or(0);
        for meaning in SAME {
            if let (Some((o, old_bit)), Some((n, new_bit))) =
                (pair.old.bit(Direction::FromDrive, *meaning), pair.new.bit(Direction::FromDrive, *meaning))
                && o == old_at
                && n == new_at
                && old_bit.is_said(shown) != new_bit.is_said(raw)
            {
                proof.differs(|| format!("status {raw:#x} is shown as {shown:#x}: {} differs", meaning.word()));
            }
        }
    }
    proof.wraps += rig.wraps();
    Ok(())
}
