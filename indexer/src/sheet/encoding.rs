//! Bytes to text: which encoding, and on what evidence. Looked at before anything is split, because UTF-16
//! splits "successfully" into cells full of NULs.

use std::borrow::Cow;

use chardetng::{EncodingDetector, Iso2022JpDetection, Utf8Detection};
use encoding_rs::{Encoding, UTF_8, UTF_16BE, UTF_16LE};

use super::dialect::EncodingSeen;

/// A file as text.
pub(super) struct Decoded<'b> {
    pub(super) text: Cow<'b, str>,
    pub(super) encoding: &'static Encoding,
    pub(super) seen: EncodingSeen,
    /// Some bytes meant nothing in this encoding; U+FFFD stands in their place.
    pub(super) damaged: bool,
}

/// Reads bytes as text, in the encoding said if one was. Never fails: what could not be read is marked as damaged.
pub(super) fn decode<'b>(bytes: &'b [u8], said: Option<&'static Encoding>) -> Decoded<'b> {
    let (encoding, seen) = said.map_or_else(|| recognise(bytes), |said| (said, EncodingSeen::Said));
    let (text, damaged) = encoding.decode_with_bom_removal(bytes);
    Decoded { text, encoding, seen, damaged }
}

fn recognise(bytes: &[u8]) -> (&'static Encoding, EncodingSeen) {
    if let Some((encoding, _)) = Encoding::for_bom(bytes) {
        return (encoding, EncodingSeen::Mark);
    }
    if let Some(encoding) = utf16_by_its_zeros(bytes) {
        return (encoding, EncodingSeen::ZeroBytes);
    }
    if mostly_utf8(bytes) {
        return (UTF_8, EncodingSeen::Valid);
    }
    (guess(bytes), EncodingSeen::Guessed)
}

/// UTF-16 without a mark: digits, commas and line ends have a zero in every other byte, always on one side.
fn utf16_by_its_zeros(bytes: &[u8]) -> Option<&'static Encoding> {
    const SAMPLE: usize = 4_096;
    let (pairs, _) = bytes[..bytes.len().min(SAMPLE)].as_chunks::<2>();
    let first = pairs.iter().filter(|pair| pair[0] == 0).count();
    let second = pairs.iter().filter(|pair| pair[1] == 0).count();
    let many = |zeros: usize| zeros > 1 && zeros * 3 >= pairs.len();
    match (first, second) {
        (0, zeros) if many(zeros) => Some(UTF_16LE),
        (zeros, 0) if many(zeros) => Some(UTF_16BE),
        _ => None,
    }
}

/// UTF-8, or UTF-8 with a few damaged bytes: read as anything else, every accent in it would turn to rubbish.
fn mostly_utf8(bytes: &[u8]) -> bool {
    if std::str::from_utf8(bytes).is_ok() {
        return true;
    }
    let (mut sound, mut broken) = (0_usize, 0_usize);
    for chunk in bytes.utf8_chunks() {
        sound += chunk.valid().chars().filter(|c| !c.is_ascii()).count();
        broken += usize::from(!chunk.invalid().is_empty());
    }
    sound > broken
}

/// A legacy encoding by the statistics of its letters; windows-1252 when they say nothing.
fn guess(bytes: &[u8]) -> &'static Encoding {
    const SAMPLE: usize = 256 << 10;
    let start = bytes.iter().position(|byte| !byte.is_ascii()).unwrap_or(0);
    let rest = &bytes[start..];
    let mut detector = EncodingDetector::new(Iso2022JpDetection::Deny);
    detector.feed(&rest[..rest.len().min(SAMPLE)], rest.len() <= SAMPLE);
    detector.guess(None, Utf8Detection::Deny)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn utf16(text: &str, order: fn(u16) -> [u8; 2]) -> Vec<u8> {
        text.encode_utf16().flat_map(order).collect()
    }

    #[test]
    fn a_mark_decides_and_is_not_part_of_the_text() {
        let little = [b"\xFF\xFE".to_vec(), utf16("a,é", u16::to_le_bytes)].concat();
        let big = [b"\xFE\xFF".to_vec(), utf16("a,é", u16::to_be_bytes)].concat();
        let eight = [b"\xEF\xBB\xBF".to_vec(), "a,é".into()].concat();
        for (bytes, name) in [(little, "UTF-16LE"), (big, "UTF-16BE"), (eight, "UTF-8")] {
            let decoded = decode(&bytes, None);
            assert_eq!((decoded.text.as_ref(), decoded.encoding.name()), ("a,é", name));
            assert_eq!((decoded.seen, decoded.damaged), (EncodingSeen::Mark, false));
        }
    }

    #[test]
    fn utf16_without_a_mark_is_known_by_its_zeros() {
        let text = "style,drop\nA1,靴\n";
        for (bytes, name) in
            [(utf16(text, u16::to_le_bytes), "UTF-16LE"), (utf16(text, u16::to_be_bytes), "UTF-16BE")]
        {
            let decoded = decode(&bytes, None);
            assert_eq!((decoded.text.as_ref(), decoded.encoding.name()), (text, name));
            assert_eq!(decoded.seen, EncodingSeen::ZeroBytes);
        }
    }

    #[test]
    fn a_stray_nul_does_not_make_a_file_utf16() {
        assert_eq!(decode(b"a,b\n1,x\0y\n", None).encoding, UTF_8);
    }

    // Bytes 80, 93, 94, E9 in windows-1252: WHATWG Encoding Standard, index-windows-1252.
    #[test]
    fn western_bytes_are_read_as_windows_1252() {
        let decoded = decode(b"name,note\ncaf\xE9,\x93soft\x94 \x80 120\n", None);
        assert_eq!(decoded.text, "name,note\ncafé,“soft” € 120\n");
        assert_eq!((decoded.encoding.name(), decoded.seen), ("windows-1252", EncodingSeen::Guessed));
    }

    #[test]
    fn japanese_bytes_are_read_as_shift_jis() {
        let text = "品番,品名,色\nA1,ランニングシューズ,黒\nA2,厚底の靴です,白\n";
        let (bytes, _, _) = encoding_rs::SHIFT_JIS.encode(text);
        assert_eq!(decode(&bytes, None).text, text);
    }

    #[test]
    fn a_few_damaged_bytes_leave_the_rest_utf8_and_are_marked() {
        let bytes = ["é,ü,äö ".as_bytes(), b"\xFF,b"].concat();
        let decoded = decode(&bytes, None);
        assert_eq!(decoded.encoding, UTF_8);
        assert!(decoded.damaged && decoded.text.contains('\u{FFFD}'));
    }

    #[test]
    fn an_encoding_that_was_said_is_used_and_its_mark_is_no_text() {
        let decoded = decode(b"caf\xE9,\xA4", Some(encoding_rs::ISO_8859_15));
        assert_eq!((&*decoded.text, decoded.seen), ("café,€", EncodingSeen::Said));
        assert_eq!(decode(b"\xEF\xBB\xBFa,b", Some(UTF_8)).text, "a,b");
        assert!(decode(b"caf\xE9", Some(UTF_8)).damaged);
    }

    #[test]
    fn half_a_utf16_character_at_the_end_is_damage() {
        assert!(decode(b"\xFF\xFEa\0,\0b", None).damaged);
    }

    // WHATWG Encoding Standard, labels (as in npm whatwg-encoding 3.1.1, MIT): the parent looks names up so.
    #[test]
    fn labels_name_the_encodings_of_the_standard() {
        let cases = [
            ("latin1", Some("windows-1252")),
            ("iso-8859-1", Some("windows-1252")),
            ("iso-8859-15", Some("ISO-8859-15")),
            ("utf8", Some("UTF-8")),
            ("unicode", Some("UTF-16LE")),
            ("windows-31j", Some("Shift_JIS")),
            ("gb2312", Some("GBK")),
            ("mac", Some("macintosh")),
            ("cp437", None),
            ("utf-7", None),
        ];
        for (label, name) in cases {
            assert_eq!(Encoding::for_label(label.as_bytes()).map(Encoding::name), name, "{label}");
        }
    }
}
