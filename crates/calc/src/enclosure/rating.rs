//! Enclosure ratings: the IP code that a NEMA type meets at least (never the reverse), and whether a box keeps its rating
//! with new holes, fans and covers in it.

use std::fmt;

use plant::quantity::{Length, dim};

use super::heat::by_word;
use crate::registry::{Arguments, Calculation, Input, InputKind, Refusal, output, word};
use crate::sources::{Knowledge, Source};
use crate::working::{Recorder, Step, Working};

/// The table that many documents copy.
pub const NEMA_250_OLD: Source = Source::new("NEMA 250 annex as copied: IP that a type meets at least", Knowledge::LookedUp);
/// The present annex.
pub const NEMA_250_NEW: Source = Source::new("NEMA 250 Annex A, present edition", Knowledge::FromMemory);
/// Numerals of the IP code.
pub const IEC_60529: Source = Source::new("IEC 60529 clauses 5 and 6", Knowledge::FromMemory);

/// A NEMA type of non-hazardous locations.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum NemaType {
    /// Indoor, falling dirt.
    T1,
    /// Indoor, dripping.
    T2,
    /// Outdoor, wind-blown dust and rain.
    T3,
    /// Outdoor, rain.
    T3R,
    /// As 3, working under ice.
    T3S,
    /// Hose-down.
    T4,
    /// Hose-down, corrosion.
    T4X,
    /// Indoor, settling dust and dripping.
    T5,
    /// Temporary submersion.
    T6,
    /// Prolonged submersion.
    T6P,
    /// Indoor, circulating dust and dripping.
    T12,
    /// As 12, with knockouts.
    T12K,
    /// Indoor, oil and coolant.
    T13,
}

impl NemaType {
    /// Every type, in the order of [`Self::WORDS`].
    pub const ALL: [Self; 13] = [
        Self::T1,
        Self::T2,
        Self::T3,
        Self::T3R,
        Self::T3S,
        Self::T4,
        Self::T4X,
        Self::T5,
        Self::T6,
        Self::T6P,
        Self::T12,
        Self::T12K,
        Self::T13,
    ];
    /// As marked on a box, behind "type".
    pub const WORDS: [&'static str; 13] = ["1", "2", "3", "3R", "3S", "4", "4X", "5", "6", "6P", "12", "12K", "13"];

    /// The type of that word.
    #[must_use]
    pub fn from_word(word: &str) -> Option<Self> {
        by_word(&Self::WORDS, &Self::ALL, word)
    }

    /// As marked.
    #[must_use]
    pub fn word(self) -> &'static str {
        Self::ALL.iter().zip(Self::WORDS).find_map(|(t, word)| (*t == self).then_some(word)).unwrap_or_default()
    }
}

/// Which table of the annex.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Annex {
    /// The older one, copied widely; nowhere above the present one, so on the safe side.
    Copied,
    /// The present one, from memory.
    Present,
}

/// An IP code without letters.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Ip {
    /// Solid bodies, 0 to 6.
    pub solids: u8,
    /// Water, 0 to 8.
    pub water: u8,
}

impl Ip {
    /// A code out of two numerals.
    ///
    /// # Errors
    /// When the first is above 6 or the second above 8.
    pub fn new(solids: u8, water: u8) -> Result<Self, Refusal> {
        if solids <= 6 && water <= 8 {
            Ok(Self { solids, water })
        } else {
            Err(Refusal::new(format!("an IP code reaches from IP00 to IP68, not IP{solids}{water}")))
        }
    }

    /// True when this code covers all that `other` asks. Submersion (7, 8) does not cover jets (5, 6), so IP67 does not cover IP65.
    #[must_use]
    pub const fn covers(self, other: Self) -> bool {
        let water =
            if other.water == 5 || other.water == 6 { self.water >= other.water && self.water <= 6 } else { self.water >= other.water };
        self.solids >= other.solids && water
    }
}

impl fmt::Display for Ip {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "IP{}{}", self.solids, self.water)
    }
}

/// The IP code that a NEMA type meets at least. There is no way back: a type also asks for corrosion, ice, oil and gaskets.
///
/// Source: NEMA 250 annex, older table as copied, or present one (from memory). Worked example: type 12 meets IP52 at least.
/// ```
/// use calc::{enclosure::rating::{Annex, Ip, NemaType, type_to_ip}, working::Silent};
/// assert_eq!(type_to_ip(NemaType::T12, Annex::Copied, &mut Silent), Ip { solids: 5, water: 2 });
/// ```
pub fn type_to_ip<R: Recorder>(nema: NemaType, annex: Annex, rec: &mut R) -> Ip {
    use NemaType as T;
    let (solids, water) = match (annex, nema) {
        (Annex::Copied, T::T1) => (1, 0),
        (Annex::Copied, T::T2) => (1, 1),
        (Annex::Copied, T::T3R) => (1, 4),
        (Annex::Copied, T::T4 | T::T4X) => (5, 6),
        (Annex::Copied, T::T5 | T::T12 | T::T12K) => (5, 2),
        (Annex::Copied, T::T3 | T::T3S) | (_, T::T13) => (5, 4),
        (Annex::Copied, T::T6 | T::T6P) => (6, 7),
        (Annex::Present, T::T1) => (2, 0),
        (Annex::Present, T::T2) => (2, 2),
        (Annex::Present, T::T3 | T::T3S) => (5, 5),
        (Annex::Present, T::T3R) => (2, 4),
        (Annex::Present, T::T4 | T::T4X) => (6, 6),
        (Annex::Present, T::T5) => (5, 3),
        (Annex::Present, T::T6) => (6, 7),
        (Annex::Present, T::T6P) => (6, 8),
        (Annex::Present, T::T12 | T::T12K) => (5, 4),
    };
    let ip = Ip { solids, water };
    rec.step(|| {
        let source = if annex == Annex::Copied { &NEMA_250_OLD } else { &NEMA_250_NEW };
        Step::new("IP", format!("met at least by type {}", nema.word()), "", source)
            .gives(ip.to_string())
            .note("one way only: an IP code never gives a type")
    });
    ip
}

/// What a box or a part is marked with.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Rating {
    /// A NEMA or UL type.
    Type(NemaType),
    /// An IP code.
    Ip(Ip),
}

impl fmt::Display for Rating {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Type(nema) => write!(f, "type {}", nema.word()),
            Self::Ip(ip) => ip.fmt(f),
        }
    }
}

/// What is done to a wall of the box.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Opening {
    /// Hole left open, with its smaller measure across where known.
    OpenHole(Option<Length>),
    /// Fan or grille without filter.
    FanWithoutFilter,
    /// Anything that closes its hole: plug, gland, filter fan, flange of a heat sink, keypad; with the rating of its documents
    /// where known.
    Closed {
        /// What it is: "filter fan".
        part: &'static str,
        /// Its rating as mounted there, if stated.
        rating: Option<Rating>,
    },
}

/// Whether a rating is kept.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Kept {
    /// Kept by every opening.
    Kept,
    /// Nothing speaks against it but something is not known.
    Depends,
    /// Lost by at least one.
    Lost,
}

/// The outcome for a box, with one reason an opening.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct RatingKept {
    /// The worst of all openings.
    pub kept: Kept,
    /// A sentence for each opening, in their order.
    pub reasons: Vec<String>,
}

/// Numeral of solids that a hole of that measure still meets: a sphere of 50, 12.5, 2.5, 1 mm must not enter.
fn solids_of_hole(across: Length) -> u8 {
    // Of 0 mm nothing is left to enter, but dust is not shut out by a measure.
    [1.0, 2.5, 12.5, 50.0].iter().zip([4, 3, 2, 1]).find_map(|(mm, numeral)| (across.in_mm() < *mm).then_some(numeral)).unwrap_or(0)
}

fn judge(was: Rating, opening: Opening) -> (Kept, String) {
    let needed = |ip: Ip, needs: Ip, what: &str| {
        let kept = if ip.covers(needs) { Kept::Kept } else { Kept::Lost };
        let verb = if kept == Kept::Kept { "covers" } else { "does not cover" };
        (kept, format!("{what} is {ip} at most, which {verb} {was}"))
    };
    match (was, opening) {
        (Rating::Type(_), Opening::OpenHole(_)) => (Kept::Lost, format!("an open hole ends {was}: close it with a part listed for it")),
        (Rating::Type(_), Opening::FanWithoutFilter) => (Kept::Lost, format!("a fan or grille without filter ends {was}")),
        (Rating::Ip(needs), Opening::OpenHole(None)) => {
            if needs == (Ip { solids: 0, water: 0 }) {
                (Kept::Kept, "IP00 asks for nothing".to_owned())
            } else {
                (Kept::Lost, format!("an open hole of unknown size meets IP00 only, not {was}"))
            }
        }
        (Rating::Ip(needs), Opening::OpenHole(Some(across))) => {
            needed(Ip { solids: solids_of_hole(across), water: 0 }, needs, &format!("an open hole of {across}"))
        }
        // A finger guard is the least that a fan or grille has.
        (Rating::Ip(needs), Opening::FanWithoutFilter) => needed(Ip { solids: 2, water: 0 }, needs, "a fan or grille without filter"),
        (_, Opening::Closed { part, rating: None }) => {
            (Kept::Depends, format!("{part}: its documents must state at least {was} as mounted"))
        }
        (_, Opening::Closed { part, rating: Some(rating) }) if rating == was => (Kept::Kept, format!("{part} is {rating} itself")),
        (Rating::Ip(needs), Opening::Closed { part, rating: Some(Rating::Ip(ip)) }) => {
            if ip.covers(needs) {
                (Kept::Kept, format!("{part} is {ip}, which covers {was}"))
            } else {
                (Kept::Lost, format!("{part} is {ip}, which does not cover {was}"))
            }
        }
        (Rating::Ip(needs), Opening::Closed { part, rating: Some(Rating::Type(nema)) }) => {
            let least = type_to_ip(nema, Annex::Copied, &mut crate::working::Silent);
            if least.covers(needs) {
                (Kept::Kept, format!("{part} is type {}, which meets {least} at least and so covers {was}", nema.word()))
            } else {
                (
                    Kept::Depends,
                    format!("{part} is type {}, which meets {least} at least; whether it meets {was} its maker must say", nema.word()),
                )
            }
        }
        (Rating::Type(_), Opening::Closed { part, rating: Some(Rating::Ip(ip)) }) => {
            (Kept::Depends, format!("{part} is {ip}, and an IP code never gives a type: its maker must list it for {was}"))
        }
        (Rating::Type(_), Opening::Closed { part, rating: Some(Rating::Type(nema)) }) => {
            (Kept::Depends, format!("{part} is type {}, not {was}: its maker must list it for {was} too", nema.word()))
        }
    }
}

/// Whether a box keeps its rating with these openings. A box without new openings keeps it.
///
/// An open hole and an unfiltered fan end a type; under an IP code they meet the numeral of their measure and no water.
/// A closed opening counts with the rating of the part as mounted; unknown → depends.
///
/// Source: IEC 60529 (from memory); that a type is kept only by parts listed for it, common practice.
/// ```
/// use calc::enclosure::rating::{Kept, NemaType, Opening, Rating, rating_kept};
/// let after = rating_kept(Rating::Type(NemaType::T12), &[Opening::FanWithoutFilter]);
/// assert_eq!(after.kept, Kept::Lost);
/// ```
#[must_use]
pub fn rating_kept(was: Rating, openings: &[Opening]) -> RatingKept {
    let judged = openings.iter().map(|opening| judge(was, *opening));
    judged.fold(RatingKept { kept: Kept::Kept, reasons: Vec::new() }, |mut all, (kept, reason)| {
        all.kept = all.kept.max(kept);
        all.reasons.push(reason);
        all
    })
}

/// `calc type-to-ip`.
pub const TYPE_TO_IP: Calculation = Calculation {
    name: "type-to-ip",
    summary: "IP code that a NEMA type meets at least; an IP code never gives a type.",
    inputs: &[
        Input { name: "type", kind: InputKind::Word(&NemaType::WORDS), default: None, doc: "NEMA or UL type of the box" },
        word("annex", &["copied", "present"], "older table as copied widely, or the present one from memory"),
    ],
    results: &[output::<dim::CountDim>("solids", "", "first numeral"), output::<dim::CountDim>("water", "", "second numeral")],
    sources: &[&NEMA_250_OLD, &NEMA_250_NEW],
    run: |a: &Arguments, w: &mut Working| {
        let nema = NemaType::from_word(a.word("type")).ok_or_else(|| Refusal::new("no such type"))?;
        let annex = if a.word("annex") == "present" { Annex::Present } else { Annex::Copied };
        let ip = type_to_ip(nema, annex, w);
        Ok(vec![f64::from(ip.solids), f64::from(ip.water)])
    },
};

#[cfg(test)]
mod tests {
    use super::*;
    use crate::working::Silent;

    const fn ip(solids: u8, water: u8) -> Rating {
        Rating::Ip(Ip { solids, water })
    }

    fn kept(was: Rating, opening: Opening) -> Kept {
        let after = rating_kept(was, &[opening]);
        assert_eq!(after.reasons.len(), 1);
        after.kept
    }

    #[test]
    fn the_copied_table_is_nowhere_above_the_present_one() {
        for nema in NemaType::ALL {
            let [old, new] = [Annex::Copied, Annex::Present].map(|annex| type_to_ip(nema, annex, &mut Silent));
            assert!(old.solids <= new.solids && old.water <= new.water, "{nema:?}: {old} against {new}");
            assert_eq!(NemaType::from_word(nema.word()), Some(nema));
        }
    }

    #[test]
    fn submersion_does_not_cover_jets() {
        let code = |solids, water| Ip::new(solids, water).unwrap();
        assert!(!code(6, 7).covers(code(6, 5)) && !code(6, 8).covers(code(5, 6)));
        assert!(code(6, 7).covers(code(6, 4)) && code(6, 8).covers(code(6, 7)) && code(6, 6).covers(code(5, 5)));
        assert!(Ip::new(7, 0).is_err() && Ip::new(0, 9).is_err());
    }

    #[test]
    fn open_holes_end_a_type_and_meet_the_numeral_of_their_measure() {
        let hole = |mm| Opening::OpenHole(Some(Length::mm(mm)));
        assert_eq!(kept(Rating::Type(NemaType::T1), hole(5.0)), Kept::Lost);
        assert_eq!(kept(ip(2, 0), hole(12.0)), Kept::Kept);
        assert_eq!(kept(ip(2, 0), hole(12.5)), Kept::Lost);
        assert_eq!(kept(ip(4, 0), hole(0.9)), Kept::Kept);
        assert_eq!(kept(ip(1, 0), hole(50.0)), Kept::Lost);
        assert_eq!(kept(ip(2, 1), hole(5.0)), Kept::Lost);
        assert_eq!(kept(ip(2, 0), Opening::OpenHole(None)), Kept::Lost);
        assert_eq!(kept(ip(0, 0), Opening::OpenHole(None)), Kept::Kept);
    }

    #[test]
    fn fans_and_closed_openings() {
        let fan = |rating| Opening::Closed { part: "filter fan", rating };
        let t12 = Rating::Type(NemaType::T12);
        assert_eq!(kept(t12, Opening::FanWithoutFilter), Kept::Lost);
        assert_eq!(kept(ip(5, 4), Opening::FanWithoutFilter), Kept::Lost);
        assert_eq!(kept(ip(2, 0), Opening::FanWithoutFilter), Kept::Kept);
        assert_eq!(kept(t12, fan(None)), Kept::Depends);
        assert_eq!(kept(t12, fan(Some(t12))), Kept::Kept);
        assert_eq!(kept(t12, fan(Some(ip(5, 5)))), Kept::Depends);
        assert_eq!(kept(t12, fan(Some(Rating::Type(NemaType::T1)))), Kept::Depends);
        assert_eq!(kept(ip(5, 4), fan(Some(ip(5, 5)))), Kept::Kept);
        assert_eq!(kept(ip(5, 5), fan(Some(ip(5, 4)))), Kept::Lost);
        assert_eq!(kept(ip(5, 2), fan(Some(t12))), Kept::Kept);
        assert_eq!(kept(ip(5, 4), fan(Some(t12))), Kept::Depends);
    }

    #[test]
    fn the_worst_opening_decides() {
        let closed = Opening::Closed { part: "plug", rating: None };
        let after = rating_kept(ip(5, 4), &[closed, Opening::OpenHole(None), closed]);
        assert_eq!((after.kept, after.reasons.len()), (Kept::Lost, 3));
        assert_eq!(rating_kept(ip(5, 4), &[]).kept, Kept::Kept);
    }
}
