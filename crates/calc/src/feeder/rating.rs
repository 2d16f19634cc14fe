//! The short-circuit rating of a path: the lowest-rated part decides, the disconnect on the load side included. A higher rating
//! behind a fuse or breaker counts only where the documents of the part state that combination.

use plant::quantity::{Current, Dimension, dim};

use crate::checks::{above_zero, flag};
use crate::registry::{Arguments, Calculation, Input, InputKind, Refusal, output, quantity};
use crate::sources::{Knowledge, PACK, Source};
use crate::working::{Recorder, Step, Working};

/// The rule.
pub const LOWEST: Source = Source::new(
    "NFPA 70 NEC 110.10, 409.110(4) and 430.130; UL 508A Supplement SB: the lowest rating of the power circuit",
    Knowledge::FromMemory,
);

/// A part of the power circuit.
#[derive(Clone, Debug, PartialEq)]
pub struct Rated {
    /// What it is, for the working.
    pub name: String,
    /// Its own marked rating; nothing when it is not marked and its documents say nothing.
    pub own: Option<Current>,
    /// Rating in a documented combination with the device that is in fact fitted ahead of it; nothing when there is none.
    pub combined: Option<Current>,
}

impl Rated {
    /// What counts: the documented combination where there is one, else its own mark. A combination never lowers the own mark.
    #[must_use]
    pub fn rating(&self) -> Option<Current> {
        match (self.own, self.combined) {
            (Some(own), Some(combined)) => Some(own.max(combined)),
            (own, combined) => own.or(combined),
        }
    }
}

/// The rating of a path.
#[derive(Clone, Debug, PartialEq)]
pub struct PathRating {
    /// The lowest rating; nothing while a part has none.
    pub rating: Option<Current>,
    /// Lowest rating of the parts that have one: the path's rating is no higher.
    pub at_most: Option<Current>,
    /// Place in the list of the part with the lowest rating.
    pub weakest: Option<usize>,
    /// Places of the parts without a rating.
    pub unrated: Vec<usize>,
    /// `at_most` less the available current: negative fails whatever the unrated parts may have.
    pub margin: Option<Current>,
    /// Every part is rated, and no lower than the available current.
    pub holds: bool,
}

/// The short-circuit rating of a path against the available fault current.
///
/// # Errors
/// Without a part, or with a rating or current that is not above zero.
///
/// Source: UL 508A Supplement SB; NEC 110.10. Worked example: 31.4 kA available; breaker 65 kA, drive 100 kA behind its fuse, a
/// disconnect of 10 kA on the load side: the path has 10 kA and fails by 21.4 kA.
/// ```
/// use calc::{feeder::rating::{Rated, path_rating}, working::Silent};
/// use plant::quantity::Current;
/// let part = |name: &str, own: f64, combined: Option<f64>| {
///     Rated { name: name.into(), own: Some(Current::ka(own)), combined: combined.map(Current::ka) }
/// };
/// let parts = [part("breaker", 65.0, None), part("drive", 5.0, Some(100.0)), part("disconnect at the motor", 10.0, None)];
/// let path = path_rating(&parts, Current::ka(31.4), &mut Silent).unwrap();
/// assert!(path.weakest == Some(2) && path.rating == Some(Current::ka(10.0)) && !path.holds);
/// ```
pub fn path_rating<R: Recorder>(parts: &[Rated], available: Current, rec: &mut R) -> Result<PathRating, Refusal> {
    above_zero("the available fault current", available)?;
    if parts.is_empty() {
        return Err(Refusal::new("a path has one part at least"));
    }
    for part in parts {
        for rating in [part.own, part.combined].into_iter().flatten() {
            above_zero("a short-circuit rating", rating)?;
        }
    }
    let rated = || parts.iter().enumerate().filter_map(|(i, p)| p.rating().map(|r| (i, r)));
    let lowest = rated().reduce(|low, next| if next.1 < low.1 { next } else { low });
    let unrated: Vec<usize> = parts.iter().enumerate().filter(|(_, p)| p.rating().is_none()).map(|(i, _)| i).collect();
    let at_most = lowest.map(|(_, r)| r);
    let rating = at_most.filter(|_| unrated.is_empty());
    let margin = at_most.map(|r| r - available);
    let holds = rating.is_some() && margin.is_some_and(|m| m >= Current::ZERO);
    for part in parts {
        rec.step(|| {
            let step = Step::new("I_cc", format!("rating of {}", part.name), "", &PACK);
            match (part.rating(), part.combined) {
                (None, _) => step.gives("not known").note("not marked, and no document says; the path cannot be shown to hold"),
                (Some(rating), Some(combined)) if part.own.is_none_or(|own| own < combined) => {
                    step.gives(rating).note("in the documented combination with the device fitted ahead")
                }
                (Some(rating), _) => step.gives(rating).note("its own mark"),
            }
        });
    }
    if let (Some((i, lowest)), Some(margin)) = (lowest, margin) {
        rec.step(|| {
            Step::new("m", format!("lowest rating, of {}, over the available current", parts[i].name), "I_cc − I_k", &LOWEST)
                .with("I_cc", lowest)
                .with("I_k", available)
                .gives(margin)
                .note(if unrated.is_empty() { "" } else { "parts without a rating may be lower still" })
        });
    }
    Ok(PathRating { rating, at_most, weakest: lowest.map(|(i, _)| i), unrated, margin, holds })
}

/// `calc short-circuit-rating`.
pub const SHORT_CIRCUIT_RATING: Calculation = Calculation {
    name: "short-circuit-rating",
    summary: "Short-circuit rating of a path by its lowest-rated part, against the available fault current.",
    inputs: &[
        Input {
            name: "parts",
            kind: InputKind::Rows(&[<dim::CurrentDim as Dimension>::INFO, <dim::CurrentDim as Dimension>::INFO]),
            default: None,
            doc: "own rating and rating in a documented combination that is fitted, of each part: 65 kA, 0 A; 5 kA, 100 kA; 10 kA, 0 A; 0 A: none",
        },
        quantity::<dim::CurrentDim>("available", "fault current available"),
    ],
    results: &[
        output::<dim::CurrentDim>("at-most", "kA", "lowest rating known; 0 when none is"),
        output::<dim::CountDim>("weakest", "", "which part has it, counted from 1; 0 when none"),
        output::<dim::CountDim>("unrated", "", "number of parts without a rating"),
        output::<dim::CurrentDim>("margin", "kA", "lowest rating less the available current"),
        output::<dim::CountDim>("holds", "", "1 when every part is rated high enough"),
    ],
    sources: &[&LOWEST, &PACK],
    run: |a: &Arguments, w: &mut Working| {
        // Zero stands for none here; a negative rating is refused below.
        let known = |si: f64| Some(Current::si(si)).filter(|c| *c != Current::ZERO);
        let row = |(i, cells): (usize, &Vec<f64>)| Rated {
            name: format!("part {}", i + 1),
            own: cells.first().copied().and_then(known),
            combined: cells.get(1).copied().and_then(known),
        };
        let parts: Vec<Rated> = a.rows("parts").iter().enumerate().map(row).collect();
        let available: Current = a.get("available");
        let found = path_rating(&parts, available, w)?;
        let weakest = found.weakest.and_then(|i| u32::try_from(i + 1).ok()).map_or(0.0, f64::from);
        let unrated = u32::try_from(found.unrated.len()).map_or(f64::MAX, f64::from);
        Ok(vec![
            found.at_most.unwrap_or(Current::ZERO).in_si(),
            weakest,
            unrated,
            found.margin.unwrap_or(-available).in_si(),
            flag(found.holds),
        ])
    },
};

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::working::Silent;

    fn part(own: Option<f64>, combined: Option<f64>) -> Rated {
        Rated { name: "part".into(), own: own.map(Current::ka), combined: combined.map(Current::ka) }
    }

    #[test]
    fn an_unrated_part_never_lets_a_path_hold() {
        let found = path_rating(&[part(Some(65.0), None), part(None, None)], Current::ka(5.0), &mut Silent).unwrap();
        assert!(!found.holds && found.rating.is_none() && found.unrated == [1] && found.margin == Some(Current::ka(60.0)));
        let none = path_rating(&[part(None, None)], Current::ka(5.0), &mut Silent).unwrap();
        assert!(!none.holds && none.margin.is_none() && none.weakest.is_none());
    }

    #[test]
    fn a_combination_counts_only_where_it_is_higher() {
        assert_eq!(part(Some(10.0), Some(5.0)).rating(), Some(Current::ka(10.0)));
        assert_eq!(part(None, Some(65.0)).rating(), Some(Current::ka(65.0)));
        assert!(path_rating(&[], Current::ka(5.0), &mut Silent).is_err());
        assert!(path_rating(&[part(Some(-1.0), None)], Current::ka(5.0), &mut Silent).is_err());
        assert!(path_rating(&[part(Some(1.0), None)], Current::ZERO, &mut Silent).is_err());
    }

    proptest! {
        #[test]
        fn one_part_more_never_helps(ratings in proptest::collection::vec(1.0f64..200.0, 1..8), more in 1.0f64..200.0, available in 1.0f64..200.0) {
            let parts: Vec<Rated> = ratings.iter().map(|r| part(Some(*r), None)).collect();
            let longer: Vec<Rated> = parts.iter().cloned().chain([part(Some(more), None)]).collect();
            let at = |parts: &[Rated]| path_rating(parts, Current::ka(available), &mut Silent).unwrap();
            prop_assert!(at(&longer).rating <= at(&parts).rating);
            prop_assert!(!at(&longer).holds || at(&parts).holds);
            let lowest = ratings.iter().copied().fold(f64::INFINITY, f64::min);
            prop_assert_eq!(at(&parts).rating, Some(Current::ka(lowest)));
        }
    }
}
