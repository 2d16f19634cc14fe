//! Worked cases and laws of the translation. Series, ids and values are invented.

use std::collections::BTreeMap;

use plant::choice::Duty;
use plant::fact::Place;
use plant::quantity::{DIMENSIONS, unit_named};
use plant::settings::{
    Access, Definition, Extent, Found, FoundList, Law, Listed, Meaning, Outcome, Raw, SETTABLE, Scale, Setting, Values, settable,
};
use proptest::prelude::*;

use super::super::number::read;
use super::*;

fn number_of(
    id: &str,
    concept: &str,
    definition: Definition,
    unit: &str,
    step: f64,
    range: Option<(f64, f64)>,
    default: Option<f64>,
) -> Setting {
    let concept = settable(concept).expect("a concept");
    let own = definition.dimension(concept.dimension().expect("a number"));
    let unit = unit_named(own, unit).unwrap_or_else(|| panic!("{id}: {unit}"));
    Setting {
        id: id.into(),
        text: concept.id.into(),
        meaning: Some(Meaning { concept, number: 1, values: Values::Number(Scale { definition, unit, step, range, counts: 1.0 / step }) }),
        default: default.map(Raw::Number),
        access: Access::Stopped,
        object: None,
        data_type: None,
        note: String::new(),
        place: Place::default(),
    }
}

fn list_of(id: &str, concept: &str, words: &[(&str, &'static str)], default: &str) -> Setting {
    let concept = settable(concept).expect("a concept");
    let listed = words.iter().map(|(value, word)| Listed {
        value: (*value).into(),
        text: format!("text {value}"),
        word: (!word.is_empty()).then_some(*word),
    });
    Setting {
        meaning: Some(Meaning { concept, number: 1, values: Values::Choice(listed.collect()) }),
        default: Some(Raw::Text(default.into())),
        ..number_of(id, "motor-voltage", Definition::Plain, "V", 1.0, None, None)
    }
}

fn found(rows: &[(&str, &str)], extent: Extent) -> FoundList {
    let rows = rows.iter().map(|(id, text)| {
        let (number, unit) = text.split_once(' ').unwrap_or((text, ""));
        Found {
            id: (*id).into(),
            text: (*text).into(),
            number: number.parse().ok(),
            unit: unit.into(),
            unread: String::new(),
            place: Place::default(),
        }
    });
    FoundList { extent: Some(extent), rows: rows.collect(), place: Place::default() }
}

fn max(id: &str, hertz: f64) -> Setting {
    number_of(id, "maximum-output-frequency", Definition::Plain, "Hz", 0.1, Some((10.0, 400.0)), Some(hertz))
}

fn base(id: &str, hertz: f64) -> Setting {
    number_of(id, "motor-frequency", Definition::Plain, "Hz", 0.1, Some((10.0, 400.0)), Some(hertz))
}

fn ramp(id: &str, definition: Definition) -> Setting {
    let unit = if definition == Definition::Plain { "Hz/s" } else { "s" };
    number_of(id, "acceleration-ramp", definition, unit, 0.1, Some((0.0, 600.0)), Some(10.0))
}

const MACHINE: Machine = Machine {
    frequency: Some(60.0),
    voltage: Some(460.0),
    current: Some(48.5),
    power: Some(29_828.0),
    speed: Some(185.88),
    power_factor: Some(0.82),
    supply: Some(480.0),
};

fn made(rows: &[(&str, &str)], extent: Extent, old: &[Setting], new: &[Setting]) -> Vec<Line> {
    translate(&found(rows, extent), old, Some(52.0), new, Some(60.0), MACHINE, None).lines
}

fn line<'l>(lines: &'l [Line], old: &str) -> &'l Line {
    lines.iter().find(|l| l.old.as_ref().is_some_and(|o| o.id == old)).unwrap_or_else(|| panic!("{old}: {lines:#?}"))
}

fn new_text(line: &Line) -> &str {
    line.new.as_ref().map_or("", |n| n.text.as_str())
}

#[test]
fn seconds_to_the_maximum_become_seconds_to_the_base() {
    // Worked case of the trade, common practice, no source: 15 s from 0 to 90 Hz is 6 Hz/s; to 60 Hz that takes 10 s.
    let (old, new) = ([max("m", 90.0), ramp("a", Definition::ToMaximum)], [ramp("A", Definition::ToBase), base("B", 60.0), max("M", 60.0)]);
    let lines = made(&[("m", "90 Hz"), ("a", "15 s")], Extent::Full, &old, &new);
    let ramp_line = line(&lines, "a");
    assert_eq!((new_text(ramp_line), ramp_line.outcome), ("10.0 s", Outcome::Converted));
    assert!(matches!(ramp_line.value, Some(Value::Number(slope, _)) if (slope - 6.0).abs() < 1e-12));
    assert_eq!(line(&lines, "m").outcome, Outcome::Carried);
    // The other way: 10 s to 60 Hz are 15 s to 90 Hz; copied, the stop would be 1.5 times steeper.
    let (old, new) = ([base("b", 60.0), ramp("a", Definition::ToBase)], [max("M", 90.0), ramp("A", Definition::ToMaximum)]);
    let lines = made(&[("b", "60 Hz"), ("a", "10 s")], Extent::Full, &old, &new);
    assert_eq!(new_text(line(&lines, "a")), "15.0 s");
}

#[test]
fn a_rate_of_the_standard_is_speed_per_time() {
    // CiA 402, object 6048h (from memory): acceleration = delta speed / delta time.
    let new = [ramp("A", Definition::Plain)];
    let lines = made(&[("m", "90 Hz"), ("a", "15 s")], Extent::Full, &[max("m", 50.0), ramp("a", Definition::ToMaximum)], &new);
    assert_eq!(new_text(line(&lines, "a")), "6.0 Hz/s");
}

#[test]
fn what_a_ramp_hangs_on_must_be_in_a_full_list_and_may_be_the_default_of_a_changed_one() {
    let (old, new) = ([max("m", 80.0), ramp("a", Definition::ToMaximum)], [base("B", 60.0), ramp("A", Definition::ToBase), max("M", 60.0)]);
    let full = made(&[("a", "15 s")], Extent::Full, &old, &new);
    assert_eq!(line(&full, "a").outcome, Outcome::NeedsDecision);
    assert!(line(&full, "a").reason.contains("value of m"), "{}", line(&full, "a").reason);
    assert!(line(&full, "m").reason.contains("lacks it"));
    let changed = made(&[("a", "16 s")], Extent::ChangedOnly, &old, &new);
    assert_eq!(new_text(line(&changed, "a")), "12.0 s");
    let m = line(&changed, "m");
    assert!(m.from_default && m.reason.starts_with("the defaults mean different things") && new_text(m) == "80.0 Hz", "{m:?}");
}

#[test]
fn rounding_inside_the_ramp_keeps_the_whole_time() {
    // 10 s with 2 s at each end inside: the middle climbs in 8 s; with 2 s added on top, 8 s are set and the whole is 10 s again (derived).
    let s = |id: &str, definition| {
        number_of(
            id,
            "s-curve",
            definition,
            if matches!(definition, Definition::InsideRamp | Definition::AddedToRamp) { "s" } else { "%" },
            0.1,
            None,
            Some(0.0),
        )
    };
    let old = [max("m", 60.0), ramp("a", Definition::ToMaximum), s("s", Definition::InsideRamp)];
    let new = [ramp("A", Definition::ToMaximum), s("S", Definition::AddedToRamp), max("M", 60.0)];
    let rows = [("m", "60 Hz"), ("a", "10 s"), ("s", "2 s")];
    let lines = made(&rows, Extent::Full, &old, &new);
    assert_eq!((new_text(line(&lines, "a")), new_text(line(&lines, "s"))), ("8.0 s", "2.0 s"));
    let shares = [s("S", Definition::ShareInside), ramp("A", Definition::ToMaximum), max("M", 60.0)];
    let lines = made(&rows, Extent::Full, &old, &shares);
    assert_eq!((new_text(line(&lines, "a")), new_text(line(&lines, "s"))), ("10.0 s", "20.0 %"));
    let back = made(&[("M", "60 Hz"), ("A", "10 s"), ("S", "20 %")], Extent::Full, &shares, &old);
    assert_eq!((new_text(line(&back, "A")), new_text(line(&back, "S"))), ("10.0 s", "2.0 s"));
}

#[test]
fn traps_of_the_trade_come_out_by_hand() {
    use Definition as D;
    // Concept, old definition and value, new definition, what it must be; worked out by hand from the definitions (derived).
    let cases: &[(&str, D, &str, &str, D, &str, &str)] = &[
        ("skip-band", D::HalfWidth, "Hz", "2 Hz", D::FullWidth, "Hz", "4.000 Hz"),
        ("pole-count", D::PolePairs, "", "2", D::Poles, "", "4.000"),
        ("pid-integral", D::Repeats, "1/min", "6 1/min", D::IntegralTime, "s", "10.000 s"),
        ("pid-gain", D::ProportionalBand, "%", "50 %", D::Gain, "", "2.000"),
        ("stator-resistance", D::LineToLine, "Ω", "0.8 ohm", D::PerPhase, "Ω", "0.400 Ω"),
        ("gear-ratio", D::MotorPerLoad, "", "4", D::LoadPerMotor, "", "0.250"),
        ("encoder-resolution", D::Edges, "", "4096", D::Lines, "", "1024.000"),
        ("carrier-frequency", D::Ripple, "kHz", "8 kHz", D::Switching, "kHz", "4.000 kHz"),
        // 150 % of the old unit's 52 A is 78 A: 160.825 % of the motor's 48.5 A, 130 % of the new unit's 60 A.
        ("current-limit", D::OfUnitCurrent, "%", "150 %", D::OfMotorCurrent, "%", "160.825 %"),
        ("current-limit", D::OfUnitCurrent, "%", "150 %", D::OfUnitCurrent, "%", "130.000 %"),
        // Torque of a unit goes with its current: 160.825 % of the motor's torque.
        ("torque-limit-motoring", D::OfUnitTorque, "%", "150 %", D::OfMotorTorque, "%", "160.825 %"),
        // 4 % of 460 V.
        ("voltage-boost", D::OfBaseVoltage, "%", "4 %", D::Plain, "V", "18.400 V"),
        // 1775 rpm with 4 poles: synchronous 1800 rpm, rated slip 25/1800 × 60 Hz = 0.833 Hz.
        ("slip-compensation", D::OfRatedSlip, "%", "100 %", D::Plain, "Hz", "0.833 Hz"),
        ("maximum-speed", D::ShaftSpeed, "rpm", "1800 rpm", D::Plain, "Hz", "60.000 Hz"),
        // 115 % of the peak of 480 V.
        ("brake-chopper-level", D::OfNominalBus, "%", "115 %", D::Plain, "V", "780.646 V"),
        ("back-emf", D::PhaseRms, "V", "100 V", D::LineRms, "V", "173.205 V"),
    ];
    for (concept, was, unit, text, will, new_unit, want) in cases {
        let old = [number_of("o", concept, *was, unit, 0.001, None, None)];
        let new = [number_of("n", concept, *will, new_unit, 0.001, None, None)];
        let lines = made(&[("o", text)], Extent::Full, &old, &new);
        assert_eq!(new_text(line(&lines, "o")), *want, "{concept}: {:?}", line(&lines, "o"));
    }
}

#[test]
fn words_go_by_meaning_and_what_the_new_unit_cannot_do_is_asked() {
    let old = [list_of("s", "stop-mode", &[("0", "coast"), ("1", "ramp"), ("2", "dc-brake"), ("3", "")], "0")];
    let new = [list_of("S", "stop-mode", &[("0", "ramp"), ("1", "coast")], "0")];
    let outcome =
        |text: &str| made(&[("s", text)], Extent::Full, &old, &new).first().map(|l| (l.outcome, new_text(l).to_owned())).expect("a line");
    assert_eq!(outcome("1"), (Outcome::Converted, "0: text 0".to_owned()));
    assert_eq!(outcome("text 0"), (Outcome::Converted, "1: text 1".to_owned()));
    assert_eq!(outcome("2").0, Outcome::NeedsDecision);
    assert_eq!(outcome("3").0, Outcome::NeedsDecision);
    assert_eq!(outcome("9").0, Outcome::NeedsDecision);
}

#[test]
fn rounding_and_range_are_told() {
    let coarse = [number_of("N", "jog-speed", Definition::Plain, "Hz", 0.5, Some((0.0, 10.0)), None)];
    let old = [number_of("n", "jog-speed", Definition::Plain, "Hz", 0.01, None, None)];
    let lines = made(&[("n", "5.2 Hz")], Extent::Full, &old, &coarse);
    let rounded = line(&lines, "n");
    assert_eq!((rounded.outcome, new_text(rounded)), (Outcome::Rounded, "5.0 Hz"));
    assert!(rounded.loss.is_some_and(|l| (l + 0.2).abs() < 1e-9));
    let lines = made(&[("n", "12 Hz")], Extent::Full, &old, &coarse);
    assert_eq!((line(&lines, "n").outcome, line(&lines, "n").raw.clone()), (Outcome::OutOfRange, None));
    assert!(line(&lines, "n").reason.contains("at most 10.0 Hz"));
}

#[test]
fn rounding_as_a_share_is_one_of_the_ramp_that_the_new_unit_needs() {
    let softness = |id: &str, definition| number_of(id, "s-curve", definition, "%", 1.0, Some((0.0, 50.0)), Some(0.0));
    let old = [max("m", 66.0), ramp("a", Definition::ToMaximum), softness("s", Definition::ShareInside)];
    let typed = |new: &[Setting], percent: &str| {
        let sheet = translate(&found(&[("m", "66 Hz"), ("a", "90 s"), ("s", percent)], Extent::Full), &old, None, new, None, MACHINE, None);
        super::super::copy::typed_over(&sheet.old, 2, new, 1, None).expect("everything is known").expect("a number")
    };
    // 10 % of 90 s are 9 s; the straight 81 s are all that stands in the new ramp where rounding comes on top: 11.1 %, by steps 11 %.
    let added = [ramp("A", Definition::ToMaximum), softness("S", Definition::ShareAdded)];
    let seen = typed(&added, "10 %");
    let near = |a: Option<f64>, b: f64| a.is_some_and(|a| (a - b).abs() < 1e-9);
    assert!((seen.was - 9.0).abs() < 1e-9 && near(seen.copied, 9.0), "{seen:?}");
    assert!(near(seen.wanted, 100.0 / 9.0) && near(seen.carried, 8.91), "{seen:?}");
    // Inside again, it is the same share of the same ramp.
    let seen = typed(&[ramp("A", Definition::ToMaximum), softness("S", Definition::ShareInside)], "10 %");
    assert!(near(seen.wanted, 10.0) && near(seen.carried, 9.0), "{seen:?}");
    let none = typed(&added, "0 %");
    assert_eq!((none.wanted, none.carried), (Some(0.0), Some(0.0)));
}

#[test]
fn flux_of_a_wrong_base_is_a_conflict() {
    // Worked case of the trade, common practice, no source: a 400 V, 50 Hz motor on a unit set to 400 V, 60 Hz has 83 % flux.
    let volts = number_of("V", "motor-voltage", Definition::Plain, "V", 1.0, None, Some(400.0));
    let settings = [volts, base("B", 60.0)];
    let machine = Machine { frequency: Some(50.0), voltage: Some(400.0), ..MACHINE };
    let side = Side::at_defaults(&settings, Some(60.0), machine);
    let found = super::super::conflict::conflicts(&side, None);
    assert!(found.iter().any(|c| c.what.contains("83.3 %") && c.settings == ["V", "B"]), "{found:?}");
    let right = Side::at_defaults(&settings, Some(60.0), Machine { frequency: Some(60.0), voltage: Some(400.0), ..MACHINE });
    assert_eq!(super::super::conflict::conflicts(&right, None), []);
}

#[test]
fn the_duty_of_the_rating_is_set_whatever_the_old_unit_stood_at() {
    let old = [list_of("d", "duty-class", &[("0", "light"), ("1", "heavy")], "0")];
    let new = [list_of("D", "duty-class", &[("A", "light"), ("B", "heavy")], "A")];
    let sheet = translate(&found(&[("d", "0")], Extent::Full), &old, None, &new, None, MACHINE, Some(Duty::Heavy));
    let line = line(&sheet.lines, "d");
    assert_eq!((new_text(line), line.outcome), ("B: text B", Outcome::Converted));
    assert!(line.reason.contains("stood otherwise") && sheet.conflicts.is_empty());
    assert_eq!(sheet.load.first().map(|s| s.id.as_str()), Some("D"));
}

#[test]
fn the_load_sequence_puts_bases_before_what_hangs_on_them() {
    let (old, new) = ([max("m", 60.0), ramp("a", Definition::ToMaximum)], [ramp("A", Definition::ToMaximum), max("M", 60.0)]);
    let sheet = translate(&found(&[("m", "90 Hz"), ("a", "15 s")], Extent::Full), &old, None, &new, None, MACHINE, None);
    assert_eq!(sheet.load.iter().map(|s| s.id.as_str()).collect::<Vec<_>>(), ["M", "A"]);
}

/// Every pair of definitions of every number.
fn pairs() -> Vec<(&'static str, Definition, Definition)> {
    let able = |d: &Definition| d.law() != Law::None && !matches!(d.law(), Law::Times(Base::RampTime) | Law::Over(Base::Gain));
    let all = SETTABLE.iter().flat_map(|s| {
        s.definitions()
            .iter()
            .filter(move |d| able(d))
            .flat_map(move |a| s.definitions().iter().filter(move |d| able(d)).map(move |b| (s.id, *a, *b)))
    });
    // Bases themselves would be two settings of one concept.
    all.filter(|(id, ..)| {
        !["maximum-output-frequency", "motor-frequency", "motor-voltage", "motor-current", "reference-frequency"].contains(id)
    })
    .collect()
}

fn side(prefix: &str, concept: &str, definition: Definition, step: f64, bases: [f64; 5]) -> (Vec<Setting>, Vec<(String, f64)>) {
    let of = definition.dimension(settable(concept).and_then(plant::settings::Settable::dimension).expect("a number"));
    let unit = of.units[0].symbol;
    let id = |i: usize| format!("{prefix}{i}");
    let plain = |i: usize, concept: &str, unit: &str| number_of(&id(i), concept, Definition::Plain, unit, 1e-6, None, None);
    let settings = vec![
        number_of(&id(0), concept, definition, unit, step, None, None),
        plain(1, "maximum-output-frequency", "Hz"),
        plain(2, "motor-frequency", "Hz"),
        plain(3, "motor-voltage", "V"),
        plain(4, "motor-current", "A"),
        plain(5, "reference-frequency", "Hz"),
    ];
    let values = bases.iter().enumerate().map(|(i, v)| (id(i + 1), *v)).collect();
    (settings, values)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(512))]

    #[test]
    fn there_and_back_is_the_same_number(
        pair in 0..pairs().len(), counts in 1_i32..20_000,
        hertz in 20.0..120.0_f64, base in 40.0..70.0_f64, volts in 200.0..600.0_f64, amps in 10.0..80.0_f64, reference in 20.0..100.0_f64,
    ) {
        let (concept, was, will) = pairs()[pair];
        let step = 0.01;
        let value = f64::from(counts) * step;
        let bases = [hertz, base, volts, amps, reference];
        let (old, mut rows) = side("o", concept, was, step, bases);
        // A fine step, so that what is seen is the law and not the grid of the other unit.
        let (new, _) = side("n", concept, will, 1e-9, bases);
        rows.insert(0, ("o0".into(), value));
        let list = |rows: &[(String, f64)]| FoundList {
            extent: Some(Extent::Full),
            rows: rows.iter().map(|(id, v)| Found { id: id.clone(), text: v.to_string(), number: Some(*v), unit: String::new(), unread: String::new(), place: Place::default() }).collect(),
            place: Place::default(),
        };
        let there = translate(&list(&rows), &old, Some(52.0), &new, Some(60.0), MACHINE, None);
        let taken: Vec<(String, f64)> = there.lines.iter().filter_map(|l| match (&l.new, &l.raw) {
            (Some(shown), Some(Raw::Number(v))) => Some((shown.id.clone(), *v)),
            _ => None,
        }).collect();
        prop_assert_eq!(taken.len(), new.len(), "{}: {:?}", concept, there.lines);
        let back = translate(&list(&taken), &new, Some(60.0), &old, Some(52.0), MACHINE, None);
        let again = back.lines.iter().find(|l| l.new.as_ref().is_some_and(|n| n.id == "o0")).and_then(|l| l.raw.clone());
        let Some(Raw::Number(again)) = again else { return Err(TestCaseError::fail(format!("{concept}: {:?}", back.lines))) };
        // One count of the old unit, and what one millionth of the bases can do.
        prop_assert!((again - value).abs() <= step * 1.000_001 + value * 1e-5, "{}: {} → {} ({:?}, {:?})", concept, value, again, was, will);
    }

    #[test]
    fn nothing_is_lost(rows in proptest::collection::vec(("[a-f]", "[0-9]{1,4}|\\?|x"), 0..12), full in any::<bool>()) {
        let old = [max("a", 60.0), ramp("b", Definition::ToMaximum), base("c", 60.0), list_of("d", "stop-mode", &[("0", "coast"), ("1", "ramp")], "0")];
        let new = [max("A", 60.0), list_of("D", "stop-mode", &[("0", "ramp")], "0"), ramp("B", Definition::ToBase), base("C", 50.0), number_of("E", "jog-speed", Definition::Plain, "Hz", 0.1, None, Some(5.0))];
        let extent = if full { Extent::Full } else { Extent::ChangedOnly };
        let pairs: Vec<(&str, &str)> = rows.iter().map(|(id, text)| (id.as_str(), text.as_str())).collect();
        let lines = made(&pairs, extent, &old, &new);
        for (at, (id, text)) in pairs.iter().enumerate() {
            let own = lines[at].old.as_ref().expect("rows stand first");
            prop_assert_eq!((own.id.as_str(), own.text.as_str()), (*id, *text));
        }
        let mut behind: BTreeMap<&str, usize> = BTreeMap::new();
        for line in &lines[pairs.len()..] {
            *behind.entry(line.old.as_ref().map_or("new", |o| o.id.as_str())).or_default() += 1;
        }
        for setting in &old {
            let listed = pairs.iter().any(|(id, _)| *id == setting.id);
            prop_assert_eq!(behind.get(setting.id.as_str()).copied().unwrap_or(0), usize::from(!listed), "{}", setting.id);
        }
        for setting in &new {
            prop_assert!(lines.iter().any(|l| l.new.as_ref().is_some_and(|n| n.id == setting.id)), "{}", setting.id);
        }
        prop_assert!(lines.iter().all(|l| l.outcome != Outcome::Rounded || l.loss.is_some()));
        prop_assert!(lines.iter().all(|l| !l.reason.is_empty()), "{:?}", lines);
    }

    #[test]
    fn units_are_not_confused(pair in 0..pairs().len(), dimension in 0..DIMENSIONS.len(), unit in 0_usize..6, value in 0.1..100.0_f64) {
        let (concept, was, _) = pairs()[pair];
        let own = was.dimension(settable(concept).and_then(plant::settings::Settable::dimension).expect("a number"));
        let info = DIMENSIONS[dimension];
        let symbol = info.units[unit % info.units.len()].symbol;
        prop_assume!(!symbol.is_empty() && unit_named(own, symbol).is_none());
        let setting = number_of("o", concept, was, own.units[0].symbol, 0.01, None, None);
        let row = Found { id: "o".into(), text: String::new(), number: Some(value), unit: symbol.into(), unread: String::new(), place: Place::default() };
        prop_assert!(read(&setting, &row).is_err(), "{}: {} taken as {}", concept, symbol, own.name);
    }
}
