//! Workbooks in Office Open XML: the least that one needs, and 42 ways to make it hurt.

use super::zip::{Part, listed, local, part, repeated, stored, zip};
use super::{Case, accept, many, refuse};

/// The parts of a workbook with this sheet.
pub(crate) fn parts(sheet: &str) -> Vec<Part> {
    book(&[("Stock", "visible")], "", sheet)
}

/// A workbook with one sheet, whose `sheetData` holds this.
pub(crate) fn rows(data: &str) -> Vec<u8> {
    zip(&parts(&sheet(data)))
}

/// A sheet with this data.
pub(crate) fn sheet(data: &str) -> String {
    format!(
        "<worksheet xmlns=\"http://schemas.openxmlformats.org/spreadsheetml/2006/main\"><sheetData>{data}</sheetData></worksheet>"
    )
}

/// A cell with text of its own.
pub(crate) fn text(address: &str, text: &str) -> String {
    format!("<c r=\"{address}\" t=\"inlineStr\"><is><t>{text}</t></is></c>")
}

/// Parts of a workbook that lists these tabs, all of them the one sheet; `more` is put into its relations.
fn book(tabs: &[(&str, &str)], more: &str, sheet: &str) -> Vec<Part> {
    const RELATIONS: &str = "http://schemas.openxmlformats.org/package/2006/relationships";
    const OFFICE: &str = "http://schemas.openxmlformats.org/officeDocument/2006/relationships";
    let types = "<Types><Override PartName=\"/xl/workbook.xml\" ContentType=\"application/vnd.openxmlformats-officedocument.spreadsheetml.sheet.main+xml\"/></Types>";
    let root = format!(
        "<Relationships xmlns=\"{RELATIONS}\"><Relationship Id=\"r1\" Type=\"{OFFICE}/officeDocument\" Target=\"xl/workbook.xml\"/></Relationships>"
    );
    let listed = many((1..).zip(tabs), |(id, (name, state))| {
        format!("<sheet name=\"{name}\" sheetId=\"{id}\" state=\"{state}\" r:id=\"r1\"/>")
    });
    let workbook = format!("<workbook xmlns:r=\"{OFFICE}\"><sheets>{listed}</sheets></workbook>");
    let relations = format!(
        "<Relationships xmlns=\"{RELATIONS}\"><Relationship Id=\"r1\" Type=\"{OFFICE}/worksheet\" Target=\"worksheets/sheet1.xml\"/>{more}</Relationships>"
    );
    vec![
        part("[Content_Types].xml", types),
        part("_rels/.rels", root),
        part("xl/workbook.xml", workbook),
        part("xl/_rels/workbook.xml.rels", relations),
        part("xl/worksheets/sheet1.xml", sheet),
    ]
}

fn with(more: impl IntoIterator<Item = Part>) -> Vec<u8> {
    zip(&[parts(&good()), more.into_iter().collect()].concat())
}

fn with_texts(texts: Part, data: &str) -> Vec<u8> {
    let relation = "<Relationship Id=\"r2\" Type=\"x/sharedStrings\" Target=\"sharedStrings.xml\"/>";
    zip(&[book(&[("Stock", "visible")], relation, &sheet(data)), vec![texts]].concat())
}

fn with_styles(styles: &str, data: &str) -> Vec<u8> {
    let relation = "<Relationship Id=\"r2\" Type=\"x/styles\" Target=\"styles.xml\"/>";
    let styles = part("xl/styles.xml", styles);
    zip(&[book(&[("Stock", "visible")], relation, &sheet(data)), vec![styles]].concat())
}

fn of_tabs(tabs: &[(&str, &str)]) -> Vec<u8> {
    zip(&book(tabs, "", &good()))
}

/// A sheet whose XML is this part instead.
fn of_sheet(sheet: Part) -> Vec<u8> {
    let mut parts = parts("");
    parts.pop();
    parts.push(sheet);
    zip(&parts)
}

fn of_xml(xml: &str) -> Vec<u8> {
    zip(&parts(xml))
}

fn row(number: &str, cells: &str) -> String {
    format!("<row r=\"{number}\">{cells}</row>")
}

fn good() -> String {
    sheet(&row("1", &text("A1", "style")))
}

const SHEET: &str = "xl/worksheets/sheet1.xml";
const TEXTS: &str = "xl/sharedStrings.xml";

/// X55 to X65: addresses, dimensions and tables of texts.
pub(crate) fn addresses() -> Vec<Case> {
    let one = |row_number: &str, address: &str| rows(&row(row_number, &text(address, "x")));
    let dimension = |range: &str| {
        of_xml(&good().replace("<sheetData>", &format!("<dimension ref=\"{range}\"/><sheetData>")))
    };
    let counted = |count: &str| {
        let texts = format!("<sst uniqueCount=\"{count}\" count=\"{count}\"><si><t>style</t></si></sst>");
        with_texts(part(TEXTS, texts), "<row r=\"1\"><c r=\"A1\" t=\"s\"><v>0</v></c></row>")
    };
    let corner = [row("1", &text("A1", "x")), row("1048576", &text("XFD1048576", "x"))].concat();
    let long_list = repeated(TEXTS, "<sst>", "<si><t/></si>", 3_000_000, "</sst>");
    let pointing = |number: &str| {
        let cell = format!("<row r=\"1\"><c r=\"A1\" t=\"s\"><v>{number}</v></c></row>");
        with_texts(part(TEXTS, "<sst><si><t>a</t></si></sst>"), &cell)
    };
    vec![
        refuse("X55 corner", "a.xlsx", rows(&corner), "sheet-too-many-columns"),
        accept("X55 last row", "a.xlsx", one("1048576", "A1048576"), 1),
        refuse("X56 row u32max", "a.xlsx", one("4294967295", "A4294967295"), "workbook-address"),
        refuse("X57 row 2^32", "a.xlsx", one("4294967296", "A4294967296"), "workbook-address"),
        refuse("X58 row 0", "a.xlsx", one("0", "A0"), "workbook-address"),
        refuse("X59 column ZZZZZZZZZ", "a.xlsx", one("1", "ZZZZZZZZZ1"), "workbook-address"),
        accept("X60 dimension lies", "a.xlsx", dimension("A1:XFD1048576"), 1),
        accept("X61 dimension reversed", "a.xlsx", dimension("Z9:A1"), 1),
        accept("X62 uniqueCount 1e12", "a.xlsx", counted("1000000000000"), 1),
        accept("X63 uniqueCount 2^64-1", "a.xlsx", counted("18446744073709551615"), 1),
        refuse("X64 three million texts", "a.xlsx", with_texts(long_list, ""), "workbook-bomb"),
        refuse("X65 text out of range", "a.xlsx", pointing("1"), "sheet-dangling-text"),
        refuse("X65 text below range", "a.xlsx", pointing("-1"), "sheet-dangling-text"),
        refuse("row twice", "a.xlsx", rows(&row("2", "").repeat(2)), "workbook-address"),
        refuse("cell twice", "a.xlsx", rows(&row("1", &text("B1", "x").repeat(2))), "workbook-address"),
        refuse("cell of another row", "a.xlsx", one("1", "A2"), "workbook-address"),
    ]
}

/// X66 to X74 and X92 to X93: XML.
pub(crate) fn markup() -> Vec<Case> {
    let declared = |declaration: &str, used: &str| {
        of_xml(&format!("{declaration}{}", sheet(&row("1", &text("A1", used)))))
    };
    let laughs = many(1..10, |n| format!("<!ENTITY l{n} \"{}\">", format!("&l{};", n - 1).repeat(10)));
    let laughs = format!("<!DOCTYPE w [<!ENTITY l0 \"lol\">{laughs}]>");
    let quadratic = format!("<!DOCTYPE w [<!ENTITY a \"{}\">]>", "a".repeat(50_000));
    let attributes = many(0..40_000, |n| format!(" a{n}=\"x\""));
    let namespaces = many(0..100_000, |n| format!(" xmlns:n{n}=\"u\""));
    let utf16: Vec<u8> = ["\u{FEFF}", &good()].concat().encode_utf16().flat_map(u16::to_le_bytes).collect();
    let cells = repeated(
        SHEET,
        "<worksheet><sheetData><row>",
        "<c t=\"b\"><v>1</v></c>",
        2_000_000,
        "</row></sheetData></worksheet>",
    );
    let spaces = repeated(SHEET, "<worksheet>", &" ".repeat(1_000), 300_000, "</worksheet>");
    let long_text = repeated(
        SHEET,
        "<worksheet><sheetData><row><c><is><t>",
        &"a".repeat(1_000),
        300_000,
        "</t></is></c></row></sheetData></worksheet>",
    );
    let nested = format!("<row><c>{}{}</c></row>", "<is>".repeat(100_000), "</is>".repeat(100_000));
    vec![
        refuse(
            "X66 outside file",
            "a.xlsx",
            declared("<!DOCTYPE w [<!ENTITY x SYSTEM \"file:///etc/passwd\">]>", "&x;"),
            "workbook-doctype",
        ),
        refuse(
            "X67 parameter entity",
            "a.xlsx",
            declared("<!DOCTYPE w [<!ENTITY % x SYSTEM \"http://127.0.0.1/x\">%x;]>", "x"),
            "workbook-doctype",
        ),
        refuse("X68 billion laughs", "a.xlsx", declared(&laughs, "&l9;"), "workbook-doctype"),
        refuse(
            "X69 quadratic blowup",
            "a.xlsx",
            declared(&quadratic, &"&a;".repeat(50_000)),
            "workbook-doctype",
        ),
        refuse("undeclared entity", "a.xlsx", declared("", "&x;"), "workbook-doctype"),
        refuse(
            "X70 40,000 attributes",
            "a.xlsx",
            rows(&format!("<row><c r=\"A1\"{attributes}/></row>")),
            "workbook-shape",
        ),
        refuse("X71 100,000 namespaces", "a.xlsx", rows(&format!("<row{namespaces}/>")), "workbook-shape"),
        refuse("X72 300 MB of blanks", "a.xlsx", of_sheet(spaces), "workbook-bomb"),
        refuse(
            "X72 a run of blanks",
            "a.xlsx",
            of_sheet(stored(SHEET, " ".repeat(2_000_000))),
            "workbook-shape",
        ),
        refuse("X73 300 MB of text", "a.xlsx", of_sheet(long_text), "workbook-bomb"),
        refuse(
            "X73 a long text",
            "a.xlsx",
            rows(&row("1", &text("A1", &"a".repeat(5_000)))),
            "sheet-long-cell",
        ),
        refuse("X74 two million cells in a row", "a.xlsx", of_sheet(cells), "workbook-bomb"),
        refuse(
            "X74 ten thousand cells in a row",
            "a.xlsx",
            rows(&format!("<row>{}</row>", "<c t=\"b\"><v>1</v></c>".repeat(10_000))),
            "sheet-too-many-columns",
        ),
        refuse(
            "X74 twenty thousand cells in a row",
            "a.xlsx",
            rows(&format!("<row>{}</row>", "<c t=\"b\"><v>1</v></c>".repeat(20_000))),
            "workbook-address",
        ),
        refuse("X92 deep nesting", "a.xlsx", rows(&nested), "workbook-shape"),
        refuse("X93 UTF-16", "a.xlsx", of_sheet(part(SHEET, utf16)), "workbook-broken"),
        refuse("no XML", "a.xlsx", of_xml("style,drop\n<"), "workbook-broken"),
        refuse("tags crossed", "a.xlsx", of_xml("<a><b></a></b>"), "workbook-broken"),
        refuse("never closed", "a.xlsx", of_xml("<worksheet><sheetData>"), "workbook-broken"),
    ]
}

/// X75 to X84: the zip itself.
pub(crate) fn archives() -> Vec<Case> {
    let good_book = rows(&row("1", &text("A1", "style")));
    let truncated = (1..10).map(|tenth| {
        let end = good_book.len() * tenth / 10;
        refuse("X83 truncated", "a.xlsx", &good_book[..end], "workbook-broken")
    });
    let parts_of_nothing = (0..70_000).map(|n| stored(&format!("n{n}"), ""));
    let mut lying = parts(&good());
    if let Some(sheet) = lying.last_mut() {
        sheet.size = 10;
    }
    let mut wrong_sum = parts(&good());
    if let Some(sheet) = wrong_sum.last_mut() {
        sheet.crc ^= 1;
    }
    let other_name = Part { local_name: Some("xl/other.xml".into()), ..part("xl/more.xml", "") };
    let locked = Part { flags: 1, ..part("xl/more.xml", "x") };
    let utf16 = "EncryptedPackage".encode_utf16().flat_map(u16::to_le_bytes).collect();
    let container =
        [b"\xD0\xCF\x11\xE0\xA1\xB1\x1A\xE1".to_vec(), vec![0; 1_016], utf16, vec![0; 96]].concat();
    // The count of DIFAT sectors stands at byte 72: MS-CFB 2.2.
    let mut old = [b"\xD0\xCF\x11\xE0\xA1\xB1\x1A\xE1".to_vec(), vec![0; 1_016]].concat();
    old[72..76].fill(0xFF);
    let cases = vec![
        refuse("X75 overlapping", "a.xlsx", overlapping(), "workbook-unsafe-parts"),
        refuse("X76 size lies", "a.xlsx", zip(&lying), "workbook-broken"),
        refuse("sum lies", "a.xlsx", zip(&wrong_sum), "workbook-broken"),
        refuse("X77 70,000 parts", "a.xlsx", with(parts_of_nothing), "workbook-too-many-parts"),
        refuse(
            "201 parts",
            "a.xlsx",
            with((0..196).map(|n| stored(&format!("n{n}"), ""))),
            "workbook-too-many-parts",
        ),
        accept("200 parts", "a.xlsx", with((0..195).map(|n| stored(&format!("n{n}"), ""))), 1),
        refuse("X78 a name twice", "a.xlsx", with([part(SHEET, good())]), "workbook-unsafe-parts"),
        refuse("X79 out of the folder", "a.xlsx", with([part("../../etc/x", "")]), "workbook-unsafe-parts"),
        refuse("X79 from the root", "a.xlsx", with([part("/etc/x", "")]), "workbook-unsafe-parts"),
        refuse("X79 backslashes", "a.xlsx", with([part("..\\x", "")]), "workbook-unsafe-parts"),
        refuse(
            "X80 a link",
            "a.xlsx",
            with([Part { mode: 0o120_777, ..part("xl/link", "/etc/passwd") }]),
            "workbook-unsafe-parts",
        ),
        refuse("another name in place", "a.xlsx", with([other_name]), "workbook-unsafe-parts"),
        refuse("a locked part", "a.xlsx", with([locked]), "workbook-encrypted"),
        refuse("X81 encrypted", "a.xlsx", container, "workbook-encrypted"),
        refuse("X82 macros, renamed", "a.xlsx", with([part("xl/vbaProject.bin", "x")]), "sheet-old-workbook"),
        refuse("X82 binary, renamed", "a.xlsx", with([part("xl/workbook.bin", "x")]), "sheet-old-workbook"),
        refuse("X84 garbage behind", "a.xlsx", [&good_book[..], b"garbage"].concat(), "workbook-broken"),
        refuse("X84 garbage in front", "a.xlsx", [b"garbage", &good_book[..]].concat(), "sheet-disguised"),
        refuse("X96 .xls", "a.xls", old.clone(), "sheet-old-workbook"),
        refuse("X96 .xls, renamed", "a.xlsx", old, "sheet-old-workbook"),
        refuse("a zip of something else", "a.xlsx", zip(&[part("a.txt", "x")]), "sheet-disguised"),
        refuse("an .xlsx named .ods", "a.ods", good_book.clone(), "sheet-disguised"),
        refuse("an empty zip", "a.xlsx", zip(&[]), "sheet-disguised"),
    ];
    cases.into_iter().chain(truncated).collect()
}

/// The quoted overlap of Fifield, "A better zip bomb" (WOOT 2019): one part's data holds the next one's header.
fn overlapping() -> Vec<u8> {
    let mut inner = parts(&good());
    let outer = stored("outer", [local(&inner[0]), inner[0].packed.clone()].concat());
    let start = local(&outer).len() as u32;
    let mut out = [local(&outer), outer.packed.clone()].concat();
    let mut starts = vec![start];
    for part in &inner[1..] {
        starts.push(out.len() as u32);
        out.extend(local(part));
        out.extend(&part.packed);
    }
    starts.push(0);
    inner.push(outer);
    listed(out, &inner, &starts)
}

/// X85 to X91, X94 and X95: what a workbook says.
pub(crate) fn contents() -> Vec<Case> {
    let long = "x".repeat(10_000);
    let tabs = vec![("T", "visible"); 257];
    let formulas =
        many(0..2_000, |n| format!("<row r=\"{}\"><c><f t=\"shared\" si=\"0\"/></c></row>", n + 1));
    let mixed = "<row r=\"1\"><c t=\"b\"><v>1</v></c><c t=\"e\"><v>#N/A</v></c><c t=\"inlineStr\"><is><r><t>a</t></r><r><t>b</t></r></is></c><c t=\"x\"><v>y</v></c></row>";
    let results =
        "<row r=\"1\"><c><f>1+1</f><v>2</v></c><c><f>A1</f></c><c t=\"e\"><f>A9</f><v>#REF!</v></c></row>";
    let rubbish = ["&quot;", "[", "[$", "\\", "0/0", "%%", "&#10;", "yyyy[h"];
    let garbage =
        many((164..).zip(rubbish), |(id, code)| format!("<numFmt numFmtId=\"{id}\" formatCode=\"{code}\"/>"));
    let styles = many(160..180, |id| format!("<xf numFmtId=\"{id}\"/>"));
    let styles =
        format!("<styleSheet>{garbage}<numFmt/><cellXfs>{styles}<xf numFmtId=\"x\"/></cellXfs></styleSheet>");
    let styled = many(0..30, |s| format!("<c s=\"{s}\"><v>12.5</v></c>"));
    let outside = "<Relationship Id=\"r9\" Type=\"x/externalLink\" TargetMode=\"External\" Target=\"http://127.0.0.1:9/x\"/>";
    let merged = good().replace(
        "</sheetData>",
        "</sheetData><mergeCells><mergeCell ref=\"A1:C1\"/><mergeCell ref=\"x\"/></mergeCells>",
    );
    vec![
        refuse("X85 no tabs", "a.xlsx", of_tabs(&[]), "sheet-empty"),
        accept("X85 20 tabs", "a.xlsx", of_tabs(&tabs[..20]), 20),
        refuse("X85 257 tabs", "a.xlsx", of_tabs(&tabs), "workbook-too-many-tabs"),
        refuse("X85 hidden", "a.xlsx", of_tabs(&[("A", "hidden")]), "workbook-all-hidden"),
        refuse("X85 very hidden", "a.xlsx", of_tabs(&[("A", "veryHidden")]), "workbook-all-hidden"),
        refuse("X86 a name of 10 kB", "a.xlsx", of_tabs(&[(&long, "visible")]), "workbook-tab-name"),
        accept("X86 a name of markup", "a.xlsx", of_tabs(&[("&lt;script&gt;", "visible")]), 1),
        refuse("X86 a line in a name", "a.xlsx", of_tabs(&[("a&#10;b", "visible")]), "workbook-tab-name"),
        accept("X87 merged headings", "a.xlsx", of_xml(&merged), 1),
        accept(
            "X88 a size as a date",
            "a.xlsx",
            with_styles(
                "<styleSheet><cellXfs><xf numFmtId=\"14\"/></cellXfs></styleSheet>",
                "<row><c s=\"0\"><v>46151</v></c></row>",
            ),
            1,
        ),
        accept("X89 formulas", "a.xlsx", rows(results), 1),
        refuse("X90 formulas without a result", "a.xlsx", rows(&formulas), "sheet-empty"),
        accept("X91 formats of rubbish", "a.xlsx", with_styles(&styles, &row("1", &styled)), 1),
        accept("X94 a mixture", "a.xlsx", rows(mixed), 1),
        accept("X95 a link outside", "a.xlsx", zip(&book(&[("A", "visible")], outside, &good())), 1),
        refuse("a NUL in a text", "a.xlsx", rows(&row("1", &text("A1", "a_x0000_b"))), "sheet-nul"),
        refuse("a NUL reference", "a.xlsx", rows(&row("1", &text("A1", "a&#0;b"))), "workbook-broken"),
    ]
}
