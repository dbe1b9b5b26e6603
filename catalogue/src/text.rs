//! A text that many hold: a colourway, a width, a place on the wall stand on thousands of SKUs.

use std::borrow::Borrow;
use std::fmt;
use std::ops::Deref;
use std::sync::Arc;

/// A text that never changes, as small as one pointer in each that holds it. A clone is the same text once more, not a
/// second one; two that were made apart are equal when they read alike.
#[derive(Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Text(Arc<Box<str>>);

impl Text {
    /// The text.
    pub fn as_str(&self) -> &str {
        &self.0
    }
}

impl From<&str> for Text {
    fn from(text: &str) -> Self {
        Self(Arc::new(text.into()))
    }
}

impl From<String> for Text {
    fn from(text: String) -> Self {
        Self(Arc::new(text.into()))
    }
}

impl Deref for Text {
    type Target = str;

    fn deref(&self) -> &str {
        self.as_str()
    }
}

impl PartialEq<str> for Text {
    fn eq(&self, other: &str) -> bool {
        self.as_str() == other
    }
}

impl PartialEq<&str> for Text {
    fn eq(&self, other: &&str) -> bool {
        self.as_str() == *other
    }
}

// Equal, ordered and hashed as the text is, so that a table of them can be asked for a text.
impl Borrow<str> for Text {
    fn borrow(&self) -> &str {
        self.as_str()
    }
}

impl fmt::Debug for Text {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Debug::fmt(self.as_str(), f)
    }
}

impl fmt::Display for Text {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Display::fmt(self.as_str(), f)
    }
}

#[cfg(test)]
mod tests {
    use std::collections::HashSet;

    use super::*;

    #[test]
    fn texts_that_read_alike_are_equal_and_found_by_what_they_read() {
        let known: HashSet<Text> = ["grey", "red"].into_iter().map(Text::from).collect();
        assert!(known.contains("grey") && known.contains(&Text::from("red".to_owned())));
        assert!(!known.contains("blue"));
        let mut sorted = ["b", "a"].map(Text::from);
        sorted.sort();
        assert_eq!(sorted, ["a", "b"]);
        assert_eq!(format!("{0} {0:?}", Text::from("grey")), "grey \"grey\"");
        assert_eq!(size_of::<Option<Text>>(), size_of::<usize>());
    }
}
