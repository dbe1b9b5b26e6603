//! `count`: scanned codes, held against the catalogue, and applied when the owner says so.

use std::fs::{self, File};
use std::io::{self, Read};
use std::path::{Path, PathBuf};
use std::process::ExitCode;

use clap::{Args, ValueEnum};
use indexer::count::{Count, MOST_BYTES, Refused, Scanned, Scope};
use indexer::shop::Shop;
use indexer::store::{ChangeId, DataDir};

use super::changes::not_applied;
use super::consent::{Consent, reported};
use super::open::{Locked, existing, locked, sheet_reader, signed};
use super::{Failure, Out, WhereArgs};
use crate::wire::count::CountReply;

/// What `count` is told.
#[derive(Debug, Args)]
pub(super) struct CountArgs {
    #[command(flatten)]
    place_of_data: WhereArgs,
    /// Codes, one a line, with `x3`, `;3` or ` 3` behind one for its pairs; or - for standard input
    #[arg(value_name = "FILE")]
    file: PathBuf,
    /// The shelf they stand on
    #[arg(long, value_name = "SHELF")]
    place: Option<String>,
    /// They are everything there: what is believed there and not among them becomes none
    #[arg(long, value_name = "WHERE")]
    all: Option<All>,
    #[command(flatten)]
    consent: Consent,
}

/// Everything where.
#[derive(Clone, Copy, Debug, ValueEnum)]
enum All {
    /// On the shelf that --place names
    Shelf,
    /// In the shop
    Shop,
}

pub(super) fn run(args: &CountArgs, out: &mut Out) -> Result<ExitCode, Failure> {
    let scanned = scanned(args)?;
    // The lock lives as long as the count does.
    let (shop, _lock) = open(args)?;
    let count = Count::of(&scanned, &shop.snapshot());
    let change = decide(args, &shop, &scanned, &count, out)?;
    report(args, &count, change, out)?;
    if count.held.is_empty() { out.done() } else { out.done_with_problems() }
}

fn scanned(args: &CountArgs) -> Result<Scanned, Failure> {
    let scope = match args.all {
        None => Scope::Listed,
        Some(All::Shelf) => Scope::Shelf,
        Some(All::Shop) => Scope::Shop,
    };
    let text = read(&args.file)?;
    Scanned::new(text, args.place.as_deref().unwrap_or_default(), scope).map_err(|refused| match refused {
        Refused::NoPlace => Failure::Usage("--all shelf needs --place, the name of the shelf.".to_owned()),
        Refused::Place => Failure::Usage(refused.to_string()),
        Refused::Nothing | Refused::TooLong => Failure::Problems(refused.to_string()),
    })
}

/// The text of a file, a little more than is taken at most, so that too much is noticed. What is no text is read as
/// signs that name no shoe.
fn read(path: &Path) -> Result<String, Failure> {
    let source: Box<dyn Read> = if path == Path::new("-") {
        Box::new(io::stdin())
    } else {
        let opened = File::open(path);
        Box::new(opened.map_err(|e| Failure::Unreachable(format!("cannot read {}: {e}", path.display())))?)
    };
    let mut bytes = Vec::new();
    source
        .take(MOST_BYTES as u64 + 1)
        .read_to_end(&mut bytes)
        .map_err(|e| Failure::Unreachable(format!("cannot read {}: {e}", path.display())))?;
    Ok(String::from_utf8_lossy(&bytes).into_owned())
}

fn open(args: &CountArgs) -> Result<(Shop, Option<fs::File>), Failure> {
    let data: DataDir = existing(&args.place_of_data)?;
    if args.consent.check {
        return Ok((Shop::open(&data, sheet_reader()?).map_err(Failure::unreachable)?, None));
    }
    let page = "The page /count of that server counts.";
    let Locked { shop, lock } = locked(&args.place_of_data, page)?;
    Ok((shop, Some(lock)))
}

/// Applies when the owner says so; `None` when nothing was applied.
fn decide(
    args: &CountArgs,
    shop: &Shop,
    scanned: &Scanned,
    count: &Count,
    out: &Out,
) -> Result<Option<ChangeId>, Failure> {
    if count.is_empty() || !args.consent.is_given(|| summary(count), out)? {
        return Ok(None);
    }
    let by = signed(format!("cli-count-{}-{}", count.base.0, count.digest));
    shop.count(scanned, count.base, &count.digest, &by).map(Some).map_err(not_applied)
}

fn report(args: &CountArgs, count: &Count, change: Option<ChangeId>, out: &mut Out) -> Result<(), Failure> {
    let written = if args.consent.json {
        out.json(&CountReply::of(count, change))
    } else {
        in_words(count, change, out)
    };
    reported(written, change, out)
}

fn summary(count: &Count) -> String {
    let changed = count.found.iter().filter(|found| found.changes()).count();
    let none = if count.empties() { count.absent.len() } else { 0 };
    format!(
        "{} lines: {} pairs of {} sizes, {changed} of them another number, {none} become none, {} lines held.",
        count.lines,
        count.pairs(),
        count.found.len(),
        count.held.len()
    )
}

fn in_words(count: &Count, change: Option<ChangeId>, out: &mut Out) -> Result<(), Failure> {
    out.line(summary(count))?;
    for held in &count.held {
        out.line(format_args!("held: line {}, {:?}: {}", held.line, held.text, held.why))?;
    }
    for found in count.found.iter().filter(|found| found.changes()) {
        let believed = found.sku.quantity.map_or_else(|| "not given".to_owned(), |q| q.to_string());
        out.line(format_args!("{}: {believed} believed, {} counted", found.sku.key(), found.pairs))?;
    }
    for sku in &count.absent {
        let becomes = if count.empties() { "becomes none" } else { "stays as believed" };
        out.line(format_args!("{}: not scanned, {becomes}", sku.key()))?;
    }
    match change {
        Some(change) => {
            out.line(format_args!("Applied as change {0}. `lastbench undo {0}` takes it back.", change.0))
        }
        None => out.line("Nothing was applied."),
    }
}
