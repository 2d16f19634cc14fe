//! Tests of the IEC tables: they rise as they must, and refuse what they do not hold.

use proptest::prelude::*;

use super::*;
use crate::working::Silent;

fn run(material: Material, insulation: Insulation, method: Method, ambient: f64, circuits: u8) -> IecRun {
    IecRun { material, insulation, method, ambient: Temperature::c(ambient), grouping: Grouping::Bunched, circuits, parallel: 1 }
}

fn usable(size: IecSize, run: &IecRun) -> Option<Current> {
    iec_ampacity(size, run, &mut Silent).ok().map(|a| a.usable)
}

#[test]
fn tables_rise_with_size_insulation_and_method() {
    for rows in [&COPPER_PVC, &COPPER_XLPE, &ALUMINIUM_PVC, &ALUMINIUM_XLPE] {
        assert!(rows.windows(2).all(|p| (0..6).all(|c| p[0][c].is_nan() || p[0][c] < p[1][c])));
        // A2 below A1, B2 below B1, C above B2, E no lower than C.
        assert!(rows.iter().all(|r| r.iter().any(|v| v.is_nan()) || (r[1] < r[0] && r[3] < r[2] && r[4] > r[3] && r[5] > r[4])));
        assert!(rows.iter().all(|r| r[4].is_nan() || r[5] >= r[4]));
    }
    for (cool, hot) in [(&COPPER_PVC, &COPPER_XLPE), (&ALUMINIUM_PVC, &ALUMINIUM_XLPE)] {
        assert!(cool.iter().zip(hot).all(|(c, h)| c.iter().zip(h).all(|(c, h)| c.is_nan() || h.is_nan() || c < h)));
    }
    for (al, cu) in [(&ALUMINIUM_PVC, &COPPER_PVC), (&ALUMINIUM_XLPE, &COPPER_XLPE)] {
        // Aluminium carries 0.73 to 0.85 of copper everywhere in these tables.
        assert!(al.iter().zip(cu).all(|(a, c)| a.iter().zip(c).all(|(a, c)| a.is_nan() || (0.73..0.85).contains(&(a / c)))));
    }
}

#[test]
fn factors_fall_with_heat_and_with_number() {
    assert!(AMBIENT.windows(2).all(|p| p[0].0 < p[1].0 && (p[1].1.is_nan() || p[0].1 > p[1].1) && p[0].2 > p[1].2));
    assert!(BUNCHED.windows(2).all(|p| p[0].0 < p[1].0 && p[0].1 > p[1].1));
    assert!([WALL, TRAY, LADDER].iter().all(|row| row.windows(2).all(|p| p[0] >= p[1])));
}

#[test]
fn what_is_not_held_is_refused() {
    let size = IecSize::of(Area::mm2(25.0)).unwrap();
    let pvc = run(Material::Copper, Insulation::Pvc, Method::C, 30.0, 1);
    assert!(usable(size, &IecRun { ambient: Temperature::c(61.0), ..pvc }).is_none());
    assert!(usable(size, &IecRun { circuits: 21, ..pvc }).is_none());
    assert!(usable(size, &IecRun { circuits: 21, grouping: Grouping::Ladder, ..pvc }).is_some());
    assert!(usable(size, &IecRun { parallel: 2, ..pvc }).is_none());
    assert!(usable(size, &IecRun { method: Method::B2, material: Material::Aluminium, ..pvc }).is_none());
    assert!(overload(Current::ZERO, Current::a(1.0), Current::a(1.0), Ratio::of_one(1.6), &mut Silent).is_err());
}

#[test]
fn a_device_above_the_conductor_does_not_hold() {
    let rule = overload(Current::a(60.0), Current::a(80.0), Current::a(70.0), Ratio::of_one(1.3), &mut Silent).unwrap();
    assert!(!rule.holds && rule.under_conductor == Current::a(-10.0));
}

proptest! {
    #[test]
    fn thicker_cooler_and_fewer_never_carry_less(
        i in 0usize..16, j in 0usize..16, s in -10.0f64..85.0, t in -10.0f64..85.0, n in 1u8..30, m in 1u8..30,
        aluminium: bool, xlpe: bool, method in 0usize..6, group in 0usize..4,
    ) {
        let material = if aluminium { Material::Aluminium } else { Material::Copper };
        let insulation = if xlpe { Insulation::Xlpe } else { Insulation::Pvc };
        let sizes: Vec<IecSize> = IecSize::all().collect();
        let at = |size: usize, ambient: f64, circuits: u8| {
            let run = IecRun { grouping: Grouping::ALL[group], ..run(material, insulation, Method::ALL[method], ambient, circuits) };
            usable(sizes[size], &run).unwrap_or(Current::ZERO)
        };
        prop_assert!(at(i.max(j), t, n) >= at(i.min(j), t, n));
        prop_assert!(at(i, t.min(s), n) >= at(i, t.max(s), n));
        prop_assert!(at(i, t, n.min(m)) >= at(i, t, n.max(m)));
    }
}
