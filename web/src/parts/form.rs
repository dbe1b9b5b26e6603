//! The answers of a form as typed, so that a refused form comes back with everything in it.

/// The field of a form that holds what it was made from, so that two windows do not undo each other.
pub const MADE_FROM: &str = "made-from";

/// Name and value pairs as posted; a name may repeat. What is missing or blank was not asked.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Answers(pub Vec<(String, String)>);

impl Answers {
    /// The first value of `name`, blank when there is none.
    pub fn get(&self, name: &str) -> &str {
        self.0.iter().find(|(n, _)| n == name).map_or("", |(_, value)| value)
    }

    /// The first and the second value of `name`: the two ends of a range.
    pub fn ends(&self, name: &str) -> (&str, &str) {
        let mut values = self.0.iter().filter(|(n, _)| n == name).map(|(_, value)| value.as_str());
        (values.next().unwrap_or_default(), values.next().unwrap_or_default())
    }

    /// Whether `name` has `value` among its values.
    pub fn has(&self, name: &str, value: &str) -> bool {
        self.0.iter().any(|(n, v)| n == name && v == value)
    }

    /// Whether any name that starts with `prefix` was answered.
    pub fn any_under(&self, prefix: &str) -> bool {
        self.0.iter().any(|(name, value)| name.starts_with(prefix) && !value.trim().is_empty())
    }
}
