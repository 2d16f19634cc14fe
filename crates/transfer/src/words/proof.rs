//! The proof: every value of every word, and every pattern of the command word in each state, put to the old drive and to the new drive
//! behind the block. What is compared has settled; how long a change takes is not.

mod commands;
mod numbers;

use dossier::program::Project;
use plant::network::{BitMeaning, WordMeaning};

use super::block::{NoBlock, block};
use super::map::{NumberError, lost_bits};
use super::pair::Pair;

/// What the proof found.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Proof {
    /// Words that were gone through.
    pub words_tested: u64,
    /// Values and patterns that were tried.
    pub values_tested: u64,
    /// How many of them came out differently.
    pub mismatches: u64,
    /// The first of them, in words.
    pub examples: Vec<String>,
    /// Greatest error of each number.
    pub errors: Vec<(WordMeaning, NumberError)>,
    /// How often a number did not fit into 32 bits inside the block.
    pub wraps: u64,
    /// What was left out, and why.
    pub remarks: Vec<String>,
}

/// Most mismatches that are told in words.
const EXAMPLES: usize = 12;

impl Proof {
    fn differs(&mut self, what: impl FnOnce() -> String) {
        self.mismatches += 1;
        if self.examples.len() < EXAMPLES {
            self.examples.push(what());
        }
    }

    fn join(mut self, other: Self) -> Self {
        self.words_tested += other.words_tested;
        self.values_tested += other.values_tested;
        self.mismatches += other.mismatches;
        self.examples.extend(other.examples);
        self.examples.truncate(EXAMPLES);
        self.errors.extend(other.errors);
        self.wraps += other.wraps;
        self.remarks.extend(other.remarks);
        self
    }
}

/// Proves a pair.
///
/// # Errors
/// When there is no block for it.
pub fn prove(pair: &Pair<'_>) -> Result<Proof, NoBlock> {
    prove_block(pair, &block(pair)?)
}

/// Proves a block that was built before.
///
/// # Errors
/// When the block is wrong.
pub fn prove_block(pair: &Pair<'_>, project: &Project) -> Result<Proof, NoBlock> {
    let (numbers, commands) = rayon::join(|| numbers::all(pair, project), || commands::all(pair, project));
    let mut proof = numbers?.join(commands?);
    let lost: Vec<BitMeaning> = lost_bits(pair);
    if !lost.is_empty() {
        let names: Vec<&str> = lost.iter().map(|m| plant::choice::Choice::word(*m)).collect();
        proof.remarks.push(format!("bits without counterpart stood at rest in every pattern: {}", names.join(", ")));
    }
    proof.remarks.push("what is compared has settled: how long a change takes, and what happens within it, is not".to_owned());
    Ok(proof)
}
