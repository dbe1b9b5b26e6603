//! From when until when a certificate holds. The TLS library asks that of the other side's certificate alone; of its own
//! a shop should hear before its customers' browsers do.

use std::time::Duration;

/// Seconds since 1970.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Validity {
    /// The first second.
    pub from: i64,
    /// The last.
    pub until: i64,
}

/// Why browsers would not believe a certificate now.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum WrongTime {
    /// It begins later, or the clock of this computer is slow.
    NotYet,
    /// It has ended.
    Ended,
    /// It ends within three weeks.
    EndsSoon,
}

const SOON: Duration = Duration::from_hours(21 * 24);

const SEQUENCE: u8 = 0x30;
const VERSION: u8 = 0xa0;
const UTC_TIME: u8 = 0x17;
const GENERALIZED_TIME: u8 = 0x18;

impl Validity {
    /// Of a certificate in DER (RFC 5280 section 4.1); `None` where it does not read as one.
    pub fn of(certificate: &[u8]) -> Option<Self> {
        let (outer, _) = field(certificate, SEQUENCE)?;
        let (mut fields, _) = field(outer, SEQUENCE)?;
        if let Some((_, rest)) = field(fields, VERSION) {
            fields = rest;
        }
        for _serial_algorithm_issuer in 0..3 {
            fields = any_field(fields)?.2;
        }
        let (both, _) = field(fields, SEQUENCE)?;
        let (from, rest) = time(both)?;
        let (until, _) = time(rest)?;
        Some(Self { from, until })
    }

    /// What is wrong with it at `now`, if anything is.
    pub fn wrong_at(self, now: i64) -> Option<WrongTime> {
        match now {
            now if now < self.from => Some(WrongTime::NotYet),
            now if now > self.until => Some(WrongTime::Ended),
            now if now + SOON.as_secs() as i64 > self.until => Some(WrongTime::EndsSoon),
            _ => None,
        }
    }
}

/// Tag, content, and what follows.
fn any_field(bytes: &[u8]) -> Option<(u8, &[u8], &[u8])> {
    let (tag, rest) = bytes.split_first()?;
    let (first, rest) = rest.split_first()?;
    let (length, rest) = match usize::from(*first) {
        short @ 0..0x80 => (short, rest),
        long => {
            let (digits, rest) =
                rest.split_at_checked(long - 0x80).filter(|(digits, _)| digits.len() <= 4)?;
            (digits.iter().fold(0, |length, digit| length << 8 | usize::from(*digit)), rest)
        }
    };
    let (content, rest) = rest.split_at_checked(length)?;
    Some((*tag, content, rest))
}

/// Content, and what follows, of a field of this tag.
fn field(bytes: &[u8], wanted: u8) -> Option<(&[u8], &[u8])> {
    any_field(bytes).filter(|(tag, ..)| *tag == wanted).map(|(_, content, rest)| (content, rest))
}

fn time(bytes: &[u8]) -> Option<(i64, &[u8])> {
    let (tag, content, rest) = any_field(bytes)?;
    let text = std::str::from_utf8(content).ok()?.strip_suffix('Z')?;
    let (year, text) = match tag {
        // Two digits stand for 1950 to 2049.
        UTC_TIME => {
            let (year, text) = text.split_at_checked(2)?;
            let year: i64 = year.parse().ok()?;
            (if year < 50 { 2000 + year } else { 1900 + year }, text)
        }
        GENERALIZED_TIME => {
            let (year, text) = text.split_at_checked(4)?;
            (year.parse().ok()?, text)
        }
        _ => return None,
    };
    let part = |at: usize| text.get(at..at + 2)?.parse::<i64>().ok();
    let days = days_since_1970(year, part(0)?, part(2)?);
    Some((((days * 24 + part(4)?) * 60 + part(6)?) * 60 + part(8)?, rest))
}

/// Days from 1970-01-01 in the Gregorian calendar; a year is counted from March, so that a leap day is its last.
fn days_since_1970(year: i64, month: i64, day: i64) -> i64 {
    let (year, month) = if month > 2 { (year, month - 3) } else { (year - 1, month + 9) };
    let leap_days = year.div_euclid(4) - year.div_euclid(100) + year.div_euclid(400);
    year * 365 + leap_days + (153 * month + 2) / 5 + day - 719_469
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The frame of a certificate, as far as its times.
    fn certificate(times: &[u8]) -> Vec<u8> {
        let of = |tag: u8, content: &[u8]| [&[tag, content.len() as u8], content].concat();
        let fields = [
            of(VERSION, &[2, 1, 2]),
            of(2, &[9]),
            of(SEQUENCE, &[]),
            of(SEQUENCE, &[0; 20]),
            of(SEQUENCE, times),
            of(SEQUENCE, &[]),
        ];
        of(SEQUENCE, &of(SEQUENCE, &fields.concat()))
    }

    #[test]
    fn both_forms_of_a_time_are_read() {
        let times = b"\x17\x0d260102030405Z\x18\x0f20510101000000Z";
        assert_eq!(
            Validity::of(&certificate(times)),
            Some(Validity { from: 1_767_323_045, until: 2_556_144_000 })
        );
    }

    #[test]
    fn a_day_is_the_calendars() {
        for (date, days) in
            [((1970, 1, 1), 0), ((2000, 2, 29), 11_016), ((2000, 3, 1), 11_017), ((2100, 3, 1), 47_541)]
        {
            assert_eq!(days_since_1970(date.0, date.1, date.2), days, "{date:?}");
        }
    }

    #[test]
    fn what_is_cut_short_or_no_certificate_has_no_validity() {
        let whole = certificate(b"\x17\x0d260102030405Z\x18\x0f20510101000000Z");
        for end in 0..whole.len() {
            assert_eq!(Validity::of(&whole[..end]), None, "{end}");
        }
        assert_eq!(Validity::of(b"no certificate at all"), None);
        assert_eq!(Validity::of(&certificate(b"\x17\x0d26010203040\xffZ")), None);
    }

    #[test]
    fn a_certificate_is_too_early_ended_or_about_to_end() {
        let validity = Validity { from: 1_000, until: 10_000_000 };
        assert_eq!(validity.wrong_at(999), Some(WrongTime::NotYet));
        assert_eq!(validity.wrong_at(1_000), None);
        assert_eq!(validity.wrong_at(9_000_000), Some(WrongTime::EndsSoon));
        assert_eq!(validity.wrong_at(10_000_001), Some(WrongTime::Ended));
    }
}
