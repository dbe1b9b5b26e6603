//! The code that lets the first owner in: printed once at the start, on the computer itself.

use std::fmt;
use std::time::{Duration, Instant};

/// How long it is good for.
pub const GOOD_FOR: Duration = Duration::from_mins(30);
/// Signs that are not taken for each other (Crockford's base 32).
const SIGNS: &[u8; 32] = b"0123456789ABCDEFGHJKMNPQRSTVWXYZ";
/// 26 signs of 5 bits: 130 bits.
const LENGTH: usize = 26;

/// A code for the one time that it is used.
#[derive(Clone, PartialEq, Eq)]
pub struct SetUpCode {
    signs: String,
    made: Instant,
}

impl SetUpCode {
    /// A code; `None` when the system has no random number.
    pub fn fresh(now: Instant) -> Option<Self> {
        let mut bytes = [0; LENGTH];
        getrandom::fill(&mut bytes).ok()?;
        let signs = bytes.iter().map(|byte| char::from(SIGNS[usize::from(byte % 32)])).collect();
        Some(Self { signs, made: now })
    }

    /// Whether it is good for nothing any more.
    pub fn is_over(&self, now: Instant) -> bool {
        now.saturating_duration_since(self.made) >= GOOD_FOR
    }

    /// Whether this was typed, in whatever groups and case, in time.
    pub fn is(&self, typed: &str, now: Instant) -> bool {
        let typed: Vec<u8> = typed.chars().filter(char::is_ascii_alphanumeric).map(read).collect();
        let own = self.signs.as_bytes();
        // Every sign is compared, so that the time taken tells nothing.
        let differ = own.iter().zip(&typed).fold(0, |differ, (own, typed)| differ | (own ^ typed));
        typed.len() == own.len() && differ == 0 && !self.is_over(now)
    }
}

/// O is nought, I and L are one.
fn read(sign: char) -> u8 {
    match sign.to_ascii_uppercase() {
        'O' => b'0',
        'I' | 'L' => b'1',
        other => other as u8,
    }
}

/// In groups, as it is printed.
impl fmt::Display for SetUpCode {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (place, sign) in self.signs.chars().enumerate() {
            if place > 0 && place % 5 == 0 {
                f.write_str("-")?;
            }
            write!(f, "{sign}")?;
        }
        Ok(())
    }
}

/// It is printed where it is meant to be, and in no log.
impl fmt::Debug for SetUpCode {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("SetUpCode(..)")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_code_is_read_as_it_is_printed_or_typed_and_no_other_is() {
        let now = Instant::now();
        let code = SetUpCode::fresh(now).unwrap();
        let printed = code.to_string();
        assert_eq!(printed.len(), LENGTH + 5, "{printed}");
        assert!(code.is(&printed, now) && code.is(&printed.to_lowercase().replace('-', " "), now));
        assert!(code.is(&printed.replace('0', "O").replace('1', "l"), now));
        assert!(!code.is(&printed[1..], now) && !code.is("", now));
        assert!(!code.is(&SetUpCode::fresh(now).unwrap().to_string(), now));
    }

    #[test]
    fn after_half_an_hour_it_is_good_for_nothing() {
        let now = Instant::now();
        let code = SetUpCode::fresh(now).unwrap();
        assert!(!code.is(&code.to_string(), now + GOOD_FOR));
        assert_eq!(format!("{code:?}"), "SetUpCode(..)");
    }
}
