//! The child's answer as the parent reads it: as from a stranger. Its form stands in `frames`.

use std::io::{ErrorKind, Read};

use encoding_rs::Encoding;

use super::frames::{Checksum, ENCODINGS_SEEN, FrameFault, MAGIC, NO_COLUMN, VERSION};
use super::refused::{Refused, Spot, Why};
use super::{DelimiterSeen, Dialect, Row, SheetLimits};

/// What the child found.
pub(super) type Answer = Result<(Dialect, Vec<Row>), Refused>;

/// Reads an answer to its end, believing nothing: lengths, counts, text, order and limits are all checked.
pub(super) fn read_answer(input: impl Read, limits: &SheetLimits) -> Result<Answer, FrameFault> {
    let mut frames = Frames { input, sum: Checksum::new(), left: limits.answer_bytes, body: Vec::new() };
    frames.greeting()?;
    let dialect = match frames.next()? {
        (b'D', body, _) => dialect(body)?,
        (other, ..) => return Err(FrameFault::Frame(other)),
    };
    let mut rows = Vec::new();
    let mut cells = 0;
    let answer = loop {
        match frames.next()? {
            (b'R', body, _) => rows.push(row(body, rows.last(), &mut cells, limits)?),
            (b'E', body, sum) => break end(body, rows.len(), cells, sum).map(|()| Ok((dialect, rows)))?,
            (b'U', body, _) => break Err(refused(body)?),
            (other, ..) => return Err(FrameFault::Frame(other)),
        }
        if rows.len() > limits.rows as usize || cells > limits.cells {
            return Err(FrameFault::Limits);
        }
    };
    frames.finished().map(|()| answer)
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
    cells: &mut u32,
    limits: &SheetLimits,
) -> Result<Row, FrameFault> {
    let fault = body.fault();
    let (number, line, columns) = (body.u32()?, body.u32()?, body.u16()?);
    let below = above.is_none_or(|above| number > above.number && line > above.line);
    if number == 0 || line < number || !below {
        return Err(fault);
    }
    if columns > limits.columns {
        return Err(FrameFault::Limits);
    }
    let mut row = Row { number, line, cells: Vec::with_capacity(usize::from(columns)), numbers: Vec::new() };
    for _ in 0..columns {
        let length = body.u32()?;
        if length > limits.cell_bytes {
            return Err(FrameFault::Limits);
        }
        let text = std::str::from_utf8(body.bytes(length as usize)?).map_err(|_| fault)?;
        if text.contains('\0') {
            return Err(fault);
        }
        *cells += u32::from(!text.is_empty());
        row.cells.push(text.into());
    }
    body.finished().map(|()| row)
}

fn end(mut body: Body<'_>, rows: usize, cells: u32, sum: u64) -> Result<(), FrameFault> {
    let told = (body.u32()? as usize, body.u32()?, body.u64()?);
    body.finished()?;
    if told == (rows, cells, sum) { Ok(()) } else { Err(FrameFault::Sum) }
}

fn refused(mut body: Body<'_>) -> Result<Refused, FrameFault> {
    let why = *Why::ALL.get(usize::from(body.u8()?)).ok_or(body.fault())?;
    let (row, line, column) = (body.u32()?, body.u32()?, body.u16()?);
    body.finished()?;
    let column = (column != NO_COLUMN).then_some(column);
    Ok(Refused { why, at: Spot { row, line, column } })
}

/// An answer as it comes in.
struct Frames<R> {
    input: R,
    sum: Checksum,
    /// Bytes the child may still send.
    left: u64,
    body: Vec<u8>,
}

impl<R: Read> Frames<R> {
    fn greeting(&mut self) -> Result<(), FrameFault> {
        if self.array()? != MAGIC {
            return Err(FrameFault::Magic);
        }
        match self.array()? {
            [VERSION] => Ok(()),
            [other] => Err(FrameFault::Version(other)),
        }
    }

    /// The next frame's tag and body, and the checksum of all before it.
    fn next(&mut self) -> Result<(u8, Body<'_>, u64), FrameFault> {
        let sum = self.sum.0;
        let [tag] = self.array()?;
        let length = u64::from(u32::from_le_bytes(self.array()?));
        self.left = self.left.checked_sub(length).ok_or(FrameFault::TooLong)?;
        self.body.clear();
        let got = (&mut self.input).take(length).read_to_end(&mut self.body);
        if got.map_err(|error| FrameFault::Pipe(error.kind()))? as u64 != length {
            return Err(FrameFault::CutShort);
        }
        self.sum.add(&self.body);
        Ok((tag, Body { tag, rest: &self.body }, sum))
    }

    fn array<const N: usize>(&mut self) -> Result<[u8; N], FrameFault> {
        self.left = self.left.checked_sub(N as u64).ok_or(FrameFault::TooLong)?;
        let mut bytes = [0; N];
        self.input.read_exact(&mut bytes).map_err(|error| match error.kind() {
            ErrorKind::UnexpectedEof => FrameFault::CutShort,
            other => FrameFault::Pipe(other),
        })?;
        self.sum.add(&bytes);
        Ok(bytes)
    }

    fn finished(&mut self) -> Result<(), FrameFault> {
        match self.input.read_exact(&mut [0]) {
            Err(error) if error.kind() == ErrorKind::UnexpectedEof => Ok(()),
            Err(error) => Err(FrameFault::Pipe(error.kind())),
            Ok(()) => Err(FrameFault::Extra),
        }
    }
}

/// The body of one frame, taken piece by piece; a piece that is not there is a fault.
struct Body<'b> {
    tag: u8,
    rest: &'b [u8],
}

impl<'b> Body<'b> {
    fn fault(&self) -> FrameFault {
        FrameFault::Body(self.tag)
    }

    fn bytes(&mut self, length: usize) -> Result<&'b [u8], FrameFault> {
        let (taken, rest) = self.rest.split_at_checked(length).ok_or(self.fault())?;
        self.rest = rest;
        Ok(taken)
    }

    fn array<const N: usize>(&mut self) -> Result<[u8; N], FrameFault> {
        let (taken, rest) = self.rest.split_first_chunk::<N>().ok_or(self.fault())?;
        self.rest = rest;
        Ok(*taken)
    }

    fn u8(&mut self) -> Result<u8, FrameFault> {
        self.array().map(u8::from_le_bytes)
    }

    fn u16(&mut self) -> Result<u16, FrameFault> {
        self.array().map(u16::from_le_bytes)
    }

    fn u32(&mut self) -> Result<u32, FrameFault> {
        self.array().map(u32::from_le_bytes)
    }

    fn u64(&mut self) -> Result<u64, FrameFault> {
        self.array().map(u64::from_le_bytes)
    }

    fn rest(&mut self) -> &'b [u8] {
        std::mem::take(&mut self.rest)
    }

    fn finished(&self) -> Result<(), FrameFault> {
        if self.rest.is_empty() { Ok(()) } else { Err(self.fault()) }
    }
}

#[cfg(test)]
mod tests {
    use super::super::EncodingSeen;
    use super::super::frames::AnswerWriter;
    use super::*;

    const DIALECT: Dialect = Dialect {
        encoding: "windows-1252",
        encoding_seen: EncodingSeen::Guessed,
        delimiter: ';',
        delimiter_seen: DelimiterSeen::Rows { agreeing: 2, of: 3, columns: 2 },
    };

    fn row(number: u32, line: u32, cells: &[&str]) -> Row {
        Row { number, line, cells: cells.iter().map(|cell| Box::from(*cell)).collect(), numbers: Vec::new() }
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
        let cells = rows.iter().flat_map(|row| &row.cells).filter(|cell| !cell.is_empty()).count();
        writer.end(rows.len() as u32, cells as u32).unwrap();
        out
    }

    fn good() -> Vec<u8> {
        answer(&[row(1, 1, &["style", "é"]), row(2, 2, &["A", ""]), row(4, 5, &[])])
    }

    fn small(bytes: &[u8]) -> Result<Answer, FrameFault> {
        read_answer(bytes, &SheetLimits::small())
    }

    #[test]
    fn an_answer_arrives_as_it_was_written() {
        let rows = vec![row(1, 1, &["style", "é"]), row(2, 2, &["A", ""]), row(4, 5, &[])];
        assert_eq!(small(&good()), Ok(Ok((DIALECT, rows))));
    }

    #[test]
    fn every_kind_of_dialect_arrives_as_it_was_written() {
        for encoding_seen in ENCODINGS_SEEN {
            for delimiter_seen in [DelimiterSeen::SepLine, DelimiterSeen::OneColumn, DIALECT.delimiter_seen] {
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
        for (why, column) in Why::ALL.into_iter().zip([None, Some(0), Some(7)].into_iter().cycle()) {
            let refused = Refused { why, at: Spot { row: 3, line: 9, column } };
            let mut out = Vec::new();
            let mut writer = begun(&mut out);
            writer.row(&row(1, 1, &["a"])).unwrap();
            writer.refused(refused).unwrap();
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
        assert_eq!(small(b"LBSHEET\x02"), Err(FrameFault::Version(2)));
    }

    #[test]
    fn bytes_after_the_end_are_noticed() {
        assert_eq!(small(&[good(), vec![0]].concat()), Err(FrameFault::Extra));
        assert_eq!(small(&[good(), good()].concat()), Err(FrameFault::Extra));
    }

    #[test]
    fn a_length_that_cannot_be_is_refused_before_anything_is_reserved() {
        let frame = [b"LBSHEET\x01D".as_slice(), &u32::MAX.to_le_bytes()].concat();
        assert_eq!(small(&frame), Err(FrameFault::TooLong));
        let mut out = Vec::new();
        begun(&mut out);
        out.extend([b'R', 14, 0, 0, 0, 1, 0, 0, 0, 1, 0, 0, 0, 1, 0, 255, 255, 255, 255]);
        assert_eq!(small(&out), Err(FrameFault::Limits));
    }

    #[test]
    fn an_answer_longer_than_allowed_is_not_read_on() {
        let limits = SheetLimits { answer_bytes: 60, ..SheetLimits::small() };
        assert_eq!(read_answer(good().as_slice(), &limits), Err(FrameFault::TooLong));
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
}
