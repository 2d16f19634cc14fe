//! Holes against slow checks, and plates that never get safer by more load.

use plant::quantity::{Length, Mass, Ratio};
use proptest::prelude::*;

use super::*;
use crate::working::Silent;

fn t(n: i64) -> Tenths {
    Tenths::of(n)
}

prop_compose! {
    fn a_hole(reach: i64)(x in 0..reach, y in 0..reach, d in 1i64..60) -> Hole {
        Hole { at: Point::new(t(x), t(y)), diameter: t(d) }
    }
}

proptest! {
    #[test]
    fn near_holes_are_found_by_the_sorted_search_as_by_looking_at_all(
        old in prop::collection::vec(a_hole(200), 0..12), needed in a_hole(200), place in 0i64..10, diameter in 0i64..10
    ) {
        let tolerance = HoleTolerance { place: t(place), diameter: t(diameter) };
        let (mut kept, mut opened, mut broken) = (Vec::new(), Vec::new(), Vec::new());
        for (i, o) in old.iter().enumerate() {
            let d = o.at - needed.at;
            let key = (o.at.distance_squared(needed.at), i);
            let same = d.x.abs() <= tolerance.place && d.y.abs() <= tolerance.place;
            if same && (o.diameter - needed.diameter).abs() <= tolerance.diameter {
                kept.push(key);
            } else if same && o.diameter < needed.diameter {
                opened.push(key);
            } else if 4 * key.0 < (o.diameter + needed.diameter).get().pow(2) {
                broken.push(key);
            }
        }
        let expected = match (kept.iter().min(), opened.iter().min(), broken.iter().min()) {
            (Some(k), _, _) => Use::Kept(k.1),
            (_, Some(o), _) => Use::Opened(o.1),
            (_, _, Some(b)) => Use::Broken(b.1),
            _ => Use::New,
        };
        prop_assert_eq!(OldHoles::new(&old).usage(&needed, tolerance), expected);
    }

    #[test]
    fn every_hole_is_in_the_plan_once(old in prop::collection::vec(a_hole(600), 0..12), needed in prop::collection::vec(a_hole(600), 0..6)) {
        let datum = Datum { name: "corner".into(), at: Point::new(t(7), t(-3)) };
        let Ok(plan) = drill_plan(&needed, &old, HoleTolerance::USUAL, datum) else {
            prop_assert!(check_pattern(&needed, HoleTolerance::USUAL).is_err());
            return Ok(());
        };
        let sorted = |f: fn(&DrillRow) -> Option<usize>| { let mut v: Vec<usize> = plan.rows.iter().filter_map(f).collect(); v.sort_unstable(); v };
        prop_assert_eq!(sorted(|r| r.needed), (0..needed.len()).collect::<Vec<_>>());
        prop_assert_eq!(sorted(|r| r.old), (0..old.len()).collect::<Vec<_>>());
        for row in &plan.rows {
            let at = row.at + plan.datum.at;
            prop_assert_eq!(row.work == Work::Closed, row.needed.is_none());
            prop_assert!(row.needed.is_none_or(|n| (needed[n].at.x - at.x).abs() <= t(5) && (needed[n].at.y - at.y).abs() <= t(5)));
        }
        prop_assert_eq!(plan.distances.len(), needed.len() * needed.len().saturating_sub(1) / 2);
    }

    #[test]
    fn a_cover_is_a_cover_for_a_grid_of_points(screw in a_hole(60), x in 0i64..60, y in 0i64..60, w in 1i64..40, h in 1i64..40) {
        let outline = Rect::at(Point::new(t(x), t(y)), t(w), t(h));
        let inside = |p: Point| 4 * p.distance_squared(screw.at) < screw.diameter.get().pow(2);
        // The nearest point of a whole-numbered rectangle to a whole-numbered centre is whole-numbered.
        let slow = (x..=x + w).any(|x| (y..=y + h).any(|y| inside(Point::new(t(x), t(y)))));
        prop_assert_eq!(!covered(&[screw], &[outline]).is_empty(), slow);
    }

    #[test]
    fn the_strip_just_bears_its_load(mass in 1.0f64..200.0, factor in 1.0f64..4.0, overhang in 0.0f64..0.3, span in 0.1f64..1.0, width in 0.05f64..0.8, f in 0.0002f64..0.003, m in 0usize..3) {
        let adapter = Adapter {
            mass: Mass::kg(mass), factor: Ratio::of_one(factor), overhang: Length::m(overhang), span: Length::m(span),
            width: Length::m(width), deflection: Length::m(f), material: MATERIALS[m],
        };
        let t = adapter_thickness(&adapter, &mut Silent).unwrap();
        // Sums of thin slices along the strip instead of the closed forms: curvature M/(E·I) integrated twice.
        let (force, e) = (factor * mass * 9.806_65, adapter.material.modulus.in_pa());
        let bend = |moment: &dyn Fn(f64) -> f64, thickness: f64| {
            const SLICES: usize = 4000;
            let (dx, rigid) = (span / SLICES as f64, e * width * thickness.powi(3) / 12.0);
            let (mut slope, mut w) = (0.0, vec![0.0]);
            for i in 0..SLICES {
                let next = slope + moment((i as f64 + 0.5) * dx) / rigid * dx;
                w.push(w[i] + (slope + next) / 2.0 * dx);
                slope = next;
            }
            let tilt = w[SLICES] / span;
            w.iter().enumerate().map(|(i, w)| (w - tilt * i as f64 * dx).abs()).fold(0.0, f64::max)
        };
        let lying = |x: f64| force / 2.0 * x.min(span - x);
        let couple = force * overhang;
        let hanging = |x: f64| if x < span / 2.0 { couple / span * x } else { couple / span * x - couple };
        // Slices of a 4000th are good to this share.
        const SLICED: f64 = 1e-5;
        prop_assert!((bend(&lying, t.lying_deflection.in_m()) / f - 1.0).abs() < SLICED);
        prop_assert!(overhang < 1e-6 || (bend(&hanging, t.hanging_deflection.in_m()) / f - 1.0).abs() < SLICED);
        let stress = |moment: f64, thickness: Length| moment / (width * thickness.in_m().powi(2) / 6.0);
        let allowed = adapter.material.stress.in_pa();
        prop_assert!((stress(lying(span / 2.0), t.lying_stress) / allowed - 1.0).abs() < SLICED);
        prop_assert!(overhang < 1e-6 || (stress(couple / 2.0, t.hanging_stress) / allowed - 1.0).abs() < SLICED);
        prop_assert!(t.sheet.is_none_or(|s| s.in_mm() > t.least.in_mm() * 0.999_999));
        let heavier = adapter_thickness(&Adapter { mass: Mass::kg(mass * 1.1), ..adapter }, &mut Silent).unwrap();
        prop_assert!(heavier.least > t.least);
    }
}

#[test]
fn what_is_no_hole_or_plate_is_refused() {
    let hole = |x, d| Hole { at: Point::new(t(x), t(0)), diameter: t(d) };
    assert!(uses(&[hole(0, 0)], &[], HoleTolerance::USUAL).is_err());
    assert!(uses(&[hole(0, 5), hole(10, 5)], &[], HoleTolerance::USUAL).is_err(), "one old hole between them would serve both");
    assert!(uses(&[hole(0, 5), hole(11, 5)], &[], HoleTolerance::USUAL).is_ok());
    assert!(uses(&[], &[hole(i64::MAX, 5)], HoleTolerance::USUAL).is_err());
    assert!(uses(&[], &[], HoleTolerance { place: t(-1), diameter: t(0) }).is_err());
    assert!(spacing(&[], t(0), t(5), SpacingRule::USUAL).is_err());
    assert!(spacing(&[], t(5), t(5), SpacingRule { edge_tenths: -1, between_tenths: 0 }).is_err());
    let good = Adapter {
        mass: Mass::kg(10.0),
        factor: Ratio::of_one(1.0),
        overhang: Length::ZERO,
        span: Length::m(0.3),
        width: Length::m(0.2),
        deflection: Length::mm(1.0),
        material: MATERIALS[0],
    };
    assert!(adapter_thickness(&good, &mut Silent).is_ok());
    for wrong in [
        Adapter { mass: Mass::ZERO, ..good },
        Adapter { factor: Ratio::of_one(0.9), ..good },
        Adapter { overhang: Length::mm(-1.0), ..good },
        Adapter { span: Length::m(f64::NAN), ..good },
    ] {
        assert!(adapter_thickness(&wrong, &mut Silent).is_err());
    }
}
