//! Proofs: photographs of plates and scans of sheets, taken in from a camera and shown beside the readings that name them.

use hyper::StatusCode;
use serde_json::json;

use super::answer::no_position;
use crate::ask::{Ask, part_of_path};
use crate::change::who;
use crate::server::Desk;
use crate::view::{Trouble, View, at};
use crate::world::Unsaved;

/// Where proofs stand in a site.
const FOLDER: &str = "evidence/";
/// Names that are tried for a proof before it is refused.
const NAMES: usize = 1_000;

/// Kinds of proofs by how their bytes begin, whatever their name says (from memory: the magic numbers of PNG, JPEG, WebP and PDF).
fn kind(bytes: &[u8]) -> Option<(&'static str, &'static str)> {
    match bytes {
        b if b.starts_with(b"\x89PNG\r\n\x1a\n") => Some(("png", "image/png")),
        b if b.starts_with(b"\xff\xd8\xff") => Some(("jpg", "image/jpeg")),
        b if b.starts_with(b"RIFF") && b.get(8..12) == Some(b"WEBP") => Some(("webp", "image/webp")),
        b if b.starts_with(b"%PDF-") => Some(("pdf", "application/pdf")),
        _ => None,
    }
}

/// Takes a proof in: typed by its bytes, limited in size, under a name of the site's own.
pub(crate) fn take(desk: &Desk, ask: &Ask) -> Result<View, Trouble> {
    let by = who(ask.field("by")).map_err(Trouble::unusable)?;
    let _turn = desk.one_at_a_time();
    let now = desk.now()?;
    let tag = ask.part("tag");
    if now.folder.position(tag).is_none() {
        return Err(no_position(&now, tag));
    }
    let file = ask.files.iter().find(|f| f.field == "proof" && !f.bytes.is_empty());
    let file = file.ok_or_else(|| Trouble::unusable("choose a photograph or a scan"))?;
    let Some((ending, _)) = kind(&file.bytes) else {
        return Err(Trouble::new(
            StatusCode::UNSUPPORTED_MEDIA_TYPE,
            format!("“{}” is no picture (JPEG, PNG, WebP) and no PDF, whatever its name says", file.name),
        ));
    };
    let stem: String = tag.to_lowercase().chars().map(|c| if c.is_ascii_alphanumeric() { c } else { '-' }).collect();
    for number in 1..=NAMES {
        let name = format!("{FOLDER}{stem}-proof-{number}.{ending}");
        match desk.world.keep(&name, &file.bytes) {
            Ok(()) => {
                let to = at(tag, &format!("/found?proof={}", part_of_path(&name)));
                return Ok(View::Go { to, json: json!({ "proof": name, "by": by }), cookies: vec![("who", by)] });
            }
            Err(Unsaved::Changed) => {}
            Err(Unsaved::Disk(why)) => return Err(Trouble::new(StatusCode::INSUFFICIENT_STORAGE, format!("it was not kept: {why}"))),
        }
    }
    Err(Trouble::unusable(format!("{tag} has {NAMES} proofs already; put more into {FOLDER} by hand")))
}

/// Shows a proof of the site.
pub(crate) fn show(desk: &Desk, ask: &Ask) -> Result<View, Trouble> {
    let name = ask.part("name");
    let missing = || Trouble::missing(format!("“{name}” is no proof of this site"));
    if !name.starts_with(FOLDER) {
        return Err(missing());
    }
    let bytes = desk.world.proof(name).ok_or_else(missing)?;
    match kind(&bytes) {
        Some(("pdf", _)) => Ok(View::File { name: name.rsplit('/').next().unwrap_or(name).to_owned(), bytes }),
        Some((_, kind)) => Ok(View::Photograph { kind, bytes }),
        None => Err(missing()),
    }
}

/// Whether a text of an origin is the name of a proof that can be shown.
pub(crate) fn is_proof(name: &str) -> bool {
    let ending = name.rsplit('.').next().unwrap_or_default().to_lowercase();
    name.starts_with(FOLDER) && matches!(ending.as_str(), "png" | "jpg" | "jpeg" | "webp" | "pdf")
}

/// The path under which it is shown.
pub(crate) fn link(name: &str) -> String {
    let parts: Vec<String> = name.split('/').map(part_of_path).collect();
    format!("/proof/{}", parts.join("/"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn bytes_decide_not_names() {
        assert_eq!(kind(b"\x89PNG\r\n\x1a\n....").map(|k| k.0), Some("png"));
        assert_eq!(kind(b"RIFF\0\0\0\0WEBPVP8 ").map(|k| k.0), Some("webp"));
        for wrong in [&b"<svg onload=1>"[..], b"<html>", b"RIFF\0\0\0\0WAVE", b"", b"\xff\xd8"] {
            assert_eq!(kind(wrong), None);
        }
        assert!(is_proof("evidence/a.JPG") && !is_proof("positions/a.jpg") && !is_proof("evidence/a.csv"));
    }
}
