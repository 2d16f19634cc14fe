//! The wiring of a position from its survey: every way in which it may turn out.

use findings::facts::{Domain, Survey};
use plant::choice::{Choice, OutputSwitch, YesNo};
use plant::control::{PermissiveActs, StartBy};
use plant::fact::Known;
use plant::position::Position;
use plant::survey::{self, FactId, FactType, Key, def, path};
use transfer::behaviour::case::{Axis, MOST_COMPLETIONS, Variant};
use transfer::behaviour::scheme::{Needs, Scheme};

/// What was made of the survey.
#[derive(Debug, Default)]
pub(super) struct Wiring {
    /// Ways in which it may turn out; none where not even the way of starting is known.
    pub(super) variants: Vec<Variant>,
    /// Facts that differ between them.
    pub(super) axes: Vec<Axis>,
    /// Facts to be read first.
    pub(super) open: Vec<String>,
    /// In words.
    pub(super) text: String,
}

/// The facts that make a scheme.
const FACTS: &[FactId] = &[
    survey::SCHEME_START.id,
    survey::SCHEME_SEAL.id,
    survey::SCHEME_PILOT.id,
    survey::SCHEME_REVERSING.id,
    survey::SCHEME_JOG.id,
    survey::SCHEME_ENABLE.id,
    survey::SCHEME_PERMISSIVE.id,
    survey::SCHEME_PERMISSIVE_IN.id,
    survey::SCHEME_EMERGENCY.id,
    survey::SCHEME_RESET.id,
    survey::SCHEME_REFERENCE.id,
    survey::SCHEME_SPINNING.id,
    survey::SCHEME_BRAKE_ANSWER.id,
    survey::OUTPUT_SWITCH.id,
    survey::SCHEME_RESTART.id,
];

/// Every fact that a comparison reads.
pub fn reads() -> impl Iterator<Item = FactId> {
    let needs = [survey::SCHEME_CATEGORY.id, survey::SCHEME_REFERENCE_LOSS.id, survey::NETWORK_LOSS_ACTION.id];
    FACTS.iter().copied().chain(needs)
}

pub(super) fn variants(position: &Position) -> Wiring {
    let survey = Survey::new(position);
    let mut wiring = Wiring::default();
    if survey.is_assumed(survey::SCHEME_START.id) {
        wiring.open = FACTS.iter().filter(|id| survey.is_assumed(**id)).map(|id| format!("{}: {}", path(*id), def(*id).label)).collect();
        return wiring;
    }
    let values: Vec<Vec<f64>> = FACTS.iter().map(|id| listed(survey.domain(*id))).collect();
    let of = values.iter().map(Vec::len).fold(1, usize::saturating_mul);
    let mut found: Vec<(Scheme, Needs, Vec<usize>)> = Vec::new();
    // Far more than are gone through; the rest would only be left out later.
    for number in 0..of.min(64 * MOST_COMPLETIONS) {
        let picks = picks(&values, number);
        let raw: Vec<f64> = values.iter().zip(&picks).map(|(v, pick)| v[*pick]).collect();
        let (scheme, needs) = read(position, &raw);
        if !found.iter().any(|(s, n, _)| (*s, *n) == (scheme, needs)) {
            found.push((scheme, needs, picks));
        }
    }
    let varies: Vec<usize> = (0..FACTS.len()).filter(|at| found.iter().any(|(_, _, p)| p[*at] != found[0].2[*at])).collect();
    wiring.axes = varies.iter().map(|at| axis(FACTS[*at], &values[*at])).collect();
    wiring.text = found.first().map_or_else(String::new, |(scheme, _, _)| words(scheme, found.len()));
    wiring.variants = found
        .into_iter()
        .map(|(scheme, needs, picks)| Variant { scheme, needs, picks: varies.iter().map(|at| picks[*at]).collect() })
        .collect();
    wiring
}

fn listed(domain: &Domain) -> Vec<f64> {
    match domain {
        Domain::Fixed(value) => vec![*value],
        Domain::OneOf(values) | Domain::OpenWords(values) if !values.is_empty() => values.clone(),
        _ => vec![0.0],
    }
}

fn picks(values: &[Vec<f64>], mut number: usize) -> Vec<usize> {
    values
        .iter()
        .map(|v| {
            let pick = number % v.len();
            number /= v.len();
            pick
        })
        .collect()
}

fn axis(id: FactId, values: &[f64]) -> Axis {
    let survey::Kind::Choice(info) = def(id).kind else { return Axis { label: path(id), words: Vec::new() } };
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "indices of words are small and not negative")]
    let word = |raw: &f64| info.words.get(raw.round() as usize).map_or_else(String::new, |w| w.word.to_owned());
    Axis { label: format!("{} ({})", path(id), def(id).label), words: values.iter().map(word).collect() }
}

/// A scheme and what is needed, from raw values in the order of [`FACTS`].
fn read(position: &Position, raw: &[f64]) -> (Scheme, Needs) {
    let mut next = raw.iter().copied();
    let plain = Scheme::default();
    let scheme = Scheme {
        start: take(&mut next).unwrap_or(plain.start),
        seal: take(&mut next).unwrap_or(plain.seal),
        pilot: take(&mut next).unwrap_or(plain.pilot),
        reversing: take(&mut next) == Some(YesNo::Yes),
        jog: take(&mut next) == Some(YesNo::Yes),
        enable: take(&mut next) == Some(YesNo::Yes),
        permissive: take(&mut next).unwrap_or(plain.permissive),
        permissive_in: take(&mut next).unwrap_or(plain.permissive_in),
        emergency: take(&mut next).unwrap_or(plain.emergency),
        reset: take(&mut next).unwrap_or(plain.reset),
        reference: take(&mut next).unwrap_or(plain.reference),
        spinning: take(&mut next) == Some(YesNo::Yes),
        brake: take(&mut next) == Some(YesNo::Yes),
        isolator: take(&mut next).unwrap_or(OutputSwitch::None),
    }
    .plainest();
    let needs = Needs {
        category: one(position, survey::SCHEME_CATEGORY),
        reference_lost: one(position, survey::SCHEME_REFERENCE_LOSS),
        network_lost: one(position, survey::NETWORK_LOSS_ACTION),
        restart_meant: take(&mut next) == Some(YesNo::Yes),
        permissives: scheme.permissive != PermissiveActs::None,
    };
    (scheme, needs)
}

fn take<C: FactType>(raw: &mut impl Iterator<Item = f64>) -> Option<C> {
    raw.next().and_then(C::from_raw)
}

/// The one value of a fact; `None` while it may be several.
fn one<T: FactType>(position: &Position, key: Key<T>) -> Option<T> {
    match position.fact(key.id)?.known {
        Known::Value(value) => T::from_raw(value),
        _ => None,
    }
}

/// The wiring in words.
fn words(scheme: &Scheme, variants: usize) -> String {
    let mut parts = vec![format!("started {}", scheme.start.word())];
    if scheme.start == StartBy::ThreeWire {
        parts.push(format!("the start held by {}", scheme.seal.word()));
    }
    if scheme.start != StartBy::Network {
        parts.push(format!("pilot circuit fed from {}", scheme.pilot.word()));
    }
    if scheme.permissive != PermissiveActs::None {
        parts.push(format!("permissives in {}, living in {}", scheme.permissive.word(), scheme.permissive_in.word()));
    }
    parts.push(format!("emergency stop: {}", scheme.emergency.word()));
    parts.push(format!("faults reset by {}", scheme.reset.word()));
    parts.push(format!("speed from {}", scheme.reference.word()));
    let several = if variants > 1 { format!(" (the first of {variants} ways in which it may turn out)") } else { String::new() };
    format!("{}{several}", parts.join(", "))
}
