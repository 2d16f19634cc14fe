//! The plan's calculations under their names.

use plant::quantity::{Ratio, Time, dim};

use super::estimate::{Estimate, PERT, TRIANGULAR, task_time};
use super::network::{CRITICAL_PATH_METHOD, NORMAL, Network, Node, normal_chance, pert_path};
use super::simulate::{MONTE_CARLO, Question, SEED, SPLIT_MIX, Work, forecast};
use crate::registry::{Arguments, Calculation, Input, InputKind, Refusal, output, quantity, quantity_or};
use crate::sources::DEFINITION;
use crate::working::Working;
use plant::quantity::Dimension;

const MINUTES: &plant::quantity::DimensionInfo = dim::TimeDim::INFO;
const NUMBER: &plant::quantity::DimensionInfo = dim::CountDim::INFO;

/// `calc task-time`.
pub(super) const TASK_TIME: Calculation = Calculation {
    name: "task-time",
    summary: "Mean, deviation and nine-of-ten time of a task from its least, likely and most time.",
    inputs: &[
        quantity::<dim::TimeDim>("least", "shortest time"),
        quantity::<dim::TimeDim>("likely", "likeliest time"),
        quantity::<dim::TimeDim>("most", "longest time"),
    ],
    results: &[
        output::<dim::TimeDim>("mean", "min", "mean of PERT"),
        output::<dim::TimeDim>("deviation", "min", "standard deviation of PERT"),
        output::<dim::TimeDim>("triangular-mean", "min", "mean of the triangular distribution"),
        output::<dim::TimeDim>("nine-of-ten", "min", "time that nine of ten cases stay below, triangular"),
    ],
    sources: &[&PERT, &DEFINITION, &TRIANGULAR],
    run: |a: &Arguments, w: &mut Working| {
        let time = task_time(Estimate::new(a.get("least"), a.get("likely"), a.get("most"))?, w);
        Ok(vec![time.pert_mean.in_si(), time.pert_deviation.in_si(), time.mean.in_si(), time.nine_of_ten.in_si()])
    },
};

const TASKS: Input = Input {
    name: "tasks",
    kind: InputKind::Rows(&[MINUTES, MINUTES, MINUTES]),
    default: None,
    doc: "least, likely and most time of each task, in an order in which they can be done",
};

const ORDER: Input = Input {
    name: "order",
    kind: InputKind::Rows(&[NUMBER, NUMBER]),
    default: None,
    doc: "pairs of task numbers from 1: the first has to be done before the second",
};

/// `calc critical-path`.
pub(super) const CRITICAL_PATH: Calculation = Calculation {
    name: "critical-path",
    summary: "Longest way through tasks in their order, its deviation, and the chance of ending inside a window by PERT.",
    inputs: &[TASKS, ORDER, quantity::<dim::TimeDim>("window", "time that there is")],
    results: &[
        output::<dim::TimeDim>("finish", "min", "mean time of the longest way"),
        output::<dim::TimeDim>("deviation", "min", "its standard deviation"),
        output::<dim::RatioDim>("chance", "%", "chance of ending inside the window, normal distribution"),
        output::<dim::TimeDim>("largest-float", "min", "the largest float of a task"),
    ],
    sources: &[&PERT, &CRITICAL_PATH_METHOD, &NORMAL],
    run: |a: &Arguments, w: &mut Working| {
        let (network, tasks) = read(a)?;
        let path = pert_path(&network, &tasks, w)?;
        let chance = normal_chance(path.passes.finish, path.deviation, a.get("window"), w);
        let float = path.passes.tasks.iter().map(|t| t.float).fold(Time::ZERO, Time::max);
        Ok(vec![path.passes.finish.in_si(), path.deviation.in_si(), chance, float.in_si()])
    },
};

/// `calc chance-and-turn-back`.
pub(super) const CHANCE_AND_TURN_BACK: Calculation = Calculation {
    name: "chance-and-turn-back",
    summary: "Chance of ending tasks inside a window and the latest moment to turn back, by simulation with a fixed seed.",
    inputs: &[
        Input {
            name: "tasks",
            kind: InputKind::Rows(&[MINUTES, MINUTES, MINUTES, MINUTES, MINUTES, MINUTES]),
            default: None,
            doc: "least, likely and most time of each task, then of its step back, in an order in which they can be done",
        },
        ORDER,
        quantity::<dim::TimeDim>("window", "time that there is"),
        quantity_or::<dim::RatioDim>("confidence", "90 %", "share of cases in which the way back has to fit"),
        quantity_or::<dim::CountDim>("runs", "4000", "how many times the plan is drawn"),
    ],
    results: &[
        output::<dim::RatioDim>("chance", "%", "share of runs that end inside the window"),
        output::<dim::TimeDim>("finish", "min", "finish that the wanted share of runs stays below"),
        output::<dim::TimeDim>("turn-back", "min", "latest moment to turn back; below zero when the way back never fits"),
        output::<dim::TimeDim>("mean", "min", "mean finish"),
    ],
    sources: &[&TRIANGULAR, &MONTE_CARLO, &SPLIT_MIX, &DEFINITION],
    run: |a: &Arguments, w: &mut Working| {
        let (network, tasks) = read(a)?;
        let mut work = Vec::with_capacity(tasks.len());
        for (index, (row, forward)) in a.rows("tasks").iter().zip(&tasks).enumerate() {
            let [_, _, _, least, likely, most] = row[..] else { return Err(Refusal::new("a task has six times")) };
            work.push(Work {
                key: index as u64,
                forward: *forward,
                back: Estimate::new(Time::si(least), Time::si(likely), Time::si(most))?,
            });
        }
        let runs = a.get::<dim::CountDim>("runs").in_count();
        if !(100.0..=100_000.0).contains(&runs) {
            return Err(Refusal::new(format!("from 100 to 100,000 runs, not {runs}")));
        }
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "at most 100,000 by the line above")]
        let question =
            Question { runs: runs as u32, seed: SEED, ..Question::before(a.get("window"), a.get::<dim::RatioDim>("confidence")) };
        let told = forecast(&network, &work, question, w)?;
        Ok(vec![Ratio::in_si(told.chance), told.late.in_si(), told.turn_back.in_si(), told.mean.in_si()])
    },
};

fn read(a: &Arguments) -> Result<(Network, Vec<Estimate>), Refusal> {
    let rows = a.rows("tasks");
    let mut tasks = Vec::with_capacity(rows.len());
    for row in rows {
        let [least, likely, most, ..] = row[..] else { return Err(Refusal::new("a task has a least, a likely and a most time")) };
        tasks.push(Estimate::new(Time::si(least), Time::si(likely), Time::si(most))?);
    }
    let mut nodes = vec![Node::default(); tasks.len()];
    for pair in a.rows("order") {
        let index = |at: usize| -> Result<usize, Refusal> {
            let number = pair.get(at).copied().unwrap_or(0.0);
            (0..tasks.len())
                .find(|i| {
                    #[expect(clippy::cast_precision_loss, reason = "a few thousand tasks")]
                    let own = (i + 1) as f64;
                    (own - number).abs() < 1e-9
                })
                .ok_or_else(|| Refusal::new(format!("{number} is no number of a task; there are {}", tasks.len())))
        };
        let (before, after) = (index(0)?, index(1)?);
        nodes[after].after.push(before);
    }
    Ok((Network::new(&nodes)?, tasks))
}
