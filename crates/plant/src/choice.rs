//! Facts that are words: each is one of a few, and each word is defined. Files, schemas, forms and
//! messages take the words from here.

/// One word of a choice.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Word {
    /// As written in files: "self-ventilated".
    pub word: &'static str,
    /// What it means.
    pub doc: &'static str,
}

/// What is known of a choice at run time.
#[derive(Debug, PartialEq, Eq)]
pub struct ChoiceInfo {
    /// Plain name, as used in messages: "supply grounding".
    pub name: &'static str,
    /// The words, in a fixed order; a value is an index into them.
    pub words: &'static [Word],
}

impl ChoiceInfo {
    /// Index of a word.
    #[must_use]
    pub fn index(&self, word: &str) -> Option<usize> {
        self.words.iter().position(|w| w.word == word)
    }
}

/// A type whose values are the words of a choice.
pub trait Choice: Copy + PartialEq + std::fmt::Debug + 'static {
    /// Name and words.
    const INFO: &'static ChoiceInfo;

    /// From an index into the words; `None` beyond the last.
    fn from_index(index: usize) -> Option<Self>;

    /// Index into the words.
    fn index(self) -> usize;

    /// The word.
    fn word(self) -> &'static str {
        Self::INFO.words[self.index()].word
    }

    /// From its word.
    #[must_use]
    fn from_word(word: &str) -> Option<Self> {
        Self::INFO.index(word).and_then(Self::from_index)
    }
}

macro_rules! choices {
    ($($(#[$doc:meta])* $name:ident $plain:literal { $($variant:ident $word:literal $meaning:literal;)+ })+) => {$(
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub enum $name {
            $(#[doc = $meaning] $variant),+
        }
        impl Choice for $name {
            const INFO: &'static ChoiceInfo = &ChoiceInfo { name: $plain, words: &[$(Word { word: $word, doc: $meaning }),+] };
            fn from_index(index: usize) -> Option<Self> {
                const ALL: &[$name] = &[$($name::$variant),+];
                ALL.get(index).copied()
            }
            fn index(self) -> usize { self as usize }
        }
        impl crate::survey::FactType for $name {
            const KIND: crate::survey::Kind = crate::survey::Kind::Choice(<$name as Choice>::INFO);
            fn from_raw(raw: f64) -> Option<Self> {
                if raw < 0.0 { return None; }
                #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "indices of words are small and not negative")]
                Self::from_index(raw.round() as usize)
            }
        }
    )+};
}

pub(crate) use choices;

choices! {
    /// What protects the branch that feeds the drive.
    ProtectiveDevice "protective device" {
        FuseJ "fuse class J" "Current-limiting fuse of UL class J.";
        FuseCc "fuse class CC" "Current-limiting fuse of UL class CC, up to 30 A.";
        FuseT "fuse class T" "Current-limiting fuse of UL class T.";
        FuseRk1 "fuse class RK1" "Current-limiting fuse of UL class RK1.";
        FuseRk5 "fuse class RK5" "Fuse of UL class RK5; its holder takes class RK1 as well.";
        FuseGg "fuse class gG" "General-purpose fuse of IEC 60269.";
        FuseAr "fuse class aR" "Semiconductor fuse: clears short circuits only.";
        Breaker "breaker" "Inverse-time circuit breaker.";
        MotorProtector "instantaneous breaker" "Breaker without a time element (motor circuit protector).";
    }
    /// Type of a residual-current device (IEC 60755).
    ResidualDevice "residual-current device" {
        None "none" "There is none ahead of the drive.";
        Ac "AC" "Sees sinusoidal alternating current alone.";
        A "A" "Sees pulsating direct current too.";
        F "F" "Sees mixed frequencies too, as of single-phase drives.";
        B "B" "Sees smooth direct current too.";
    }
    /// Rectifier of a unit towards the line.
    FrontEnd "front end" {
        SixPulse "six-pulse" "Three-phase diode bridge.";
        TwelvePulse "twelve-pulse" "Two bridges on windings 30° apart.";
        EighteenPulse "eighteen-pulse" "Three bridges on windings 20° apart.";
        Active "active" "Switched front end with nearly sinusoidal current.";
    }
    /// Temperature that the insulation of a conductor stands (NEC 310.4; IEC 60364-5-52).
    Insulation "insulation of conductors" {
        C60 "60 °C" "TW, UF and the like.";
        C70 "70 °C" "PVC of IEC tables.";
        C75 "75 °C" "THW, THWN, RHW, XHHW in the wet.";
        C90 "90 °C" "THHN, XHHW-2, RHW-2; cross-linked polyethylene or rubber of IEC tables.";
    }
    /// Reference method of installation (IEC 60364-5-52 Table B.52.1).
    CableMethod "reference method" {
        A1 "A1" "Insulated conductors in conduit in a thermally insulating wall.";
        A2 "A2" "Multi-core cable in conduit in a thermally insulating wall.";
        B1 "B1" "Insulated conductors in conduit on a wall.";
        B2 "B2" "Multi-core cable in conduit on a wall.";
        C "C" "Cable clipped to a wall.";
        E "E" "Multi-core cable in free air.";
    }
    /// Limits of harmonics that the plant is held to.
    HarmonicLimit "limits of harmonics" {
        Ieee2014 "IEEE 519-2014" "IEEE Std 519-2014.";
        Ieee2022 "IEEE 519-2022" "IEEE Std 519-2022.";
    }
    /// What plate or papers say of a motor's fitness for a drive.
    MotorWording "wording of the motor's plate" {
        Nothing "none" "Neither plate nor papers speak of drives.";
        InverterDuty "inverter duty" "So it says, without a standard.";
        Part30 "NEMA MG 1 Part 30" "General purpose, with the limits of that part.";
        Part31 "NEMA MG 1 Part 31" "Definite purpose, with the limits of that part.";
        ClassA "IEC 60034-18-41 class A" "Impulse voltage insulation class A: benign.";
        ClassB "IEC 60034-18-41 class B" "Impulse voltage insulation class B: moderate.";
        ClassC "IEC 60034-18-41 class C" "Impulse voltage insulation class C: severe.";
        ClassD "IEC 60034-18-41 class D" "Impulse voltage insulation class D: extreme.";
    }
    /// Sensor in the winding of a motor.
    WindingSensor "winding sensor" {
        None "none" "There is none, or its leads end in the terminal box.";
        Ptc "PTC" "Thermistors of DIN 44081 or 44082.";
        Thermostat "thermostat" "A contact that opens.";
        Pt100 "Pt100" "Platinum, 100 Ω at 0 °C (IEC 60751).";
        Pt1000 "Pt1000" "Platinum, 1000 Ω at 0 °C (IEC 60751).";
    }
    /// What stands between drive and motor beside the cable.
    OutputFilter "output filter" {
        None "none" "The cable alone.";
        Reactor "reactor" "Three-phase choke.";
        DvDt "dv/dt filter" "Choke with damped capacitors: slows the edges.";
        Sine "sine filter" "Low pass below the carrier: nearly sinusoidal voltage.";
    }
    /// A switch between drive and motor.
    OutputSwitch "output switch" {
        None "none" "There is none.";
        EarlyBreak "with early-break contact" "Its contact opens before the poles and takes the run permit away.";
        Plain "without early-break contact" "Nothing tells the drive that it opens.";
    }
    /// How a bypass is kept apart from the drive's output.
    Bypass "bypass" {
        None "none" "There is no bypass.";
        Mechanical "mechanically interlocked" "The contactors can't close together.";
        Electrical "electrically interlocked" "Auxiliary contacts keep them apart.";
        Loose "not interlocked" "Commands alone keep them apart.";
    }
    /// What feeds the coil of a motor brake.
    BrakeFeed "feed of the motor brake" {
        None "no brake" "The motor has none.";
        Own "own supply" "Line or control supply, through a contact.";
        Motor "motor terminals" "The drive's output itself.";
    }
    /// What the thermal contact of a brake resistor does.
    ThermalContact "thermal contact" {
        OpensLine "opens the line" "It drops the line contactor or trips the breaker.";
        StopsRun "stops the run" "It takes the run command away, no more.";
        None "none" "There is none, or it is not wired.";
    }
    /// How drives come onto a DC link that they share.
    LinkJoining "joining of a DC link" {
        OneCharges "charged by one" "Joined while all of them are dead; one member then charges the whole link.";
        EachCharges "charged each" "Each member charges itself; it is joined only at the voltage of the link.";
        Unguarded "nothing waits" "A member may be joined while its voltage and the link's differ.";
    }
    /// Whether something is there.
    YesNo "yes or no" {
        No "no" "It is not there, or does not happen.";
        Yes "yes" "It is there, or happens.";
    }
    /// How the supply's neutral or a phase is tied to earth (IEC 60364-1 system types, US names).
    Grounding "supply grounding" {
        Solid "solid" "Star point tied straight to earth (TN or TT).";
        CornerGrounded "corner" "One phase of a delta tied to earth.";
        HighLeg "high-leg" "Delta with the middle of one winding tied to earth; one phase stands high.";
        HighResistance "high-resistance" "Star point tied to earth through a resistor that lets a few amperes through.";
        Ungrounded "ungrounded" "No intended tie to earth (IT).";
    }
    /// How many phases feed the drive.
    Phases "number of supply phases" {
        Three "three" "Three phases.";
        Single "single" "One phase (two wires) feeds the drive.";
    }
    /// What kind of motor it is.
    MotorKind "kind of motor" {
        Induction "induction" "Squirrel-cage induction motor; its rated speed lies below the synchronous speed.";
        PermanentMagnet "permanent-magnet" "Synchronous motor with magnets; makes voltage whenever it turns.";
        Reluctance "reluctance" "Synchronous reluctance motor, without magnets or cage.";
        WoundRotor "wound-rotor" "Slip-ring motor; its rotor winding must be short-circuited for a drive.";
        MultiSpeed "multi-speed" "Motor with switched windings or poles; one winding only may run on a drive.";
    }
    /// How the motor is cooled (IEC 60034-6).
    Cooling "motor cooling" {
        SelfVentilated "self-ventilated" "A fan on the motor's own shaft (IC 411): little air at low speed.";
        Forced "forced" "A separately driven fan (IC 416), or water.";
        NonVentilated "non-ventilated" "No fan; surface only (IC 410).";
    }
    /// What the driven machine does with torque and speed.
    LoadKind "kind of load" {
        ConstantTorque "constant-torque" "The same torque at every speed: positive-displacement pump, mixer, extruder, screw.";
        Quadratic "quadratic" "Torque rises with the square of speed: fan, centrifugal pump.";
        Linear "linear" "Torque rises with speed: calender, some mixers of thick liquids.";
        ConstantPower "constant-power" "Torque falls with speed: winder, spindle.";
        Conveyor "conveyor" "Friction of a belt or chain, with a hard first move when loaded.";
        Elevator "elevator" "Bucket elevator or incline: lifts all the time, would run back when released.";
        Hoist "hoist" "Lifts and lowers a hanging load; drives the motor on the way down.";
        HighInertia "high-inertia" "A heavy rotor that takes long to start and to stop: mill, centrifuge, flywheel press, large fan.";
    }
    /// What makes the load stop, and whether its time matters.
    StopNeed "what the stop must do" {
        Free "free" "May coast; nobody relies on its time.";
        Timed "timed" "Must stop within the stop time: a process or a guard relies on it.";
        Held "held" "Must stop within the stop time and be held by a brake.";
    }
    /// How the drive stands among its neighbours.
    Mounting "mounting" {
        Spaced "spaced" "With the clearances that the unit's documents ask for.";
        SideBySide "side-by-side" "Touching its neighbours.";
    }
    /// How the drive is rated.
    Duty "duty class" {
        Light "light" "Small overloads: fans and pumps (the trade also says normal duty).";
        Heavy "heavy" "Large overloads: constant torque, hard starts.";
    }
    /// How the old or new unit controls the motor.
    Control "control method" {
        Scalar "scalar" "Volts per hertz.";
        OpenLoopVector "open-loop-vector" "Field orientation without an encoder.";
        ClosedLoopVector "closed-loop-vector" "Field orientation with an encoder.";
    }
    /// How the motor's winding stands today.
    Winding "motor winding" {
        Original "original" "As the plate says.";
        Rewound "rewound" "Rewound; the plate may no longer tell its amperes.";
    }
    /// Whether a unit has a part as delivered, on request, or not at all.
    Presence "presence" {
        Absent "absent" "Not to be had.";
        Optional "optional" "To be ordered.";
        Standard "standard" "Always there.";
    }
    /// What a unit's documents allow at a kind of supply grounding.
    Links "filter and varistor links" {
        In "in" "Allowed with the links to earth fitted.";
        Out "out" "Allowed only with the links to earth taken out.";
        NotAllowed "not-allowed" "Not allowed on this supply.";
    }
    /// How the reductions of current combine.
    Combine "way to combine reductions" {
        Multiply "multiply" "The factors are multiplied.";
        Add "add" "The reductions are added and taken from one.";
        Lowest "lowest" "The lowest factor alone counts.";
    }
    /// What a reduction of current depends on.
    DerateKind "kind of reduction" {
        Altitude "altitude" "Height above sea level.";
        AirTemperature "air-temperature" "Temperature of the air that enters the unit.";
        Carrier "carrier" "Carrier (switching) frequency.";
        OutputFrequency "output-frequency" "Output frequency; small near standstill.";
        SideBySide "side-by-side" "Mounted touching its neighbours (one factor).";
        SinglePhase "single-phase" "Fed by one phase (one factor).";
        Unbalance "unbalance" "Voltage unbalance of the supply.";
    }
    /// What a drive is built into.
    Housing "kind of housing" {
        WallBox "wall-box" "A box on a wall or frame.";
        Cabinet "cabinet" "A cabinet that stands on the floor.";
        McUnit "withdrawable-unit" "A withdrawable unit (bucket) of a motor control center.";
        Room "room" "No box: the drive hangs open in a room.";
    }
    /// How a box stands: which faces give their heat to free air.
    Standing "standing of the box" {
        Wall "wall" "Alone, rear on a wall.";
        Free "free" "Alone, air on all sides.";
        RowEnd "row-end" "First or last of a row, free rear.";
        RowEndWall "row-end-wall" "First or last of a row, rear on a wall.";
        RowMiddle "row-middle" "Within a row, free rear.";
        RowMiddleWall "row-middle-wall" "Within a row, rear on a wall.";
    }
    /// How the heat leaves a box.
    BoxCooling "cooling of the box" {
        Closed "closed" "Through its walls only.";
        Fan "fan" "A fan blows outside air through it.";
        Exchanger "exchanger" "An air-to-air heat exchanger keeps inside and outside air apart.";
        CoolingUnit "cooling-unit" "A cooling unit keeps it at a set temperature.";
    }
    /// Where the heat of a drive's heat sink goes.
    HeatSink "place of the heat sink" {
        Inside "inside" "Into the air of the box.";
        Outside "outside" "Through a cut-out in the rear wall to the air outside.";
    }
    /// A side of a plate or a unit, seen from the front.
    PlateSide "side" {
        Below "below" "From below.";
        Above "above" "From above.";
        Left "left" "From the left.";
        Right "right" "From the right.";
    }
    /// On which side a door hangs, seen from the front.
    Hinge "side of the hinges" {
        Left "left" "Hinges at the left.";
        Right "right" "Hinges at the right.";
    }
    /// What something is fixed to.
    Fixing "place of fixing" {
        Plate "plate" "The mounting plate.";
        Door "door" "The inside of the door.";
    }
    /// How well a box keeps things out: IP codes (IEC 60529) and types (NEMA 250).
    BoxRating "rating of the box" {
        Ip00 "IP00" "Nothing is kept out.";
        Ip20 "IP20" "Fingers are kept out.";
        Ip21 "IP21" "Fingers and dripping water are kept out.";
        Ip44 "IP44" "Wires and splashing water are kept out.";
        Ip54 "IP54" "Harmful dust and splashing water are kept out.";
        Ip55 "IP55" "Harmful dust and jets of water are kept out.";
        Ip65 "IP65" "Dust and jets of water are kept out.";
        Ip66 "IP66" "Dust and strong jets of water are kept out.";
        Type1 "type-1" "NEMA type 1: indoors, against falling dirt.";
        Type3R "type-3R" "NEMA type 3R: outdoors, against rain and sleet.";
        Type4 "type-4" "NEMA type 4: against hose-directed water.";
        Type4X "type-4X" "NEMA type 4X: against hose-directed water and corrosion.";
        Type12 "type-12" "NEMA type 12: indoors, against dust and dripping liquids.";
    }
    /// Metal of a conductor.
    Metal "metal of a conductor" {
        Copper "copper" "Copper.";
        Aluminium "aluminium" "Aluminium, also copper-clad.";
    }
    /// How a conductor is made up.
    Strands "make-up of a conductor" {
        Stranded "stranded" "Class 2 of IEC 60228, US class B or C; also solid.";
        Fine "fine" "Fine-stranded: classes 5 and 6 of IEC 60228, US classes G to M.";
    }
    /// How a unit is mounted.
    Style "way of mounting" {
        Panel "panel" "Flat on a plate, with the unit's usual clearances.";
        SideBySide "side-by-side" "Flat on a plate, touching its neighbours.";
        ThroughWall "through-wall" "Heat sink through a cut-out, its heat outside.";
        Enclosed "enclosed" "Flat on a plate or wall, closed with the enclosure kit.";
    }
    /// Where a fact comes from.
    OriginKind "origin of a fact" {
        Nameplate "nameplate" "Read on a plate on site.";
        Photo "photo" "Read on a photograph.";
        Measured "measured" "Measured with an instrument.";
        Drawing "drawing" "Taken from a drawing or list, which may be out of date.";
        Said "said" "Told by somebody on site.";
        Assumed "assumed" "Assumed by whoever filled in the survey.";
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_and_values_go_both_ways() {
        for (index, word) in Grounding::INFO.words.iter().enumerate() {
            let value = Grounding::from_word(word.word).expect(word.word);
            assert_eq!(value.index(), index);
            assert_eq!(value.word(), word.word);
        }
        assert_eq!(Grounding::from_word("Solid"), None);
        assert_eq!(Grounding::from_index(99), None);
    }
}
