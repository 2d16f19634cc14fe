//! Sheets as an XLSX workbook: typed cells, heads that stay in sight, filters. The same sheets and date give the same bytes.

use rust_xlsxwriter::{DocProperties, ExcelDateTime, Format, FormatAlign, Workbook, XlsxError};

use crate::Refused;
use crate::sheets::{Sheet, Value};

/// Widths that a column stays between, in characters.
const WIDTHS: (usize, usize) = (6, 60);

/// The workbook of some sheets behind a list of them; `date` is that of the papers, ISO 8601.
///
/// # Errors
/// What the format does not take: more rows than a sheet has, a date that is none.
pub fn xlsx(sheets: &[Sheet], title: &str, date: &str) -> Result<Vec<u8>, Refused> {
    write(sheets, title, date).map_err(|error| Refused { problems: vec![format!("the workbook: {error}")] })
}

fn write(sheets: &[Sheet], title: &str, date: &str) -> Result<Vec<u8>, XlsxError> {
    let mut book = Workbook::new();
    let made = ExcelDateTime::parse_from_str(date)?;
    book.set_properties(&DocProperties::new().set_title(title).set_author("changeout").set_creation_datetime(&made));
    let head = Format::new().set_bold().set_text_wrap().set_align(FormatAlign::Top).set_background_color(0x00E3_EAF0_u32);
    let words = Format::new().set_text_wrap().set_align(FormatAlign::Top);
    let list = book.add_worksheet();
    list.set_name("contents")?;
    list.write_with_format(0, 0, title, &Format::new().set_bold())?;
    list.write(1, 0, date)?;
    for (column, text) in (0_u16..).zip(["sheet", "paper", "rows"]) {
        list.write_with_format(3, column, text, &head)?;
    }
    for (row, sheet) in (4_u32..).zip(sheets) {
        list.write_url(row, 0, format!("internal:'{}'!A1", sheet.name).as_str())?;
        list.write_string(row, 0, &sheet.name)?;
        list.write(row, 1, &sheet.paper)?;
        #[expect(clippy::cast_precision_loss, reason = "a sheet has about a million rows at most")]
        list.write(row, 2, sheet.rows.len() as f64)?;
    }
    for (column, width) in (0_u16..).zip([34.0, 50.0, 8.0]) {
        list.set_column_width(column, width)?;
    }
    for sheet in sheets {
        let page = book.add_worksheet();
        page.set_name(&sheet.name)?;
        page.set_freeze_panes(1, 0)?;
        for (column, own) in (0_u16..).zip(&sheet.heads) {
            page.write_with_format(0, column, own.printed(), &head)?;
            let at = usize::from(column);
            let longest = sheet.rows.iter().filter_map(|row| row.get(at)).map(letters).chain([own.printed().chars().count()]).max();
            #[expect(clippy::cast_precision_loss, reason = "at most WIDTHS.1")]
            page.set_column_width(column, longest.unwrap_or(0).clamp(WIDTHS.0, WIDTHS.1) as f64 + 2.0)?;
        }
        let mut last = 0;
        for (row, cells) in (1_u32..).zip(&sheet.rows) {
            last = row;
            for (column, cell) in (0_u16..).zip(cells) {
                match cell {
                    Value::Empty => {}
                    Value::Text(text) => {
                        page.write_with_format(row, column, text, &words)?;
                    }
                    Value::Number(number, decimals) => {
                        let form = if *decimals == 0 { "#,##0".to_owned() } else { format!("#,##0.{}", "0".repeat((*decimals).min(9))) };
                        page.write_with_format(row, column, *number, &Format::new().set_num_format(form).set_align(FormatAlign::Top))?;
                    }
                }
            }
        }
        if let Some(columns) = sheet.heads.len().checked_sub(1).and_then(|n| u16::try_from(n).ok()) {
            page.autofilter(0, 0, last, columns)?;
        }
    }
    book.save_to_buffer()
}

fn letters(cell: &Value) -> usize {
    match cell {
        Value::Empty => 0,
        Value::Text(text) => text.chars().count(),
        Value::Number(..) => 10,
    }
}
