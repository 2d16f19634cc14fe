//! Fault currents by IEC 60909-0 against a second program, pandapower (`second_opinion/fault.py`): random radial paths of supply,
//! transformer, cables and reactors, largest and smallest currents, initial and peak, at every node.
#![allow(clippy::disallowed_methods, reason = "a test asks the environment for its interpreter")]
#![allow(clippy::expect_used, reason = "a test stops at the first broken expectation")]

mod common;

use calc::feeder::iec::{Case, Tolerance};
use calc::feeder::path::{Impedance, Method, NodeFault, Part, Strength, Transformer, Utility, fault_at_supply, fault_currents};
use calc::working::Silent;
use common::{Dice, ask_of_each};
use plant::quantity::{ApparentPower, Current, Ratio, Resistance, Temperature, Voltage};
use serde_json::{Value, json};

const PATHS: usize = 80;
/// 0.1 %, as wide as the factors of a standard are worth.
const AGREEMENT: f64 = 1e-3;

fn random_path(dice: &mut Dice) -> Value {
    let (hv, lv, hz) = dice.one_of(&[(10.0, 0.4, 50.0), (20.0, 0.69, 50.0), (13.8, 0.48, 60.0), (4.16, 0.208, 60.0), (33.0, 6.0, 50.0)]);
    let uk = dice.between(2.0, 10.0);
    let end = dice.between(60.0, 250.0);
    let parts: Vec<Value> = (0..4)
        .filter(|_| dice.unit() < 0.6)
        .collect::<Vec<usize>>()
        .iter()
        .map(|_| {
            if dice.unit() < 0.25 {
                json!({ "r": 0.0, "x": dice.between(0.001, 0.05), "end": 20.0 })
            } else {
                json!({ "r": dice.between(0.0005, 0.2), "x": dice.between(0.0002, 0.05), "end": end })
            }
        })
        .collect();
    json!({
        "case": dice.one_of(&["max", "min"]), "tolerance": dice.one_of(&[10, 6]), "hz": hz, "end": end,
        "supply": { "kv": hv, "mva": dice.between(20.0, 3000.0), "rx": dice.between(0.05, 0.6) },
        "transformer": {
            "mva": dice.between(0.1, 4.0), "hv_kv": hv * dice.one_of(&[1.0, 1.05, 0.975]), "lv_kv": lv * dice.one_of(&[1.0, 1.05]),
            "nominal_kv": lv, "uk": uk, "ur": uk * dice.between(0.05, 0.6),
        },
        "parts": parts,
    })
}

fn number(value: &Value) -> f64 {
    value.as_f64().expect("a number")
}

/// Supply, transformer and every part, by the crate.
fn own(path: &Value) -> Vec<NodeFault> {
    let supply = &path["supply"];
    let power = ApparentPower::mva(number(&supply["mva"]));
    let utility = Utility {
        voltage: Voltage::kv(number(&supply["kv"])),
        strength: Strength::Finite { power, x_over_r: 1.0 / number(&supply["rx"]) },
    };
    let t = &path["transformer"];
    let transformer = Part::Transformer(Transformer {
        power: ApparentPower::mva(number(&t["mva"])),
        primary: Voltage::kv(number(&t["hv_kv"])),
        secondary: Voltage::kv(number(&t["lv_kv"])),
        impedance: Ratio::percent(number(&t["uk"])),
        resistance: Ratio::percent(number(&t["ur"])),
        nominal: Voltage::kv(number(&t["nominal_kv"])),
    });
    let part = |p: &Value| {
        let z = Impedance { r: Resistance::ohm(number(&p["r"])), x: Resistance::ohm(number(&p["x"])) };
        if z.r == Resistance::ZERO { Part::Reactor(z) } else { Part::Cable(z) }
    };
    let parts: Vec<Part> = std::iter::once(transformer).chain(path["parts"].as_array().expect("a list").iter().map(part)).collect();
    let method = Method::Iec {
        case: Case::from_word(path["case"].as_str().expect("a word")).expect("a case"),
        tolerance: if path["tolerance"] == json!(10) { Tolerance::Ten } else { Tolerance::Six },
        end: Temperature::c(number(&path["end"])),
    };
    let mut nodes = vec![fault_at_supply(&utility, method, &mut Silent).expect("a supply")];
    nodes.extend(fault_currents(&utility, &parts, method, &mut Silent).expect("a path"));
    nodes
}

#[test]
#[ignore = "needs the Python environment: cargo xtask test"]
fn fault_currents_agree_with_pandapower() {
    let mut dice = Dice(0x6661_756c_7473);
    let paths: Vec<Value> = (0..PATHS).map(|_| random_path(&mut dice)).collect();
    let opinions = ask_of_each("fault.py", "paths", paths.clone());
    assert_eq!(opinions.len(), paths.len());
    let (mut worst, mut nodes, mut smallest) = (0.0, 0, 0);
    for (path, opinion) in paths.iter().zip(&opinions) {
        let found = own(path);
        smallest += usize::from(path["case"] == json!("min"));
        for (i, node) in found.iter().enumerate() {
            let off = |ours: Current, theirs: &Value| (ours.in_ka() / number(theirs) - 1.0).abs();
            let (initial, peak) = (off(node.current, &opinion["ik"][i]), off(node.peak, &opinion["ip"][i]));
            assert!(initial < AGREEMENT, "node {i}: {} against {} kA: {path}", node.current.in_ka(), opinion["ik"][i]);
            assert!(peak < AGREEMENT, "node {i}, peak: {} against {} kA: {path}", node.peak.in_ka(), opinion["ip"][i]);
            worst = f64::max(worst, initial.max(peak));
            nodes += 1;
        }
    }
    println!("{PATHS} paths, {nodes} nodes, {smallest} smallest currents: worst difference {:.2e}", worst);
    assert!(nodes > PATHS * 3 && smallest > PATHS / 4, "the paths are too much alike");
}
