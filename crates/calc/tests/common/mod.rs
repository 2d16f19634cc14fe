//! What the second opinions share: numbers without order, and a question put to a Python script.
#![allow(dead_code, reason = "each test file compiles this for itself and uses its part")]

use std::io::Write as _;
use std::path::Path;
use std::process::{Command, Stdio};

use serde_json::Value;

/// Numbers without order (xorshift), the same on every machine; never start it with zero.
pub(crate) struct Dice(pub(crate) u64);

impl Dice {
    fn next(&mut self) -> u64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        self.0
    }

    /// From 0 to 1, without 1.
    pub(crate) fn unit(&mut self) -> f64 {
        #[expect(clippy::cast_precision_loss, reason = "53 bits fit")]
        let share = (self.next() >> 11) as f64 / (1u64 << 53) as f64;
        share
    }

    /// From `low` to `high`.
    pub(crate) fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.unit()
    }

    /// A whole number from `low` to `high`, both included.
    pub(crate) fn whole(&mut self, low: i64, high: i64) -> i64 {
        let span = u64::try_from(high - low + 1).expect("high is not below low");
        low + i64::try_from((self.next() >> 11) % span).expect("below the span")
    }

    /// One of some, none of which is likelier.
    pub(crate) fn one_of<T: Copy>(&mut self, all: &[T]) -> T {
        let last = i64::try_from(all.len()).expect("a short list") - 1;
        all[usize::try_from(self.whole(0, last)).expect("not negative")]
    }
}

/// What the script of that name in `tests/second_opinion/` answers to a question; both are JSON.
pub(crate) fn ask(script: &str, question: &Value) -> Value {
    let python = std::env::var("CHANGEOUT_PYTHON").expect("CHANGEOUT_PYTHON names the interpreter; cargo xtask test sets it");
    let script = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/second_opinion").join(script);
    let mut child = Command::new(python).arg(script).stdin(Stdio::piped()).stdout(Stdio::piped()).spawn().expect("python starts");
    // Dropped at the end of the statement, which closes the pipe; the script reads all of it before it answers.
    child.stdin.take().expect("piped").write_all(question.to_string().as_bytes()).expect("written");
    let answer = child.wait_with_output().expect("python ends");
    assert!(answer.status.success(), "the script failed");
    serde_json::from_slice(&answer.stdout).expect("JSON")
}

/// The list under `results` in the answer to a question that is one list under a name.
pub(crate) fn ask_of_each(script: &str, name: &str, cases: Vec<Value>) -> Vec<Value> {
    let answer = ask(script, &serde_json::json!({ name: cases }));
    answer["results"].as_array().expect("results").clone()
}
