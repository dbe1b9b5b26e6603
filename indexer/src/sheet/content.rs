//! What a file is by its first bytes, and what to do when its name says otherwise.

use std::fmt;

/// What a file's first bytes say it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Content {
    /// Text, or bytes that look like nothing else.
    Text,
    /// Zip: an archive, or a workbook or another document.
    Zip,
    /// Gzip.
    Gzip,
    /// The container of old office documents and of encrypted workbooks.
    OldOffice,
    /// PDF.
    Pdf,
    /// HTML.
    WebPage,
}

/// How an encrypted workbook names its one part (MS-OFFCRYPTO 2.3.4), in UTF-16.
const ENCRYPTED: [u8; 32] = *b"E\0n\0c\0r\0y\0p\0t\0e\0d\0P\0a\0c\0k\0a\0g\0e\0";

impl Content {
    /// Looks at the first bytes only.
    pub(super) fn of(bytes: &[u8]) -> Self {
        match bytes {
            [b'P', b'K', 3, 4, ..] | [b'P', b'K', 5, 6, ..] => Self::Zip,
            [0x1F, 0x8B, ..] => Self::Gzip,
            [0xD0, 0xCF, 0x11, 0xE0, 0xA1, 0xB1, 0x1A, 0xE1, ..] => Self::OldOffice,
            [b'%', b'P', b'D', b'F', b'-', ..] => Self::Pdf,
            _ if is_web_page(bytes) => Self::WebPage,
            _ => Self::Text,
        }
    }

    /// What to do with it.
    pub(super) fn advice(self) -> &'static str {
        match self {
            Self::Text => "If it is text, rename it to .csv; otherwise save the sheet again as .xlsx",
            Self::Zip => "If it is a workbook, save it as .xlsx or .ods under that name",
            _ => "Open it in a spreadsheet and save the sheet as .xlsx or CSV (UTF-8)",
        }
    }
}

/// Whether the container of an old document holds an encrypted workbook.
pub(super) fn is_encrypted(bytes: &[u8]) -> bool {
    // Names stand in the directory, which may be anywhere, at multiples of 128 bytes: MS-CFB 2.6.
    bytes.chunks(128).any(|entry| entry.starts_with(&ENCRYPTED))
}

impl fmt::Display for Content {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Text => "no workbook",
            Self::Zip => "a zip archive or a document of another kind",
            Self::Gzip => "a gzip archive",
            Self::OldOffice => "an old or encrypted office document",
            Self::Pdf => "a PDF",
            Self::WebPage => "a web page",
        })
    }
}

/// Some shop systems write an HTML table and call it a sheet.
fn is_web_page(bytes: &[u8]) -> bool {
    let text = bytes.strip_prefix(b"\xEF\xBB\xBF").unwrap_or(bytes).trim_ascii_start();
    let begins = |with: &[u8]| text.get(..with.len()).is_some_and(|start| start.eq_ignore_ascii_case(with));
    begins(b"<!doctype html") || begins(b"<html") || begins(b"<table")
}

#[cfg(test)]
mod tests {
    use super::*;

    // Signatures: PKWARE APPNOTE 4.3.7 and 4.3.16, RFC 1952 section 2.3.1, MS-CFB 2.2, ISO 32000 7.5.2.
    #[test]
    fn content_is_known_by_its_first_bytes() {
        let cases: [(&[u8], Content); 8] = [
            (b"PK\x03\x04rest", Content::Zip),
            (b"\x1F\x8B\x08", Content::Gzip),
            (b"\xD0\xCF\x11\xE0\xA1\xB1\x1A\xE1", Content::OldOffice),
            (b"%PDF-1.7", Content::Pdf),
            (b"<!DOCTYPE HTML><table>", Content::WebPage),
            (b"\xEF\xBB\xBF\r\n <table>", Content::WebPage),
            (b"PK,drop\n", Content::Text),
            (b"", Content::Text),
        ];
        for (bytes, content) in cases {
            assert_eq!(Content::of(bytes), content);
        }
    }
}
