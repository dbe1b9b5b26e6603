//! What is said about an order as a whole: a closed gate, a halved step, a guess, a conflict, and what rules note.

use catalogue::injury::Region;
use catalogue::rank::{Brief, Clash, Closed, Origin, Ranker, Row};
use catalogue::rules::Rule;
use catalogue::runner::{Feel, Now, Runner};
use catalogue::slow::SlowSign;

use super::brief::region_label;
use super::shoe::plain;
use super::unasked::{Reader, unasked};
use super::{Visit, capital, listed, sizes, why, worn};
use crate::labels::HOUSE_VIEW;
use crate::pages::fitting_stock::{Announcement, Conflict, Way};
use crate::parts::Link;
use crate::parts::act::Act;
use crate::parts::notes::{Note, Notes};
use crate::words;

/// What the order must be read with, one sentence each.
pub fn announcements(visit: &Visit<'_>, ranker: &Ranker) -> Vec<Announcement> {
    let brief = ranker.brief();
    let plain = |say: Option<String>| say.map(|say| Announcement { say, act: None });
    let gate = gate(visit, brief).or_else(|| stepped_anyway(visit));
    let guessed = guessed(&visit.fitting.runner, ranker);
    let replaced = worn::replaced(visit, ranker.landing());
    let said = [gate, plain(diabetes(brief)), plain(halved(brief)), plain(guessed), plain(replaced)];
    let settled = brief.clashes.iter().filter_map(|clash| settled(visit, clash));
    let of_sizes = sizes::announcements(&visit.fitting.runner).into_iter().filter_map(|say| plain(Some(say)));
    said.into_iter().flatten().chain(settled).chain(of_sizes).collect()
}

/// Less shoe is not yet ordered for; opened by one tap, unless diabetes closes it too.
fn gate(visit: &Visit<'_>, brief: &Brief) -> Option<Announcement> {
    let weeks = brief
        .step
        .map(|step| say!("{done} of {step} weeks done in this step", done = step.done, step = step.of));
    let main = say!("the newest pair is not yet the pair that runs most").to_owned();
    let main = brief.closed.contains(&Closed::MainPair).then_some(main);
    let why: Vec<String> = weeks.into_iter().chain(main).collect();
    let say = say!(
        "{why}: the order is for the same shoe until then. {brief}",
        why = capital(&listed(&why, say!("and"))),
        brief = opens_when(brief)
    );
    let act = Act::post(visit.href("/step-anyway"), "anyway", "yes");
    let way = Way { label: say!("Order for less anyway").to_owned(), act };
    let opens = !brief.closed.contains(&Closed::Diabetes);
    (!why.is_empty()).then(|| Announcement { say, act: opens.then_some(way) })
}

/// What is still to come before less shoe is ordered for.
fn opens_when(brief: &Brief) -> String {
    let weeks = brief.step.map(|step| match step.of.saturating_sub(step.done) {
        1 => say!("in a week").to_owned(),
        weeks => say!("in {weeks} weeks", weeks),
    });
    let main =
        brief.closed.contains(&Closed::MainPair).then(|| say!("once the newest pair runs most").to_owned());
    let when: Vec<String> = weeks.into_iter().chain(main).collect();
    say!("Less shoe opens {when}.", when = listed(&when, say!("and")))
}

fn stepped_anyway(visit: &Visit<'_>) -> Option<Announcement> {
    let act = Act::post(visit.href("/step-anyway"), "anyway", "no");
    let way = Way { label: say!("Wait for the step after all").to_owned(), act };
    let say = say!("Ordered for less although this step may not be done.").to_owned();
    visit.fitting.runner.stage.step_anyway.then_some(Announcement { say, act: Some(way) })
}

fn diabetes(brief: &Brief) -> Option<String> {
    let say = say!(
        "With diabetes the order is for the same shoe, never for less: feet that do not feel can be hurt by a shoe that seems comfortable. The care team decides on a change."
    );
    brief.closed.contains(&Closed::Diabetes).then(|| say.to_owned())
}

/// Body mass is named on no page but the form.
fn halved(brief: &Brief) -> Option<String> {
    let sign = |sign: &SlowSign| match sign {
        SlowSign::BodyMass => say!("an answer for the fitter only"),
        other => words::of(other.word()),
    };
    let signs: Vec<&str> = brief.halved_for.iter().map(sign).collect();
    let counts = matches!(brief.row, Row::Less | Row::Race) && !signs.is_empty();
    counts.then(|| say!("The step towards less is halved: {signs}.", signs = listed(&signs, say!("and"))))
}

fn guessed(runner: &Runner, ranker: &Ranker) -> Option<String> {
    let guessed = ranker.brief().bands.iter().filter(|band| band.origin == Origin::Guessed);
    let missing: Vec<&str> = guessed.map(|band| why::measure(band.measure)).collect();
    match &runner.now.shoe {
        Now::Feels(feel) => Some(by_feel(*feel, ranker)),
        _ if missing.is_empty() => None,
        Now::NotAsked => Some(
            say!("The pair worn now is unknown: the shop's usual bands are looked for, which is a guess.")
                .to_owned(),
        ),
        _ => Some(say!(
            "Guessed, since the pair worn now does not give it: {missing}.",
            missing = listed(&missing, say!("and"))
        )),
    }
}

fn by_feel(feel: Feel, ranker: &Ranker) -> String {
    let stands_in = ranker.case().worn.map(|worn| worn.measures);
    let stacks = stands_in.and_then(|shoe| shoe.heel_stack().zip(shoe.forefoot_stack()));
    let stacks = stacks.map_or(String::new(), |(heel, forefoot)| {
        say!(
            " of {heel} / {forefoot} mm",
            heel = plain(heel.in_tenths()),
            forefoot = plain(forefoot.in_tenths())
        )
    });
    let word = words::of(feel.word());
    say!(
        "The pair worn now is known by feel only ({word}): a shoe{stacks} stands in for it, which is a guess.",
        word,
        stacks
    )
}

/// A conflict in which one rule stays: said, with the way to ask again where an answer settled it.
fn settled(visit: &Visit<'_>, clash: &Clash) -> Option<Announcement> {
    let kept = clash.kept?;
    let lost = if kept.id == clash.up.id { clash.down } else { clash.up };
    let on = words::of(clash.on.word());
    let say = say!(
        "Two rules pull {on} apart. Kept: {kept} Left out: {lost}",
        on,
        kept = words::of(kept.says),
        lost = words::of(lost.says)
    );
    let answered = visit.fitting.runner.injuries.iter().any(|injury| injury.current.is_yes());
    let act = Act::post(visit.href("/current"), "region", "");
    let way = Way { label: say!("Ask again which pain is current").to_owned(), act };
    Some(Announcement { say, act: (answered && lost.is_injury_rule()).then_some(way) })
}

/// Two injuries pull one measure apart, and the page asks which is current.
pub fn conflict(visit: &Visit<'_>, ranker: &Ranker) -> Option<Conflict> {
    let open: Vec<&Clash> = ranker.brief().clashes.iter().filter(|clash| clash.kept.is_none()).collect();
    let first = open.first()?;
    let asked = |region: &Region| open.iter().any(|clash| speaks_of(clash, *region));
    let regions = visit.fitting.runner.injuries.iter().map(|injury| injury.region).filter(asked);
    let answer = |region: Region| Way {
        label: region_label(region.word()).to_owned(),
        act: Act::post(visit.href("/current"), "region", region.word()),
    };
    let measures: Vec<&str> = open.iter().map(|clash| words::of(clash.on.word())).collect();
    let measures = listed(&measures, say!("and"));
    let say = say!(
        "Two injuries pull {measures} apart, and both rules are left out until this is answered. {up} {down}",
        measures,
        up = words::of(first.up.says),
        down = words::of(first.down.says)
    );
    Some(Conflict {
        say,
        question: say!("Which pain is current?").to_owned(),
        answers: regions.map(answer).collect(),
    })
}

fn speaks_of(clash: &Clash, region: Region) -> bool {
    [clash.up, clash.down].iter().any(|rule| rule.regions.contains(&region))
}

/// Rules that speak of the runner, and what nobody asked.
pub fn notes(visit: &Visit<'_>, ranker: &Ranker) -> Notes {
    let unasked: Vec<&str> =
        unasked(&visit.fitting.runner, Reader::Fitter).into_iter().map(words::of).collect();
    let unasked = (!unasked.is_empty()).then(|| say!("Not asked: {unasked}.", unasked = unasked.join(", ")));
    let house = unasked.into_iter().chain([words::of(HOUSE_VIEW).to_owned()]);
    let house = house.map(|say| Note { say, grade: String::new(), rule: None });
    Notes { notes: ranker.notes().iter().map(|rule| note(rule)).chain(house).collect() }
}

fn note(rule: &Rule) -> Note {
    Note {
        say: words::of(rule.says).to_owned(),
        grade: say!(
            "({grade}; studied: {studied})",
            grade = words::of(rule.evidence.grade.word()),
            studied = words::of(rule.evidence.studied).trim_end_matches('.')
        ),
        rule: Some(rule_link(rule)),
    }
}

/// A rule by its name: `Calf drop` for `calf-drop`.
pub fn rule_name(rule: &Rule) -> String {
    name_of(rule.id)
}

/// The name of a rule or a claim by its id.
pub fn name_of(id: &str) -> String {
    words::translated(id).map_or_else(|| capital(&id.replace('-', " ")), str::to_owned)
}

/// The name of a rule, leading to the page of rules.
pub fn rule_link(rule: &Rule) -> Link {
    Link::new(rule_name(rule), format!("/rules#{}", rule.id))
}
