//! Keeps how pages are to look: light or dark, large type or usual.

use serde_json::json;

use crate::ask::Ask;
use crate::server::Desk;
use crate::view::{Trouble, View};

pub(crate) fn keep(_: &Desk, ask: &Ask) -> Result<View, Trouble> {
    // What was kept before comes with the form; each choice replaces its like.
    let mut words: Vec<&str> = ask.field("kept").split(' ').filter(|w| matches!(*w, "light" | "dark" | "large")).collect();
    match ask.field("look") {
        "large" => words.push("large"),
        "usual" => words.retain(|w| *w != "large"),
        light @ ("light" | "dark" | "") => {
            words.retain(|w| *w == "large");
            words.push(light);
        }
        other => return Err(Trouble::unusable(format!("there is no look “{other}”"))),
    }
    words.dedup();
    let look = words.join(" ").trim().to_owned();
    // Only to a page of this desk.
    let back = Some(ask.field("back")).filter(|b| b.starts_with('/') && !b.starts_with("//") && !b.contains('\\')).unwrap_or("/");
    Ok(View::Go { to: back.to_owned(), json: json!({ "look": look }), cookies: vec![("look", look)] })
}
