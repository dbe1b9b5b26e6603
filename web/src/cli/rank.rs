//! `rank`: the stock in order for a runner, as words or as JSON.

use std::collections::BTreeSet;
use std::path::PathBuf;
use std::process::ExitCode;

use catalogue::rank::Group;
use catalogue::runner::Runner;
use clap::Args;
use indexer::ranked::{NoOrder, RankedList};
use indexer::snapshot::Snapshot;

use super::open::snapshot;
use super::runner_file::{read_form, stopped_in_words, to_runner};
use super::{Failure, Out, ReadArgs};
use crate::labels::HURTS_NOW;
use crate::wire::rank::{RankReply, questions};

/// What `rank` is told.
#[derive(Debug, Args)]
pub(super) struct RankArgs {
    #[command(flatten)]
    read: ReadArgs,
    /// The runner, as a TOML file
    #[arg(long, value_name = "FILE")]
    runner: PathBuf,
    /// Print the whole order with its lines as JSON
    #[arg(long)]
    json: bool,
}

pub(super) fn run(args: &RankArgs, out: &mut Out) -> Result<ExitCode, Failure> {
    // The runner first: a bad file is said before a catalogue is opened.
    let form = read_form(&args.runner)?;
    let snapshot = snapshot(&args.read)?;
    let runner = to_runner(&form, &args.runner, &snapshot)?;
    match (snapshot.ranked(&runner, &BTreeSet::new()), args.json) {
        (Ok(list), true) => out.json(&RankReply::of(&list, &snapshot))?,
        (Ok(list), false) => in_words(&list, &runner, &snapshot, out)?,
        (Err(NoOrder::Stopped(stopped)), true) => out.json(&RankReply::stopped(&stopped))?,
        (Err(NoOrder::Stopped(stopped)), false) => stopped_in_words("order", &stopped, out)?,
        (Err(NoOrder::Words(fault)), _) => return Err(Failure::unreachable(fault)),
    }
    // A stop is an answer, not a failure.
    out.done()
}

fn in_words(list: &RankedList, runner: &Runner, snapshot: &Snapshot, out: &mut Out) -> Result<(), Failure> {
    let brief = list.ranker.brief();
    out.word(format_args!("Row in force: {}. Pain: {}.", brief.row.word(), pain(runner)));
    if let Some(step) = brief.step {
        out.word(format_args!("{} of {} weeks done in this step.", step.done, step.of));
    }
    for question in questions(&list.ranker) {
        out.word(question);
    }
    if list.results.hits.is_empty() {
        return out.line(empty(list));
    }
    for group in [Group::First, Group::Also, Group::Aside, Group::Further, Group::TooLittle] {
        group_in_words(group, list, snapshot, out)?;
    }
    for note in list.ranker.notes() {
        out.word(format_args!("{} ({}: {})", note.says, note.evidence.grade.word(), note.evidence.studied));
    }
    Ok(())
}

fn pain(runner: &Runner) -> &'static str {
    match runner.flags.pain() {
        catalogue::injury::Answer::No => "asked, none",
        catalogue::injury::Answer::NotAsked if runner.hurts_now() => HURTS_NOW,
        other => other.word(),
    }
}

fn group_in_words(
    group: Group,
    list: &RankedList,
    snapshot: &Snapshot,
    out: &mut Out,
) -> Result<(), Failure> {
    let in_group = list.results.hits.iter().zip(&list.places).filter(|(_, place)| place.place == group);
    let mut rows = in_group.peekable();
    if rows.peek().is_none() {
        return Ok(());
    }
    out.line(format_args!("{}", heading(group)))?;
    for (hit, place) in rows {
        let (Some(card), Some(score)) = (snapshot.card(hit.row), hit.score) else { continue };
        let reasons = list.ranker.explain(&card.measures).reasons();
        let worn = if place.worn { " (worn now)" } else { "" };
        let tenths = |t: i16| catalogue::units::Tenths(t.into()).to_string();
        out.line(format_args!(
            "{:>5}  {} {}{worn}  [{} to {}]  {} pairs",
            tenths(score.suitability),
            card.style.maker,
            card.style.name,
            tenths(score.low),
            tenths(score.high),
            hit.pairs
        ))?;
        for (sign, reason) in [('+', reasons.plus), ('-', reasons.minus)] {
            if let Some(reason) = reason {
                out.line(format_args!("       {sign} {}", reason.say))?;
            }
        }
    }
    Ok(())
}

/// The heading of a group.
fn heading(group: Group) -> &'static str {
    match group {
        Group::First => "Bring out first",
        Group::Also => "Also worth trying",
        Group::Further => "Further away",
        Group::TooLittle => "Sheet says too little",
        Group::Aside => "Worn now",
    }
}

fn empty(list: &RankedList) -> String {
    let most = list.results.hidden.iter().max_by_key(|(_, n)| *n).filter(|(_, n)| *n > 0);
    match most {
        Some((group, n)) => {
            format!("Nothing in stock suits all of this. Without {}: {n} styles.", group.label())
        }
        None => "Nothing in stock suits all of this, and no one filter alone brings a style back.".to_owned(),
    }
}
