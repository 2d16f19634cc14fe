//! `calc`: the list, one run of each kind, known results, and every way to call it wrongly.

use serde_json::Value;

use crate::site::{list, run, text};

/// Share by which a result may differ from one worked out here: nothing but rounding of binary numbers.
const ROUNDING: f64 = 1e-9;
/// Results printed with four digits in their source are half a unit of the fourth digit near.
const FOUR_DIGITS: f64 = 5e-4;

fn all() -> Vec<Value> {
    run(["calc", "--json"]).ends(0).json().as_array().expect("a list").clone()
}

/// Texts of extreme numbers, all readable, for an input.
fn written(input: &Value, number: &str, units: &dyn Fn(&str) -> String) -> String {
    match text(input, "kind") {
        "word" => text(input, "name").to_owned() + "=" + input["detail"]["words"][0].as_str().unwrap(),
        "quantity" => format!("{}={number} {}", text(input, "name"), units(text(&input["detail"], "dimension"))),
        _ => {
            let columns = list(&input["detail"], "columns").iter().map(|c| format!("{number} {}", units(c.as_str().unwrap())));
            format!("{}={}", text(input, "name"), columns.collect::<Vec<_>>().join(", "))
        }
    }
}

#[test]
fn the_list_names_inputs_units_and_results_of_every_calculation() {
    let calculations = all();
    assert!(calculations.len() > 50);
    let listed = run(["calc"]).ends(0).out;
    for calculation in &calculations {
        let name = text(calculation, "name");
        assert!(listed.lines().any(|l| l.split(' ').next() == Some(name)), "{name} is not in the list");
        assert!(!text(calculation, "summary").is_empty() && !list(calculation, "sources").is_empty(), "{name}");
        for input in list(calculation, "inputs") {
            assert!(!text(input, "doc").is_empty() && (input["default"].is_null() || input["default"].is_string()), "{name} {input}");
            match text(input, "kind") {
                "quantity" => assert!(!list(&input["detail"], "units").is_empty(), "{name} {input}"),
                "word" => assert!(list(&input["detail"], "words").len() > 1, "{name} {input}"),
                "rows" => assert!(!list(&input["detail"], "columns").is_empty(), "{name} {input}"),
                kind => panic!("{name}: {kind}"),
            }
        }
        for result in list(calculation, "results") {
            assert!(!text(result, "doc").is_empty() && result["unit"].is_string() && result["dimension"].is_string(), "{name} {result}");
        }
        assert!(!list(calculation, "results").is_empty(), "{name}");
    }
}

#[test]
fn each_calculation_without_inputs_names_all_that_are_missing() {
    for calculation in all() {
        let name = text(&calculation, "name");
        let inputs = list(&calculation, "inputs");
        let missing: Vec<&str> = inputs.iter().filter(|i| i["default"].is_null()).map(|i| text(i, "name")).collect();
        if missing.is_empty() {
            // Which of its inputs it needs may depend on a word: then it says so.
            let told = run(["calc", name]);
            assert!(told.code == 0 || told.code == 2 && told.err.contains("is needed"), "{name}\n{}", told.err);
            continue;
        }
        let told = run(["calc", name]).ends(2);
        assert!(told.out.is_empty(), "{name}");
        for input in missing {
            assert!(told.err.contains(&format!("{input} is missing")), "{name} {input}\n{}", told.err);
        }
        for input in inputs {
            assert!(told.err.contains(&format!("{}=…", text(input, "name"))), "the usage names every input\n{}", told.err);
        }
        let json = run(["calc", name, "--json"]).ends(2).json();
        assert!(text(&json, "error").contains("is missing"), "{json}");
    }
}

#[test]
fn known_results_come_out() {
    // Worked out here by the relation named beside each, or out of the table named.
    for (name, inputs, result, value, unit, tolerance) in [
        // n = 120·f/p
        ("synchronous-speed", &["frequency=60 Hz", "poles=4"][..], "speed", 1800.0, "rpm", ROUNDING),
        ("synchronous-speed", &["poles=6", "frequency=0.05 kHz"], "speed", 1000.0, "rpm", ROUNDING),
        // s = (1800 − 1750)/1800
        ("slip", &["frequency=60 Hz", "poles=4", "speed=1750 rpm"], "slip", 50.0 / 18.0, "%", ROUNDING),
        // T = P/ω: 1 kW at 1000 rpm is the 9.549 of the handbooks
        ("shaft-torque", &["power=1 kW", "speed=1000 rpm"], "torque", 9.549, "N·m", FOUR_DIGITS),
        // E = J·ω²/2
        ("kinetic-energy", &["inertia=2 kg·m²", "speed=10 rad/s"], "energy", 100.0, "J", ROUNDING),
        // I = P/(√3·U·η·cos φ)
        (
            "full-load-amps",
            &["power=30 kW", "voltage=400 V", "efficiency=92 %", "power_factor=0.85"],
            "current",
            30_000.0 / (3.0_f64.sqrt() * 400.0 * 0.92 * 0.85),
            "A",
            ROUNDING,
        ),
        // NEC Table 430.250, 40 hp, 460 V (from memory)
        ("nec-motor-amps", &["power=40 hp", "voltage=460 V"], "current", 52.0, "A", ROUNDING),
        // Peak √2·U and mean 3·√2/π·U of a six-pulse rectifier
        ("dc-link", &["line=480 V"], "peak", 678.8, "V", FOUR_DIGITS),
        ("dc-link", &["line=480 V"], "mean", 648.2, "V", FOUR_DIGITS),
        // Largest deviation from the mean over the mean: 5/460
        ("voltage-unbalance", &["ab=462 V", "bc=463 V", "ca=455 V"], "nema", 500.0 / 460.0, "%", ROUNDING),
        // Flow with the speed, head with its square, power with its cube
        ("affinity", &["speed=50 %"], "power", 0.125, "pu", ROUNDING),
        // √((100²·10 + 50²·10)/20)
        ("rms-torque", &["steps=100 N·m, 10 s; 50 N·m, 10 s"], "torque", 6250.0_f64.sqrt(), "N·m", ROUNDING),
        // A stated point is given back exactly
        ("overload-time", &["rating=100 A", "points=150 %, 60 s", "current=150 A"], "time", 60.0, "s", ROUNDING),
        ("smallest-rating", &["record=150 A, 60 s", "points=150 %, 60 s", "repeats=no"], "current", 100.0, "A", ROUNDING),
        // One corner on earth: the other two stand at the line voltage
        ("grounding-voltages", &["grounding=corner", "line=480 V"], "a", 480.0, "V", ROUNDING),
        // m·g at 9.80665 m/s²
        ("hoist-power", &["mass=1000 kg", "velocity=0.5 m/s"], "force", 9806.65, "N", ROUNDING),
    ] {
        let json = run(["calc", name].iter().chain(inputs).chain(&["--json"])).ends(0).json();
        assert_eq!(json.as_object().unwrap().keys().collect::<Vec<_>>(), ["name", "results", "sources", "working"]);
        assert_eq!(text(&json, "name"), name);
        let got = &json["results"][result];
        assert_eq!(text(got, "unit"), unit, "{name}");
        let number = got["value"].as_f64().unwrap_or_else(|| panic!("{name}: {got}"));
        assert!((number - value).abs() <= tolerance * value.abs(), "{name} {result}: {number} against {value}");
        assert!(!list(&json, "working").is_empty() && !list(&json, "sources").is_empty(), "{name}");
        for step in list(&json, "working") {
            assert!(["symbol", "name", "value", "source"].iter().all(|key| !text(step, key).is_empty()), "{name}: {step}");
        }
        let printed = run(["calc", name].iter().chain(inputs)).ends(0).out;
        for step in list(&json, "working") {
            assert!(printed.contains(text(step, "value")) && printed.contains(text(step, "source")), "{step} is not in\n{printed}");
        }
        assert!(printed.contains(result) && printed.contains("\nsources: "), "{printed}");
    }
}

#[test]
fn us_and_metric_inputs_mean_the_same() {
    for (name, us, metric, result) in [
        ("shaft-torque", ["power=1 hp", "speed=30 rev/s"], ["power=745.699872 W", "speed=1800 rpm"], "torque"),
        ("kinetic-energy", ["inertia=1 lb·ft²", "speed=1 rev/s"], ["inertia=0.0421401101 kg·m²", "speed=60 rpm"], "energy"),
    ] {
        let value = |inputs: [&str; 2]| {
            let json = run(["calc", name].into_iter().chain(inputs).chain(["--json"])).ends(0).json();
            json["results"][result]["value"].as_f64().unwrap()
        };
        assert!((value(us) / value(metric) - 1.0).abs() < 1e-8, "{name}: {} against {}", value(us), value(metric));
    }
}

#[test]
fn wrong_calls_are_refused_with_the_cause_all_at_once() {
    for (inputs, words) in [
        (&["frequency=60 A", "poles=4"][..], &["frequency", "electric current", "Hz"][..]),
        (&["frequency=60", "poles=4"], &["frequency", "unit"]),
        (&["frequency=60 Hz", "poles=4 Hz"], &["poles", "bare number"]),
        (&["frequency=60 Hz", "poles=4", "colour=blue"], &["“colour”", "frequency, poles"]),
        (&["frequency=60 Hz", "poles=4", "poles=6"], &["“poles”", "twice"]),
        (&["frequency=60 Hz", "poles"], &["“poles”", "key=value"]),
        (&["frequency=60 Hz", "=4"], &["“”"]),
        (&["frequency=", "poles=4"], &["frequency"]),
        (&["frequency=NaN Hz", "poles=4"], &["frequency"]),
        (&["frequency=inf Hz", "poles=4"], &["frequency"]),
        (&["frequency=-inf", "poles=4"], &["frequency"]),
        (&["frequency=1e999 Hz", "poles=4"], &["frequency"]),
        (&["frequency=60 Hz", "poles=0"], &["poles"]),
        (&["frequency=60 Hz", "poles=-4"], &["poles"]),
        (&["frequency=60 Hz 60 Hz", "poles=4"], &["frequency"]),
        (&["frequency=60,0 Hz", "poles=4"], &["frequency"]),
        (&["frequency=0x3c Hz", "poles=4"], &["frequency"]),
        (&["frequency=٦٠ Hz", "poles=4"], &["frequency"]),
        (&["frequency=60 Hz\0", "poles=4"][..0], &["frequency is missing", "poles is missing"]),
        (&["frequency=60 A", "poles=x", "colour=blue"], &["frequency:", "poles:", "“colour”"]),
    ] {
        let told = run(["calc", "synchronous-speed"].iter().chain(inputs)).ends(2).says(words);
        assert!(told.out.is_empty(), "{inputs:?} printed {}", told.out);
        assert!(!text(&run(["calc", "synchronous-speed", "--json"].iter().chain(inputs)).ends(2).json(), "error").is_empty());
    }
    run(["calc", "synchronus-speed"]).ends(2).says(&["did you mean “synchronous-speed”"]);
    run(["calc", ""]).ends(2);
    run(["calc", "rms-torque", "steps=100 N·m"]).ends(2).says(&["steps", "1 cells", "torque, time"]);
    run(["calc", "rms-torque", "steps=;;;"]).ends(2).says(&["steps", "no rows"]);
    run(["calc", "grounding-voltages", "grounding=sollid", "line=480 V"]).ends(2).says(&["grounding", "solid"]);
}

#[test]
fn huge_texts_are_refused_or_read_but_never_crash() {
    let many = |piece: &str, count: usize| piece.repeat(count);
    for (inputs, refused) in [
        (vec!["calc".into(), "slip".into(), format!("frequency={}", many("9", 100_000))], true),
        (vec!["calc".into(), "slip".into(), format!("frequency={} Hz", many("1e", 50_000))], true),
        (vec!["calc".into(), "slip".into(), format!("{}=1", many("f", 100_000))], true),
        (vec!["calc".into(), many("slip", 20_000)], true),
        (vec!["explain".into(), many("motor.", 20_000)], true),
        (vec!["calc".into(), "rms-torque".into(), format!("steps={}", many("1 N·m, 1 s; ", 9_000))], false),
        (vec!["calc".into(), "rms-torque".into(), format!("steps={}", many(",", 100_000))], true),
    ] {
        assert_eq!(run(&inputs).code == 2, refused, "{}", inputs[1].chars().take(40).collect::<String>());
    }
}

/// Numbers without bounds reach every formula; each must answer or refuse, and an answer is a number.
#[test]
fn extreme_numbers_get_a_number_or_a_refusal() {
    let calculations = all();
    let mut units = std::collections::BTreeMap::new();
    for detail in calculations.iter().flat_map(|c| list(c, "inputs")).map(|i| &i["detail"]).filter(|d| d["units"].is_array()) {
        units.insert(text(detail, "dimension"), detail["units"][0].as_str().unwrap().to_owned());
    }
    let unit = |dimension: &str| units.get(dimension).cloned().unwrap_or_default();
    let (mut answers, mut wrong) = (0, Vec::new());
    for calculation in &calculations {
        let name = text(calculation, "name");
        for number in ["0", "-1", "1", "3", "1e-300", "1e12", "1e300", "1.7e308"] {
            // All inputs alike, and the first one alone extreme.
            for only_first in [false, true] {
                let given = list(calculation, "inputs").iter().enumerate().filter(|(_, i)| i["default"].is_null());
                let inputs: Vec<String> =
                    given.map(|(i, input)| written(input, if only_first && i > 0 { "2" } else { number }, &unit)).collect();
                let call = run(["calc", name, "--json"].into_iter().map(str::to_owned).chain(inputs.iter().cloned()));
                if call.code == 0 {
                    answers += 1;
                    let json = call.json();
                    let results = json["results"].as_object().unwrap();
                    wrong.extend(
                        results.iter().filter(|(_, r)| !r["value"].is_number()).map(|(key, _)| format!("{name} {inputs:?}: {key}")),
                    );
                }
            }
        }
    }
    assert!(answers > 300, "{answers} answers");
    let some = wrong.iter().take(20).map(String::as_str).collect::<Vec<_>>().join("\n");
    assert!(wrong.is_empty(), "{} results are no number, among them\n{some}", wrong.len());
}

#[test]
fn a_coast_down_from_any_speed_comes_to_an_answer() {
    // Found by random calls: it ran for minutes. `run` gives up after some seconds.
    let inputs = ["inertia=5e-324 kg·m²", "from=1e308 rpm", "to=400 rpm", "law=incline", "load=0.5 N·m", "full_speed=1500 rpm"];
    run(["calc", "coast-down-time"].into_iter().chain(inputs));
}
