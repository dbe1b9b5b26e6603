//! Sheets whose cells were made to hurt, and what the owner must be told of each.

/// A sheet with headings that are known, and what must be found in it.
pub(crate) struct Cells {
    /// Its name in the corpus.
    pub(crate) id: &'static str,
    pub(crate) text: String,
    /// The findings: code, row and column of the first, and how many; an empty column is the whole row.
    pub(crate) found: Vec<(&'static str, u64, &'static str, u64)>,
    /// Whether something is held, so that the command ends with 1.
    pub(crate) held: bool,
}

fn sheet(id: &'static str, headings: &str, rows: &[&str]) -> Cells {
    let row = |(at, row): (usize, &&str)| format!("Feldrast,NR-{at},Name {at},{row}\n");
    let rows: String = rows.iter().enumerate().map(row).collect();
    Cells { id, text: format!("Maker,Style number,Name,{headings}\n{rows}"), found: Vec::new(), held: false }
}

fn stock(id: &'static str, rows: &[&str]) -> Cells {
    sheet(id, "Colour,Size,Qty,GTIN", rows)
}

impl Cells {
    fn notes(mut self, code: &'static str, row: u64, column: &'static str, count: u64) -> Self {
        self.found.push((code, row, column, count));
        self
    }

    fn holds(self, code: &'static str, row: u64, column: &'static str, count: u64) -> Self {
        Self { held: true, ..self.notes(code, row, column, count) }
    }
}

/// C22 to C36, as far as the meaning of cells is concerned.
pub(crate) fn cases() -> Vec<Cells> {
    let long = "9".repeat(400);
    let twice = "Feldrast,NR-0,Name 0,red,EU 42,1,\n";
    vec![
        sheet("C22 heading twice", "Drop mm,Drop mm", &["8,9"]).holds("heading-undecided", 1, "D", 2),
        sheet("C23 Cyrillic heading", "Dr\u{43E}p mm", &["8"]).holds("heading-near-miss", 1, "D", 1),
        sheet("C24 blanks in headings", "\u{A0}DROP  mm\u{A0}", &["8"]),
        sheet("C25 thousands", "Weight g", &["1.234", "\"1,234\""]).holds(
            "decimal-mark-ambiguous",
            2,
            "D",
            2,
        ),
        sheet("C26 units", "Drop,Weight", &["8 mm,280 g", "0.8 cm,9.9 oz"]),
        sheet("C27 numbers", "Drop mm", &["NaN", "inf", "1e309", "0x1F", "--5", &long]).holds(
            "not-a-number",
            2,
            "D",
            6,
        ),
        stock(
            "C28 pairs",
            &["red,EU 42,-3,", "red,EU 42,9223372036854775808,", "red,EU 42,1000000000000000,"],
        )
        .holds("quantity-negative", 2, "F", 1)
        .holds("not-a-number", 3, "F", 2),
        stock("C29 a size as a date", &["red,09.May,1,"]).holds("size-is-a-date", 2, "E", 1),
        stock("C30 a code shortened", &["red,EU 42,1,4.01235E+12"]).holds("gtin-damaged", 2, "G", 1),
        stock("C36 a row twice, differing", &["red,EU 42,1,\nFeldrast,NR-0,Name 0,red,EU 42,2,"]).holds(
            "rows-differ",
            2,
            "F",
            2,
        ),
        Cells {
            text: format!("Maker,Style number,Name,Colour,Size,Qty,GTIN\n{twice}{twice}"),
            ..stock("C35 a row twice", &[])
        }
        .notes("row-repeated", 3, "", 1),
    ]
}
