//! `backup` and `restore`: the catalogue kept elsewhere, and brought back.

use std::path::PathBuf;
use std::process::ExitCode;

use clap::Args;
use indexer::keeping::{BackupFault, Lost, Why, back_up, restore, when, would_restore};
use indexer::store::Held;

use super::open::{existing, folder, lock};
use super::{Failure, Out, WhereArgs};
use crate::clock::Clock;

/// Changes that are named one by one.
const NAMED: usize = 20;

/// What `backup` is told.
#[derive(Debug, Args)]
pub(super) struct BackupArgs {
    #[command(flatten)]
    place: WhereArgs,
    /// The folder it is made in, best on another disk
    #[arg(value_name = "DIR")]
    into: PathBuf,
}

/// What `restore` is told.
#[derive(Debug, Args)]
pub(super) struct RestoreArgs {
    #[command(flatten)]
    place: WhereArgs,
    /// The backup
    #[arg(value_name = "FILE")]
    file: PathBuf,
    /// Say what it would bring and take, and change nothing
    #[arg(long)]
    dry_run: bool,
    /// Restore without asking
    #[arg(long, conflicts_with = "dry_run")]
    yes: bool,
}

pub(super) fn backup(args: &BackupArgs, out: &mut Out) -> Result<ExitCode, Failure> {
    let data = existing(&args.place)?;
    let made =
        back_up(&data, &args.into, Why::Asked, Clock::machine().now().unix_seconds).map_err(not_made)?;
    out.line(made.path.display())?;
    out.word(format_args!("Change {}, {} bytes; read back and whole.", made.seq.0, made.bytes));
    out.done()
}

pub(super) fn restore_one(args: &RestoreArgs, out: &mut Out) -> Result<ExitCode, Failure> {
    let data = folder(&args.place);
    let file = args.file.display();
    if !args.file.is_file() {
        return Err(Failure::Unreachable(format!("there is no backup {file}.")));
    }
    // The lock lives until the catalogue is exchanged. Whoever only looks needs none.
    let page = "Stop it first: the catalogue of a running server is not exchanged.";
    let _lock = if args.dry_run { None } else { Some(lock(&data, page)?) };
    let lost = would_restore(&data, &args.file)
        .map_err(|fault| Failure::Problems(format!("{file} is no whole backup: {fault}. Choose another.")))?;
    tell(args, &lost, out)?;
    if args.dry_run {
        out.line("Nothing was changed.")?;
        return out.done();
    }
    let agreed = args.yes || out.ask("Restore it?").ok_or_else(nobody_to_ask)?;
    if !agreed {
        out.line("Nothing was changed.")?;
        return out.done();
    }
    let done = restore(&data, &args.file, lost, Clock::machine().now().unix_seconds).map_err(not_made)?;
    if let Some(before) = done.before {
        out.line(format_args!("What stood there before is kept as {}.", before.display()))?;
    }
    out.line(format_args!("Restored: change {}.", done.lost.backup.seq.0))?;
    out.done()
}

fn nobody_to_ask() -> Failure {
    let say = "nobody can be asked here: say --yes to restore, or --dry-run to look only.";
    Failure::Usage(say.to_owned())
}

fn tell(args: &RestoreArgs, lost: &Lost, out: &mut Out) -> Result<(), Failure> {
    out.line(format_args!("{}: {}.", args.file.display(), in_words(&lost.backup)))?;
    let data = args.place.data.display();
    for fault in &lost.faults {
        out.line(format_args!("The catalogue in {data} is damaged: {fault}."))?;
    }
    match &lost.present {
        Some(present) => out.line(format_args!("The catalogue in {data}: {}.", in_words(present)))?,
        None if lost.faults.is_empty() => out.line(format_args!("There is no catalogue in {data} yet."))?,
        None => out.line("What it held cannot be read; `lastbench restore` keeps its bytes.")?,
    }
    if lost.changes.is_empty() {
        return out.line("No change that can be read would be lost.");
    }
    let named: Vec<String> = lost.changes.iter().rev().take(NAMED).map(ToString::to_string).collect();
    let more = if lost.changes.len() > NAMED { " and older ones" } else { "" };
    out.line(format_args!(
        "Changes that would be lost: {}, the newest first: {}{more}. `lastbench history CHANGE` says what each is.",
        lost.changes.len(),
        named.join(", ")
    ))
}

fn in_words(held: &Held) -> String {
    let changed = held.changed.map_or_else(String::new, |at| format!(" of {}", when(at)));
    format!("change {}{changed}, {} styles, {} SKUs", held.seq.0, held.styles, held.skus)
}

/// A catalogue that is not whole is a problem found; else a folder cannot be used.
fn not_made(fault: BackupFault) -> Failure {
    match fault {
        BackupFault::NotGood(_) => Failure::Problems(fault.to_string()),
        other => Failure::unreachable(other),
    }
}
