//! Inputs out of inputs: a seed, changed a few times in the ways that break parsers.

use tests::chance::Chance;

/// What no parser likes, whatever it reads.
const TOKENS: [&[u8]; 36] = [
    b"\0",
    b"\"",
    b"'",
    b",",
    b";",
    b"\t",
    b"\r",
    b"\n",
    b"\r\n",
    b"=",
    b"[",
    b"]",
    b"[[",
    b"{",
    b"}",
    b"\\",
    b"/",
    b"%00",
    b"-",
    b"+",
    b".",
    b"0",
    b"-1",
    b"4294967296",
    b"9223372036854775807",
    b"1e309",
    b"NaN",
    b"\xEF\xBB\xBF",
    b"\xFF\xFE",
    b"\xE2\x80\xAE",
    b"\xC2\xA0",
    b"\xCC\x81",
    b"\xF0\x9F\x91\x9F",
    b"\xD9\xA3",
    b"\xEF\xBC\x93",
    b"\xEF\xBF\xBF",
];
/// Numbers at whose edges arithmetic goes wrong.
const NUMBERS: [u64; 12] =
    [0, 1, 9, 99, 127, 128, 255, 65_535, 65_536, 2_147_483_648, 4_294_967_295, 18_446_744_073_709_551_615];
/// A mutant is no longer than this: deep and long inputs have cases of their own.
const LONGEST: usize = 64 * 1024;

/// Seeds, and the words of the language that they are written in.
pub(crate) struct Seeds {
    pub(crate) seeds: Vec<Vec<u8>>,
    pub(crate) words: Vec<Vec<u8>>,
}

impl Seeds {
    pub(crate) fn of(seeds: impl IntoIterator<Item = impl Into<Vec<u8>>>, words: &[&str]) -> Self {
        let words = words.iter().map(|word| word.as_bytes().to_vec()).collect();
        Self {
            seeds: seeds.into_iter().map(Into::into).filter(|seed| seed.len() <= LONGEST).collect(),
            words,
        }
    }

    /// One of the seeds, changed up to eight times.
    pub(crate) fn mutant(&self, chance: &mut Chance) -> Vec<u8> {
        let mut bytes = chance.one(&self.seeds).cloned().unwrap_or_default();
        for _ in 0..=chance.below(8) {
            self.change(&mut bytes, chance);
            bytes.truncate(LONGEST);
        }
        bytes
    }

    fn change(&self, bytes: &mut Vec<u8>, chance: &mut Chance) {
        let at = chance.below(bytes.len() + 1);
        let piece = at..(at + 1 + chance.below(16)).min(bytes.len());
        match chance.below(11) {
            0 if !bytes.is_empty() => {
                let byte = at.min(bytes.len() - 1);
                bytes[byte] ^= 1 << chance.below(8);
            }
            1 => drop(bytes.drain(piece.start.min(piece.end)..piece.end)),
            2 => {
                let copy = bytes[piece.start.min(piece.end)..piece.end].to_vec();
                let times = [1, 1, 2, 16, 300][chance.below(5)];
                insert(bytes, at, &copy.repeat(times));
            }
            3 => bytes.truncate(at),
            4 => insert(bytes, at, TOKENS[chance.below(TOKENS.len())]),
            5 => insert(bytes, at, NUMBERS[chance.below(NUMBERS.len())].to_string().as_bytes()),
            6 => {
                insert(
                    bytes,
                    at,
                    &NUMBERS[chance.below(NUMBERS.len())].to_le_bytes()[..1 << chance.below(4)],
                );
            }
            7 => {
                let word = chance.one(&self.words).cloned().unwrap_or_default();
                insert(bytes, at, &word);
            }
            // The head of one and the tail of another.
            8 => {
                let other = chance.one(&self.seeds).cloned().unwrap_or_default();
                let from = chance.below(other.len() + 1);
                bytes.truncate(at);
                bytes.extend_from_slice(&other[from..]);
            }
            9 => other_number(bytes, at, chance),
            _ if !bytes.is_empty() => {
                let byte = at.min(bytes.len() - 1);
                bytes[byte] = chance.draw() as u8;
            }
            _ => {}
        }
    }
}

/// The digits nearest behind `at` become another number.
fn other_number(bytes: &mut Vec<u8>, at: usize, chance: &mut Chance) {
    let Some(start) = bytes[at..].iter().position(u8::is_ascii_digit).map(|digit| at + digit) else {
        return;
    };
    let length = bytes[start..].iter().take_while(|byte| byte.is_ascii_digit()).count();
    let number = NUMBERS[chance.below(NUMBERS.len())].to_string();
    bytes.splice(start..start + length, number.into_bytes());
}

fn insert(bytes: &mut Vec<u8>, at: usize, new: &[u8]) {
    let at = at.min(bytes.len());
    bytes.splice(at..at, new.iter().copied());
}
