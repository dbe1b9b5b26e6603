//! The child's answer as the parent reads it: as from a stranger. Its form stands in `frames`.

use std::io::Read;
use std::sync::Arc;

use encoding_rs::Encoding;

use crate::characters::may_be_shown;

use super::frames::{ENCODINGS_SEEN, FrameFault, NO_COLUMN, REMARK_KINDS};
use super::pieces::{Body, Frames};
use super::refused::{Refused, Spot, Why};
use super::request::Kind;
use super::{
    Cells, DelimiterSeen, Dialect, How, Merged, Place, Remark, RemarkKind, Row, Sheet, SheetLimits, Tab,
    Watch,
};

/// What the child found, or refused and in which tab.
pub(super) type Answer = Result<Sheet, (Refused, Arc<str>)>;

/// On what terms the child was asked.
pub(super) struct Terms<'t> {
    /// The file's name without its folders.
    pub(super) name: Arc<str>,
    pub(super) kind: Kind,
    pub(super) limits: &'t SheetLimits,
    pub(super) watch: &'t Watch,
}

/// Remarks of one file: at most a hundred runs of hidden rows a tab, and a few more.
const REMARKS: usize = 20_000;
/// The size common to spreadsheets: ECMA-376 part 1.
const SPREADSHEET: (u32, u16) = (1_048_576, 16_384);

/// Reads an answer to its end, believing nothing: lengths, counts, text, order and limits are all checked.
pub(super) fn read_answer(input: impl Read, terms: &Terms<'_>) -> Result<Answer, FrameFault> {
    let mut frames = Frames::of(input, terms.limits.answer_bytes)?;
    let how = match (terms.kind, frames.next()?) {
        (Kind::Text, (b'D', body, _)) => How::Text(dialect(body)?),
        (Kind::Xlsx, (b'W', body, _)) => workbook(body, Kind::Xlsx, How::Xlsx)?,
        (Kind::Ods, (b'W', body, _)) => workbook(body, Kind::Ods, How::Ods)?,
        (_, (other, ..)) => return Err(FrameFault::Frame(other)),
    };
    let mut heard = Heard::of(terms, how);
    let answer = loop {
        match frames.next()? {
            (b'R', body, _) => heard.row(body)?,
            (b'T', body, _) if heard.is_book() => heard.tab(body)?,
            (b'M', body, _) if heard.is_book() => heard.merged(body)?,
            (b'N', body, _) => heard.remark(body)?,
            (b'E', body, sum) => {
                end(body, &heard, sum)?;
                break Ok(heard.in_order());
            }
            (b'U', body, _) => break Err(refused(body, terms)?),
            (other, ..) => return Err(FrameFault::Frame(other)),
        }
    };
    frames.finished().map(|()| answer)
}

/// What has come so far.
struct Heard<'t> {
    terms: &'t Terms<'t>,
    sheet: Sheet,
    rows: u32,
    cells: u32,
    merged: u32,
}

impl<'t> Heard<'t> {
    fn of(terms: &'t Terms<'t>, how: How) -> Self {
        let name = Arc::clone(&terms.name);
        // A table of text is one tab, which need not be announced.
        let tabs = match how {
            How::Text(_) => {
                vec![Tab { label: Arc::clone(&name), title: None, rows: Vec::new(), merged: Vec::new() }]
            }
            How::Xlsx | How::Ods => Vec::new(),
        };
        let sheet = Sheet { name, how, tabs, remarks: Vec::new() };
        Self { terms, sheet, rows: 0, cells: 0, merged: 0 }
    }

    fn is_book(&self) -> bool {
        self.terms.kind != Kind::Text
    }

    fn tab(&mut self, mut body: Body<'_>) -> Result<(), FrameFault> {
        let (title, label) = titled(body.fault(), body.rest(), self.terms)?;
        let unfinished = self.sheet.tabs.last().is_some_and(|above| above.rows.is_empty());
        if unfinished {
            return Err(body.fault());
        }
        if self.sheet.tabs.len() >= usize::from(self.terms.limits.tabs) {
            return Err(FrameFault::Limits);
        }
        self.sheet.tabs.push(Tab { label, title: Some(title), rows: Vec::new(), merged: Vec::new() });
        Ok(())
    }

    fn row(&mut self, body: Body<'_>) -> Result<(), FrameFault> {
        let limits = self.terms.limits;
        let is_book = self.is_book();
        let tab =
            self.sheet.tabs.last_mut().filter(|tab| tab.merged.is_empty()).ok_or(FrameFault::Frame(b'R'))?;
        let row = row(body, tab.rows.last(), is_book, &mut self.cells, limits)?;
        tab.rows.push(row);
        self.rows += 1;
        self.terms.watch.count();
        let over = self.rows > limits.rows || self.cells > limits.cells;
        if over { Err(FrameFault::Limits) } else { Ok(()) }
    }

    fn merged(&mut self, mut body: Body<'_>) -> Result<(), FrameFault> {
        let fault = body.fault();
        let (rows, columns) = ((body.u32()?, body.u32()?), (body.u16()?, body.u16()?));
        body.finished()?;
        let forwards = 0 < rows.0 && rows.0 <= rows.1 && columns.0 <= columns.1;
        if !forwards || rows.1 > SPREADSHEET.0 || columns.1 >= SPREADSHEET.1 {
            return Err(fault);
        }
        self.merged += 1;
        if self.merged > self.terms.limits.merged {
            return Err(FrameFault::Limits);
        }
        let tab = self.sheet.tabs.last_mut().filter(|tab| !tab.rows.is_empty()).ok_or(fault)?;
        tab.merged.push(Merged { rows, columns });
        Ok(())
    }

    fn remark(&mut self, mut body: Body<'_>) -> Result<(), FrameFault> {
        let fault = body.fault();
        let kind = *REMARK_KINDS.get(usize::from(body.u8()?)).ok_or(fault)?;
        let (row, column, count) = (body.u32()?, body.u16()?, body.u32()?);
        let column = (column != NO_COLUMN).then_some(column);
        if row > SPREADSHEET.0 || column.is_some_and(|column| column >= SPREADSHEET.1) || count == 0 {
            return Err(fault);
        }
        if (kind == RemarkKind::StrayQuote) == self.is_book() {
            return Err(fault);
        }
        let (line, label) = if self.is_book() {
            (row, titled(fault, body.rest(), self.terms)?.1)
        } else {
            let last =
                self.sheet.tabs.last().and_then(|tab| tab.rows.last()).filter(|last| last.number == row);
            (last.ok_or(fault)?.line, Arc::clone(&self.terms.name))
        };
        if self.sheet.remarks.len() >= REMARKS {
            return Err(FrameFault::Limits);
        }
        let place = Place { sheet: label, row, line, column };
        self.sheet.remarks.push(Remark { kind, place, count });
        Ok(())
    }
}

impl Heard<'_> {
    /// The sheet, its merged blocks from top to bottom: some writers keep them in no order.
    fn in_order(mut self) -> Sheet {
        for tab in &mut self.sheet.tabs {
            tab.merged.sort_unstable_by_key(|merged| (merged.rows, merged.columns));
        }
        self.sheet
    }
}

fn workbook(mut body: Body<'_>, asked: Kind, how: How) -> Result<How, FrameFault> {
    let fault = body.fault();
    let kind = body.u8()?;
    body.finished()?;
    if kind == asked as u8 { Ok(how) } else { Err(fault) }
}

/// A tab's title as it may be shown, and its label.
fn titled(fault: FrameFault, title: &[u8], terms: &Terms<'_>) -> Result<(Arc<str>, Arc<str>), FrameFault> {
    let title = std::str::from_utf8(title).map_err(|_| fault)?;
    if title.chars().count() > terms.limits.name_chars {
        return Err(FrameFault::Limits);
    }
    if !title.chars().all(may_be_shown) {
        return Err(fault);
    }
    Ok((title.into(), format!("{}, tab {title}", terms.name).into()))
}

fn dialect(mut body: Body<'_>) -> Result<Dialect, FrameFault> {
    let fault = body.fault();
    let encoding_seen = *ENCODINGS_SEEN.get(usize::from(body.u8()?)).ok_or(fault)?;
    let delimiter = body.u8()?;
    let tag = body.u8()?;
    let (agreeing, of, columns) = (body.u16()?, body.u16()?, body.u16()?);
    let delimiter_seen = match tag {
        0 => DelimiterSeen::SepLine,
        1 => DelimiterSeen::Rows { agreeing, of, columns },
        2 => DelimiterSeen::OneColumn,
        3 => DelimiterSeen::Said,
        _ => return Err(fault),
    };
    // A name we know, spelt by us: no text of the child's is shown to anyone but the cells.
    let encoding = Encoding::for_label(body.rest()).ok_or(fault)?.name();
    let splits = delimiter == b'\t' || delimiter.is_ascii_punctuation();
    let dialect = Dialect { encoding, encoding_seen, delimiter: char::from(delimiter), delimiter_seen };
    if splits { Ok(dialect) } else { Err(fault) }
}

fn row(
    mut body: Body<'_>,
    above: Option<&Row>,
    is_book: bool,
    cells: &mut u32,
    limits: &SheetLimits,
) -> Result<Row, FrameFault> {
    let fault = body.fault();
    let (number, line, columns) = (body.u32()?, body.u32()?, body.u16()?);
    let below = above.is_none_or(|above| number > above.number && line > above.line);
    let off_the_sheet = is_book && (number > SPREADSHEET.0 || line != number);
    if number == 0 || line < number || !below || off_the_sheet {
        return Err(fault);
    }
    if columns > limits.columns {
        return Err(FrameFault::Limits);
    }
    let (own, filled) = row_cells(&mut body, columns, limits)?;
    *cells += filled;
    let mut row = Row { number, line, cells: own, numbers: Vec::new() };
    numbers(body, is_book, &mut row)?;
    Ok(row)
}

/// The cells of a row, and how many of them are not empty.
fn row_cells(body: &mut Body<'_>, columns: u16, limits: &SheetLimits) -> Result<(Cells, u32), FrameFault> {
    let fault = body.fault();
    let lengths = body.bytes(usize::from(columns) * size_of::<u32>())?;
    let (mut ends, mut end, mut filled) = (Vec::with_capacity(usize::from(columns)), 0_u32, 0);
    for length in lengths.as_chunks().0 {
        let length = u32::from_le_bytes(*length);
        if length > limits.cell_bytes {
            return Err(FrameFault::Limits);
        }
        end = end.checked_add(length).ok_or(fault)?;
        filled += u32::from(length > 0);
        ends.push(end);
    }
    let text = std::str::from_utf8(body.bytes(end as usize)?).map_err(|_| fault)?;
    if text.as_bytes().contains(&0) {
        return Err(fault);
    }
    Ok((Cells::of(text, ends.into()).ok_or(fault)?, filled))
}

/// The columns that a workbook keeps as numbers: in order, of this row, and with a digit in their text.
fn numbers(mut body: Body<'_>, is_book: bool, row: &mut Row) -> Result<(), FrameFault> {
    let fault = body.fault();
    while body.goes_on() {
        let column = body.u16()?;
        let rising = row.numbers.last().is_none_or(|above| column > *above);
        let is_number = row.cell(column).bytes().any(|byte| byte.is_ascii_digit());
        if !is_book || !rising || !is_number {
            return Err(fault);
        }
        row.numbers.push(column);
    }
    Ok(())
}

fn end(mut body: Body<'_>, heard: &Heard<'_>, sum: u32) -> Result<(), FrameFault> {
    let told = (body.u32()?, body.u32()?, body.u32()?);
    body.finished()?;
    let announced_in_vain = heard.is_book() && heard.sheet.tabs.iter().any(|tab| tab.rows.is_empty());
    if told == (heard.rows, heard.cells, sum) && !announced_in_vain { Ok(()) } else { Err(FrameFault::Sum) }
}

/// A refusal, and the sheet it speaks of: the file, or one tab of it.
fn refused(mut body: Body<'_>, terms: &Terms<'_>) -> Result<(Refused, Arc<str>), FrameFault> {
    let fault = body.fault();
    let why = Why::all().nth(usize::from(body.u8()?)).ok_or(fault)?;
    let (row, line, column) = (body.u32()?, body.u32()?, body.u16()?);
    let title = body.rest();
    if terms.kind == Kind::Text && !title.is_empty() {
        return Err(fault);
    }
    let sheet = if title.is_empty() { Arc::clone(&terms.name) } else { titled(fault, title, terms)?.1 };
    let column = (column != NO_COLUMN).then_some(column);
    Ok((Refused { why, at: Spot { row, line, column } }, sheet))
}

#[cfg(test)]
mod tests {
    use super::super::frames::{AnswerWriter, Noted};
    use super::super::{EncodingSeen, RemarkKind};
    use super::*;

    const DIALECT: Dialect = Dialect {
        encoding: "windows-1252",
        encoding_seen: EncodingSeen::Guessed,
        delimiter: ';',
        delimiter_seen: DelimiterSeen::Rows { agreeing: 2, of: 3, columns: 2 },
    };

    fn row(number: u32, line: u32, cells: &[&str]) -> Row {
        Row { number, line, cells: cells.iter().collect(), numbers: Vec::new() }
    }

    fn begun(out: &mut Vec<u8>) -> AnswerWriter<&mut Vec<u8>> {
        let mut writer = AnswerWriter::begin(out).unwrap();
        writer.dialect(&DIALECT).unwrap();
        writer
    }

    fn answer(rows: &[Row]) -> Vec<u8> {
        let mut out = Vec::new();
        let mut writer = begun(&mut out);
        for row in rows {
            writer.row(row).unwrap();
        }
        let cells = rows.iter().flat_map(|row| row.cells.iter()).filter(|cell| !cell.is_empty()).count();
        writer.end(rows.len() as u32, cells as u32).unwrap();
        out
    }

    fn good() -> Vec<u8> {
        answer(&[row(1, 1, &["style", "é"]), row(2, 2, &["A", ""]), row(4, 5, &[])])
    }

    /// Dialect and rows of a table of text, as the parent hears them.
    type Text = Result<(Dialect, Vec<Row>), Refused>;

    fn heard(bytes: &[u8], kind: Kind, limits: &SheetLimits) -> Result<Answer, FrameFault> {
        let watch = Watch::default();
        read_answer(bytes, &Terms { name: "a".into(), kind, limits, watch: &watch })
    }

    fn within(bytes: &[u8], limits: &SheetLimits) -> Result<Text, FrameFault> {
        let answer = heard(bytes, Kind::Text, limits)?;
        Ok(answer.map_err(|(refused, _)| refused).map(|mut sheet| {
            let dialect = *sheet.dialect().unwrap();
            (dialect, sheet.tabs.pop().unwrap().rows)
        }))
    }

    fn small(bytes: &[u8]) -> Result<Text, FrameFault> {
        within(bytes, &SheetLimits::small())
    }

    fn book(bytes: &[u8]) -> Result<Answer, FrameFault> {
        heard(bytes, Kind::Xlsx, &SheetLimits::small())
    }

    /// A workbook's answer as `tell` tells it, and what the parent makes of it.
    fn told(tell: impl FnOnce(&mut AnswerWriter<&mut Vec<u8>>), rows: u32) -> Result<Answer, FrameFault> {
        let mut out = Vec::new();
        let mut writer = AnswerWriter::begin(&mut out).unwrap();
        writer.workbook(Kind::Xlsx).unwrap();
        tell(&mut writer);
        writer.end(rows, rows).unwrap();
        book(&out)
    }

    #[test]
    fn an_answer_arrives_as_it_was_written() {
        let rows = vec![row(1, 1, &["style", "é"]), row(2, 2, &["A", ""]), row(4, 5, &[])];
        assert_eq!(small(&good()), Ok(Ok((DIALECT, rows))));
    }

    #[test]
    fn every_kind_of_dialect_arrives_as_it_was_written() {
        for encoding_seen in ENCODINGS_SEEN {
            let seen = [DelimiterSeen::SepLine, DelimiterSeen::OneColumn, DelimiterSeen::Said];
            for delimiter_seen in seen.into_iter().chain([DIALECT.delimiter_seen]) {
                let dialect = Dialect { encoding_seen, delimiter_seen, ..DIALECT };
                let mut out = Vec::new();
                let mut writer = AnswerWriter::begin(&mut out).unwrap();
                writer.dialect(&dialect).unwrap();
                writer.end(0, 0).unwrap();
                assert_eq!(small(&out), Ok(Ok((dialect, Vec::new()))));
            }
        }
    }

    #[test]
    fn a_refusal_arrives_as_it_was_written_even_after_rows() {
        for (why, column) in Why::all().zip([None, Some(0), Some(7)].into_iter().cycle()) {
            let refused = Refused { why, at: Spot { row: 3, line: 9, column } };
            let mut out = Vec::new();
            let mut writer = begun(&mut out);
            writer.row(&row(1, 1, &["a"])).unwrap();
            writer.refused(refused, "").unwrap();
            assert_eq!(small(&out), Ok(Err(refused)));
        }
    }

    #[test]
    fn an_answer_cut_anywhere_is_noticed() {
        let good = good();
        for end in 0..good.len() {
            assert_eq!(small(&good[..end]), Err(FrameFault::CutShort), "{end}");
        }
    }

    #[test]
    fn a_changed_byte_anywhere_is_noticed() {
        let good = good();
        for at in 0..good.len() {
            let mut changed = good.clone();
            changed[at] ^= 1;
            assert!(small(&changed).is_err(), "{at}");
        }
    }

    #[test]
    fn another_programs_words_are_not_an_answer() {
        assert_eq!(small(b"running 0 tests\n"), Err(FrameFault::Magic));
        assert_eq!(small(b"LBSHEET\x01"), Err(FrameFault::Version(1)));
    }

    #[test]
    fn bytes_after_the_end_are_noticed() {
        assert_eq!(small(&[good(), vec![0]].concat()), Err(FrameFault::Extra));
        assert_eq!(small(&[good(), good()].concat()), Err(FrameFault::Extra));
    }

    #[test]
    fn a_length_that_cannot_be_is_refused_before_anything_is_reserved() {
        let frame = [b"LBSHEET\x03D".as_slice(), &u32::MAX.to_le_bytes()].concat();
        assert_eq!(small(&frame), Err(FrameFault::TooLong));
        let mut out = Vec::new();
        begun(&mut out);
        out.extend([b'R', 14, 0, 0, 0, 1, 0, 0, 0, 1, 0, 0, 0, 1, 0, 255, 255, 255, 255]);
        assert_eq!(small(&out), Err(FrameFault::Limits));
    }

    #[test]
    fn an_answer_longer_than_allowed_is_not_read_on() {
        let limits = SheetLimits { answer_bytes: 60, ..SheetLimits::small() };
        assert_eq!(within(good().as_slice(), &limits), Err(FrameFault::TooLong));
    }

    #[test]
    fn limits_hold_on_this_side_too() {
        assert_eq!(small(&answer(&[row(1, 1, &["x"; 6])])), Err(FrameFault::Limits));
        assert_eq!(small(&answer(&[row(1, 1, &["x".repeat(41).as_str()])])), Err(FrameFault::Limits));
        let many: Vec<Row> = (1..=11).map(|n| row(n, n, &["x"])).collect();
        assert_eq!(small(&answer(&many)), Err(FrameFault::Limits));
        let wide: Vec<Row> = (1..=5).map(|n| row(n, n, &["x"; 5])).collect();
        assert_eq!(small(&answer(&wide)), Err(FrameFault::Limits));
    }

    #[test]
    fn rows_out_of_order_are_malformed() {
        let twice = [row(2, 2, &["a"]), row(2, 3, &["b"])];
        for rows in [&twice[..], &[row(0, 1, &[])], &[row(3, 2, &[])]] {
            assert_eq!(small(&answer(rows)), Err(FrameFault::Body(b'R')));
        }
    }

    #[test]
    fn counts_other_than_those_that_came_are_noticed() {
        for (rows, cells) in [(2, 1), (1, 2)] {
            let mut out = Vec::new();
            let mut writer = begun(&mut out);
            writer.row(&row(1, 1, &["a"])).unwrap();
            writer.end(rows, cells).unwrap();
            assert_eq!(small(&out), Err(FrameFault::Sum));
        }
    }

    #[test]
    fn cells_that_are_no_text_are_malformed() {
        let mut out = Vec::new();
        begun(&mut out);
        out.extend([b'R', 15, 0, 0, 0, 1, 0, 0, 0, 1, 0, 0, 0, 1, 0, 1, 0, 0, 0, 0xFF]);
        assert_eq!(small(&out), Err(FrameFault::Body(b'R')));
        assert_eq!(small(&answer(&[row(1, 1, &["a\0"])])), Err(FrameFault::Body(b'R')));
    }

    #[test]
    fn frames_out_of_place_are_noticed() {
        let mut out = Vec::new();
        AnswerWriter::begin(&mut out).unwrap().end(0, 0).unwrap();
        assert_eq!(small(&out), Err(FrameFault::Frame(b'E')));
        let mut out = Vec::new();
        begun(&mut out).dialect(&DIALECT).unwrap();
        assert_eq!(small(&out), Err(FrameFault::Frame(b'D')));
    }

    fn noted(row: u32, column: Option<u16>, count: u32) -> Noted {
        Noted { kind: RemarkKind::NoResult, row, column, count }
    }

    #[test]
    fn a_workbook_arrives_as_it_was_written() {
        let number = Row { numbers: vec![1], ..row(3, 3, &["a", "7"]) };
        let merged = Merged { rows: (1, 2), columns: (0, 16_383) };
        let sheet = told(
            |writer| {
                writer.tab("Stock").unwrap();
                writer.row(&row(1, 1, &["a"])).unwrap();
                writer.row(&number).unwrap();
                writer.merged(merged).unwrap();
                writer.remark(&noted(9, Some(2), 4), "Stock").unwrap();
                writer.tab("Räume").unwrap();
                writer.row(&row(1, 1, &["b"])).unwrap();
            },
            3,
        );
        // Rows and cells are told as one number: the row with two cells is one too few.
        assert_eq!(sheet, Err(FrameFault::Sum));
        let sheet = told(
            |writer| {
                writer.tab("Stock").unwrap();
                writer.row(&Row { numbers: vec![0], ..row(3, 3, &["7"]) }).unwrap();
                writer.merged(merged).unwrap();
                writer.remark(&noted(9, Some(2), 4), "Stock").unwrap();
                writer.tab("Räume").unwrap();
                writer.row(&row(1, 1, &["b"])).unwrap();
            },
            2,
        );
        let sheet = sheet.unwrap().unwrap();
        assert_eq!((&*sheet.tabs[0].label, sheet.tabs[0].title.as_deref()), ("a, tab Stock", Some("Stock")));
        assert_eq!((&*sheet.tabs[1].label, sheet.tabs[1].rows.len()), ("a, tab Räume", 1));
        assert_eq!((sheet.tabs[0].rows[0].is_number(0), &*sheet.tabs[0].merged), (true, &[merged][..]));
        assert_eq!(sheet.remarks[0].place.to_string(), "a, tab Stock, row 9, column C");
        assert_eq!((sheet.how, sheet.remarks[0].count), (How::Xlsx, 4));
    }

    #[test]
    fn a_refusal_names_the_tab_it_speaks_of() {
        for (title, sheet) in [("Stock", "a, tab Stock"), ("", "a")] {
            let mut out = Vec::new();
            let mut writer = AnswerWriter::begin(&mut out).unwrap();
            writer.workbook(Kind::Xlsx).unwrap();
            writer.refused(Refused::whole(Why::NotWorkbook), title).unwrap();
            assert_eq!(book(&out), Ok(Err((Refused::whole(Why::NotWorkbook), sheet.into()))));
        }
    }

    #[test]
    fn a_workbook_that_lies_is_not_believed() {
        type Tell = fn(&mut AnswerWriter<&mut Vec<u8>>);
        let one: fn(&mut AnswerWriter<&mut Vec<u8>>) = |w| {
            w.tab("A").unwrap();
            w.row(&row(1, 1, &["a"])).unwrap();
        };
        let cases: [(Tell, FrameFault); 13] = [
            (|w| w.row(&row(1, 1, &["a"])).unwrap(), FrameFault::Frame(b'R')),
            (|w| w.tab("A\nB").unwrap(), FrameFault::Body(b'T')),
            (|w| w.tab(&"x".repeat(21)).unwrap(), FrameFault::Limits),
            (|w| w.tab("A").and_then(|()| w.tab("B")).unwrap(), FrameFault::Body(b'T')),
            (|w| w.tab("A").unwrap(), FrameFault::Sum),
            (|w| w.merged(Merged { rows: (1, 1), columns: (0, 1) }).unwrap(), FrameFault::Body(b'M')),
            (|w| w.remark(&noted(1_048_577, None, 1), "A").unwrap(), FrameFault::Body(b'N')),
            (|w| w.remark(&noted(1, None, 0), "A").unwrap(), FrameFault::Body(b'N')),
            (|w| w.tab("A").and_then(|()| w.row(&row(1, 2, &["a"]))).unwrap(), FrameFault::Body(b'R')),
            (
                |w| w.tab("A").and_then(|()| w.row(&row(1_048_577, 1_048_577, &["a"]))).unwrap(),
                FrameFault::Body(b'R'),
            ),
            (
                |w| w.tab("A").and_then(|()| w.row(&Row { numbers: vec![0], ..row(1, 1, &["a"]) })).unwrap(),
                FrameFault::Body(b'R'),
            ),
            (
                |w| w.tab("A").and_then(|()| w.row(&Row { numbers: vec![1], ..row(1, 1, &["1"]) })).unwrap(),
                FrameFault::Body(b'R'),
            ),
            (
                |w| {
                    w.tab("A")
                        .and_then(|()| w.row(&Row { numbers: vec![0, 0], ..row(1, 1, &["1"]) }))
                        .unwrap();
                },
                FrameFault::Body(b'R'),
            ),
        ];
        for (number, (tell, fault)) in cases.into_iter().enumerate() {
            assert_eq!(told(tell, 0), Err(fault), "{number}");
        }
        for (top, bottom, left, right) in
            [(0, 1, 0, 1), (2, 1, 0, 1), (1, 1_048_577, 0, 0), (1, 2, 0, 16_384)]
        {
            let merged = Merged { rows: (top, bottom), columns: (left, right) };
            let told = told(
                |w| {
                    one(w);
                    w.merged(merged).unwrap();
                },
                1,
            );
            assert_eq!(told, Err(FrameFault::Body(b'M')), "{merged:?}");
        }
        let three = told(
            |w| {
                for _ in 0..3 {
                    one(w);
                }
            },
            3,
        );
        assert_eq!(three, Err(FrameFault::Limits));
    }

    #[test]
    fn a_table_of_text_has_no_tabs_and_no_numbers() {
        let mut out = Vec::new();
        begun(&mut out).tab("A").unwrap();
        assert_eq!(small(&out), Err(FrameFault::Frame(b'T')));
        assert_eq!(
            small(&answer(&[Row { numbers: vec![0], ..row(1, 1, &["1"]) }])),
            Err(FrameFault::Body(b'R'))
        );
        assert_eq!(book(&good()), Err(FrameFault::Frame(b'D')));
    }
}
