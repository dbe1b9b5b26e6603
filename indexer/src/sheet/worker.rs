//! The child half: limits itself first, then reads one file from standard input and answers in frames.

use std::io::{self, BufWriter, Read, Write};
use std::process::ExitCode;

use super::dialect::{Dialect, split_at, split_of};
use super::frames::{AnswerWriter, Noted};
use super::request::{self, Asked, Kind, Request};
use super::{RemarkKind, SheetLimits, delimited, encoding, limits, workbook};

/// The hidden subcommand that makes the program a reader of sheets: `lastbench read-sheet`.
pub const READ_SHEET: &str = "read-sheet";

/// Reads one sheet from standard input to standard output. Says nothing on standard error; a failure is an
/// exit code, for the parent to find words for.
pub fn worker_main() -> ExitCode {
    let done = limit_itself().and_then(|()| serve(io::stdin().lock(), io::stdout().lock()));
    if done.is_ok() { ExitCode::SUCCESS } else { ExitCode::FAILURE }
}

/// Before the first byte of the file, and before anything else could go wrong.
fn limit_itself() -> io::Result<()> {
    for (resource, limit) in limits::CHILD {
        rlimit::setrlimit(resource, limit, limit)?;
    }
    rustix::thread::set_no_new_privs(true)?;
    Ok(())
}

fn serve(input: impl Read, output: impl Write) -> io::Result<()> {
    let Request { asked, limits, bytes } = request::receive(input)?;
    let mut answer = AnswerWriter::begin(BufWriter::new(output))?;
    if asked.kind == Kind::Text {
        return text(asked, &bytes, limits, answer);
    }
    answer.workbook(asked.kind)?;
    workbook::answer(asked.kind, &bytes, limits, answer)
}

fn text<W: Write>(
    asked: Asked,
    bytes: &[u8],
    limits: SheetLimits,
    mut answer: AnswerWriter<W>,
) -> io::Result<()> {
    let decoded = encoding::decode(bytes, asked.encoding);
    let split = match asked.delimiter {
        Some(delimiter) => split_at(&decoded.text, delimiter),
        None => split_of(&decoded.text, asked.tab_first),
    };
    answer.dialect(&Dialect {
        encoding: decoded.encoding.name(),
        encoding_seen: decoded.seen,
        delimiter: char::from(split.delimiter),
        delimiter_seen: split.seen,
    })?;
    let mut rows = delimited::Rows::of(&decoded.text, split, decoded.damaged, limits);
    for row in rows.by_ref() {
        match row {
            Ok((row, strays)) => {
                answer.row(&row)?;
                for column in strays {
                    let kind = RemarkKind::StrayQuote;
                    answer.remark(&Noted { kind, row: row.number, column: Some(column), count: 1 }, "")?;
                }
            }
            Err(refused) => return answer.refused(refused, ""),
        }
    }
    let (rows, cells) = rows.counts();
    answer.end(rows, cells)
}

#[cfg(test)]
mod tests {
    use super::super::answer::{Answer, Terms, read_answer};
    use super::super::refused::Why;
    use super::super::{DelimiterSeen, EncodingSeen, Row, Watch};
    use super::*;

    const PLAIN: Asked = Asked { kind: Kind::Text, tab_first: false, delimiter: None, encoding: None };

    fn answered(asked: Asked, bytes: &[u8]) -> Answer {
        let limits = SheetLimits::small();
        let (mut request, mut answered) = (Vec::new(), Vec::new());
        request::send(&mut request, asked, &limits, bytes).unwrap();
        serve(request.as_slice(), &mut answered).unwrap();
        let terms =
            Terms { name: "a.csv".into(), kind: asked.kind, limits: &limits, watch: &Watch::default() };
        read_answer(answered.as_slice(), &terms).unwrap()
    }

    fn served(tab_first: bool, bytes: &[u8]) -> Result<(Dialect, Vec<Row>), super::super::refused::Refused> {
        let mut sheet = answered(Asked { tab_first, ..PLAIN }, bytes).map_err(|(refused, _)| refused)?;
        Ok((*sheet.dialect().unwrap(), sheet.tabs.pop().map_or_else(Vec::new, |tab| tab.rows)))
    }

    #[test]
    fn what_the_owner_says_goes_before_the_evidence() {
        let asked = Asked { delimiter: Some(b'|'), encoding: Some(encoding_rs::ISO_8859_15), ..PLAIN };
        let sheet = answered(asked, b"a,b|c\n1,\xA4|2\n").unwrap();
        assert_eq!(sheet.tabs[0].rows[1].cell(0), "1,€");
        let said = "ISO-8859-15 (as the owner said); columns split at vertical bars (as the owner said)";
        assert_eq!(sheet.dialect().unwrap().to_string(), said);
    }

    #[test]
    fn a_file_is_answered_with_its_dialect_and_rows() {
        let (dialect, rows) = served(false, b"\xEF\xBB\xBFsep=;\r\nstyle;drop\r\nA;9,5\r\n").unwrap();
        assert_eq!((dialect.encoding, dialect.encoding_seen), ("UTF-8", EncodingSeen::Mark));
        assert_eq!((dialect.delimiter, dialect.delimiter_seen), (';', DelimiterSeen::SepLine));
        assert_eq!(rows.iter().map(|row| row.number).collect::<Vec<_>>(), [2, 3]);
        assert_eq!(rows[1].cell(1), "9,5");
    }

    #[test]
    fn the_ending_tips_a_draw() {
        assert_eq!(served(true, b"a,b\tc\n").unwrap().0.delimiter, '\t');
        assert_eq!(served(false, b"a,b\tc\n").unwrap().0.delimiter, ',');
    }

    #[test]
    fn a_refusal_is_answered_as_a_code_with_a_place() {
        let refused = served(false, b"a,b\n1,x\0\n").unwrap_err();
        assert_eq!((refused.why, refused.at.row, refused.at.column), (Why::Nul, 2, Some(1)));
    }

    #[test]
    fn limits_are_those_of_the_request() {
        assert_eq!(served(false, &b"1,2,3\n".repeat(7)).unwrap_err().why, Why::TooManyCells);
        assert_eq!(served(false, &b"1\n".repeat(11)).unwrap_err().why, Why::TooManyRows);
    }

    #[test]
    fn nothing_is_answered_with_no_rows() {
        assert_eq!(served(false, b"").unwrap().1, []);
        assert_eq!(served(false, b"\xFF\xFE").unwrap().1, []);
    }

    #[test]
    fn a_request_that_is_none_is_an_error_and_no_answer() {
        let mut answered = Vec::new();
        assert!(serve(b"style,drop\n".as_slice(), &mut answered).is_err());
        assert!(answered.is_empty());
    }
}
