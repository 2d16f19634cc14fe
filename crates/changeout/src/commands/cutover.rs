//! `cutover`: the plan of the night, ticked off while it goes on.

use std::io::{self, Write};
use std::path::PathBuf;

use clap::Args;
use dossier::cutover::{Cutover, Task};
use job::assess::Input;
use job::cutover::{Done, Moment, check_tick, plan};
use plant::cutover::minute_of_day;
use plant::quantity::digits;
use serde_json::json;

use super::assess::{SHOWN, load, no_such_position};
use super::record::write;
use crate::disk::{self, Loaded};
use crate::problems::Failure;
use job::phrase::money;

use crate::show::{self, wrap};
use crate::{Common, End, date, say};

/// Which plan, and what is done.
#[derive(Args, Debug)]
pub(crate) struct Options {
    /// Site folder.
    site: PathBuf,
    /// Tag of the position; with others in the same window, the plan is that of all of them.
    tag: String,
    /// Tick a task off: its name in the plan. Written into cutover/TAG.toml.
    #[arg(long, value_name = "TASK", requires = "at", requires = "by")]
    tick: Option<String>,
    /// Time of day at which it was done, HH:MM.
    #[arg(long, value_name = "HH:MM", requires = "tick")]
    at: Option<String>,
    /// Who says so.
    #[arg(long, value_name = "NAME", requires = "tick")]
    by: Option<String>,
    /// Remark to the tick.
    #[arg(long, value_name = "TEXT", requires = "tick")]
    note: Option<String>,
    /// Reckon for this time of day, HH:MM; without it, for that of the last tick.
    #[arg(long, value_name = "HH:MM")]
    now: Option<String>,
    /// Write the plan as bars over time as SVG into this folder.
    #[arg(long, value_name = "DIR")]
    out: Option<PathBuf>,
    /// Print the reckoning, step by step.
    #[arg(long)]
    working: bool,
}

/// Width of the bars on a terminal.
const BAR: usize = 48;

pub(crate) fn run(options: &Options, common: &Common) -> Result<End, Failure> {
    let mut loaded = load(&options.site, common)?;
    if !loaded.positions.iter().any(|p| p.tag == options.tag) {
        return Err(no_such_position(&loaded, &options.tag));
    }
    let now = options.now.as_deref().map(clock).transpose()?;
    let mut written = None;
    if let (Some(task), Some(at), Some(by)) = (&options.tick, &options.at, &options.by) {
        let minute = clock(at)?;
        written = tick(options, &mut loaded, common, (task, at, by), minute)?;
        if written.is_none() {
            return Ok(End::BadInput);
        }
    }
    let cutover = planned(&loaded, options, common, now)?;
    let file = match &options.out {
        Some(folder) => Some(draw(folder, &cutover)?),
        None => None,
    };
    let mut out = say::out();
    if common.json {
        let value = json!({ "cutover": cutover, "written": written, "file": file, "problems": loaded.found.json() });
        serde_json::to_writer_pretty(&mut out, &value).map_err(io::Error::from)?;
        writeln!(out)?;
    } else {
        if let Some(path) = &written {
            writeln!(out, "wrote {}", path.display())?;
        }
        print(&mut out, &cutover, options.working)?;
        if let Some(file) = file {
            writeln!(out, "written {file}")?;
        }
    }
    out.flush()?;
    Ok(if matches!(cutover.advice.word.as_str(), "go on" | "done") { End::Good } else { End::Unsettled })
}

fn clock(text: &str) -> Result<u32, Failure> {
    minute_of_day(text).ok_or_else(|| Failure::Usage(format!("“{text}” is no time of day; write it as 23:05")))
}

fn today(common: &Common) -> String {
    common.date.clone().unwrap_or_else(date::today)
}

fn input<'a>(loaded: &'a Loaded, date: &'a str) -> Input<'a> {
    let Loaded { site, positions, packs, decisions, .. } = loaded;
    Input { site, positions, only: None, packs, decisions, date, shown: SHOWN, searches: None }
}

fn planned(loaded: &Loaded, options: &Options, common: &Common, now: Option<u32>) -> Result<Cutover, Failure> {
    let today = today(common);
    let moment = now.map_or(Moment::LastTick, Moment::Clock);
    plan(input(loaded, &today), &options.tag, &loaded.ticks, moment).map_err(Failure::Usage)
}

/// Checks a tick against the plan and writes it; the file that holds it, or nothing when the file refuses it, which is told by then.
fn tick(
    options: &Options,
    loaded: &mut Loaded,
    common: &Common,
    given: (&str, &str, &str),
    minute: u32,
) -> Result<Option<PathBuf>, Failure> {
    let (task, at, by) = given;
    let done = Done { task, minute, by, note: options.note.as_deref() };
    let today = today(common);
    check_tick(input(loaded, &today), &options.tag, &loaded.ticks, done).map_err(Failure::Usage)?;
    let folder = options.site.join("cutover");
    disk::make_folder(&folder)?;
    let path = folder.join(format!("{}.toml", options.tag));
    let granted = loaded.site.shutdown.window.clone();
    let is_written = write(
        &path,
        |source| packs::add_tick(source, task, at, by, options.note.as_deref()),
        |source| packs::read_ticks(source, granted.as_ref()).problems,
        common,
    )?;
    // What is printed is the plan of what was written.
    loaded.ticks = disk::load_site(&options.site)?.ticks;
    Ok(is_written.then_some(path))
}

fn draw(folder: &std::path::Path, cutover: &Cutover) -> Result<String, Failure> {
    let Some(figure) = &cutover.figure else { return Err(Failure::Usage("there is nothing to draw".to_owned())) };
    let svg =
        output::svg::svg(figure, &output::svg::Options::default()).map_err(|p| Failure::Usage(format!("the plan cannot be drawn: {p}")))?;
    disk::make_folder(folder)?;
    let path = folder.join(format!("cutover-{}.svg", cutover.tags.join("-")));
    disk::write_atomically(&path, svg)?;
    Ok(path.display().to_string())
}

fn print(out: &mut impl Write, cutover: &Cutover, working: bool) -> io::Result<()> {
    writeln!(out, "{}", "─".repeat(usize::from(show::WIDTH)))?;
    let window = &cutover.window;
    let granted = if window.granted { window.date.clone() } else { "not granted".to_owned() };
    writeln!(
        out,
        "Cutover of {}: window {granted}, {} to {} ({} min)\n",
        cutover.tags.join(", "),
        window.start,
        window.end,
        digits(window.minutes, 4)
    )?;
    wrap(out, &format!("  {}: ", cutover.advice.word.to_uppercase()), &cutover.advice.says)?;
    if !cutover.to_settle.is_empty() {
        writeln!(out, "\n  to settle before anything is energised")?;
        for item in &cutover.to_settle {
            wrap(out, &format!("    · {}: ", item.tag), &format!("{} — {}", item.what, item.why))?;
        }
    }
    forecast(out, cutover)?;
    tasks(out, cutover)?;
    bars(out, cutover)?;
    list(out, "not in the plan while something is open", &cutover.left_out)?;
    let watch: Vec<String> = cutover.watch.iter().map(|w| format!("{}: {} (row {})", w.tag, w.says, w.row)).collect();
    list(out, "what may cost the night", &watch)?;
    costs(out, cutover)?;
    list(out, "taken for what nobody has said", &cutover.assumed)?;
    list(out, "remarks", &cutover.remarks)?;
    let cautions: Vec<String> = cutover.cautions.iter().map(|c| format!("{}: {}", c.hazard, c.text)).collect();
    list(out, "cautions", &cautions)?;
    wrap(out, "  ", &cutover.deference)?;
    if working {
        show::steps(out, &cutover.working)?;
    }
    writeln!(out)
}

fn list(out: &mut impl Write, head: &str, lines: &[String]) -> io::Result<()> {
    if lines.is_empty() {
        return Ok(());
    }
    writeln!(out, "\n  {head}")?;
    lines.iter().try_for_each(|line| wrap(out, "    · ", line))
}

fn whole(minutes: f64) -> String {
    format!("{minutes:.0}")
}

/// A share that is not whole is never told as 100 %.
fn percent(share: f64) -> String {
    if share < 1.0 && share > 0.999 { "over 99.9 %".to_owned() } else { format!("{} %", digits(share * 100.0, 3)) }
}

fn forecast(out: &mut impl Write, cutover: &Cutover) -> io::Result<()> {
    let f = &cutover.forecast;
    writeln!(out)?;
    let until = if cutover.ready { "the end" } else { "the last task before power" };
    let turn = if f.turn_back.is_some() { f.turn_back_clock.clone() } else { "none: the way back does not fit".to_owned() };
    wrap(out, "  at ", &format!("{}: chance of {until} inside the window {}", f.now_clock, percent(f.chance)))?;
    wrap(
        out,
        "  minutes from the start to ",
        &format!(
            "{until}: {} in a tenth of cases, {} in half, {} in {}",
            whole(f.early),
            whole(f.middle),
            whole(f.late),
            percent(cutover.window.confidence)
        ),
    )?;
    wrap(
        out,
        "  latest moment to turn back: ",
        &format!(
            "{turn} (in {} of cases); from now the way back takes {} min",
            percent(cutover.window.confidence),
            whole(f.way_back.ceil())
        ),
    )?;
    wrap(out, "  ", &format!("({} cases drawn, seed {}, {} distributions)", f.runs, f.seed, f.distribution))
}

/// The table of times, then in words what is done and how it is undone.
fn tasks(out: &mut impl Write, cutover: &Cutover) -> io::Result<()> {
    writeln!(out)?;
    let mut table = show::table();
    table.set_header(["no", "task", "who", "least", "likely", "most", "after", "when, likely", "spare", "way back", "!"]);
    for t in &cutover.tasks {
        let after = t.after.iter().map(usize::to_string).collect::<Vec<_>>().join(", ");
        let back = if t.back_minutes.most > 0.0 {
            format!("{} {} {}", whole(t.back_minutes.least), whole(t.back_minutes.likely), whole(t.back_minutes.most))
        } else {
            String::new()
        };
        let m = t.minutes;
        let spare = if t.state == "ahead" { whole(t.float) } else { t.state.clone() };
        table.add_row([
            t.number.to_string(),
            name(cutover, t),
            t.who.join(", "),
            whole(m.least),
            whole(m.likely),
            whole(m.most),
            after,
            // The head of the plan tells the day; a window is shorter than one.
            t.clock.replace("\u{a0}+1\u{a0}d", ""),
            spare,
            back,
            t.cautions.clone(),
        ]);
    }
    show::print_table(out, &table)?;
    writeln!(out, "\n  what is done, where its minutes come from, and the step back")?;
    for t in &cutover.tasks {
        let ticked = if t.ticked.is_empty() { String::new() } else { format!(" Ticked by {}.", t.ticked) };
        wrap(out, &format!("    {:>3} ", t.number), &format!("{} ({}).{ticked}", t.what, t.basis))?;
        if !t.back.is_empty() {
            wrap(out, "        back: ", &t.back)?;
        }
    }
    Ok(())
}

fn name(cutover: &Cutover, task: &Task) -> String {
    if cutover.tags.len() > 1 { format!("{} {}", task.tag, task.name) } else { task.name.clone() }
}

/// One line a task: done `▓`, go or not `◆`, energises `█`, others `▒`, room to start later `·`; `|` the window's end, `<` the turn.
fn bars(out: &mut impl Write, cutover: &Cutover) -> io::Result<()> {
    let ends = cutover.tasks.iter().map(|t| t.finish).chain([cutover.window.minutes]).fold(60.0, f64::max);
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        clippy::cast_precision_loss,
        reason = "a place in a line of BAR characters"
    )]
    let place = |minutes: f64| ((minutes.max(0.0) / ends * (BAR as f64 - 1.0)).round() as usize).min(BAR - 1);
    writeln!(out, "\n  ▒ task  █ energises  ◆ go or not  ▓ done  · may start later  < latest moment to turn back  | end of the window")?;
    for t in &cutover.tasks {
        let mut line = vec![' '; BAR];
        line[place(cutover.window.minutes)] = '|';
        if let Some(turn) = cutover.forecast.turn_back {
            line[place(turn)] = '<';
        }
        let (from, to) = (place(t.start), place(t.finish));
        if t.done.is_none() {
            line[to..=place(t.finish + t.float)].fill('·');
        }
        line[from..=to].fill(mark(t));
        writeln!(out, "  {:>3} {:<22} {}", t.number, name(cutover, t), line.into_iter().collect::<String>().trim_end())?;
    }
    Ok(())
}

fn mark(task: &Task) -> char {
    match task {
        t if t.done.is_some() => '▓',
        t if t.hold => '◆',
        t if t.energises => '█',
        _ => '▒',
    }
}

fn costs(out: &mut impl Write, cutover: &Cutover) -> io::Result<()> {
    let m = &cutover.money;
    let range = |(low, likely, high): (f64, f64, f64)| format!("{} … {} … {} {}", money(low), money(likely), money(high), m.currency);
    writeln!(out, "\n  money")?;
    for labour in &m.labour {
        let (low, likely, high) = labour.hours;
        let price = labour.money.map_or("no rate".to_owned(), |p| format!("{} {}", money(p), m.currency));
        wrap(
            out,
            "    · ",
            &format!("{}: {} … {} … {} hours of people, {price}", labour.trade, digits(low, 3), digits(likely, 3), digits(high, 3)),
        )?;
    }
    if let Some(labour) = m.labour_range {
        wrap(out, "    · labour, least … likely … most: ", &range(labour))?;
    }
    if let Some(contingency) = m.contingency {
        wrap(
            out,
            "    · of it beyond the likely, on counts and times that nobody at the plant has given: ",
            &format!("{} {}", money(contingency), m.currency),
        )?;
    }
    if let Some(installed) = m.installed {
        let unpriced = if m.unpriced > 0 { format!(" + {} unpriced", m.unpriced) } else { String::new() };
        wrap(out, "    · unit, parts and labour: ", &format!("{}{unpriced}", range(installed)))?;
    }
    if let Some(standing) = m.standing {
        wrap(out, "    · production that stands, early … middle … late finish: ", &range(standing))?;
    }
    if let Some(overrun) = m.overrun {
        wrap(out, "    · mean cost of standing longer than the window: ", &format!("{} {}", money(overrun), m.currency))?;
    }
    m.left_out.iter().try_for_each(|line| wrap(out, "    · not counted: ", line))
}
