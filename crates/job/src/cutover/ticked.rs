//! What was ticked off: whether it can be, how far the tasks are, and the order in which they were done.

use calc::plan::simulate::Progress;
use plant::cutover::{Tick, Window};
use plant::fact::Place;
use plant::quantity::Time;

use super::{Moment, Planned, Ticks, plan};
use crate::assess::Input;

/// A task that somebody says is done.
#[derive(Clone, Copy, Debug)]
pub struct Done<'a> {
    /// The task, by its name.
    pub task: &'a str,
    /// Minute of the day that a clock showed.
    pub minute: u32,
    /// Who ticks it off.
    pub by: &'a str,
    /// What is said with it.
    pub note: Option<&'a str>,
}

/// Holds a tick against the order of the plan, before it is written; one of the same task goes.
///
/// # Errors
/// A sentence that says why it cannot be: no such task in the plan, tasks that come first, what [`plan`] says.
pub fn check_tick(input: Input<'_>, tag: &str, ticks: &Ticks, done: Done<'_>) -> Result<(), String> {
    let mut ticks = ticks.clone();
    let list = ticks.entry(tag.to_owned()).or_default();
    list.retain(|t| t.task != done.task);
    let window = input.site.shutdown.window.clone().unwrap_or(Window { start: done.minute, ..Window::default() });
    let at = window.next(done.minute, list.last().map_or(Time::ZERO, |t| t.at));
    let (task, by, note) = (done.task.to_owned(), done.by.to_owned(), done.note.map(str::to_owned));
    list.push(Tick { task, at, by, note, place: Place::default() });
    let plan = plan(input, tag, &ticks, Moment::LastTick)?;
    let own: Vec<&str> = plan.tasks.iter().filter(|t| t.tag == tag).map(|t| t.name.as_str()).collect();
    if own.contains(&done.task) {
        return Ok(());
    }
    let open = if plan.ready { "" } else { "; what energises is left out until everything is settled" };
    Err(format!("the plan of {tag} has no task “{}”{open}; it has {}", done.task, own.join(", ")))
}

/// The tasks in the order in which they were done, where a crew went to another position first: of who works at several, only the order
/// within each is fixed.
///
/// # Errors
/// A sentence that names a task and those of its position that come first and were not done before it.
pub(super) fn as_it_went<'d>(planned: Vec<Planned<'d>>, ticks: &Ticks) -> Result<Vec<Planned<'d>>, String> {
    let at = |p: &Planned<'_>| ticks.get(p.tag)?.iter().rev().find(|tick| tick.task == p.draft.name).map(|tick| tick.at);
    let done: Vec<Option<Time>> = planned.iter().map(at).collect();
    let mut elsewhere = false;
    for (late, (own, finished)) in planned.iter().zip(&done).enumerate() {
        let Some(finished) = finished else { continue };
        let one_crew = |other: &Planned<'_>| own.crews.iter().any(|crew| other.crews.contains(crew));
        let overtaken = || planned.iter().zip(&done).enumerate().take(late).filter(|(_, (_, at))| at.is_none_or(|at| at > *finished));
        let first = overtaken().filter(|(early, (other, _))| own.after.contains(early) || own.tag == other.tag && one_crew(other));
        let first: Vec<String> = first.map(|(_, (other, _))| format!("{} {}", other.tag, other.draft.name)).collect();
        if !first.is_empty() {
            let comes = if first.len() == 1 { "comes" } else { "come" };
            return Err(format!("{} {} is done before {}, which {comes} first", own.tag, own.draft.name, first.join(", ")));
        }
        elsewhere |= overtaken().any(|(_, (other, _))| one_crew(other));
    }
    if !elsewhere {
        return Ok(planned);
    }
    let mut order: Vec<usize> = (0..planned.len()).collect();
    order.sort_by(|a, b| match (done[*a], done[*b]) {
        (Some(a), Some(b)) => a.in_s().total_cmp(&b.in_s()),
        (a, b) => b.is_some().cmp(&a.is_some()),
    });
    let mut place = vec![0; order.len()];
    order.iter().enumerate().for_each(|(new, old)| place[*old] = new);
    let mut drafts: Vec<Option<Planned<'d>>> = planned.into_iter().map(Some).collect();
    let taken = order.into_iter().filter_map(|old| drafts.get_mut(old).and_then(Option::take));
    Ok(taken.map(|p| Planned { after: p.after.iter().map(|old| place[*old]).collect(), ..p }).collect())
}

/// What is ticked, who ticked it, and the time of the last tick. Ticks of tasks that the plan does not have are told; those of positions
/// that are not in it are no business of it.
pub(super) fn progress(planned: &[Planned<'_>], ticks: &Ticks, remarks: &mut Vec<String>) -> (Vec<Progress>, Vec<String>, Time) {
    let mut progress = vec![Progress::Ahead; planned.len()];
    let mut words = vec![String::new(); planned.len()];
    let mut last = Time::ZERO;
    for (tag, list) in ticks.iter().filter(|(tag, _)| planned.iter().any(|p| p.tag == *tag)) {
        for tick in list {
            last = last.max(tick.at);
            match planned.iter().position(|p| p.tag == tag && p.draft.name == tick.task) {
                Some(task) => {
                    progress[task] = Progress::Done(tick.at);
                    words[task] = [Some(&tick.by), tick.note.as_ref()].into_iter().flatten().cloned().collect::<Vec<_>>().join(": ");
                }
                None => remarks.push(format!("{}: “{}” is no task of this plan; the tick is not counted", tick.place, tick.task)),
            }
        }
    }
    (progress, words, last)
}
