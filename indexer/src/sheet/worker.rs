//! The child half: limits itself first, then reads one file from standard input and answers in frames.

use std::io::{self, BufWriter, Read, Write};
use std::process::ExitCode;

use super::dialect::{Dialect, split_of};
use super::frames::AnswerWriter;
use super::request::{self, Request};
use super::{delimited, encoding, limits};

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
    let Request { tab_first, limits, bytes } = request::receive(input)?;
    let decoded = encoding::decode(&bytes);
    let split = split_of(&decoded.text, tab_first);
    let mut answer = AnswerWriter::begin(BufWriter::new(output))?;
    answer.dialect(&Dialect {
        encoding: decoded.encoding.name(),
        encoding_seen: decoded.seen,
        delimiter: char::from(split.delimiter),
        delimiter_seen: split.seen,
    })?;
    let mut rows = delimited::Rows::of(&decoded.text, split, decoded.damaged, limits);
    for row in rows.by_ref() {
        match row {
            Ok(row) => answer.row(&row)?,
            Err(refused) => return answer.refused(refused),
        }
    }
    let (rows, cells) = rows.counts();
    answer.end(rows, cells)
}

#[cfg(test)]
mod tests {
    use super::super::answer::{Answer, read_answer};
    use super::super::refused::Why;
    use super::super::{DelimiterSeen, EncodingSeen, SheetLimits};
    use super::*;

    fn served(tab_first: bool, bytes: &[u8]) -> Answer {
        let limits = SheetLimits::small();
        let (mut asked, mut answered) = (Vec::new(), Vec::new());
        request::send(&mut asked, tab_first, &limits, bytes).unwrap();
        serve(asked.as_slice(), &mut answered).unwrap();
        read_answer(answered.as_slice(), &limits).unwrap()
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
