//! The shutdown of a site and the ticks of a cutover: values, and every mistake at once. Everything here is invented.

use packs::{add_tick, read_site, read_ticks};
use plant::cutover::Window;
use plant::quantity::Time;

use crate::common::source;

const SITE: &str = "schema = 1\nname = \"Mill\"\ncode = \"iec\"\nunits = \"metric\"\ncurrency = \"EUR\"\n";

fn window() -> Window {
    Window { date: "2026-04-18".into(), start: 22 * 60, length: Time::hours(8.0), ..Window::default() }
}

#[test]
fn a_window_with_crews_points_and_times_is_read() {
    let text = format!(
        "{SITE}[window]\ndate = 2026-04-18\nstart = \"22:30\"\nlength = \"8 h\"\ncost = 900\nconfidence = \"95 %\"\nowner = \"R. K.\"\npositions = [\"A-1\"]\n\
         [[crews]]\nname = \"nights\"\ntrade = \"electrician\"\npeople = 2\n[[isolations]]\nname = \"F7\"\npositions = [\"A-1\"]\n\
         [[times]]\ntask = \"isolate\"\nleast = \"5 min\"\nlikely = \"9 min\"\nmost = \"20 min\"\n"
    );
    let read = read_site(&source("site.toml", &text));
    assert!(read.problems.is_empty(), "{:?}", read.problems);
    let shutdown = read.value.expect("a site").shutdown;
    let window = shutdown.window.expect("a window");
    assert_eq!((window.start, window.length, window.cost), (22 * 60 + 30, Time::hours(8.0), Some(900.0)));
    assert_eq!((shutdown.crews[0].people, shutdown.isolations[0].name.as_str()), (2, "F7"));
    assert_eq!(shutdown.times[0].likely, Time::minutes(9.0));
}

#[test]
fn all_mistakes_of_a_shutdown_are_told_at_once() {
    let text = format!(
        "{SITE}[window]\ndate = 2026-04-18\nstart = \"25:00\"\nlength = \"48 h\"\n[[crews]]\nname = \"x\"\ntrade = \"plumber\"\n\
         [[times]]\ntask = \"isolate\"\nleast = \"5 min\"\nlikely = \"3 min\"\nmost = \"20 min\"\n"
    );
    let problems = read_site(&source("site.toml", &text)).problems;
    let said: String = problems.iter().map(|p| format!("{}: {}\n", p.line, p.message)).collect();
    for part in ["8: start: “25:00”", "9: length", "plumber", "times of isolate"] {
        assert!(said.contains(part), "{part}\n{said}");
    }
}

#[test]
fn ticks_go_past_midnight() {
    let text = "schema = 1\n[[ticks]]\ntask = \"capture\"\nat = \"23:40\"\nby = \"M. T.\"\n[[ticks]]\ntask = \"isolate\"\nat = \"00:10\"\nby = \"M. T.\"\nnote = \"lock 14\"\n";
    let read = read_ticks(&source("cutover/A-1.toml", text), Some(&window()));
    assert!(read.problems.is_empty(), "{:?}", read.problems);
    let ticks = read.value.expect("ticks");
    assert_eq!((ticks[0].at, ticks[1].at), (Time::minutes(100.0), Time::minutes(130.0)));
    assert_eq!(ticks[1].note.as_deref(), Some("lock 14"));
}

#[test]
fn ticks_that_go_back_lie_outside_or_stand_twice_are_all_told() {
    let row = |task: &str, at: &str| format!("[[ticks]]\ntask = \"{task}\"\nat = \"{at}\"\nby = \"M. T.\"\n");
    let text =
        format!("schema = 1\n{}{}{}{}{}", row("a", "23:40"), row("b", "23:10"), row("c", "12:00"), row("d", "7 pm"), row("a", "23:50"));
    let problems = read_ticks(&source("cutover/A-1.toml", &text), Some(&window())).problems;
    let said: String = problems.iter().map(|p| format!("{}: {}\n", p.line, p.message)).collect();
    for part in ["8: at: 23:10 lies before the tick above (23:40)", "12: at: 12:00", "16: at: “7 pm” is no time of day", "stands twice"]
    {
        assert!(said.contains(part), "{part}\n{said}");
    }
}

#[test]
fn a_tick_is_written_beside_comments_and_replaces_the_one_of_its_task() {
    let first = add_tick(&source("cutover/A-1.toml", "# night one\nschema = 1\n"), "capture", "22:30", "M. T.", None).expect("written");
    assert!(first.starts_with("# night one\n"), "{first}");
    let second = add_tick(&source("cutover/A-1.toml", &first), "capture", "22:35", "M. T.", Some("late")).expect("written");
    let read = read_ticks(&source("cutover/A-1.toml", &second), Some(&window()));
    let ticks = read.value.expect("ticks");
    assert_eq!((ticks.len(), ticks[0].at, ticks[0].note.as_deref()), (1, Time::minutes(35.0), Some("late")));
}
