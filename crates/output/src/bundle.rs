//! Many files as one ZIP. Names are sorted and no clock is asked, so that the same files give the same bytes.

use std::collections::BTreeMap;
use std::io::{Cursor, Write};

use zip::write::SimpleFileOptions;
use zip::{CompressionMethod, DateTime, ZipWriter};

use crate::Refused;

/// Ends of names of files that are packed in themselves: packing them again takes time and no less room.
const PACKED: &[&str] = &[".pdf", ".xlsx", ".zip"];

/// The ZIP of some files, by their names with "/" between folders.
///
/// # Errors
/// A name or a size that the format does not take.
pub fn zip(files: &BTreeMap<String, Vec<u8>>) -> Result<Vec<u8>, Refused> {
    pack(files).map_err(|error| Refused { problems: vec![format!("the ZIP: {error}")] })
}

fn pack(files: &BTreeMap<String, Vec<u8>>) -> zip::result::ZipResult<Vec<u8>> {
    let mut writer = ZipWriter::new(Cursor::new(Vec::new()));
    let options = SimpleFileOptions::default().last_modified_time(DateTime::default()).unix_permissions(0o644);
    for (name, bytes) in files {
        let method = if PACKED.iter().any(|end| name.ends_with(end)) { CompressionMethod::Stored } else { CompressionMethod::Deflated };
        writer.start_file(name.as_str(), options.compression_method(method))?;
        writer.write_all(bytes)?;
    }
    Ok(writer.finish()?.into_inner())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_same_files_give_the_same_bytes_and_come_back() {
        let files: BTreeMap<String, Vec<u8>> =
            [("b/x.txt", "two"), ("a.txt", "one"), ("c.pdf", "three")].map(|(n, t)| (n.to_owned(), t.into())).into();
        let first = zip(&files).unwrap();
        assert_eq!(first, zip(&files).unwrap());
        let mut back = zip::ZipArchive::new(Cursor::new(first)).unwrap();
        let names: Vec<String> = back.file_names().map(|name| name.expect("a readable name").into_owned()).collect();
        assert_eq!(names, ["a.txt", "b/x.txt", "c.pdf"]);
        let mut text = String::new();
        std::io::Read::read_to_string(&mut back.by_name("b/x.txt").unwrap(), &mut text).unwrap();
        assert_eq!(text, "two");
    }
}
