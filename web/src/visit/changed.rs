//! What a further answer changed in the order: the answer, the first group, the bands; or that it changes nothing.

use std::collections::{BTreeMap, BTreeSet};

use catalogue::key::StyleKey;
use catalogue::measures::Measure;
use catalogue::rank::{Group as Place, Ranker};

use super::brief::{brief, range_in_words};
use super::groups::heading;
use super::order::Shown;
use super::{Visit, capital, listed, number_of, shoe, why};
use crate::labels::{NOT_ASKED, runner_field};
use crate::parts::brief::BriefEntry;
use crate::parts::form::Answers;
use crate::words;

/// The entries of the brief that are bands, no answers.
const BANDS: [&str; 2] = [word!("Looking for"), word!("Drop")];
/// Which entry of the brief tells an answer: the start of its name, and the entry.
const TOLD_BY: [(&str, &str); 9] = [
    ("size.", word!("Sizes")),
    ("foot.", word!("Sizes")),
    ("run.purpose", word!("For")),
    ("now.", word!("Worn now")),
    ("stage.", word!("Heading")),
    ("flags.", word!("Pain")),
    ("run.strike", word!("Landing")),
    ("injury", word!("History")),
    ("run.weekly_km", word!("Weekly distance")),
];
/// Answers that are named on no page but the form.
const UNNAMED: [&str; 3] = ["run.body_mass_kg", "run.body_mass_band", "run.sex"];
/// More changed answers than these are counted, not listed.
const MOST: usize = 3;

/// A fitting with its order.
pub struct Ordered<'a> {
    /// The fitting.
    pub visit: &'a Visit<'a>,
    /// Its order.
    pub shown: &'a Shown,
}

/// What is different; `None` when no answer is another.
pub fn in_words(was: &Ordered<'_>, is: &Ordered<'_>) -> Option<String> {
    let answers = answers(was, is)?;
    let effect = effect(was, is);
    let stale = was
        .shown
        .stale
        .map_or("", |_| say!(" The catalogue has changed meanwhile, which may be part of it."));
    Some(format!("{answers}. {}.{stale}", capital(&effect)))
}

fn answers(was: &Ordered<'_>, is: &Ordered<'_>) -> Option<String> {
    let told: Vec<(String, String)> = told(was, is);
    let names = changed_names(&was.visit.fitting.answers, &is.visit.fitting.answers);
    let is_told = |name: &str| {
        let by = TOLD_BY.iter().find(|(start, _)| name.starts_with(start));
        by.is_some_and(|(_, term)| told.iter().any(|(told, _)| told == words::of(term)))
    };
    let others: BTreeSet<String> =
        names.iter().filter(|name| !is_told(name)).map(|name| label(name)).collect();
    let mut said: Vec<String> = told.iter().map(|(term, says)| format!("{term}: {says}")).collect();
    said.extend(others.into_iter().map(|label| say!("{label}: answered anew", label)));
    match said.len() {
        0 => None,
        1..=MOST => Some(said.join("; ")),
        many => Some(say!(
            "{said} and {many} more",
            said = said[..MOST - 1].join("; "),
            many = number_of(many - MOST + 1, say!("answer"), say!("answers"))
        )),
    }
}

/// Entries of the brief that say something else.
fn told(was: &Ordered<'_>, is: &Ordered<'_>) -> Vec<(String, String)> {
    let entries = |of: &Ordered<'_>| brief(of.visit, Some(&of.shown.list.ranker)).entries;
    let before = entries(was);
    let differs = |entry: &BriefEntry| {
        let same = before.iter().find(|other| other.term == entry.term);
        !BANDS.iter().any(|band| words::of(band) == entry.term)
            && same.is_none_or(|other| other.says != entry.says)
    };
    let says =
        |entry: BriefEntry| (entry.term, entry.says.unwrap_or_else(|| words::of(NOT_ASKED).to_owned()));
    entries(is).into_iter().filter(differs).map(says).collect()
}

fn changed_names<'a>(was: &'a Answers, is: &'a Answers) -> BTreeSet<&'a str> {
    fn said<'a>(of: &'a Answers, name: &str) -> Vec<&'a str> {
        let own = of.0.iter().filter(|(other, value)| other == name && !value.trim().is_empty());
        own.map(|(_, value)| value.trim()).collect()
    }
    let names = was.0.iter().chain(&is.0).map(|(name, _)| name.as_str());
    names.filter(|name| said(was, name) != said(is, name)).collect()
}

fn label(name: &str) -> String {
    match runner_field(name).label {
        _ if UNNAMED.contains(&name) => say!("An answer for the fitter only").to_owned(),
        "" => say!("Another answer").to_owned(),
        label => words::of(label).to_owned(),
    }
}

/// The order before and after, as keys with their groups.
struct Moved<'a> {
    was: Vec<(&'a StyleKey, Place)>,
    is: Vec<(&'a StyleKey, Place)>,
    visit: &'a Visit<'a>,
}

fn effect(was: &Ordered<'_>, is: &Ordered<'_>) -> String {
    let moved = Moved { was: standings(was), is: standings(is), visit: is.visit };
    let bands = bands(&was.shown.list.ranker, &is.shown.list.ranker);
    if moved.was == moved.is && bands.is_none() {
        return say!("Changes nothing in this order").to_owned();
    }
    let parts = [Some(moved.first()), moved.below(), bands];
    parts.into_iter().flatten().collect::<Vec<_>>().join("; ")
}

fn standings<'a>(of: &Ordered<'a>) -> Vec<(&'a StyleKey, Place)> {
    let hits = &of.shown.list.results.hits;
    let shoes = of.shown.places.iter();
    let standing = |shoe: &super::order::Shoe| {
        Some((&of.visit.snapshot.card(hits.get(shoe.hit)?.row)?.style.key, shoe.standing.place))
    };
    shoes.filter_map(standing).collect()
}

impl Moved<'_> {
    /// Which of the first group are new, and where the others went.
    fn first(&self) -> String {
        let first = |of: &[(&StyleKey, Place)], key: &StyleKey| of.contains(&(key, Place::First));
        let of = |all: &[(&StyleKey, Place)]| -> Vec<StyleKey> {
            all.iter().filter(|(_, place)| *place == Place::First).map(|(key, _)| (*key).clone()).collect()
        };
        let (before, now) = (of(&self.was), of(&self.is));
        let new: Vec<&StyleKey> = now.iter().filter(|key| !first(&self.was, key)).collect();
        let left: Vec<&StyleKey> = before.iter().filter(|key| !first(&self.is, key)).collect();
        if new.is_empty() && left.is_empty() {
            return if now.is_empty() {
                say!("still none is brought out first")
            } else {
                say!("the first group stays")
            }
            .to_owned();
        }
        let names: Vec<String> = new.iter().map(|key| self.name(key)).collect();
        let is = if names.len() == 1 { say!("is") } else { say!("are") };
        let new_ones =
            (!names.is_empty()).then(|| say!("{names} {is} new", names = listed(&names, say!("and")), is));
        let mut went: BTreeMap<String, Vec<String>> = BTreeMap::new();
        for key in &left {
            went.entry(self.went_to(key)).or_default().push(self.name(key));
        }
        let went = went.iter().map(|(to, names)| format!("{} {to}", listed(names, say!("and"))));
        let parts: Vec<String> = new_ones.into_iter().chain(went).collect();
        say!(
            "{left} of the first group changed: {parts}",
            left = new.len() + left.len(),
            parts = parts.join(", ")
        )
    }

    fn name(&self, key: &StyleKey) -> String {
        self.visit.snapshot.style(key).map_or_else(|| key.to_string(), |card| shoe::name(card.style))
    }

    fn went_to(&self, key: &StyleKey) -> String {
        match self.is.iter().find(|(other, _)| *other == key).map(|(_, place)| *place) {
            Some(Place::Aside) => say!("went aside, as the pair worn now").to_owned(),
            Some(place) => say!("went to {place}", place = heading(place)),
            None => say!("left the list").to_owned(),
        }
    }

    /// What changed below the first group: shoes that came, went, changed their group, or only their place.
    fn below(&self) -> Option<String> {
        let place = |of: &[(&StyleKey, Place)], key: &StyleKey| {
            of.iter().find(|(other, _)| *other == key).map(|(_, place)| *place)
        };
        let came = self.is.iter().filter(|(key, _)| place(&self.was, key).is_none()).count();
        let gone = self.was.iter().filter(|(key, _)| place(&self.is, key).is_none()).count();
        let regrouped = self.is.iter().filter(|(key, now)| {
            place(&self.was, key)
                .is_some_and(|was| was != *now && was != Place::First && *now != Place::First)
        });
        let say = |count: usize, one: &str, many: &str| match count {
            0 => None,
            1 => Some(say!("1 shoe {one}", one)),
            count => Some(say!("{count} shoes {many}", count, many)),
        };
        let said = [
            say(came, say!("came into the list"), say!("came into the list")),
            say(gone, say!("left it"), say!("left it")),
            say(regrouped.count(), say!("below changed its group"), say!("below changed their group")),
        ];
        let said: Vec<String> = said.into_iter().flatten().collect();
        let reordered = said.is_empty() && self.was != self.is && self.same_first();
        if said.is_empty() {
            return reordered.then(|| say!("places within the groups changed").to_owned());
        }
        Some(listed(&said, say!("and")))
    }

    fn same_first(&self) -> bool {
        let first = |of: &[(&StyleKey, Place)]| -> BTreeSet<StyleKey> {
            of.iter().filter(|(_, place)| *place == Place::First).map(|(key, _)| (*key).clone()).collect()
        };
        first(&self.was) == first(&self.is)
    }
}

/// The bands that are others now: drop and landing stack with their ranges, weight and bending by name only.
fn bands(was: &Ranker, is: &Ranker) -> Option<String> {
    let landing = was.landing() != is.landing();
    let differs = |measure: &Measure| {
        let (before, now) = (was.brief().band(*measure), is.brief().band(*measure));
        (before.from, before.to) != (now.from, now.to) || (landing && *measure == Measure::LandingStack)
    };
    let (ranged, named): (Vec<Measure>, Vec<Measure>) = Measure::ALL
        .into_iter()
        .filter(differs)
        .partition(|measure| matches!(measure, Measure::Drop | Measure::LandingStack));
    let ranges = ranged.into_iter().map(|measure| {
        let now = is.brief().band(measure);
        let lands = landing && measure == Measure::LandingStack;
        let place = if lands { format!(", {}", shoe::landing_place(is.landing())) } else { String::new() };
        let range = range_in_words(measure, now.from, now.to);
        say!("the band for {measure} is now {range}{place}", measure = why::measure(measure), range, place)
    });
    let names: Vec<&str> = named.into_iter().map(why::measure).collect();
    let named = (!names.is_empty())
        .then(|| say!("another band is looked for in {names}", names = listed(&names, say!("and"))));
    let said: Vec<String> = ranges.chain(named).collect();
    (!said.is_empty()).then(|| listed(&said, say!("and")))
}
