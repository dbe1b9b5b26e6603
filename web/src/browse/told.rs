//! What became of the words that were typed, in sentences: read as filters, looked for otherwise, left out.

use indexer::phrases::{Means, Phrase};
use indexer::search::Results;
use indexer::snapshot::{Group, Snapshot};
use indexer::words::{How, ReadAs, Told};

use super::narrow;
use crate::parts::Link;
use crate::parts::remark::Remark;
use crate::request::shoes::ShoesQuery;
use crate::request::shoes_meant::EXACT;
use crate::words;

/// All that is to be told of the words, with what can be done about each at `path`.
pub fn remarks(asked: &ShoesQuery, results: &Results, snapshot: &Snapshot, path: &str) -> Vec<Remark> {
    if asked.is_exact() {
        return exact(asked, path).into_iter().collect();
    }
    let read = read_as_filters(asked, results, snapshot, path);
    let names = snapshot.phrases(asked.words()).into_iter().filter_map(|phrase| named(asked, &phrase, path));
    let sizes = asked.sizes_asked_back(snapshot).into_iter().filter_map(|phrase| sized(asked, &phrase, path));
    read.into_iter().chain(sizes).chain(names).chain(done(asked, results, snapshot, path)).collect()
}

/// That words are looked for as typed, and the way back.
fn exact(asked: &ShoesQuery, path: &str) -> Option<Remark> {
    (!asked.words().is_empty()).then(|| Remark {
        say: say!("Only these words, exactly as typed.").to_owned(),
        links: vec![Link::new(
            say!("Look for what they may mean, too"),
            asked.without(EXACT).without("page").href(path),
        )],
    })
}

/// Which words became filters, and the way to have them as words.
fn read_as_filters(asked: &ShoesQuery, results: &Results, snapshot: &Snapshot, path: &str) -> Option<Remark> {
    let phrases = asked.phrases_in_force(snapshot);
    let said = |phrase: &Phrase| {
        let filter = narrow::said(asked, results, phrase.group());
        say!("{typed} as {filter}", typed = words::quoted(&phrase.typed), filter)
    };
    let read: Vec<String> = phrases.iter().map(said).collect();
    (!read.is_empty()).then(|| Remark {
        say: say!("Read as filters: {read}.", read = read.join("; ")),
        links: vec![Link::new(say!("Look for the words instead"), asked.as_said(&phrases).href(path))],
    })
}

/// A size without a system, with those that it may be.
fn sized(asked: &ShoesQuery, phrase: &Phrase, path: &str) -> Option<Remark> {
    let Means::SizeOf(values) = &phrase.means else { return None };
    let to = |value: &String| asked.meaning(&Means::Values(Group::Size, vec![value.clone()])).without("page");
    Some(Remark {
        say: say!("{typed} names no size system. Is it one of these?", typed = words::quoted(&phrase.typed)),
        links: values.iter().map(|value| Link::new(value, to(value).href(path))).collect(),
    })
}

/// A phrase that stays words since a shoe is called by it, with the filter that it may be.
fn named(asked: &ShoesQuery, phrase: &Phrase, path: &str) -> Option<Remark> {
    let Means::Values(group, values) = &phrase.means else { return None };
    let left = asked.words().replacen(&phrase.typed, " ", 1);
    let to = asked.said(left.trim(), asked.words()).meaning(&phrase.means).href(path);
    let values = values.iter().map(|value| words::made(value)).collect::<Vec<_>>().join(say!(" or "));
    let filter = say!("As a filter instead: {group} {values}", group = words::of(group.label()), values);
    phrase.is_name.then(|| Remark {
        say: say!("{typed} is looked for in the name of the shoe.", typed = words::quoted(&phrase.typed)),
        links: vec![Link::new(filter, to)],
    })
}

/// What was done to the words to find something.
fn done(asked: &ShoesQuery, results: &Results, snapshot: &Snapshot, path: &str) -> Vec<Remark> {
    let shop_means = results.told.read.iter().any(|read| read.how == How::Synonym);
    let mut remarks: Vec<Remark> =
        sentences(&results.told, snapshot).into_iter().map(|say| Remark { say, links: Vec::new() }).collect();
    if let Some(first) = remarks.first_mut().filter(|_| shop_means) {
        first.links.push(Link::new(say!("Synonyms"), "/synonyms"));
    }
    if let Some(last) = remarks.last_mut() {
        let exactly = asked.with(EXACT, "yes").without("page").href(path);
        last.links.push(Link::new(say!("Only {typed}", typed = words::quoted(asked.words())), exactly));
    }
    remarks
}

/// The same without a way to do anything about it.
pub fn sentences(told: &Told, snapshot: &Snapshot) -> Vec<String> {
    let (meant, otherwise): (Vec<&ReadAs>, Vec<&ReadAs>) =
        told.read.iter().partition(|read| read.how == How::Synonym);
    let instead: Vec<String> = otherwise.iter().map(|read| found(read, snapshot)).collect();
    let instead = (!instead.is_empty())
        .then(|| say!("Including results for {found}.", found = instead.join(say!(" and "))));
    let synonym = |read: &&ReadAs| {
        say!(
            "{typed} also finds {found}, as this shop has it.",
            typed = words::quoted(&read.typed),
            found = found(read, snapshot)
        )
    };
    let left_out = (!told.left_out.is_empty()).then(|| {
        let left_out: Vec<String> = told.left_out.iter().map(words::quoted).collect();
        say!("No shoe has all of these words. Left out: {words}.", words = left_out.join(", "))
    });
    let all_but_one = (!told.all_but_one_of.is_empty())
        .then(|| say!("No shoe has all of these words; each of these has all but one.").to_owned());
    meant.iter().map(synonym).chain(instead).chain(left_out).chain(all_but_one).collect()
}

/// What was found instead, each once, as the catalogue spells it.
fn found(read: &ReadAs, snapshot: &Snapshot) -> String {
    let mut found: Vec<String> = Vec::new();
    for spelt in read.found.iter().map(|meant| words::quoted(snapshot.spelt(meant))) {
        if !found.contains(&spelt) {
            found.push(spelt);
        }
    }
    found.join(say!(" or "))
}
