//! Any text as the rows of a sheet in a workbook that is sound otherwise, so that broken rows get past its checksums: no
//! panic, and no problem without a cell or a file.
#![no_main]

use std::io::{Cursor, Write};

use changeout_fuzz::{PACK, let_calamine_panic};
use libfuzzer_sys::{Corpus, fuzz_target};
use packs::{PackFile, read_pack};
use zip::CompressionMethod::Stored;
use zip::ZipWriter;
use zip::write::SimpleFileOptions;

const TYPES: &str = r#"<?xml version="1.0"?><Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types"><Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/><Default Extension="xml" ContentType="application/xml"/><Override PartName="/xl/workbook.xml" ContentType="application/vnd.openxmlformats-officedocument.spreadsheetml.sheet.main+xml"/><Override PartName="/xl/worksheets/sheet1.xml" ContentType="application/vnd.openxmlformats-officedocument.spreadsheetml.worksheet+xml"/></Types>"#;
const ROOT: &str = r#"<?xml version="1.0"?><Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships"><Relationship Id="r1" Type="http://schemas.openxmlformats.org/officeDocument/2006/relationships/officeDocument" Target="xl/workbook.xml"/></Relationships>"#;
const BOOK: &str = r#"<?xml version="1.0"?><workbook xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main" xmlns:r="http://schemas.openxmlformats.org/officeDocument/2006/relationships"><sheets><sheet name="Sheet1" sheetId="1" r:id="r1"/></sheets></workbook>"#;
const BOOK_LINKS: &str = r#"<?xml version="1.0"?><Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships"><Relationship Id="r1" Type="http://schemas.openxmlformats.org/officeDocument/2006/relationships/worksheet" Target="worksheets/sheet1.xml"/></Relationships>"#;
const SHEET: &str = r#"<?xml version="1.0"?><worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><sheetData>"#;

fn workbook(rows: &str) -> zip::result::ZipResult<Vec<u8>> {
    let mut zip = ZipWriter::new(Cursor::new(Vec::new()));
    let options = SimpleFileOptions::default().compression_method(Stored);
    let sheet = format!("{SHEET}{rows}</sheetData></worksheet>");
    let parts = [
        ("[Content_Types].xml", TYPES),
        ("_rels/.rels", ROOT),
        ("xl/workbook.xml", BOOK),
        ("xl/_rels/workbook.xml.rels", BOOK_LINKS),
        ("xl/worksheets/sheet1.xml", &sheet),
    ];
    for (name, text) in parts {
        zip.start_file(name, options)?;
        zip.write_all(text.as_bytes())?;
    }
    Ok(zip.finish()?.into_inner())
}

fuzz_target!(init: let_calamine_panic(), |rows: &str| -> Corpus {
    let Ok(bytes) = workbook(rows) else { return Corpus::Reject };
    let files = [PackFile { name: "pack.toml", bytes: PACK.as_bytes() }, PackFile { name: "ratings.xlsx", bytes: &bytes }];
    for problem in read_pack(&files, "s").problems {
        assert!(!problem.message.is_empty() && !problem.file.is_empty(), "{problem:?}");
    }
    Corpus::Keep
});
