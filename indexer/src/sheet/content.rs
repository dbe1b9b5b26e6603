//! What a file is by its first bytes, when that is no sheet of text.

use std::fmt;

/// What a file's first bytes say it is, when that is no sheet of text.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Content {
    /// Zip: an archive or a workbook.
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

impl Content {
    /// Looks at the first bytes only.
    pub(super) fn of(bytes: &[u8]) -> Option<Self> {
        match bytes {
            [b'P', b'K', 3, 4, ..] | [b'P', b'K', 5, 6, ..] => Some(Self::Zip),
            [0x1F, 0x8B, ..] => Some(Self::Gzip),
            [0xD0, 0xCF, 0x11, 0xE0, 0xA1, 0xB1, 0x1A, 0xE1, ..] => Some(Self::OldOffice),
            [b'%', b'P', b'D', b'F', b'-', ..] => Some(Self::Pdf),
            _ if is_web_page(bytes) => Some(Self::WebPage),
            _ => None,
        }
    }
}

impl fmt::Display for Content {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Zip => "a workbook or a zip archive",
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
        let cases: [(&[u8], Option<Content>); 8] = [
            (b"PK\x03\x04rest", Some(Content::Zip)),
            (b"\x1F\x8B\x08", Some(Content::Gzip)),
            (b"\xD0\xCF\x11\xE0\xA1\xB1\x1A\xE1", Some(Content::OldOffice)),
            (b"%PDF-1.7", Some(Content::Pdf)),
            (b"<!DOCTYPE HTML><table>", Some(Content::WebPage)),
            (b"\xEF\xBB\xBF\r\n <table>", Some(Content::WebPage)),
            (b"PK,drop\n", None),
            (b"", None),
        ];
        for (bytes, content) in cases {
            assert_eq!(Content::of(bytes), content);
        }
    }
}
