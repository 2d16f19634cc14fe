//! The habits of a unit's control, with their words.

use crate::choice::{Choice, ChoiceInfo, Word, choices};
use crate::network::LossAction;

choices! {
    /// One way in which units differ in obeying commands.
    Habit "habit of a unit" {
        PowerUp "power-up" "What a start does that is held while the power returns.";
        AfterReset "after-reset" "What a start does that is held while a fault is reset.";
        AfterEnable "after-enable" "What a start does that is held while the enable returns.";
        AfterSafeOff "after-safe-off" "What a start does that is held while safe torque off is released.";
        ModeChange "mode-change" "What a start does that is held in the place to which control is handed over.";
        Dip "dip" "What a dip of the supply does that the unit's control outlives.";
        Stop "stop" "How it stops when its start is taken away.";
        EnableLost "enable-lost" "What it does when its enable opens.";
        SafeOff "safe-off" "What it does when safe torque off is demanded; the torque is off in any case.";
        ReferenceLost "reference-lost" "What it does when its speed reference is missing for longer than it waits.";
        NetworkLost "network-lost" "What it does when its controller falls silent for longer than it waits.";
        MasterStopped "master-stopped" "What it does when the controller says that its program stands.";
        Reset "reset" "Whether a reset counts by standing or by coming.";
        AutoReset "auto-reset" "Whether it clears faults by itself.";
        Spinning "spinning-load" "What a start does while the load still turns.";
        FaultContact "fault-contact" "When its fault contact is closed.";
        RunContact "run-contact" "When its run contact is closed.";
        ReadyContact "ready-contact" "When its ready contact is closed.";
        Reversal "reversal" "What the other direction does while the motor runs.";
        BothStarts "both-starts" "What both directions together do.";
        BrakeAnswer "brake-answer" "What it does when the holding brake does not answer.";
        OutputOpened "output-opened" "What it does when a switch in its output opens under load.";
        Jog "jog" "When jogging is obeyed.";
        LocalStop "local-stop" "When the stop button at the unit is obeyed.";
        NetworkStop "network-stop" "When the stop bit of the network is obeyed.";
        NetworkStart "network-start" "How it takes a start from the network.";
        SpeedMemory "speed-memory" "How long it remembers a speed that was raised by a button.";
    }
    /// What a start does that is held while something returns.
    HeldStart "what a held start does" {
        Runs "runs" "The motor runs at once.";
        Waits "waits" "The motor waits until the start is given anew.";
    }
    /// What a start does that is held while a fault is reset.
    AfterReset "what a held start does at a reset" {
        Runs "runs" "The motor runs at once.";
        Waits "waits" "The motor waits until the start is given anew.";
        Refused "refused" "The fault stays until the start is taken away.";
    }
    /// What a dip of the supply does.
    Dip "what a dip does" {
        Rides "rides" "The motor stays energised, or nearly so.";
        Resumes "resumes" "The output goes off and comes back by itself.";
        Waits "waits" "The output goes off, and the motor waits for a new start.";
        Trips "trips" "It trips on undervoltage.";
    }
    /// How a unit stops.
    StopMode "way of stopping" {
        Ramp "ramp" "It leads the motor down its ramp.";
        Coast "coast" "It switches its output off.";
        Brake "brake" "It brakes as hard as it can: quick ramp or direct current.";
    }
    /// What a lost enable does.
    EnableLoss "what a lost enable does" {
        Coast "coast" "It switches its output off.";
        Ramp "ramp" "It leads the motor down its ramp first.";
        Trips "trips" "It switches its output off and stores a fault.";
    }
    /// What safe torque off does beside taking the torque away.
    SafeOffAct "what safe torque off does" {
        Coast "coast" "The torque is off, no more.";
        Trips "trips" "The torque is off and a fault is stored.";
    }
    /// What a stopped controller does.
    MasterStop "what a stopped controller does" {
        LikeLoss "like-loss" "The same as a silent one, after the same wait.";
        RunsOn "runs-on" "The last command stands.";
        RampStop "ramp-stop" "It stops by its ramp at once.";
    }
    /// How a reset counts.
    ResetTrigger "trigger of a reset" {
        Level "level" "It counts while it stands: a reset that is left on clears every fault at once.";
        Edge "edge" "It counts when it comes.";
    }
    /// Whether faults clear themselves.
    AutoReset "clearing of faults" {
        Never "never" "A fault stays until somebody resets it.";
        ByItself "by-itself" "A fault is cleared after a pause, and a held start counts again.";
    }
    /// What a start does on a load that turns.
    Spinning "start on a turning load" {
        Catches "catches" "It finds the speed and takes over.";
        Trips "trips" "It trips on overcurrent or overvoltage.";
        Jolts "jolts" "It begins from nothing: the load is jolted.";
    }
    /// When a fault contact is closed.
    FaultContact "sense of the fault contact" {
        ClosedHealthy "closed-healthy" "Closed while the unit has power and no fault: a dead unit reads as a fault.";
        ClosedOnFault "closed-on-fault" "Closed while a fault is stored: a dead unit reads as healthy.";
    }
    /// When a run contact is closed.
    RunContact "meaning of the run contact" {
        Driven "driven" "While the motor is energised, down to the end of the ramp.";
        Commanded "commanded" "While a start is obeyed; it opens when the stop begins.";
    }
    /// When a ready contact is closed.
    ReadyContact "meaning of the ready contact" {
        Healthy "healthy" "While the unit has power and no fault.";
        MayStart "may-start" "The same, and enable and safe torque off closed.";
    }
    /// What the other direction does.
    Reversal "reversal while running" {
        ThroughZero "through-zero" "It ramps through standstill into the other direction.";
        AfterStop "after-stop" "It stops, and waits for a new start.";
    }
    /// What both directions together do.
    BothStarts "both directions together" {
        Stops "stops" "The motor stops.";
        Forward "forward" "Forward wins.";
    }
    /// What a missing answer of the brake does.
    BrakeWatch "watch over the holding brake" {
        Ignored "ignored" "Nothing: it does not look.";
        Trips "trips" "It trips.";
    }
    /// What an opened output does.
    OutputOpened "opened output" {
        Trips "trips" "It trips, and stays so.";
        RunsOn "runs-on" "It goes on; the motor is driven again as soon as the switch closes.";
    }
    /// When jogging is obeyed.
    JogWhen "when jogging is obeyed" {
        AtStandstill "at-standstill" "Only from standstill.";
        AnyTime "any-time" "Also while the motor runs: it goes to the jogging speed.";
    }
    /// Where a stop counts.
    Scope "where a stop counts" {
        Always "always" "Whoever has control.";
        OwnMode "own-mode" "Only while its own place has control.";
    }
    /// How a start from the network is taken.
    NetworkStart "start from the network" {
        Level "level" "The motor runs while the run bit stands.";
        Edge "edge" "The same, but after power-up, a stop from elsewhere, a loss or a fault the bit has to come anew.";
        Pulse "pulse" "A bit that comes starts; the stop bit stops.";
    }
    /// How long a raised speed is remembered.
    SpeedMemory "memory of a raised speed" {
        Kept "kept" "Over stops and without power.";
        WithPower "with-power" "Over stops, not without power.";
        Lost "lost" "Each start begins at the lowest speed.";
    }
}

impl Habit {
    /// The words that it can have.
    #[must_use]
    pub const fn info(self) -> &'static ChoiceInfo {
        match self {
            Self::PowerUp | Self::AfterEnable | Self::AfterSafeOff | Self::ModeChange => HeldStart::INFO,
            Self::AfterReset => AfterReset::INFO,
            Self::Dip => Dip::INFO,
            Self::Stop => StopMode::INFO,
            Self::EnableLost => EnableLoss::INFO,
            Self::SafeOff => SafeOffAct::INFO,
            Self::ReferenceLost | Self::NetworkLost => LossAction::INFO,
            Self::MasterStopped => MasterStop::INFO,
            Self::Reset => ResetTrigger::INFO,
            Self::AutoReset => AutoReset::INFO,
            Self::Spinning => Spinning::INFO,
            Self::FaultContact => FaultContact::INFO,
            Self::RunContact => RunContact::INFO,
            Self::ReadyContact => ReadyContact::INFO,
            Self::Reversal => Reversal::INFO,
            Self::BothStarts => BothStarts::INFO,
            Self::BrakeAnswer => BrakeWatch::INFO,
            Self::OutputOpened => OutputOpened::INFO,
            Self::Jog => JogWhen::INFO,
            Self::LocalStop | Self::NetworkStop => Scope::INFO,
            Self::NetworkStart => NetworkStart::INFO,
            Self::SpeedMemory => SpeedMemory::INFO,
        }
    }

    /// All of them, in order.
    pub fn all() -> impl Iterator<Item = Self> {
        (0..).map_while(Self::from_index)
    }
}
