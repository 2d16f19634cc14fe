//! Tests of the tables of resistance: against each other and against the metals.

use super::*;
use crate::working::Silent;

#[test]
fn resistance_falls_with_size() {
    assert!(DC.windows(2).all(|p| p[0].0 > p[1].0 && p[0].1 > p[1].1));
    let held: Vec<&[f64; 8]> = AC.iter().filter(|r| !r[2].is_nan()).collect();
    assert!(held.windows(2).all(|p| (2..8).all(|c| p[0][c].is_nan() || p[0][c] > p[1][c])));
    assert!(IEC.windows(2).all(|p| p[0].0 > p[1].0 && p[0].2 > p[1].2 && (p[0].1.is_nan() || p[0].1 > p[1].1)));
}

#[test]
fn alternating_resistance_is_that_of_direct_current_or_a_little_more() {
    // Tables 8 and 9 were typed in apart; where they differ by more than rounding and skin effect, a digit is wrong.
    for (size, row) in NecSize::all().zip(&AC).filter(|(_, r)| !r[2].is_nan()) {
        let ratio = row[2] / DC[size.row()].0;
        assert!((0.96..1.20).contains(&ratio), "{}: {ratio}", size.name());
        assert!(row[5].is_nan() || (0.96..1.12).contains(&(row[5] / DC[size.row()].1)), "{}", size.name());
    }
}

#[test]
fn resistance_is_that_of_the_metal() {
    // R·A at 75 °C is about 21.3 mΩ·mm²/m for copper, 35 for aluminium: a second way to every figure of Table 8.
    for size in NecSize::all() {
        let (copper, aluminium) = DC[size.row()];
        let rho = |per_kft: f64| per_kft / 304.8 * size.area().in_mm2();
        assert!((0.0206..0.0216).contains(&rho(copper)), "{}: {}", size.name(), rho(copper));
        assert!((0.0338..0.0358).contains(&rho(aluminium)), "{}: {}", size.name(), rho(aluminium));
    }
    for (size, (copper, aluminium, fine)) in IecSize::all().zip(IEC) {
        let rho = |per_km: f64| per_km / 1e3 * size.area().in_mm2();
        assert!((0.0172..0.0196).contains(&rho(copper)) && (0.0172..0.0205).contains(&rho(fine)), "{}", size.area());
        assert!(aluminium.is_nan() || (0.0290..0.0325).contains(&rho(aluminium)), "{}", size.area());
    }
}

#[test]
fn what_the_tables_leave_out_is_refused() {
    let size = NecSize::of(Area::kcmil(700.0)).unwrap();
    let run = |t| nec_impedance(size, Material::Copper, Conduit::Pvc, Length::m(1.0), 1, Temperature::c(t), &mut Silent);
    assert!(run(75.0).is_err());
    let size = NecSize::of(Area::kcmil(750.0)).unwrap();
    let run = |t, l, n| nec_impedance(size, Material::Copper, Conduit::Pvc, Length::m(l), n, Temperature::c(t), &mut Silent);
    assert!(run(75.0, 1.0, 1).is_ok());
    assert!(run(f64::NAN, 1.0, 1).is_err() && run(75.0, 0.0, 1).is_err() && run(75.0, 1.0, 0).is_err());
    assert!(dc_resistance(size, Material::Copper, Strands::Solid, Length::m(1.0), 1, &mut Silent).is_err());
    let small = IecSize::of(Area::mm2(6.0)).unwrap();
    let at = Temperature::c(20.0);
    assert!(iec_impedance(small, Material::Aluminium, Strands::Stranded, Length::m(1.0), 1, at, None, &mut Silent).is_err());
}
