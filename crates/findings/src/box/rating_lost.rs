//! The box does not keep what its place asks for: a cut-out of the old drive stays open, or what is fitted is not closed enough.

use calc::enclosure::rating::{Ip, Kept, NemaType, Opening, Rating, rating_kept};
use calc::working::Recorder;
use plant::choice::{BoxRating, HeatSink, Housing, Style};
use plant::survey::{BOX_HOUSING, BOX_RATING, OLD_HEAT_SINK};

use crate::candidate::{Candidate, Measure, Remedy};
use crate::check::{Outcome, check, holds_if};
use crate::facts::{Reader, Stop};

check! {
    name: "box/rating-lost",
    severity: Equipment,
    rows: &[106],
    unit: "",
    ways: &[],
    measures: &[Measure::CoverPlate, Measure::ThroughWall, Measure::EnclosureKit],
    page: "rating_lost.md",
    run: run,
    remedies: remedies,
}

fn run<R: Recorder>(facts: &mut Reader<'_>, unit: &Candidate<'_>, rec: &mut R) -> Result<Outcome, Stop> {
    let asked = asked(facts.get(BOX_RATING)?);
    let mut openings = Vec::new();
    if facts.get(BOX_HOUSING)? == Housing::Room {
        openings.push(Opening::Closed { part: "the unit", rating: Some(own_rating(unit)?) });
    } else {
        let through = unit.measures.has(Measure::ThroughWall);
        if through {
            let style = unit.series.mounting(&unit.frame.name, Style::ThroughWall);
            openings.push(Opening::Closed {
                part: "the heat sink in its cut-out",
                rating: style.and_then(|s| s.rating.as_deref()).and_then(read),
            });
        }
        if facts.get(OLD_HEAT_SINK)? == HeatSink::Outside && !through {
            // A cover that is bought is bought for the box's rating.
            let covered = unit.measures.has(Measure::CoverPlate);
            openings.push(if covered { Opening::Closed { part: "a cover plate", rating: Some(asked) } } else { Opening::OpenHole(None) });
        }
    }
    let found = rating_kept(asked, &openings);
    let told = || {
        let reasons = found.reasons.join("; ");
        if reasons.is_empty() { format!("nothing opens the box; it keeps {asked}") } else { reasons }
    };
    match found.kept {
        Kept::Kept => Ok(holds_if(rec, true, told, &calc::enclosure::rating::IEC_60529)),
        Kept::Lost => Ok(holds_if(rec, false, told, &calc::enclosure::rating::IEC_60529)),
        Kept::Depends => {
            Err(Stop::PackSilent("a rating as mounted that covers what the place asks for (mountings.csv, rating; frames.csv, enclosure)"))
        }
    }
}

/// The rating that the place asks for, as the calculation has it.
#[must_use]
pub fn asked(rating: BoxRating) -> Rating {
    let ip = |solids, water| Rating::Ip(Ip { solids, water });
    match rating {
        BoxRating::Ip00 => ip(0, 0),
        BoxRating::Ip20 => ip(2, 0),
        BoxRating::Ip21 => ip(2, 1),
        BoxRating::Ip44 => ip(4, 4),
        BoxRating::Ip54 => ip(5, 4),
        BoxRating::Ip55 => ip(5, 5),
        BoxRating::Ip65 => ip(6, 5),
        BoxRating::Ip66 => ip(6, 6),
        BoxRating::Type1 => Rating::Type(NemaType::T1),
        BoxRating::Type3R => Rating::Type(NemaType::T3R),
        BoxRating::Type4 => Rating::Type(NemaType::T4),
        BoxRating::Type4X => Rating::Type(NemaType::T4X),
        BoxRating::Type12 => Rating::Type(NemaType::T12),
    }
}

/// Reads "IP54", "type 12", "NEMA 4X", "KIT-7 to type 1" as a rating; `None` for anything else.
#[must_use]
pub fn read(text: &str) -> Option<Rating> {
    let text = text.rsplit_once(" to ").map_or(text, |(_, rating)| rating).trim();
    let upper = text.to_uppercase();
    if let Some(digits) = upper.strip_prefix("IP") {
        let mut digits = digits.trim().chars().map(|c| c.to_digit(10).and_then(|d| u8::try_from(d).ok()));
        let (solids, water) = (digits.next()??, digits.next()??);
        return if digits.next().is_none() { Ip::new(solids, water).ok().map(Rating::Ip) } else { None };
    }
    let upper = upper.replace('-', " ");
    let word = ["UL TYPE", "NEMA TYPE", "NEMA", "TYPE"].iter().find_map(|head| upper.strip_prefix(head))?.trim().to_owned();
    NemaType::from_word(&word).map(Rating::Type)
}

/// Rating of the unit by itself, with its kit where that is ordered.
fn own_rating(unit: &Candidate<'_>) -> Result<Rating, Stop> {
    let kit = unit.frame.enclosure_kit.as_deref().filter(|_| unit.measures.has(Measure::EnclosureKit));
    read(kit.unwrap_or(&unit.frame.enclosure))
        .ok_or(Stop::PackSilent("enclosure of the unit as “IP20” or “type 1” (frames.csv, enclosure)"))
}

fn remedies(unit: &Candidate<'_>) -> Vec<Remedy> {
    let mut list = vec![Remedy {
        measure: Measure::CoverPlate,
        what: "close the old drive's cut-out with a cover plate and gasket of the box's rating".into(),
        parts: None,
        minutes: 60.0,
    }];
    list.extend(super::door_stays_open::through_wall(unit));
    list.extend(unit.frame.enclosure_kit.as_ref().map(|kit| Remedy {
        measure: Measure::EnclosureKit,
        what: format!("close the unit with its kit {kit}"),
        parts: unit.frame.enclosure_kit_price,
        minutes: 30.0,
    }));
    list
}

#[cfg(test)]
mod tests {
    use plant::choice::{Choice, Duty};

    use super::*;
    use crate::fixture::{by_hand, is_silent, unit, with};

    const CABINET: (&str, &str) = ("box.housing", "cabinet");

    #[test]
    fn an_open_cut_out_ends_any_rating_and_a_cover_keeps_it() {
        let small = unit("R1", Duty::Light);
        let place = [CABINET, ("box.rating", "type-12"), ("old.heat_sink", "outside")];
        by_hand(&CHECK, &place, &small, -1.0);
        by_hand(&CHECK, &place, &with(&CHECK, &small, Measure::CoverPlate), 1.0);
        by_hand(&CHECK, &[CABINET, ("box.rating", "type-12"), ("old.heat_sink", "inside")], &small, 1.0);
    }

    #[test]
    fn a_heat_sink_in_the_cut_out_counts_with_its_own_rating() {
        // Through the wall the large frame is IP54.
        let large = with(&CHECK, &unit("R2", Duty::Light), Measure::ThroughWall);
        let place = |rating| [CABINET, ("box.rating", rating), ("old.heat_sink", "outside")];
        by_hand(&CHECK, &place("IP54"), &large, 1.0);
        by_hand(&CHECK, &place("IP65"), &large, -1.0);
        is_silent(&CHECK, &place("type-12"), &large, "rating as mounted");
    }

    #[test]
    fn in_a_room_the_unit_itself_must_keep_out_what_the_place_asks_for() {
        let small = unit("R1", Duty::Light);
        let place = |rating| [("box.housing", "room"), ("box.rating", rating)];
        by_hand(&CHECK, &place("IP20"), &small, 1.0);
        by_hand(&CHECK, &place("IP54"), &small, -1.0);
        by_hand(&CHECK, &place("type-1"), &with(&CHECK, &small, Measure::EnclosureKit), 1.0);
    }

    #[test]
    fn ratings_read_as_documents_write_them() {
        assert_eq!(read("IP54"), Some(Rating::Ip(Ip { solids: 5, water: 4 })));
        assert_eq!(read("KIT-7 to type 1"), Some(Rating::Type(NemaType::T1)));
        assert_eq!(read("NEMA 4x"), Some(Rating::Type(NemaType::T4X)));
        for wrong in ["", "IP5", "IP5X", "IP541", "open", "type", "type 99", "IP99"] {
            assert_eq!(read(wrong), None, "{wrong}");
        }
        for (index, word) in BoxRating::INFO.words.iter().enumerate() {
            let rating = BoxRating::from_index(index).map(asked);
            assert_eq!(read(word.word), rating, "{}", word.word);
        }
    }
}
