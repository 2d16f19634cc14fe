//! Laws of the plan, and small plans worked out by hand.

use proptest::prelude::*;

use super::estimate::{Estimate, task_time};
use super::network::{Network, Node, normal_chance, pert_path};
use super::simulate::{Forecast, Progress, Question, Work, forecast, unit};
use crate::working::{Silent, Working};
use plant::quantity::{Ratio, Time};

fn minutes(least: f64, likely: f64, most: f64) -> Estimate {
    Estimate::new(Time::minutes(least), Time::minutes(likely), Time::minutes(most)).unwrap()
}

fn exactly(time: f64) -> Estimate {
    Estimate::exactly(Time::minutes(time))
}

fn node(after: &[usize], busy: &[usize]) -> Node {
    Node { after: after.to_vec(), busy: busy.to_vec() }
}

fn work(key: u64, forward: f64, back: f64) -> Work {
    Work { key, forward: exactly(forward), back: exactly(back) }
}

fn asked(window: f64) -> Question<'static> {
    Question { runs: 400, ..Question::before(Time::minutes(window), Ratio::percent(90.0)) }
}

/// A house built by fourteen tasks: Hillier & Lieberman, Introduction to Operations Research, the construction company of the chapter
/// on project management (from memory): longest way A B C E F J L N of 44 weeks, variance 9, chance of 47 weeks 0.84.
fn house() -> (Vec<Estimate>, Network) {
    let rows: [(f64, f64, f64, &[usize]); 14] = [
        (1.0, 2.0, 3.0, &[]),
        (2.0, 3.5, 8.0, &[0]),
        (6.0, 9.0, 18.0, &[1]),
        (4.0, 5.5, 10.0, &[2]),
        (1.0, 4.5, 5.0, &[2]),
        (4.0, 4.0, 10.0, &[4]),
        (5.0, 6.5, 11.0, &[3]),
        (5.0, 8.0, 17.0, &[4, 6]),
        (3.0, 7.5, 9.0, &[2]),
        (3.0, 9.0, 9.0, &[5, 8]),
        (4.0, 4.0, 4.0, &[9]),
        (1.0, 5.5, 7.0, &[9]),
        (1.0, 2.0, 3.0, &[7]),
        (5.0, 5.5, 9.0, &[10, 11]),
    ];
    let nodes: Vec<Node> = rows.iter().map(|r| node(r.3, &[])).collect();
    let weeks = |w: f64| Time::weeks(w);
    (rows.iter().map(|r| Estimate::new(weeks(r.0), weeks(r.1), weeks(r.2)).unwrap()).collect(), Network::new(&nodes).unwrap())
}

#[test]
fn a_textbook_house_takes_44_weeks_give_or_take_three() {
    let (tasks, network) = house();
    let path = pert_path(&network, &tasks, &mut Silent).unwrap();
    assert!((path.passes.finish - Time::weeks(44.0)).abs() < Time::s(1.0));
    assert_eq!(path.passes.critical, [0, 1, 2, 4, 5, 9, 11, 13]);
    assert!((path.deviation - Time::weeks(3.0)).abs() < Time::s(1.0));
    let chance = normal_chance(path.passes.finish, path.deviation, Time::weeks(47.0), &mut Silent);
    assert!((chance - 0.84).abs() < 0.005, "{chance}");
}

#[test]
fn the_normal_distribution_is_that_of_the_tables() {
    // Abramowitz & Stegun Table 26.1 (from memory): Φ(1) = 0.841344746, Φ(1.645) = 0.950015, Φ(−2) = 0.022750132.
    for (z, phi) in [(0.0, 0.5), (1.0, 0.841_344_746), (1.645, 0.950_015), (-2.0, 0.022_750_132)] {
        let got = normal_chance(Time::ZERO, Time::s(1.0), Time::s(z), &mut Silent);
        assert!((got - phi).abs() < 1e-6, "{z}: {got}");
    }
    assert!((normal_chance(Time::s(5.0), Time::ZERO, Time::s(5.0), &mut Silent) - 1.0).abs() < 1e-12);
}

#[test]
fn a_crew_does_one_thing_at_a_time_in_the_order_of_the_list() {
    // 30 and 20 min by one crew, 40 min by another, then 5 min after all: 30 + 20 = 50 > 40, so 55.
    let network = Network::new(&[node(&[], &[1]), node(&[], &[1]), node(&[], &[2]), node(&[0, 1, 2], &[])]).unwrap();
    let times = [30.0, 20.0, 40.0, 5.0].map(Time::minutes);
    let passes = network.passes(&times, &mut Silent).unwrap();
    assert_eq!(passes.finish, Time::minutes(55.0));
    assert_eq!(passes.critical, [0, 1, 3]);
    assert_eq!(passes.tasks[2].float, Time::minutes(10.0));
    assert_eq!(passes.tasks[1].start, Time::minutes(30.0));
}

#[test]
fn what_cannot_be_a_plan_is_refused() {
    assert!(Network::new(&[node(&[0], &[])]).is_err());
    assert!(Network::new(&[node(&[1], &[]), node(&[], &[])]).is_err());
    assert!(Estimate::new(Time::minutes(3.0), Time::minutes(2.0), Time::minutes(4.0)).is_err());
    assert!(Estimate::new(Time::minutes(f64::NAN), Time::minutes(2.0), Time::minutes(4.0)).is_err());
    let network = Network::new(&[node(&[], &[])]).unwrap();
    assert!(network.passes(&[Time::minutes(-1.0)], &mut Silent).is_err() && network.passes(&[], &mut Silent).is_err());
    let one = [work(1, 10.0, 10.0)];
    for question in [
        Question { window: Time::ZERO, ..asked(60.0) },
        Question { confidence: Ratio::percent(100.0), ..asked(60.0) },
        Question { runs: 0, ..asked(60.0) },
        Question { progress: &[Progress::Done(Time::minutes(5.0))], ..asked(60.0) },
        Question { progress: &[Progress::Ahead, Progress::Ahead], ..asked(60.0) },
    ] {
        assert!(forecast(&network, &one, question, &mut Silent).is_err(), "{question:?}");
    }
}

#[test]
fn the_latest_turn_is_before_the_step_that_cannot_be_undone_in_time() {
    // Window 100 min. Tasks of 20, 20, 20 min, to undo in 10, 30, 40 min. Turning after the first began: 0 + 10. After the second
    // began (20 min): 20 + 40 = 60. After the third began (40 min): 40 + 80 = 120, too late. So the turn is at 40 min at the latest.
    let network = Network::new(&[node(&[], &[]), node(&[0], &[]), node(&[1], &[])]).unwrap();
    let tasks = [work(1, 20.0, 10.0), work(2, 20.0, 30.0), work(3, 20.0, 40.0)];
    let told = forecast(&network, &tasks, asked(100.0), &mut Silent).unwrap();
    assert_eq!(told.turn_back, Time::minutes(40.0));
    assert_eq!(told.chance, Ratio::percent(100.0));
    // In 70 min the second may still be begun, and there are 70 − 40 = 30 min until then.
    assert_eq!(forecast(&network, &tasks, asked(70.0), &mut Silent).unwrap().turn_back, Time::minutes(30.0));
    // Ten minutes are not enough to undo the first one once time has passed, nine not even at once.
    assert!(forecast(&network, &tasks, asked(9.0), &mut Silent).unwrap().turn_back < Time::ZERO);
}

#[test]
fn the_way_back_uses_the_same_people() {
    // Two tasks side by side by two crews go back side by side; by one crew, one behind the other.
    let tasks = [work(1, 10.0, 20.0), work(2, 10.0, 30.0)];
    let two = Network::new(&[node(&[], &[1]), node(&[], &[2])]).unwrap();
    let one = Network::new(&[node(&[], &[1]), node(&[], &[1])]).unwrap();
    let question = |progress: &'static [Progress]| Question { now: Time::minutes(20.0), progress, ..asked(200.0) };
    const DONE: &[Progress] = &[Progress::Done(Time::minutes(10.0)), Progress::Done(Time::minutes(20.0))];
    assert_eq!(forecast(&two, &tasks, question(DONE), &mut Silent).unwrap().way_back, Time::minutes(30.0));
    assert_eq!(forecast(&one, &tasks, question(DONE), &mut Silent).unwrap().way_back, Time::minutes(50.0));
}

#[test]
fn ticks_move_the_plan() {
    let network = Network::new(&[node(&[], &[]), node(&[0], &[]), node(&[1], &[])]).unwrap();
    let tasks = [work(1, 20.0, 10.0), work(2, 20.0, 30.0), work(3, 20.0, 40.0)];
    // The first took 50 min instead of 20: the second is under way at 55, and both ends come 30 min later.
    let progress = [Progress::Done(Time::minutes(50.0)), Progress::Ahead, Progress::Ahead];
    let told = forecast(&network, &tasks, Question { now: Time::minutes(55.0), progress: &progress, ..asked(100.0) }, &mut Silent).unwrap();
    assert_eq!(told.middle, Time::minutes(90.0));
    assert_eq!(told.under_way, [1]);
    assert_eq!(told.way_back, Time::minutes(40.0));
    // Of the 100 minutes, 40 are needed back from where the second is under way: turn by 60.
    assert_eq!(told.turn_back, Time::minutes(60.0));
    // At 80 the second is past its longest time: it is counted whole again, and there is no way back left.
    let late = forecast(&network, &tasks, Question { now: Time::minutes(80.0), progress: &progress, ..asked(100.0) }, &mut Silent).unwrap();
    assert_eq!((late.overdue.as_slice(), late.middle), ([1].as_slice(), Time::minutes(120.0)));
    assert!(!late.can_turn_back(Time::minutes(80.0)) && late.back_fits == Ratio::ZERO);
}

#[test]
fn draws_are_spread_evenly() {
    let draws: Vec<f64> = (0..20_000).map(|run| unit(7, run, 3, 0)).collect();
    let mean = draws.iter().sum::<f64>() / 20_000.0;
    let square = draws.iter().map(|u| (u - 0.5).powi(2)).sum::<f64>() / 20_000.0;
    // Four standard errors of the mean (√(1/12)/√n) and of the variance of a uniform number.
    assert!((mean - 0.5).abs() < 4.0 * 0.002_04 && (square - 1.0 / 12.0).abs() < 4.0 * 0.000_53, "{mean} {square}");
    let other: Vec<f64> = (0..20_000).map(|run| unit(7, run, 4, 0)).collect();
    let together = draws.iter().zip(&other).map(|(a, b)| (a - 0.5) * (b - 0.5)).sum::<f64>() / 20_000.0 * 12.0;
    assert!(together.abs() < 4.0 / 20_000.0_f64.sqrt(), "{together}");
}

#[test]
fn the_triangle_has_its_mean_and_median() {
    let task = minutes(10.0, 20.0, 60.0);
    let time = task_time(task, &mut Working::default());
    assert!((time.mean.in_minutes() - 30.0).abs() < 1e-9);
    assert!((task.share_below(Time::minutes(20.0)) - 0.2).abs() < 1e-12);
}

prop_compose! {
    fn any_estimate()(a in 0.0f64..60.0, b in 0.0f64..60.0, c in 0.0f64..120.0) -> Estimate { minutes(a, a + b, a + b + c) }
}

prop_compose! {
    fn any_task()(forward in any_estimate(), back in any_estimate(), links in prop::collection::vec(any::<prop::sample::Index>(), 0..3), who in 0usize..4) -> (Estimate, Estimate, Vec<prop::sample::Index>, usize) {
        (forward, back, links, who)
    }
}

type AnyTask = (Estimate, Estimate, Vec<prop::sample::Index>, usize);

fn built(tasks: &[AnyTask]) -> (Vec<Node>, Vec<Work>) {
    let nodes = tasks
        .iter()
        .enumerate()
        .map(|(i, t)| node(&if i == 0 { vec![] } else { t.2.iter().map(|x| x.index(i)).collect::<Vec<_>>() }, &[t.3]))
        .collect();
    let works = tasks.iter().enumerate().map(|(i, t)| Work { key: i as u64, forward: t.0, back: t.1 }).collect();
    (nodes, works)
}

fn told(nodes: &[Node], works: &[Work], window: f64) -> Forecast {
    forecast(&Network::new(nodes).unwrap(), works, Question { runs: 200, ..asked(window) }, &mut Silent).unwrap()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(96))]

    #[test]
    fn the_quantile_is_the_inverse_of_the_share(task in any_estimate(), u in 0.0f64..1.0) {
        prop_assume!(task.most() > task.least());
        prop_assert!((task.share_below(task.at(u)) - u).abs() < 1e-6);
    }

    #[test]
    fn more_of_anything_never_shortens_a_task(task in any_estimate(), u in 0.0f64..1.0, more in 0.0f64..30.0) {
        let at = |a: f64, m: f64, b: f64| Estimate::new(task.least() + Time::minutes(a), task.likely() + Time::minutes(m), task.most() + Time::minutes(b)).unwrap().at(u);
        let (own, room) = (task.at(u), Time::us(1.0));
        prop_assert!(at(0.0, 0.0, more) >= own - room && at(0.0, more, more) >= own - room && at(more, more, more) >= own - room);
    }

    #[test]
    fn a_task_more_never_ends_the_whole_earlier(tasks in prop::collection::vec(any_task(), 1..12), extra in any_task(), at in any::<prop::sample::Index>(), window in 30.0f64..600.0) {
        let (nodes, works) = built(&tasks);
        let before = told(&nodes, &works, window);
        // Put in anywhere: later tasks keep what they wait for, and who does one thing at a time does one more.
        let at = at.index(nodes.len() + 1);
        let (mut more_nodes, mut more_works) = (nodes.clone(), works.clone());
        for later in &mut more_nodes {
            later.after.iter_mut().filter(|a| **a >= at).for_each(|a| *a += 1);
        }
        let after = if at == 0 { vec![] } else { extra.2.iter().map(|x| x.index(at)).collect() };
        more_nodes.insert(at, Node { after, busy: vec![extra.3] });
        more_works.insert(at, Work { key: 1_000, forward: extra.0, back: extra.1 });
        let after = told(&more_nodes, &more_works, window);
        let room = Time::ms(1.0);
        for (a, b) in [(before.early, after.early), (before.middle, after.middle), (before.late, after.late), (before.mean, after.mean)] {
            prop_assert!(b >= a - room, "{a} {b}");
        }
        prop_assert!(after.chance <= before.chance);
    }

    #[test]
    fn a_minute_more_never_ends_the_whole_earlier(tasks in prop::collection::vec(any_task(), 1..12), which in any::<prop::sample::Index>(), more in 0.0f64..60.0, window in 30.0f64..600.0) {
        let (nodes, works) = built(&tasks);
        let before = told(&nodes, &works, window);
        let mut slower = works.clone();
        let task = &mut slower[which.index(works.len())];
        task.forward = task.forward.and(exactly(more));
        let after = told(&nodes, &slower, window);
        prop_assert!(after.late >= before.late - Time::ms(1.0) && after.chance <= before.chance);
    }

    #[test]
    fn a_longer_way_back_never_lets_one_turn_later(tasks in prop::collection::vec(any_task(), 1..12), which in any::<prop::sample::Index>(), more in 0.0f64..60.0, window in 30.0f64..600.0) {
        let (nodes, works) = built(&tasks);
        let before = told(&nodes, &works, window);
        let mut longer = works.clone();
        let task = &mut longer[which.index(works.len())];
        task.back = task.back.and(exactly(more));
        let after = told(&nodes, &longer, window);
        prop_assert!(after.turn_back <= before.turn_back + Time::ms(1.0), "{} {}", before.turn_back, after.turn_back);
        prop_assert!(after.chance == before.chance);
    }

    #[test]
    fn more_confidence_never_lets_one_turn_later(tasks in prop::collection::vec(any_task(), 1..12), window in 30.0f64..600.0) {
        let (nodes, works) = built(&tasks);
        let network = Network::new(&nodes).unwrap();
        let at = |percent: f64| forecast(&network, &works, Question { confidence: Ratio::percent(percent), ..asked(window) }, &mut Silent).unwrap();
        let (some, much) = (at(60.0), at(95.0));
        prop_assert!(much.turn_back <= some.turn_back && much.late >= some.late);
    }

    #[test]
    fn turning_right_before_the_latest_moment_fits_in_the_wanted_share(tasks in prop::collection::vec(any_task(), 1..12), window in 60.0f64..900.0) {
        // Checked by the definition, run by run, without the halving: with one run's times fixed, undo everything begun.
        let (nodes, works) = built(&tasks);
        let fixed: Vec<Work> = works.iter().map(|w| Work { forward: Estimate::exactly(w.forward.likely()), back: Estimate::exactly(w.back.likely()), ..*w }).collect();
        let network = Network::new(&nodes).unwrap();
        let told = forecast(&network, &fixed, asked(window), &mut Silent).unwrap();
        let starts: Vec<f64> = network.passes(&fixed.iter().map(|w| w.forward.likely()).collect::<Vec<_>>(), &mut Silent).unwrap().tasks.iter().map(|t| t.start.in_minutes()).collect();
        let fits = |t: f64| {
            // The longest chain of steps back among what was begun, found by walking every chain forward.
            let mut longest = vec![0.0f64; starts.len()];
            for i in 0..starts.len() {
                let before = network.before(i).iter().map(|b| longest[*b]).fold(0.0, f64::max);
                longest[i] = if starts[i] <= t { before + fixed[i].back.likely().in_minutes() } else { before };
            }
            t + longest.iter().copied().fold(0.0, f64::max) <= window + 1e-9
        };
        let turn = told.turn_back.in_minutes();
        if turn > 0.001 {
            prop_assert!(fits(turn - 0.001), "{turn}");
        }
        if turn >= 0.0 {
            prop_assert!(!fits(turn + 0.001), "{turn}");
        }
    }
}
