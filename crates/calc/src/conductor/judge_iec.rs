//! Which metric size a circuit needs, and whether the conductors that are there may stay.

use plant::quantity::{Area, Current, Length, Ratio, Voltage, dim};

use super::drop::{ANNEX_G, Drop, TABLE_G_52_1, voltage_drop_iec};
use super::iec_ampacity::{B_52_4_5, B_52_10, B_52_14, B_52_17, IEC_CONDUCTOR, IEC_RUN, IecAmpacity, IecRun, iec_ampacity, iec_run_of};
use super::judge::{
    AFTER, BEFORE, LOAD, MOST_DROP, REQUIRED, RUN_LENGTH, RUN_PF, RUN_VOLTAGE, VERDICT_RESULTS, Verdict, drop_inputs, first_enough,
    judge_usable, verdict_values,
};
use super::size::IecSize;
use crate::checks::above_zero;
use crate::registry::{Arguments, Calculation, Refusal, output};
use crate::sources::DEFINITION;
use crate::working::{Recorder, Silent, Step, Working};

/// A limit on voltage drop.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct IecDropLimit {
    /// Current of the load.
    pub load: Current,
    /// One way.
    pub length: Length,
    /// Line to line.
    pub voltage: Voltage,
    /// Of the load, lagging.
    pub power_factor: Ratio,
    /// Most that may be lost.
    pub most: Ratio,
}

/// The smallest metric conductor for a circuit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct IecSmallest {
    /// Size by ampacity and voltage drop.
    pub size: IecSize,
    /// Size by ampacity alone.
    pub by_ampacity: IecSize,
    /// What the size may carry.
    pub ampacity: IecAmpacity,
    /// What it loses, where a limit was given.
    pub drop: Option<Drop>,
}

/// The smallest metric conductor that has the ampacity and keeps within a voltage drop. `required` is the rating or setting of the
/// device that protects it (I_n ≤ I_z), no less than the load.
///
/// # Errors
/// When the current is not above zero, no size of the table is enough, or its conditions are refused.
///
/// Source: IEC 60364-5-52. Worked example: 63 A by method C, 70 °C copper, take 16 mm² (76 A).
/// ```
/// use calc::{conductor::{iec_ampacity::*, judge_iec::smallest_iec, size::Material}, working::Silent};
/// use plant::quantity::{Current, Temperature};
/// let run = IecRun {
///     material: Material::Copper, insulation: Insulation::Pvc, method: Method::C, ambient: Temperature::c(30.0),
///     grouping: Grouping::Bunched, circuits: 1, parallel: 1,
/// };
/// assert!((smallest_iec(Current::a(63.0), &run, None, &mut Silent).unwrap().size.area().in_mm2() - 16.0).abs() < 1e-9);
/// ```
pub fn smallest_iec<R: Recorder>(
    required: Current,
    run: &IecRun,
    limit: Option<&IecDropLimit>,
    rec: &mut R,
) -> Result<IecSmallest, Refusal> {
    above_zero("the ampacity needed", required)?;
    let gives = |size| iec_ampacity(size, run, &mut Silent);
    let (by_ampacity, _) = first_enough(IecSize::all(), gives, |_, a: &IecAmpacity| a.usable >= required)?;
    let (size, drop) = match limit {
        None => (by_ampacity, None),
        Some(limit) => {
            above_zero("the largest voltage drop", limit.most)?;
            let one = limit.load / f64::from(run.parallel.max(1));
            let lost =
                |s: IecSize| voltage_drop_iec(one, limit.length, s.area(), run.material, limit.power_factor, limit.voltage, &mut Silent);
            let from = IecSize::all().filter(|s| *s >= by_ampacity);
            let (size, found) = first_enough(from, lost, |_, d: &Drop| d.ratio <= limit.most)?;
            (size, Some(found))
        }
    };
    let ampacity = iec_ampacity(size, run, rec)?;
    rec.step(|| {
        Step::new("S", "smallest conductor", "", &DEFINITION).with("I_req", required).gives(size.area()).note(
            match (drop, size == by_ampacity) {
                (None, _) => "voltage drop was not asked for".to_owned(),
                (Some(d), true) => format!("by ampacity; it loses {}", d.ratio),
                (Some(d), false) => format!("by voltage drop; {} would have the ampacity; it loses {}", by_ampacity.area(), d.ratio),
            },
        )
    });
    Ok(IecSmallest { size, by_ampacity, ampacity, drop })
}

/// Whether existing metric conductors carry what the new unit needs.
///
/// # Errors
/// As [`iec_ampacity`], or when a current is not above zero.
pub fn judge_iec<R: Recorder>(
    size: IecSize,
    run: &IecRun,
    before: Option<Current>,
    after: Current,
    rec: &mut R,
) -> Result<Verdict, Refusal> {
    let usable = iec_ampacity(size, run, rec)?.usable;
    judge_usable(usable, before, after, rec)
}

/// `calc iec-conductor-size`.
pub const IEC_CONDUCTOR_SIZE: Calculation = Calculation {
    name: "iec-conductor-size",
    summary: "Smallest metric conductor that has the ampacity and keeps within a voltage drop.",
    inputs: &[
        REQUIRED,
        IEC_RUN[0],
        IEC_RUN[1],
        IEC_RUN[2],
        IEC_RUN[3],
        IEC_RUN[4],
        IEC_RUN[5],
        IEC_RUN[6],
        LOAD,
        RUN_LENGTH,
        RUN_VOLTAGE,
        RUN_PF,
        MOST_DROP,
    ],
    results: &[
        output::<dim::AreaDim>("size", "mm²", "smallest conductor"),
        output::<dim::AreaDim>("by-ampacity", "mm²", "smallest one by ampacity alone"),
        output::<dim::CurrentDim>("usable", "A", "what the phase may carry with it"),
        output::<dim::RatioDim>("drop", "%", "voltage drop, 0 where it was not asked for"),
    ],
    sources: &[&B_52_4_5, &B_52_10, &B_52_14, &B_52_17, &ANNEX_G, &TABLE_G_52_1],
    run: |a: &Arguments, w: &mut Working| {
        let limit = drop_inputs(a)?.map(|(load, length, voltage): (Current, Length, Voltage)| IecDropLimit {
            load,
            length,
            voltage,
            power_factor: a.get("power-factor"),
            most: a.get("most-drop"),
        });
        let found = smallest_iec(a.get("required"), &iec_run_of(a)?, limit.as_ref(), w)?;
        let drop = found.drop.map_or(Ratio::ZERO, |d| d.ratio);
        Ok(vec![found.size.area().in_si(), found.by_ampacity.area().in_si(), found.ampacity.usable.in_si(), drop.in_si()])
    },
};

/// `calc iec-conductor-verdict`.
pub const IEC_CONDUCTOR_VERDICT: Calculation = Calculation {
    name: "iec-conductor-verdict",
    summary: "Whether metric conductors that are there carry what the new unit needs, and whether they were right before.",
    inputs: &[IEC_CONDUCTOR, IEC_RUN[0], IEC_RUN[1], IEC_RUN[2], IEC_RUN[3], IEC_RUN[4], IEC_RUN[5], IEC_RUN[6], BEFORE, AFTER],
    results: VERDICT_RESULTS,
    sources: &[&B_52_4_5, &B_52_10, &B_52_14, &B_52_17],
    run: |a: &Arguments, w: &mut Working| {
        let conductor: Area = a.get("conductor");
        Ok(verdict_values(&judge_iec(IecSize::of(conductor)?, &iec_run_of(a)?, a.get_opt("before"), a.get("after"), w)?))
    },
};

#[cfg(test)]
mod tests {
    use plant::quantity::Temperature;

    use super::*;
    use crate::conductor::iec_ampacity::{Grouping, Insulation, Method};
    use crate::conductor::size::Material;

    const RUN: IecRun = IecRun {
        material: Material::Copper,
        insulation: Insulation::Pvc,
        method: Method::B2,
        ambient: Temperature::c(40.0),
        grouping: Grouping::Bunched,
        circuits: 3,
        parallel: 1,
    };

    #[test]
    fn corrections_count_in_the_search() {
        // 63/(0.87·0.7) = 103.4 A by the table: 50 mm² with 118 A, since 35 mm² has 99 A.
        let found = smallest_iec(Current::a(63.0), &RUN, None, &mut Silent).unwrap();
        assert_eq!(found.size, IecSize::of(Area::mm2(50.0)).unwrap());
        assert!(smallest_iec(Current::a(1000.0), &RUN, None, &mut Silent).is_err());
    }

    #[test]
    fn a_long_run_takes_a_larger_size() {
        // By hand: √3·50·200·(0.0225/50·0.85 + 0.00008·0.5268)/400 = 1.84 %; 35 mm²: 2.55 %; 16 mm²: 5.4 %.
        let limit = IecDropLimit {
            load: Current::a(50.0),
            length: Length::m(200.0),
            voltage: Voltage::v(400.0),
            power_factor: Ratio::of_one(0.85),
            most: Ratio::percent(2.0),
        };
        let run = IecRun { circuits: 1, ambient: Temperature::c(30.0), ..RUN };
        let found = smallest_iec(Current::a(50.0), &run, Some(&limit), &mut Silent).unwrap();
        assert_eq!(found.by_ampacity, IecSize::of(Area::mm2(16.0)).unwrap());
        assert_eq!(found.size, IecSize::of(Area::mm2(50.0)).unwrap());
        assert!((found.drop.unwrap().ratio.in_percent() - 1.84).abs() < 0.01);
    }

    #[test]
    fn margins_stand_before_and_after() {
        // 25 mm²: 80·0.87·0.7 = 48.72 A.
        let found = judge_iec(IecSize::of(Area::mm2(25.0)).unwrap(), &RUN, Some(Current::a(50.0)), Current::a(60.0), &mut Silent).unwrap();
        assert!(found.was_wrong && !found.stays);
        assert!((found.before.unwrap().in_a() + 1.28).abs() < 1e-9 && (found.after.in_a() + 11.28).abs() < 1e-9);
    }
}
