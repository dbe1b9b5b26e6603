//! The form for one shoe: which columns it has, and what stands in each.

use catalogue::style::{Audience, BendingWord, Style};
use indexer::columns::{Column, Reads};
use indexer::draft::Value;
use indexer::store::Values;

use crate::labels::NOT_GIVEN;
use crate::owner::shoe_origins::{AT, Told, name, origin};
use crate::owner::values::{or_not_given, typed};
use crate::pages::edit::{EditField, EditGroup, EditPage, Fixed, Now, ShopNote};
use crate::parts::act::Act;
use crate::parts::fields::{Choice, choices_of};
use crate::parts::form::Answers;
use crate::parts::problems::Problem;
use crate::visit::{capital, shoe};
use crate::words;

/// The fields by group; a test holds that no column of a style is forgotten.
pub const GROUPS: &[(&str, &[&str])] = &[
    (
        word!("Measures"),
        &[
            "heel_stack",
            "forefoot_stack",
            "drop",
            "mass",
            "mass_size",
            "bending",
            "stiffness",
            "compression",
            "compression_method",
            "torsion",
            "devices",
            "rocker",
            "plate",
            "liner_removable",
            "liner_included",
        ],
    ),
    (word!("Words"), &["name", "audience", "surface", "purpose", "season", "price", "notes"]),
    (word!("In the range"), &["replaces", "status"]),
];

/// The column of the shop's note, with ticks of its own.
pub const NOTE: &str = "shop_note";
/// The name of its ticks.
pub const NOTE_TICK: &str = "shop_note.tick";
/// The words of the shop's note that are ticked.
pub const NOTE_WORDS: [&str; 5] = catalogue::style::FIT_NOTES;

/// Where values come from: what is posted, and the word that stands at the value.
pub const REASONS: &[(&str, &str)] = &[
    ("corrected", word!("corrected by hand")),
    ("measured", word!("measured in the shop")),
    ("told", word!("told by the supplier")),
];

/// What the form is drawn from.
pub struct Shoe<'s> {
    /// The shoe.
    pub style: &'s Style,
    /// Its values in the store.
    pub values: &'s Values,
    /// Where they came from.
    pub told: &'s Told,
}

/// What was posted, and what became of it.
#[derive(Clone, Debug, Default)]
pub struct Posted {
    /// As typed.
    pub answers: Answers,
    /// What was wrong with it.
    pub problems: Vec<Problem>,
    /// The shoe was changed in between.
    pub overtaken: bool,
}

impl Shoe<'_> {
    /// The form, with what was posted, if anything was.
    pub fn form(&self, posted: Option<&Posted>) -> EditPage {
        let key = self.style.key.as_str();
        let reason = |name: &str| posted.map_or("", |posted| posted.answers.get(name)).to_owned();
        let group = |(label, columns): &(&str, &[&str])| EditGroup {
            label: words::of(label).to_owned(),
            fields: columns.iter().map(|column| self.field(column, posted)).collect(),
        };
        EditPage {
            shoe: shoe::name(self.style),
            href: shoe::href(self.style),
            action: format!("/shoes/{key}/edit"),
            at: self.told.seq,
            overtaken: posted.filter(|posted| posted.overtaken).map(|_| overtaken(self.told)),
            problems: posted.map_or_else(Vec::new, |posted| posted.problems.clone()),
            fixed: self.fixed(),
            groups: GROUPS.iter().map(group).collect(),
            note: self.note(posted),
            reasons: (reasons(), reason("reason")),
            reason_words: reason("reason_words"),
            take: Act::post(format!("/shoes/{key}/take"), AT, self.told.seq.to_string()),
        }
    }

    /// The value of a column as the store holds it.
    pub fn value(&self, column: &str) -> Option<&Value> {
        self.values.iter().find(|(held, _)| held.key == column)?.1.as_ref()
    }

    /// The value of a column as it stands in its field.
    pub fn as_typed(&self, column: &Column) -> String {
        self.value(column.key).map_or_else(String::new, |value| typed(column, value))
    }

    fn field(&self, column: &str, posted: Option<&Posted>) -> EditField {
        let Some(column) = Column::find(column) else { return EditField::nothing() };
        let stands = self.as_typed(column);
        let was_posted = |posted: &&Posted| posted.answers.0.iter().any(|(name, _)| name == column.key);
        let typed = posted.filter(was_posted).map(|posted| posted.answers.get(column.key).to_owned());
        let late = posted.is_some_and(|posted| posted.overtaken);
        let lost = typed.clone().filter(|typed| late && *typed != stands && !typed.is_empty());
        let value = typed.filter(|_| !late).unwrap_or(stands);
        EditField {
            name: column.key.to_owned(),
            label: capital(words::of(column.headings[0])),
            unit: unit(column).to_owned(),
            choices: choices(column, &value),
            value,
            words: !column.is_number() && column.reads != Reads::Devices,
            now: Now { typed: lost, ..self.now(column.key) },
        }
    }

    fn now(&self, column: &str) -> Now {
        let take = self.told.is_by_hand(column).then(|| match self.told.sheet_word(column) {
            Some(word) => {
                say!(
                    "Take the sheet's value again: {value}",
                    value = or_not_given(column, word.value.as_ref())
                )
            }
            None => say!("Forget it: no sheet says one").to_owned(),
        });
        Now {
            value: or_not_given(column, self.value(column)),
            origin: self.told.says(self.style.key.as_str(), column).map(origin),
            take,
            typed: None,
        }
    }

    fn note(&self, posted: Option<&Posted>) -> ShopNote {
        let posted = posted.filter(|posted| !posted.overtaken);
        let (ticked, free) =
            note_parts(&Column::find(NOTE).map_or_else(String::new, |note| self.as_typed(note)));
        let mut field = self.field(NOTE, posted);
        say!("Other words").clone_into(&mut field.label);
        if posted.is_none() {
            field.value = free;
        }
        let is_ticked = |word: &str| match posted {
            Some(posted) => posted.answers.has(NOTE_TICK, word),
            None => ticked.iter().any(|ticked| ticked == word),
        };
        let ticks = NOTE_WORDS.iter().map(|word| (choice(word, &capital(words::of(word))), is_ticked(word)));
        ShopNote { ticks: ticks.collect(), field }
    }

    fn fixed(&self) -> Vec<Fixed> {
        let fixed = |column: &str, why: &str| Fixed {
            label: capital(name(column)),
            value: or_not_given(column, self.value(column)),
            why: why.to_owned(),
        };
        vec![
            fixed("maker", say!("Part of the key, by which sheets find this shoe. It stays as first told.")),
            fixed(
                "style_number",
                say!("Part of the key. A shoe under a wrong number is imported anew under the right one."),
            ),
        ]
    }
}

impl EditField {
    fn nothing() -> Self {
        Self {
            name: String::new(),
            label: String::new(),
            unit: String::new(),
            value: String::new(),
            choices: Vec::new(),
            words: true,
            now: Now::default(),
        }
    }
}

/// The ticked words of a note, and the others.
pub fn note_parts(note: &str) -> (Vec<String>, String) {
    let word = |part: &str| NOTE_WORDS.into_iter().find(|word| *word == part.to_lowercase());
    let (ticked, free): (Vec<_>, Vec<_>) =
        catalogue::style::note_parts(note).partition(|part| word(part).is_some());
    (ticked.into_iter().filter_map(word).map(str::to_owned).collect(), free.join(", "))
}

fn overtaken(told: &Told) -> String {
    let last = told.lines.first().map_or(told.seq, |line| line.change.0);
    say!(
        "This shoe was changed while you filled in the form, by change {last}. Nothing of yours was kept. The fields show the new values; what you had typed stands beside them.",
        last
    )
}

fn reasons() -> Vec<Choice> {
    let hints = ["", say!("With calliper and scale."), say!("On the telephone, by mail.")];
    let hinted = |(choice, hint): (Choice, &str)| Choice {
        label: capital(&choice.label),
        hint: hint.to_owned(),
        ..choice
    };
    choices_of(REASONS).into_iter().zip(hints).map(hinted).collect()
}

fn choice(value: &str, label: &str) -> Choice {
    Choice { value: value.to_owned(), label: label.to_owned(), hint: String::new() }
}

fn unit(column: &Column) -> &'static str {
    match (column.key, column.reads) {
        (_, Reads::Length) => "mm",
        (_, Reads::Mass) => say!("g or oz"),
        (_, Reads::Compression) => "N/mm",
        (_, Reads::MassSize) => say!("such as EU 42"),
        (_, Reads::Devices) => say!("0 to 6"),
        (_, Reads::Surfaces) => say!("road, trail, track, indoor"),
        (_, Reads::Purposes) => say!("daily, tempo, race, long, walk"),
        (_, Reads::Replaces) => say!("style number of the same maker"),
        (_, Reads::KindUnknown) => say!("of unknown kind; not used"),
        _ => "",
    }
}

/// One of a few, where a column takes no other; what stands there is always among them.
fn choices(column: &Column, value: &str) -> Vec<(String, String)> {
    let words: Vec<&str> = match column.reads {
        Reads::YesNo => vec!["yes", "no"],
        Reads::Bending => BendingWord::ALL.iter().map(|word| word.word()).collect(),
        Reads::Audience => Audience::ALL.iter().map(|audience| audience.word()).collect(),
        Reads::Status => vec!["in range", "retired"],
        _ => return Vec::new(),
    };
    let blank = (String::new(), words::of(NOT_GIVEN).to_owned());
    let odd = (!value.is_empty() && !words.contains(&value)).then_some(value);
    let shown = words.iter().copied().chain(odd).map(|word| (word.to_owned(), words::of(word).to_owned()));
    std::iter::once(blank).chain(shown).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use indexer::proposal::Entity;

    #[test]
    fn every_column_of_a_style_has_its_field_or_says_why_not() {
        let fields: Vec<&str> = GROUPS.iter().flat_map(|(_, columns)| *columns).copied().collect();
        for column in Entity::Style.columns() {
            let told = fields.contains(&column.key) || column.key == NOTE || Entity::Style.names(column.key);
            assert!(told, "{} has no field", column.key);
        }
        assert!(fields.iter().all(|field| Column::find(field).is_some()));
    }

    #[test]
    fn a_note_comes_apart_into_ticks_and_other_words() {
        let (ticked, free) = note_parts("runs short, half a size up, roomy toes");
        assert_eq!(
            (ticked, free.as_str()),
            (vec!["runs short".to_owned(), "roomy toes".to_owned()], "half a size up")
        );
    }

    #[test]
    fn a_note_from_a_sheet_ticks_the_words_that_the_facet_finds_it_by() {
        let (ticked, free) = note_parts("Runs short; high instep; laces bite");
        assert_eq!(
            (ticked, free.as_str()),
            (vec!["runs short".to_owned(), "high instep".to_owned()], "laces bite")
        );
    }

    #[test]
    fn a_laboratory_value_stays_among_the_words_of_bending() {
        let column = Column::find("bending").unwrap();
        let values: Vec<_> = choices(column, "0.25 N m/deg").into_iter().map(|(value, _)| value).collect();
        assert!(values.contains(&"stiff".to_owned()) && values.contains(&"0.25 N m/deg".to_owned()));
    }
}
