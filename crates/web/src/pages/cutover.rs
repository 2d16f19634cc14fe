//! The night of the change-over: the plan with its latest way back, the tasks, and where a task is ticked off.

use std::sync::Arc;

use dossier::cutover::{Cutover, Task};
use hyper::StatusCode;
use job::cutover::{Done, Moment};
use job::phrase::money;
use maud::{Markup, html};
use output::svg::{Options, svg};
use packs::read_ticks;
use plant::cutover::minute_of_day;
use plant::quantity::digits;
use serde_json::json;

use super::answer::{Answered, no_position, of, steps};
use crate::answers::Now;
use crate::ask::{Ask, part_of_path};
use crate::change::{Draft, who};
use crate::server::Desk;
use crate::view::{Page, Tab, Trouble, View, at};

/// The plan of the window of a position, or why there is none.
pub(crate) type Plan = Result<Cutover, String>;

/// The plan as it stands at a time of day (empty: that of the last tick); it hangs on all positions that share the window.
fn planned(desk: &Desk, now: &Now, tag: &str, clock: &str) -> Arc<Plan> {
    // No tag holds a line's end.
    desk.plans.of(now.whole(), &format!("{tag}\n{clock}"), || plan(now, tag, clock))
}

fn plan(now: &Now, tag: &str, clock: &str) -> Plan {
    let ticks = &now.folder.ticks;
    let moment = match clock {
        "" => Moment::LastTick,
        text => Moment::Clock(minute_of_day(text).ok_or_else(|| format!("“{text}” is no time of day; write it as 23:05"))?),
    };
    job::cutover::plan(now.input(), tag, ticks, moment)
}

pub(crate) fn show(desk: &Desk, ask: &Ask) -> Result<View, Trouble> {
    let answered = of(desk, ask)?;
    page(desk, &answered, ask, None, StatusCode::OK)
}

fn page(desk: &Desk, answered: &Answered, ask: &Ask, wrong: Option<&str>, status: StatusCode) -> Result<View, Trouble> {
    let tag = &answered.tag;
    let clock = ask.query("now");
    let made = planned(desk, &answered.now, tag, clock);
    let made = made.as_ref().as_ref();
    let body = html! {
        (answered.head())
        form.filter method="get" action=(at(tag, "/cutover")) {
            label { "Reckon for" input type="time" name="now" value=(clock); }
            button type="submit" { "Show" }
        }
        @if let Some(wrong) = wrong { p.wrong role="alert" { (wrong) } }
        @match made {
            Err(why) => p.wrong { "There is no plan: " (why) "." },
            Ok(plan) => (plan_page(plan, tag, ask)),
        }
    };
    let json = json!({ "tag": tag, "cutover": made.ok(), "no_plan": made.err(), "wrong": wrong });
    Ok(View::Page(Box::new(Page {
        status,
        title: format!("{tag} cutover"),
        position: Some((tag.clone(), Tab::Cutover)),
        body,
        json,
        stamp: answered.now.folder.stamp,
    })))
}

/// The plan as bars over time, as a picture of its own.
pub(crate) fn drawing(desk: &Desk, ask: &Ask) -> Result<View, Trouble> {
    let answered = of(desk, ask)?;
    let plan = planned(desk, &answered.now, &answered.tag, ask.query("now"));
    let plan = plan.as_ref().as_ref().map_err(|why| Trouble::unusable(why.clone()))?;
    let figure = plan.figure.as_ref().ok_or_else(|| Trouble::missing("there is nothing to draw"))?;
    let picture = svg(figure, &Options::default()).map_err(|refused| Trouble::unusable(refused.to_string()))?;
    Ok(View::Picture(picture))
}

fn plan_page(plan: &Cutover, tag: &str, ask: &Ask) -> Markup {
    let query = if ask.query("now").is_empty() { String::new() } else { format!("?now={}", part_of_path(ask.query("now"))) };
    let w = &plan.window;
    html! {
        p.lead { strong { (plan.advice.word) } ": " (plan.advice.says) }
        p {
            @if w.granted { "Window of " (w.date) ", " } @else { "No window is granted; taken: " }
            (w.start) " to " (w.end) ", for " (plan.tags.join(", ")) "."
            @if !w.owner.is_empty() { " " (w.owner) " decides to go on or back." }
        }
        @if !plan.to_settle.is_empty() {
            section { h2 { "To settle before anything is energised" }
                ul { @for s in &plan.to_settle { li { (s.tag) ": " strong { (s.what) } ": " (s.why) } } }
                @if !plan.left_out.is_empty() { p { "Not in the plan until then: " (plan.left_out.join("; ")) "." } }
            }
        }
        (forecast(plan))
        @if let Some(figure) = &plan.figure {
            figure.plate tabindex="0" role="group" aria-label="The plan over time" {
                img src=(at(tag, &format!("/cutover/drawing{query}"))) alt={ (figure.description) " The table below says the same." };
                figcaption { (figure.description) }
            }
        }
        (tick_form(plan, tag, ask))
        section { h2 { "Tasks" } (tasks(plan)) }
        @if !plan.watch.is_empty() { section { h2 { "What may cost the night" } ul { @for w in &plan.watch { li { (w.tag) ": " (w.says) } } } } }
        (costs(plan))
        @if !plan.assumed.is_empty() { section { h2 { "Taken for what nobody has said" } ul { @for a in &plan.assumed { li { (a) } } } } }
        @if !plan.remarks.is_empty() { section { h2 { "Remarks" } ul { @for r in &plan.remarks { li { (r) } } } } }
        section { h2 { "Working" } details { summary { "The reckoning, step by step" } (steps(&plan.working)) } }
        section.cautions { h2 { "Cautions" } dl { @for c in &plan.cautions { dt { (c.hazard) } dd { (c.text) } } } p { (plan.deference) } }
    }
}

fn percent(share: f64) -> String {
    // A share that is not whole is never told as 100 %.
    if share < 1.0 && share > 0.999 { "over 99.9 %".to_owned() } else { format!("{} %", digits(share * 100.0, 3)) }
}

fn forecast(plan: &Cutover) -> Markup {
    let f = &plan.forecast;
    let until = if plan.ready { "the end" } else { "the last task before power" };
    html! {
        section {
            h2 { "Until when one can turn back" }
            p.lead {
                "Latest moment to turn back: "
                strong { @if f.turn_back.is_some() { (f.turn_back_clock) } @else { "none, the way back does not fit" } }
                ". From now the way back takes " (format!("{:.0}", f.way_back.ceil())) " min (in " (percent(plan.window.confidence)) " of cases)."
            }
            p { "Reckoned at " (f.now_clock) ": chance of " (until) " inside the window " (percent(f.chance)) ". Minutes from the start to " (until) ": "
                (format!("{:.0}", f.early)) " in a tenth of cases, " (format!("{:.0}", f.middle)) " in half, " (format!("{:.0}", f.late)) " in " (percent(plan.window.confidence)) "." }
            p.help { (f.runs) " cases drawn, seed " (f.seed) ", " (f.distribution) " distributions." }
        }
    }
}

fn tick_form(plan: &Cutover, tag: &str, ask: &Ask) -> Markup {
    let open: Vec<&Task> = plan.tasks.iter().filter(|t| t.tag == tag && t.done.is_none()).collect();
    let chosen = ask.field("task");
    html! {
        section {
            h2 { "Tick off" }
            @if open.is_empty() { p { "Every task of " (tag) " that is in the plan is ticked." } } @else {
                form.stack method="post" action=(at(tag, "/cutover")) {
                    label { "Task" select name="task" { @for t in &open { option value=(t.name) selected[t.name == chosen] { (t.number) " " (t.name) } } } }
                    label { "Done at" input type="time" name="at" required value=(ask.field("at")); }
                    label { "Name" input name="by" required maxlength="80" autocomplete="name" value=(if ask.field("by").is_empty() { &ask.who } else { ask.field("by") }); }
                    label { "Remark" input name="note" maxlength="400" value=(ask.field("note")) autocomplete="off"; }
                    button type="submit" { "Tick off" }
                }
            }
        }
    }
}

fn tasks(plan: &Cutover) -> Markup {
    let whole = |m: f64| format!("{m:.0}");
    let several = plan.tags.len() > 1;
    html! {
        table.cards {
            thead { tr { th { "Task" } th { "Who" } th.number { "Minutes" } th { "When, likely" } th { "State" } th { "The step back" } } }
            tbody { @for t in &plan.tasks { tr data-done[t.done.is_some()] {
                th scope="row" {
                    (t.number) " " @if several { (t.tag) " " } (t.name)
                    @if t.hold { " ◆ go or not" } @if t.energises { " ⚡ energises" }
                    span.sub { (t.what) }
                    @if !t.after.is_empty() { span.sub { "after " (t.after.iter().map(usize::to_string).collect::<Vec<_>>().join(", ")) } }
                }
                td data-name="Who" { (t.who.join(", ")) }
                td.number data-name="Minutes" { (whole(t.minutes.likely)) span.sub { (whole(t.minutes.least)) " … " (whole(t.minutes.most)) } }
                td data-name="When" { (t.clock) @if t.done.is_none() && t.float >= 1.0 { span.sub { (whole(t.float)) " min to spare" } } }
                td data-name="State" { @if t.done.is_some() { "✓ " } (t.state) @if !t.ticked.is_empty() { span.sub { (t.ticked) } } @if !t.cautions.is_empty() { span.sub { "cautions " (t.cautions) } } }
                td data-name="Back" { @if t.back.is_empty() { "—" } @else { (t.back) span.sub { (whole(t.back_minutes.likely)) " min" @if t.back_energises { ", ⚡ energises" } } } }
            } } }
        }
    }
}

fn costs(plan: &Cutover) -> Markup {
    let m = &plan.money;
    let range = |(low, likely, high): (f64, f64, f64)| format!("{} … {} … {} {}", money(low), money(likely), money(high), m.currency);
    html! {
        section {
            h2 { "Money" }
            table.bill { tbody {
                @for l in &m.labour { tr { th scope="row" { (l.trade) ": " (digits(l.hours.0, 3)) " … " (digits(l.hours.1, 3)) " … " (digits(l.hours.2, 3)) " hours of people" } td.number { @if let Some(p) = l.money { (money(p)) " " (m.currency) } @else { "no rate" } } } }
                @if let Some(labour) = m.labour_range { tr { th scope="row" { "Labour, least … likely … most" } td.number { (range(labour)) } } }
                @if let Some(installed) = m.installed { tr { th scope="row" { "Unit, parts and labour" @if m.unpriced > 0 { span.sub { (m.unpriced) " lines have no price and are not in it" } } } td.number { (range(installed)) } } }
                @if let Some(standing) = m.standing { tr { th scope="row" { "Production that stands: early, middle, late finish" } td.number { (range(standing)) } } }
                @if let Some(overrun) = m.overrun { tr { th scope="row" { "Mean cost of standing longer than the window" } td.number { (money(overrun)) " " (m.currency) } } }
            } }
            @if !m.left_out.is_empty() { p { "Not counted: " (m.left_out.join("; ")) "." } }
        }
    }
}

/// Ticks a task off: held against the order of the plan, then written into cutover/TAG.toml.
pub(crate) fn tick(desk: &Desk, ask: &Ask) -> Result<View, Trouble> {
    let _turn = desk.one_at_a_time();
    let now = desk.now()?;
    let tag = ask.part("tag");
    if now.folder.position(tag).is_none() {
        return Err(no_position(&now, tag));
    }
    match written(desk, &now, tag, ask) {
        Ok(by) => {
            let json = json!({ "ticked": ask.field("task"), "tag": tag, "at": ask.field("at"), "by": by });
            Ok(View::Go { to: at(tag, "/cutover"), json, cookies: vec![("who", by)] })
        }
        Err(trouble) if trouble.status == StatusCode::UNPROCESSABLE_ENTITY => {
            page(desk, &of(desk, ask)?, ask, Some(&trouble.text), trouble.status)
        }
        Err(trouble) => Err(trouble),
    }
}

fn written(desk: &Desk, now: &Now, tag: &str, ask: &Ask) -> Result<String, Trouble> {
    let by = who(ask.field("by")).map_err(Trouble::unusable)?;
    let (task, at) = (ask.field("task"), ask.field("at"));
    let minute = minute_of_day(at).ok_or_else(|| Trouble::unusable(format!("“{at}” is no time of day; write it as 23:05")))?;
    let granted = now.folder.site.shutdown.window.as_ref();
    let note = Some(ask.field("note")).filter(|n| !n.is_empty());
    let done = Done { task, minute, by: &by, note };
    job::cutover::check_tick(now.input(), tag, &now.folder.ticks, done).map_err(Trouble::unusable)?;
    let mut draft = Draft::of(&now.folder, &format!("cutover/{tag}.toml"));
    let text = packs::add_tick(&draft.source(), task, at, &by, note).map_err(|p| Trouble::unusable(p.to_string()))?;
    draft.step(&format!("{tag} ticked off {task}"), text);
    if let Some(problem) = draft.came(|s| read_ticks(s, granted).problems).first() {
        return Err(Trouble::unusable(problem.to_string()));
    }
    desk.write(&draft, &by)?;
    Ok(by)
}
