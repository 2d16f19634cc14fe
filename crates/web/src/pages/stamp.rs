//! What a page asks now and then: whether the files that it was made from have changed, and how many positions are worked out.

use serde_json::json;

use crate::ask::Ask;
use crate::server::Desk;
use crate::view::{Trouble, View};

pub(crate) fn show(desk: &Desk, _: &Ask) -> Result<View, Trouble> {
    let now = desk.now()?;
    let open = now.folder.positions.iter().filter(|p| now.hindered(p).is_none() && desk.answers.ready(&now, p).is_none()).count();
    // As text: scripts of browsers would round a number of this size.
    Ok(View::Json(json!({ "stamp": now.folder.stamp.to_string(), "to_work_out": open })))
}
