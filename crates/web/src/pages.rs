//! One file per page, each with its handler and its template; and the table of where they stand.

mod add;
mod answer;
mod behaviour;
mod boxes;
mod breakdown;
pub(crate) mod cutover;
mod files;
mod finding;
mod findings;
mod found;
mod history;
mod import;
mod look;
pub(crate) mod papers;
pub(crate) mod power;
mod proof;
mod rating;
mod replacement;
mod settings;
mod site;
mod stamp;
mod trial;
mod wires;
mod words;

use crate::server::Handler;

/// A page: its path, and who answers when it is read and when something is sent to it.
pub(crate) struct Route {
    pub(crate) path: &'static str,
    pub(crate) get: Option<Handler>,
    pub(crate) post: Option<Handler>,
}

const fn shown(path: &'static str, get: Handler) -> Route {
    Route { path, get: Some(get), post: None }
}

const fn sent(path: &'static str, post: Handler) -> Route {
    Route { path, get: None, post: Some(post) }
}

const fn both(path: &'static str, get: Handler, post: Handler) -> Route {
    Route { path, get: Some(get), post: Some(post) }
}

/// Every page.
pub(crate) const ROUTES: &[Route] = &[
    shown("/", site::show),
    shown("/at/{tag}", answer::show),
    both("/at/{tag}/found", found::show, found::save),
    shown("/at/{tag}/try", trial::show),
    both("/at/{tag}/replacement", replacement::show, replacement::choose),
    shown("/at/{tag}/findings", findings::show),
    both("/at/{tag}/finding/{group}/{name}", finding::show, finding::accept),
    shown("/at/{tag}/rating", rating::show),
    shown("/at/{tag}/power", power::show),
    shown("/at/{tag}/power/{section}/{line}", power::working),
    shown("/at/{tag}/box", boxes::show),
    shown("/at/{tag}/box/drawing", boxes::drawing),
    shown("/at/{tag}/wires", wires::show),
    shown("/at/{tag}/words", words::show),
    shown("/at/{tag}/behaviour", behaviour::show),
    shown("/at/{tag}/settings", settings::show),
    shown("/at/{tag}/settings/file/{name}", settings::file),
    both("/at/{tag}/cutover", cutover::show, cutover::tick),
    shown("/at/{tag}/cutover/drawing", cutover::drawing),
    shown("/at/{tag}/papers", papers::show),
    shown("/at/{tag}/papers/{*name}", papers::file),
    shown("/at/{tag}/history", history::show),
    both("/history", history::show, history::undo),
    shown("/files", files::list),
    shown("/files/{*name}", files::show),
    both("/breakdown", breakdown::show, breakdown::save),
    both("/add", add::show, add::save),
    both("/import", import::show, import::save),
    sent("/at/{tag}/proof", proof::take),
    shown("/proof/{*name}", proof::show),
    shown("/check", found::check),
    shown("/stamp", stamp::show),
    sent("/look", look::keep),
];
