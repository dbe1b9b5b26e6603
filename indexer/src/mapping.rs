//! Which heading feeds which column: guessed, shown, confirmed or changed by the owner, and kept as a small file.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use crate::columns::{Column, GTIN, Level, NAME, QUANTITY, SIZE, STYLE_NUMBER};
use crate::finding::{Code, Finding};
use crate::heading::{Heading, Unit};
use crate::sheet::{Row, Sheet, Tab};

/// Whether a sheet lists all that its supplier has, or a part of it.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum SheetKind {
    /// All of it: what the sheet does not list is missing.
    Full,
    /// A part: what it does not list is not spoken of.
    #[default]
    Partial,
}

/// How one sheet is read.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Mapping {
    /// Who sent the sheet.
    pub supplier: String,
    /// Full or partial.
    pub kind: SheetKind,
    /// The maker of every row, where the sheet has no column for it and the owner has said.
    pub maker: Option<String>,
    /// The decimal mark.
    pub decimal: char,
    /// Why that decimal mark.
    pub decimal_seen: &'static str,
    /// Where the heading row stands among the rows of the sheet; `None`: none was found.
    pub heading_row: Option<usize>,
    /// One a heading, from the left.
    pub columns: Vec<MappedColumn>,
}

/// One heading and what it feeds.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct MappedColumn {
    /// The column of the sheet, from 0.
    pub at: u16,
    /// The heading as printed.
    pub heading: String,
    /// The unit or size system it names.
    pub unit: Option<Unit>,
    /// What it feeds.
    pub feeds: Feeds,
}

/// What a heading feeds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Feeds {
    /// This column.
    Column(&'static Column),
    /// Nothing: nobody knows it. A column with nearly the same words is suggested.
    Unknown(Option<&'static Column>),
    /// Nothing: it is recognised and left out by name.
    LeftOut(&'static Column),
    /// Nothing: the owner said so.
    Ignored,
    /// Undecided: another heading feeds the same column.
    Undecided(&'static Column),
}

/// A mapping as the owner keeps it: TOML, one line a heading.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct MappingFile {
    /// Who sends such sheets.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub supplier: Option<String>,
    /// Full or partial.
    #[serde(default)]
    pub kind: SheetKind,
    /// The maker of every row.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub maker: Option<String>,
    /// `.` or `,`; guessed when left out.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub decimal_mark: Option<char>,
    /// For each heading the key of a column, or `ignore`.
    #[serde(default)]
    pub headings: BTreeMap<String, String>,
}

/// A mapping file that cannot be used.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum MappingFault {
    /// It is no TOML of this shape.
    #[error(
        "the mapping file cannot be read: {0}. Write one with `lastbench import --check --mapping-out FILE` and change that."
    )]
    Unreadable(String),
    /// It names a column that does not exist.
    #[error(
        "the mapping file says that heading \"{heading}\" feeds \"{key}\", which is no column. `lastbench columns` lists them; `ignore` leaves a heading out."
    )]
    NoSuchColumn {
        /// The heading.
        heading: String,
        /// The key it names.
        key: String,
    },
}

/// How many rows from the top may hold titles before the headings.
const HEADING_WITHIN: usize = 20;

/// Guesses how a sheet is to be read; what `file` says wins over the guess.
pub fn guess_mapping(sheet: &Sheet, supplier: &str, file: Option<&MappingFile>) -> Mapping {
    let sheet = &sheet.tabs[0];
    let heading_row = heading_row(sheet, file);
    let mut columns = heading_row.map_or_else(Vec::new, |at| mapped(&sheet.rows[at], file));
    mark_undecided(&mut columns);
    let mut mapping = Mapping {
        supplier: file.and_then(|f| f.supplier.clone()).unwrap_or_else(|| supplier.to_owned()),
        kind: file.map_or(SheetKind::Partial, |f| f.kind),
        maker: file.and_then(|f| f.maker.clone()),
        decimal: '.',
        decimal_seen: "no cell with a decimal mark",
        heading_row,
        columns,
    };
    (mapping.decimal, mapping.decimal_seen) = match file.and_then(|f| f.decimal_mark) {
        Some(mark) => (mark, "said in the mapping"),
        None => mapping.guess_decimal(sheet),
    };
    mapping
}

/// The first row near the top with two headings that are known, of which one names a style or a size.
fn heading_row(sheet: &Tab, file: Option<&MappingFile>) -> Option<usize> {
    let near_the_top = sheet.rows.iter().take(HEADING_WITHIN);
    near_the_top.into_iter().position(|row| {
        let known: Vec<_> = mapped(row, file).into_iter().filter_map(|column| column.column()).collect();
        let names = |column: &&Column| [STYLE_NUMBER.key, NAME.key, GTIN.key].contains(&column.key);
        known.len() >= 2 && known.iter().any(names)
    })
}

fn mapped(row: &Row, file: Option<&MappingFile>) -> Vec<MappedColumn> {
    let headings = row.cells.iter().enumerate().filter(|(_, cell)| !cell.trim().is_empty());
    headings
        .map(|(at, cell)| {
            let heading = Heading::of(cell);
            let said = file.and_then(|f| f.headings.get(cell.trim()));
            MappedColumn {
                at: at as u16,
                heading: cell.trim().to_owned(),
                unit: heading.unit,
                feeds: said.map_or_else(|| guess(&heading), |key| said_feeds(key)),
            }
        })
        .collect()
}

fn guess(heading: &Heading) -> Feeds {
    match heading.column() {
        Some(column) if column.level == Level::LeftOut => Feeds::LeftOut(column),
        Some(column) => Feeds::Column(column),
        None => Feeds::Unknown(heading.near()),
    }
}

fn said_feeds(key: &str) -> Feeds {
    Column::find(key).map_or(Feeds::Ignored, Feeds::Column)
}

/// Two headings that feed one column are both undecided.
fn mark_undecided(columns: &mut [MappedColumn]) {
    let fed: Vec<_> = columns.iter().filter_map(|mapped| mapped.column()).map(|column| column.key).collect();
    for mapped in columns {
        if let Feeds::Column(column) = mapped.feeds
            && fed.iter().filter(|key| **key == column.key).count() > 1
        {
            mapped.feeds = Feeds::Undecided(column);
        }
    }
}

impl MappedColumn {
    /// The column it feeds, if any.
    pub fn column(&self) -> Option<&'static Column> {
        match self.feeds {
            Feeds::Column(column) => Some(column),
            _ => None,
        }
    }
}

impl Mapping {
    /// The mapped column that feeds `column`.
    pub fn of(&self, column: &Column) -> Option<&MappedColumn> {
        self.columns.iter().find(|mapped| mapped.column().is_some_and(|c| c.key == column.key))
    }

    /// What stands between this mapping and a change, and what the owner should know: undecided, missing, unknown
    /// and left-out columns.
    pub fn findings(&self, sheet: &Tab) -> Vec<Finding> {
        let Some(row) = self.heading_row.map(|at| &sheet.rows[at]) else {
            return vec![no_heading(sheet)];
        };
        let of_columns = self.columns.iter().filter_map(|mapped| {
            let (code, say) = mapped.finding()?;
            let place = sheet.cell_place(row, mapped.at);
            Some(Finding { code, place, heading: mapped.heading.clone(), text: mapped.heading.clone(), say })
        });
        let missing = self.missing().map(|say| Finding {
            code: Code::ColumnMissing,
            place: sheet.row_place(row),
            heading: String::new(),
            text: String::new(),
            say,
        });
        of_columns.chain(missing).collect()
    }

    /// What is missing for the sheet to be read at all.
    fn missing(&self) -> Option<String> {
        let undecided = self.columns.iter().any(|c| matches!(c.feeds, Feeds::Undecided(_)));
        let has = |column: &Column| self.of(column).is_some();
        if undecided {
            None
        } else if !has(&STYLE_NUMBER) && !has(&NAME) {
            Some("No column names the style: a style number or a name is needed. Add the column, or map a heading to it.".to_owned())
        } else if has(&QUANTITY) && !has(&SIZE) {
            Some("There are pairs but no sizes: stock is counted by size. Add the column, or map a heading to it.".to_owned())
        } else {
            None
        }
    }

    /// Whether the sheet speaks of sizes.
    pub fn has_stock(&self) -> bool {
        self.columns.iter().filter_map(|c| c.column()).any(|c| c.level == Level::Sku)
    }

    /// The mapping as a file that repeats it.
    pub fn to_file(&self) -> MappingFile {
        let key = |mapped: &MappedColumn| match mapped.feeds {
            Feeds::Column(column) | Feeds::Undecided(column) => column.key.to_owned(),
            Feeds::Unknown(_) | Feeds::LeftOut(_) | Feeds::Ignored => IGNORE.to_owned(),
        };
        MappingFile {
            supplier: Some(self.supplier.clone()),
            kind: self.kind,
            maker: self.maker.clone(),
            decimal_mark: Some(self.decimal),
            headings: self.columns.iter().map(|mapped| (mapped.heading.clone(), key(mapped))).collect(),
        }
    }

    /// The headings in order, as the name under which a mapping is remembered.
    pub fn fingerprint(&self) -> String {
        self.columns.iter().map(|mapped| Heading::of(&mapped.heading).words).collect::<Vec<_>>().join("|")
    }

    /// Counts marks in the cells of number columns that are a decimal for sure: one mark and not three digits
    /// behind it.
    fn guess_decimal(&self, sheet: &Tab) -> (char, &'static str) {
        let (mut points, mut commas) = (0, 0);
        for row in self.data_rows(sheet) {
            for mapped in self.columns.iter().filter(|m| m.column().is_some_and(|c| c.is_number())) {
                match decimal_of(row.cell(mapped.at)) {
                    Some('.') => points += 1,
                    Some(_) => commas += 1,
                    None => {}
                }
            }
        }
        match (points, commas) {
            (0, 0) => ('.', "no cell with a decimal mark"),
            (points, commas) if commas > points => (',', "most numbers have a comma"),
            _ => ('.', "most numbers have a point"),
        }
    }

    /// The rows below the headings.
    pub fn data_rows<'s>(&self, sheet: &'s Tab) -> &'s [Row] {
        self.heading_row.and_then(|at| sheet.rows.get(at + 1..)).unwrap_or_default()
    }
}

const IGNORE: &str = "ignore";

impl MappedColumn {
    fn finding(&self) -> Option<(Code, String)> {
        let heading = &self.heading;
        Some(match self.feeds {
            Feeds::Column(_) | Feeds::Ignored => return None,
            Feeds::Unknown(None) => {
                (Code::HeadingUnknown, format!("\"{heading}\" is not known; the column is left out."))
            }
            Feeds::Unknown(Some(near)) => {
                let near = near.headings[0];
                (
                    Code::HeadingUnknown,
                    format!(
                        "\"{heading}\" is not known; the column is left out. If it is \"{near}\", say so in the mapping."
                    ),
                )
            }
            Feeds::LeftOut(column) => {
                (Code::HeadingLeftOut, format!("\"{heading}\" is left out. {}", column.says))
            }
            Feeds::Undecided(column) => {
                let say = format!(
                    "\"{heading}\" and another heading both feed {}. Map one of them, and the other to ignore.",
                    column.headings[0]
                );
                (Code::HeadingUndecided, say)
            }
        })
    }
}

fn no_heading(sheet: &Tab) -> Finding {
    Finding {
        code: Code::NoHeading,
        place: crate::sheet::Place { sheet: sheet.label.clone(), row: 0, line: 0, column: None },
        heading: String::new(),
        text: String::new(),
        say: format!(
            "In the first {HEADING_WITHIN} rows of {} none holds headings that are known. Put one row of headings above the data, such as Maker, Style number, Heel stack mm; `lastbench columns` lists them.",
            sheet.label
        ),
    }
}

/// The decimal mark of a cell that can only be one.
fn decimal_of(text: &str) -> Option<char> {
    let text = text.trim().trim_end_matches(|c: char| !c.is_ascii_digit());
    let mut marks = text.char_indices().filter(|(_, c)| matches!(c, '.' | ','));
    let (at, mark) = marks.next()?;
    let digits_behind = text.len() - at - 1;
    let only = marks.next().is_none() && digits_behind != 3;
    let plain = text.chars().all(|c| c.is_ascii_digit() || c == mark || c == '-');
    (only && plain).then_some(mark)
}

impl MappingFile {
    /// Reads a mapping file.
    pub fn parse(text: &str) -> Result<Self, MappingFault> {
        let file: Self = toml::from_str(text)
            .map_err(|e| MappingFault::Unreadable(e.to_string().trim().replace('\n', " ")))?;
        let wrong = file.headings.iter().find(|(_, key)| *key != IGNORE && Column::find(key).is_none());
        match wrong {
            Some((heading, key)) => {
                Err(MappingFault::NoSuchColumn { heading: heading.clone(), key: key.clone() })
            }
            None => Ok(file),
        }
    }

    /// Writes it.
    pub fn to_toml(&self) -> String {
        toml::to_string(self).unwrap_or_default()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sheet::of_rows;

    fn keys(mapping: &Mapping) -> Vec<Option<&'static str>> {
        mapping.columns.iter().map(|c| c.column().map(|c| c.key)).collect()
    }

    #[test]
    fn headings_below_a_title_are_found() {
        let sheet = of_rows(&[
            &["Spring range"],
            &[],
            &["Maker", "Style number", "Drop mm"],
            &["Fennick", "F1", "8"],
        ]);
        let mapping = guess_mapping(&sheet, "Fennick", None);
        assert_eq!(keys(&mapping), [Some("maker"), Some("style_number"), Some("drop")]);
        assert_eq!(mapping.data_rows(&sheet.tabs[0]).len(), 1);
        assert_eq!(mapping.findings(&sheet.tabs[0]), []);
    }

    #[test]
    fn a_sheet_without_headings_is_refused_with_what_to_do() {
        let sheet = of_rows(&[&["1", "2"], &["3", "4"]]);
        let findings = guess_mapping(&sheet, "x", None).findings(&sheet.tabs[0]);
        assert_eq!(findings.iter().map(|f| f.code).collect::<Vec<_>>(), [Code::NoHeading]);
        assert!(findings[0].say.contains("lastbench columns"));
    }

    #[test]
    fn two_headings_that_feed_one_column_are_undecided() {
        let sheet = of_rows(&[&["Style number", "Article no.", "Name"]]);
        let mapping = guess_mapping(&sheet, "x", None);
        let codes: Vec<_> = mapping.findings(&sheet.tabs[0]).iter().map(|f| f.code).collect();
        assert_eq!(codes, [Code::HeadingUndecided, Code::HeadingUndecided]);
    }

    #[test]
    fn a_trade_price_is_left_out_by_name_and_an_unknown_heading_with_a_note() {
        let sheet = of_rows(&[&["Marke", "Artikelnummer", "EK netto (€)", "Colorway"]]);
        let mapping = guess_mapping(&sheet, "x", None);
        let findings = mapping.findings(&sheet.tabs[0]);
        assert_eq!(
            findings.iter().map(|f| f.code).collect::<Vec<_>>(),
            [Code::HeadingLeftOut, Code::HeadingUnknown]
        );
        assert!(findings[1].say.contains("colourway"));
    }

    #[test]
    fn pairs_without_sizes_and_rows_without_names_are_missing_a_column() {
        let pairs = of_rows(&[&["Maker", "Article no.", "Qty"]]);
        assert_eq!(guess_mapping(&pairs, "x", None).findings(&pairs.tabs[0])[0].code, Code::ColumnMissing);
        let nameless = of_rows(&[&["EAN", "Size", "Qty"]]);
        assert_eq!(
            guess_mapping(&nameless, "x", None).findings(&nameless.tabs[0])[0].code,
            Code::ColumnMissing
        );
    }

    #[test]
    fn the_decimal_mark_is_decided_from_the_cells() {
        let sheet = |price: &'static str| of_rows(&[&["Name", "Price"], &["a", price]]);
        assert_eq!(guess_mapping(&sheet("139,90"), "x", None).decimal, ',');
        assert_eq!(guess_mapping(&sheet("139.90"), "x", None).decimal, '.');
        assert_eq!(guess_mapping(&sheet("1,299"), "x", None).decimal, '.', "three digits prove nothing");
    }

    #[test]
    fn a_mapping_file_repeats_the_mapping_and_wins_over_the_guess() {
        let sheet = of_rows(&[&["Style number", "Name", "Colorway"], &["F1", "a", "red"]]);
        let mut file = guess_mapping(&sheet, "Fennick", None).to_file();
        assert_eq!(MappingFile::parse(&file.to_toml()), Ok(file.clone()));
        file.headings.insert("Colorway".to_owned(), "colourway".to_owned());
        file.headings.insert("Name".to_owned(), "ignore".to_owned());
        let mapping = guess_mapping(&sheet, "other", Some(&file));
        assert_eq!(keys(&mapping), [Some("style_number"), None, Some("colourway")]);
        assert_eq!(mapping.supplier, "Fennick");
    }

    #[test]
    fn a_mapping_file_that_names_no_column_says_where() {
        let fault = MappingFile::parse("[headings]\nWeight = \"wieght\"").unwrap_err();
        assert_eq!(
            fault,
            MappingFault::NoSuchColumn { heading: "Weight".to_owned(), key: "wieght".to_owned() }
        );
        assert!(matches!(MappingFile::parse("kind = 3"), Err(MappingFault::Unreadable(_))));
    }
}
