//! What the parent asks of the child: limits, one hint, and the file.

use std::io::{self, Read, Write};

use super::SheetLimits;

const MAGIC: [u8; 8] = *b"LBREAD\0\x01";
const HEADER: usize = 8 + 1 + 4 + 2 + 4 + 4 + 4 + 8;

/// One file to be read, within these limits.
#[derive(Debug, PartialEq, Eq)]
pub(super) struct Request {
    /// The file is called .tsv: on a draw between delimiters, the tab wins.
    pub(super) tab_first: bool,
    pub(super) limits: SheetLimits,
    pub(super) bytes: Vec<u8>,
}

/// Writes a request without copying the file.
pub(super) fn send(
    out: &mut impl Write,
    tab_first: bool,
    limits: &SheetLimits,
    bytes: &[u8],
) -> io::Result<()> {
    let mut header = Vec::with_capacity(HEADER);
    header.extend(MAGIC);
    header.push(u8::from(tab_first));
    header.extend(limits.rows.to_le_bytes());
    header.extend(limits.columns.to_le_bytes());
    header.extend(limits.cells.to_le_bytes());
    header.extend(limits.cell_bytes.to_le_bytes());
    header.extend(limits.cell_breaks.to_le_bytes());
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
    let [tab_first] = take(&mut input)?;
    let limits = SheetLimits {
        rows: u32::from_le_bytes(take(&mut input)?),
        columns: u16::from_le_bytes(take(&mut input)?),
        cells: u32::from_le_bytes(take(&mut input)?),
        cell_bytes: u32::from_le_bytes(take(&mut input)?),
        cell_breaks: u32::from_le_bytes(take(&mut input)?),
        ..SheetLimits::standard()
    };
    let length = u64::from_le_bytes(take(&mut input)?);
    let mut bytes = Vec::new();
    input.take(length).read_to_end(&mut bytes)?;
    if bytes.len() as u64 != length {
        return Err(io::ErrorKind::UnexpectedEof.into());
    }
    Ok(Request { tab_first: tab_first != 0, limits, bytes })
}

fn take<const N: usize>(input: &mut impl Read) -> io::Result<[u8; N]> {
    let mut bytes = [0; N];
    input.read_exact(&mut bytes)?;
    Ok(bytes)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn sent() -> Vec<u8> {
        let mut out = Vec::new();
        send(&mut out, true, &SheetLimits { rows: 7, ..SheetLimits::standard() }, b"a,b\n").unwrap();
        out
    }

    #[test]
    fn a_request_arrives_as_it_was_sent() {
        let request = receive(sent().as_slice()).unwrap();
        let limits = SheetLimits { rows: 7, ..SheetLimits::standard() };
        assert_eq!(request, Request { tab_first: true, limits, bytes: b"a,b\n".to_vec() });
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
        sent[7] = 2;
        assert!(receive(sent.as_slice()).is_err());
    }
}
