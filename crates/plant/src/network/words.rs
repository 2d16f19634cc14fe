//! The closed sets of words in which layouts are described.

use crate::choice::{Choice, ChoiceInfo, Word, choices};

choices! {
    /// What carries the words.
    Protocol "network protocol" {
        ModbusRtu "modbus-rtu" "Modbus on a serial line.";
        ModbusTcp "modbus-tcp" "Modbus over TCP.";
        Profidrive "profidrive" "Cyclic telegrams of PROFIdrive.";
        CanOpen "canopen" "Process data objects of CiA 301 and 402.";
        Cip "cip" "Assemblies of CIP: EtherNet/IP, DeviceNet, ControlNet.";
        Serial "serial" "Another serial protocol, as the unit's documents describe it.";
    }
    /// The order of commands that leads from stopped to running.
    Sequence "command sequence" {
        Level "level" "The motor runs while the run bit stands, also when it stood already at power-up or after a reset.";
        Edge "edge" "The motor runs while the run bit stands, but after power-up, a stop or a fault it has to come anew.";
        Pulses "pulses" "A start bit that comes starts, a stop bit stops: three-wire control over the network.";
        States "states" "The states of CiA 402 (IEC 61800-7-201) are walked through: shutdown, switch on, enable operation.";
        OnOff "on-off" "The states of PROFIdrive are walked through: no coast, no quick stop, then ON as an edge, then enable operation.";
    }
    /// Which way a word travels, seen from the master.
    Direction "direction seen from the master" {
        ToDrive "to-drive" "The master writes it.";
        FromDrive "from-drive" "The master reads it.";
    }
    /// What the number of a word means.
    Signedness "sign of a word" {
        Unsigned "unsigned" "From 0 upward.";
        Signed "signed" "Two's complement.";
    }
    /// What a word carries.
    WordMeaning "meaning of a word" {
        Command "command" "Bits that command the unit.";
        Status "status" "Bits that tell the unit's state.";
        SpeedSetpoint "speed-setpoint" "The wanted speed.";
        SpeedActual "speed-actual" "The actual speed, or the output frequency.";
        CurrentActual "current-actual" "The actual output current.";
        TorqueActual "torque-actual" "The actual torque, of rated torque.";
        FaultCode "fault-code" "The number of the fault.";
        Configurable "configurable" "A setting or signal that somebody chose; the column “carries” names it.";
        Padding "padding" "Nothing.";
    }
    /// How a number stands for a quantity.
    ScaleKind "kind of scale" {
        FullScaleCount "full-scale" "A number of counts stands for the value of a setting.";
        Units "units" "One count is a fixed amount: 0.01 Hz, 1 rpm, 0.1 A, 0.1 %.";
        BySetting "by-setting" "One count is a fixed amount of Hz or of rpm, whichever a setting says.";
        Float "float" "IEEE 754 single precision in Hz or rpm.";
    }
    /// Which setting a full-scale count stands for.
    FullScale "setting behind the full-scale count" {
        MaximumFrequency "maximum-frequency" "The maximum output frequency.";
        BaseFrequency "base-frequency" "The motor's base frequency.";
        ReferenceFrequency "reference-frequency" "A reference frequency or speed of its own.";
    }
    /// Which unit a reference in engineering units has.
    ReferenceUnit "unit of the network reference" {
        Hertz "hertz" "The number is in Hz.";
        Rpm "rpm" "The number is in rpm.";
    }
    /// Which state of a bit says what it means.
    Sense "sense of a bit" {
        High "high" "1 says so.";
        Low "low" "0 says so.";
    }
    /// Whether a bit counts by standing or by coming.
    Trigger "trigger of a bit" {
        Level "level" "It counts while it stands.";
        Edge "edge" "It counts when it comes.";
    }
    /// What a bit demands (to the drive) or says (from the drive).
    BitMeaning "meaning of a bit" {
        Run "run" "To the drive: run, forward where there is a reverse; from the drive: the motor is driven.";
        RunReverse "run-reverse" "To the drive: run in reverse; from the drive: the motor is driven in reverse.";
        Start "start" "Start, by its coming.";
        Stop "stop" "Stop by the chosen stop mode.";
        Coast "coast" "To the drive: switch the output off; from the drive: that demand stands.";
        QuickStop "quick-stop" "To the drive: stop by the quick-stop ramp; from the drive: that demand stands.";
        Halt "halt" "Ramp to standstill and stay energised.";
        SwitchOn "switch-on" "CiA 402: switch on.";
        EnableOperation "enable-operation" "CiA 402 and PROFIdrive: let the motor be driven.";
        RampOutput "ramp-output" "Let the ramp generator's output through.";
        RampRun "ramp-run" "Let the ramp generator run instead of holding its output.";
        RampInput "ramp-input" "Let the setpoint into the ramp generator.";
        FaultReset "fault-reset" "Clear the stored fault.";
        Reverse "reverse" "To the drive: turn the setpoint's sense; from the drive: the motor turns in reverse.";
        NetworkControl "network-control" "To the drive: obey the network's commands; from the drive: it obeys them.";
        NetworkReference "network-reference" "To the drive: take the network's setpoint; from the drive: it is taken.";
        Ready "ready" "Nothing stands against running.";
        ReadyToSwitchOn "ready-to-switch-on" "CiA 402 and PROFIdrive: may be switched on.";
        SwitchedOn "switched-on" "CiA 402: switched on; PROFIdrive: ready to operate.";
        Disabled "disabled" "CiA 402: switch on disabled; PROFIdrive: switching on inhibited.";
        VoltageEnabled "voltage-enabled" "The power section has its supply.";
        Faulted "faulted" "A fault is stored.";
        Warning "warning" "A warning stands.";
        AtSpeed "at-speed" "The speed is at the setpoint, within a band.";
        ZeroSpeed "zero-speed" "The motor stands, within a band.";
        LimitActive "limit-active" "A limit of current, torque or speed holds the drive.";
    }
    /// What a unit does when its controller falls silent.
    LossAction "action on loss of communication" {
        Trip "trip" "It trips and coasts.";
        RampStop "ramp-stop" "It stops by its ramp.";
        CoastStop "coast" "It switches its output off without a fault.";
        HoldSpeed "hold-speed" "It goes on with the last setpoint.";
        PresetSpeed "preset-speed" "It goes on with a speed of its own.";
    }
    /// How printed register numbers are counted.
    Addressing "counting of register numbers" {
        Zero "zero" "From 0, as in the request.";
        One "one" "From 1: one more than in the request.";
        LeadingFour "leading-four" "From 40001: the trade's sign for holding registers, counted from 1.";
    }
    /// Order of the two words of a 32-bit value.
    WordOrder "order of words" {
        HighFirst "high-first" "The more significant word comes first.";
        LowFirst "low-first" "The less significant word comes first.";
    }
    /// Order of the two bytes of a word.
    ByteOrder "order of bytes" {
        HighFirst "high-first" "The more significant byte comes first, as in Modbus.";
        LowFirst "low-first" "The less significant byte comes first, as in CAN and CIP.";
    }
    /// Speed of a serial line, in bits a second.
    LineSpeed "speed of a serial line" {
        B1200 "1200" "1,200 bits a second.";
        B2400 "2400" "2,400 bits a second.";
        B4800 "4800" "4,800 bits a second.";
        B9600 "9600" "9,600 bits a second.";
        B19200 "19200" "19,200 bits a second.";
        B38400 "38400" "38,400 bits a second.";
        B57600 "57600" "57,600 bits a second.";
        B76800 "76800" "76,800 bits a second.";
        B115200 "115200" "115,200 bits a second.";
    }
    /// Data bits, parity and stop bits of a character on a serial line.
    LineFrame "frame of a character" {
        None1 "8n1" "8 data bits, no parity, 1 stop bit.";
        None2 "8n2" "8 data bits, no parity, 2 stop bits.";
        Even1 "8e1" "8 data bits, even parity, 1 stop bit.";
        Odd1 "8o1" "8 data bits, odd parity, 1 stop bit.";
        SevenEven1 "7e1" "7 data bits, even parity, 1 stop bit.";
        SevenOdd1 "7o1" "7 data bits, odd parity, 1 stop bit.";
    }
    /// How a network goes on behind a station.
    NetworkPath "way of a network" {
        Branch "branch" "The station hangs on a cable of its own: nothing goes on behind it.";
        Through "through" "The cable comes in at one port and goes on to the next station from another.";
        Ring "ring" "As through, and the last station leads back to the first: the ring's protocol keeps one link open.";
    }
    /// How registers are written.
    WriteMethod "way of writing registers" {
        Single "single" "One register a request (function code 06).";
        Several "several" "Several registers a request (function code 16).";
    }
    /// What a fault is, whatever its number.
    FaultMeaning "kind of fault" {
        OverCurrent "over-current" "Too much output current.";
        ShortCircuit "short-circuit" "Short circuit between output phases.";
        EarthFault "earth-fault" "Output current to earth.";
        OverVoltage "over-voltage" "Too high a voltage on the DC bus.";
        UnderVoltage "under-voltage" "Too low a voltage on the DC bus.";
        OverTemperature "over-temperature" "The unit is too hot.";
        UnitOverload "unit-overload" "The unit's own overload limit is used up.";
        MotorOverload "motor-overload" "The electronic motor overload has acted.";
        MotorTemperature "motor-temperature" "The motor's own sensor says too hot.";
        InputPhase "input-phase" "A phase of the supply is missing.";
        OutputPhase "output-phase" "A phase to the motor is missing.";
        OverSpeed "over-speed" "The motor turns too fast.";
        Feedback "feedback" "The encoder's signal is missing.";
        NetworkLoss "network-loss" "The controller fell silent.";
        ReferenceLoss "reference-loss" "The analogue setpoint is missing.";
        External "external" "An input for faults from outside was opened.";
        Stall "stall" "The motor does not get its load to move.";
        LoadLoss "load-loss" "The load is gone: a torn belt.";
        BrakeResistor "brake-resistor" "Chopper or brake resistor.";
        Settings "settings" "The stored settings are wrong or lost.";
        Internal "internal" "A fault of the unit itself.";
    }
}

impl LineSpeed {
    /// Bits a second.
    #[must_use]
    pub const fn bits_per_second(self) -> f64 {
        match self {
            Self::B1200 => 1_200.0,
            Self::B2400 => 2_400.0,
            Self::B4800 => 4_800.0,
            Self::B9600 => 9_600.0,
            Self::B19200 => 19_200.0,
            Self::B38400 => 38_400.0,
            Self::B57600 => 57_600.0,
            Self::B76800 => 76_800.0,
            Self::B115200 => 115_200.0,
        }
    }
}

impl LineFrame {
    /// Bits of a character on the line, its start bit with them.
    #[must_use]
    pub const fn bits(self) -> f64 {
        match self {
            Self::None1 | Self::SevenEven1 | Self::SevenOdd1 => 10.0,
            Self::None2 | Self::Even1 | Self::Odd1 => 11.0,
        }
    }
}

impl BitMeaning {
    /// Whether a word of that direction can have such a bit.
    #[must_use]
    pub const fn fits(self, direction: Direction) -> bool {
        match self {
            Self::Start
            | Self::Stop
            | Self::Halt
            | Self::SwitchOn
            | Self::EnableOperation
            | Self::RampOutput
            | Self::RampRun
            | Self::RampInput
            | Self::FaultReset => matches!(direction, Direction::ToDrive),
            Self::Ready
            | Self::ReadyToSwitchOn
            | Self::SwitchedOn
            | Self::Disabled
            | Self::VoltageEnabled
            | Self::Faulted
            | Self::Warning
            | Self::AtSpeed
            | Self::ZeroSpeed
            | Self::LimitActive => matches!(direction, Direction::FromDrive),
            _ => true,
        }
    }
}
