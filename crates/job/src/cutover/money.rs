//! What the window costs: labour of counted work, what is still unknown in it, and production that stands.

use calc::plan::simulate::Forecast;
use dossier::cutover::{Labour, Money};
use plant::choice::Choice;
use plant::cutover::{Crew, Trade};
use plant::position::Site;

use super::tasks::Draft;
use super::{Member, Planned};
use crate::assess::Input;
use crate::options::Assessed;

/// Least, likely and most of a sum. All of them together: who is slow is taken to be slow everywhere, so that the range is the widest.
type Range = (f64, f64, f64);

fn plus(a: Range, b: Range) -> Range {
    (a.0 + b.0, a.1 + b.1, a.2 + b.2)
}

/// An hour of a trade; nobody has stated one for operators.
fn rate(site: &Site, trade: Trade) -> Option<f64> {
    match trade {
        Trade::Electrician => site.rates.map(|r| r.electrician),
        Trade::Engineer => site.rates.map(|r| r.engineer),
        Trade::Operator => None,
    }
}

/// Unit, parts and labour of a candidate's tasks, each done by the first crew of its trade.
pub(super) fn installed(input: Input<'_>, candidate: &Assessed<'_>, drafts: &[Draft], crews: &[Crew]) -> dossier::Spread {
    let parts: f64 = parts(candidate, input).iter().flatten().sum();
    let (least, likely, most) = drafts.iter().fold((parts, parts, parts), |sum, draft| {
        let an_hour: f64 = draft
            .trades
            .iter()
            .filter_map(|trade| Some(f64::from(crews.iter().find(|c| c.trade == *trade)?.people) * rate(input.site, *trade)?))
            .sum();
        let time = draft.forward;
        plus(sum, (an_hour * time.least().in_hours(), an_hour * time.likely().in_hours(), an_hour * time.most().in_hours()))
    });
    dossier::Spread { least, likely, most }
}

pub(super) fn money(input: Input<'_>, members: &[Member<'_>], planned: &[Planned<'_>], crews: &[Crew], told: &Forecast) -> Money {
    let site = input.site;
    let rate = |trade: Trade| rate(site, trade);
    let mut labour = Vec::new();
    let (mut range, mut contingency) = ((0.0, 0.0, 0.0), 0.0);
    for trade in [Trade::Electrician, Trade::Engineer, Trade::Operator] {
        let mut hours = (0.0, 0.0, 0.0);
        for task in planned {
            let people: f64 = task.crews.iter().filter(|c| crews[**c].trade == trade).map(|c| f64::from(crews[*c].people)).sum();
            let time = task.draft.forward;
            let own = (people * time.least().in_hours(), people * time.likely().in_hours(), people * time.most().in_hours());
            hours = plus(hours, own);
            if !task.draft.given
                && let Some(rate) = rate(trade)
            {
                contingency += rate * (own.2 - own.1);
            }
        }
        let money = rate(trade).map(|r| r * hours.1);
        if let Some(rate) = rate(trade) {
            range = plus(range, (rate * hours.0, rate * hours.1, rate * hours.2));
        }
        if hours.2 > 0.0 {
            labour.push(Labour { trade: trade.word().to_owned(), hours, money });
        }
    }
    // Parts alone: the bill's labour is counted task by task above.
    let lines: Vec<Option<f64>> = members.iter().filter_map(|m| m.first.as_ref()).flat_map(|c| parts(c, input)).collect();
    let parts: f64 = lines.iter().flatten().sum();
    let cost = site.shutdown.window.as_ref().and_then(|w| w.cost);
    let rated = site.rates.is_some();
    Money {
        currency: site.currency.clone(),
        labour,
        labour_range: rated.then_some(range),
        contingency: rated.then_some(contingency),
        parts,
        unpriced: lines.iter().filter(|l| l.is_none()).count(),
        installed: rated.then_some((parts + range.0, parts + range.1, parts + range.2)),
        overrun: cost.map(|c| c * told.overrun.in_hours()),
        standing: cost.map(|c| (c * told.early.in_hours(), c * told.middle.in_hours(), c * told.late.in_hours())),
        left_out: vec![
            "operators: no rate in site.toml".to_owned(),
            "work before and after the window: engineering, bench test, drawings".to_owned(),
            "surcharge for nights and week-ends".to_owned(),
        ],
    }
}

/// Prices of the unit, of the parts of remedies and of those for the conductors, without labour; `None` for a line that nobody has priced.
fn parts(assessed: &Assessed<'_>, input: Input<'_>) -> Vec<Option<f64>> {
    let series = assessed.unit.series;
    let unit = assessed.unit.rating.price.filter(|_| series.currency == input.site.currency);
    let remedies = assessed.findings.iter().filter_map(|f| f.taken.as_ref()).map(|r| r.parts);
    let control = assessed.control_parts.iter().chain(&assessed.resistor).map(|line| line.price);
    std::iter::once(unit).chain(remedies).chain(control).collect()
}
