//! The ways out of an empty list, each with the number of shoes that it truly leads to: a filter off, half a size up or
//! down, another width, the twin audience. Each is an edit of the fitting; it is counted by making the same edit on a
//! copy, so that a press leads to what was promised.

use std::cmp::Reverse;
use std::collections::BTreeSet;

use catalogue::rank::Group as Place;
use catalogue::runner::{Heading, Runner};
use catalogue::size::SizeLabel;
use catalogue::style::Audience;
use indexer::ranked::RankedList;
use indexer::search::{Counts, Search};
use indexer::snapshot::Group;

use super::narrow::{self, Narrowed, WORDS};
use super::order::removed;
use super::{Visit, answers, capital, chips, listed, number_of};
use crate::fittings::Fitting;
use crate::pages::fitting_stock::{Announcement, Way};
use crate::parts::act::Act;
use crate::parts::form::Answers;
use crate::words;

/// One way out.
#[derive(Clone)]
struct Out {
    /// `Without road`.
    label: String,
    /// Where it is posted, below the fitting.
    part: &'static str,
    fields: Vec<(String, String)>,
    /// What keeps a shoe at hand in its size comes before what gives up size or stock.
    tier: u8,
    /// How many shoes the list would hold.
    count: usize,
}

/// The tier of a way that gives up the runner's sizes, or that the shoe is there.
const GIVES_UP: u8 = 2;

/// The fields of a way that is an answer; each has one value.
pub const WAYS: [&str; 4] = ["size", "width", "audience", "hold"];

/// The ways out, most helpful first: those that keep the runner's sizes, then a neighbouring size, then those that give
/// up size or stock; of each kind the one with most shoes first.
pub fn ways(visit: &Visit<'_>, list: &RankedList, narrowed: &Narrowed) -> Vec<Way> {
    let off = filters_off(visit, list, narrowed);
    let mut outs: Vec<Out> = off.iter().cloned().chain(answers_changed(visit)).collect();
    outs.retain(|out| out.count > 0);
    if outs.iter().all(|out| out.tier == GIVES_UP) {
        let two = two_off(visit, &off).into_iter();
        let keeps = |out: &Out| outs.is_empty() || out.tier < GIVES_UP;
        let two: Vec<Out> = two.filter(keeps).collect();
        outs.extend(two);
    }
    if outs.is_empty() {
        outs.extend(all_off(visit, &off));
    }
    outs.sort_by_key(|out| (out.tier, Reverse(out.count)));
    outs.into_iter().map(|out| way(visit, out)).collect()
}

fn way(visit: &Visit<'_>, out: Out) -> Way {
    Way {
        label: format!("{}: {}", out.label, number_of(out.count, say!("shoe"), say!("shoes"))),
        act: Act::Post { action: visit.href(out.part), fields: out.fields },
    }
}

/// How many shoes a fitting's list would hold.
fn left(visit: &Visit<'_>, fitting: &Fitting) -> usize {
    let off = removed(&fitting.removed_chips);
    let runner = Search::for_runner(&fitting.runner);
    let filters = off.iter().fold(runner, |search, group| search.without(*group));
    let search = Search { counts: Counts::None, limit: Some(1), ..narrow::search(&fitting.added, &filters) };
    visit.snapshot.search(&search, None).map_or(0, |results| results.total as usize)
}

fn filters_off(visit: &Visit<'_>, list: &RankedList, narrowed: &Narrowed) -> Vec<Out> {
    let field = |name: &str, key: &str| vec![(name.to_owned(), key.to_owned())];
    let added = narrowed.results.hidden.iter().map(|(group, _)| *group);
    let added = added
        .map(|group| (words::quoted(narrow::said(visit, narrowed, group)), field("clear", group.key()), 0));
    let words = narrowed.hidden_by_words.map(|_| (narrow::words(visit), field("clear", WORDS), 0));
    let preset = chips::in_force(&list.search).into_iter();
    let preset = preset.map(|group| {
        let tier = if matches!(group, Group::Size | Group::Stock) { GIVES_UP } else { 0 };
        let label = match group {
            Group::Size => say!("the sizes asked for").to_owned(),
            group => chips::label(visit, group),
        };
        (label, field("drop", group.key()), tier)
    });
    let out = |(label, fields, tier): (String, Vec<_>, u8)| Out {
        label: say!("Without {label}", label),
        part: "/chips",
        count: left(visit, &taken_off(visit, &fields)),
        fields,
        tier,
    };
    added.chain(words).chain(preset).map(out).collect()
}

fn taken_off(visit: &Visit<'_>, fields: &[(String, String)]) -> Fitting {
    let mut fitting = visit.fitting.clone();
    for (name, key) in fields {
        take_off(&mut fitting, name, key);
    }
    fitting
}

/// Takes a filter of the runner off (`drop`) or puts it back (`put_back`): the order must be made anew. Takes an added
/// one off (`clear`, with `all` all of them): the order stands.
pub fn take_off(fitting: &mut Fitting, name: &str, key: &str) {
    let reordered = match (name, Group::from_key(key)) {
        ("drop", Some(_)) => fitting.removed_chips.insert(key.to_owned()),
        ("put_back", _) => fitting.removed_chips.remove(key),
        _ => false,
    };
    if reordered {
        fitting.order = None;
    }
    if name == "clear" {
        fitting.added = match Group::from_key(key) {
            Some(group) => fitting.added.without_group(group),
            None if key == "all" => crate::request::shoes::ShoesQuery::default(),
            None => fitting.added.without(key),
        };
    }
}

/// Where no single filter brings a shoe back: each two that do.
fn two_off(visit: &Visit<'_>, off: &[Out]) -> Vec<Out> {
    let pairs = off.iter().enumerate().flat_map(|(at, one)| off[at + 1..].iter().map(move |two| (one, two)));
    let both = pairs.map(|(one, two)| {
        let fields = [one.fields.clone(), two.fields.clone()].concat();
        Out {
            label: say!("Both: {one}; {other}", one = one.label, other = two.label),
            count: left(visit, &taken_off(visit, &fields)),
            tier: one.tier.max(two.tier),
            part: one.part,
            fields,
        }
    });
    both.filter(|out| out.count > 0).collect()
}

fn all_off(visit: &Visit<'_>, off: &[Out]) -> Option<Out> {
    let fields: Vec<_> = off.iter().flat_map(|out| out.fields.clone()).collect();
    let count = left(visit, &taken_off(visit, &fields));
    let label = say!("No two filters alone: all of them off").to_owned();
    (count > 0).then_some(Out { label, part: "/chips", fields, tier: 0, count })
}

fn answers_changed(visit: &Visit<'_>) -> Vec<Out> {
    let runner = &visit.fitting.runner;
    let mut outs = Vec::new();
    let mut add = |label: String, tier: u8, field: &str, value: &str| {
        let Some(fitting) = answered(visit, field, value) else { return };
        let fields = vec![(field.to_owned(), value.to_owned())];
        outs.push(Out { label, part: "/way", count: left(visit, &fitting), fields, tier });
    };
    for (value, way) in [("down", say!("Half a size down")), ("up", say!("Half a size up"))] {
        if let Some(label) = beyond(runner, value) {
            add(say!("{way}, {label} too", way, label), 1, "size", value);
        }
    }
    if let Some(chosen) = &runner.sizes.width {
        for width in widths(visit).into_iter().filter(|width| width != chosen) {
            add(say!("Width {width} instead of {chosen}", width, chosen), 0, "width", width);
        }
    }
    for twin in runner.audience.map_or(&[][..], twins) {
        let sizes: Vec<String> = converted(runner, *twin).iter().map(ToString::to_string).collect();
        let sizes = if sizes.is_empty() {
            String::new()
        } else {
            say!(" in {sizes}", sizes = listed(&sizes, say!("or")))
        };
        let built = match twin {
            Audience::Unisex => say!("Built as unisex only").to_owned(),
            other => say!("Built for {other} or unisex", other = words::of(other.word())),
        };
        add(format!("{built}{sizes}"), 0, "audience", twin.word());
    }
    outs
}

/// The fitting as one of [`WAYS`] makes it; `None` when that is none.
pub fn answered(visit: &Visit<'_>, field: &str, value: &str) -> Option<Fitting> {
    let said = edited(visit, field, value)?;
    let (runner, answers) = answers::read(said, visit.snapshot).ok()?;
    let mut fitting = visit.fitting.clone();
    (fitting.runner, fitting.answers, fitting.order) = (runner, answers, None);
    Some(fitting)
}

fn edited(visit: &Visit<'_>, field: &str, value: &str) -> Option<Answers> {
    let (runner, said) = (&visit.fitting.runner, visit.fitting.answers.clone());
    match field {
        "size" => {
            let labels = runner.working_sizes().into_iter().chain([beyond(runner, value)?]).collect();
            Some(with_sizes(said, labels))
        }
        "width" => Some(answers::with_values(said, "size.width", &[value])),
        "audience" => {
            let twin = Audience::from_word(value)?;
            let said = answers::with_values(said, "run.audience", &[value]);
            Some(with_sizes(said, converted(runner, twin)))
        }
        "hold" => Some(answers::with_values(said, "stage.heading", &[Heading::Same.word()])),
        _ => None,
    }
}

fn with_sizes(said: Answers, mut labels: Vec<SizeLabel>) -> Answers {
    labels.sort_by_key(SizeLabel::twelfths);
    let printed: Vec<&str> = labels.iter().map(SizeLabel::printed).collect();
    answers::with_values(said, "size.working", &printed)
}

/// Half a size beyond the working sizes, `up` or `down`.
fn beyond(runner: &Runner, side: &str) -> Option<SizeLabel> {
    let sizes = runner.working_sizes();
    let system = sizes.first()?.system()?;
    let half_up = |label: &SizeLabel| system.proposed(label).into_iter().nth(1);
    match side {
        "up" => half_up(sizes.iter().max_by_key(|label| label.twelfths())?),
        "down" => {
            let least = sizes.iter().min_by_key(|label| label.twelfths())?;
            let twelfths = (2 * least.twelfths()).checked_sub(half_up(least)?.twelfths())?;
            (twelfths > 0).then(|| SizeLabel::of_twelfths(system, twelfths))
        }
        _ => None,
    }
}

/// The widths that a size in stock has.
fn widths<'s>(visit: &Visit<'s>) -> BTreeSet<&'s str> {
    let stocked = visit.snapshot.skus().iter().filter(|sku| sku.quantity.is_some_and(|q| q.in_stock()));
    stocked.filter_map(|sku| sku.width.as_deref()).collect()
}

/// Who wears shoes of the same feet. Unisex shoes are let in with women's and men's already.
const fn twins(audience: Audience) -> &'static [Audience] {
    match audience {
        Audience::Women => &[Audience::Men],
        Audience::Men => &[Audience::Women],
        Audience::Unisex => &[Audience::Women, Audience::Men],
        Audience::Youth => &[],
    }
}

/// The working sizes as labels of the same feet for another audience.
fn converted(runner: &Runner, twin: Audience) -> Vec<SizeLabel> {
    let label = |label: SizeLabel| {
        let (foot, system) = (label.foot(runner.audience)?, label.system()?);
        let same = label.foot(Some(twin)) == Some(foot);
        if same { Some(label) } else { system.nearest(foot, Some(twin)) }
    };
    runner.working_sizes().into_iter().filter_map(label).collect()
}

/// With nothing to bring out first on the way to less or more: how many there would be for the same shoe again.
pub fn hold(visit: &Visit<'_>, list: &RankedList) -> Option<Announcement> {
    let heading = visit.fitting.runner.stage.heading?;
    let first = |list: &RankedList| list.places.iter().filter(|at| at.place == Place::First).count();
    if !matches!(heading, Heading::Less | Heading::More) || first(list) > 0 {
        return None;
    }
    let held = answered(visit, "hold", "yes")?;
    let held = visit.snapshot.ranked(&held.runner, &removed(&held.removed_chips)).ok()?;
    let count = first(&held);
    let say = say!(
        "Nothing is brought out first on the way to {heading} shoe.",
        heading = words::of(heading.word())
    );
    let label = say!("Hold the step: order for the same shoe, {count} to bring out first", count);
    let act = Act::post(visit.href("/way"), "hold", "yes");
    (count > 0).then_some(Announcement { say, act: Some(Way { label, act }) })
}

/// Beside an empty list: the runner may go on in the pair worn now.
pub fn keep_on(visit: &Visit<'_>) -> Option<String> {
    let heading = visit.fitting.runner.stage.heading?;
    let worn = super::brief::worn(visit)?;
    let waits = matches!(heading, Heading::Less | Heading::More);
    waits.then(|| {
        format!(
            "{} ({worn}).",
            capital(say!("or hold the step: the pair worn now stays in use until a shoe is here"))
        )
    })
}
