//! What the parent asks of the child: the kind of file, what the owner says of it, limits, and the file.

use std::io::{self, Read, Write};

use encoding_rs::Encoding;

use super::SheetLimits;

const MAGIC: [u8; 8] = *b"LBREAD\0\x02";
const HEADER: usize = 128;

/// What kind of file it is by name and first bytes. Its number is its name between parent and child.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Kind {
    /// Delimited text.
    Text,
    Xlsx,
    Ods,
}

/// How a file is to be read.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Asked {
    pub(super) kind: Kind,
    /// The file is called .tsv: on a draw between delimiters, the tab wins.
    pub(super) tab_first: bool,
    /// What splits the columns, if the owner said so.
    pub(super) delimiter: Option<u8>,
    /// The encoding, if the owner said so.
    pub(super) encoding: Option<&'static Encoding>,
}

/// One file to be read, within these limits.
#[derive(Debug, PartialEq, Eq)]
pub(super) struct Request {
    pub(super) asked: Asked,
    pub(super) limits: SheetLimits,
    pub(super) bytes: Vec<u8>,
}

impl Kind {
    const ALL: [Self; 3] = [Self::Text, Self::Xlsx, Self::Ods];
}

/// Writes a request without copying the file.
pub(super) fn send(out: &mut impl Write, asked: Asked, limits: &SheetLimits, bytes: &[u8]) -> io::Result<()> {
    let label = asked.encoding.map_or("", Encoding::name);
    let mut header = Vec::with_capacity(HEADER);
    header.extend(MAGIC);
    header.extend([asked.kind as u8, u8::from(asked.tab_first), asked.delimiter.unwrap_or(0)]);
    header.push(label.len() as u8);
    header.extend(label.as_bytes());
    header.extend(limits.rows.to_le_bytes());
    header.extend(limits.columns.to_le_bytes());
    header.extend(limits.cells.to_le_bytes());
    header.extend(limits.cell_bytes.to_le_bytes());
    header.extend(limits.cell_breaks.to_le_bytes());
    header.extend(limits.tabs.to_le_bytes());
    header.extend(limits.merged.to_le_bytes());
    header.extend((limits.name_chars as u64).to_le_bytes());
    header.extend((bytes.len() as u64).to_le_bytes());
    out.write_all(&header)?;
    out.write_all(bytes)?;
    out.flush()
}

/// Reads a request to its end.
pub(super) fn receive(mut input: impl Read) -> io::Result<Request> {
    if take(&mut input)? != MAGIC {
        return Err(io::ErrorKind::InvalidData.into());
    }
    let asked = asked(&mut input)?;
    let limits = SheetLimits {
        rows: u32::from_le_bytes(take(&mut input)?),
        columns: u16::from_le_bytes(take(&mut input)?),
        cells: u32::from_le_bytes(take(&mut input)?),
        cell_bytes: u32::from_le_bytes(take(&mut input)?),
        cell_breaks: u32::from_le_bytes(take(&mut input)?),
        tabs: u16::from_le_bytes(take(&mut input)?),
        merged: u32::from_le_bytes(take(&mut input)?),
        name_chars: u64::from_le_bytes(take(&mut input)?) as usize,
        ..SheetLimits::standard()
    };
    let length = u64::from_le_bytes(take(&mut input)?);
    let mut bytes = Vec::new();
    input.take(length).read_to_end(&mut bytes)?;
    if bytes.len() as u64 != length {
        return Err(io::ErrorKind::UnexpectedEof.into());
    }
    Ok(Request { asked, limits, bytes })
}

fn asked(input: &mut impl Read) -> io::Result<Asked> {
    let [kind, tab_first, delimiter, length] = take(input)?;
    let kind = *Kind::ALL.get(usize::from(kind)).ok_or(io::ErrorKind::InvalidData)?;
    let mut label = vec![0; usize::from(length)];
    input.read_exact(&mut label)?;
    let encoding = match Encoding::for_label(&label) {
        None if length > 0 => return Err(io::ErrorKind::InvalidData.into()),
        encoding => encoding,
    };
    Ok(Asked { kind, tab_first: tab_first != 0, delimiter: (delimiter != 0).then_some(delimiter), encoding })
}

fn take<const N: usize>(input: &mut impl Read) -> io::Result<[u8; N]> {
    let mut bytes = [0; N];
    input.read_exact(&mut bytes)?;
    Ok(bytes)
}

#[cfg(test)]
mod tests {
    use super::*;

    const ASKED: Asked = Asked {
        kind: Kind::Text,
        tab_first: true,
        delimiter: Some(b'|'),
        encoding: Some(encoding_rs::WINDOWS_1252),
    };

    fn sent() -> Vec<u8> {
        let mut out = Vec::new();
        send(&mut out, ASKED, &SheetLimits { rows: 7, ..SheetLimits::standard() }, b"a,b\n").unwrap();
        out
    }

    #[test]
    fn a_request_arrives_as_it_was_sent() {
        let request = receive(sent().as_slice()).unwrap();
        let limits = SheetLimits { rows: 7, ..SheetLimits::standard() };
        assert_eq!(request, Request { asked: ASKED, limits, bytes: b"a,b\n".to_vec() });
    }

    #[test]
    fn a_kind_survives_its_number_and_what_was_not_said_stays_unsaid() {
        for kind in Kind::ALL {
            let asked = Asked { kind, tab_first: false, delimiter: None, encoding: None };
            let mut out = Vec::new();
            send(&mut out, asked, &SheetLimits::small(), b"").unwrap();
            assert_eq!(receive(out.as_slice()).unwrap().asked, asked);
        }
    }

    #[test]
    fn a_request_cut_anywhere_is_an_error() {
        let sent = sent();
        for end in 0..sent.len() {
            assert!(receive(&sent[..end]).is_err(), "{end}");
        }
    }

    #[test]
    fn another_magic_is_an_error() {
        let mut sent = sent();
        sent[7] = 1;
        assert!(receive(sent.as_slice()).is_err());
    }
}
