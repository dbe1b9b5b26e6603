//! Encoding labels against `tables/whatwg_encoding_labels.csv`: the WHATWG Encoding Standard as read from npm
//! whatwg-encoding 3.1.1. A stand-in for the child names each label, and the reader takes it or refuses it.

use std::path::Path;
use std::process::Command;

use indexer::sheet::{FrameFault, SheetLimits, SheetReader, Unreadable};

use crate::outside_tables::Table;

#[test]
fn every_label_names_the_encoding_of_the_standard_and_no_other_label_is_believed() {
    let folder = tempfile::tempdir().expect("a temporary folder");
    let answer = folder.path().join("answer");
    let reader = SheetReader::new(speaker(folder.path(), &answer), SheetLimits::standard());
    for row in Table::read("whatwg_encoding_labels.csv").rows() {
        let (label, encoding) = (row.get("label"), row.get("encoding"));
        std::fs::write(&answer, answer_naming(label)).expect("the answer");
        let read = reader.read("a.csv", b"a\n").map(|sheet| sheet.dialect().map(|dialect| dialect.encoding));
        match encoding {
            "(no such label)" => {
                assert!(
                    matches!(read, Err(Unreadable::Distrusted(FrameFault::Body(b'D')))),
                    "{label}: {read:?}"
                );
            }
            _ => assert_eq!(read.ok().flatten(), Some(encoding), "{label}"),
        }
    }
}

/// A program that says what stands in a file. Another process writes it: a file open for writing in this one
/// cannot be run.
fn speaker(folder: &Path, answer: &Path) -> std::path::PathBuf {
    let program = folder.join("speaker");
    let write = "printf '#!/bin/sh\\ncat >/dev/null; cat \"%s\"\\n' \"$1\" > \"$2\" && chmod 700 \"$2\"";
    let written = Command::new("/bin/sh").args(["-c", write, "sh"]).arg(answer).arg(&program).status();
    assert!(written.expect("a shell").success());
    program
}

/// An answer of one cell whose dialect names this encoding.
fn answer_naming(label: &str) -> Vec<u8> {
    let dialect = [&[2, b',', 2, 0, 0, 0, 0, 0, 0], label.as_bytes()].concat();
    let mut row = [1_u32.to_le_bytes(), 1_u32.to_le_bytes()].concat();
    row.extend(1_u16.to_le_bytes());
    row.extend(1_u32.to_le_bytes());
    row.push(b'a');
    let said = [b"LBSHEET\x03".to_vec(), frame(b'D', &dialect), frame(b'R', &row)].concat();
    let mut end = [1_u32.to_le_bytes(), 1_u32.to_le_bytes()].concat();
    end.extend(crc_32(&said).to_le_bytes());
    [said, frame(b'E', &end)].concat()
}

fn frame(tag: u8, body: &[u8]) -> Vec<u8> {
    [&[tag], &(body.len() as u32).to_le_bytes()[..], body].concat()
}

/// CRC-32, bit by bit (RFC 1952 section 8).
fn crc_32(bytes: &[u8]) -> u32 {
    let bit = |crc: u32| (crc >> 1) ^ if crc & 1 == 1 { 0xEDB8_8320 } else { 0 };
    !bytes.iter().fold(!0, |crc, byte| (0..8).fold(crc ^ u32::from(*byte), |crc, _| bit(crc)))
}
