//! The house policy as a file: every item with its limits and what it does, read back with the line of each fault.

use std::fmt::Write as _;

use catalogue::policy::HousePolicy;
use catalogue::policy::items::{Item, item, items};
use toml::de::{DeTable, DeValue};

/// A policy file of more than this is none.
const LARGEST: usize = 64 * 1024;

/// What is wrong with a policy file.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PolicyFileFault {
    /// The line, from 1; `None` for the file as a whole.
    pub line: Option<usize>,
    /// What, and what to do.
    pub say: String,
}

/// The policy as a file. Items at their defaults are written out too, so that the file says all there is.
pub fn to_toml(policy: &HousePolicy) -> String {
    let mut text =
        "# The house policy: the shop's opinion. What is left out stands at its default.\n".to_owned();
    // What stands in no table must come before all tables.
    let (bare, tabled): (Vec<&Item>, Vec<&Item>) = items().partition(|item| !item.key.contains('.'));
    let mut table = "";
    for item in bare.into_iter().chain(tabled) {
        let (of, key) = item.key.split_once('.').unwrap_or(("", item.key));
        if of != table {
            let _ = write!(text, "\n[{of}]\n");
            table = of;
        }
        let _ = writeln!(text, "{key} = {}  # {}", value(item, policy), remark(item));
    }
    text
}

fn value(item: &Item, policy: &HousePolicy) -> String {
    let said = item.say(policy);
    match (item.has_ends(), item.unit()) {
        (true, _) => format!("[{}]", said.replace(" to ", ", ")),
        (false, "") => format!("\"{}\"", said.replace(['"', '\\'], "")),
        (false, _) => said,
    }
}

fn remark(item: &Item) -> String {
    let default = item.say(&HousePolicy::standard());
    match item.limits().as_str() {
        "" => item.does.to_owned(),
        limits => format!("{limits}, default {default}. {}", item.does),
    }
}

/// The policy of a file; what it leaves out stands at its default.
pub fn from_toml(text: &str) -> Result<HousePolicy, Vec<PolicyFileFault>> {
    let of_file = |line, say: String| vec![PolicyFileFault { line, say }];
    if text.len() > LARGEST {
        return Err(of_file(None, "A policy file holds at most 64 kB; this one is larger.".to_owned()));
    }
    let root = DeTable::parse(text).map_err(|fault| {
        let line = fault.span().map(|span| line_of(text, span.start));
        of_file(line, format!("This is no TOML: {}.", fault.message()))
    })?;
    let mut reader = Reader { text, policy: HousePolicy::standard(), faults: Vec::new() };
    reader.table("", root.get_ref());
    if reader.faults.is_empty() { Ok(reader.policy) } else { Err(reader.faults) }
}

struct Reader<'t> {
    text: &'t str,
    policy: HousePolicy,
    faults: Vec<PolicyFileFault>,
}

impl Reader<'_> {
    fn table(&mut self, of: &str, table: &DeTable<'_>) {
        for (name, value) in table {
            let key =
                if of.is_empty() { name.get_ref().to_string() } else { format!("{of}.{}", name.get_ref()) };
            let line = line_of(self.text, name.span().start);
            match (value.get_ref(), item(&key)) {
                (DeValue::Table(inner), _) if of.is_empty() => self.table(&key, inner),
                (value, Some(item)) => self.item(item, value, line),
                (_, None) => self.fault(line, unknown(&key)),
            }
        }
    }

    fn item(&mut self, item: &Item, value: &DeValue<'_>, line: usize) {
        let text = match value {
            DeValue::Array(ends) => ends
                .iter()
                .map(|end| plain(end.get_ref()))
                .collect::<Option<Vec<_>>>()
                .map(|ends| ends.join(" to ")),
            single => plain(single),
        };
        let Some(text) = text else {
            return self.fault(line, format!("{} holds something else than numbers or a word.", item.key));
        };
        if let Err(wrong) = item.hear(&mut self.policy, &text) {
            self.fault(line, format!("{}: “{text}” {wrong}.", item.key));
        }
    }

    fn fault(&mut self, line: usize, say: String) {
        self.faults.push(PolicyFileFault { line: Some(line), say });
    }
}

/// A number as it was written, or a word.
fn plain(value: &DeValue<'_>) -> Option<String> {
    match value {
        DeValue::Integer(number) => Some(number.as_str().to_owned()),
        DeValue::Float(number) => Some(number.as_str().to_owned()),
        DeValue::String(text) => Some(text.to_string()),
        _ => None,
    }
}

fn unknown(key: &str) -> String {
    let table = key.split_once('.').map_or("", |(table, _)| table);
    let near = items().filter(|item| item.key.split_once('.').map_or("", |(of, _)| of) == table);
    let keys: Vec<&str> = near.map(|item| item.key).collect();
    if keys.is_empty() {
        format!("“{key}” is no item of the policy; see the file that this page gives out.")
    } else {
        format!("“{key}” is no item of the policy; here are {}.", keys.join(", "))
    }
}

fn line_of(text: &str, byte: usize) -> usize {
    1 + text.bytes().take(byte).filter(|b| *b == b'\n').count()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_file_that_is_given_out_reads_back_as_the_same_policy() {
        let mut policy = HousePolicy::standard();
        for (key, text) in
            [("weeks_per_step", "8"), ("less.drop_mm", "-3.5 to -0.5"), ("comparable_method", "global, 60 J")]
        {
            item(key).unwrap().hear(&mut policy, text).unwrap();
        }
        assert_eq!(from_toml(&to_toml(&policy)), Ok(policy));
        assert_eq!(from_toml(&to_toml(&HousePolicy::standard())), Ok(HousePolicy::standard()));
    }

    #[test]
    fn what_a_file_leaves_out_stands_at_its_default() {
        let policy = from_toml("weeks_per_step = 8\n").unwrap();
        assert_eq!(policy, HousePolicy { weeks_per_step: 8, ..HousePolicy::standard() });
    }

    #[test]
    fn each_fault_has_its_line_and_all_of_them_are_said() {
        let text = "weeks_per_step = 0\n[less]\ndrop_mm = [-1, -4]\ngrade = 3\n[evidence]\nweight = 500\n";
        let faults = from_toml(text).unwrap_err();
        let told: Vec<(Option<usize>, &str)> = faults.iter().map(|f| (f.line, f.say.as_str())).collect();
        assert_eq!(told.len(), 4);
        let said =
            |line: usize, words: &str| told.iter().any(|(at, say)| *at == Some(line) && say.contains(words));
        assert!(said(1, "from 1 to 52 weeks") && said(3, "lower end first"), "{told:?}");
        assert!(said(4, "here are less.drop_mm") && said(6, "no item of the policy"), "{told:?}");
        assert!(from_toml("weeks_per_step = ").unwrap_err()[0].say.contains("no TOML"));
    }
}
