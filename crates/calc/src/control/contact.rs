//! Contacts: what a coil asks of them while it is held and while it pulls in.

use plant::quantity::{ApparentPower, Current, Voltage, dim};

use crate::load::{above_zero, not_below_zero};
use crate::registry::{Arguments, Calculation, Refusal, output, quantity, word};
use crate::sources::{DEFINITION, Knowledge, Source};
use crate::working::{Recorder, Step, Working};

/// Making and breaking of the utilization categories.
pub const CATEGORIES: Source =
    Source::new("IEC 60947-5-1 Table 4: AC-15 makes 10 I_e and breaks I_e, DC-13 makes and breaks I_e", Knowledge::LookedUp);
/// Pilot duty by letter.
pub const PILOT: Source = Source::new("UL 508 and IEC 60947-5-1 Annex A: contact rating designations", Knowledge::LookedUp);

/// Ratio of what an AC-15 contact makes to what it holds and breaks.
pub const AC15_MAKES: f64 = 10.0;

/// Current that a load takes at a voltage.
///
/// I = S/U, A.
///
/// # Errors
/// When the voltage is not above zero or the load below it.
///
/// Source: definition. Worked example: 60 VA at 120 V are 0.5 A.
/// ```
/// use calc::{control::contact::load_current, working::Silent};
/// use plant::quantity::{ApparentPower, Voltage};
/// let i = load_current("I", "held", ApparentPower::va(60.0), Voltage::v(120.0), &mut Silent).unwrap();
/// assert!((i.in_a() - 0.5).abs() < 1e-12);
/// ```
pub fn load_current<R: Recorder>(
    symbol: &'static str,
    what: &'static str,
    load: ApparentPower,
    volts: Voltage,
    rec: &mut R,
) -> Result<Current, Refusal> {
    not_below_zero(load, "load")?;
    above_zero(volts, "voltage")?;
    let current = Current::a(load.in_va() / volts.in_v());
    rec.step(|| Step::new(symbol, format!("current {what}"), "S/U", &DEFINITION).with("S", load).with("U", volts).gives(current));
    Ok(current)
}

/// What a contact of a designation makes and breaks.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PilotDuty {
    /// It closes on this.
    pub makes: Current,
    /// It opens this.
    pub breaks: Current,
}

/// What a contact makes and breaks by its designation on alternating current, 120 V and above.
///
/// Volt-amperes of the letter over the voltage.
///
/// # Errors
/// For a voltage below 120 V or above 600 V, where other rules hold.
///
/// Source: contact rating designations. Worked example: B300 at 240 V makes 15 A and breaks 1.5 A.
/// ```
/// use calc::{control::contact::pilot_duty, working::Silent};
/// use plant::quantity::Voltage;
/// let b = pilot_duty("B", Voltage::v(240.0), &mut Silent).unwrap();
/// assert!((b.makes.in_a() - 15.0).abs() < 1e-12 && (b.breaks.in_a() - 1.5).abs() < 1e-12);
/// ```
pub fn pilot_duty<R: Recorder>(letter: &str, volts: Voltage, rec: &mut R) -> Result<PilotDuty, Refusal> {
    if !(Voltage::v(120.0)..=Voltage::v(600.0)).contains(&volts) {
        return Err(Refusal::new("the designations give volt-amperes from 120 V to 600 V"));
    }
    let (makes, breaks) = match letter {
        "A" => (7200.0, 720.0),
        "B" => (3600.0, 360.0),
        "C" => (1800.0, 180.0),
        "D" => (432.0, 72.0),
        "E" => (216.0, 36.0),
        _ => return Err(Refusal::new(format!("“{letter}” is no designation; they are A to E"))),
    };
    let duty = PilotDuty { makes: Current::a(makes / volts.in_v()), breaks: Current::a(breaks / volts.in_v()) };
    rec.step(|| {
        Step::new("I_m", "current that it makes", "S_m/U", &PILOT).with("S_m", ApparentPower::va(makes)).with("U", volts).gives(duty.makes)
    });
    rec.step(|| {
        Step::new("I_b", "current that it breaks", "S_b/U", &PILOT)
            .with("S_b", ApparentPower::va(breaks))
            .with("U", volts)
            .gives(duty.breaks)
    });
    Ok(duty)
}

/// `calc contact-load`.
pub const CONTACT_LOAD: Calculation = Calculation {
    name: "contact-load",
    summary: "Current of a coil held and pulling in, against the rating of a contact for coils.",
    inputs: &[
        quantity::<dim::ApparentPowerDim>("held", "what the coil takes while held"),
        quantity::<dim::ApparentPowerDim>("inrush", "what it takes while it pulls in"),
        quantity::<dim::VoltageDim>("voltage", "voltage of the circuit"),
        quantity::<dim::CurrentDim>("rating", "rated current of the contact for coils, AC-15 or DC-13"),
        word("category", &["AC-15", "DC-13"], "utilization category of that rating"),
    ],
    results: &[
        output::<dim::CurrentDim>("held-current", "A", "current while held"),
        output::<dim::CurrentDim>("inrush-current", "A", "current at pull-in"),
        output::<dim::CurrentDim>("makes", "A", "current that the contact makes"),
        output::<dim::RatioDim>("worst", "%", "larger share of both ratings: above 100 % the contact is overloaded"),
    ],
    sources: &[&CATEGORIES, &DEFINITION],
    run: |a: &Arguments, w: &mut Working| {
        let (volts, rating): (Voltage, Current) = (a.get("voltage"), a.get("rating"));
        above_zero(rating, "rating")?;
        let held = load_current("I", "held", a.get("held"), volts, w)?;
        let inrush = load_current("I_in", "at pull-in", a.get("inrush"), volts, w)?;
        let makes = if a.word("category") == "AC-15" { rating * AC15_MAKES } else { rating };
        w.step(|| Step::new("I_m", "current that the contact makes", "", &CATEGORIES).with("I_e", rating).gives(makes));
        Ok(vec![held.in_si(), inrush.in_si(), makes.in_si(), (held / rating).max(inrush / makes)])
    },
};

/// `calc pilot-duty`.
pub const PILOT_DUTY: Calculation = Calculation {
    name: "pilot-duty",
    summary: "What a contact makes and breaks by the letter of its designation, on alternating current.",
    inputs: &[
        word("letter", &["A", "B", "C", "D", "E"], "letter of the designation"),
        quantity::<dim::VoltageDim>("voltage", "voltage of the circuit, from 120 V"),
    ],
    results: &[
        output::<dim::CurrentDim>("makes", "A", "current that it makes"),
        output::<dim::CurrentDim>("breaks", "A", "current that it breaks"),
    ],
    sources: &[&PILOT],
    run: |a: &Arguments, w: &mut Working| {
        let duty = pilot_duty(a.word("letter"), a.get("voltage"), w)?;
        Ok(vec![duty.makes.in_si(), duty.breaks.in_si()])
    },
};
