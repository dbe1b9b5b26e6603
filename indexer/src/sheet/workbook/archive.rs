//! The zip that a workbook is: its list of parts, checked whole before a byte of any part is unpacked.
//!
//! The list at the end is the only truth: what stands between the parts is never looked for. Sizes are what the
//! list says, and a part that unpacks to more, to less or to another checksum is an error.

use std::collections::BTreeSet;
use std::io::{self, Read};

use flate2::Crc;
use flate2::bufread::DeflateDecoder;

use super::super::WorkbookFault as Fault;
use super::super::workbook_fault::PARTS;

/// Bytes of all parts, unpacked. Rows are read as they come and not kept, so this bounds time, not memory:
/// 200,000 rows of twenty cells are some 150 MB of markup.
const ALL_BYTES: u64 = 256_000_000;
/// Bytes of one part, unpacked.
const PART_BYTES: u64 = 160_000_000;
/// How many times larger than packed a part may be, above the size where it matters. Sheets reach 40.
const RATIO: u64 = 100;
const RATIO_FROM: u64 = 1_000_000;

const END: &[u8; 4] = b"PK\x05\x06";
const END_BYTES: usize = 22;
const LISTED: &[u8; 4] = b"PK\x01\x02";
const LISTED_BYTES: usize = 46;
const LOCAL: &[u8; 4] = b"PK\x03\x04";
const LOCAL_BYTES: usize = 30;

/// A zip whose list of parts is sound.
pub(super) struct Archive<'b> {
    parts: Vec<Part<'b>>,
}

struct Part<'b> {
    name: &'b str,
    deflated: bool,
    packed: &'b [u8],
    size: u64,
    crc: u32,
}

impl<'b> Archive<'b> {
    /// Reads the list of parts (PKWARE APPNOTE 4.3.12 and 4.3.16) and refuses what no spreadsheet writes.
    pub(super) fn open(bytes: &'b [u8]) -> Result<Self, Fault> {
        let list = List::of(bytes)?;
        let mut rest = bytes.get(list.from..list.to).ok_or(Fault::Broken)?;
        let (mut parts, mut names, mut spans) = (Vec::new(), BTreeSet::new(), Vec::new());
        let mut total = 0;
        for _ in 0..list.count {
            let (part, span) = listed(bytes, list.from, &mut rest)?;
            if !names.insert(part.name) {
                return Err(Fault::UnsafeParts);
            }
            total += part.size;
            check_size(&part, total)?;
            spans.push(span);
            parts.push(part);
        }
        if rest.starts_with(LISTED) || overlap(&mut spans) {
            return Err(Fault::UnsafeParts);
        }
        Ok(Self { parts })
    }

    /// The names of all parts.
    pub(super) fn names(&self) -> impl Iterator<Item = &str> {
        self.parts.iter().map(|part| part.name)
    }

    /// A part to be unpacked as it is read; `None` when there is none of that name.
    pub(super) fn part(&self, name: &str) -> Option<Unpacked<'b>> {
        self.parts.iter().find(|part| part.name == name).map(Unpacked::of)
    }

    /// Bytes of a part, unpacked; 0 when there is none.
    pub(super) fn size(&self, name: &str) -> u64 {
        self.parts.iter().find(|part| part.name == name).map_or(0, |part| part.size)
    }
}

/// Where the list of parts stands.
struct List {
    from: usize,
    to: usize,
    count: u16,
}

impl List {
    /// The record at the very end; its comment, if any, must be all that follows it.
    fn of(bytes: &[u8]) -> Result<Self, Fault> {
        let furthest = bytes.len().saturating_sub(END_BYTES + usize::from(u16::MAX));
        let ends = |at: &usize| {
            let record = bytes.get(*at..).unwrap_or_default();
            record.starts_with(END)
                && u16_at(record, 20).is_some_and(|c| record.len() == END_BYTES + usize::from(c))
        };
        let last = bytes.len().checked_sub(END_BYTES).ok_or(Fault::Broken)?;
        let at = (furthest..=last).rev().find(ends).ok_or(Fault::Broken)?;
        let record = &bytes[at..];
        let [disk, list_disk, here, count] =
            [4, 6, 8, 10].map(|field| u16_at(record, field).unwrap_or(u16::MAX));
        if usize::from(count) > PARTS {
            return Err(Fault::TooManyParts);
        }
        let size = u32_at(record, 12).ok_or(Fault::Broken)? as usize;
        let from = u32_at(record, 16).ok_or(Fault::Broken)? as usize;
        let to = from.checked_add(size).filter(|to| *to <= at).ok_or(Fault::Broken)?;
        if (disk, list_disk) != (0, 0) || here != count {
            return Err(Fault::Broken);
        }
        Ok(Self { from, to, count })
    }
}

/// Takes one entry off the list; with it the bytes it covers in the file, its own header included.
fn listed<'b>(
    bytes: &'b [u8],
    list_from: usize,
    rest: &mut &'b [u8],
) -> Result<(Part<'b>, (usize, usize)), Fault> {
    let entry = *rest;
    if !entry.starts_with(LISTED) {
        return Err(Fault::Broken);
    }
    let field16 = |at| u16_at(entry, at).map(usize::from).ok_or(Fault::Broken);
    let field32 = |at| u32_at(entry, at).ok_or(Fault::Broken);
    let (flags, method) = (field16(8)?, field16(10)?);
    let (named, extra, comment) = (field16(28)?, field16(30)?, field16(32)?);
    let name = entry.get(LISTED_BYTES..LISTED_BYTES + named).ok_or(Fault::Broken)?;
    let extras = entry.get(LISTED_BYTES + named..LISTED_BYTES + named + extra).ok_or(Fault::Broken)?;
    *rest = entry.get(LISTED_BYTES + named + extra + comment..).ok_or(Fault::Broken)?;
    if flags & 1 != 0 {
        return Err(Fault::Encrypted);
    }
    let (size, packed) = sizes(field32(24)?, field32(20)?, extras)?;
    let name = safe_name(name, field32(38)?)?;
    let from = field32(42)? as usize;
    let data = local_data(bytes, from, name)?;
    let to = usize::try_from(packed).ok().and_then(|packed| data.checked_add(packed)).ok_or(Fault::Broken)?;
    let packed = bytes.get(data..to).filter(|_| to <= list_from).ok_or(Fault::Broken)?;
    let deflated = match method {
        0 if size == packed.len() as u64 => false,
        8 => true,
        _ => return Err(Fault::Broken),
    };
    Ok((Part { name, deflated, packed, size, crc: field32(16)? }, (from, to)))
}

/// Unpacked and packed size; some writers put them into the 64-bit extra field whatever they are (APPNOTE 4.5.3).
fn sizes(size: u32, packed: u32, mut extras: &[u8]) -> Result<(u64, u64), Fault> {
    let (mut size, mut packed) = (u64::from(size), u64::from(packed));
    let wide = u64::from(u32::MAX);
    while let (Some(id), Some(length)) = (u16_at(extras, 0), u16_at(extras, 2)) {
        let mut body = extras.get(4..4 + usize::from(length)).ok_or(Fault::Broken)?;
        for field in [&mut size, &mut packed] {
            if id == 1 && *field == wide {
                let (value, rest) = body.split_first_chunk::<8>().ok_or(Fault::Broken)?;
                (*field, body) = (u64::from_le_bytes(*value), rest);
            }
        }
        extras = &extras[4 + usize::from(length)..];
    }
    Ok((size, packed))
}

/// Where a part's bytes begin, behind a header that must bear the same name.
fn local_data(bytes: &[u8], from: usize, name: &str) -> Result<usize, Fault> {
    let local = bytes.get(from..).filter(|local| local.starts_with(LOCAL)).ok_or(Fault::Broken)?;
    let named = u16_at(local, 26).map(usize::from).ok_or(Fault::Broken)?;
    let extra = u16_at(local, 28).map(usize::from).ok_or(Fault::Broken)?;
    match local.get(LOCAL_BYTES..LOCAL_BYTES + named) {
        Some(own) if own == name.as_bytes() => Ok(from + LOCAL_BYTES + named + extra),
        _ => Err(Fault::UnsafeParts),
    }
}

/// A name that stays inside the archive, of a part that is a file or a folder. `attributes` hold the Unix mode
/// in their upper half.
fn safe_name(name: &[u8], attributes: u32) -> Result<&str, Fault> {
    const KIND: u32 = 0o170_000;
    const LINK: u32 = 0o120_000;
    let name = std::str::from_utf8(name).map_err(|_| Fault::UnsafeParts)?;
    let outside = name.is_empty() || name.starts_with('/') || name.split('/').any(|step| step == "..");
    let odd = name.contains(['\\', ':']) || name.chars().any(char::is_control);
    if outside || odd || (attributes >> 16) & KIND == LINK { Err(Fault::UnsafeParts) } else { Ok(name) }
}

fn check_size(part: &Part<'_>, total: u64) -> Result<(), Fault> {
    if part.size > RATIO_FROM && part.size / RATIO > part.packed.len() as u64 {
        return Err(Fault::Bomb);
    }
    if part.size > PART_BYTES || total > ALL_BYTES { Err(Fault::TooMuchInside) } else { Ok(()) }
}

fn overlap(spans: &mut [(usize, usize)]) -> bool {
    spans.sort_unstable();
    spans.windows(2).any(|pair| pair[0].1 > pair[1].0)
}

/// A part as it is unpacked: never longer than the list says, and whole when it ends.
pub(super) struct Unpacked<'b> {
    from: Packed<'b>,
    left: u64,
    sum: Crc,
    told: u32,
}

enum Packed<'b> {
    Stored(&'b [u8]),
    Deflated(Box<DeflateDecoder<&'b [u8]>>),
}

impl<'b> Unpacked<'b> {
    fn of(part: &Part<'b>) -> Self {
        let from = if part.deflated {
            Packed::Deflated(Box::new(DeflateDecoder::new(part.packed)))
        } else {
            Packed::Stored(part.packed)
        };
        Self { from, left: part.size, sum: Crc::new(), told: part.crc }
    }
}

impl Read for Unpacked<'_> {
    fn read(&mut self, into: &mut [u8]) -> io::Result<usize> {
        let got = match &mut self.from {
            Packed::Stored(bytes) => bytes.read(into)?,
            Packed::Deflated(stream) => stream.read(into)?,
        };
        let lie = || io::Error::from(io::ErrorKind::InvalidData);
        self.left = self.left.checked_sub(got as u64).ok_or_else(lie)?;
        self.sum.update(into.get(..got).unwrap_or_default());
        let ended = got == 0 && !into.is_empty();
        if ended && (self.left > 0 || self.sum.sum() != self.told) { Err(lie()) } else { Ok(got) }
    }
}

fn u16_at(bytes: &[u8], at: usize) -> Option<u16> {
    bytes.get(at..)?.first_chunk().copied().map(u16::from_le_bytes)
}

fn u32_at(bytes: &[u8], at: usize) -> Option<u32> {
    bytes.get(at..)?.first_chunk().copied().map(u32::from_le_bytes)
}
