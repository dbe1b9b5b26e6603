//! Names that never change: how the keys of makers, styles and SKUs are made.
//!
//! A key is given once and never reused; URLs, fittings and the ledger hold keys, never row numbers.

use std::fmt;

use crate::size::SizeLabel;
use crate::style::Audience;
use crate::text::Text;

/// Declares a key: a lower-case slug that sorts and compares as text.
macro_rules! key {
    ($(#[$doc:meta])* $name:ident($text:ty)) => {
        $(#[$doc])*
        #[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub struct $name($text);

        impl $name {
            /// The key as text.
            pub fn as_str(&self) -> &str {
                &self.0
            }
        }

        impl fmt::Display for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str(&self.0)
            }
        }
    };
}

key! {
    /// A maker: the slug of its name.
    MakerKey(Text)
}
key! {
    /// A style: maker slug + "." + style-number slug; without a number, name and audience.
    StyleKey(Text)
}
key! {
    /// A SKU: style key + colourway, size with system, and width, joined by "/".
    SkuKey(Box<str>)
}

impl MakerKey {
    /// The key of the maker called `name`; `None` when the name holds no letter or digit.
    pub fn of(name: &str) -> Option<Self> {
        slug(name).map(|s| Self(s.into()))
    }
}

impl StyleKey {
    /// The key of a style by maker and style number; `None` when either holds no letter or digit, or both are too long
    /// together.
    pub fn of_number(maker: &str, number: &str) -> Option<Self> {
        Self::parse(&format!("{}.{}", slug(maker)?, slug(number)?))
    }

    /// The key of a style that has no number: by maker, name and audience.
    pub fn of_name(maker: &str, name: &str, audience: Option<Audience>) -> Option<Self> {
        let audience = audience.map_or("", Audience::word);
        Self::parse(&format!("{}.{}", slug(maker)?, slug(&format!("{name} {audience}"))?))
    }

    /// A key read back from a URL, a file or the store; `None` when it is not of a key's shape.
    pub fn parse(text: &str) -> Option<Self> {
        let (maker, rest) = text.split_once('.')?;
        let sound = text.len() <= 200 && is_slug(maker) && is_slug(rest);
        sound.then(|| Self(text.into()))
    }

    /// The maker's part.
    pub fn maker(&self) -> MakerKey {
        MakerKey(self.0.split('.').next().unwrap_or_default().into())
    }
}

impl SkuKey {
    /// The key of one size of one colourway in one width; no width is an empty last part.
    pub fn of(style: &StyleKey, colourway: &str, label: &SizeLabel, width: &str) -> Self {
        Self::behind(style, &Self::tail(colourway, label, width))
    }

    /// What stands behind the style in the key of a SKU; the same for the same size of a like colourway of any style.
    pub fn tail(colourway: &str, label: &SizeLabel, width: &str) -> Box<str> {
        let colourway = slug(colourway).unwrap_or_default();
        let width = slug(width).unwrap_or_default();
        format!("/{colourway}/{}/{width}", label.key()).into()
    }

    /// The key of a SKU by its style and its [`Self::tail`].
    pub fn behind(style: &StyleKey, tail: &str) -> Self {
        Self([style.as_str(), tail].concat().into())
    }

    /// A key read back from the store or a file; `None` when it is not of a key's shape.
    pub fn parse(text: &str) -> Option<Self> {
        let (style, rest) = text.split_once('/')?;
        let parts: Vec<&str> = rest.split('/').collect();
        let [colourway, size, width] = parts[..] else { return None };
        let sound = StyleKey::parse(style).is_some()
            && is_slug(&size.replace('.', ""))
            && [colourway, width].into_iter().all(|part| part.is_empty() || is_slug(part));
        sound.then(|| Self(text.into()))
    }
}

/// Lower-case ASCII letters and digits with single hyphens: diacritics folded, all else a hyphen.
fn slug(text: &str) -> Option<String> {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match fold(c) {
            // A letter may have no lower case, or one of several characters: a key holds none that it would refuse.
            Folded::Letter(c) => {
                out.extend(c.to_lowercase().filter(|c| c.is_alphanumeric() && !c.is_uppercase()));
            }
            Folded::Plain(plain) => out.push_str(plain),
            Folded::Other if !out.is_empty() && !out.ends_with('-') => out.push('-'),
            Folded::Other => {}
        }
    }
    if out.ends_with('-') {
        out.pop();
    }
    (!out.is_empty()).then_some(out)
}

fn is_slug(text: &str) -> bool {
    let hyphens_inside = !text.starts_with('-') && !text.ends_with('-') && !text.is_empty();
    hyphens_inside && text.chars().all(|c| c == '-' || (c.is_alphanumeric() && !c.is_uppercase()))
}

/// One character as a slug holds it.
enum Folded {
    /// A letter or digit that stays, in lower case.
    Letter(char),
    /// A letter without its marks.
    Plain(&'static str),
    /// Anything else.
    Other,
}

/// Latin letters lose their marks; other scripts keep their letters.
fn fold(c: char) -> Folded {
    if c.is_ascii() {
        return if c.is_ascii_alphanumeric() { Folded::Letter(c) } else { Folded::Other };
    }
    match c.to_lowercase().next().unwrap_or(c) {
        'à'..='å' | 'ā' | 'ă' | 'ą' => Folded::Plain("a"),
        'æ' => Folded::Plain("ae"),
        'ç' | 'ć' | 'č' => Folded::Plain("c"),
        'ď' | 'đ' | 'ð' => Folded::Plain("d"),
        'è'..='ë' | 'ē' | 'ė' | 'ę' | 'ě' => Folded::Plain("e"),
        'ì'..='ï' | 'ī' | 'į' => Folded::Plain("i"),
        'ł' => Folded::Plain("l"),
        'ñ' | 'ń' | 'ň' => Folded::Plain("n"),
        'ò'..='ö' | 'ø' | 'ō' | 'ő' => Folded::Plain("o"),
        'œ' => Folded::Plain("oe"),
        'ř' => Folded::Plain("r"),
        'ś' | 'š' | 'ş' => Folded::Plain("s"),
        'ß' => Folded::Plain("ss"),
        'ť' | 'ţ' => Folded::Plain("t"),
        'ù'..='ü' | 'ū' | 'ů' | 'ű' => Folded::Plain("u"),
        'ý' | 'ÿ' => Folded::Plain("y"),
        'ź' | 'ż' | 'ž' => Folded::Plain("z"),
        // Marks that stand behind their letter, and characters that cannot be seen, make no other name.
        '\u{300}'..='\u{36f}' | '\u{ad}' | '\u{200b}'..='\u{200f}' | '\u{202a}'..='\u{202e}' => {
            Folded::Plain("")
        }
        '\u{2060}'..='\u{2069}' | '\u{feff}' => Folded::Plain(""),
        _ if c.is_alphanumeric() => Folded::Letter(c),
        _ => Folded::Other,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_key_that_is_made_can_be_read_back() {
        for name in ["İSTANBUL", "𝐀b", "🄰1", "Zu\u{308}rich", "Run\u{200b}ner", "Straße", "日本"] {
            let key = StyleKey::of_number("Feldrast", name).unwrap();
            assert_eq!(StyleKey::parse(key.as_str()), Some(key.clone()), "{name}");
        }
        let key = |number: &str| StyleKey::of_number("f", number);
        assert_eq!((key("Zu\u{308}rich"), key("Run\u{200b}ner")), (key("Zürich"), key("Runner")));
        assert_eq!(key(&"9".repeat(300)), None);
        assert_eq!(key("𝐀"), None, "a letter without a lower case is none");
    }

    #[test]
    fn a_sku_key_read_back_is_the_same_and_another_shape_is_none() {
        for text in ["fennick.fm-310/ochre/eu-42.5/2e", "fennick.fm-310//eu-42-2-3/"] {
            assert_eq!(SkuKey::parse(text).map(|key| key.to_string()).as_deref(), Some(text));
        }
        for text in ["", "fennick.fm-310", "fennick.fm-310/ochre/eu-42", "a.b/c/d/e/f", "a.b/C/eu-42/"] {
            assert_eq!(SkuKey::parse(text), None, "{text}");
        }
    }

    #[test]
    fn a_style_key_is_the_maker_and_the_number() {
        let key = StyleKey::of_number("Fénnick", " FM 310/2 ").unwrap();
        assert_eq!(key.as_str(), "fennick.fm-310-2");
        assert_eq!(key.maker(), MakerKey::of("Fennick").unwrap());
        assert_eq!(StyleKey::parse("fennick.fm-310-2"), Some(key));
    }

    #[test]
    fn a_style_without_a_number_is_known_by_name_and_audience() {
        let key = StyleKey::of_name("Orrelby", "Sound", Some(Audience::Women)).unwrap();
        assert_eq!(key.as_str(), "orrelby.sound-women");
    }

    #[test]
    fn text_without_a_letter_or_digit_makes_no_key() {
        assert_eq!(StyleKey::of_number("Orrelby", "--"), None);
        for text in ["", "no-dot", "../etc.passwd", "a.B", "a.", "a.b/c", "a.b c"] {
            assert_eq!(StyleKey::parse(text), None, "{text:?}");
        }
    }
}
