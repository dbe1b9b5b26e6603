//! Texts that become values: headings, cells, words, files in TOML.

use catalogue::policy::HousePolicy;
use catalogue::size::SizeLabel;
use catalogue::units::Tenths;
use indexer::cells::{Manner, Mark, heard, read_cell};
use indexer::columns::{COLUMNS, COMPRESSION, Column, DROP, FOREFOOT_STACK, HEEL_STACK, MASS, NAME, NOTES};
use indexer::draft::Value;
use indexer::heading::{Heading, suggest_by_values};
use indexer::mapping::MappingFile;
use tests::chance::Chance;
use web::request::policy_file;
use web::request::runner::{RunnerFault, RunnerForm};

use crate::mutate::Seeds;

pub(crate) fn headings() -> Seeds {
    let words = COLUMNS.iter().flat_map(|column| column.headings.iter().copied());
    let odd =
        ["Stack heel/forefoot (mm)", "Weight [g] @ EU 42", "Größe", "UK 5½", "Price EUR incl. VAT", "42 2/3"];
    Seeds::of(words.chain(odd), &["mm", "cm", "(in)", "EUR", "EU", "heel", "/", "D.", "size", "gewicht"])
}

/// A heading is taken apart the same way each time, and what it is decided to be is among what it may be.
pub(crate) fn heading(bytes: &[u8]) {
    let text = String::from_utf8_lossy(bytes);
    let heading = Heading::of(&text);
    if let Some(column) = heading.column() {
        assert!(heading.columns().iter().any(|own| own.is(column)), "decided outside of what it may be");
    }
    let _ = (heading.suggestions(), heading.near(), heading.language());
    let parts: Vec<&str> = text.split('\n').collect();
    let _ = Heading::of_parts(&parts).columns();
    let _ = suggest_by_values(&parts);
}

pub(crate) fn cells() -> Seeds {
    let texts = [
        "8",
        "8.5",
        "8,5",
        "-0.5",
        "1.234,5",
        "1,234.5",
        "32/24/8",
        "280 g",
        "9.9 oz",
        "0.8 cm",
        "8 mm",
        "EU 42",
        "42 2/3",
        "42⅔",
        "9½",
        "10+",
        "x",
        "yes",
        "women",
        "road, trail",
        "EUR 129.90",
        "129,90 €",
        "7300011000017",
        "036000241457",
        "1E+11",
        "09.May",
        "n/a",
        "#REF!",
        "'=1+1",
        "2026-11-03",
        "very stiff",
        "D",
        "2E",
        "٤٢",
        "４２",
        "a\u{301}e\u{308}",
        "ﬁt",
    ];
    Seeds::of(texts, &["mm", "g", "oz", "lb", "in", "½", "/", " x ", "EUR", "≥", "ca. ", "EU"])
}

/// No cell of any column, read in any manner, ends the program; what is said of a number is said again of its canonical
/// form, and a text that was cleaned is clean.
pub(crate) fn cell(bytes: &[u8], chance: &mut Chance) {
    let text = String::from_utf8_lossy(bytes);
    let marks = [Mark::Point, Mark::Comma, Mark::Unknown];
    let manner = Manner::unmarked(None).mark(marks[chance.below(3)]).typed_number(chance.below(2) == 0);
    for column in COLUMNS {
        let _ = heard(column, &text, manner);
    }
    let measures: [&'static Column; 5] = [&HEEL_STACK, &FOREFOOT_STACK, &DROP, &MASS, &COMPRESSION];
    let plain = Manner::new('.', None);
    for column in measures {
        let Ok(Some(Value::Int(tenths))) = read_cell(column, &text, manner) else { continue };
        let shown = Tenths(i32::try_from(tenths).expect("a measure is small")).to_string();
        let again = read_cell(column, &shown, plain);
        assert_eq!(again, Ok(Some(Value::Int(tenths))), "{} {text:?} is shown as {shown}", column.key);
    }
    let named: [&'static Column; 2] = [&NAME, &NOTES];
    for column in named {
        let Ok(Some(Value::Text(clean))) = read_cell(column, &text, manner) else { continue };
        // A guard against formulas is taken off once, as it was put on once; what then says nothing was a guarded blank.
        if !clean.starts_with(['\'', '=', '+', '-', '@', '#']) {
            assert_eq!(
                read_cell(column, &clean, manner),
                Ok(Some(Value::Text(clean.clone()))),
                "{}",
                column.key
            );
        }
    }
    if let Some(size) = SizeLabel::parse(None, &text) {
        let again = SizeLabel::parse(None, size.printed()).map(|again| again.twelfths());
        assert_eq!(again, Some(size.twelfths()), "{text:?} as a size");
    }
}

pub(crate) fn toml() -> Seeds {
    let runners = web::sample::RUNNERS.iter().map(|(_, runner)| (*runner).to_owned());
    let mapping = "supplier = \"Fennick\"\ndecimal_mark = \",\"\nkind = \"full\"\n[headings]\n\"Stack (mm)\" = \"heel_stack\"\n";
    let policy = policy_file::to_toml(&HousePolicy::standard());
    Seeds::of(
        runners.chain([mapping.to_owned(), policy]),
        &[
            "\n[",
            "]\n",
            " = ",
            "= [",
            "\"\"\"",
            "true",
            "1979-05-27",
            "0x1F",
            "[[injuries]]",
            "a.b.c.d = 1\n",
            "{a=1}",
        ],
    )
}

/// A file is taken, or refused with a place and what is wrong there; a runner that is taken says the same again.
pub(crate) fn file(bytes: &[u8]) {
    let text = String::from_utf8_lossy(bytes);
    let told = |faults: &[RunnerFault]| {
        assert!(!faults.is_empty(), "refused without a word");
        // The place may be a key of the file, which may hold anything, a colon too.
        let is_told = |fault: &RunnerFault| !fault.place.to_string().is_empty() && fault.say.len() > 2;
        assert!(faults.iter().all(is_told), "{faults:?}");
    };
    for form in [RunnerForm::from_toml(&text), RunnerForm::from_json(bytes), RunnerForm::from_posted(bytes)] {
        match form.and_then(|form| form.to_runner(&|_| true)) {
            Ok(runner) => {
                let again = RunnerForm::from_runner(&runner).to_runner(&|_| true);
                assert_eq!(again.as_ref(), Ok(&runner), "a runner written down is another");
            }
            Err(faults) => told(&faults),
        }
    }
    if let Ok(mapping) = MappingFile::parse(&text) {
        let again = MappingFile::parse(&mapping.to_toml());
        assert!(again.is_ok_and(|again| again == mapping), "a mapping written down is another");
    }
    if let Ok(policy) = policy_file::from_toml(&text) {
        let again = policy_file::from_toml(&policy_file::to_toml(&policy));
        assert!(again.is_ok_and(|again| again == policy), "a policy written down is another");
    }
}
