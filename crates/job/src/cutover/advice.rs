//! What the runs tell: the chance, the latest moment to turn back, and what to do now. It never says "go on" when the way back no longer
//! fits.

use calc::plan::simulate::{Forecast, Question, SEED};
use dossier::cutover::{Advice, Cutover};
use plant::cutover::Window;
use plant::quantity::{Time, digits};

/// The figures of the runs.
pub(super) fn figures(told: &Forecast, now: Time, can_go_back: bool, window: &Window) -> dossier::cutover::Forecast {
    // Rounded towards the safe side: the minute that has begun is not promised.
    let turn = Time::minutes(told.turn_back.in_minutes().floor());
    let turn_back = (can_go_back && turn >= Time::ZERO).then_some(turn);
    dossier::cutover::Forecast {
        now: now.in_minutes(),
        now_clock: window.clock(now),
        chance: told.chance.in_of_one(),
        early: told.early.in_minutes(),
        middle: told.middle.in_minutes(),
        late: told.late.in_minutes(),
        turn_back: turn_back.map(Time::in_minutes),
        turn_back_clock: turn_back.map_or_else(String::new, |t| window.clock(t)),
        way_back: told.way_back.in_minutes(),
        back_fits: if can_go_back { told.back_fits.in_of_one() } else { 0.0 },
        runs: told.runs,
        seed: SEED,
        distribution: "triangular".to_owned(),
    }
}

/// What to do now. It never says “go on” when the way back no longer fits.
pub(super) fn advise(
    cutover: &Cutover,
    told: &Forecast,
    question: Question<'_>,
    begun: bool,
    can_go_back: bool,
    window: &Window,
) -> Advice {
    let percent = |share: f64| format!("{} %", digits(share * 100.0, 3));
    let (chance, wanted) = (percent(cutover.forecast.chance), percent(cutover.window.confidence));
    let says = |word: &str, says: String| Advice { word: word.to_owned(), says };
    let owner = if cutover.window.owner.is_empty() { "the person who owns the decision".to_owned() } else { cutover.window.owner.clone() };
    let enough = told.chance >= question.confidence;
    let now = question.now;
    if !cutover.ready {
        let count = cutover.to_settle.len();
        return says(
            "not ready",
            format!(
                "{count} {} not settled; the plan ends before anything is energised, and the night is not begun.",
                if count == 1 { "thing is" } else { "things are" }
            ),
        );
    }
    if cutover.tasks.iter().all(|t| t.done.is_some()) {
        return says("done", format!("All tasks were ticked by {}.", window.clock(now)));
    }
    if !cutover.window.granted {
        return says("not ready", "No window is granted in site.toml; the figures stand on an assumed one.".to_owned());
    }
    if !can_go_back {
        return says(
            "no way back",
            format!(
                "The old drive cannot be put back: from the first step on there is only the way forward. Chance of ending inside the window: {chance}. {owner} decides."
            ),
        );
    }
    if !begun && (told.turn_back < Time::ZERO || !enough) {
        let why = if told.turn_back < Time::ZERO {
            "the way back does not fit into the window even from the first step on".to_owned()
        } else {
            format!("the chance of ending inside it is {chance}, below the wanted {wanted}")
        };
        return says(
            "does not fit",
            format!("The plan does not fit the window: {why}. A longer window, another crew, or work done before the night would help."),
        );
    }
    if !told.can_turn_back(now) {
        return says(
            "no way back",
            format!(
                "The way back no longer fits: it takes {} min, and {} min are left. Only the way forward is left; chance of ending inside the window: {chance}. Tell {owner} now.",
                digits(told.way_back.in_minutes().ceil(), 4),
                digits((window.length - now).in_minutes().max(0.0).floor(), 4),
            ),
        );
    }
    if !enough {
        return says(
            "turn back",
            format!(
                "The chance of ending inside the window has fallen to {chance}, below the wanted {wanted}. The way back still fits until {}. Turn back, or have the window made longer.",
                cutover.forecast.turn_back_clock
            ),
        );
    }
    // A minute is what people need to say so.
    if told.turn_back - now < Time::minutes(1.0) {
        return says(
            "decide now",
            format!(
                "The next task cannot be undone inside the window. Chance of ending inside it: {chance}. {owner} decides before it is begun."
            ),
        );
    }
    says(
        "go on",
        format!(
            "Chance of ending inside the window: {chance}. The way back fits until {}; {owner} decides before then.",
            cutover.forecast.turn_back_clock
        ),
    )
}
