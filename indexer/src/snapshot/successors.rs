//! What became of a style: the one that replaces it, the one that replaces that, to the newest.

use catalogue::key::StyleKey;

use super::{Snapshot, StyleCard};

/// More links than this are a slip of the pen, not a history.
const MOST: usize = 16;

impl Snapshot {
    /// The styles that replace `key`, one after the other, newest last. Styles that replace each other in a ring are
    /// followed once around.
    pub fn successors(&self, key: &StyleKey) -> Vec<StyleCard<'_>> {
        let mut found: Vec<StyleCard<'_>> = Vec::new();
        while let Some(next) = self.replacing(found.last().map_or(key, |card| &card.style.key)) {
            let seen = next.style.key == *key || found.iter().any(|card| card.row == next.row);
            if seen || found.len() == MOST {
                break;
            }
            found.push(next);
        }
        found
    }

    /// The style that says it replaces `key`; the first by key where several do.
    fn replacing(&self, key: &StyleKey) -> Option<StyleCard<'_>> {
        let row = self.styles().iter().position(|style| style.replaces.as_ref() == Some(key))?;
        self.card(row as u32)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::loaded::{Loaded, Seq};
    use crate::snapshot::invented::style;
    use crate::words::{Synonyms, Words};
    use catalogue::policy::HousePolicy;
    use catalogue::size::SizeCharts;

    /// Styles by number, each with the number it replaces.
    fn snapshot(links: &[(&str, Option<&str>)]) -> Snapshot {
        let of = |(number, replaces): &(&str, Option<&str>)| catalogue::style::Style {
            replaces: replaces.map(|old| StyleKey::of_number("Fennick", old).unwrap()),
            ..style("Fennick", number, number)
        };
        let mut styles: Vec<_> = links.iter().map(of).collect();
        styles.sort_by(|a, b| a.key.cmp(&b.key));
        let loaded = Loaded {
            seq: Seq(1),
            styles,
            skus: Vec::new(),
            policy: HousePolicy::standard(),
            charts: SizeCharts::default(),
            stock_told: None,
            synonyms: Synonyms::default(),
        };
        let words = Words::open_or_build(None, &loaded).unwrap();
        Snapshot::build(loaded, words)
    }

    fn followed(links: &[(&str, Option<&str>)]) -> Vec<String> {
        let key = StyleKey::of_number("Fennick", "1").unwrap();
        snapshot(links).successors(&key).iter().map(|card| card.style.name.to_string()).collect()
    }

    #[test]
    fn what_replaced_what_is_followed_to_the_newest() {
        assert_eq!(followed(&[("1", None), ("2", Some("1")), ("3", Some("2"))]), ["2", "3"]);
        assert_eq!(followed(&[("1", None), ("2", None)]), Vec::<String>::new());
    }

    #[test]
    fn styles_that_replace_each_other_in_a_ring_come_to_an_end() {
        assert_eq!(followed(&[("1", Some("2")), ("2", Some("1"))]), ["2"]);
        assert_eq!(followed(&[("1", Some("1"))]), Vec::<String>::new());
    }
}
