//! A writer of zips that writes whatever it is told, lies included (PKWARE APPNOTE 4.3).

use std::io::Write;

use flate2::write::DeflateEncoder;
use flate2::{Compress, Compression, Crc, FlushCompress};

/// One part. Every field may lie.
#[derive(Clone)]
pub(crate) struct Part {
    pub(crate) name: String,
    /// The name in front of the data, when it is another than in the list.
    pub(crate) local_name: Option<String>,
    pub(crate) packed: Vec<u8>,
    pub(crate) deflated: bool,
    pub(crate) size: u32,
    pub(crate) crc: u32,
    pub(crate) flags: u16,
    pub(crate) mode: u32,
}

/// A part as an honest writer packs it.
pub(crate) fn part(name: &str, data: impl AsRef<[u8]>) -> Part {
    let data = data.as_ref();
    let mut encoder = DeflateEncoder::new(Vec::new(), Compression::fast());
    encoder.write_all(data).expect("memory");
    Part { packed: encoder.finish().expect("memory"), deflated: true, ..stored(name, data) }
}

/// A part that is not packed.
pub(crate) fn stored(name: &str, data: impl AsRef<[u8]>) -> Part {
    let data = data.as_ref();
    let mut sum = Crc::new();
    sum.update(data);
    let (size, crc) = (data.len() as u32, sum.sum());
    Part {
        name: name.into(),
        local_name: None,
        packed: data.into(),
        deflated: false,
        size,
        crc,
        flags: 0,
        mode: 0,
    }
}

/// `begin`, `block` so many times, `end`, packed without ever being held unpacked. The sum is a lie.
pub(crate) fn repeated(name: &str, begin: &str, block: &str, times: usize, end: &str) -> Part {
    let many = block.repeat(1_000);
    let mut packed = flushed(begin);
    packed.extend(flushed(&many).repeat(times / 1_000));
    // An empty last block with fixed codes: RFC 1951, 3.2.6.
    packed.extend([flushed(end), vec![3, 0]].concat());
    let size = (begin.len() + many.len() * (times / 1_000) + end.len()) as u32;
    Part { packed, deflated: true, size, ..stored(name, "") }
}

/// Packed, and ended on a whole byte without a look back.
fn flushed(text: &str) -> Vec<u8> {
    let mut packed = Vec::with_capacity(text.len() + 1_000);
    let mut compress = Compress::new(Compression::default(), false);
    compress.compress_vec(text.as_bytes(), &mut packed, FlushCompress::Full).expect("memory");
    assert_eq!(compress.total_in(), text.len() as u64, "room for all of it");
    packed
}

/// A zip of these parts, one behind the other.
pub(crate) fn zip(parts: &[Part]) -> Vec<u8> {
    let (mut out, mut starts) = (Vec::new(), Vec::new());
    for part in parts {
        starts.push(out.len() as u32);
        out.extend(local(part));
        out.extend(&part.packed);
    }
    listed(out, parts, &starts)
}

/// The list of parts and the end, behind what is already there.
pub(crate) fn listed(mut out: Vec<u8>, parts: &[Part], starts: &[u32]) -> Vec<u8> {
    let from = out.len();
    for (part, start) in parts.iter().zip(starts) {
        out.extend(b"PK\x01\x02\x14\x03\x14\x00");
        out.extend(common(part, &part.name));
        out.extend([0; 6]);
        out.extend((part.mode << 16).to_le_bytes());
        out.extend(start.to_le_bytes());
        out.extend(part.name.as_bytes());
    }
    let count = u16::try_from(parts.len()).unwrap_or(u16::MAX).to_le_bytes();
    let size = (out.len() - from) as u32;
    out.extend(b"PK\x05\x06\0\0\0\0");
    out.extend([count, count].concat());
    out.extend(size.to_le_bytes());
    out.extend((from as u32).to_le_bytes());
    out.extend([0; 2]);
    out
}

/// A part's own header.
pub(crate) fn local(part: &Part) -> Vec<u8> {
    let name = part.local_name.as_ref().unwrap_or(&part.name);
    [b"PK\x03\x04\x14\x00".to_vec(), common(part, name), name.clone().into()].concat()
}

/// From the flags to the length of the extra field: the same in both headers.
fn common(part: &Part, name: &str) -> Vec<u8> {
    let method: u16 = if part.deflated { 8 } else { 0 };
    let mut out = [part.flags.to_le_bytes(), method.to_le_bytes(), [0; 2], [0; 2]].concat();
    out.extend(part.crc.to_le_bytes());
    out.extend((part.packed.len() as u32).to_le_bytes());
    out.extend(part.size.to_le_bytes());
    out.extend((name.len() as u16).to_le_bytes());
    out.extend([0; 2]);
    out
}
