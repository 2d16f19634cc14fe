//! Which diodes conduct, and how one pattern follows from another.

use super::network::{DC, Network, OF_BRIDGE, W};

/// What a phase does at its bridge.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Leg {
    /// Neither diode conducts.
    Off,
    /// The diode to the positive rail conducts.
    Top,
    /// The diode to the negative rail conducts.
    Bottom,
}

/// The pattern of one bridge.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct BridgeMode {
    /// Its phases; the third one is off where two feed it.
    pub(super) legs: [Leg; 3],
    /// The DC current circulates through the bridge, so that all phases lie at one potential.
    pub(super) shorted: bool,
}

/// The patterns of both bridges; the second one is off where there is one.
pub(super) type Modes = [BridgeMode; 2];

impl BridgeMode {
    /// Nothing conducts.
    pub(super) const OFF: Self = Self { legs: [Leg::Off; 3], shorted: false };

    const fn pair((top, bottom): (usize, usize)) -> Self {
        let mut mode = Self::OFF;
        mode.legs[top] = Leg::Top;
        mode.legs[bottom] = Leg::Bottom;
        mode
    }

    pub(super) fn is_off(&self) -> bool {
        *self == Self::OFF
    }

    pub(super) fn first(&self, leg: Leg) -> Option<usize> {
        self.legs.iter().position(|l| *l == leg)
    }

    /// The pattern one section later seen as now: every phase took the place of the one before, upside down.
    fn turned(&self, phases: usize) -> Self {
        let flip = |leg| match leg {
            Leg::Off => Leg::Off,
            Leg::Top => Leg::Bottom,
            Leg::Bottom => Leg::Top,
        };
        let mut legs = [Leg::Off; 3];
        for p in 0..phases {
            legs[turned_place(p, phases)] = flip(self.legs[p]);
        }
        Self { legs, shorted: self.shorted }
    }
}

/// Where phase `p` stands after a section's turn: a sixth of a cycle later, three phases repeat with the sign and the names
/// changed; half a cycle later two phases repeat with the sign changed.
const fn turned_place(p: usize, phases: usize) -> usize {
    if phases == 3 { (p + 1) % 3 } else { p }
}

/// The state of a walk: pattern, coordinates and DC voltage.
#[derive(Clone, Copy, Debug)]
pub(super) struct State {
    pub(super) modes: Modes,
    pub(super) w: [f64; W],
    pub(super) v: f64,
}

impl State {
    /// The state a section later, seen as a state at the section's start.
    pub(super) fn turned(&self, net: &Network) -> Self {
        let mut w = [0.0; W];
        for k in 0..net.bridges {
            let o = OF_BRIDGE * k;
            for p in 0..net.phases {
                w[o + turned_place(p, net.phases)] = -self.w[o + p];
            }
            w[o + DC] = self.w[o + DC];
        }
        Self { modes: self.modes.map(|m| m.turned(net.phases)), w, v: self.v }
    }

    /// The state after a diode starts or stops.
    pub(super) fn after(mut self, change: Change, net: &Network) -> Self {
        match change {
            Change::Stop { bridge, phase } => {
                let mode = &mut self.modes[bridge];
                self.w[OF_BRIDGE * bridge + phase] = 0.0;
                mode.legs[phase] = Leg::Off;
                if mode.first(Leg::Top).is_none() || mode.first(Leg::Bottom).is_none() {
                    self.block(bridge);
                    if net.series {
                        self.block(1 - bridge);
                    }
                } else {
                    self.even_out(bridge, net);
                }
            }
            Change::Join { bridge, phase, leg } => {
                self.modes[bridge].legs[phase] = leg;
                self.w[OF_BRIDGE * bridge + phase] = 0.0;
            }
            Change::Short { bridge } => self.modes[bridge] = BridgeMode { shorted: true, ..BridgeMode::OFF },
            Change::Release { bridge } => {
                let o = OF_BRIDGE * bridge;
                let noise = 1e-9 * net.current_size;
                if self.w[o + DC] <= noise {
                    self.block(bridge);
                    if net.series {
                        self.block(1 - bridge);
                    }
                    return self;
                }
                let mut legs = [Leg::Off; 3];
                for (leg, i) in legs.iter_mut().zip(&mut self.w[o..o + net.phases]) {
                    if *i > noise {
                        *leg = Leg::Top;
                    } else if *i < -noise {
                        *leg = Leg::Bottom;
                    } else {
                        *i = 0.0;
                    }
                }
                self.modes[bridge] = BridgeMode { legs, shorted: false };
                self.even_out(bridge, net);
            }
            Change::Start { bridge, pair } => self.modes[bridge] = BridgeMode::pair(pair),
            Change::StartBoth { pairs } => self.modes = pairs.map(BridgeMode::pair),
        }
        self
    }

    fn block(&mut self, bridge: usize) {
        self.modes[bridge] = BridgeMode::OFF;
        self.w[OF_BRIDGE * bridge..OF_BRIDGE * (bridge + 1)].fill(0.0);
    }

    /// Takes the rounding error of a stopped current out of the DC current, the one that a pair is read from.
    fn even_out(&mut self, bridge: usize, net: &Network) {
        let o = OF_BRIDGE * bridge;
        self.w[o + DC] = self.w[o..o + net.phases].iter().filter(|i| **i > 0.0).sum();
    }
}

/// What ends a pattern.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Change {
    /// A phase's current ends.
    Stop { bridge: usize, phase: usize },
    /// A phase's diode starts beside another one: commutation.
    Join { bridge: usize, phase: usize, leg: Leg },
    /// The bridge's voltage falls to nothing and the DC current circulates.
    Short { bridge: usize },
    /// The phases carry all of the DC current again.
    Release { bridge: usize },
    /// A bridge that blocked starts on a pair of phases: to the positive and to the negative rail.
    Start { bridge: usize, pair: (usize, usize) },
    /// Two bridges in series start together.
    StartBoth { pairs: [(usize, usize); 2] },
}
