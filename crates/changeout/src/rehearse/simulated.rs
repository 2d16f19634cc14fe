//! A simulated drive behind its registers.

use std::time::Duration;

use plant::network::{DataWord, Direction, Layout, WriteMethod};
use transfer::words::bytes::{handed, taken};
use transfer::words::drive::{Behaviour, Drive};

use super::{Device, Function, Refusal};

/// The drive, and what its master wrote.
#[derive(Debug)]
pub(crate) struct Simulated<'l> {
    drive: Drive<'l>,
    timeout: f64,
    functions: Vec<Function>,
    /// Raw values of all words of the layout, as the master wrote them.
    written: Vec<u32>,
    /// The master is in charge: what it wrote is obeyed. After it was lost, its words count again once it has written.
    heard: bool,
}

/// A register: its word's place in the layout, and which half of a word of 32 bits.
type Place = (usize, usize);

/// Functions of a layout: reading always, writing as its pack says; both where it does not say.
fn functions(layout: &Layout) -> Vec<Function> {
    let takes = |method| layout.writes.is_empty() || layout.writes.contains(&method);
    let mut all = vec![Function::Read];
    if takes(WriteMethod::Single) {
        all.push(Function::WriteOne);
    }
    if takes(WriteMethod::Several) {
        all.extend([Function::WriteMany, Function::WriteAndRead]);
    }
    all
}

impl<'l> Simulated<'l> {
    /// A drive just after power-up: all that its master could write stands at 0.
    pub(crate) fn new(layout: &'l Layout, behaviour: Behaviour) -> Self {
        Self {
            drive: Drive::new(layout, behaviour),
            timeout: behaviour.timeout,
            functions: functions(layout),
            written: vec![0; layout.words.len()],
            heard: true,
        }
    }

    fn layout(&self) -> &'l Layout {
        self.drive.layout()
    }

    /// The register at an address, in one direction or in any.
    fn place(&self, address: u16, direction: Option<Direction>) -> Option<Place> {
        let layout = self.layout();
        layout.words.iter().enumerate().filter(|(_, w)| direction.is_none_or(|d| w.direction == d)).find_map(|(at, word)| {
            let part = u32::from(address).checked_sub(layout.address(word)?)?;
            (part < parts(word)).then_some((at, usize::from(part == 1)))
        })
    }

    /// A raw word with one of its registers replaced; `None` for a value that the word does not take.
    fn replaced(&self, word: &DataWord, raw: u32, half: usize, value: u16) -> Option<u32> {
        let mut registers = handed(self.layout(), word, raw);
        *registers.get_mut(half)? = value;
        Some(taken(self.layout(), word, registers)).filter(|new| *new <= word.mask())
    }
}

/// How many registers a word takes.
fn parts(word: &DataWord) -> u32 {
    if word.width == 32 { 2 } else { 1 }
}

impl Device for Simulated<'_> {
    fn functions(&self) -> &[Function] {
        &self.functions
    }

    fn read(&mut self, first: u16, count: u16) -> Result<Vec<u16>, Refusal> {
        let report = self.drive.report();
        (0..count)
            .map(|offset| {
                let address = first.checked_add(offset).ok_or(Refusal::Address)?;
                let (at, half) = self.place(address, None).ok_or(Refusal::Address)?;
                let word = self.layout().words.get(at).ok_or(Refusal::Failure)?;
                let values = if word.direction == Direction::FromDrive { &report } else { &self.written };
                let raw = values.get(at).copied().ok_or(Refusal::Failure)?;
                handed(self.layout(), word, raw).get(half).copied().ok_or(Refusal::Failure)
            })
            .collect()
    }

    fn write(&mut self, first: u16, values: &[u16]) -> Result<(), Refusal> {
        let mut written = self.written.clone();
        for (offset, value) in (0_u16..).zip(values) {
            let address = first.checked_add(offset).ok_or(Refusal::Address)?;
            let (at, half) = self.place(address, Some(Direction::ToDrive)).ok_or(Refusal::Address)?;
            let word = self.layout().words.get(at).ok_or(Refusal::Failure)?;
            let raw = written.get_mut(at).ok_or(Refusal::Failure)?;
            *raw = self.replaced(word, *raw, half, *value).ok_or(Refusal::Value)?;
        }
        self.written = written;
        self.heard = true;
        // At once, so that a command that stands for less than a tick is seen too.
        self.drive.obey(&self.written, 0.0);
        Ok(())
    }

    fn tick(&mut self, elapsed: Duration) {
        if self.heard {
            self.drive.obey(&self.written, elapsed.as_secs_f64());
        } else {
            self.drive.wait(elapsed.as_secs_f64());
        }
    }

    fn patience(&self) -> Option<Duration> {
        Duration::try_from_secs_f64(self.timeout).ok()
    }

    fn lost(&mut self) {
        self.heard = false;
        // Words that the master may never have meant to stand are not to count when somebody writes another register.
        self.written.fill(0);
        self.drive.lose();
    }
}

#[cfg(test)]
mod tests {
    use plant::network::{ByteOrder, LossAction, ReferenceUnit, WordOrder};
    use plant::quantity::Frequency;
    use transfer::words::profiles;
    use transfer::words::scale::Settings;

    use super::*;

    fn behaviour(loss: LossAction) -> Behaviour {
        let sixty = Frequency::hz(60.0);
        let settings = Settings { full_scale: sixty, highest: sixty, unit: ReferenceUnit::Hertz, poles: 4.0 };
        Behaviour { settings, ramp: 60.0, loss, timeout: 1.0 }
    }

    /// Address of the first word of that meaning.
    fn address(layout: &Layout, name: plant::network::WordMeaning) -> u16 {
        u16::try_from(layout.address(layout.word(name).unwrap().1).unwrap()).unwrap()
    }

    #[test]
    fn a_loss_waits_for_its_time_and_needs_a_new_command() {
        use plant::network::WordMeaning::{Command, SpeedSetpoint};
        let layout = profiles::modbus();
        let (command, setpoint) = (address(&layout, Command), address(&layout, SpeedSetpoint));
        for (loss, speed) in [(LossAction::RampStop, 0.0), (LossAction::CoastStop, 0.0), (LossAction::HoldSpeed, 30.0)] {
            let mut device = Simulated::new(&layout, behaviour(loss));
            device.tick(Duration::from_millis(5));
            device.write(setpoint, &[3000]).unwrap();
            device.write(command, &[1]).unwrap();
            device.tick(Duration::from_secs(2));
            assert!((device.drive.output() - 30.0).abs() < 1e-9, "{loss:?}");
            device.lost();
            for _ in 0..10 {
                device.tick(Duration::from_secs(1));
            }
            assert!((device.drive.output() - speed).abs() < 1e-9, "{loss:?}");
            assert!(!device.heard);
            // The setpoint alone does not start it again.
            device.write(setpoint, &[3000]).unwrap();
            device.tick(Duration::from_secs(2));
            assert!(device.drive.output().abs() < 1e-9, "{loss:?}: the command word stands at 0");
        }
    }

    #[test]
    fn words_of_32_bits_are_read_in_the_order_that_the_pack_states() {
        let mut layout = profiles::modbus();
        layout.words.push(DataWord { width: 32, ..DataWord::plain("wide", Direction::ToDrive, 900, plant::network::WordMeaning::Padding) });
        let at = u16::try_from(layout.address(layout.words.last().unwrap()).unwrap()).unwrap();
        for (words, bytes, raw) in [
            (WordOrder::HighFirst, ByteOrder::HighFirst, 0x1122_3344),
            (WordOrder::LowFirst, ByteOrder::HighFirst, 0x3344_1122),
            (WordOrder::HighFirst, ByteOrder::LowFirst, 0x2211_4433),
            (WordOrder::LowFirst, ByteOrder::LowFirst, 0x4433_2211),
        ] {
            (layout.word_order, layout.byte_order) = (Some(words), Some(bytes));
            let mut device = Simulated::new(&layout, behaviour(LossAction::Trip));
            device.write(at, &[0x1122, 0x3344]).unwrap();
            assert_eq!(device.written.last(), Some(&raw), "{words:?} {bytes:?}");
            assert_eq!(device.read(at, 2), Ok(vec![0x1122, 0x3344]));
            assert_eq!(device.read(at, 3), Err(Refusal::Address), "three registers");
        }
    }

    #[test]
    fn what_comes_from_the_drive_cannot_be_written_and_nothing_is_written_in_part() {
        let layout = profiles::modbus();
        let status = address(&layout, plant::network::WordMeaning::Status);
        let command = address(&layout, plant::network::WordMeaning::Command);
        let mut device = Simulated::new(&layout, behaviour(LossAction::Trip));
        assert_eq!(device.write(status, &[1]), Err(Refusal::Address));
        assert_eq!(device.write(command, &[1; 120]), Err(Refusal::Address));
        assert_eq!(device.read(command, 1), Ok(vec![0]));
    }
}
