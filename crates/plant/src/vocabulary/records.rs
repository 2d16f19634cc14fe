//! Settings as data: storing, copying, locking.

use super::{Concept, Group};
use crate::quantity::{Dimension, dim};

/// The concepts of this group.
pub(super) const CONCEPTS: &[Concept] = &[
    Concept {
        id: "settings-store",
        group: Group::Records,
        term: "settings upload and download",
        standard: "CiA 301 1010h, 1011h store and restore",
        unit: None,
        unit_text: "",
        definition: "Keeping settings outside the unit and writing them into another.",
        trap: "All or only the changed ones, with or without learned motor data, bound to a firmware version; a list without defaults \
               cannot be checked.",
    },
    Concept {
        id: "factory-reset",
        group: Group::Records,
        term: "factory reset",
        standard: "CiA 301 1011h restore default parameters",
        unit: None,
        unit_text: "",
        definition: "The return of settings to the values that the unit had when it was delivered.",
        trap: "Scope differs: motor data, network address, region and learned values may stay or go; “delivered” depends on 50 or 60 Hz \
               region.",
    },
    Concept {
        id: "region-defaults",
        group: Group::Records,
        term: "region",
        standard: "",
        unit: Some(dim::FrequencyDim::INFO),
        unit_text: "",
        definition: "Choice between 50 Hz and kilowatts or 60 Hz and horsepower as base of delivered values.",
        trap: "Set by switch, by first start or by order code; two units from one shelf can wake up with different base frequencies.",
    },
    Concept {
        id: "access-lock",
        group: Group::Records,
        term: "access lock",
        standard: "",
        unit: None,
        unit_text: "",
        definition: "The protection of settings against being seen or changed by people without the code or key.",
        trap: "Hides, or blocks, or both; an unknown code on the old unit hides just what must be known.",
    },
    Concept {
        id: "display-units",
        group: Group::Records,
        term: "unit of speed shown",
        standard: "CiA 402 604Ch dimension factor",
        unit: None,
        unit_text: "",
        definition: "Whether speeds are shown and entered in hertz, rpm, per cent or a unit of the process.",
        trap: "In some units it converts everything entered so far, in others it changes only the label and thereby its meaning.",
    },
    Concept {
        id: "language",
        group: Group::Records,
        term: "language",
        standard: "",
        unit: None,
        unit_text: "",
        definition: "The language in which the keypad shows menus, settings and faults to the people on site.",
        trap: "Restored to the delivered one on reset; fault texts in a language that the night shift does not read cost hours.",
    },
    Concept {
        id: "running-hours",
        group: Group::Records,
        term: "running hours",
        standard: "",
        unit: Some(dim::TimeDim::INFO),
        unit_text: "",
        definition: "Hours with the supply on, or with the motor driven, counted by the unit.",
        trap: "Two different counters under one name; maintenance plans count one of them and start anew with the new unit.",
    },
    Concept {
        id: "parameter-sets",
        group: Group::Records,
        term: "setting banks",
        standard: "",
        unit: None,
        unit_text: "",
        definition: "Several complete groups of settings between which an input or a network bit changes over.",
        trap: "Only the active one is seen on the keypad; the other motor’s data are in the other bank and are forgotten in the \
               transfer.",
    },
    Concept {
        id: "firmware-version",
        group: Group::Records,
        term: "firmware version",
        standard: "CiA 301 100Ah",
        unit: None,
        unit_text: "",
        definition: "The version of the software inside the unit, to which its list of settings belongs.",
        trap: "Decides which settings exist and what they mean; a spare from the same shelf may hold another, and a stored file may be \
               refused.",
    },
];
