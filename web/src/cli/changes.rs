//! `undo` and `history`: the changes of the catalogue.

use std::process::ExitCode;

use clap::Args;
use indexer::error::ApplyError;
use indexer::store::ChangeId;

use super::open::{locked, shop, signed};
use super::{Failure, Out, ReadArgs, WhereArgs};
use crate::wire::history::ChangeReply;

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
    /// How many changes
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
    for kept in &undone.kept {
        out.line(format_args!("kept, since it was changed later: {kept}"))?;
    }
    out.done()
}

pub(super) fn history(args: &HistoryArgs, out: &mut Out) -> Result<ExitCode, Failure> {
    let shop = shop(&args.read)?;
    let changes = shop.ask(|store| store.history(args.limit.clamp(1, 1000))).map_err(Failure::unreachable)?;
    for change in &changes {
        if args.json {
            out.json(&ChangeReply::of(change))?;
        } else {
            out.line(change)?;
        }
    }
    out.done()
}

/// A change that was not made: a conflict when the catalogue has moved on, else out of reach.
pub(super) fn not_applied(fault: ApplyError) -> Failure {
    match fault {
        ApplyError::Conflict { .. } | ApplyError::NoSuchChange(_) | ApplyError::AlreadyUndone(_) => {
            Failure::Conflict(fault.to_string())
        }
        other => Failure::unreachable(other),
    }
}
