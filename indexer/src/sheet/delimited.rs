//! Text to rows: RFC 4180 and its dialects. The only file that names csv.
//!
//! csv splits fields; what it leaves to us is done here: blank lines are counted, a lone CR ends a line, and
//! an unclosed quote is an error with a place instead of one cell that silently holds the rest of the file.

use csv::{ReaderBuilder, StringRecord};

use super::dialect::Split;
use super::refused::{Refused, Spot, Why};
use super::{Cells, Row, SheetLimits};

/// The rows of a text, each with its address, up to the first that is refused.
pub(super) struct Rows<'t> {
    text: &'t str,
    split: Split,
    damaged: bool,
    limits: SheetLimits,
    reader: csv::Reader<&'t [u8]>,
    record: StringRecord,
    lines: Lines<'t>,
    /// Line breaks inside cells so far: as many lines as rows have fallen behind.
    folded: u32,
    /// Rows so far.
    taken: u32,
    /// Cells so far that are not empty.
    filled: u32,
    /// Stray quotes told so far.
    strays: usize,
}

/// Stray quotes told of one file; more are mended the same way.
const STRAYS_TOLD: usize = 500;

impl<'t> Rows<'t> {
    /// `damaged`: U+FFFD in the text stands for bytes that could not be read.
    pub(super) fn of(text: &'t str, split: Split, damaged: bool, limits: SheetLimits) -> Self {
        Self {
            text,
            split,
            damaged,
            limits,
            reader: reader(text.get(split.start..).unwrap_or_default(), split.delimiter),
            record: StringRecord::new(),
            lines: Lines { text: text.as_bytes(), at: 0, line: 1 },
            folded: 0,
            taken: 0,
            filled: 0,
            strays: 0,
        }
    }

    /// Rows so far, and cells so far that are not empty.
    pub(super) fn counts(&self) -> (u32, u32) {
        (self.taken, self.filled)
    }

    /// The next row, and the columns in which it holds a stray quote.
    fn row(&mut self) -> Result<(Row, Vec<u16>), Refused> {
        let (begin, end) = self.span();
        let line = self.lines.advance(begin);
        let at = Spot { row: line - self.folded, line, column: None };
        let raw = self.text.as_bytes().get(begin..end).unwrap_or_default();
        if self.record.len() > usize::from(self.limits.columns) {
            return Err(Refused { why: Why::TooManyColumns, at });
        }
        // Most rows hold no line break: none of their cells need be looked at for one.
        let folds = [b'\n', b'\r'].iter().any(|end| self.record.as_slice().as_bytes().contains(end));
        self.check_quotes(raw, folds || end == self.text.len(), at)?;
        self.check_cells(folds, at)?;
        self.count(at)?;
        if folds {
            self.folded += self.record.iter().map(breaks).sum::<u32>();
        }
        let cells = cells(&self.record);
        let mut row = Row { number: at.row, line, cells, numbers: Vec::new() };
        let strays =
            if raw.contains(&b'"') { mend_strays(&mut row, raw, self.split.delimiter) } else { Vec::new() };
        let told = strays.len().min(STRAYS_TOLD.saturating_sub(self.strays));
        self.strays += told;
        Ok((row, strays.into_iter().take(told).collect()))
    }

    /// The record's bytes in the text. csv counts the blank lines before a record, and the LF of the CR LF
    /// that ended the one before, as part of it.
    fn span(&self) -> (usize, usize) {
        let offset = |position: &csv::Position| self.split.start + position.byte() as usize;
        let start = self.record.position().map_or(self.split.start, offset);
        let end = offset(self.reader.position());
        let blank = self.text.as_bytes().get(start..end).unwrap_or_default();
        (start + blank.iter().take_while(|byte| matches!(byte, b'\r' | b'\n')).count(), end)
    }

    /// `doubtful`: a cell folds over a line, or the text ends here.
    fn check_quotes(&self, raw: &[u8], doubtful: bool, at: Spot) -> Result<(), Refused> {
        if !doubtful {
            return Ok(());
        }
        match quote_fault(raw, self.split.delimiter) {
            None => Ok(()),
            Some((why, column)) => Err(Refused { why, at: self.cell_spot(at, column) }),
        }
    }

    fn check_cells(&self, folds: bool, at: Spot) -> Result<(), Refused> {
        let text = self.record.as_slice();
        let within = text.len() <= self.limits.cell_bytes as usize;
        if within && !folds && !self.damaged && !text.as_bytes().contains(&0) {
            return Ok(());
        }
        for (column, cell) in self.record.iter().enumerate() {
            let why = if cell.contains('\0') {
                Why::Nul
            } else if self.damaged && cell.contains('\u{FFFD}') {
                Why::Damaged
            } else if breaks(cell) > self.limits.cell_breaks {
                Why::TooManyBreaks
            } else if cell.len() > self.limits.cell_bytes as usize {
                Why::LongCell
            } else {
                continue;
            };
            return Err(Refused { why, at: self.cell_spot(at, column) });
        }
        Ok(())
    }

    fn count(&mut self, at: Spot) -> Result<(), Refused> {
        self.taken += 1;
        self.filled += self.record.iter().filter(|cell| !cell.is_empty()).count() as u32;
        if self.taken > self.limits.rows {
            return Err(Refused { why: Why::TooManyRows, at });
        }
        if self.filled > self.limits.cells {
            return Err(Refused { why: Why::TooManyCells, at });
        }
        Ok(())
    }

    /// A cell begins on a later line than its row when a cell before it holds line breaks.
    fn cell_spot(&self, at: Spot, column: usize) -> Spot {
        let above = self.record.iter().take(column).map(breaks).sum::<u32>();
        Spot { line: at.line + above, column: Some(column as u16), ..at }
    }
}

impl Iterator for Rows<'_> {
    type Item = Result<(Row, Vec<u16>), Refused>;

    fn next(&mut self) -> Option<Self::Item> {
        // An error cannot come up: the bytes are text already and rows may differ in length.
        match self.reader.read_record(&mut self.record) {
            Ok(true) => Some(self.row()),
            Ok(false) | Err(_) => None,
        }
    }
}

/// The first rows of a text, to try delimiters on.
pub(super) struct Sample<'t> {
    text: &'t str,
    /// The last record may have lost its end.
    cut: bool,
}

impl<'t> Sample<'t> {
    const BYTES: usize = 64 << 10;
    const ROWS: usize = 100;

    pub(super) fn of(text: &'t str) -> Self {
        let end = text.floor_char_boundary(Self::BYTES);
        Self { text: &text[..end], cut: end < text.len() }
    }

    /// How many columns each of the first rows would have.
    pub(super) fn widths(&self, delimiter: u8) -> Vec<u16> {
        let mut widths: Vec<u16> = reader(self.text, delimiter)
            .into_records()
            .take(Self::ROWS)
            .flatten()
            .map(|record| u16::try_from(record.len()).unwrap_or(u16::MAX))
            .collect();
        if self.cut && widths.len() > 1 && widths.len() < Self::ROWS {
            widths.pop();
        }
        widths
    }
}

fn reader(text: &str, delimiter: u8) -> csv::Reader<&[u8]> {
    ReaderBuilder::new().has_headers(false).flexible(true).delimiter(delimiter).from_reader(text.as_bytes())
}

/// Counts physical lines; CR LF, LF and a lone CR each end one.
struct Lines<'t> {
    text: &'t [u8],
    at: usize,
    line: u32,
}

impl Lines<'_> {
    /// The line that holds byte `to`; only ever asked forwards.
    fn advance(&mut self, to: usize) -> u32 {
        let before = self.at.checked_sub(1).and_then(|at| self.text.get(at)).copied();
        let passed = self.text.get(self.at..to).unwrap_or_default();
        self.line += count_breaks(before, passed);
        self.at = to.max(self.at);
        self.line
    }
}

fn breaks(cell: &str) -> u32 {
    count_breaks(None, cell.as_bytes())
}

/// Line ends in `bytes`, given the byte before them: the LF of a CR LF is not a second one.
fn count_breaks(before: Option<u8>, bytes: &[u8]) -> u32 {
    let returns: u32 = bytes.iter().map(|byte| u32::from(*byte == b'\r')).sum();
    let feeds = bytes.windows(2).filter(|two| two[1] == b'\n' && two[0] != b'\r').count();
    let first = bytes.first() == Some(&b'\n') && before != Some(b'\r');
    returns + feeds as u32 + u32::from(first)
}

fn cells(record: &StringRecord) -> Cells {
    let ends = (0..record.len()).filter_map(|at| record.range(at)).map(|range| range.end as u32).collect();
    // The ranges of a record are in order and of its text.
    Cells::of(record.as_slice(), ends).unwrap_or_default()
}

/// Cells with a quotation mark inside quotes that is not doubled: csv drops one of the marks, and what was meant is all
/// that stands between the outer two. The columns of such cells.
fn mend_strays(row: &mut Row, raw: &[u8], delimiter: u8) -> Vec<u16> {
    let mut columns = Vec::new();
    for (column, cell) in stray_cells(raw, delimiter) {
        let meant = std::str::from_utf8(cell).ok().map(|text| text.trim_end_matches(['\r', '\n']));
        let meant = meant.and_then(|text| text.strip_prefix('"')?.strip_suffix('"'));
        if let Some(meant) = meant.filter(|_| column < row.cells.len()) {
            let meant = meant.replace("\"\"", "\"");
            let own = |(at, cell)| if at == column { meant.as_str() } else { cell };
            row.cells = row.cells.iter().enumerate().map(own).collect();
            columns.extend(u16::try_from(column));
        }
    }
    columns
}

/// The raw cells of a record, by column, that go on behind a closing quote within their line.
fn stray_cells(raw: &[u8], delimiter: u8) -> Vec<(usize, &[u8])> {
    let (mut state, mut column, mut begin, mut stray, mut cells) = (Quote::Before, 0, 0, false, Vec::new());
    for (at, &byte) in raw.iter().enumerate() {
        state = match (state, byte) {
            (Quote::Open, b'"') => Quote::Closed,
            (Quote::Before | Quote::Closed, b'"') | (Quote::Open, _) => Quote::Open,
            (_, byte) if byte == delimiter => {
                if stray {
                    cells.push((column, &raw[begin..at]));
                }
                (column, begin, stray) = (column + 1, at + 1, false);
                Quote::Before
            }
            (Quote::Closed, b'\r' | b'\n') => Quote::Closed,
            (Quote::Closed, _) => {
                stray = true;
                Quote::Plain
            }
            _ => Quote::Plain,
        };
    }
    if stray {
        cells.push((column, &raw[begin..]));
    }
    cells
}

/// What is wrong with the quotes of one record, and in which column.
///
/// A quote still open at the end of the text; or a cell that folds over a line and goes on after its closing
/// quote: there a quote was forgotten, and the "closing" one was meant to open another cell.
fn quote_fault(raw: &[u8], delimiter: u8) -> Option<(Why, usize)> {
    let (mut state, mut column, mut folded) = (Quote::Before, 0, false);
    for &byte in raw {
        state = match (state, byte) {
            (Quote::Open, b'"') => Quote::Closed,
            (Quote::Before | Quote::Closed, b'"') => Quote::Open,
            (Quote::Open, _) => {
                folded |= matches!(byte, b'\r' | b'\n');
                Quote::Open
            }
            (_, byte) if byte == delimiter => {
                (column, folded) = (column + 1, false);
                Quote::Before
            }
            (Quote::Closed, b'\r' | b'\n') => Quote::Closed,
            (Quote::Closed, _) if folded => return Some((Why::TextAfterQuote, column)),
            _ => Quote::Plain,
        };
    }
    (state == Quote::Open).then_some((Why::OpenQuote, column))
}

#[derive(Clone, Copy, PartialEq, Eq)]
enum Quote {
    /// At the start of a cell, the only place where a quote opens.
    Before,
    /// Inside quotes.
    Open,
    /// After a quote that closed, unless another one follows.
    Closed,
    /// In a cell that is not quoted; a quote here is a character.
    Plain,
}

#[cfg(test)]
mod tests {
    use super::super::DelimiterSeen;
    use super::super::dialect::split_of;
    use super::*;

    fn read_within(text: &str, limits: SheetLimits) -> Result<Vec<Row>, Refused> {
        Rows::of(text, split_of(text, false), false, limits).map(|row| row.map(|(row, _)| row)).collect()
    }

    fn read(text: &str) -> Result<Vec<Row>, Refused> {
        read_within(text, SheetLimits::standard())
    }

    fn cells(text: &str) -> Vec<Vec<String>> {
        let rows = read(text).unwrap();
        rows.into_iter().map(|row| row.cells.iter().map(ToString::to_string).collect()).collect()
    }

    fn addresses(text: &str) -> Vec<(u32, u32)> {
        read(text).unwrap().iter().map(|row| (row.number, row.line)).collect()
    }

    fn refused(text: &str, limits: SheetLimits) -> (Why, u32, u32, Option<u16>) {
        let refused = read_within(text, limits).unwrap_err();
        (refused.why, refused.at.row, refused.at.line, refused.at.column)
    }

    // npm csv-spectrum 2.0.0 (BSD-2-Clause): bytes of csvs/, expected parse of json/. One change: the telephone
    // number of location_coordinates.csv is the invented one of its own json/ file, of the same length.
    #[test]
    fn a_stray_quote_in_a_quoted_cell_is_kept_and_told() {
        let text = "a;b\r\n\"Loop 2\" long at the heel\";x\r\n\"say \"\"aa\"\"\";\"5\" thick\"\r\n";
        let rows: Vec<_> = Rows::of(text, split_of(text, false), false, SheetLimits::standard())
            .map(Result::unwrap)
            .collect();
        let told = |at: usize| (rows[at].0.cell(0), rows[at].0.cell(1), rows[at].1.as_slice());
        assert_eq!(told(1), ("Loop 2\" long at the heel", "x", &[0][..]));
        assert_eq!(told(2), ("say \"aa\"", "5\" thick", &[1][..]));
    }

    #[test]
    fn the_csv_spectrum_is_read_as_its_authors_expect() {
        let json = "1,\"{\"\"type\"\": \"\"Point\"\", \"\"coordinates\"\": [102.0, 0.5]}\"\n";
        let json = format!("key,val\n{json}");
        let place = "37\u{FFFD}36'37.8\"N 121\u{FFFD}2'17.9\"W";
        let location = format!(
            "Contact Phone Number,Location Coordinates,Cities,Counties\n1234567890,{place},Modesto,Stanislaus"
        );
        let cases: [(&str, usize, &str, Vec<Vec<&str>>); 12] = [
            (
                "comma_in_quotes",
                68,
                "first,last,address,city,zip\nJohn,Doe,120 any st.,\"Anytown, WW\",08123",
                vec![
                    vec!["first", "last", "address", "city", "zip"],
                    vec!["John", "Doe", "120 any st.", "Anytown, WW", "08123"],
                ],
            ),
            (
                "empty",
                19,
                "a,b,c\n1,\"\",\"\"\n2,3,4",
                vec![vec!["a", "b", "c"], vec!["1", "", ""], vec!["2", "3", "4"]],
            ),
            (
                "empty_crlf",
                21,
                "a,b,c\r\n1,\"\",\"\"\r\n2,3,4",
                vec![vec!["a", "b", "c"], vec!["1", "", ""], vec!["2", "3", "4"]],
            ),
            (
                "escaped_quotes",
                25,
                "a,b\n1,\"ha \"\"ha\"\" ha\"\n3,4\n",
                vec![vec!["a", "b"], vec!["1", "ha \"ha\" ha"], vec!["3", "4"]],
            ),
            (
                "json",
                65,
                &json,
                vec![vec!["key", "val"], vec!["1", "{\"type\": \"Point\", \"coordinates\": [102.0, 0.5]}"]],
            ),
            (
                "location_coordinates",
                117,
                &location,
                vec![
                    vec!["Contact Phone Number", "Location Coordinates", "Cities", "Counties"],
                    vec!["1234567890", place, "Modesto", "Stanislaus"],
                ],
            ),
            (
                "newlines",
                42,
                "a,b,c\n1,2,3\n\"Once upon \na time\",5,6\n7,8,9\n",
                vec![
                    vec!["a", "b", "c"],
                    vec!["1", "2", "3"],
                    vec!["Once upon \na time", "5", "6"],
                    vec!["7", "8", "9"],
                ],
            ),
            (
                "newlines_crlf",
                47,
                "a,b,c\r\n1,2,3\r\n\"Once upon \r\na time\",5,6\r\n7,8,9\r\n",
                vec![
                    vec!["a", "b", "c"],
                    vec!["1", "2", "3"],
                    vec!["Once upon \r\na time", "5", "6"],
                    vec!["7", "8", "9"],
                ],
            ),
            (
                "quotes_and_newlines",
                27,
                "a,b\n1,\"ha \n\"\"ha\"\" \nha\"\n3,4\n",
                vec![vec!["a", "b"], vec!["1", "ha \n\"ha\" \nha"], vec!["3", "4"]],
            ),
            ("simple", 12, "a,b,c\n1,2,3\n", vec![vec!["a", "b", "c"], vec!["1", "2", "3"]]),
            ("simple_crlf", 14, "a,b,c\r\n1,2,3\r\n", vec![vec!["a", "b", "c"], vec!["1", "2", "3"]]),
            (
                "utf8",
                18,
                "a,b,c\n1,2,3\n4,5,ʤ",
                vec![vec!["a", "b", "c"], vec!["1", "2", "3"], vec!["4", "5", "ʤ"]],
            ),
        ];
        for (name, bytes, text, expected) in cases {
            assert_eq!(text.len(), bytes, "{name}");
            assert_eq!(cells(text), expected, "{name}");
        }
    }

    // RFC 4180 section 2, rules 1, 2, 5, 6 and 7, with their own examples.
    #[test]
    fn the_examples_of_rfc_4180_are_read() {
        let plain = [["aaa", "bbb", "ccc"], ["zzz", "yyy", "xxx"]];
        assert_eq!(cells("aaa,bbb,ccc\r\nzzz,yyy,xxx\r\n"), plain);
        assert_eq!(cells("aaa,bbb,ccc\r\nzzz,yyy,xxx"), plain);
        assert_eq!(cells("\"aaa\",\"bbb\",\"ccc\"\r\nzzz,yyy,xxx"), plain);
        let folded = cells("\"aaa\",\"b\r\nbb\",\"ccc\"\r\nzzz,yyy,xxx");
        assert_eq!(folded, [["aaa", "b\r\nbb", "ccc"], ["zzz", "yyy", "xxx"]]);
        assert_eq!(cells("\"aaa\",\"b\"\"bb\",\"ccc\""), [["aaa", "b\"bb", "ccc"]]);
    }

    #[test]
    fn blank_lines_are_counted_and_not_kept() {
        assert_eq!(addresses("a,b\n\n\n1,2\n\n"), [(1, 1), (4, 4)]);
        assert_eq!(addresses("\r\n\r\na,b\r\n\r\n1,2\r\n"), [(3, 3), (5, 5)]);
    }

    #[test]
    fn a_lone_cr_ends_a_line_and_line_ends_may_be_mixed() {
        assert_eq!(addresses("a,b\r1,2\r\r3,4"), [(1, 1), (2, 2), (4, 4)]);
        assert_eq!(addresses("a,b\r\n1,2\n3,4\r5,6\n\r7,8"), [(1, 1), (2, 2), (3, 3), (4, 4), (6, 6)]);
    }

    #[test]
    fn the_line_runs_ahead_of_the_row_after_a_cell_that_folds() {
        assert_eq!(addresses("a,b\n\"x\r\ny\nz\",1\np,q\n\nr,s\n"), [(1, 1), (2, 2), (3, 5), (5, 7)]);
    }

    #[test]
    fn a_sep_line_is_counted_as_a_row_and_not_kept() {
        let rows = read("sep=;\r\na;b,c\r\n1;2\r\n").unwrap();
        assert_eq!((rows[0].number, rows[0].cell(1)), (2, "b,c"));
        assert_eq!(rows[1].number, 3);
    }

    #[test]
    fn ragged_rows_are_kept_as_they_are() {
        assert_eq!(
            cells("a,b,c\n1\n1,2,3,4\n,,\n"),
            [vec!["a", "b", "c"], vec!["1"], vec!["1", "2", "3", "4"], vec![""; 3]]
        );
    }

    #[test]
    fn a_quote_inside_a_cell_is_a_character() {
        assert_eq!(cells("a,b\n5\"x,c\n\"q\" r,s"), [["a", "b"], ["5\"x", "c"], ["q r", "s"]]);
    }

    #[test]
    fn a_quote_never_closed_is_refused_where_it_opened() {
        let small = SheetLimits::small();
        assert_eq!(refused("a,b\n1,\"abc\n2,3\n", small), (Why::OpenQuote, 2, 2, Some(1)));
        assert_eq!(refused("a,b\n\"x\ny\",\"abc", small), (Why::OpenQuote, 2, 3, Some(1)));
        let long = format!("a,b\n1,2\n\"abc{}", "\n1,2".repeat(5_000));
        assert_eq!(refused(&long, small), (Why::OpenQuote, 3, 3, Some(0)));
    }

    #[test]
    fn a_quote_closed_by_the_next_cells_quote_is_refused_where_it_opened() {
        let text = "a,b\n1,\"abc\n2,\"def\"\n3,4\n";
        assert_eq!(refused(text, SheetLimits::standard()), (Why::TextAfterQuote, 2, 2, Some(1)));
    }

    #[test]
    fn a_storm_of_quotes_ends() {
        assert!(read(&"\"".repeat(40_000)).is_err());
        assert_eq!(read(&"\"".repeat(40_001)).unwrap_err().why, Why::OpenQuote);
    }

    #[test]
    fn cells_within_their_limits_pass_and_one_more_does_not() {
        let small = SheetLimits::small();
        let sheet = |cell: &str| format!("a,b\n1,\"{cell}\"\nc,d\n");
        assert!(read_within(&sheet(&"x".repeat(40)), small).is_ok());
        assert_eq!(refused(&sheet(&"x".repeat(41)), small), (Why::LongCell, 2, 2, Some(1)));
        assert!(read_within(&sheet("x\ny\r\nz"), small).is_ok());
        assert_eq!(refused(&sheet("x\ny\r\nz\rw"), small), (Why::TooManyBreaks, 2, 2, Some(1)));
    }

    #[test]
    fn rows_columns_and_cells_within_their_limits_pass_and_one_more_does_not() {
        let small = SheetLimits::small();
        assert!(read_within("1,2,3,4,5\n", small).is_ok());
        assert_eq!(refused("a,b\n1,2,3,4,5,6\n", small), (Why::TooManyColumns, 2, 2, None));
        assert!(read_within(&"1\n".repeat(10), small).is_ok());
        assert_eq!(refused(&"1\n".repeat(11), small), (Why::TooManyRows, 11, 11, None));
        assert!(read_within(&"1,2,3,4,\n".repeat(5), small).is_ok());
        assert_eq!(refused(&"1,2,3,4,5\n".repeat(5), small), (Why::TooManyCells, 5, 5, None));
    }

    #[test]
    fn a_nul_is_refused_with_its_place() {
        assert_eq!(refused("a,b\n1,x\0y\n", SheetLimits::standard()), (Why::Nul, 2, 2, Some(1)));
    }

    #[test]
    fn the_replacement_character_is_damage_only_when_bytes_were_lost() {
        let text = "a,b\n1,\u{FFFD}\n";
        assert!(read(text).is_ok());
        let damaged = Rows::of(text, split_of(text, false), true, SheetLimits::standard());
        let refused = damaged.collect::<Result<Vec<_>, _>>().unwrap_err();
        assert_eq!((refused.why, refused.at.row, refused.at.column), (Why::Damaged, 2, Some(1)));
    }

    #[test]
    fn every_short_text_is_refused_or_read_with_its_rows_in_order() {
        let alphabet = ['a', ',', '"', '\r', '\n'];
        let split = Split { delimiter: b',', seen: DelimiterSeen::OneColumn, start: 0 };
        for number in 0..5_usize.pow(6) {
            let text: String = (0..6).map(|place| alphabet[number / 5_usize.pow(place) % 5]).collect();
            let rows = Rows::of(&text, split, false, SheetLimits::standard());
            let rows = rows.map(|row| row.map(|(row, _)| row)).collect::<Result<Vec<_>, _>>();
            let Ok(rows) = rows else { continue };
            assert!(rows.iter().all(|row| 1 <= row.number && row.number <= row.line), "{text:?}");
            assert!(rows.is_sorted_by(|a, b| a.number < b.number && a.line < b.line), "{text:?}");
            let folded: u32 = rows.iter().flat_map(|row| row.cells.iter()).map(breaks).sum();
            let lines = 1 + count_breaks(None, text.trim_end_matches(['\r', '\n']).as_bytes());
            assert!(rows.last().is_none_or(|last| last.number + folded == lines), "{text:?} {rows:?}");
        }
    }
}
