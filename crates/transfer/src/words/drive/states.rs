//! The state machines of the command sequences. One transition each scan, as a master sees it.

use plant::network::{BitMeaning as M, Sequence};

use super::Drive;

/// State of a drive; the trade's words for those that the profiles share.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum State {
    /// CiA 402: switch on disabled; PROFIdrive: switching on inhibited. The sequences without states never are here.
    Disabled,
    /// May be switched on; for the sequences without states: stopped.
    Ready,
    /// Switched on, motor not driven.
    SwitchedOn,
    /// The motor is driven.
    Running,
    /// Ramps to standstill.
    Stopping,
    /// Ramps to standstill by the quick-stop ramp.
    QuickStopping,
    /// A fault is stored.
    Fault,
}

/// State after power-up and after a fault is cleared.
pub(super) const fn at_power_up(sequence: Sequence) -> State {
    match sequence {
        Sequence::States | Sequence::OnOff => State::Disabled,
        Sequence::Level | Sequence::Edge | Sequence::Pulses => State::Ready,
    }
}

impl Drive<'_> {
    /// One scan of a drive without fault.
    pub(super) fn step(&mut self) {
        match self.layout.sequence {
            Sequence::Level | Sequence::Edge | Sequence::Pulses => self.step_plain(),
            Sequence::States => self.step_states(),
            Sequence::OnOff => self.step_on_off(),
        }
    }

    /// Level, edge and pulses differ in what holds a start.
    fn step_plain(&mut self) {
        let now = self.demand;
        let barred = now.has(M::Stop) || now.has(M::Coast) || now.has(M::QuickStop) || !now.has(M::NetworkControl);
        let run = now.has(M::Run) || now.has(M::RunReverse);
        let came = |drive: &Self| run && drive.before.is_some_and(|b| !(b.has(M::Run) || b.has(M::RunReverse)));
        match self.layout.sequence {
            Sequence::Level => self.held = run,
            Sequence::Edge => self.held = run && (self.held || came(self)),
            _ => self.held |= self.came(M::Start),
        }
        if barred {
            self.held = false;
        }
        self.state = match self.state {
            _ if self.held => State::Running,
            _ if now.has(M::Coast) => State::Ready,
            State::Running | State::Stopping if now.has(M::QuickStop) => State::QuickStopping,
            State::Running => State::Stopping,
            State::Stopping | State::QuickStopping if self.output == 0.0 => State::Ready,
            other => other,
        };
    }

    /// CiA 402, transitions by their numbers (IEC 61800-7-201, from memory).
    fn step_states(&mut self) {
        let now = self.demand;
        let (on, enable) = (now.has(M::SwitchOn), now.has(M::EnableOperation));
        if now.has(M::Coast) {
            // 7, 9, 10, 12
            self.state = State::Disabled;
            return;
        }
        if now.has(M::QuickStop) {
            self.state = match self.state {
                // 11
                State::Running | State::Stopping => State::QuickStopping,
                State::QuickStopping if self.output != 0.0 => State::QuickStopping,
                // 7, 10, 12
                _ => State::Disabled,
            };
            return;
        }
        self.state = match self.state {
            // 2
            State::Disabled if !on => State::Ready,
            // 3
            State::Ready if on => State::SwitchedOn,
            // 6
            State::SwitchedOn if !on => State::Ready,
            // 4
            State::SwitchedOn if enable => State::Running,
            // 5, 8: the ramp first
            State::Running if !on || !enable => State::Stopping,
            State::Stopping if on && enable => State::Running,
            State::Stopping if self.output == 0.0 => {
                if on {
                    State::SwitchedOn
                } else {
                    State::Ready
                }
            }
            // 12
            State::QuickStopping if self.output == 0.0 => State::Disabled,
            other => other,
        };
    }

    /// PROFIdrive, general state diagram (from memory).
    fn step_on_off(&mut self) {
        let now = self.demand;
        let (on, enable) = (now.has(M::Run), now.has(M::EnableOperation));
        self.state = match self.state {
            _ if now.has(M::Coast) => State::Disabled,
            State::Running | State::Stopping if now.has(M::QuickStop) => State::QuickStopping,
            State::Disabled | State::Ready | State::SwitchedOn if now.has(M::QuickStop) => State::Disabled,
            State::Disabled if !on => State::Ready,
            State::Ready if on => State::SwitchedOn,
            State::SwitchedOn if !on => State::Ready,
            State::SwitchedOn if enable => State::Running,
            // Without enable operation the pulses are off at once.
            State::Running | State::Stopping if !enable => {
                if on {
                    State::SwitchedOn
                } else {
                    State::Disabled
                }
            }
            State::Running if !on => State::Stopping,
            State::Stopping if on => State::Running,
            State::Stopping | State::QuickStopping if self.output == 0.0 => State::Disabled,
            other => other,
        };
    }
}

#[cfg(test)]
mod tests {
    use plant::network::{LossAction, ReferenceUnit};
    use plant::quantity::Frequency;

    use super::super::super::profiles;
    use super::super::super::scale::Settings;
    use super::super::Behaviour;
    use super::*;

    fn behaviour() -> Behaviour {
        let sixty = Frequency::hz(60.0);
        let settings = Settings { full_scale: sixty, highest: sixty, unit: ReferenceUnit::Hertz, poles: 4.0 };
        Behaviour { settings, ramp: 1e4, loss: LossAction::Trip, timeout: 1.0 }
    }

    /// Status word and output after each command, one scan each.
    fn walk(drive: &mut Drive<'_>, commands: &[u32], setpoint: u32) -> Vec<(u32, f64)> {
        let say = |command: &u32| {
            drive.obey(&[*command, setpoint, 0, 0, 0], 0.01);
            (drive.report()[2], drive.output())
        };
        commands.iter().map(say).collect()
    }

    #[test]
    fn the_states_of_cia_402_come_in_order() {
        let layout = profiles::cia402();
        let mut drive = Drive::new(&layout, behaviour());
        let states = |drive: &mut Drive<'_>, commands: &[u32]| -> Vec<Option<&'static str>> {
            walk(drive, commands, 900).iter().map(|(status, _)| profiles::state402(u16::try_from(*status).expect("16 bits"))).collect()
        };
        // Commands of the standard's table: shutdown 06h, switch on 07h, enable operation 0Fh (with ramp bits 7Fh), quick stop 02h, reset 80h.
        assert_eq!(
            states(&mut drive, &[0x0F, 0x06, 0x07, 0x7F, 0x07, 0x07, 0x06, 0x00]),
            [
                Some("Switch on disabled"),
                Some("Ready to switch on"),
                Some("Switched on"),
                Some("Operation enabled"),
                Some("Operation enabled"),
                Some("Switched on"),
                Some("Ready to switch on"),
                Some("Switch on disabled"),
            ]
        );
        states(&mut drive, &[0x06, 0x07, 0x7F]);
        drive.trip(0x2310);
        assert_eq!(states(&mut drive, &[0x7F, 0xFF, 0xFF]), [Some("Fault"), Some("Switch on disabled"), Some("Switch on disabled")]);
        assert_eq!(states(&mut drive, &[0x06, 0x07, 0x7F, 0x02, 0x02])[3..], [Some("Quick stop active"), Some("Switch on disabled")]);
    }

    #[test]
    fn profidrive_starts_by_an_edge_of_on_alone() {
        let layout = profiles::profidrive1();
        let mut drive = Drive::new(&layout, behaviour());
        let outputs: Vec<f64> = walk(&mut drive, &[0x47F, 0x47F, 0x47E, 0x47F, 0x47F], 0x2000).into_iter().map(|(_, hz)| hz).collect();
        assert_eq!(outputs, [0.0, 0.0, 0.0, 0.0, 30.0], "2000h is 50 % of 60 Hz");
        // Without bit 10 the words are not taken: the motor runs on.
        assert_eq!(walk(&mut drive, &[0x07E], 0), [(0x337, 30.0)]);
        // OFF2 takes effect at once, and ON that stayed does not start again.
        let after: Vec<f64> = walk(&mut drive, &[0x47D, 0x47F, 0x47F], 0x2000).into_iter().map(|(_, hz)| hz).collect();
        assert_eq!(after, [0.0, 0.0, 0.0]);
    }

    #[test]
    fn a_level_restarts_after_a_reset_and_an_edge_does_not() {
        let mut layout = profiles::modbus();
        for (sequence, restarted) in [(Sequence::Level, 30.0), (Sequence::Edge, 0.0)] {
            layout.sequence = sequence;
            let mut drive = Drive::new(&layout, behaviour());
            walk(&mut drive, &[0, 1], 3000);
            assert!((drive.output() - 30.0).abs() < 1e-9);
            drive.trip(1);
            walk(&mut drive, &[1, 9, 1, 1], 3000);
            assert!((drive.output() - restarted).abs() < 1e-9, "{sequence:?}");
        }
    }

    #[test]
    fn each_loss_action_does_what_it_says() {
        let layout = profiles::modbus();
        for (loss, state, hertz) in [
            (LossAction::Trip, State::Fault, 0.0),
            (LossAction::RampStop, State::Ready, 0.0),
            (LossAction::CoastStop, State::Ready, 0.0),
            (LossAction::HoldSpeed, State::Running, 30.0),
        ] {
            let mut drive = Drive::new(&layout, Behaviour { loss, ..behaviour() });
            walk(&mut drive, &[0, 1], 3000);
            drive.wait(0.9);
            assert!((drive.output() - 30.0).abs() < 1e-9, "{loss:?}: within its time it runs on");
            drive.wait(0.2);
            drive.wait(0.2);
            assert_eq!(drive.state(), state, "{loss:?}");
            assert!((drive.output() - hertz).abs() < 1e-9, "{loss:?}");
        }
    }
}
