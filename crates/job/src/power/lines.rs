//! The lines of the audit: which quantity, held against what, judged by which finding. A new line is one entry here.

use findings::figures::{Figure, braking, harmonics, link, output, supply, terminal};

/// Where a quantity of a line comes from.
pub(super) enum Take {
    /// There is none.
    Nothing,
    /// A figure.
    Figure(&'static Figure),
    /// The step, or the input of a step, of that symbol in the working of a check.
    Step(&'static str, &'static str),
    /// From the one step to the other, of these symbols in the working of a check.
    Span(&'static str, &'static str, &'static str),
    /// What a check that only holds or fails says it has looked at.
    Words(&'static str),
}

/// A line.
pub(super) struct Wanted {
    /// What it is.
    pub what: &'static str,
    /// The quantity.
    pub value: Take,
    /// What it is held against.
    pub limit: Take,
    /// The finding that judges it; empty where none does.
    pub finding: &'static str,
}

/// A quantity without a limit.
const fn shown(figure: &'static Figure) -> Wanted {
    Wanted { what: figure.what, value: Take::Figure(figure), limit: Take::Nothing, finding: "" }
}

/// A quantity and its limit out of the working of the check that judges it.
const fn judged(what: &'static str, finding: &'static str, value: &'static str, limit: &'static str) -> Wanted {
    let limit = if limit.is_empty() { Take::Nothing } else { Take::Step(finding, limit) };
    Wanted { what, value: Take::Step(finding, value), limit, finding }
}

/// What a check that only holds or fails has looked at.
const fn said(what: &'static str, finding: &'static str) -> Wanted {
    Wanted { what, value: Take::Words(finding), limit: Take::Nothing, finding }
}

/// Sections in their order: short name, title, lines.
pub(super) static SECTIONS: &[(&str, &str, &[Wanted])] = &[
    ("fault-current", "Fault current and short-circuit rating", FAULT_CURRENT),
    ("protection", "Fuse or breaker, and conductors", PROTECTION),
    ("supply", "Supply, reactor, earth", SUPPLY),
    ("harmonics", "Harmonics, and the DC link under load", HARMONICS),
    ("motor-cable", "Motor cable, filter and winding", MOTOR_CABLE),
    ("output", "Between drive and motor", OUTPUT),
    ("braking", "Braking and the stop", BRAKING),
    ("link", "The DC link with the line off", LINK),
];

static FAULT_CURRENT: &[Wanted] = &[
    shown(&supply::FAULT_AT_TRANSFORMER),
    Wanted {
        what: "fault current at the panel, against the lowest short-circuit rating of the path",
        value: Take::Figure(&supply::FAULT_AT_PANEL),
        limit: Take::Figure(&supply::PATH_RATING),
        finding: "protection/fault-current-above-rating",
    },
    Wanted { what: "that lowest rating", value: Take::Figure(&supply::PATH_RATING), limit: Take::Nothing, finding: "" },
    shown(&supply::FAULT_AT_UNIT),
    shown(&supply::FAULT_BEHIND_REACTOR),
    said("arc-flash label", "protection/label-out-of-date"),
];

static PROTECTION: &[Wanted] = &[
    judged("rating of the device, against the largest listed", "protection/device-not-listed", "I_n", "I_max"),
    Wanted {
        what: "current that the supply conductors must carry, against what they may",
        value: Take::Step("conductors/supply-too-small", "I_req"),
        limit: Take::Step("conductors/supply-too-small", "I_z"),
        finding: "conductors/supply-too-small",
    },
    judged("voltage drop between panel and drive", "conductors/drop-too-large", "u", "u_max"),
    judged("protective earth conductor, against the least", "conductors/earth-too-small", "A_e", "A_PE"),
    Wanted {
        what: "current that the motor cable must carry, against what it may",
        value: Take::Step("conductors/output-too-small", "I_req"),
        limit: Take::Step("conductors/output-too-small", "I_z"),
        finding: "conductors/output-too-small",
    },
    Wanted {
        what: "conductor at the terminals, against the sizes that land",
        value: Take::Step(TERMINAL, "A"),
        limit: Take::Span(TERMINAL, "A_min", "A_max"),
        finding: TERMINAL,
    },
    shown(&terminal::BEND),
    Wanted {
        what: "of that beyond the unit's outline, beside the clearance that it asks for there anyway",
        value: Take::Figure(&terminal::BEYOND),
        limit: Take::Figure(&terminal::CLEAR),
        finding: "",
    },
];

const TERMINAL: &str = "box/conductor-outside-terminal";

static SUPPLY: &[Wanted] = &[
    judged("impedance of the source, on the drive's base", "supply/source-too-stiff", "z", ""),
    judged("reactor ahead and choke inside, together", "supply/source-too-stiff", "z_fitted", ""),
    judged("voltage left for the motor behind all reactors (least: 90 % of its plate)", "supply/reactors-in-series", "U_2", ""),
    judged("voltage left at the motor behind reactors and cable (least: 90 % of its plate)", "conductors/motor-drop-too-large", "U_M", ""),
    judged("voltage unbalance", "supply/phase-missing-or-unbalanced", "u", "u_max"),
    judged("switchings to the line in an hour", "supply/switched-too-often", "n", "n_max"),
    Wanted {
        what: "standing leakage to earth, of a residual-current device's rating",
        value: Take::Figure(&supply::LEAKAGE),
        limit: Take::Step("supply/residual-device-trips", "I_Δn"),
        finding: "supply/residual-device-trips",
    },
    judged("current of the neutral resistor, against the unit's earth-fault trip", "supply/earth-fault-unseen", "I_R", "I_trip"),
    Wanted {
        what: "ride-through without any line, against the dips to be ridden through",
        value: Take::Figure(&supply::RIDE_THROUGH),
        limit: Take::Step("supply/drops-out-on-dips", "t_dip"),
        finding: "supply/drops-out-on-dips",
    },
];

static HARMONICS: &[Wanted] = &[
    shown(&harmonics::FUNDAMENTAL),
    shown(&harmonics::DISTORTION),
    shown(&harmonics::FIFTH),
    Wanted {
        what: "demand distortion at the panel, all drives (TDD), against IEEE 519",
        value: Take::Figure(&harmonics::DEMAND_DISTORTION),
        limit: Take::Figure(&harmonics::DEMAND_LIMIT),
        finding: "harmonics/limit-exceeded",
    },
    Wanted {
        what: "voltage distortion at the panel by these currents, against IEEE 519",
        value: Take::Figure(&harmonics::VOLTAGE_DISTORTION),
        limit: Take::Figure(&harmonics::VOLTAGE_LIMIT),
        finding: "",
    },
    shown(&harmonics::RIPPLE),
    shown(&harmonics::CAPACITOR_CURRENT),
];

static MOTOR_CABLE: &[Wanted] = &[
    Wanted {
        what: "motor cable, all runs, against the longest that the drive feeds",
        value: Take::Figure(&output::CABLE),
        limit: Take::Step("output/cable-too-long", "l_max"),
        finding: "output/cable-too-long",
    },
    shown(&output::EDGE),
    shown(&output::CHARGING),
    judged("peak at the motor, against what the winding stands", "motor/winding-overstressed", "U_b", "U_lim"),
    judged("output filter that stays: room in carrier, current and frequency", "output/filter-unfit", "margin", ""),
    said("bearing currents", "motor/bearing-currents"),
];

static OUTPUT: &[Wanted] = &[
    said("isolator or contactor", "output/switched-under-load"),
    said("bypass: both contactors closed", "output/bypass-feeds-back"),
    judged("bypass: wait, against the decay of the motor's field", "output/transfer-too-quick", "t", "t_f"),
    said("bypass: direction of rotation", "output/rotation-unproved"),
    said("bypass: overload relay", "output/bypass-without-overload"),
    said("capacitors at the motor", "output/capacitors-at-motor"),
    said("raceway of the motor leads", "output/leads-share-raceway"),
    said("supply of the motor's brake", "output/brake-fed-from-motor"),
];

static BRAKING: &[Wanted] = &[
    Wanted {
        what: "largest power that comes back, against what losses or chopper take",
        value: Take::Figure(&braking::RETURNED),
        limit: Take::Figure(&braking::TAKEN),
        finding: "braking/energy-without-way-out",
    },
    shown(&braking::STOP_ENERGY),
    Wanted {
        what: "shortest stop, against the stop that is needed",
        value: Take::Figure(&braking::SHORTEST),
        limit: Take::Step("braking/stop-too-long", "t_need"),
        finding: "braking/stop-too-long",
    },
    judged("guard: time until it may be opened, against the stop", "braking/guard-opens-early", "t_g", "t"),
    shown(&braking::SMALLEST),
    Wanted {
        what: "resistor that stays, against the largest that takes the power",
        value: Take::Step("braking/resistor-outside-window", "R"),
        limit: Take::Figure(&braking::LARGEST),
        finding: "braking/resistor-outside-window",
    },
    Wanted {
        what: "mean power in the resistor, against its plate",
        value: Take::Figure(&braking::MEAN),
        limit: Take::Step("braking/resistor-too-hot", "P_N"),
        finding: "braking/resistor-too-hot",
    },
    said("a shorted chopper", "braking/resistor-unguarded"),
    said("energy given back to the line", "braking/regeneration-lost"),
    judged(
        "common DC link: capacitance that falls to the pre-charge, against what it may charge",
        "braking/link-members-clash",
        "C_p",
        "C_may",
    ),
    said("holding brake", "braking/load-let-go"),
    said("stop after a loss of power", "braking/no-stop-without-line"),
];

static LINK: &[Wanted] = &[shown(&link::STORED), shown(&link::WAIT)];

#[cfg(test)]
mod tests {
    use findings::registry;

    use super::*;

    #[test]
    fn every_line_names_checks_that_are_there() {
        for (_, _, lines) in SECTIONS {
            for line in *lines {
                assert!(line.finding.is_empty() || registry::find(line.finding).is_some(), "{}", line.finding);
                for take in [&line.value, &line.limit] {
                    if let Take::Step(name, _) | Take::Span(name, ..) | Take::Words(name) = take {
                        assert!(registry::find(name).is_some(), "{name}");
                        assert!(line.finding.is_empty() || line.finding == *name, "{}: its quantity comes from {name}", line.what);
                    }
                }
            }
        }
    }

    #[test]
    fn every_finding_of_the_power_path_stands_on_a_line() {
        const GROUPS: &[&str] = &["supply", "protection", "conductors", "harmonics", "output", "braking"];
        // What is judged by the network it hangs on, not by a figure of the path.
        const ELSEWHERE: &[&str] = &[
            "supply/voltage-outside-class",
            "supply/links-to-earth",
            "supply/bank-switching",
            "supply/notched-line",
            "supply/generator-too-small",
        ];
        for check in registry::CHECKS {
            let group = check.name.split('/').next().unwrap_or_default();
            let shown = SECTIONS.iter().flat_map(|(_, _, lines)| lines.iter()).any(|l| l.finding == check.name);
            assert!(!GROUPS.contains(&group) || shown || ELSEWHERE.contains(&check.name), "{}", check.name);
        }
    }
}
