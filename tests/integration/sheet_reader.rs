//! Sheets read by a real child process, and children that hang, swell, die or lie.

use std::path::PathBuf;
use std::process::Command;
use std::time::Duration;

use indexer::sheet::{
    Charset, EncodingSeen, FrameFault, How, ReadAs, Sheet, SheetLimits, SheetReader, Unreadable, Watch,
};

const SHEET: &[u8] = b"Spring list\n\nstyle;drop\nA1;9,5\n\"B\n2\";8\nC3;4\n";

fn reader() -> SheetReader {
    SheetReader::new(env!("CARGO_BIN_EXE_lastbench-under-test").into(), SheetLimits::standard())
}

/// A stand-in for the child, written by another process: a file open for writing in this one cannot be run.
struct Impostor {
    reader: SheetReader,
    _folder: tempfile::TempDir,
}

fn impostor(script: &str, wall: Duration) -> Impostor {
    let folder = tempfile::tempdir().expect("a temporary folder");
    let program: PathBuf = folder.path().join("impostor");
    let write = "printf '#!/bin/sh\\n%s\\n' \"$1\" > \"$2\" && chmod 700 \"$2\"";
    let written =
        Command::new("/bin/sh").args(["-c", write, "sh", script]).arg(&program).status().expect("a shell");
    assert!(written.success());
    let limits = SheetLimits { wall, ..SheetLimits::standard() };
    Impostor { reader: SheetReader::new(program, limits), _folder: folder }
}

fn refused_by(script: &str) -> Unreadable {
    impostor(script, Duration::from_secs(20)).reader.read("a.csv", SHEET).expect_err("an impostor")
}

fn texts(sheet: &Sheet) -> Vec<(u32, u32, Vec<&str>)> {
    sheet.tabs[0].rows.iter().map(|row| (row.number, row.line, row.cells.iter().collect())).collect()
}

#[test]
fn a_good_sheet_comes_with_its_dialect_and_addresses() {
    let sheet = reader().read("lists/spring.csv", SHEET).unwrap();
    assert_eq!((&*sheet.name, sheet.dialect().unwrap().delimiter), ("spring.csv", ';'));
    let expected = [
        (1, 1, vec!["Spring list"]),
        (3, 3, vec!["style", "drop"]),
        (4, 4, vec!["A1", "9,5"]),
        (5, 5, vec!["B\n2", "8"]),
        (6, 7, vec!["C3", "4"]),
    ];
    assert_eq!(texts(&sheet), expected);
}

#[test]
fn a_utf16_sheet_is_read_with_and_without_its_mark() {
    let text = "style,note\nA1,größer\n";
    let plain: Vec<u8> = text.encode_utf16().flat_map(u16::to_le_bytes).collect();
    let marked = [b"\xFF\xFE".to_vec(), plain.clone()].concat();
    for (bytes, seen) in [(plain, EncodingSeen::ZeroBytes), (marked, EncodingSeen::Mark)] {
        let sheet = reader().read("a.csv", &bytes).unwrap();
        assert_eq!(
            (sheet.dialect().unwrap().encoding, sheet.dialect().unwrap().encoding_seen),
            ("UTF-16LE", seen)
        );
        assert_eq!(sheet.tabs[0].rows[1].cell(1), "größer");
    }
}

#[test]
fn a_nul_is_refused_with_its_place() {
    let refused = reader().read("a.csv", b"style,drop\nA1,9\0\n").unwrap_err();
    assert_eq!(refused.code(), "sheet-nul");
    assert!(refused.to_string().starts_with("a.csv, row 2, column B: "), "{refused}");
}

#[test]
fn a_quote_that_eats_two_million_rows_is_refused_where_it_opened() {
    let bytes = [b"style,drop\nA1,9\n\"A2,9\n".to_vec(), b"A,9\n".repeat(2_000_000)].concat();
    let refused = reader().read("a.csv", &bytes).unwrap_err();
    assert_eq!(refused.code(), "sheet-open-quote");
    assert!(refused.to_string().starts_with("a.csv, row 3, column A: a quote opened here is never closed"));
}

#[test]
fn a_row_too_wide_and_a_row_too_many_are_refused() {
    let reader = reader();
    let commas = vec![b','; 4_000_000];
    assert_eq!(reader.read("a.csv", &commas).unwrap_err().code(), "sheet-too-many-columns");
    let rows = b"a,b\n".repeat(200_001);
    let refused = reader.read("a.csv", &rows).unwrap_err();
    assert_eq!(refused.code(), "sheet-too-many-rows");
    assert!(refused.to_string().starts_with("a.csv, row 200001: "));
    assert_eq!(reader.read("a.csv", &rows[4..]).unwrap().tabs[0].rows.len(), 200_000);
}

#[test]
fn a_row_of_forty_million_columns_ends_the_child_and_not_the_reader() {
    let reader = reader();
    assert_eq!(reader.read("a.csv", &vec![b','; 40_000_000]).unwrap_err().code(), "sheet-reader-died");
    assert_eq!(reader.read("a.csv", SHEET).unwrap().tabs[0].rows.len(), 5);
}

#[test]
fn fifty_megabytes_are_refused_without_starting_a_child() {
    let reader = SheetReader::new("/nowhere/lastbench".into(), SheetLimits::standard());
    let refused = reader.read("a.csv", &vec![b'a'; 50_000_000]).unwrap_err();
    assert_eq!(refused.code(), "sheet-too-large");
}

#[test]
fn a_child_that_hangs_is_stopped_with_all_it_started() {
    let impostor = impostor("sleep 1000 | cat", Duration::from_millis(200));
    assert_eq!(impostor.reader.read("a.csv", SHEET).unwrap_err().code(), "sheet-reader-too-slow");
}

#[test]
fn a_child_that_stops_talking_but_goes_on_running_is_stopped() {
    let impostor = impostor("exec >&-; sleep 1000", Duration::from_millis(200));
    assert_eq!(impostor.reader.read("a.csv", SHEET).unwrap_err().code(), "sheet-reader-too-slow");
}

#[test]
fn a_child_that_does_not_listen_is_stopped_even_with_a_large_file() {
    let impostor = impostor("sleep 1000", Duration::from_millis(200));
    let large = b"a,b\n".repeat(1_000_000);
    assert_eq!(impostor.reader.read("a.csv", &large).unwrap_err().code(), "sheet-reader-too-slow");
}

#[test]
fn a_child_that_swells_is_not_heard_to_its_end() {
    assert!(matches!(refused_by("while :; do echo style; done"), Unreadable::Distrusted(FrameFault::Magic)));
    let frame_without_end = "printf 'LBSHEET\\003D\\377\\377\\377\\377'; cat /dev/zero";
    assert!(matches!(refused_by(frame_without_end), Unreadable::Distrusted(FrameFault::TooLong)));
}

#[test]
fn a_child_that_lies_is_not_believed() {
    let cases = [
        ("echo 'running 0 tests'", FrameFault::Magic),
        ("printf 'LBSHEET\\001'", FrameFault::Version(1)),
        ("printf 'LBSHEET\\003D'", FrameFault::CutShort),
        ("exit 0", FrameFault::CutShort),
    ];
    for (script, expected) in cases {
        let refused = refused_by(script);
        assert!(
            matches!(refused, Unreadable::Distrusted(fault) if fault == expected),
            "{script}: {refused:?}"
        );
    }
}

#[test]
fn a_child_that_dies_is_said_to_have_died() {
    for script in ["kill -9 $$", "kill -ABRT $$", "exit 1"] {
        assert_eq!(refused_by(script).code(), "sheet-reader-died", "{script}");
    }
}

#[test]
fn the_reader_goes_on_after_every_bad_sheet() {
    let reader = reader();
    let bad: [&[u8]; 5] =
        [b"a,b\n\"x", b"a\0b,c,d,e\n1,2", b"PK\x03\x04", b"", b"\xEF\xBB\xBF\xFF\xFE\xFD,b\n"];
    for bytes in bad {
        assert!(reader.read("a.csv", bytes).is_err(), "{bytes:?}");
        assert_eq!(reader.read("a.csv", SHEET).unwrap().tabs[0].rows.len(), 5);
    }
}

#[test]
fn two_sheets_at_once_wait_for_each_other() {
    let reader = reader();
    std::thread::scope(|scope| {
        let both = [0; 2]
            .map(|_| scope.spawn(|| reader.read("a.csv", SHEET).map(|sheet| sheet.tabs[0].rows.len()).ok()));
        for one in both {
            assert_eq!(one.join().unwrap(), Some(5));
        }
    });
}

// proc(5): the limits and NoNewPrivs a process has set on itself, read from outside while it waits for input.
#[test]
fn the_child_limits_itself_before_it_reads() {
    let mut child = Command::new(env!("CARGO_BIN_EXE_lastbench-under-test"))
        .arg(indexer::sheet::READ_SHEET)
        .stdin(std::process::Stdio::piped())
        .stdout(std::process::Stdio::null())
        .spawn()
        .unwrap();
    let proc = |file: &str| std::fs::read_to_string(format!("/proc/{}/{file}", child.id())).unwrap();
    while !proc("status").contains("NoNewPrivs:\t1") {
        std::thread::yield_now();
    }
    let limits = proc("limits");
    let soft = |name: &str| {
        let line = limits.lines().find(|line| line.starts_with(name)).unwrap_or_default();
        line[name.len()..].split_whitespace().next().map(String::from)
    };
    let expected = [
        ("Max address space", "805306368"),
        ("Max cpu time", "10"),
        ("Max file size", "0"),
        ("Max open files", "16"),
        ("Max processes", "0"),
        ("Max core file size", "0"),
    ];
    for (name, value) in expected {
        assert_eq!(soft(name).as_deref(), Some(value), "{name}");
    }
    drop(child.stdin.take());
    assert!(!child.wait().unwrap().success());
}

#[test]
fn the_owner_may_say_delimiter_and_encoding_and_take_it_back() {
    let bytes = b"style,note|price\nA,caf\xE9 \xA4|1,5\n";
    let reader = reader();
    let by_itself = reader.read("a.csv", bytes).unwrap();
    let said = ReadAs { delimiter: Some('|'), encoding: Charset::of_label("iso-8859-15") };
    let as_said = reader.read_as("a.csv", bytes, &said, &Watch::default()).unwrap();
    assert_eq!(as_said.tabs[0].rows[1].cell(0), "A,café €");
    let how = "ISO-8859-15 (as the owner said); columns split at vertical bars (as the owner said)";
    assert_eq!(as_said.how.to_string(), how);
    assert_eq!(reader.read("a.csv", bytes).unwrap(), by_itself);
}

#[test]
fn pasted_cells_are_split_at_their_tabs() {
    let sheet = reader().read("pasted.txt", "style\tnote\nA1\t\"1,5; 2\"\n".as_bytes()).unwrap();
    assert_eq!(sheet.dialect().unwrap().delimiter, '\t');
    assert_eq!(sheet.tabs[0].rows[1].cell(1), "1,5; 2");
}

#[test]
fn a_reading_that_is_cancelled_ends_at_once_and_takes_nothing() {
    let impostor = impostor("sleep 1000", Duration::from_mins(15));
    let watch = Watch::default();
    std::thread::scope(|scope| {
        let reading = scope.spawn(|| impostor.reader.read_as("a.csv", SHEET, &ReadAs::default(), &watch));
        std::thread::sleep(Duration::from_millis(50));
        watch.cancel();
        assert_eq!(reading.join().unwrap().unwrap_err().code(), "sheet-cancelled");
    });
}

#[test]
fn rows_are_counted_as_they_come() {
    let watch = Watch::default();
    reader().read_as("a.csv", SHEET, &ReadAs::default(), &watch).unwrap();
    assert_eq!(watch.rows(), 5);
}

// Some writers of Office Open XML put a prefix before every name.
#[test]
fn a_workbook_is_read_whatever_prefix_its_names_have_and_says_nothing_of_delimiters() {
    let bytes = crate::hostile::xlsx::rows("<x:row r=\"3\"><x:c r=\"B3\"><x:v>1e3</x:v></x:c></x:row>");
    let sheet = reader().read("a.xlsx", &bytes).unwrap();
    assert_eq!((sheet.dialect(), sheet.how), (None, How::Xlsx));
    assert_eq!((sheet.tabs[0].rows[0].number, sheet.tabs[0].rows[0].cell(1)), (3, "1000"));
}
