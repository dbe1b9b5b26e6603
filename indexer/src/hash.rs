//! Content hashes as text: SHA-256 in hexadecimal.

use std::fmt::Write as _;

use sha2::{Digest, Sha256};

/// The hash of some bytes, 64 hexadecimal digits.
pub fn sha256(bytes: &[u8]) -> String {
    hex(&Sha256::digest(bytes))
}

/// Bytes as hexadecimal digits.
pub fn hex(bytes: &[u8]) -> String {
    bytes.iter().fold(String::with_capacity(2 * bytes.len()), |mut text, byte| {
        // Writing to a string does not fail.
        let _ = write!(text, "{byte:02x}");
        text
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Source: FIPS 180-4, the example of the three letters "abc".
    #[test]
    fn the_published_example_is_hashed_as_published() {
        assert_eq!(sha256(b"abc"), "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
    }
}
