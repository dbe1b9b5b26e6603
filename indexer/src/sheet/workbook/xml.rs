//! XML as a workbook's part may hold it: one piece after the other, and nothing that only an attack needs.
//!
//! No document type (so no entities of its own, no outside files, no billion laughs), no deep nesting, and no
//! single piece, tag or text, of unusual length. Names are told without their prefix.

use std::borrow::Cow;
use std::io::{self, BufRead, BufReader, Read};

use quick_xml::events::{BytesEnd, BytesStart, Event};
use quick_xml::{Reader, XmlVersion};

use super::super::WorkbookFault as Fault;
use super::archive::Unpacked;

/// Bytes of one tag or text. A cell of a spreadsheet holds 32,767 characters at most.
const PIECE_BYTES: usize = 256 << 10;
const DEPTH: u16 = 64;

/// A part's pieces.
pub(super) struct Xml<'b> {
    reader: Reader<Metered<BufReader<Unpacked<'b>>>>,
    buffer: Vec<u8>,
    depth: u16,
}

/// One piece of XML; an empty element is a start and an end.
pub(super) enum Piece<'x> {
    Start(Tag<'x>),
    End(Close<'x>),
    Text(Cow<'x, str>),
    Over,
}

/// A start tag.
pub(super) struct Tag<'x>(BytesStart<'x>);

/// An end tag.
pub(super) struct Close<'x>(BytesEnd<'x>);

impl<'b> Xml<'b> {
    pub(super) fn of(part: Unpacked<'b>) -> Self {
        let inner = BufReader::with_capacity(64 << 10, part);
        let mut reader = Reader::from_reader(Metered { inner, since: 0, fault: None });
        reader.config_mut().expand_empty_elements = true;
        Self { reader, buffer: Vec::new(), depth: 0 }
    }

    pub(super) fn next(&mut self) -> Result<Piece<'_>, Fault> {
        self.buffer.clear();
        self.reader.get_mut().since = 0;
        let Ok(event) = self.reader.read_event_into(&mut self.buffer) else {
            return Err(self.reader.get_ref().fault.unwrap_or(Fault::Broken));
        };
        match event {
            Event::Start(tag) | Event::Empty(tag) => {
                self.depth += 1;
                if self.depth > DEPTH { Err(Fault::Shape) } else { Ok(Piece::Start(Tag(tag))) }
            }
            Event::End(tag) => {
                self.depth = self.depth.saturating_sub(1);
                Ok(Piece::End(Close(tag)))
            }
            Event::Text(text) => Ok(Piece::Text(text.xml10_content())),
            Event::CData(text) => Ok(Piece::Text(text.xml10_content())),
            Event::GeneralRef(name) => {
                let character = name.resolve_char_ref().map_err(|_| Fault::Broken)?;
                let named = predefined(&name.into_inner());
                character.or(named).map(|c| Piece::Text(c.to_string().into())).ok_or(Fault::Doctype)
            }
            Event::DocType(_) => Err(Fault::Doctype),
            Event::Comment(_) | Event::Decl(_) | Event::PI(_) => Ok(Piece::Text("".into())),
            Event::Eof if self.depth > 0 => Err(Fault::Broken),
            Event::Eof => Ok(Piece::Over),
        }
    }
}

impl Tag<'_> {
    /// The name without its prefix.
    pub(super) fn name(&self) -> &str {
        self.0.local_name().into_inner()
    }

    /// An attribute, by its name without prefix, or with it where two share a name.
    pub(super) fn get(&self, key: &str) -> Option<Cow<'_, str>> {
        let whole = key.contains(':');
        let is_it = |name: &str| name == key || (!whole && name.rsplit(':').next() == Some(key));
        let found =
            self.0.attributes().with_checks(false).flatten().find(|one| is_it(one.key.into_inner()))?;
        found.normalized_value(XmlVersion::Implicit1_0).ok()
    }

    /// Whether an attribute says yes.
    pub(super) fn says(&self, key: &str) -> bool {
        self.get(key).is_some_and(|value| matches!(&*value, "1" | "true" | "on"))
    }
}

impl Close<'_> {
    /// The name without its prefix.
    pub(super) fn name(&self) -> &str {
        self.0.local_name().into_inner()
    }
}

/// The five entities of XML 1.0, section 4.6.
fn predefined(name: &str) -> Option<char> {
    match name {
        "amp" => Some('&'),
        "lt" => Some('<'),
        "gt" => Some('>'),
        "quot" => Some('"'),
        "apos" => Some('\''),
        _ => None,
    }
}

/// Bytes, counted since the piece began, so that no piece fills the memory.
struct Metered<R> {
    inner: R,
    since: usize,
    fault: Option<Fault>,
}

impl<R: BufRead> Metered<R> {
    fn stop(&mut self, why: Fault) -> io::Error {
        self.fault = Some(why);
        io::ErrorKind::InvalidData.into()
    }
}

impl<R: BufRead> BufRead for Metered<R> {
    fn fill_buf(&mut self) -> io::Result<&[u8]> {
        if self.since > PIECE_BYTES {
            return Err(self.stop(Fault::Shape));
        }
        if self.inner.fill_buf().is_err() {
            return Err(self.stop(Fault::Broken));
        }
        self.inner.fill_buf()
    }

    fn consume(&mut self, amount: usize) {
        self.since += amount;
        self.inner.consume(amount);
    }
}

impl<R: BufRead> Read for Metered<R> {
    fn read(&mut self, into: &mut [u8]) -> io::Result<usize> {
        let got = self.fill_buf()?.read(into)?;
        self.consume(got);
        Ok(got)
    }
}
