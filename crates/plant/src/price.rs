//! What parts cost where no pack prices them, and how long they take to come: by the site's list, or at one position by a quotation. The
//! parts themselves are chosen by findings and by the crosswalk of conductors.

use crate::quantity::Time;

/// A part that is priced by its kind: between conductors and unit first, then of the power path.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ListedPart {
    /// Interposing relay.
    Relay,
    /// Resistor beside an input.
    Resistor,
    /// Isolator or converter of an analogue signal.
    Isolator,
    /// Converter of encoder signals.
    EncoderConverter,
    /// Relay for the sensor in a winding.
    SensorRelay,
    /// Control transformer or supply.
    ControlSupply,
    /// Supply conductors with their raceway, by the metre of run.
    SupplyConductors,
    /// Protective earth conductor, by the metre of run.
    EarthConductor,
    /// Screened motor cable, by the metre.
    MotorCable,
    /// Line reactor.
    LineReactor,
    /// Harmonic filter.
    HarmonicFilter,
    /// Filter between drive and motor.
    MotorFilter,
    /// Fuses with their holder, or a breaker.
    Protection,
    /// Disconnect between drive and motor.
    Disconnect,
    /// Residual-current device.
    ResidualDevice,
    /// Sensitive earth-fault relay.
    EarthFaultRelay,
    /// Overload relay of a motor.
    OverloadRelay,
    /// Timer between drive and bypass.
    Timer,
    /// Mechanical interlock of two contactors.
    Interlock,
    /// Early-break contact of an isolator.
    BreakContact,
    /// Supply of a motor's brake.
    BrakeSupply,
    /// Brake resistor.
    BrakeResistor,
    /// What drops the line when the brake resistor is too hot.
    LineTrip,
    /// Shaft earthing and insulated bearing.
    ShaftEarthing,
    /// Power terminal block.
    TerminalBlock,
}

/// What files call a part, and what its price stands for.
#[derive(Clone, Copy, Debug)]
pub struct ListedPartDef {
    /// The part.
    pub part: ListedPart,
    /// Key in a table of prices.
    pub key: &'static str,
    /// What its price is for.
    pub doc: &'static str,
    /// A price, for templates; invented.
    pub example: &'static str,
    /// Whether the price is for a metre.
    pub by_metre: bool,
}

macro_rules! listed_parts {
    ($($part:ident $key:literal $doc:literal $example:literal $by_metre:literal;)+) => {
        /// Every part, in the order of files.
        pub const LISTED_PARTS: &[ListedPartDef] =
            &[$(ListedPartDef { part: ListedPart::$part, key: $key, doc: $doc, example: $example, by_metre: $by_metre }),+];
    };
}

listed_parts! {
    Relay "relay" "An interposing relay with its socket." "34" false;
    Resistor "resistor" "A resistor with its terminal." "6" false;
    Isolator "isolator" "An isolator or converter of an analogue signal." "180" false;
    EncoderConverter "encoder_converter" "A converter of encoder signals." "240" false;
    SensorRelay "sensor_relay" "A relay for the sensor in a motor's winding." "115" false;
    ControlSupply "control_supply" "A control transformer or supply with its fuses." "150" false;
    SupplyConductors "supply_conductors" "New supply conductors with their raceway, for a metre of run." "46" true;
    EarthConductor "earth_conductor" "A new protective earth conductor, for a metre of run." "7" true;
    MotorCable "motor_cable" "A new screened motor cable, for a metre." "38" true;
    LineReactor "line_reactor" "A line reactor, where the pack names no price." "240" false;
    HarmonicFilter "harmonic_filter" "A harmonic filter, where the pack names no price." "1900" false;
    MotorFilter "motor_filter" "A filter at the unit's output, where the pack names no price." "820" false;
    Protection "protection" "Fuses with their holder or a breaker, where the pack names no price." "130" false;
    Disconnect "disconnect" "A disconnect with a short-circuit rating and an early-break contact." "310" false;
    ResidualDevice "residual_device" "A residual-current device of type B." "420" false;
    EarthFaultRelay "earth_fault_relay" "A sensitive earth-fault relay with its ring transformer." "380" false;
    OverloadRelay "overload_relay" "An overload relay of one motor." "62" false;
    Timer "timer" "A timer." "44" false;
    Interlock "interlock" "A mechanical interlock of two contactors." "35" false;
    BreakContact "break_contact" "An early-break contact for an isolator." "24" false;
    BrakeSupply "brake_supply" "A supply with its contact for the coil of a motor's brake." "135" false;
    BrakeResistor "brake_resistor" "A brake resistor in its housing, with a thermal contact." "690" false;
    LineTrip "line_trip" "A contactor or shunt trip that drops the line." "160" false;
    ShaftEarthing "shaft_earthing" "An earthing ring, an insulated bearing and common-mode cores." "540" false;
    TerminalBlock "terminal_block" "A power terminal block or listed lugs, with short conductors." "75" false;
}

/// Something said of each of those parts; nothing where nobody has said it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ByPart<T>([Option<T>; LISTED_PARTS.len()]);

/// Prices of a part, or of a metre of it, in the site's currency.
pub type Prices = ByPart<f64>;
/// Times from order to delivery.
pub type LeadTimes = ByPart<Time>;

impl<T: Copy> ByPart<T> {
    /// Where nothing is said.
    pub const NONE: Self = Self([None; LISTED_PARTS.len()]);

    /// By the keys of files.
    #[must_use]
    pub fn by_key(mut said: impl FnMut(&'static str) -> Option<T>) -> Self {
        let mut parts = Self::NONE;
        for (own, def) in parts.0.iter_mut().zip(LISTED_PARTS) {
            *own = said(def.key);
        }
        parts
    }

    /// What is said of a part.
    #[must_use]
    pub const fn get(&self, part: ListedPart) -> Option<T> {
        self.0[part as usize]
    }

    /// What is said here, and of what is silent here what the other says.
    #[must_use]
    pub fn or(mut self, other: Self) -> Self {
        self.0.iter_mut().zip(other.0).for_each(|(own, other)| *own = own.or(other));
        self
    }
}

impl<T: Copy> Default for ByPart<T> {
    fn default() -> Self {
        Self::NONE
    }
}

impl ListedPart {
    /// What files call it.
    #[must_use]
    pub const fn def(self) -> &'static ListedPartDef {
        &LISTED_PARTS[self as usize]
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_list_stands_in_the_order_of_the_parts() {
        for (index, def) in LISTED_PARTS.iter().enumerate() {
            assert_eq!((def.part as usize, def.part.def().key), (index, def.key));
            assert_eq!(def.by_metre, def.doc.contains("for a metre"), "{}", def.key);
        }
        let prices = Prices::by_key(|key| (key == "timer").then_some(44.0));
        assert_eq!((prices.get(ListedPart::Timer), prices.get(ListedPart::Interlock)), (Some(44.0), None));
        let other = Prices::by_key(|key| ["timer", "relay"].contains(&key).then_some(31.0));
        let both = prices.or(other);
        assert_eq!([ListedPart::Timer, ListedPart::Relay].map(|part| both.get(part)), [Some(44.0), Some(31.0)]);
    }
}
