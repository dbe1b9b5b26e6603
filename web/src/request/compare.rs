//! The query string of shoes side by side: which shoes, in their order, and nothing about a runner.

use catalogue::key::StyleKey;

/// As many are looked at: beyond that a link was not made by a page of ours.
const MOST_READ: usize = 20;
/// The longest text that is kept, in bytes.
const LONGEST: usize = 200;

/// What the address of a comparison says.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct CompareQuery {
    /// The keys of the shoes as they were written, in their order, each once.
    pub shoes: Vec<String>,
    /// Words to look for another shoe by.
    pub words: String,
    /// Only the rows that differ.
    pub only_differences: bool,
}

impl CompareQuery {
    /// Reads a query string; what means nothing here is dropped.
    pub fn parse(query: &str) -> Self {
        let mut read = Self::default();
        for (key, value) in form_urlencoded::parse(query.as_bytes()) {
            let value = value.trim();
            if value.is_empty() || value.len() > LONGEST {
                continue;
            }
            match key.as_ref() {
                "shoe" if read.shoes.len() < MOST_READ && !read.shoes.iter().any(|shoe| shoe == value) => {
                    read.shoes.push(value.to_owned());
                }
                "add" => value.clone_into(&mut read.words),
                "only" => read.only_differences = value == "differences",
                _ => {}
            }
        }
        read
    }

    /// The address of these shoes side by side.
    pub fn address<'k>(shoes: impl IntoIterator<Item = &'k StyleKey>) -> String {
        let mut query = form_urlencoded::Serializer::new(String::new());
        for shoe in shoes {
            query.append_pair("shoe", shoe.as_str());
        }
        format!("/compare?{}", query.finish())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_order_is_kept_and_a_shoe_named_twice_stands_once() {
        let asked = CompareQuery::parse("shoe=b.2&shoe=a.1&shoe=b.2&only=differences&x=y&shoe=");
        assert_eq!(asked.shoes, ["b.2", "a.1"]);
        assert!(asked.only_differences);
    }

    #[test]
    fn an_address_leads_back_to_the_same_shoes() {
        let keys = ["fennick.marl", "fennick.tern"].map(|key| StyleKey::parse(key).unwrap());
        let address = CompareQuery::address(&keys);
        assert_eq!(address, "/compare?shoe=fennick.marl&shoe=fennick.tern");
        let query = address.split_once('?').unwrap().1;
        assert_eq!(CompareQuery::parse(query).shoes, ["fennick.marl", "fennick.tern"]);
    }

    #[test]
    fn a_hostile_query_is_cut_short() {
        let many: Vec<String> = (0..500).map(|n| format!("shoe=a.{n}")).collect();
        assert_eq!(CompareQuery::parse(&many.join("&")).shoes.len(), MOST_READ);
        assert!(CompareQuery::parse(&format!("shoe={}", "a".repeat(5_000))).shoes.is_empty());
    }
}
