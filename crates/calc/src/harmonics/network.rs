//! The circuit as matrices: one coordinate per phase current and per DC current of each bridge.
//!
//! Angles take the place of time (θ = ω·t), so that inductances stand as reactances and capacitances as susceptances. In
//! coordinates w, all conduction patterns share one law: X·dw/dθ + R·w = e(θ) − drops − dc·v, held to the
//! currents that the pattern lets flow ([`super::reduced`]).

use super::circuit::{Circuit, Feed, Load};

/// Coordinates: phases a, b, c and the DC current of two bridges.
pub(super) const W: usize = 8;
/// Coordinates of one bridge; its DC current is the last of them.
pub(super) const OF_BRIDGE: usize = 4;
/// Place of the DC current among them.
pub(super) const DC: usize = 3;

/// Square matrix over the coordinates.
pub(super) type Matrix = [[f64; W]; W];

/// What flows out of the capacitor, apart from a share of its voltage.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Drain {
    /// Current per volt.
    pub(super) conductance: f64,
    /// Current at any voltage.
    pub(super) constant: f64,
}

/// The circuit in coordinates.
#[derive(Clone, Debug)]
pub(super) struct Network {
    /// Phases that feed each bridge: 2 or 3.
    pub(super) phases: usize,
    /// Bridges: 1 or 2.
    pub(super) bridges: usize,
    /// Two bridges carry the same DC current.
    pub(super) series: bool,
    /// Reactances at the supply's frequency.
    pub(super) x: Matrix,
    /// Resistances.
    pub(super) r: Matrix,
    /// Source voltages at the phase coordinates: factors of cos θ and sin θ.
    pub(super) cos: [f64; W],
    pub(super) sin: [f64; W],
    /// Drop of the two diodes in a bridge's path.
    pub(super) drop: f64,
    /// Coordinates that charge the capacitor.
    pub(super) dc: [f64; W],
    /// ω·C; zero without a capacitor.
    pub(super) b: f64,
    /// The load at the capacitor.
    pub(super) drain: Drain,
    /// The load's resistance where no capacitor stands before it.
    pub(super) bare_load: f64,
    /// Line currents at the source out of coordinates.
    pub(super) line: [[f64; W]; 3],
    /// Sizes that tolerances are shares of: current, voltage.
    pub(super) current_size: f64,
    pub(super) voltage_size: f64,
}

/// Line currents of a star–delta winding out of the currents of its bridge, at equal voltages: 30° turned.
const TURN: [[f64; 3]; 3] = {
    const K: f64 = 0.577_350_269_189_625_8;
    [[K, -K, 0.0], [0.0, K, -K], [-K, 0.0, K]]
};
/// The same voltages without turning.
const STRAIGHT: [[f64; 3]; 3] = [[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]];

impl Network {
    /// The network of a circuit that was found sensible, with a load current where the load takes a power.
    pub(super) fn new(circuit: &Circuit, constant: f64) -> Self {
        let omega = std::f64::consts::TAU * circuit.frequency.in_hz();
        let (phases, bridges) = match circuit.feed {
            Feed::SinglePhase => (2, 1),
            Feed::ThreePhase => (3, 1),
            Feed::TwelvePulseParallel | Feed::TwelvePulseSeries => (3, 2),
        };
        let series = circuit.feed == Feed::TwelvePulseSeries;
        let line_x = omega * (circuit.source.inductance + circuit.reactor.inductance).in_henry();
        let line_r = (circuit.source.resistance + circuit.reactor.resistance).in_ohm();
        let own = if bridges == 2 { circuit.winding } else { super::circuit::Impedance::NONE };
        let (own_x, own_r) = (omega * own.inductance.in_henry(), own.resistance.in_ohm());
        let turns = [STRAIGHT, TURN];
        let mut net = Self {
            phases,
            bridges,
            series,
            x: [[0.0; W]; W],
            r: [[0.0; W]; W],
            cos: [0.0; W],
            sin: [0.0; W],
            drop: 2.0 * circuit.diode_drop.in_v(),
            dc: [0.0; W],
            b: omega * circuit.capacitance.in_farad(),
            drain: Drain { conductance: 0.0, constant: 0.0 },
            bare_load: 0.0,
            line: [[0.0; W]; 3],
            current_size: 1.0,
            voltage_size: std::f64::consts::SQRT_2 * circuit.voltage.in_v(),
        };
        // A single phase drives the loop of two lines with the whole line voltage, half of it in each coordinate.
        let peak = net.voltage_size * if phases == 3 { 3f64.sqrt().recip() } else { 0.5 };
        for k in 0..bridges {
            for p in 0..phases {
                let at = OF_BRIDGE * k + p;
                for j in 0..bridges {
                    for q in 0..phases {
                        // Both bridges' currents pass the line's impedance, each turned as its winding turns it.
                        let shared: f64 = (0..3).map(|m| turns[k][m][p] * turns[j][m][q]).sum();
                        net.x[at][OF_BRIDGE * j + q] += line_x * shared;
                        net.r[at][OF_BRIDGE * j + q] += line_r * shared;
                    }
                }
                net.x[at][at] += own_x;
                net.r[at][at] += own_r;
                for m in 0..phases {
                    let lag = if phases == 3 { 2.0 / 3.0 } else { 1.0 } * std::f64::consts::PI * [0.0, 1.0, 2.0][m];
                    net.cos[at] += turns[k][m][p] * peak * lag.cos();
                    net.sin[at] += turns[k][m][p] * peak * lag.sin();
                    net.line[m][at] = turns[k][m][p];
                }
            }
            if !(series && k == 1) {
                let dc = OF_BRIDGE * k + DC;
                net.x[dc][dc] = omega * circuit.choke.inductance.in_henry();
                net.r[dc][dc] = circuit.choke.resistance.in_ohm();
                net.dc[dc] = 1.0;
            }
        }
        let mean = circuit.ideal_mean().in_v();
        match circuit.load {
            Load::Resistance(ohms) => {
                net.current_size = mean / ohms.in_ohm();
                if net.b > 0.0 {
                    net.drain.conductance = ohms.in_ohm().recip();
                } else {
                    net.bare_load = ohms.in_ohm();
                    for i in 0..W {
                        for j in 0..W {
                            net.r[i][j] += ohms.in_ohm() * net.dc[i] * net.dc[j];
                        }
                    }
                }
            }
            Load::Current(_) | Load::Power(_) => (net.current_size, net.drain.constant) = (constant, constant),
        }
        net
    }

    /// What the load takes at this DC voltage.
    pub(super) fn load_current(&self, v: f64) -> f64 {
        self.drain.constant + self.drain.conductance * v
    }
}
