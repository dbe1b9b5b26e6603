//! Passwords: what is taken as one, and the hash that is kept of it.

use argon2::Argon2;
use argon2::password_hash::{PasswordHasher, PasswordVerifier};

/// The fewest characters of a password, without any rule on which (OWASP ASVS 5.0, 6.2.1 asks for 8 and recommends 15).
pub const SHORTEST: usize = 12;
/// The most characters: a hash of a whole book would keep the server busy.
pub const LONGEST: usize = 128;

/// The parameters of today's hashes: 19 MiB, two passes, one lane (OWASP password storage cheat sheet).
pub const PARAMETERS: &str = "$argon2id$v=19$m=19456,t=2,p=1$";

/// Why something is not taken as a password.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Weak {
    /// Fewer than [`SHORTEST`] characters.
    Short,
    /// More than [`LONGEST`] characters.
    Long,
    /// It holds the name of its account.
    HoldsName,
    /// A few characters over and over, or a row of the keyboard.
    Pattern,
    /// Nothing but words that are tried first.
    Common,
}

/// Runs of keys that lie in a row, on the keyboards of both languages, and the alphabet.
const ROWS: [&str; 6] =
    ["01234567890", "abcdefghijklmnopqrstuvwxyz", "qwertzuiopü", "qwertyuiop", "asdfghjklöä", "yxcvbnm"];

/// Whole passwords that are used so often that they are tried first, as hashes; where they come from stands there.
const OFTEN_USED: &str = include_str!("often_used.txt");

/// Words that are tried first, here and in the shop: most of the well-known passwords of twelve characters are made of
/// these.
pub const TRIED_FIRST: [&str; 46] = [
    "password",
    "passwort",
    "passwd",
    "pass",
    "welcome",
    "willkommen",
    "hallo",
    "hello",
    "letmein",
    "admin",
    "administrator",
    "root",
    "login",
    "master",
    "user",
    "test",
    "guest",
    "gast",
    "secret",
    "geheim",
    "iloveyou",
    "love",
    "sunshine",
    "princess",
    "monkey",
    "dragon",
    "football",
    "fussball",
    "change",
    "changeme",
    "me",
    "my",
    "the",
    "shop",
    "laden",
    "shoe",
    "shoes",
    "schuhe",
    "run",
    "running",
    "laufen",
    "lauf",
    "lastbench",
    "owner",
    "fitter",
    "default",
];

/// Whether something is taken as the password of `name`.
pub fn weakness(password: &str, name: &str) -> Option<Weak> {
    let length = password.chars().count();
    if length < SHORTEST {
        return Some(Weak::Short);
    }
    if length > LONGEST {
        return Some(Weak::Long);
    }
    let plain = password.to_lowercase();
    let name = name.trim().to_lowercase();
    if name.chars().count() >= 3 && plain.contains(&name) {
        return Some(Weak::HoldsName);
    }
    if is_pattern(&plain) {
        return Some(Weak::Pattern);
    }
    (is_often_used(&plain) || is_made_of_words(&letters(&plain))).then_some(Weak::Common)
}

fn is_often_used(plain: &str) -> bool {
    let hash = indexer::hash::sha256(plain.as_bytes());
    hash.get(..16).is_some_and(|beginning| OFTEN_USED.lines().any(|line| line == beginning))
}

/// Fewer than five different characters, one block over and over, or rows of keys from end to end.
fn is_pattern(plain: &str) -> bool {
    let signs: Vec<char> = plain.chars().collect();
    let mut different = signs.clone();
    different.sort_unstable();
    different.dedup();
    let repeats = |block: usize| signs.iter().zip(&signs[block..]).all(|(one, other)| one == other);
    different.len() < 5 || (1..=signs.len() / 2).any(repeats) || breaks(&signs) < signs.len() / 4
}

/// How often the next character does not lie beside the one before.
fn breaks(signs: &[char]) -> usize {
    signs.windows(2).filter(|pair| !lie_together(pair[0], pair[1])).count()
}

fn lie_together(one: char, other: char) -> bool {
    let beside = |row: &&str| {
        let place = |sign: char| row.chars().position(|key| key == sign);
        matches!((place(one), place(other)), (Some(a), Some(b)) if a.abs_diff(b) <= 1)
    };
    one == other || ROWS.iter().any(beside)
}

/// The letters it reads as: digits for letters turned back, all else left out.
fn letters(plain: &str) -> String {
    let read = |sign: char| match sign {
        '0' => 'o',
        '1' | '!' => 'i',
        '3' => 'e',
        '4' | '@' => 'a',
        '5' | '$' => 's',
        '7' => 't',
        other => other,
    };
    // Digits at the end are a number put behind a word, not letters.
    let word = plain.trim_end_matches(|sign: char| !sign.is_alphabetic());
    word.chars().map(read).filter(|sign| sign.is_alphabetic()).collect()
}

/// Whether words that are tried first make it up from end to end; without any letter it is a number.
fn is_made_of_words(letters: &str) -> bool {
    letters.is_empty()
        || TRIED_FIRST.iter().any(|word| {
            letters.strip_prefix(word).is_some_and(|rest| rest.is_empty() || is_made_of_words(rest))
        })
}

/// The hash to keep, as a PHC string; takes tens of milliseconds and 19 MiB. `None` when the system has no random
/// number for its salt.
pub fn hash(password: &str) -> Option<String> {
    Argon2::default().hash_password(password.as_bytes()).ok().map(|hash| hash.to_string())
}

/// Whether `password` has this hash; a hash that cannot be read fits nothing.
pub fn fits(password: &str, hash: &str) -> bool {
    Argon2::default().verify_password(password.as_bytes(), hash).is_ok()
}

/// Whether a hash was made with other parameters than today's, and is to be made anew.
pub fn is_dated(hash: &str) -> bool {
    !hash.starts_with(PARAMETERS)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_hash_kept_has_the_parameters_recommended_and_its_own_salt() {
        let (one, other) = (hash("brown kettle on a wall").unwrap(), hash("brown kettle on a wall").unwrap());
        assert!(!is_dated(&one), "{one}");
        assert!(is_dated("$argon2id$v=19$m=4096,t=3,p=1$c2FsdA$aGFzaA"));
        assert_ne!(one, other);
        assert!(fits("brown kettle on a wall", &one) && !fits("brown kettle on a wal", &one));
        assert!(!fits("", "not a hash"));
    }

    #[test]
    fn length_is_counted_in_characters_and_is_the_only_rule_on_which() {
        assert_eq!(weakness("ä house u n", "x"), Some(Weak::Short));
        assert_eq!(weakness("öüä gehen heim", "x"), None);
        assert_eq!(weakness(&"a b c d e f g h ".repeat(9), "x"), Some(Weak::Long));
        assert_eq!(weakness("four quiet green kettles", "x"), None);
    }

    #[test]
    fn what_is_tried_first_is_refused_however_it_is_dressed() {
        let common = [
            "Password1234",
            "P@ssw0rd!2026",
            "passwortpasswort1",
            "welcome-welcome",
            "ShopRunning99",
            "Welcome2Shop2026",
            "20261126201!",
        ];
        for password in common {
            assert!(weakness(password, "x").is_some(), "{password}");
        }
    }

    #[test]
    fn every_password_of_twelve_characters_among_the_thirty_thousand_most_used_is_refused() {
        let hashes: Vec<&str> = OFTEN_USED.lines().filter(|line| !line.starts_with('#')).collect();
        assert!(hashes.len() == 229 && hashes.is_sorted() && hashes.iter().all(|hash| hash.len() == 16));
        for password in ["leavemealone", "Ingodwetrust", "PEANUTBUTTER", "nightcrawler", "iseedeadpeople"] {
            assert_eq!(weakness(password, "x"), Some(Weak::Common), "{password}");
        }
        assert_eq!(weakness("leavemealone please", "x"), None, "more words make another one");
    }

    #[test]
    fn a_row_of_keys_or_a_block_over_and_over_is_a_pattern() {
        for password in
            ["qwertzuiopasdfgh", "123456789012345", "abababababab", "aaaaaaaaaaaaaaa", "xyz!xyz!xyz!"]
        {
            assert_eq!(weakness(password, "x"), Some(Weak::Pattern), "{password}");
        }
    }

    #[test]
    fn the_name_of_the_account_is_no_part_of_its_password() {
        assert_eq!(weakness("mara and the kettle", "Mara"), Some(Weak::HoldsName));
        assert_eq!(weakness("mara and the kettle", "Ma"), None, "two letters are in everything");
    }
}
