//! The pages in German: whatever a page says in words of ours, it says in the other language too.
//!
//! A text that stands on a page in both languages word for word was forgotten, or is a name; the names come from the
//! sample shop, and the few words that are spelled alike are listed here.

use std::collections::BTreeSet;

use catalogue::rules::RULES;

use tests::pages::{OF_A_FITTING, OF_THE_SHOP};

use crate::visit_bench::{Desk, with};

const WORDS_ALIKE: &[&str] = &[
    "lastbench",
    "json",
    "plan",
    "diabetes",
    "enter",
    "scan",
    "scanner",
    "code",
    "codes",
    "name",
    "doi",
    "unisex",
    "grade",
    "guard",
    "metrics",
    "next",
    "off",
    "scanned",
    "status",
    "eur",
];

/// What the sample calls its sheets and their sender, and the address of this test.
const OF_THE_SAMPLE: &[&str] = &[
    "sample",
    "supplier",
    "csv",
    "range",
    "stock",
    "corrections",
    "http",
    "localhost",
    "amp",
    "compare",
    "shoe",
];

/// Of a runner: how the foot lands.
const LANDING: [(&str, &str); 2] = [("run.strike", "rearfoot"), ("run.strike_seen", "video")];

/// The texts of a page, and what it says to those who do not see.
fn texts(html: &str) -> BTreeSet<String> {
    let mut found = BTreeSet::new();
    for part in html.split('<').skip(1) {
        let (tag, text) = part.split_once('>').unwrap_or((part, ""));
        if !tag.starts_with("script") && !tag.starts_with("style") {
            found.insert(text.trim().to_owned());
        }
        for attribute in ["aria-label=\"", "placeholder=\"", "title=\"", "alt=\""] {
            let said = tag.split_once(attribute).and_then(|(_, rest)| rest.split('"').next());
            found.extend(said.map(str::to_owned));
        }
    }
    if !html.contains("<html") {
        found.extend(html.lines().map(|line| line.trim().to_owned()));
    }
    found
}

fn words(text: &str) -> impl Iterator<Item = String> {
    text.replace("&quot;", " ")
        .replace("&amp;", " ")
        .split(|c: char| !c.is_alphabetic())
        .filter(|word| word.chars().count() > 2)
        .map(str::to_lowercase)
        .collect::<Vec<_>>()
        .into_iter()
}

/// What suppliers and the sample shop call things.
fn names(desk: &Desk) -> BTreeSet<String> {
    let snapshot = desk.state.snapshot();
    let of_styles = snapshot.styles().iter().flat_map(|style| {
        [
            style.maker.as_str(),
            style.name.as_str(),
            style.key.as_str(),
            style.season.as_deref().unwrap_or_default(),
            style.notes.as_deref().unwrap_or_default(),
            style.shop_note.as_deref().unwrap_or_default(),
        ]
        .map(str::to_owned)
    });
    let of_skus = snapshot.skus().iter().flat_map(|sku| {
        [
            sku.colourway.to_string(),
            sku.place.as_deref().unwrap_or_default().to_owned(),
            sku.label.to_string(),
            sku.width.as_deref().unwrap_or_default().to_owned(),
        ]
    });
    let of_sources = catalogue::evidence::SOURCES.iter().flat_map(|source| {
        [source.authors.to_owned(), source.journal.to_owned(), source.doi.unwrap_or_default().to_owned()]
    });
    let ids = RULES.iter().map(|rule| rule.id.to_owned());
    let named = of_styles.chain(of_skus).chain(of_sources).chain(ids);
    named.flat_map(|name| words(&name).collect::<Vec<_>>()).collect()
}

/// What a page may weigh with its style and its script, packed.
const MOST: usize = 60_000;

#[tokio::test]
async fn no_page_weighs_more_than_sixty_kilobytes_with_its_style_and_its_script() {
    let desk = Desk::new();
    let fitting = brought_out(&desk, &with(&LANDING)).await;
    let home = desk.get("/").await.text;
    let mut assets = 0;
    for asset in home.split("/assets/").skip(1).filter_map(|rest| rest.split('"').next()) {
        assets += desk.weight("en", &format!("/assets/{asset}")).await;
    }
    assert!(assets > 5_000, "style, script and icon were weighed: {assets}");
    let of_it = OF_A_FITTING.iter().map(|part| format!("{fitting}{part}"));
    for page in OF_THE_SHOP.iter().map(|page| (*page).to_owned()).chain(of_it) {
        for language in ["en", "de"] {
            let weight = desk.weight(language, &page).await;
            assert!(weight + assets < MOST, "{page} in {language}: {weight} and {assets} bytes");
        }
    }
}

/// Other runners: stopped, pulled apart by two pains, known by feel only, without a shoe that fits, racing.
const OTHERS: [&[(&str, &str)]; 5] = [
    &[
        ("run.audience", "men"),
        ("flags.pain", "yes"),
        ("flags.bone_pain_spot", "yes"),
        ("flags.calf_swelling", "yes"),
    ],
    &[
        ("run.audience", "women"),
        ("size.system", "EU"),
        ("size.worn_label", "39"),
        ("flags.pain", "no"),
        ("stage.heading", "less"),
        ("injury.calf.recent", "yes"),
        ("injury.kneecap.recent", "yes"),
        ("flags.diabetes", "yes"),
        ("flags.diabetes_feeling_normal_and_cleared", "yes"),
    ],
    &[
        ("run.audience", "men"),
        ("size.system", "EU"),
        ("size.working", "43"),
        ("now.feel", "taller"),
        ("stage.heading", "more"),
        ("run.body_mass_band", "above 85.7"),
        ("run.strike_changing", "yes"),
    ],
    &[
        ("run.audience", "men"),
        ("size.system", "EU"),
        ("size.working", "52"),
        ("flags.pain", "no"),
        ("run.budget", "20"),
    ],
    &[
        ("run.audience", "men"),
        ("size.system", "EU"),
        ("size.working", "43"),
        ("run.purpose", "race"),
        ("now.style", "fennick.fm-410"),
        ("now.main", "no"),
        ("stage.heading", "less"),
        ("stage.weeks_done", "2"),
        ("asked_for.drop_mm", "0"),
        ("asked_for.drop_mm", "4"),
        ("run.strike", "rearfoot"),
        ("run.strike_seen", "told"),
    ],
];

async fn forgotten_of_others(desk: &Desk, known: &BTreeSet<String>) -> BTreeSet<String> {
    let mut forgotten = BTreeSet::new();
    for (at, runner) in OTHERS.into_iter().enumerate() {
        let fitting = brought_out(desk, runner).await;
        for part in ["", "/runner", "/on-foot", "/compare", "/plan?to=oskerley.003110m", "/card"] {
            let page = format!("{fitting}{part}");
            let (english, german) = (desk.get_in("en", &page).await, desk.get_in("de", &page).await);
            let both = alike(&english.text, &german.text, known);
            forgotten.extend(both.into_iter().map(|text| format!("runner {at}{part}: {text}")));
        }
        let wrong = [runner, &[("run.weekly_km", "forty"), ("size.width", "?")]].concat();
        let form = format!("{fitting}/runner");
        let (english, german) =
            (desk.post_in("en", &form, &wrong).await, desk.post_in("de", &form, &wrong).await);
        let both = alike(&english.text, &german.text, known);
        forgotten.extend(both.into_iter().map(|text| format!("runner {at}, refused: {text}")));
    }
    forgotten
}

/// The texts that two pages have in common and that are no names.
fn alike(english: &str, german: &str, known: &BTreeSet<String>) -> Vec<String> {
    let both = texts(english).intersection(&texts(german)).cloned().collect::<Vec<_>>();
    both.into_iter().filter(|text| words(text).any(|word| !known.contains(&word))).collect()
}

/// A fitting with three shoes brought out.
async fn brought_out(desk: &Desk, runner: &[(&str, &str)]) -> String {
    let fitting = desk.answered(runner).await;
    for style in ["fennick.fm-310", "quillmark.q-512-m", "oskerley.003110m"] {
        desk.post(&format!("{fitting}/shortlist"), &[("style", style)]).await;
    }
    fitting
}

#[tokio::test]
async fn no_page_says_in_german_what_it_says_in_english() {
    let desk = Desk::new();
    let mut known = names(&desk);
    known.extend(WORDS_ALIKE.iter().chain(OF_THE_SAMPLE).map(|word| (*word).to_owned()));
    let mut forgotten = forgotten_of_others(&desk, &known).await;
    let fitting = brought_out(&desk, &with(&LANDING)).await;
    let of_it = OF_A_FITTING.iter().chain(&["/card.txt"]).map(|part| format!("{fitting}{part}"));
    for page in OF_THE_SHOP.iter().map(|page| (*page).to_owned()).chain(of_it) {
        let (english, german) = (desk.get_in("en", &page).await, desk.get_in("de", &page).await);
        assert!(english.text.len() > 100 && german.text.len() > 100, "{page}");
        let both = alike(&english.text, &german.text, &known);
        forgotten
            .extend(both.into_iter().map(|text| format!("{}: {text}", page.replace(&fitting, "fitting"))));
    }
    let forgotten: Vec<_> = forgotten.into_iter().collect();
    assert!(forgotten.is_empty(), "{} texts:\n{}", forgotten.len(), forgotten.join("\n"));
}
