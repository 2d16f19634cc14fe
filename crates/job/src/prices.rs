//! What the parts of a remedy cost at a position, and how long they take to come: by a quotation for it, else by the unit's pack, else by
//! the site's list. What nobody has priced stays without a price and is counted.

use findings::candidate::{Measure, Remedy};
use plant::position::{Position, Site};
use plant::price::ListedPart;
use plant::product::Series;
use plant::quantity::{Length, System, Time, digits};
use plant::survey::{self, CABLE_LENGTH, CABLE_TOTAL, CONDUCTOR_LENGTH, FactId, MOTOR_COUNT};
use transfer::wires::Bought;

/// The part that a measure needs; `None` where it needs none that is priced by its kind.
const fn part(measure: Measure) -> Option<ListedPart> {
    Some(match measure {
        Measure::NewConductors => ListedPart::SupplyConductors,
        Measure::NewEarthConductor => ListedPart::EarthConductor,
        Measure::NewMotorCable | Measure::OwnRaceway => ListedPart::MotorCable,
        Measure::LineReactor => ListedPart::LineReactor,
        Measure::HarmonicFilter => ListedPart::HarmonicFilter,
        Measure::MotorFilter => ListedPart::MotorFilter,
        Measure::ListedDevice => ListedPart::Protection,
        Measure::RatedDisconnect => ListedPart::Disconnect,
        Measure::OtherResidualDevice => ListedPart::ResidualDevice,
        Measure::EarthFaultRelay => ListedPart::EarthFaultRelay,
        Measure::MotorOverloads | Measure::BypassOverload => ListedPart::OverloadRelay,
        Measure::TransferTimer => ListedPart::Timer,
        Measure::MechanicalInterlock => ListedPart::Interlock,
        Measure::EarlyBreakContact => ListedPart::BreakContact,
        Measure::BrakeSupply => ListedPart::BrakeSupply,
        Measure::NewResistor => ListedPart::BrakeResistor,
        Measure::LineTrip => ListedPart::LineTrip,
        Measure::ShaftEarthing => ListedPart::ShaftEarthing,
        Measure::TerminalBlock => ListedPart::TerminalBlock,
        Measure::SensorRelay => ListedPart::SensorRelay,
        _ => return None,
    })
}

/// Facts that the price of a measure rests on.
pub(crate) const fn rests_on(measure: Measure) -> &'static [FactId] {
    match measure {
        Measure::NewConductors | Measure::NewEarthConductor => &[CONDUCTOR_LENGTH.id],
        Measure::NewMotorCable | Measure::OwnRaceway => &[CABLE_TOTAL.id, CABLE_LENGTH.id, MOTOR_COUNT.id],
        Measure::MotorOverloads => &[MOTOR_COUNT.id],
        _ => &[],
    }
}

/// The remedy with what its parts cost at the position, in the site's currency.
pub(crate) fn at_position(remedy: Remedy, series: &Series, site: &Site, position: &Position) -> Remedy {
    // Prices in another currency are no prices here; the reader of packs says so. Nothing is nothing in any.
    let by_pack = remedy.parts.filter(|price| series.currency == site.currency || *price <= 0.0);
    let Some(part) = part(remedy.measure) else { return Remedy { parts: by_pack, ..remedy } };
    let quoted = position.prices.get(part);
    match quoted.or(site.prices.get(part).filter(|_| by_pack.is_none())) {
        Some(price) => several(remedy, part, price, position),
        None => Remedy { parts: by_pack, ..remedy },
    }
}

/// A brake resistor by itself, for a chopper that is ordered where none is.
pub(crate) fn brake_resistor(site: &Site, position: &Position) -> Option<f64> {
    position.prices.get(ListedPart::BrakeResistor).or(site.prices.get(ListedPart::BrakeResistor))
}

/// From order to delivery of what a measure needs; `None` where nobody has said.
pub(crate) fn lead_time(measure: Measure, series: &Series, site: &Site, position: &Position) -> Option<Time> {
    match (part(measure), measure) {
        (Some(part), _) => of_trade(part, site, position),
        (None, Measure::Chopper | Measure::EnclosureKit | Measure::ThroughWall) => series.parts_lead_time,
        (None, _) => None,
    }
}

/// From order to delivery of a part that is priced by its kind; `None` where nobody has said.
fn of_trade(part: ListedPart, site: &Site, position: &Position) -> Option<Time> {
    position.lead_times.get(part).or(site.lead_times.get(part))
}

/// From order to delivery of what the conductors of a position need.
pub(crate) fn lead_time_of(bought: Bought, series: &Series, site: &Site, position: &Position) -> Option<Time> {
    match bought {
        Bought::AsUnit => series.lead_time,
        Bought::WithUnit => series.parts_lead_time,
        Bought::OfTrade(part) => of_trade(part, site, position),
    }
}

/// As many metres or pieces as the survey has, the most where it states a range, said in words.
fn several(remedy: Remedy, part: ListedPart, price: f64, position: &Position) -> Remedy {
    let what = remedy.what;
    if !part.def().by_metre {
        let count = if remedy.measure == Measure::MotorOverloads { most(position, MOTOR_COUNT.id).unwrap_or(1.0).ceil() } else { 1.0 };
        return Remedy { what, parts: Some(price * count), ..remedy };
    }
    let (fact, length) = match part {
        ListedPart::MotorCable => (CABLE_LENGTH.id, cable(position)),
        _ => (CONDUCTOR_LENGTH.id, most(position, CONDUCTOR_LENGTH.id)),
    };
    let Some(length) = length.map(Length::si) else {
        return Remedy { what: format!("{what} (priced by the metre; {} is not known)", survey::path(fact)), parts: None, ..remedy };
    };
    // Metres, as the price is for a metre, whatever units people want to see elsewhere.
    let note = format!("{} at the most, {} a metre", length.text(System::Metric), digits(price, 4));
    Remedy { what: format!("{what} ({note})"), parts: Some(price * length.in_m()), ..remedy }
}

/// The largest value that the survey states; nothing is assumed.
fn most(position: &Position, id: FactId) -> Option<f64> {
    position.fact(id).and_then(|fact| fact.known.bounds()).map(|(_, high)| high)
}

/// Motor cable of all runs together.
fn cable(position: &Position) -> Option<f64> {
    let runs = || most(position, MOTOR_COUNT.id).unwrap_or(1.0).ceil();
    most(position, CABLE_TOTAL.id).or_else(|| most(position, CABLE_LENGTH.id).map(|length| length * runs()))
}

#[cfg(test)]
mod tests {
    use plant::fact::{Fact, Known};
    use plant::price::{LeadTimes, Prices};

    use super::*;

    fn remedy(measure: Measure, parts: Option<f64>) -> Remedy {
        Remedy { measure, what: "do it".into(), parts, minutes: 60.0 }
    }

    fn listed(key: &'static str, price: f64) -> Prices {
        Prices::by_key(|own| (own == key).then_some(price))
    }

    fn euros() -> Series {
        Series { currency: "EUR".into(), ..Series::default() }
    }

    #[test]
    fn a_quotation_goes_before_the_pack_and_the_pack_before_the_site() {
        let mut site = Site { prices: listed("line_reactor", 240.0), ..Site::default() };
        let mut position = Position::unknown("T-1");
        let parts = |site: &Site, position: &Position, own: Option<f64>| {
            at_position(remedy(Measure::LineReactor, own), &euros(), site, position).parts
        };
        assert_eq!(parts(&site, &position, Some(210.0)), Some(210.0));
        assert_eq!(parts(&site, &position, None), Some(240.0));
        position.prices = listed("line_reactor", 260.0);
        assert_eq!(parts(&site, &position, Some(210.0)), Some(260.0));
        // The pack's price in another currency is none; without any other nothing is made up.
        site = Site { currency: "USD".into(), ..Site::default() };
        assert_eq!(parts(&site, &Position::unknown("T-1"), Some(210.0)), None);
        assert_eq!(parts(&site, &Position::unknown("T-1"), Some(0.0)), Some(0.0));
    }

    #[test]
    fn a_quoted_delivery_goes_before_the_usual_one() {
        let of = |weeks| LeadTimes::by_key(|key| (key == "harmonic_filter").then_some(Time::weeks(weeks)));
        let site = Site { lead_times: of(6.0), ..Site::default() };
        let mut position = Position::unknown("T-1");
        let of_filter = |position: &Position| lead_time(Measure::HarmonicFilter, &euros(), &site, position);
        assert_eq!(of_filter(&position), Some(Time::weeks(6.0)));
        position.lead_times = of(2.0);
        assert_eq!(of_filter(&position), Some(Time::weeks(2.0)));
        assert_eq!(lead_time(Measure::LineReactor, &euros(), &site, &position), None);
    }

    #[test]
    fn what_a_unit_has_in_its_own_list_comes_when_its_supplier_says() {
        let series = Series { lead_time: Some(Time::weeks(9.0)), parts_lead_time: Some(Time::weeks(3.0)), ..euros() };
        let site = Site { lead_times: LeadTimes::by_key(|key| (key == "relay").then_some(Time::weeks(1.0))), ..Site::default() };
        let position = Position::unknown("T-1");
        assert_eq!(lead_time(Measure::Chopper, &series, &site, &position), Some(Time::weeks(3.0)));
        // Nobody prices a fan by its kind, and no unit brings it.
        assert_eq!(lead_time(Measure::FilterFan, &series, &site, &position), None);
        let of = |bought| lead_time_of(bought, &series, &site, &position);
        assert_eq!([of(Bought::AsUnit), of(Bought::WithUnit)], [Some(Time::weeks(9.0)), Some(Time::weeks(3.0))]);
        let trade = [ListedPart::Relay, ListedPart::Isolator].map(|part| of(Bought::OfTrade(part)));
        assert_eq!(trade, [Some(Time::weeks(1.0)), None]);
    }

    #[test]
    fn metres_and_pieces_are_counted_and_told() {
        let site = Site { prices: listed("motor_cable", 38.0), ..Site::default() };
        let mut position = Position::unknown("T-1");
        let priced = |position: &Position| at_position(remedy(Measure::NewMotorCable, None), &euros(), &site, position);
        let open = priced(&position);
        assert_eq!((open.parts, open.what.as_str()), (None, "do it (priced by the metre; cable.length is not known)"));
        let mut put = |id: FactId, known| {
            if let Some(fact) = position.fact_mut(id) {
                *fact = Fact { known, ..Fact::default() };
            }
        };
        put(CABLE_LENGTH.id, Known::Range(30.0, 40.0));
        put(MOTOR_COUNT.id, Known::Value(2.0));
        // Two runs of 40 m at the most.
        assert_eq!(priced(&position).parts, Some(3040.0));
        let relays = Site { prices: listed("overload_relay", 62.0), ..Site::default() };
        assert_eq!(at_position(remedy(Measure::MotorOverloads, None), &euros(), &relays, &position).parts, Some(124.0));
        assert_eq!(at_position(remedy(Measure::BypassOverload, None), &euros(), &relays, &position).parts, Some(62.0));
    }
}
