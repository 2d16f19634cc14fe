//! What goes wrong when a drive is replaced, row by row: the list that the checks work through. A check names the rows that
//! it catches; rows that no check names are open. Facts of the trade ("common practice, no source"); clause numbers and limits
//! named in a row are from memory, to be verified before a paper prints them.

/// One way in which a replacement fails, at the cutover or in the weeks after.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct FailureMode {
    /// Number in the list, 1 to 123; never given to another failure.
    pub row: u8,
    /// Part of the job it belongs to.
    pub group: &'static str,
    /// What people see.
    pub symptom: &'static str,
    /// What was overlooked.
    pub cause: &'static str,
    /// What it may do, worst credible first: "injury, equipment". Words of [`Severity`](crate::check::Severity).
    pub severity: &'static str,
    /// Letters of the [cautions](crate::caution::CAUTIONS) that belong beside it: "LA".
    pub cautions: &'static str,
}

/// `modes! { "group": row "severity" "cautions" "symptom" "cause"; … }`: one row, two lines.
macro_rules! modes {
    ($($group:literal: { $($row:literal $severity:literal $cautions:literal $symptom:literal $cause:literal;)+ })+) => {
        /// Every known failure mode, rows 1 to 123 in order.
        pub const FAILURE_MODES: &[FailureMode] = &[$($(FailureMode {
            row: $row, group: $group, symptom: $symptom, cause: $cause, severity: $severity, cautions: $cautions,
        }),+),+];
    };
}

modes! {
"rating and load": {
    1 "downtime" "X" "Trips on overload a few minutes into loaded running"
        "a light-duty rating on a constant-torque load";
    2 "downtime" "O" "Does not break the load away; stays in current limit"
        "break-away needs more than the new peak current; the old unit had low-speed boost or 200 %";
    3 "equipment" "" "Too small although the kW or hp agree"
        "an old or many-pole motor draws more amperes per kW; kilowatts were compared";
    4 "downtime" "" "Trips in full production only"
        "rewound motor, service factor in use, or more load than the plate";
    5 "downtime" "" "The old top speed is not reached"
        "ceiling of output frequency, or too little torque in field weakening";
    6 "downtime" "" "Stops on its own temperature on the first hot day"
        "altitude, air, carrier and side-by-side reductions not taken together";
    7 "equipment" "" "A small motor is neither identified nor protected"
        "unit far larger than the motor: current resolution, lowest overload setting";
    8 "equipment" "L" "Over- or undervoltage on the DC bus at power-up"
        "wrong voltage class";
    9 "equipment" "" "Rated amperes at no load"
        "motor with unusual volts per hertz run on the delivered base settings";
    10 "equipment" "P" "Trips at once, or jerks violently"
        "permanent-magnet or reluctance motor taken for an induction motor";
    11 "equipment" "" "Ganged motors hunt and shear keys"
        "vector control on motors in parallel";
    12 "equipment" "" "A single motor of a group burns out"
        "overload relays of the single motors removed or never landed";
    13 "equipment" "" "Motor overheats when it runs slowly"
        "shaft-mounted fan on constant torque; the overload model takes the motor for a force-cooled one";
    14 "downtime" "" "Reports a lost phase at light load"
        "open-delta, high-leg or unbalanced supply, or a single-phase feed on purpose";
}
"supply and protection": {
    15 "equipment" "LA" "Bang or smoke at first power, or an earth alarm"
        "filter capacitors and varistors left tied to earth on an ungrounded, corner- or resistance-grounded supply";
    16 "equipment" "L" "An earth fault in the motor stays unseen until the drive fails"
        "the built-in earth-fault trip cannot see the few amperes that a high-resistance ground lets through";
    17 "injury, nuisance" "" "Earth-leakage device trips at power-up or running; somebody may defeat it"
        "leakage of filter and cable, or the wrong type of residual-current device";
    18 "injury" "A" "The inspector refuses, or the panel bursts in a fault"
        "short-circuit rating with the fitted fuse below the available fault current";
    19 "injury, equipment" "A" "Fuse blows at power-up, or fails to clear"
        "wrong class or size; the holder takes both";
    20 "downtime" "A" "The listing no longer holds"
        "breaker kept where the new unit is rated with fuses only, or the reverse";
    21 "equipment" "A" "Supply conductors too small"
        "sized for the motor; NEC 430.122 asks for 125 % of the drive's rated input amperes, which a larger size raises";
    22 "equipment" "" "Rectifier fails within weeks; stray overvoltage trips"
        "the old unit had a choke or reactor, the new one has none on a stiff supply";
    23 "downtime" "" "No full torque at top speed"
        "two reactors in series, an old external and a new built-in one, with a low line";
    24 "downtime" "" "Overvoltage trips at the same hour every day"
        "switching of a capacitor bank, magnified by local capacitors";
    25 "nuisance" "" "Random trips near large DC drives or welders"
        "notches and dips on the line";
    26 "downtime" "" "Generator hunts and lamps flicker"
        "rectifier load too large a share of the generator";
    27 "downtime" "" "Utility or consultant rejects the harmonics"
        "12- or 18-pulse or active front end replaced by a 6-pulse one";
    28 "equipment" "X" "Pre-charge circuit burns out"
        "line contactor starts and stops the machine many times an hour";
    29 "downtime" "X" "Drops out on dips that the old unit rode through"
        "smaller bus capacitors, other undervoltage and restart behaviour";
    30 "downtime" "L" "PLC loses the drive whenever the main supply is off"
        "the old control side had its own supply, the new one lives on the bus";
    31 "downtime" "L" "Fans, relays or heater dead after the swap"
        "they were fed by a control transformer inside the old chassis";
}
"motor, cable and output": {
    32 "equipment" "G" "Winding fails days to months later"
        "fast switching on a long old cable and old insulation: reflected waves";
    33 "equipment" "" "Bearings of motor or driven machine grow noisy after months"
        "common-mode current; an insulated motor bearing sends it along the shaft";
    34 "downtime" "" "Small drive trips on overcurrent or earth fault"
        "charging current of a long cable";
    35 "equipment" "H" "Output filter hot, drive trips"
        "filter made for another carrier, current or frequency, or barred with vector control";
    36 "equipment" "L" "Trips at once on starting"
        "power-factor or surge capacitors still at the motor";
    37 "equipment" "AX" "Trips or fails when the local isolator is used"
        "output opened under load; the isolator has no early-break contact in the run permit";
    38 "injury, equipment" "LA" "Drive destroyed at the first bypass test"
        "line reached its output: interlock or transfer delay missing";
    39 "equipment" "R" "Runs backwards on the bypass or on the drive"
        "phase order of line and output are two separate things";
    40 "equipment" "" "Motor without protection on the bypass"
        "its overload was part of the old drive";
    41 "injury, equipment" "O" "Motor brake drags or does not release"
        "brake coil fed from the motor terminals";
    42 "equipment" "" "Winding sensor trips at once, or never"
        "other type, resistance or isolation, or wired to a plain 24 V input";
    43 "equipment" "G" "Drive killed by an insulation test"
        "tested through the connected drive";
    44 "injury" "LP" "Shock from motor leads that were locked out"
        "output leads of several drives in one conduit induce voltage";
    45 "downtime" "" "Lugs do not land"
        "terminal takes another size, count, material or stranding";
}
"braking and regeneration": {
    46 "downtime" "OH" "Overvoltage trip while slowing down"
        "brake chopper optional on the new unit, not ordered or not enabled";
    47 "equipment" "DH" "Brake chopper destroyed"
        "kept resistor has fewer ohms than the new unit allows";
    48 "injury" "H" "Brake resistor overheats or burns"
        "more energy or duty; its thermal switch stops only the run; a shorted chopper";
    49 "injury" "OX" "Machine overruns its stopping point"
        "bus-voltage regulation stretches the ramp without a word";
    50 "injury" "O" "Trips, and the load carries the machine on"
        "regenerative unit replaced by one with a diode front end";
    51 "injury, equipment" "LD" "Fuses blow on joining a shared DC bus"
        "pre-charge, bus level, fuses or sequence differ between its members";
    52 "injury" "OS" "A hanging load sags or falls"
        "brake opened before torque was proved; another relay logic or threshold";
    53 "injury" "S" "Stop takes longer and the guard opens too early"
        "DC or flux braking or a chopper of the old unit is missing";
    54 "injury" "O" "No braking after a power failure"
        "the old unit kept its bus up by the load or by a separate supply";
}
"control wiring": {
    55 "equipment" "L" "Control inputs burn out"
        "120 V AC control circuit landed on 24 V DC inputs";
    56 "injury, downtime" "X" "Nothing responds, or a wire to earth starts the machine"
        "sinking and sourcing mixed up";
    57 "injury" "X" "An input stays on"
        "leakage of a solid-state output lies above the new input's threshold";
    58 "injury" "XS" "Machine starts as soon as power is back"
        "three-wire control landed as two-wire, or a maintained run command with automatic restart";
    59 "downtime" "" "The drive never reports ready"
        "enable, stop or safety link missing, or an input's default sense reversed";
    60 "injury" "S" "Runs without lubrication, guard or frost protection"
        "the interlock lived in a relay or contact of the old drive";
    61 "injury" "S" "The plant sees a dead drive as healthy"
        "fault relay energised on fault instead of when healthy";
    62 "downtime" "" "Relay contact welds or flickers"
        "rated below its coil's load, or wetted with too little current";
    63 "injury, downtime" "O" "Clutch, feeder or brake acts out of turn"
        "run, at-speed and zero-speed signals mean other thresholds and delays";
    64 "injury" "RX" "Full speed backwards, or stuck forwards"
        "bipolar reference on a unipolar input, or 0-10 V against 4-20 mA";
    65 "injury, equipment" "X" "Runs on, or stops, wrongly when its signal is lost"
        "another action on loss of the reference";
    66 "nuisance" "" "Reference wanders or sags while running"
        "inputs without isolation, ground loop, noise on the shield";
    67 "downtime" "" "Never gets past about half speed"
        "the new input burdens the current loop beyond its supply";
    68 "nuisance" "" "Meters or recorders read wrong"
        "analogue output of another type or scale";
    69 "downtime" "" "No encoder signal, or a noisy one"
        "other signal level, supply, cable drop or highest pulse rate";
    70 "injury" "ROX" "Runaway at the first start"
        "encoder counts against the motor's direction";
    71 "equipment" "R" "Speed wrong by a fixed ratio"
        "pulses per turn or side of the gearbox mistaken, or a tachogenerator before";
    72 "downtime" "R" "Preset speeds in the wrong order"
        "another binary order, or another priority of jog, preset and analogue";
    73 "equipment" "" "Raise-lower control starts at the wrong speed"
        "its memory over stop or power loss differs";
    74 "equipment" "R" "A pump or fan turns the wrong way"
        "reverse permitted, negative reference";
}
"network and PLC": {
    75 "downtime" "" "PLC refuses the connection"
        "other word count, device identity or description file";
    76 "injury, equipment" "XR" "Runs far too fast or too slow"
        "another full-scale count or unit of the speed word";
    77 "equipment" "" "32-bit values make no sense"
        "other order of words or bytes";
    78 "equipment" "X" "Reads the neighbour's value"
        "register addresses counted from zero against one";
    79 "downtime" "" "Reading works, writing is ignored"
        "function code, parity, speed, stop bits, termination or time-out";
    80 "injury" "XS" "Keeps running with the PLC stopped"
        "action on loss of the network or on the PLC's program mode";
    81 "downtime" "X" "Does not start from the network"
        "a sequence or rising edge is wanted where the old unit took a level";
    82 "downtime" "" "Local hand mode refused"
        "the PLC holds a stop bit that the new unit obeys at all times";
    83 "injury" "X" "Starts again when a fault is reset"
        "reset or run bit held on";
    84 "downtime, nuisance" "" "Operators misled by fault texts"
        "fault numbers differ, the panel's table is the old one";
    85 "downtime" "" "The sequence stalls"
        "at-speed or zero-speed bit never comes: other band or delay";
    86 "downtime" "O" "Tension or position control swings"
        "slower update or longer filter";
    87 "equipment" "" "Settings are gone after about a year"
        "the PLC writes a stored setting in every cycle";
    88 "downtime" "" "Nodes clash, or the network floods"
        "address used twice, unmanaged switch, ring protocol missing";
}
"settings and behaviour": {
    89 "injury, equipment" "O" "Ramp times off by a factor"
        "ramp time refers to maximum, rated or reference frequency, or to the step between setpoints";
    90 "downtime" "O" "The real ramp is longer than the set one"
        "S-curve lies inside the ramp time or on top of it";
    91 "downtime" "" "Motor weak and hot at 83 % flux"
        "base frequency or voltage of the other grid";
    92 "downtime" "" "Runs a few percent faster than before"
        "slip compensation is now on";
    93 "equipment" "" "Machine shakes at a certain speed"
        "the old unit skipped it, the new one does not";
    94 "downtime" "PR" "Trips on catching a coasting fan, or jerks a standing light load"
        "flying start missing, or active on little inertia";
    95 "injury" "ROX" "Identification moved the machine, or gave wrong data"
        "rotating identification with the load coupled, a hot motor, or a filter or contactor in the way";
    96 "equipment" "O" "Torque limit too tight or too loose"
        "percent of motor, drive or rated torque; other limits by quadrant";
    97 "downtime" "" "The process control loop swings"
        "sign, units, scale or anti-windup of the controller differ";
    98 "equipment" "O" "Motors on one machine work against each other"
        "droop against torque follower, or scaling of the reference";
    99 "nuisance" "" "The motor screams and people complain"
        "carrier low, not randomised, or lowered by the unit itself";
    100 "equipment" "" "The overload protects the drive, not the motor"
        "motor current and class left as delivered; thermal memory not kept";
    101 "injury, equipment" "" "Protection switched off to get it running"
        "phase loss, earth fault or feedback loss disabled at commissioning and left so";
    102 "downtime" "" "Stalls on a load step"
        "energy saving lowers the flux";
    103 "injury, downtime" "S" "Logic of the old drive has vanished"
        "its blocks, timers, controller or sequencer were in use, or set by links and trimmers";
}
"mechanics, heat and interference": {
    104 "downtime" "W" "Door does not close, holes do not match"
        "deeper or taller chassis, keypad in the door, heatsink through the wall, disconnect linkage";
    105 "downtime" "" "Box overheats although the new unit is more efficient"
        "the old heatsink stood outside, or the box is sealed";
    106 "equipment" "" "The enclosure's type rating is lost"
        "old holes and fan cut-outs left open";
    107 "downtime" "" "Sensors, analogue signals or serial lines go wild"
        "faster edges on poor shields and panels without a bond";
    108 "equipment" "" "Electronics elsewhere on the feeder fail"
        "sine filter and screened cable sent the common-mode voltage to the supply side";
    109 "injury, downtime" "A" "Withdrawable unit does not rack in, or is no longer listed"
        "the bucket was altered";
}
"safety, law and project": {
    110 "injury" "LS" "Somebody works on a motor that only safe torque off holds"
        "taken for isolation after the contactor went";
    111 "injury" "S" "Nobody can show that the safety function does its job"
        "contactors replaced by safe torque off without new design, validation and proof test (ISO 13849, IEC 62061)";
    112 "injury" "SO" "Emergency stop coasts instead of braking"
        "stop category 0 in place of 1 (IEC 60204-1); the delay relay is gone";
    113 "injury" "S" "Commissioning link left across safe torque off"
        "link never taken out";
    114 "injury" "Z" "Certificate of an explosion-protected motor no longer holds"
        "it names the converter or its settings";
    115 "injury" "S" "Smoke extraction or fire mode does not come on"
        "override input not carried over, or trips not masked as the scheme asks";
    116 "injury" "A" "The arc-flash label no longer tells the truth"
        "fuse or breaker changed";
    117 "equipment, downtime" "C" "The spare dies at power-up, and so does the next"
        "capacitors not re-formed after years on the shelf";
    118 "injury, equipment" "A" "Second failure while reading the fault code"
        "a drive with a blown power section was energised again";
    119 "downtime" "" "The old state cannot be restored"
        "old drive spoilt on removal, settings not saved, wires cut short";
    120 "downtime" "" "The job waits for a small part"
        "keypad cable, network card, lug, gland plate, terminator or description file forgotten";
    121 "downtime" "" "Locked out by a password or a machine builder's licence"
        "nobody asked before the window";
    122 "downtime" "L" "Unknown devices turn up in the panel"
        "the drawings are wrong";
    123 "downtime" "" "Sister drives have no common spare any more"
        "a choice made for one position alone";
}
}

/// A row that no survey decides, with the paper that puts it before the people whom it concerns.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct OnPaper {
    /// The row.
    pub row: u8,
    /// Name of the paper, as binders call it.
    pub paper: &'static str,
    /// What is done against it, for somebody to sign. Common practice, no source.
    pub against: &'static str,
}

/// Rows that papers carry.
pub const ON_PAPER: &[OnPaper] = &[
    on(
        107,
        "commissioning-sheet",
        "Screens of signal and serial lines bonded all round at both ends; signals watched while the motor runs over its whole range.",
    ),
    on(
        108,
        "commissioning-sheet",
        "Behind a sine filter: ask its maker what it does with common-mode voltage, and read line to earth ahead of the unit while it runs.",
    ),
    on(
        110,
        "isolation-sheet",
        "Safe torque off keeps the motor from turning by itself; it takes no volts away. A lock on the isolator does.",
    ),
    on(
        111,
        "safety-file",
        "Design, validation and proof test of each safety function by a competent person before the machine runs for production.",
    ),
    on(112, "safety-file", "Which stop category the machine's risk assessment asks for; every emergency stop timed with the load."),
    on(113, "safety-file", "Commissioning links counted in and counted out; both channels of safe torque off opened in turn and seen."),
    on(
        114,
        "safety-file",
        "Is the motor marked for explosive atmospheres? Its certificate names converter and settings: the certifier answers before the order.",
    ),
    on(
        115,
        "safety-file",
        "Is there a smoke or fire mode? Its input led, its trips masked as the scheme asks, and the scenario tried with a witness.",
    ),
    on(
        116,
        "power-sheet",
        "Fuse or breaker other than today: the label is calculated again by whoever is licensed to, before the door is shut.",
    ),
    on(
        117,
        "cutover-plan",
        "Date code of unit and spare read; re-formed as the documents describe when they lay without voltage for long.",
    ),
    on(118, "door-card", "A unit whose power section has blown is never energised again, not even to read its display."),
    on(119, "cutover-plan", "Old drive taken out whole, its settings saved and opened, wires left at full length with their tags."),
    on(
        120,
        "cutover-plan",
        "Every small part on the table before the window begins: keypad cable, network card, lugs, gland plate, terminator, description file.",
    ),
    on(121, "cutover-plan", "Passwords and machine builder's locks of drive and controller tried before the window."),
    on(122, "cutover-plan", "Everything in the box traced and named on the drawing before the window."),
    on(123, "cutover-plan", "Sister drives counted: one replacement and one spare for all of them."),
];

const fn on(row: u8, paper: &'static str, against: &'static str) -> OnPaper {
    OnPaper { row, paper, against }
}

/// The row of that number.
#[must_use]
pub fn find(row: u8) -> Option<&'static FailureMode> {
    FAILURE_MODES.get(usize::from(row).checked_sub(1)?)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::check::Severity;
    use crate::registry::CHECKS;

    #[test]
    fn rows_are_1_to_123_in_order() {
        assert!(FAILURE_MODES.iter().map(|mode| mode.row).eq(1..=123));
        assert_eq!(find(123).map(|mode| mode.row), Some(123));
        assert_eq!((find(0), find(124)), (None, None));
    }

    #[test]
    fn severities_are_known_words_with_the_worst_first() {
        let of = |word: &str| {
            [Severity::Nuisance, Severity::Downtime, Severity::Equipment, Severity::Injury].into_iter().find(|s| s.word() == word)
        };
        for mode in FAILURE_MODES {
            let severities: Vec<_> = mode.severity.split(", ").map(of).collect();
            assert!(!severities.contains(&None), "row {}: {}", mode.row, mode.severity);
            assert!(severities.windows(2).all(|pair| pair[0] > pair[1]), "row {}: {}", mode.row, mode.severity);
        }
    }

    #[test]
    fn no_caution_stands_twice_and_no_text_is_empty_or_said_twice() {
        for (i, mode) in FAILURE_MODES.iter().enumerate() {
            assert!(mode.cautions.chars().all(|letter| mode.cautions.matches(letter).count() == 1), "row {}", mode.row);
            assert!(!mode.symptom.is_empty() && !mode.cause.is_empty(), "row {}", mode.row);
            assert!(FAILURE_MODES[..i].iter().all(|other| other.symptom != mode.symptom), "row {}", mode.row);
        }
    }

    #[test]
    fn rows_on_paper_are_there_once_and_in_order() {
        assert!(ON_PAPER.windows(2).all(|pair| pair[0].row < pair[1].row));
        assert!(ON_PAPER.iter().all(|o| find(o.row).is_some() && o.against.ends_with('.')));
        // What nobody's survey decides is on paper: rows 107 to 123 all have a place.
        let placed = |row: &u8| ON_PAPER.iter().any(|o| o.row == *row) || CHECKS.iter().any(|c| c.rows.contains(row));
        assert!((107..=123).all(|row| placed(&row)));
    }

    #[test]
    fn every_row_that_a_check_names_is_there() {
        for check in CHECKS {
            for row in check.rows {
                assert!(find(*row).is_some(), "{}: row {row}", check.name);
            }
        }
    }
}
