//! Every pattern of the command word: those that differ in bits with a meaning from each state, settled; and all of them in one run, in
//! lockstep with their meaningful bits alone, which must come to the same in each scan.

use dossier::program::Project;
use plant::choice::Choice;
use plant::network::{Bit, BitMeaning as M, WordMeaning};
use rayon::prelude::*;

use super::super::block::NoBlock;
use super::super::map::{lost_bits, shown_bits};
use super::super::pair::Pair;
use super::super::rig::{Rig, Stopped};
use super::super::scale::per_count;
use super::super::script;
use super::Proof;

/// Scans for which each pattern stands: a start that is given anew takes six, the longest walk through states four.
const SCANS: usize = 16;
/// Scans for which each step of the way into a state stands.
const STEP_SCANS: usize = 8;
/// Patterns that one worker takes at a time.
const CHUNK: usize = 256;

/// In which state both drives are before a pattern comes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Start {
    PowerUp,
    Stopped,
    Running,
    Faulted,
}

const STARTS: [Start; 4] = [Start::PowerUp, Start::Stopped, Start::Running, Start::Faulted];

impl Start {
    const fn word(self) -> &'static str {
        match self {
            Self::PowerUp => "power-up",
            Self::Stopped => "stopped",
            Self::Running => "running",
            Self::Faulted => "faulted",
        }
    }
}

pub(super) fn all(pair: &Pair<'_>, project: &Project) -> Result<Proof, NoBlock> {
    let Some((at, word)) = pair.old.word(WordMeaning::Command) else { return Ok(Proof::default()) };
    let last = word.mask().min(0xFFFF);
    let rig = Rig::of(pair, project)?;
    let lost = lost_bits(pair);
    let rest: u32 = word.bits.iter().filter(|b| lost.contains(&b.meaning)).map(|b| b.said(at_rest(b.meaning))).fold(0, |a, b| a | b);
    let kept: u32 = !word.bits.iter().filter(|b| lost.contains(&b.meaning)).fold(0, |a, b| a | 1 << b.at);
    let declared = word.bits.iter().fold(0, |a, b| a | 1 << b.at) & kept & last;
    let setpoint = pair.highest().in_hz() / 2.0;
    let checks = shown_bits(pair);
    let patterns: Vec<u32> = subsets(declared).into_iter().map(|p| p | rest).collect();
    let ready = STARTS.map(|start| (start, Ready::of(rig.clone(), pair, start, setpoint)));
    let chunks: Vec<_> = ready.iter().flat_map(|(start, ready)| patterns.chunks(CHUNK).map(move |chunk| (*start, ready, chunk))).collect();
    let of_chunk = |(start, ready, chunk): &(Start, &Result<Ready<'_>, Stopped>, &[u32])| {
        let mut proof = Proof::default();
        for pattern in *chunk {
            proof.values_tested += 1;
            let tried = ready.as_ref().map_err(Stopped::clone).and_then(|ready| one(ready, *start, at, *pattern, &checks, &mut proof));
            if let Err(stopped) = tried {
                proof.differs(|| format!("command {pattern:#06x} from {}: the block stopped: {stopped}", start.word()));
                return proof;
            }
        }
        proof
    };
    let (parts, together) = rayon::join(
        || chunks.par_iter().map(of_chunk).collect::<Vec<Proof>>(),
        || lockstep(pair, project, at, (declared, kept, rest, last)),
    );
    Ok(parts.into_iter().fold(Proof { words_tested: 1, ..Proof::default() }, Proof::join).join(together?))
}

/// Every value whose bits all lie in a mask.
fn subsets(mask: u32) -> Vec<u32> {
    let mut all = Vec::new();
    let mut pattern = 0_u32;
    loop {
        all.push(pattern);
        pattern = pattern.wrapping_sub(mask) & mask;
        if pattern == 0 {
            return all;
        }
    }
}

/// All patterns one after the other, once whole and once with their meaningful bits alone: block and drives must not tell them apart.
fn lockstep(pair: &Pair<'_>, project: &Project, at: usize, masks: (u32, u32, u32, u32)) -> Result<Proof, NoBlock> {
    let (declared, kept, rest, last) = masks;
    let mut proof = Proof::default();
    let (mut whole, mut bare) = (Rig::of(pair, project)?, Rig::of(pair, project)?);
    let mut words = script::words(pair.old, &[], pair.highest().in_hz() / 2.0, &pair.old_settings);
    for pattern in 0..=last {
        proof.values_tested += 1;
        words[at] = pattern & kept | rest;
        let first = whole.scan(&words);
        words[at] = pattern & declared | rest;
        if let Err(stopped) = first.and_then(|()| bare.scan(&words)) {
            proof.differs(|| format!("command {pattern:#06x}: the block stopped: {stopped}"));
            return Ok(proof);
        }
        let same = whole.told() == bare.told() && whole.shown() == bare.shown() && whole.old.state() == bare.old.state();
        if !same || whole.new.state() != bare.new.state() {
            proof.differs(|| format!("command {pattern:#06x}: bits without a meaning change what happens"));
            return Ok(proof);
        }
    }
    proof.wraps += whole.wraps();
    Ok(proof)
}

const fn at_rest(meaning: M) -> bool {
    matches!(meaning, M::RampOutput | M::RampRun | M::RampInput | M::NetworkControl | M::NetworkReference)
}

/// Both drives in a state, with the words that led there and how near the motors must come.
struct Ready<'p> {
    rig: Rig<'p>,
    words: Vec<u32>,
    near: f64,
}

impl<'p> Ready<'p> {
    fn of(mut rig: Rig<'p>, pair: &Pair<'_>, start: Start, setpoint: f64) -> Result<Self, Stopped> {
        let steps = script::start(pair.old.sequence);
        let steps: &[Vec<M>] = match start {
            Start::PowerUp => &[],
            Start::Stopped => &steps[..1],
            Start::Running | Start::Faulted => &steps,
        };
        let mut words = script::words(pair.old, &[], setpoint, &pair.old_settings);
        for demands in steps {
            words = script::words(pair.old, demands, setpoint, &pair.old_settings);
            for _ in 0..STEP_SCANS {
                rig.scan(&words)?;
            }
        }
        if start == Start::Faulted {
            rig.trip();
            for _ in 0..STEP_SCANS {
                rig.scan(&words)?;
            }
        }
        let step = |layout: &plant::network::Layout, settings| {
            layout.word(WordMeaning::SpeedSetpoint).and_then(|(_, w)| per_count(w.scale?, settings)).unwrap_or(0.0)
        };
        let near = step(pair.new, &pair.new_settings) + step(pair.old, &pair.old_settings) + setpoint * 1e-6;
        Ok(Self { rig, words, near })
    }
}

/// One pattern from a state.
fn one(ready: &Ready<'_>, start: Start, at: usize, pattern: u32, checks: &[Bit], proof: &mut Proof) -> Result<(), Stopped> {
    let (mut rig, mut words) = (ready.rig.clone(), ready.words.clone());
    words[at] = pattern;
    for _ in 0..SCANS {
        rig.scan(&words)?;
    }
    proof.wraps += rig.wraps();
    if !rig.motors_agree(ready.near) {
        proof.differs(|| {
            format!(
                "command {pattern:#06x} from {}: old {:?} at {:.2} Hz, new {:?} at {:.2} Hz",
                start.word(),
                rig.old.state(),
                rig.old.output(),
                rig.new.state(),
                rig.new.output()
            )
        });
        return Ok(());
    }
    if let Some((own, shown)) = rig.old_word(WordMeaning::Status)
        && let Some(bit) = checks.iter().find(|b| b.is_said(own) != b.is_said(shown))
    {
        proof.differs(|| {
            format!("command {pattern:#06x} from {}: status {own:#06x} is shown as {shown:#06x}: {}", start.word(), bit.meaning.word())
        });
    }
    Ok(())
}
