//! The child's answer as bytes: frame by frame, and each frame piece by piece. What a frame says is `answer`'s.

use std::io::{ErrorKind, Read};

use super::frames::{Checksum, FrameFault, MAGIC, VERSION};

/// An answer as it comes in.
pub(super) struct Frames<R> {
    input: R,
    sum: Checksum,
    /// Bytes the child may still send.
    left: u64,
    body: Vec<u8>,
}

impl<R: Read> Frames<R> {
    /// Hears the greeting; `most` bytes may come, it included.
    pub(super) fn of(input: R, most: u64) -> Result<Self, FrameFault> {
        let mut frames = Self { input, sum: Checksum::new(), left: most, body: Vec::new() };
        if frames.array()? != MAGIC {
            return Err(FrameFault::Magic);
        }
        match frames.array()? {
            [VERSION] => Ok(frames),
            [other] => Err(FrameFault::Version(other)),
        }
    }

    /// The next frame's tag and body, and the checksum of all before it.
    pub(super) fn next(&mut self) -> Result<(u8, Body<'_>, u32), FrameFault> {
        let sum = self.sum.value();
        let [tag, length @ ..] = self.array::<5>()?;
        let length = u64::from(u32::from_le_bytes(length));
        self.left = self.left.checked_sub(length).ok_or(FrameFault::TooLong)?;
        self.body.clear();
        let got = (&mut self.input).take(length).read_to_end(&mut self.body);
        if got.map_err(|error| FrameFault::Pipe(error.kind()))? as u64 != length {
            return Err(FrameFault::CutShort);
        }
        self.sum.add(&self.body);
        Ok((tag, Body { tag, rest: &self.body }, sum))
    }

    fn array<const N: usize>(&mut self) -> Result<[u8; N], FrameFault> {
        self.left = self.left.checked_sub(N as u64).ok_or(FrameFault::TooLong)?;
        let mut bytes = [0; N];
        self.input.read_exact(&mut bytes).map_err(|error| match error.kind() {
            ErrorKind::UnexpectedEof => FrameFault::CutShort,
            other => FrameFault::Pipe(other),
        })?;
        self.sum.add(&bytes);
        Ok(bytes)
    }

    pub(super) fn finished(&mut self) -> Result<(), FrameFault> {
        match self.input.read_exact(&mut [0]) {
            Err(error) if error.kind() == ErrorKind::UnexpectedEof => Ok(()),
            Err(error) => Err(FrameFault::Pipe(error.kind())),
            Ok(()) => Err(FrameFault::Extra),
        }
    }
}

/// The body of one frame, taken piece by piece; a piece that is not there is a fault.
pub(super) struct Body<'b> {
    tag: u8,
    rest: &'b [u8],
}

impl<'b> Body<'b> {
    pub(super) fn fault(&self) -> FrameFault {
        FrameFault::Body(self.tag)
    }

    pub(super) fn bytes(&mut self, length: usize) -> Result<&'b [u8], FrameFault> {
        let (taken, rest) = self.rest.split_at_checked(length).ok_or(self.fault())?;
        self.rest = rest;
        Ok(taken)
    }

    fn array<const N: usize>(&mut self) -> Result<[u8; N], FrameFault> {
        let (taken, rest) = self.rest.split_first_chunk::<N>().ok_or(self.fault())?;
        self.rest = rest;
        Ok(*taken)
    }

    pub(super) fn u8(&mut self) -> Result<u8, FrameFault> {
        self.array().map(u8::from_le_bytes)
    }

    pub(super) fn u16(&mut self) -> Result<u16, FrameFault> {
        self.array().map(u16::from_le_bytes)
    }

    pub(super) fn u32(&mut self) -> Result<u32, FrameFault> {
        self.array().map(u32::from_le_bytes)
    }

    pub(super) fn rest(&mut self) -> &'b [u8] {
        std::mem::take(&mut self.rest)
    }

    pub(super) fn goes_on(&self) -> bool {
        !self.rest.is_empty()
    }

    pub(super) fn finished(&self) -> Result<(), FrameFault> {
        if self.rest.is_empty() { Ok(()) } else { Err(self.fault()) }
    }
}
