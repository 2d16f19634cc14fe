//! The night of the change-over: the tasks of one position, or of all that share a window, as one plan with its way back.
//!
//! Positions that share an isolation point are energised only when all of them are finished dead. Crews do one task at a time, in the
//! order of the plan. While anything is open that may not be assumed, the plan ends before the first task that energises.

mod advice;
mod figure;
mod money;
mod tasks;
mod ticked;

use std::collections::BTreeMap;

use calc::plan::estimate::Estimate;
use calc::plan::network::{Network, Node, Passes};
use calc::plan::simulate::{Forecast, Progress, Question, RUNS, SEED, Work, forecast, key_of};
use calc::working::Working;
use dossier::boxes::BoxReport;
use dossier::cutover::{Advice, Cutover, Minutes, Task, ToSettle, Watch};
use findings::caution;
use findings::check::Severity;
use plant::choice::{Choice, YesNo};
use plant::cutover::{CAN_GO_BACK, CONTROL_WIRES, Crew, IDLE, PASSWORD, SAVED, SISTERS, Tick, Trade, Window};
use plant::fact::{Fact, Known};
use plant::position::Position;
use plant::quantity::{Ratio, Time, digits};
use plant::survey::{self, SUPPLY_GROUNDING};

use crate::assess::{Input, all_candidates, join, old_series, survey_of};
use crate::bounds::Verdict;
use crate::options::Assessed;
use crate::report;
use crate::searches::Margins;
pub(crate) use tasks::WireWork;
use tasks::{Draft, Ground, LAST_DEAD};
pub use ticked::{Done, check_tick};
use ticked::{as_it_went, progress};

/// Window while nobody has granted one: common practice, no source.
const ASSUMED_WINDOW: Time = Time::hours(8.0);
/// Wanted confidence while the window names none: common practice, no source.
const ASSUMED_CONFIDENCE: Ratio = Ratio::of_one(0.9);
/// A unit that lay longer without voltage is re-formed before it meets full voltage, unless its documents say otherwise: common
/// practice, no source.
const LONG_IDLE: Time = Time::days(365.0);

/// What is done of a position, by tag.
pub type Ticks = BTreeMap<String, Vec<Tick>>;

/// A position of the plan.
struct Member<'a> {
    tag: String,
    position: Position,
    first: Option<Assessed<'a>>,
    open: Vec<ToSettle>,
    drafts: Vec<Draft>,
    /// Its conductors are counted by the crosswalk.
    wired: bool,
}

/// A draft in the plan.
struct Planned<'d> {
    tag: &'d str,
    draft: &'d Draft,
    after: Vec<usize>,
    crews: Vec<usize>,
}

/// A moment for which a plan is reckoned.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Moment {
    /// That of the last tick in the plan.
    LastTick,
    /// So long after the window began.
    Since(Time),
    /// The first time at or after the last tick in the plan at which a clock shows that minute of the day.
    Clock(u32),
}

/// The plan of the window in which a position is changed, or of the position alone, as it stands at a moment.
///
/// # Errors
/// A sentence that says why there is none: an unknown tag, ticks that contradict the order of the tasks, a time before the last tick.
pub fn plan(input: Input<'_>, tag: &str, ticks: &Ticks, now: Moment) -> Result<Cutover, String> {
    plan_knowing(input, tag, ticks, now, None)
}

/// The plan as it stands before the night, for a position that is joined and assessed already.
///
/// # Errors
/// As [`plan`].
pub(crate) fn plan_ahead<'a>(input: Input<'a>, own: Own<'_, 'a>) -> Result<Cutover, String> {
    plan_knowing(input, &own.position.tag, &Ticks::new(), Moment::LastTick, Some(own))
}

/// What is worked out of a position already.
#[derive(Clone, Copy)]
pub(crate) struct Own<'k, 'a> {
    /// Joined.
    pub(crate) position: &'k Position,
    /// Its first candidate.
    pub(crate) first: Option<&'k Assessed<'a>>,
    /// Its box.
    pub(crate) room: Option<&'k BoxReport>,
}

fn plan_knowing<'a>(input: Input<'a>, tag: &str, ticks: &Ticks, now: Moment, known: Option<Own<'_, 'a>>) -> Result<Cutover, String> {
    if !input.positions.iter().any(|p| p.tag == tag) {
        return Err(format!("the site has no position “{tag}”"));
    }
    let shutdown = &input.site.shutdown;
    let shared = shutdown.window.as_ref().filter(|w| w.positions.iter().any(|t| t == tag)).map(|w| w.positions.clone());
    let mut tags: Vec<String> = Vec::new();
    for tag in shared.unwrap_or_else(|| vec![tag.to_owned()]) {
        if !tags.contains(&tag) {
            tags.push(tag);
        }
    }
    let mut remarks = Vec::new();
    let members: Vec<Member<'_>> = tags
        .iter()
        .filter_map(|tag| match known {
            Some(own) if own.position.tag == *tag => {
                let holes = own.room.and_then(|room| holes_in(room, tag));
                Some(member(input, own.position.clone(), own.first.cloned(), holes, &mut remarks))
            }
            _ => input.positions.iter().find(|p| p.tag == *tag).map(|surveyed| assessed(input, surveyed, &mut remarks)),
        })
        .collect();
    let crews = crews(&shutdown.crews, &mut remarks);
    let to_settle: Vec<ToSettle> = members.iter().flat_map(|m| m.open.iter().cloned()).collect();
    let ready = to_settle.is_empty();
    let (planned, left_out) = arrange(input, &members, &crews, ready);
    let planned = as_it_went(planned, ticks)?;
    let nodes: Vec<Node> = planned.iter().map(|p| Node { after: p.after.clone(), busy: p.crews.clone() }).collect();
    let network = Network::new(&nodes).map_err(|r| r.to_string())?;
    let window = window(input);
    let (progress, ticked, last) = progress(&planned, ticks, &mut remarks);
    let now = match now {
        Moment::Since(now) if now < last => {
            return Err(format!("{} lies before the last tick, {}", window.clock(now), window.clock(last)));
        }
        Moment::Since(now) => now,
        Moment::Clock(minute) => window.next(minute, last),
        Moment::LastTick => last,
    };
    let begun = progress.iter().any(|p| *p != Progress::Ahead);
    let work: Vec<Work> = planned
        .iter()
        .map(|p| Work { key: key_of(&format!("{}/{}", p.tag, p.draft.name)), forward: p.draft.forward, back: p.draft.back_time })
        .collect();
    let confidence = window.confidence.unwrap_or(ASSUMED_CONFIDENCE);
    let question = Question { window: window.length, confidence, now, progress: &progress, runs: RUNS, seed: SEED };
    let mut working = Working::default();
    let likely: Vec<Time> = work.iter().map(|w| w.forward.likely()).collect();
    let passes = network.passes(&likely, &mut working).map_err(|r| r.to_string())?;
    let told = forecast(&network, &work, question, &mut working).map_err(|r| named(&r.to_string(), &planned))?;
    let can_go_back = !members.iter().any(|m| m.position.cutover.answer(CAN_GO_BACK) == Some(YesNo::No));
    let granted = shutdown.window.is_some();
    let mut cutover = Cutover {
        schema: 1,
        candidates: members.iter().map(|m| m.first.as_ref().map_or_else(String::new, |c| c.unit.id())).collect(),
        tags: members.iter().map(|m| m.tag.clone()).collect(),
        window: dossier::cutover::Window {
            granted,
            date: window.date.clone(),
            start: window.clock(Time::ZERO),
            end: window.clock(window.length),
            minutes: window.length.in_minutes(),
            confidence: confidence.in_of_one(),
            owner: window.owner.clone().unwrap_or_default(),
        },
        ready,
        to_settle,
        left_out,
        tasks: rows(&planned, &crews, &passes, &told, &progress, &ticked, ready, &window),
        forecast: advice::figures(&told, now, can_go_back, &window),
        advice: Advice::default(),
        money: money::money(input, &members, &planned, &crews, &told),
        watch: members.iter().flat_map(|m| watch(m, input.site.units)).collect(),
        assumed: assumed(&members, granted, window.confidence.is_some()),
        remarks,
        cautions: cautions(&planned, &members, input),
        deference: caution::DEFERENCE.to_owned(),
        working: working.steps.iter().map(|s| report::step(s, input.site.units)).collect(),
        figure: None,
    };
    cutover.advice = advice::advise(&cutover, &told, question, begun, can_go_back, &window);
    cutover.figure = Some(figure::bars(&cutover, &window));
    Ok(cutover)
}

/// Installed cost of a candidate over the times that the tasks of its cutover may take; `None` without rates. The box is not laid out for
/// it, so that holes count as a range.
pub(crate) fn installed(input: Input<'_>, margins: &Margins<'_, '_>, candidate: &Assessed<'_>) -> Option<dossier::Spread> {
    input.site.rates?;
    let position = margins.survey.position();
    let crews = crews(&input.site.shutdown.crews, &mut Vec::new());
    let points = points(input, position);
    let settings = margins.to_load(&candidate.unit, &crate::settings::rests_on(position), || entries(input, position, Some(candidate)));
    let wires = margins.wire_work(&candidate.unit, || wire_work(input, position, Some(candidate)));
    let ground = Ground {
        site: input.site,
        position,
        old: old_series(input, position),
        first: Some(candidate),
        points,
        holes: None,
        settings,
        wires,
    };
    let drafts = tasks::tasks(&ground);
    Some(money::installed(input, candidate, &drafts, &crews))
}

/// Isolation points of a position.
fn points(input: Input<'_>, position: &Position) -> Vec<String> {
    input.site.shutdown.isolations.iter().filter(|i| i.positions.contains(&position.tag)).map(|i| i.name.clone()).collect()
}

/// The window of the site, or the assumed one.
fn window(input: Input<'_>) -> Window {
    input.site.shutdown.window.clone().unwrap_or_else(|| Window { length: ASSUMED_WINDOW, ..Window::default() })
}

fn assessed<'a>(input: Input<'a>, surveyed: &Position, remarks: &mut Vec<String>) -> Member<'a> {
    let position = join(input, surveyed, remarks);
    let survey = survey_of(input, &position);
    let first = all_candidates(input, &survey).into_iter().next();
    let holes = holes(input, &position);
    member(input, position, first, holes, remarks)
}

fn member<'a>(
    input: Input<'a>,
    position: Position,
    first: Option<Assessed<'a>>,
    holes: Option<u32>,
    remarks: &mut Vec<String>,
) -> Member<'a> {
    let open = open(&position, first.as_ref());
    let site = input.site;
    let points = points(input, &position);
    if points.is_empty() {
        remarks.push(format!(
            "{}: no isolation point is listed in site.toml: the list of all sources is made and checked on site before the night",
            position.tag
        ));
    }
    let old = old_series(input, &position);
    let settings = entries(input, &position, first.as_ref());
    let wires = wire_work(input, &position, first.as_ref());
    if let Some(work) = wires {
        remarks.push(format!("{}: counted by the wire crosswalk (derived): {}", position.tag, work.text()));
    }
    let (low, _, high, stated) = position.cutover.count(CONTROL_WIRES);
    if let Some(work) = wires.filter(|w| stated && !(low..=high).contains(&w.conductors())) {
        remarks.push(format!(
            "{}: the survey counts {} control conductors, their list {}: the list is taken",
            position.tag,
            if high > low { format!("{} to {}", digits(low, 4), digits(high, 4)) } else { digits(high, 4) },
            work.all
        ));
    }
    let ground = Ground { site, position: &position, old, first: first.as_ref(), points, holes, settings, wires };
    let drafts = tasks::tasks(&ground);
    Member { tag: position.tag.clone(), position, first, open, drafts, wired: wires.is_some() }
}

/// Holes to drill for a position, by the layout of its box; `None` where there is none.
fn holes(input: Input<'_>, position: &Position) -> Option<u32> {
    let name = position.enclosure.as_ref().unwrap_or(&position.tag);
    holes_in(&crate::boxes::report(input, name)?, &position.tag)
}

fn holes_in(room: &BoxReport, tag: &str) -> Option<u32> {
    let layout = room.layout.as_ref().filter(|l| l.outcome == "placed")?;
    u32::try_from(layout.holes.iter().filter(|h| h.work.starts_with("drill") && h.of.contains(tag)).count()).ok()
}

/// Entries of the load sequence, by the settings sheet; `None` where there is none.
fn entries(input: Input<'_>, position: &Position, first: Option<&Assessed<'_>>) -> Option<usize> {
    crate::settings::to_load(input, position, first?)
}

/// The work on control conductors, by the crosswalk; `None` where there is none.
fn wire_work(input: Input<'_>, position: &Position, first: Option<&Assessed<'_>>) -> Option<WireWork> {
    let wires = crate::wires::of_candidate(input, position, first?)?.ok()?;
    Some(WireWork { all: wires.conductors.len(), landed: wires.landed(), parts: wires.parts(), links: wires.links_changed() })
}

/// What has to be settled before anything is energised: every fact that may not be assumed and that a check waits for, the supply's
/// grounding whether or not a check asks, and every injury that is certain and that nobody has taken on.
fn open(position: &Position, first: Option<&Assessed<'_>>) -> Vec<ToSettle> {
    let mut ids: Vec<survey::FactId> = first.iter().flat_map(|c| &c.findings).flat_map(|f| f.bounds.open.iter()).collect();
    let certain = |fact: Option<&Fact>| fact.is_some_and(|f| matches!(f.known, Known::Value(_)));
    if !certain(position.fact(SUPPLY_GROUNDING.id)) {
        ids.push(SUPPLY_GROUNDING.id);
    }
    ids.sort_unstable();
    ids.dedup();
    let settle = |what: String, why: &str| ToSettle { tag: position.tag.clone(), what, why: why.to_owned() };
    let why = |id| match survey::def(id).assume {
        survey::Assume::Nothing => survey::def(id).because,
        _ => "what would be assumed of it rests on something that is open",
    };
    let facts = ids.into_iter().map(|id| settle(format!("{} ({})", survey::def(id).label, survey::path(id)), why(id)));
    let faults = first
        .iter()
        .flat_map(|c| &c.findings)
        .filter(|f| f.check.severity == Severity::Injury && f.verdict() == Verdict::Fails && !f.is_taken_on())
        .map(|f| settle(format!("{} ({})", f.check.title(), f.check.name), "it may hurt people, and it fails"));
    let none = first.is_none().then(|| settle("a drive to put in".to_owned(), "no pack that may replace has a rating"));
    facts.chain(faults).chain(none).collect()
}

/// Crews, with one assumed for each trade that has none.
fn crews(given: &[Crew], remarks: &mut Vec<String>) -> Vec<Crew> {
    let mut crews = given.to_vec();
    for (trade, people) in [(Trade::Electrician, 2), (Trade::Engineer, 1), (Trade::Operator, 1)] {
        if !crews.iter().any(|c| c.trade == trade) {
            crews.push(Crew { name: format!("{} (assumed)", trade.word()), trade, people });
            remarks.push(format!("no crew of the trade {} is named in site.toml: one of {people} is assumed", trade.word()));
        }
    }
    crews
}

/// Puts the tasks of all members into one list. Members that share an isolation point, over others too, are one group: their dead work
/// comes first, then everything that needs power; groups follow each other.
fn arrange<'m>(input: Input<'_>, members: &'m [Member<'_>], crews: &[Crew], ready: bool) -> (Vec<Planned<'m>>, Vec<String>) {
    let groups = groups(input, members);
    let mut planned: Vec<Planned<'m>> = Vec::new();
    let mut left_out = Vec::new();
    let mut at: BTreeMap<(usize, &str), usize> = BTreeMap::new();
    for group in 0..groups.iter().copied().max().map_or(0, |g| g + 1) {
        let inside: Vec<usize> = (0..members.len()).filter(|m| groups[*m] == group).collect();
        for live in [false, true] {
            for member in inside.iter().copied() {
                let mut powered = false;
                for draft in &members[member].drafts {
                    // From the first task that energises on, everything waits for power.
                    powered = draft.is_live(powered);
                    if powered != live {
                        continue;
                    }
                    if powered && !ready {
                        left_out.push(format!("{} {}: {}", members[member].tag, draft.name, draft.what));
                        continue;
                    }
                    let mut after: Vec<usize> = draft.after.iter().filter_map(|name| at.get(&(member, name.as_str())).copied()).collect();
                    if draft.energises {
                        after.extend(inside.iter().filter_map(|other| at.get(&(*other, LAST_DEAD)).copied()));
                    }
                    after.sort_unstable();
                    after.dedup();
                    let crews = draft.trades.iter().filter_map(|trade| crew_of(crews, *trade, member)).collect();
                    at.insert((member, draft.name.as_str()), planned.len());
                    planned.push(Planned { tag: &members[member].tag, draft, after, crews });
                }
            }
        }
    }
    (planned, left_out)
}

/// Crews of one trade take positions in turn; each keeps the position that it has begun.
fn crew_of(crews: &[Crew], trade: Trade, member: usize) -> Option<usize> {
    let own: Vec<usize> = (0..crews.len()).filter(|c| crews[*c].trade == trade).collect();
    own.get(member % own.len().max(1)).copied()
}

/// The group of each member: the same number where isolation points tie them together.
fn groups(input: Input<'_>, members: &[Member<'_>]) -> Vec<usize> {
    let mut group: Vec<usize> = (0..members.len()).collect();
    for point in &input.site.shutdown.isolations {
        let tied: Vec<usize> = (0..members.len()).filter(|m| point.positions.contains(&members[*m].tag)).map(|m| group[m]).collect();
        if let Some(lowest) = tied.iter().copied().min() {
            group.iter_mut().filter(|g| tied.contains(g)).for_each(|g| *g = lowest);
        }
    }
    group
}

/// Puts names in the place of the numbers that a refusal speaks of.
fn named(refusal: &str, planned: &[Planned<'_>]) -> String {
    let mut text = String::new();
    for (number, part) in refusal.split("task ").enumerate() {
        let digits: String = part.chars().take_while(char::is_ascii_digit).collect();
        let task = digits.parse::<usize>().ok().and_then(|n| planned.get(n.checked_sub(1)?)).filter(|_| number > 0);
        match task {
            Some(task) => text.push_str(&format!("{} {}{}", task.tag, task.draft.name, &part[digits.len()..])),
            None if number > 0 => text.push_str(&format!("task {part}")),
            None => text.push_str(part),
        }
    }
    text
}

fn minutes(estimate: Estimate) -> Minutes {
    Minutes { least: estimate.least().in_minutes(), likely: estimate.likely().in_minutes(), most: estimate.most().in_minutes() }
}

#[expect(clippy::too_many_arguments, reason = "one row is put together from all that is known of the plan")]
fn rows(
    planned: &[Planned<'_>],
    crews: &[Crew],
    passes: &Passes,
    told: &Forecast,
    progress: &[Progress],
    ticked: &[String],
    ready: bool,
    window: &Window,
) -> Vec<Task> {
    let begun = progress.iter().any(|p| *p != Progress::Ahead);
    let row = |(index, p): (usize, &Planned<'_>)| {
        let done = match progress[index] {
            Progress::Done(at) => Some(at),
            Progress::Ahead => None,
        };
        let timing = passes.tasks[index];
        // Once work has begun, the plan of before the night no longer tells when a task ends; the runs do.
        let finish = if begun { done.unwrap_or(told.finishes[index]) } else { timing.finish };
        let start = if begun { (finish - p.draft.forward.likely()).max(Time::ZERO) } else { timing.start };
        let state = if done.is_some() {
            "done"
        } else if told.overdue.contains(&index) {
            "overdue"
        } else if begun && told.under_way.contains(&index) {
            "under way"
        } else {
            "ahead"
        };
        // Undoing is energising too: with something open, nobody is told to switch on, not even the old drive.
        let back = if p.draft.back_energises && !ready {
            format!("{} — only when what is open is settled", p.draft.back)
        } else {
            p.draft.back.clone()
        };
        let back = if p.draft.back_energises && !ready {
            back.replace("restore the supply, prove the old drive and the machine running", "leave the supply locked")
        } else {
            back
        };
        Task {
            number: index + 1,
            tag: p.tag.to_owned(),
            name: p.draft.name.clone(),
            what: p.draft.what.clone(),
            who: p.crews.iter().map(|c| crews[*c].name.clone()).collect(),
            minutes: minutes(p.draft.forward),
            basis: p.draft.basis.clone(),
            after: p.after.iter().map(|a| a + 1).collect(),
            start: start.in_minutes(),
            finish: finish.in_minutes(),
            clock: span(window, start, finish),
            float: timing.float.in_minutes(),
            critical: told.critical[index].in_of_one(),
            hold: p.draft.hold,
            energises: p.draft.energises,
            back,
            back_minutes: minutes(p.draft.back_time),
            back_energises: p.draft.back_energises && ready,
            cautions: p.draft.cautions.clone(),
            done: done.map(Time::in_minutes),
            ticked: ticked[index].clone(),
            state: state.to_owned(),
        }
    };
    planned.iter().enumerate().map(row).collect()
}

/// From when to when, the day told once where both are of one day; without a place to break it.
fn span(window: &Window, from: Time, to: Time) -> String {
    let (from, to) = (window.clock(from), window.clock(to));
    let day = |clock: &str| clock.split_once(' ').map_or(String::new(), |(_, day)| day.to_owned());
    let from = if day(&from) == day(&to) { from.split(' ').next().unwrap_or_default().to_owned() } else { from };
    format!("{from}–{to}").replace(' ', "\u{a0}")
}

/// What may cost the night, from what the survey says about it.
fn watch(member: &Member<'_>, system: plant::quantity::System) -> Vec<Watch> {
    let counted = &member.position.cutover;
    let mut list = Vec::new();
    let mut say = |row: u8, says: String| list.push(Watch { tag: member.tag.clone(), row, says });
    match counted.longest(IDLE) {
        Some(idle) if idle >= LONG_IDLE => {
            say(117, format!("the new unit has lain without voltage for {}: re-form its capacitors as its documents describe before the night", idle.text(system)));
        }
        None => say(117, "when the new unit was last energised is not known: it counts as never energised; read its date code and re-form it as its documents describe".into()),
        Some(_) => {}
    }
    match counted.answer(CAN_GO_BACK) {
        Some(YesNo::No) => say(119, "the old drive cannot be put back: there is no way back from the first step on".into()),
        None => say(
            119,
            "that the old drive can be put back and would run is assumed; prove it before the night, or there is no way back".into(),
        ),
        Some(YesNo::Yes) => {}
    }
    if counted.answer(SAVED) != Some(YesNo::Yes) {
        say(119, "the old drive's settings are not known to be saved: nothing else brings the old state back".into());
    }
    if counted.answer(PASSWORD) != Some(YesNo::Yes) {
        say(121, "passwords and maker's locks of drive and controller: ask, and try them before the night".into());
    }
    let (_, _, sisters, known) = counted.count(SISTERS);
    if known && sisters > 0.0 {
        say(
            123,
            format!(
                "{} other drives of the old kind: choose one replacement and one spare for all, keep the old unit as their donor",
                digits(sisters, 4)
            ),
        );
    }
    if member.drafts.iter().any(|d| d.name.starts_with("remedy-")) {
        say(
            120,
            "every part of every remedy lies on the table before the window begins, down to lugs, glands and the cable for the laptop"
                .into(),
        );
    }
    let (low, _, high, known) = counted.count(CONTROL_WIRES);
    if !member.wired && (!known || high > low) {
        say(122, "control conductors are not counted: drawings are usually wrong; trace and count them before the night".into());
    }
    list
}

fn assumed(members: &[Member<'_>], granted: bool, confidence: bool) -> Vec<String> {
    let mut list = Vec::new();
    if !granted {
        list.push(format!("window: {ASSUMED_WINDOW} from midnight (no [window] in site.toml; common practice, no source)"));
    }
    if !confidence {
        list.push("the way back has to fit in 90 % of cases (no confidence in [window]; common practice, no source)".to_owned());
    }
    for member in members {
        for def in plant::cutover::COUNTS
            .iter()
            .enumerate()
            .filter(|(i, _)| member.position.cutover.0.get(*i).is_none_or(Fact::is_missing) && !(member.wired && *i == CONTROL_WIRES))
            .map(|(_, d)| d)
        {
            if let plant::survey::Assume::Between(low, high) = def.assume {
                list.push(format!("{}: {}: {} to {} ({})", member.tag, def.label, digits(low, 4), digits(high, 4), def.because));
            }
        }
    }
    list.push(
        "minutes of tasks: common practice, no source, unless a task says otherwise; the plant's own go into [[times]] of site.toml"
            .to_owned(),
    );
    list.push("the minutes are those of a crew, however many people it has; times of one task that is counted (conductors, settings) are slow or quick together".to_owned());
    list
}

fn cautions(planned: &[Planned<'_>], members: &[Member<'_>], input: Input<'_>) -> Vec<dossier::Caution> {
    let letters: std::collections::BTreeSet<char> = planned.iter().flat_map(|p| p.draft.cautions.chars()).chain("C".chars()).collect();
    let of_data = letters.into_iter().filter_map(caution::find).map(|c| dossier::Caution { hazard: c.hazard.into(), text: c.text.into() });
    let units = members.iter().flat_map(|m| {
        let old = old_series(input, &m.position).map(|s| report::unit_cautions(s, &format!("old unit of {}", m.tag)));
        let new = m.first.as_ref().map(|c| report::unit_cautions(c.unit.series, &format!("new unit of {}", m.tag)));
        old.into_iter().chain(new).flatten().collect::<Vec<_>>()
    });
    of_data.chain(units).collect()
}
