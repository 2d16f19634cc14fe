//! The cautions that stand beside every check and every step that sends somebody to the equipment. They are data, so that
//! no paper can leave one out; each says what to do first. They name hazards and claim nothing: [`DEFERENCE`] says who decides.

/// One caution.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Caution {
    /// Letter by which checks, pages and the list of failure modes refer to it.
    pub letter: char,
    /// The hazard, in two to four words.
    pub hazard: &'static str,
    /// What to do about it, as printed.
    pub text: &'static str,
}

/// Printed once under any set of cautions.
pub const DEFERENCE: &str = "These cautions remind; they replace nothing. Follow the unit's own instructions, the local code and the plant's \
    safety rules, and leave what these reserve to licensed and qualified people with them. Where they ask for more, do more.";

/// Every caution, by letter. Practice of the trade; no standard is quoted and none is claimed.
pub const CAUTIONS: &[Caution] = &[
    Caution {
        letter: 'A',
        hazard: "Arc flash",
        text: "Keep doors of live panels shut unless a permit and the protective clothing for that panel say otherwise. A changed fuse, breaker, \
               setting or feeder can make its arc-flash label wrong: have the study updated before anyone works there energised.",
    },
    Caution {
        letter: 'C',
        hazard: "Long-stored unit",
        text: "Check the date code and when the unit was last energised. After long storage re-form its capacitors as its documents describe \
               before it meets full voltage; with the history unknown, treat it as never energised.",
    },
    Caution {
        letter: 'D',
        hazard: "Charged DC bus",
        text: "Wait the time marked on the unit, then measure DC volts at its bus terminals with a meter proved before and after. A failed bleeder \
               never discharges the bus, and a dark display proves nothing.",
    },
    Caution {
        letter: 'G',
        hazard: "Insulation test voltage",
        text: "Disconnect the drive at its motor and its line terminals before any insulation test, and test motor and cable alone. Discharge them \
               to earth afterwards; the test voltage destroys a connected drive.",
    },
    Caution {
        letter: 'H',
        hazard: "Hot resistor, fire",
        text: "Let brake resistor and heatsink cool before touching them and keep everything that burns away. A shorted chopper heats the resistor \
               as long as the line is on: lead its thermal contact so that it drops the line, not only the run command.",
    },
    Caution {
        letter: 'L',
        hazard: "Other live sources",
        text: "Lock out every source and prove each dead at the point of work: line, separate control supply, shared DC bus, back-feed through a \
               bypass, conductors of other drives in the same conduit, control voltage from the PLC, battery-backed supplies.",
    },
    Caution {
        letter: 'O',
        hazard: "Load that drives",
        text: "Lower or block the load before work and before the first run: hoist, incline, flywheel, unwinder, column of water, fan in the wind. \
               Prove that the mechanical brake alone holds it.",
    },
    Caution {
        letter: 'P',
        hazard: "Motor makes voltage",
        text: "Lock the shaft, or open the motor leads, prove them dead and earth the motor's side. A permanent-magnet motor, or one that wind or \
               water turns, is a live source with the drive off and locked out.",
    },
    Caution {
        letter: 'R',
        hazard: "Wrong rotation",
        text: "Check rotation with the motor uncoupled, or with the load safe to run backwards, once on the drive and once on the bypass. Swapped \
               motor leads turn both; a swapped line pair turns the bypass alone.",
    },
    Caution {
        letter: 'S',
        hazard: "Altered safety function",
        text: "Stop until a competent, where required licensed, person has designed, calculated and validated the change, with a record. Safe \
               torque off is no isolation, and it does not stop a load that moves by itself.",
    },
    Caution {
        letter: 'W',
        hazard: "Heavy parts",
        text: "Read mass and lifting points before loosening the last bolt, and use a hoist or enough hands. Do not lift or hang on to covers; a \
               deep unit on a door or a loose plate tips over.",
    },
    Caution {
        letter: 'X',
        hazard: "Unexpected start",
        text: "Clear everybody from the machine before power returns, a fault is reset, local and remote are switched over or the network comes \
               back. A start command that is still standing may take effect at once.",
    },
    Caution {
        letter: 'Z',
        hazard: "Explosive atmosphere",
        text: "Ask the certifier before anything is changed on a hazardous-area or certified assembly: its certificate may name the drive, its \
               settings and its protection. Without an answer in writing, do not energise.",
    },
];

/// The caution of that letter.
#[must_use]
pub fn find(letter: char) -> Option<&'static Caution> {
    CAUTIONS.iter().find(|c| c.letter == letter)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::failure_modes::FAILURE_MODES;

    #[test]
    fn letters_stand_in_order_once_each() {
        let letters: String = CAUTIONS.iter().map(|c| c.letter).collect();
        assert_eq!(letters, "ACDGHLOPRSWXZ");
    }

    #[test]
    fn every_letter_in_the_list_of_failure_modes_has_a_caution() {
        for mode in FAILURE_MODES {
            for letter in mode.cautions.chars() {
                assert!(find(letter).is_some(), "row {}: {letter}", mode.row);
            }
        }
    }

    #[test]
    fn every_caution_is_used() {
        for caution in CAUTIONS {
            assert!(FAILURE_MODES.iter().any(|mode| mode.cautions.contains(caution.letter)), "{}", caution.letter);
        }
    }

    #[test]
    fn hazards_are_short_and_texts_begin_with_what_to_do() {
        const ORDERS: &[&str] = &["Keep", "Check", "Wait", "Disconnect", "Let", "Lock", "Lower", "Stop", "Read", "Clear", "Ask"];
        for caution in CAUTIONS {
            assert!((2..=4).contains(&caution.hazard.split_whitespace().count()), "{}", caution.hazard);
            let first = caution.text.split_whitespace().next().unwrap_or_default();
            assert!(ORDERS.contains(&first), "{}: {first}", caution.letter);
            assert!(caution.text.ends_with('.') && !caution.text.contains("  "), "{}", caution.letter);
        }
    }

    #[test]
    fn none_claims_compliance() {
        const CLAIMS: &[&str] =
            &["compl", "conform", "in accordance", "according to", "satisf", "approved", "fulfil", "guarantee", "is safe"];
        for text in CAUTIONS.iter().map(|c| c.text).chain([DEFERENCE]) {
            let lower = text.to_lowercase();
            for claim in CLAIMS {
                assert!(!lower.contains(claim), "{claim}: {text}");
            }
        }
    }
}
