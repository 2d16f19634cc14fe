//! What a request asks for: parts of the path, the query, the fields of a form, and in which form the answer is wanted.

use std::collections::BTreeMap;

use serde_json::Value;

/// A request, read.
#[derive(Clone, Debug, Default)]
pub(crate) struct Ask {
    /// The path with its query, as asked for.
    pub(crate) here: String,
    /// Parts of the path by the names of the route.
    pub(crate) parts: BTreeMap<String, String>,
    /// Fields of the query.
    pub(crate) query: BTreeMap<String, String>,
    /// Fields of the form, in their order.
    pub(crate) form: Vec<(String, String)>,
    /// Files that came with the form.
    pub(crate) files: Vec<Upload>,
    /// Whose name the browser last sent with a change.
    pub(crate) who: String,
    /// Whether JSON is wanted.
    pub(crate) json: bool,
}

/// A file that came with a form. Its name and kind are the sender's words: nothing is decided by them but how a list is read.
#[derive(Clone, Debug, Default)]
pub(crate) struct Upload {
    /// Name of the field.
    pub(crate) field: String,
    /// Name of the file on the sender's machine.
    pub(crate) name: String,
    /// What stands in it.
    pub(crate) bytes: Vec<u8>,
}

/// Most parts of a form with files.
const PARTS: usize = 32;
/// Longest text of such a form.
const LONGEST_TEXT: usize = 1 << 20;

/// Fields and files of a form that was sent as parts (RFC 7578).
///
/// # Errors
/// A sentence, when it is no such form.
pub(crate) async fn parts(kind: &str, body: axum::body::Bytes) -> Result<(Vec<(String, String)>, Vec<Upload>), String> {
    let boundary = multer::parse_boundary(kind).map_err(|e| format!("the form cannot be read: {e}"))?;
    let whole = std::future::ready(Ok::<_, std::convert::Infallible>(body));
    let mut parts = multer::Multipart::new(futures_util::stream::once(whole), boundary);
    let (mut texts, mut files) = (Vec::new(), Vec::new());
    while let Some(part) = parts.next_field().await.map_err(|e| format!("the form cannot be read: {e}"))? {
        if texts.len() + files.len() >= PARTS {
            return Err(format!("a form has at most {PARTS} parts"));
        }
        let (field, file) = (part.name().unwrap_or_default().to_owned(), part.file_name().map(str::to_owned));
        let bytes = part.bytes().await.map_err(|e| format!("the form cannot be read: {e}"))?;
        match file {
            Some(name) => files.push(Upload { field, name, bytes: bytes.to_vec() }),
            None if bytes.len() > LONGEST_TEXT => return Err(format!("{field} has more than {LONGEST_TEXT} bytes")),
            None => texts.push((field, String::from_utf8_lossy(&bytes).into_owned())),
        }
    }
    Ok((texts, files))
}

impl Ask {
    /// The twin of a page, made only where it is what is asked for: that of an answer is long.
    pub(crate) fn twin(&self, make: impl FnOnce() -> Value) -> Value {
        if self.json { make() } else { Value::Null }
    }

    /// A part of the path; empty where the route has none.
    pub(crate) fn part(&self, name: &str) -> &str {
        self.parts.get(name).map_or("", String::as_str)
    }

    /// A field of the query, trimmed; empty where there is none.
    pub(crate) fn query(&self, name: &str) -> &str {
        self.query.get(name).map_or("", |v| v.trim())
    }

    /// A field of the form, trimmed; empty where there is none.
    pub(crate) fn field(&self, name: &str) -> &str {
        self.form.iter().find(|(key, _)| key == name).map_or("", |(_, v)| v.trim())
    }
}

/// Fields of a query or form.
pub(crate) fn fields(text: &[u8]) -> impl Iterator<Item = (String, String)> + '_ {
    form_urlencoded::parse(text).map(|(key, value)| (key.into_owned(), value.into_owned()))
}

/// A text as one part of a path: everything that is not plain is escaped.
pub(crate) fn part_of_path(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for byte in text.bytes() {
        if byte.is_ascii_alphanumeric() || matches!(byte, b'-' | b'_' | b'.' | b'~') {
            out.push(char::from(byte));
        } else {
            out.push_str(&format!("%{byte:02X}"));
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn parts_of_paths_cannot_leave_their_place() {
        assert_eq!(part_of_path("BE-101"), "BE-101");
        assert_eq!(part_of_path("a/b?c#d é"), "a%2Fb%3Fc%23d%20%C3%A9");
        assert_eq!(fields(b"a=1+2&b=%2F&c").collect::<Vec<_>>(), [("a", "1 2"), ("b", "/"), ("c", "")].map(|(k, v)| (k.into(), v.into())));
    }
}
