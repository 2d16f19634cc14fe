//! What must hold of the heat of any box.

use proptest::prelude::*;

use super::*;
use crate::working::Working;
use plant::quantity::System;

fn heat(width: f64, height: f64, depth: f64, watts: f64) -> BoxHeat {
    BoxHeat {
        standing: Standing {
            size: BoxSize { width: Length::m(width), height: Length::m(height), depth: Length::m(depth) },
            arrangement: Arrangement::Wall,
            top_covered: false,
        },
        loss: Power::w(watts),
        partitions: 0,
        curve: 1,
        edition: Edition::Tr2022,
        openings: Openings::None,
        altitude: Length::ZERO,
    }
}

fn rise(heat: &BoxHeat) -> BoxRise {
    box_rise(heat, &mut Silent).unwrap()
}

#[test]
fn outside_the_figures_is_refused() {
    let good = heat(0.8, 2.0, 0.6, 600.0);
    assert!(box_rise(&good, &mut Silent).is_ok());
    let refused = |change: fn(&mut BoxHeat)| {
        let mut bad = good;
        change(&mut bad);
        box_rise(&bad, &mut Silent).unwrap_err().0
    };
    assert!(refused(|h| h.loss = Power::w(-1.0)).contains("loss"));
    assert!(refused(|h| h.loss = Power::w(f64::NAN)).contains("loss"));
    assert!(refused(|h| h.standing.size.width = Length::ZERO).contains("width"));
    assert!(refused(|h| h.standing.size.depth = Length::m(f64::INFINITY)).contains("depth"));
    assert!(refused(|h| h.partitions = 4).contains("partitions"));
    assert!(refused(|h| h.curve = 0).contains("curves"));
    assert!(refused(|h| h.curve = 6).contains("curves"));
    assert!(refused(|h| h.altitude = Length::m(3001.0)).contains("documented up to 3"));
    assert!(refused(|h| h.standing.size.width = Length::m(6.0)).contains("12 m²"));
    assert!(refused(|h| h.edition = Edition::Tr1987).contains("3 m²"));
    assert!(refused(|h| h.openings = Openings::Read { k: 0.0, c: 1.2 }).contains("above 0"));
    // A small box has no partitions and no openings; a very slim one has no c.
    let mut small = heat(0.4, 0.4, 0.2, 60.0);
    small.partitions = 1;
    assert!(box_rise(&small, &mut Silent).is_err());
    small.partitions = 0;
    small.openings = Openings::Read { k: 0.3, c: 1.3 };
    assert!(box_rise(&small, &mut Silent).is_err());
    assert!(box_rise(&heat(0.1, 0.5, 0.1, 20.0), &mut Silent).unwrap_err().0.contains("3 widths"));
}

#[test]
fn partitions_and_openings_enter_where_they_should() {
    let mut box_ = heat(0.8, 2.0, 0.6, 600.0);
    let plain = rise(&box_);
    box_.partitions = 3;
    assert!((rise(&box_).mid / plain.mid - 1.30).abs() < 1e-12);
    box_.openings = Openings::Read { k: 0.1, c: 1.5 };
    // 0.1·1.15·600^0.715, worked by hand: 600^0.715 = 96.90
    let vented = rise(&box_);
    assert!((vented.mid.in_dk() - 11.143).abs() < 0.01, "{}", vented.mid.in_dk());
    assert!((vented.top / vented.mid - 1.5).abs() < 1e-12);
}

#[test]
fn the_simple_rise_warns_where_it_is_too_cool() {
    // 1875 W in a tall free box: 60 K by the simple form, warmer by the report.
    let mut tall = heat(0.8, 2.0, 0.6, 1875.0);
    tall.standing.arrangement = Arrangement::Free;
    let report = rise(&tall);
    let simple = |wall| simple_rise(tall.loss, report.surface, wall, &mut Silent).unwrap();
    assert_eq!(safe_side(simple(Wall::PaintedSteel), &report), SafeSide::BelowMid);
    assert_eq!(safe_side(simple(Wall::StainlessSteel), &report), SafeSide::BelowTop);
    assert_eq!(safe_side(report.top, &report), SafeSide::Safe);
}

#[test]
fn a_small_box_is_as_warm_as_its_top_from_three_quarters_up() {
    let small = rise(&heat(0.4, 0.4, 0.2, 60.0));
    assert_eq!(small.at(Ratio::of_one(0.75)), small.top);
    assert_eq!(small.at(Ratio::of_one(1.0)), small.top);
    assert_eq!(small.at(Ratio::of_one(0.2)), small.mid);
    let tall = rise(&heat(0.8, 2.0, 0.6, 600.0));
    assert!((tall.at(Ratio::of_one(0.75)).in_dk() - (tall.mid + tall.top).in_dk() / 2.0).abs() < 1e-12);
}

#[test]
fn the_working_can_be_followed() {
    let mut working = Working::default();
    let mut box_ = heat(0.8, 2.0, 0.6, 600.0);
    box_.altitude = Length::m(1500.0);
    box_rise(&box_, &mut working).unwrap();
    let lines: Vec<String> = working.steps.iter().map(|s| s.line(System::Metric)).collect();
    assert!(lines.iter().any(|l| l.starts_with("Δt_0.5 = k·d·P^x/k_h = 0.1595·1·600 W^0.804/84 % = 32.5")), "{lines:#?}");
    assert!(lines.iter().any(|l| l.starts_with("A_e = ") && l.ends_with("5.072 m²")), "{lines:#?}");
}

/// Boxes within every figure.
fn boxes() -> impl Strategy<Value = BoxHeat> {
    let sides = (0.25f64..1.4, 0.5f64..2.2, 0.2f64..0.9, 0.0f64..3000.0);
    (sides, 0usize..6, any::<bool>(), 1u8..=5, 0.0f64..2999.0).prop_filter_map(
        "inside the figures",
        |(sides, at, top_covered, curve, altitude)| {
            let mut box_ = heat(sides.0, sides.1, sides.2, sides.3);
            box_.standing.arrangement = Arrangement::ALL[at];
            box_.standing.top_covered = top_covered;
            box_.curve = curve;
            box_.altitude = Length::m(altitude);
            box_rise(&box_, &mut Silent).is_ok().then_some(box_)
        },
    )
}

proptest! {
    #[test]
    fn finite_and_warmer_upwards(box_ in boxes()) {
        let r = rise(&box_);
        prop_assert!(r.mid.is_finite() && r.top.is_finite() && r.mid >= TemperatureRise::ZERO && r.top >= r.mid);
    }

    #[test]
    fn more_watts_are_never_cooler(box_ in boxes(), more in 0.0f64..2000.0) {
        let hotter = rise(&BoxHeat { loss: box_.loss + Power::w(more), ..box_ });
        let r = rise(&box_);
        prop_assert!(hotter.mid >= r.mid && hotter.top >= r.top);
    }

    #[test]
    fn higher_up_is_never_cooler(box_ in boxes(), up in 0.0f64..3000.0) {
        let higher = Length::m((box_.altitude.in_m() + up).min(3000.0));
        let thin = rise(&BoxHeat { altitude: higher, ..box_ });
        prop_assert!(thin.mid >= rise(&box_).mid && thin.top >= rise(&box_).top);
    }

    #[test]
    fn more_surface_is_never_hotter(a in 0.08f64..12.0, b in 0.08f64..12.0) {
        let k = |m2| box_constant(Area::m2(m2), Edition::Tr2022, &mut Silent).unwrap();
        prop_assert!(k(a.max(b)) <= k(a.min(b)));
    }

    #[test]
    fn old_figures_fall_with_surface_too(a in 1.25f64..3.0, b in 1.25f64..3.0, c in 0.1f64..1.0, d in 0.1f64..1.0) {
        let k = |m2| box_constant(Area::m2(m2), Edition::Tr1987, &mut Silent).unwrap();
        prop_assert!(k(a.max(b)) <= k(a.min(b)) && k(c.max(d)) <= k(c.min(d)));
    }

    #[test]
    fn a_deeper_or_freer_box_is_never_hotter(box_ in boxes(), more in 0.0f64..0.3) {
        let r = rise(&box_);
        let mut deeper = box_;
        deeper.standing.size.depth = box_.standing.size.depth + Length::m(more);
        let mut free = box_;
        free.standing.arrangement = Arrangement::Free;
        free.standing.top_covered = false;
        for easier in [deeper, free] {
            let Ok(e) = box_rise(&easier, &mut Silent) else { continue };
            prop_assert!(e.surface >= r.surface && e.mid <= r.mid);
            // At the top the two kinds of box have different curves of c.
            if (e.top_from == r.top_from) && box_.standing.size.height == easier.standing.size.height {
                prop_assert!(e.top.in_dk() <= r.top.in_dk() * (1.0 + EDGE));
            }
        }
    }

    #[test]
    fn walls_carry_back_what_they_warmed(watts in 0.0f64..5000.0, m2 in 0.1f64..12.0) {
        for wall in [Wall::PaintedSteel, Wall::StainlessSteel] {
            let difference = simple_rise(Power::w(watts), Area::m2(m2), wall, &mut Silent).unwrap();
            let back = wall_heat(Area::m2(m2), wall, difference, &mut Silent).unwrap();
            prop_assert!((back.in_w() - watts).abs() < 1e-9 * watts.max(1.0));
        }
    }
}
