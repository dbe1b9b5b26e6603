//! `undo` and `history`: the changes of the catalogue.

use std::process::ExitCode;

use clap::Args;
use indexer::error::{ApplyError, StoreError};
use indexer::shop::Shop;
use indexer::store::{ChangeId, LedgerLine, Receipt, RecordedChange, Store};

use super::open::{locked, shop, signed};
use super::{Failure, Out, ReadArgs, WhereArgs};
use crate::owner::changes::counted;
use crate::owner::shoe_origins::{name, place};
use crate::owner::values::or_not_given;
use crate::wire::history::{ChangeReply, OneChangeReply};

/// What `undo` is told.
#[derive(Debug, Args)]
pub(super) struct UndoArgs {
    #[command(flatten)]
    place: WhereArgs,
    /// The number of the change, as `history` lists it
    #[arg(value_name = "CHANGE")]
    change: i64,
}

/// What `history` is told.
#[derive(Debug, Args)]
pub(super) struct HistoryArgs {
    #[command(flatten)]
    read: ReadArgs,
    /// One change, with the values it wrote and what it left alone
    #[arg(value_name = "CHANGE")]
    change: Option<i64>,
    /// How many changes, or how many values of one
    #[arg(long, default_value_t = 50)]
    limit: usize,
    /// Print them as JSON, one a line
    #[arg(long)]
    json: bool,
}

pub(super) fn undo(args: &UndoArgs, out: &mut Out) -> Result<ExitCode, Failure> {
    let opened = locked(&args.place, "The page /changes of that server takes changes back.")?;
    let latest = opened.shop.ask(|store| store.seq()).map_err(Failure::unreachable)?;
    // With the latest change in the key: an undo that was itself taken back can be made again.
    let key = format!("cli-undo-{}-{}", args.change, latest.0);
    let undone = opened.shop.undo(ChangeId(args.change), &signed(key));
    let undone = undone.map_err(not_applied)?;
    out.line(format_args!("Change {} is taken back, as change {}.", args.change, undone.change.0))?;
    out.line(format_args!("{} values went back, {} were kept.", undone.back, undone.kept.len()))?;
    for kept in &undone.kept {
        out.line(format_args!("kept: {kept}"))?;
    }
    out.done()
}

pub(super) fn history(args: &HistoryArgs, out: &mut Out) -> Result<ExitCode, Failure> {
    let shop = shop(&args.read)?;
    if let Some(change) = args.change {
        return one(&shop, ChangeId(change), args, out);
    }
    let changes = shop.ask(|store| -> Result<Vec<_>, StoreError> {
        let changes = store.history(args.limit.clamp(1, 1000))?.into_iter();
        changes.map(|change| with_receipt(store, change)).collect()
    });
    for (change, receipt) in &changes.map_err(Failure::unreachable)? {
        if args.json {
            out.json(&ChangeReply::of(change, receipt.as_ref()))?;
        } else {
            out.line(line(change, receipt.as_ref()))?;
        }
    }
    out.done()
}

/// A change, and what it counted if it is a count.
fn with_receipt(
    store: &Store,
    change: RecordedChange,
) -> Result<(RecordedChange, Option<Receipt>), StoreError> {
    let receipt = store.receipt(change.id)?;
    Ok((change, receipt))
}

/// `4  count; by owner; 12 sizes, 3 changed, 37 pairs`.
fn line(change: &RecordedChange, receipt: Option<&Receipt>) -> String {
    receipt.map_or_else(|| change.to_string(), |receipt| format!("{change}; {}", counted(receipt)))
}

/// One change: its line, what it wrote, and what it left alone.
fn one(shop: &Shop, id: ChangeId, args: &HistoryArgs, out: &mut Out) -> Result<ExitCode, Failure> {
    let told = shop.ask(|store| -> Result<_, StoreError> {
        let Some(change) = store.recorded(id)? else { return Ok(None) };
        let lines = store.lines_of(id, 0, args.limit.max(1))?;
        Ok(Some((with_receipt(store, change)?, lines, store.count_lines(id)?, store.kept_by(id)?)))
    });
    let told = told.map_err(Failure::unreachable)?;
    let Some(((change, receipt), lines, count, kept)) = told else {
        return Err(not_applied(ApplyError::NoSuchChange(id.0)));
    };
    if args.json {
        let change = ChangeReply::of(&change, receipt.as_ref());
        out.json(&OneChangeReply::of(change, &lines, count, &kept))?;
        return out.done();
    }
    out.line(line(&change, receipt.as_ref()))?;
    for line in &lines {
        out.line(format_args!("      {}", in_words(line)))?;
    }
    if count > lines.len() {
        out.line(format_args!("      and {} more; --limit shows more of them", count - lines.len()))?;
    }
    for kept in &kept {
        out.line(format_args!("kept: {kept}"))?;
    }
    out.done()
}

/// `heel stack of fennick.f1: 34 mm -> 36 mm, “36” in range.csv, row 12, column G`.
fn in_words(line: &LedgerLine) -> String {
    if line.is_of_the_row() {
        return format!("{} {}", line.key, if line.after.is_some() { "came" } else { "went" });
    }
    let shown = |value| or_not_given(&line.column, value);
    let (before, after) = (shown(line.before.as_ref()), shown(line.after.as_ref()));
    format!("{} of {}: {before} -> {after}, {}", name(&line.column), line.key, place(line))
}

/// A change that was not made: a conflict when the catalogue has moved on, else out of reach.
pub(super) fn not_applied(fault: ApplyError) -> Failure {
    match fault {
        ApplyError::Conflict { .. }
        | ApplyError::MissingUnsure { .. }
        | ApplyError::NoSuchChange(_)
        | ApplyError::AlreadyUndone(_) => Failure::Conflict(fault.to_string()),
        other => Failure::unreachable(other),
    }
}
