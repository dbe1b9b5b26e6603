//! Tables of text made to hurt, and names that are hard to keep in any format.

use super::{Case, accept, refuse};

/// C1 to C40, as far as reading a sheet is concerned: what cells mean is asked later.
pub(crate) fn cases() -> Vec<Case> {
    let utf16 = |order: fn(u16) -> [u8; 2], mark: bool| -> Vec<u8> {
        let text = if mark { "\u{FEFF}style,note\nA1,größer\n" } else { "style,note\nA1,größer\n" };
        text.encode_utf16().flat_map(order).collect()
    };
    let ragged: String = (1..=40).map(|width| vec!["x"; width].join(",") + "\n").collect();
    let open = [b"style,drop\n\"abc\n".to_vec(), b"A,9\n".repeat(20_000)].concat();
    let dates = "style,size\nA,09.May\nB,1E+11\nC,=cmd|' /C calc'!A0\nD,@SUM(A1)\nE,-2\n";
    let words =
        "style,note\nA,<script>alert(1)</script>\nB,\"\"\"><img onerror=x>\"\nC,'); drop table x;--\n";
    let numbers = format!("style,n\nA,NaN\nB,1e309\nC,0x1F\nD,--5\nE,{}\n", "9".repeat(400));
    vec![
        refuse("C1 empty", "a.csv", "", "sheet-empty"),
        accept("C2 heading only", "a.csv", "style,drop\n", 1),
        accept("C3 UTF-8 with a mark", "a.csv", "\u{FEFF}style,drop\nA,8\n", 2),
        accept("C4 UTF-16LE", "a.csv", utf16(u16::to_le_bytes, true), 2),
        accept("C5 UTF-16BE", "a.csv", utf16(u16::to_be_bytes, true), 2),
        accept("C6 UTF-16 without a mark", "a.csv", utf16(u16::to_le_bytes, false), 2),
        accept("C7 windows-1252", "a.csv", b"style,note\nA,\x80 120 \x93soft\x94\n", 2),
        refuse(
            "C8 no UTF-8",
            "a.csv",
            ["größer,é,ü,ä\n".as_bytes(), b"a,\xFF\xFE\xFD,b\n"].concat(),
            "sheet-damaged",
        ),
        refuse("C9 a NUL", "a.csv", "style,name\nA,b\0c\n", "sheet-nul"),
        refuse("C10 an open quote", "a.csv", open, "sheet-open-quote"),
        accept("C11 a quote within", "a.csv", "style,note\nA,a\"b\nB,c\n", 3),
        refuse("C12 four million quotes", "a.csv", "\"".repeat(4_000_000), "sheet-long-cell"),
        refuse("C13 four million commas", "a.csv", ",".repeat(4_000_000), "sheet-too-many-columns"),
        refuse("C14 a cell of 8 MB", "a.csv", "a".repeat(8_000_000), "sheet-long-cell"),
        refuse("C15 a row too many", "a.csv", "a,b\n".repeat(200_001), "sheet-too-many-rows"),
        accept("C16 ragged", "a.csv", ragged, 40),
        accept("C17 CR alone", "a.csv", "style,drop\rA,8\rB,4\r", 3),
        accept("C18 line ends mixed", "a.csv", "style,drop\r\nA,8\nB,4\rC,1", 4),
        accept("C19 decimal commas", "a.csv", "style;drop\nA;9,5\n", 2),
        accept("C20 tabs", "a.tsv", "style\tdrop\nA\t8\n", 2),
        accept("C21 sep line", "a.csv", "sep=;\nstyle;drop\nA;8\n", 2),
        accept("C22 heading twice", "a.csv", "style,drop,drop\nA,8,9\n", 2),
        accept("C23 Cyrillic heading", "a.csv", "style,dr\u{43E}p\nA,8\n", 2),
        accept("C24 blanks in headings", "a.csv", " Style ,\u{A0}DROP\u{A0}\nA,8\n", 2),
        accept("C25 and C26 units", "a.csv", "style,mass\nA,1.234\nB,\"1,234\"\nC,9.9 oz\nD,0.8 cm\n", 5),
        accept("C27 and C28 numbers", "a.csv", numbers, 6),
        accept("C29 to C31 damaged by a spreadsheet", "a.csv", dates, 6),
        accept("C32 and C33 markup and SQL", "a.csv", words, 4),
        accept("C34 a path for a name", "../../x/a.csv", "style\nA\n", 2),
        accept("C35 and C36 a row twice", "a.csv", "style,drop\nA,8\nA,8\nA,9\n", 4),
        refuse("C37 gzip", "a.csv", b"\x1F\x8B\x08\0\0\0\0\0\0\x03", "sheet-disguised"),
        refuse("C38 .xlsx as .csv", "a.csv", super::xlsx::rows(""), "sheet-disguised"),
        refuse("C39 a web page as .xls", "a.xls", "<html><table></table></html>", "sheet-old-workbook"),
        refuse("C39 a web page as .xlsx", "a.xlsx", "<html><table></table></html>", "sheet-disguised"),
        refuse("text as .xlsx", "a.xlsx", "style,drop\nA,8\n", "sheet-disguised"),
        refuse("C40 8 MB of noise", "a.csv", noise(8_000_000), "sheet-nul"),
        refuse("C40 noise as .xlsx", "a.xlsx", noise(100_000), "sheet-disguised"),
    ]
}

/// U41 to U54: names that must come through letter by letter, whatever they are later taken for.
pub(crate) fn names() -> Vec<(&'static str, String)> {
    let plain = [
        ("U41 right to left", "Runner \u{202E}00.99\u{202C}"),
        ("U42 open isolate", "Runner \u{2066}x"),
        ("U43 zero width", "Run\u{200B}n\u{AD}er\u{200D}"),
        ("U44 NFC", "Z\u{FC}rich"),
        ("U44 NFD", "Zu\u{308}rich"),
        ("U45 full width", "\u{FF11}\u{FF12}"),
        ("U46 Arabic-Indic", "\u{662}\u{668}\u{660}"),
        ("U47 homoglyphs", "\u{420}\u{443}\u{43D}ner"),
        ("U49 family", "\u{1F468}\u{200D}\u{1F469}\u{200D}\u{1F467} \u{1F1E6}\u{1F1F9}"),
        ("U51 private use", "a\u{E000}b\u{FFFF}c"),
        ("U52 dotted I", "\u{130}stanbul ıi"),
        ("U53 sharp s", "Stra\u{DF}e STRASSE"),
        ("U54 a word of 60 bytes", "Donaudampfschifffahrtsgesellschaftskapitaenswitwenrentenamt"),
    ];
    let zalgo = format!("Run{}ner", "\u{301}".repeat(500));
    plain.map(|(id, name)| (id, name.to_owned())).into_iter().chain([("U48 500 marks", zalgo)]).collect()
}

/// Bytes without a pattern, the same on every run: a linear congruential generator (Knuth's MMIX constants).
fn noise(length: usize) -> Vec<u8> {
    let mut state: u64 = 40;
    let mut next = || {
        state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (state >> 33) as u8
    };
    (0..length).map(|_| next()).collect()
}
