use plant::quantity::{Capacitance, Frequency, Inductance, Resistance, Voltage};

use super::*;
use crate::working::Silent;

fn six(ls_uh: f64, rs_mohm: f64, ldc_mh: f64, c_uf: f64, ohms: f64) -> Circuit {
    Circuit {
        feed: Feed::ThreePhase,
        voltage: Voltage::v(400.0),
        frequency: Frequency::hz(50.0),
        source: Impedance { resistance: Resistance::mohm(rs_mohm), inductance: Inductance::uh(ls_uh) },
        reactor: Impedance::NONE,
        winding: Impedance::NONE,
        choke: Impedance::pure(Inductance::mh(ldc_mh)),
        capacitance: Capacitance::uf(c_uf),
        diode_drop: Voltage::v(0.8),
        load: Load::Resistance(Resistance::ohm(ohms)),
    }
}

#[test]
fn peek() {
    for (a, b, c, d) in [(565.5, 8.88, 0.001, 3000.0), (113.1, 1.78, 0.001, 3000.0), (45.2, 0.71, 1.0, 3000.0), (2.3, 0.04, 200.0, 0.0), (565.5, 8.88, 200.0, 0.0)] {
        let r = front_end(&six(a, b, c, d, 6.5), &mut Silent).unwrap();
        println!("{} thd {:.4} h5 {:.4} h7 {:.4} h11 {:.4} {} balance {:e}", r.spectrum.order(1).in_a(), r.thd.in_percent(), r.spectrum.share(5).in_percent(), r.spectrum.share(7).in_percent(), r.spectrum.share(11).in_percent(), r.dc_voltage, (r.input.in_w() - r.output.in_w() - r.losses.in_w()) / r.input.in_w());
    }
    for feed in [Feed::TwelvePulseParallel, Feed::TwelvePulseSeries] {
        for (ldc, c) in [(0.001, 3000.0), (1.0, 3000.0), (50.0, 0.0), (1.0, 100.0)] {
            let f = front_end(&Circuit { feed, winding: Impedance::pure(Inductance::uh(200.0)), ..six(100.0, 3.55, ldc, c, 6.5) }, &mut Silent);
            match f {
                Ok(f) => println!("{:?}: {:?} {:?} {:?} {:?} {:?} thd {:?} h5 {:?} h11 {:?} h13 {:?} b {:e}", feed, f.rms, f.capacitor_current, f.ripple, f.output, f.found, f.thd, f.spectrum.share(5), f.spectrum.share(11), f.spectrum.share(13), (f.input.in_w() - f.output.in_w() - f.losses.in_w()) / f.input.in_w()),
                Err(e) => println!("{feed:?} {ldc} {c}: {e}"),
            }
        }
    }
    for (ldc, c) in [(1.0, 3000.0), (20.0, 3000.0), (50.0, 0.0), (1.0, 100.0), (0.001, 20.0)] {
        for feed in [Feed::ThreePhase, Feed::SinglePhase] {
            let f = front_end(&Circuit { feed, ..six(2000.0, 3.55, ldc, c, 3.0) }, &mut Silent);
            match f {
                Ok(f) => println!("{:?}: {:?} {:?} {:?} {:?} {:?} thd {:?} cond {:?} b {:e}", feed, f.rms, f.capacitor_current, f.ripple, f.output, f.found, f.thd, f.conducting, (f.input.in_w() - f.output.in_w() - f.losses.in_w()) / f.input.in_w()),
                Err(e) => println!("{feed:?} {ldc} {c}: {e}"),
            }
        }
    }
    for (x, r) in [(226.2, 6.5), (565.5, 6.5)] {
        for feed in [Feed::ThreePhase, Feed::SinglePhase] {
            let f = front_end(&Circuit { feed, ..six(x, 3.55, 0.001, 3000.0, r) }, &mut Silent).unwrap();
            println!("{:?}: {:?} {:?} {:?} {:?} {:?}", feed, f.rms, f.capacitor_current, f.ripple, f.output, f.found);
        }
    }
}
