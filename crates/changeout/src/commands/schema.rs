//! `schema`: prints the JSON Schema of a kind of file.

use packs::{FileKind, json_schema};

use crate::End;
use crate::problems::Failure;

pub(crate) fn run(kind: Option<&str>) -> Result<End, Failure> {
    let names = FileKind::ALL.iter().map(|k| k.word()).collect::<Vec<_>>().join(", ");
    let Some(name) = kind else {
        crate::say::line(format_args!("{names}"))?;
        return Ok(End::Good);
    };
    let Some(kind) = FileKind::from_word(name) else {
        return Err(Failure::Usage(format!("there is no kind of file “{name}”; the kinds are {names}")));
    };
    crate::say::line(format_args!("{:#}", json_schema(kind)))?;
    Ok(End::Good)
}
