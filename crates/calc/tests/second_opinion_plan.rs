//! Plans against SciPy and NumPy: quantiles of the triangular distribution, longest ways, chances and the latest moment to turn back,
//! drawn with another generator and reckoned another way (`tests/second_opinion/plan.py`).
#![allow(clippy::disallowed_methods, reason = "the test asks the environment for a Python interpreter")]
#![allow(clippy::expect_used, reason = "a test stops at the first broken expectation")]

use std::io::Write as _;
use std::process::{Command, Stdio};

use calc::plan::estimate::Estimate;
use calc::plan::network::{Network, Node, normal_chance, pert_path};
use calc::plan::simulate::{Question, SEED, Work, forecast};
use calc::working::Silent;
use plant::quantity::{Ratio, Time};
use serde_json::{Value, json};

const PLANS: usize = 15;
const RUNS: u32 = 20_000;
/// Quantiles are closed forms on both sides.
const CLOSED: f64 = 1e-6;
/// Two simulations of 20,000 runs each differ in a share by four of their common standard errors at the most: 4·√(2·¼/20,000).
const SHARES: f64 = 0.02;
/// The same for means and quantiles of the finish, as a share of it.
const TIMES: f64 = 0.01;
/// The other side looks at whole minutes, and both are quantiles of a simulation.
const TURN: f64 = 4.0;

fn ask(cases: &Value) -> Value {
    let python = std::env::var("CHANGEOUT_PYTHON").expect("CHANGEOUT_PYTHON names a Python interpreter with SciPy");
    let script = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/second_opinion/plan.py");
    let mut child = Command::new(python).arg(script).stdin(Stdio::piped()).stdout(Stdio::piped()).spawn().expect("Python starts");
    child.stdin.take().expect("piped").write_all(cases.to_string().as_bytes()).expect("Python listens");
    let output = child.wait_with_output().expect("Python ends");
    assert!(output.status.success(), "the second opinion failed");
    serde_json::from_slice(&output.stdout).expect("JSON")
}

struct Case {
    network: Network,
    work: Vec<Work>,
    window: f64,
    wanted: f64,
    z: f64,
}

/// Numbers without order (xorshift), the same on every machine.
struct Dice(u64);

impl Dice {
    fn between(&mut self, low: f64, high: f64) -> f64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        #[expect(clippy::cast_precision_loss, reason = "53 bits fit")]
        let unit = (self.0 >> 11) as f64 / (1u64 << 53) as f64;
        low + (high - low) * unit
    }

    fn below(&mut self, count: usize) -> usize {
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            clippy::cast_precision_loss,
            reason = "an index below the length"
        )]
        let index = self.between(0.0, count as f64) as usize;
        index.min(count.saturating_sub(1))
    }

    fn estimate(&mut self, scale: f64) -> Estimate {
        let least = self.between(1.0, 20.0 * scale);
        let likely = least + self.between(0.0, 20.0 * scale);
        let most = likely + self.between(0.5, 40.0 * scale);
        Estimate::new(Time::minutes(least), Time::minutes(likely), Time::minutes(most)).expect("in order")
    }
}

fn case(dice: &mut Dice) -> Case {
    let count = 4 + dice.below(9);
    let nodes: Vec<Node> = (0..count)
        .map(|i| {
            let after = if i == 0 { vec![] } else { vec![dice.below(i), dice.below(i)] };
            Node { after, busy: vec![dice.below(3)] }
        })
        .collect();
    let work: Vec<Work> = (0..count).map(|i| Work { key: i as u64, forward: dice.estimate(1.0), back: dice.estimate(0.5) }).collect();
    let network = Network::new(&nodes).expect("a plan");
    let means: Vec<Time> = work.iter().map(|w| w.forward.mean()).collect();
    let finish = network.passes(&means, &mut Silent).expect("times").finish.in_minutes();
    Case { network, work, window: finish * dice.between(0.95, 1.6), wanted: dice.between(0.6, 0.97), z: dice.between(-3.0, 3.0) }
}

#[test]
#[ignore = "needs the Python environment: cargo xtask test"]
fn scipy_agrees() {
    let mut dice = Dice(0x9e37_79b9_7f4a_7c15);
    let cases: Vec<Case> = (0..PLANS).map(|_| case(&mut dice)).collect();
    let three = |e: Estimate| json!([e.least().in_minutes(), e.likely().in_minutes(), e.most().in_minutes()]);
    let asked: Vec<Value> = cases
        .iter()
        .enumerate()
        .map(|(i, c)| {
            let links: Vec<[usize; 2]> = (0..c.network.len()).flat_map(|t| c.network.before(t).iter().map(move |b| [*b, t])).collect();
            json!({
                "seed": i, "links": links, "window": c.window, "confidence": c.wanted, "z": c.z,
                "forward": c.work.iter().map(|w| three(w.forward)).collect::<Vec<_>>(),
                "back": c.work.iter().map(|w| three(w.back)).collect::<Vec<_>>(),
            })
        })
        .collect();
    let answers = ask(&json!({ "plans": asked }));
    let (mut worst_share, mut worst_turn) = (0.0f64, 0.0f64);
    for (i, c) in cases.iter().enumerate() {
        let theirs = |key: &str| answers[i][key].as_f64().expect("a number");
        let question = Question { runs: RUNS, seed: SEED, ..Question::before(Time::minutes(c.window), Ratio::of_one(c.wanted)) };
        let ours = forecast(&c.network, &c.work, question, &mut Silent).expect("a forecast");
        let share = (ours.chance.in_of_one() - theirs("chance")).abs();
        assert!(share <= SHARES, "{i}: chance {} against {}", ours.chance, theirs("chance"));
        for (own, key) in [(ours.mean, "mean"), (ours.late, "late")] {
            assert!((own.in_minutes() - theirs(key)).abs() <= TIMES * theirs(key), "{i}: {key} {own} against {}", theirs(key));
        }
        let turn = (ours.turn_back.in_minutes().max(-1.0) - theirs("turn_back")).abs();
        assert!(turn <= TURN, "{i}: turn back {} against {}", ours.turn_back, theirs("turn_back"));
        let quantiles = answers[i]["quantiles"].as_array().expect("a list");
        let own = c.work.iter().flat_map(|w| [0.1, 0.5, 0.9].map(|u| w.forward.at(u).in_minutes()));
        for (own, theirs) in own.zip(quantiles) {
            assert!((own - theirs.as_f64().expect("a number")).abs() <= CLOSED, "{i}: quantile {own} against {theirs}");
        }
        let estimates: Vec<Estimate> = c.work.iter().map(|w| w.forward).collect();
        let pert = pert_path(&c.network, &estimates, &mut Silent).expect("a path").passes.finish.in_minutes();
        assert!((pert - theirs("pert")).abs() <= CLOSED, "{i}: {pert} against {}", theirs("pert"));
        let phi = normal_chance(Time::ZERO, Time::s(1.0), Time::s(c.z), &mut Silent);
        assert!((phi - theirs("phi")).abs() <= 1e-7, "{i}: {phi} against {}", theirs("phi"));
        worst_share = worst_share.max(share);
        worst_turn = worst_turn.max(turn);
    }
    println!("{PLANS} plans: chances differ by {worst_share:.4} at the most, the latest moment to turn back by {worst_turn:.2} min");
}
