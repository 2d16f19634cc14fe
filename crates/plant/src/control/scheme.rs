//! The words in which the wiring around a unit is described: who starts it, who stops it, what holds the start, what stands in the way.

use crate::choice::{Choice, ChoiceInfo, Word, choices};

choices! {
    /// What starts and stops the motor.
    StartBy "way of starting" {
        TwoWire "two-wire" "One maintained contact: closed runs, open stops.";
        ThreeWire "three-wire" "A momentary start button and a stop button; something holds the start.";
        HandAuto "hand-off-auto" "A selector: in hand the motor runs, in auto a contact from elsewhere runs it.";
        HoldToRun "hold-to-run" "Buttons that run the motor while they are held, one for each direction.";
        Network "network" "Bits from a controller; a switch hands over to buttons at the unit.";
    }
    /// What holds a momentary start.
    Seal "what holds the start" {
        Unit "unit" "The unit itself: its own three-wire function.";
        UnitRelay "unit-relay" "The run contact of the unit, around the start button.";
        OwnRelay "own-relay" "A relay of its own.";
    }
    /// What feeds the pilot circuit.
    PilotSupply "supply of the pilot circuit" {
        SameLine "same-line" "The line that feeds the unit, through a transformer or out of the unit.";
        Separate "separate" "A supply that stays when that line fails.";
    }
    /// Where the permissives count.
    PermissiveActs "where the permissives count" {
        None "none" "There are none.";
        EveryMode "every-mode" "In every mode, hand too.";
        AutoOnly "auto-only" "In automatic or network operation only.";
    }
    /// Where the permissives live.
    PermissivePlace "where the permissives live" {
        Circuit "circuit" "Contacts in the pilot circuit.";
        OldUnit "old-unit" "A relay, a contact or the logic of the old unit.";
        Controller "controller" "The program of the controller.";
    }
    /// What an emergency stop acts on.
    Emergency "what the emergency stop acts on" {
        None "none" "There is none at this motor.";
        LineContactor "line-contactor" "It drops the line contactor at once.";
        DelayedContactor "delayed-contactor" "It stops the motor and drops the line contactor after a delay.";
        EnableInput "enable-input" "It opens the unit's enable.";
        SafeOff "safe-off" "It demands safe torque off.";
        DelayedSafeOff "delayed-safe-off" "It stops the motor and demands safe torque off after a delay (SS1 of IEC 61800-5-2).";
        StopCircuit "stop-circuit" "It opens the stop circuit, as the stop button does.";
    }
    /// Stop category of IEC 60204-1 that the emergency stop needs.
    Category "stop category" {
        Zero "0" "Power to the motor is taken away at once.";
        One "1" "The motor is stopped under power, which is then taken away.";
    }
    /// What resets a fault.
    ResetBy "what resets a fault" {
        Power "power" "Switching the power off and on.";
        Button "button" "A button, at the door or the unit.";
        Network "network" "A bit from the controller.";
    }
    /// What gives the speed.
    ReferenceFrom "what gives the speed" {
        Fixed "fixed" "Settings of the unit: one speed, or presets.";
        Signal "signal" "An analogue signal that can be lost.";
        Network "network" "A word from the controller.";
        RaiseLower "raise-lower" "Buttons that raise and lower it.";
    }
    /// What people lock before they work on the machine.
    Isolating "what is locked for work on the machine" {
        Disconnect "disconnect" "A disconnect that opens all power conductors.";
        Contactor "contactor" "A contactor that is held open.";
        SafeOff "safe-off" "Safe torque off, and no more.";
    }
}
