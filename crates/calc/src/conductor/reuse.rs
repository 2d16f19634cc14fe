//! Whether the fuse or breaker that is there may protect the new unit: only what stands in the unit's list of tested
//! combinations counts, by kind, class, rating and the fault current it was tested at.

use plant::quantity::{Current, Voltage, dim};

use crate::checks::{above_zero, flag, worded};
use crate::registry::{Arguments, Calculation, Refusal, output, quantity, word};
use crate::sources::{Knowledge, PACK, Source};
use crate::working::{Recorder, Step, Working};

/// Only tested combinations count.
pub const COMBINATIONS: Source = Source::new(
    "NFPA 70 NEC 430.130(A), 110.3(B), 110.10: the protection in the instructions and the listing of the unit; interrupting rating by 110.9",
    Knowledge::FromMemory,
);

worded! {
    /// Class of a protective device.
    Class "class of device" {
        J "J" "Fuse of class J.";
        T "T" "Fuse of class T.";
        Cc "CC" "Fuse of class CC.";
        Rk1 "RK1" "Fuse of class RK1.";
        Rk5 "RK5" "Fuse of class RK5.";
        L "L" "Fuse of class L.";
        Hk "H-K" "Fuse of class H or K.";
        Gg "gG" "Fuse of IEC 60269, full range, general use.";
        Am "aM" "Fuse of IEC 60269, partial range, motors.";
        Ar "aR" "Semiconductor fuse, partial range.";
        Gr "gR-gS" "Semiconductor fuse, full range.";
        InverseTime "breaker" "Inverse-time breaker.";
        MotorController "combination" "Combination motor controller, type as listed.";
    }
}

/// One line of the unit's list.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Listed {
    /// Class.
    pub class: Class,
    /// Largest rating.
    pub most: Current,
    /// Highest line voltage.
    pub voltage: Voltage,
    /// Fault current that the combination was tested at.
    pub rating: Current,
}

/// What is there.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Fitted {
    /// Class.
    pub class: Class,
    /// Rating, or setting.
    pub current: Current,
    /// Interrupting rating of the device itself.
    pub interrupting: Current,
}

/// What is known of a reuse.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Reuse {
    /// A line of the list has this class.
    pub class_listed: bool,
    /// Largest rating of that class at this voltage, less what is fitted; nothing when the class or voltage is not listed.
    pub room: Option<Current>,
    /// Fault current of the line that serves best; nothing when none does.
    pub rating: Option<Current>,
    /// The fault current of the combination, no more than the device interrupts, less what is available.
    pub margin: Option<Current>,
    /// It may stay.
    pub stays: bool,
}

/// Whether a fuse or breaker that is there may stay.
///
/// Of the lines with the same class, a voltage no lower than the line's and a rating no lower than the one fitted, the one with
/// the highest tested fault current counts; the device must interrupt the available current as well. A smaller fuse than
/// listed passes here; whether it carries the unit's input is another question.
///
/// # Errors
/// When the list is empty (the unit's documents are silent), or a value is not above zero.
///
/// Source: NEC 430.130; the unit's documents. Worked example: class J 80 A, listed to 100 A at 100 kA, 31.4 kA available: it stays.
/// ```
/// use calc::{conductor::reuse::*, working::Silent};
/// use plant::quantity::{Current, Voltage};
/// let list = [Listed { class: Class::J, most: Current::a(100.0), voltage: Voltage::v(600.0), rating: Current::ka(100.0) }];
/// let fitted = Fitted { class: Class::J, current: Current::a(80.0), interrupting: Current::ka(200.0) };
/// let stays = |f| reuse(&f, &list, Voltage::v(480.0), Current::ka(31.4), &mut Silent).unwrap().stays;
/// assert!(stays(fitted) && !stays(Fitted { class: Class::Rk5, ..fitted }));
/// ```
pub fn reuse<R: Recorder>(fitted: &Fitted, list: &[Listed], line: Voltage, available: Current, rec: &mut R) -> Result<Reuse, Refusal> {
    if list.is_empty() {
        return Err(Refusal::new("the unit's documents list no protection; without a listed combination nothing may be kept or chosen"));
    }
    above_zero("the rating of the device", fitted.current)?;
    above_zero("the interrupting rating of the device", fitted.interrupting)?;
    above_zero("the line voltage", line)?;
    above_zero("the available fault current", available)?;
    for listed in list {
        above_zero("the largest rating of a listed device", listed.most)?;
        above_zero("the voltage of a listed device", listed.voltage)?;
        above_zero("the fault current of a listed device", listed.rating)?;
    }
    let of_class: Vec<&Listed> = list.iter().filter(|l| l.class == fitted.class).collect();
    let at_voltage = || of_class.iter().filter(|l| l.voltage >= line);
    let room = at_voltage().map(|l| l.most - fitted.current).reduce(Current::max);
    let rating = at_voltage().filter(|l| l.most >= fitted.current).map(|l| l.rating).reduce(Current::max);
    let margin = rating.map(|r| r.min(fitted.interrupting) - available);
    let found = Reuse { class_listed: !of_class.is_empty(), room, rating, margin, stays: margin.is_some_and(|m| m >= Current::ZERO) };
    rec.step(|| {
        let words = match (found.class_listed, room, rating) {
            (false, _, _) => "this class is not listed for the unit".to_owned(),
            (true, None, _) => format!("this class is listed below {line} only"),
            (true, Some(room), None) => format!("larger than listed by {}", -room),
            (true, Some(_), Some(rating)) => format!("listed, tested at {rating}"),
        };
        Step::new("device", format!("{} {} against the unit's list", fitted.class.word(), fitted.current), "", &PACK).gives(words)
    });
    if let (Some(rating), Some(margin)) = (rating, margin) {
        rec.step(|| {
            Step::new("m", "tested fault current over the available one", "min(I_list, I_device) − I_k", &COMBINATIONS)
                .with("I_list", rating)
                .with("I_device", fitted.interrupting)
                .with("I_k", available)
                .gives(margin)
        });
    }
    Ok(found)
}

/// `calc protection-reuse`.
pub const PROTECTION_REUSE: Calculation = Calculation {
    name: "protection-reuse",
    summary: "Whether a fuse or breaker that is there may protect the new unit, against one line of the unit's list.",
    inputs: &[
        word("class", Class::WORDS, "class of the device that is there"),
        quantity::<dim::CurrentDim>("current", "its rating or setting"),
        quantity::<dim::CurrentDim>("interrupting", "its interrupting rating"),
        word("listed-class", Class::WORDS, "class in the unit's list"),
        quantity::<dim::CurrentDim>("listed-most", "largest rating in the unit's list"),
        quantity::<dim::VoltageDim>("listed-voltage", "highest line voltage in the unit's list"),
        quantity::<dim::CurrentDim>("listed-rating", "fault current of that line of the list"),
        quantity::<dim::VoltageDim>("line", "line voltage"),
        quantity::<dim::CurrentDim>("available", "fault current available at the device"),
    ],
    results: &[
        output::<dim::CountDim>("stays", "", "1 when it may stay"),
        output::<dim::CountDim>("class-listed", "", "1 when its class is listed"),
        output::<dim::CountDim>("listed", "", "1 when class, voltage and rating are all within the list"),
        output::<dim::CurrentDim>("margin", "A", "tested fault current less the available one; less than nothing when it is not listed"),
    ],
    sources: &[&PACK, &COMBINATIONS],
    run: |a: &Arguments, w: &mut Working| {
        let listed = Listed {
            class: Class::from_word(a.word("listed-class"))?,
            most: a.get("listed-most"),
            voltage: a.get("listed-voltage"),
            rating: a.get("listed-rating"),
        };
        let fitted = Fitted { class: Class::from_word(a.word("class"))?, current: a.get("current"), interrupting: a.get("interrupting") };
        let available: Current = a.get("available");
        let found = reuse(&fitted, &[listed], a.get("line"), available, w)?;
        // A combination that is not listed was tested at nothing.
        let margin = found.margin.unwrap_or(-available);
        Ok(vec![flag(found.stays), flag(found.class_listed), flag(found.rating.is_some()), margin.in_si()])
    },
};

#[cfg(test)]
mod tests {
    use super::*;
    use crate::working::Silent;

    const LIST: [Listed; 3] = [
        Listed { class: Class::J, most: Current::a(100.0), voltage: Voltage::v(600.0), rating: Current::ka(100.0) },
        Listed { class: Class::InverseTime, most: Current::a(125.0), voltage: Voltage::v(480.0), rating: Current::ka(35.0) },
        Listed { class: Class::InverseTime, most: Current::a(100.0), voltage: Voltage::v(480.0), rating: Current::ka(65.0) },
    ];
    const FITTED: Fitted = Fitted { class: Class::InverseTime, current: Current::a(100.0), interrupting: Current::ka(65.0) };

    fn at(fitted: Fitted, line: f64, available: f64) -> Reuse {
        reuse(&fitted, &LIST, Voltage::v(line), Current::ka(available), &mut Silent).unwrap()
    }

    #[test]
    fn the_best_line_of_the_class_counts() {
        assert_eq!(at(FITTED, 480.0, 50.0).margin, Some(Current::ka(15.0)));
        let larger = at(Fitted { current: Current::a(110.0), ..FITTED }, 480.0, 50.0);
        assert!(!larger.stays && larger.rating == Some(Current::ka(35.0)));
    }

    #[test]
    fn the_device_must_interrupt_it_too() {
        let weak = at(Fitted { interrupting: Current::ka(22.0), ..FITTED }, 480.0, 30.0);
        assert!(!weak.stays && weak.margin == Some(Current::ka(-8.0)));
    }

    #[test]
    fn what_is_not_listed_never_stays() {
        let unlisted = at(Fitted { class: Class::Rk5, ..FITTED }, 480.0, 1.0);
        assert!(!unlisted.stays && !unlisted.class_listed && unlisted.room.is_none());
        let high = at(FITTED, 575.0, 1.0);
        assert!(!high.stays && high.class_listed && high.room.is_none());
        let large = at(Fitted { current: Current::a(150.0), ..FITTED }, 480.0, 1.0);
        assert!(!large.stays && large.room == Some(Current::a(-25.0)));
        assert!(reuse(&FITTED, &[], Voltage::v(480.0), Current::ka(1.0), &mut Silent).is_err());
    }
}
