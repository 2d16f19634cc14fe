//! What parts of the power path cost where no pack prices them, and how long they take to come: by the site's list, or at one position by a
//! quotation. The parts themselves are chosen by findings.

use crate::quantity::Time;

/// A part of the power path that is priced by its kind.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PowerPart {
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
pub struct PowerPartDef {
    /// The part.
    pub part: PowerPart,
    /// Key in a table of prices.
    pub key: &'static str,
    /// What its price is for.
    pub doc: &'static str,
    /// A price, for templates; invented.
    pub example: &'static str,
    /// Whether the price is for a metre.
    pub by_metre: bool,
}

macro_rules! power_parts {
    ($($part:ident $key:literal $doc:literal $example:literal $by_metre:literal;)+) => {
        /// Every part, in the order of files.
        pub const POWER_PARTS: &[PowerPartDef] =
            &[$(PowerPartDef { part: PowerPart::$part, key: $key, doc: $doc, example: $example, by_metre: $by_metre }),+];
    };
}

power_parts! {
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
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct ByPart<T>([Option<T>; POWER_PARTS.len()]);

/// Prices of a part, or of a metre of it, in the site's currency.
pub type PowerPrices = ByPart<f64>;
/// Times from order to delivery.
pub type LeadTimes = ByPart<Time>;

impl<T: Copy + Default> ByPart<T> {
    /// By the keys of files.
    #[must_use]
    pub fn by_key(mut said: impl FnMut(&'static str) -> Option<T>) -> Self {
        let mut parts = Self::default();
        for (own, def) in parts.0.iter_mut().zip(POWER_PARTS) {
            *own = said(def.key);
        }
        parts
    }

    /// What is said of a part.
    #[must_use]
    pub const fn get(&self, part: PowerPart) -> Option<T> {
        self.0[part as usize]
    }
}

impl PowerPart {
    /// What files call it.
    #[must_use]
    pub const fn def(self) -> &'static PowerPartDef {
        &POWER_PARTS[self as usize]
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_list_stands_in_the_order_of_the_parts() {
        for (index, def) in POWER_PARTS.iter().enumerate() {
            assert_eq!((def.part as usize, def.part.def().key), (index, def.key));
            assert_eq!(def.by_metre, def.doc.contains("for a metre"), "{}", def.key);
        }
        let prices = PowerPrices::by_key(|key| (key == "timer").then_some(44.0));
        assert_eq!((prices.get(PowerPart::Timer), prices.get(PowerPart::Interlock)), (Some(44.0), None));
    }
}
