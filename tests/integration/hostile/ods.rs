//! Workbooks in OpenDocument: the least that one needs, and ways to make it hurt.

use super::zip::{Part, part, repeated, stored, zip};
use super::{Case, accept, refuse};

const MIMETYPE: &str = "application/vnd.oasis.opendocument.spreadsheet";

/// A workbook with one tab that holds this.
pub(crate) fn rows(table: &str) -> Vec<u8> {
    of_parts(MIMETYPE, "", table, [])
}

/// A cell of text.
pub(crate) fn text(text: &str) -> String {
    format!("<table:table-cell office:value-type=\"string\"><text:p>{text}</text:p></table:table-cell>")
}

fn content(declaration: &str, table: &str) -> String {
    format!(
        "{declaration}<office:document-content xmlns:office=\"o\" xmlns:table=\"t\" xmlns:text=\"x\"><office:body><office:spreadsheet><table:table table:name=\"Stock\">{table}</table:table></office:spreadsheet></office:body></office:document-content>"
    )
}

fn of_parts(kind: &str, declaration: &str, table: &str, more: impl IntoIterator<Item = Part>) -> Vec<u8> {
    let parts = [stored("mimetype", kind), part("content.xml", content(declaration, table))];
    zip(&parts.into_iter().chain(more).collect::<Vec<_>>())
}

/// A row repeated so often, with a cell repeated so often.
fn repeats(rows: &str, columns: &str, text: &str) -> String {
    format!(
        "<table:table-row table:number-rows-repeated=\"{rows}\"><table:table-cell table:number-columns-repeated=\"{columns}\">{text}</table:table-cell></table:table-row>"
    )
}

fn good() -> String {
    format!("<table:table-row>{}</table:table-row>", text("style"))
}

/// O97 to O106.
pub(crate) fn cases() -> Vec<Case> {
    const X: &str = "<text:p>x</text:p>";
    let repeated_cells = |rows_repeated: &str, columns: &str| rows(&repeats(rows_repeated, columns, X));
    let blank =
        |rows_repeated: &str, columns: &str| rows(&[good(), repeats(rows_repeated, columns, "")].concat());
    let covered = format!(
        "<table:table-row><table:table-cell table:number-columns-spanned=\"2\" table:number-rows-spanned=\"18446744073709551615\">{X}</table:table-cell><table:covered-table-cell>{X}</table:covered-table-cell></table:table-row>"
    );
    let locked = "<manifest><file-entry><encryption-data/></file-entry></manifest>";
    let compressed = zip(&[part("mimetype", MIMETYPE), part("content.xml", content("", &good()))]);
    let laughs = "<!DOCTYPE o [<!ENTITY a \"aaaaaaaaaa\"><!ENTITY b \"&a;&a;&a;&a;&a;\">]>";
    let spaces = "<table:table-row><table:table-cell><text:p>a<text:s text:c=\"4000000000\"/></text:p></table:table-cell></table:table-row>";
    let meta = repeated("meta.xml", "<m>", &" ".repeat(1_000), 1_000_000, "</m>");
    vec![
        accept("an honest one", "a.ods", rows(&good()), 1),
        refuse("O97 the whole sheet", "a.ods", repeated_cells("1048576", "16384"), "sheet-too-many-columns"),
        accept("O97 blank", "a.ods", blank("1048575", "16384"), 1),
        refuse(
            "O98 6,100 rows of 16,384",
            "a.ods",
            repeated_cells("6100", "16384"),
            "sheet-too-many-columns",
        ),
        refuse(
            "O99 3,000 rows of 16,384",
            "a.ods",
            repeated_cells("3000", "16384"),
            "sheet-too-many-columns",
        ),
        accept("O99 3,000 rows of 3", "a.ods", repeated_cells("3000", "3"), 3_000),
        refuse(
            "O100 2^64-1 rows",
            "a.ods",
            repeated_cells("18446744073709551615", "1"),
            "sheet-too-many-rows",
        ),
        accept("O100 2^64-1 blank rows", "a.ods", blank("18446744073709551615", "1"), 1),
        refuse(
            "O100 a row behind them",
            "a.ods",
            rows(&[repeats("18446744073709551615", "1", ""), good()].concat()),
            "workbook-address",
        ),
        refuse("O100 2^64 rows", "a.ods", repeated_cells("18446744073709551616", "1"), "workbook-address"),
        refuse(
            "O100 2^64-1 columns",
            "a.ods",
            repeated_cells("1", "18446744073709551615"),
            "sheet-too-many-columns",
        ),
        refuse("O101 negative rows", "a.ods", repeated_cells("-5", "1"), "workbook-address"),
        refuse("O101 negative columns", "a.ods", repeated_cells("1", "-5"), "workbook-address"),
        refuse("O101 no rows", "a.ods", repeated_cells("0", "1"), "workbook-address"),
        refuse("O102 entities", "a.ods", of_parts(MIMETYPE, laughs, &good(), []), "workbook-doctype"),
        refuse(
            "O103 another kind",
            "a.ods",
            of_parts("application/epub+zip", "", &good(), []),
            "sheet-disguised",
        ),
        accept("O103 packed kind", "a.ods", compressed, 1),
        refuse(
            "O104 locked",
            "a.ods",
            of_parts(MIMETYPE, "", &good(), [part("META-INF/manifest.xml", locked)]),
            "workbook-encrypted",
        ),
        accept("O105 covered cells", "a.ods", rows(&covered), 1),
        refuse(
            "O106 a gigabyte beside it",
            "a.ods",
            of_parts(MIMETYPE, "", &good(), [meta]),
            "workbook-bomb",
        ),
        refuse("four thousand million blanks", "a.ods", rows(spaces), "workbook-shape"),
        refuse("an .ods named .xlsx", "a.xlsx", rows(&good()), "sheet-disguised"),
        refuse("an .ods named .csv", "a.csv", rows(&good()), "sheet-disguised"),
    ]
}
