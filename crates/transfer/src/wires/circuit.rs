//! Conductors put together to circuits: a signal with its way back, the three wires of a contact, the tracks of an encoder.

use plant::fact::Known;
use plant::wires::{Conductor, Function, Pole, WireList};

/// Conductors that are landed at one point.
#[derive(Clone, Debug)]
pub struct Circuit {
    /// Its name: that of the list, or its one wire.
    pub name: String,
    /// What it is for; `None` where no conductor of it says so in words that are known.
    pub function: Option<&'static Function>,
    /// Indices of its conductors in the list.
    pub members: Vec<usize>,
    /// What is known of it electrically: of each thing what the first conductor says that says it.
    pub nature: Conductor,
    /// It is a contact between two conductors of the plant: one is its common.
    pub contact: bool,
    /// Two of its conductors say different things of one thing: which.
    pub contradicts: Option<&'static str>,
}

/// The circuits of a list, in the order of their first conductors. Every conductor is in exactly one.
#[must_use]
pub fn circuits(list: &WireList) -> Vec<Circuit> {
    let mut circuits: Vec<Circuit> = Vec::new();
    let mut index: std::collections::HashMap<String, usize> = std::collections::HashMap::new();
    for (at, conductor) in list.conductors.iter().enumerate() {
        // A conductor without any name is a circuit of its own: two of them are not one.
        let key = if conductor.circuit.is_empty() { format!("\u{0}{at}") } else { conductor.circuit.clone() };
        match index.get(&key).and_then(|i| circuits.get_mut(*i)) {
            Some(circuit) => circuit.add(at, conductor),
            None => {
                index.insert(key, circuits.len());
                circuits.push(Circuit {
                    name: conductor.circuit.clone(),
                    function: conductor.function,
                    members: vec![at],
                    nature: conductor.clone(),
                    contact: is_contact(conductor),
                    contradicts: None,
                });
            }
        }
    }
    circuits
}

fn is_contact(conductor: &Conductor) -> bool {
    matches!(conductor.pole, Some(Pole::Common | Pole::NormallyOpen | Pole::NormallyClosed))
}

impl Circuit {
    fn add(&mut self, at: usize, more: &Conductor) {
        self.members.push(at);
        self.contact |= is_contact(more);
        if let (Some(one), Some(other)) = (self.function, more.function)
            && one.id != other.id
        {
            self.contradicts = Some("function");
        }
        self.function = self.function.or(more.function);
        // A signal and its way back carry different sides of one supply.
        let back = matches!(more.pole, Some(Pole::Return)) != matches!(self.nature.pole, Some(Pole::Return));
        if back && more.polarity.is_some() && more.polarity == self.nature.polarity {
            self.contradicts = Some("common");
        }
        let contradicts = self.nature.add(more);
        self.contradicts = self.contradicts.or(contradicts);
    }
}

/// Takes what another conductor of the circuit says.
trait Adds {
    /// Adds it; says of which thing both say something else.
    fn add(&mut self, more: &Self) -> Option<&'static str>;
}

impl Adds for Conductor {
    fn add(&mut self, more: &Self) -> Option<&'static str> {
        let mut against = None;
        macro_rules! words {
            ($($field:ident)+) => {$(
                if let (Some(one), Some(other)) = (self.$field, more.$field) && one != other {
                    against = against.or(Some(stringify!($field)));
                }
                self.$field = self.$field.or(more.$field);
            )+};
        }
        macro_rules! values {
            ($($field:ident)+) => {$(
                if self.$field == Known::Missing {
                    self.$field.clone_from(&more.$field);
                } else if more.$field != Known::Missing && more.$field != self.$field {
                    against = against.or(Some(stringify!($field)));
                }
            )+};
        }
        // The polarity of a way back is another one by nature.
        words!(flow driver fed_by handling range sense level sensor);
        self.polarity = self.polarity.or(more.polarity.filter(|_| more.pole != Some(Pole::Return)));
        values!(volts leakage least loop_supply burden needs load inrush ground pulses speed);
        self.function = self.function.or(more.function);
        for mode in &more.modes {
            if !self.modes.contains(mode) {
                self.modes.push(*mode);
            }
        }
        against
    }
}
