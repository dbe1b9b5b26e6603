//! `check` and `rebuild`: the health of store and index.

use std::process::ExitCode;

use indexer::shop::Shop;
use indexer::store::DataDir;

use super::open::{existing, lock, sheet_reader};
use super::{Failure, Out, WhereArgs};

pub(super) fn check(args: &WhereArgs, out: &mut Out) -> Result<ExitCode, Failure> {
    let data = existing(args)?;
    let (faults, held) = data.check();
    if !faults.is_empty() {
        return damaged(&data, &faults, out);
    }
    let shop = Shop::open(&data, sheet_reader()?).map_err(Failure::unreachable)?;
    let snapshot = shop.snapshot();
    out.line(format_args!(
        "{} styles, {} sizes, change {}.",
        snapshot.styles().len(),
        snapshot.skus().len(),
        snapshot.seq().0
    ))?;
    out.line(if snapshot.has_new_index() {
        "The word index was missing, damaged or behind, and is built anew."
    } else {
        "The word index is whole."
    })?;
    let state =
        held.and_then(|held| held.state).map_or_else(String::new, |state| format!(" Its hash is {state}."));
    out.line(format_args!("The store is whole.{state}"))?;
    out.done()
}

fn damaged(data: &DataDir, faults: &[String], out: &mut Out) -> Result<ExitCode, Failure> {
    for fault in faults {
        out.line(format_args!("The store is damaged: {fault}"))?;
    }
    out.line(data.what_to_restore())?;
    out.done_with_problems()
}

pub(super) fn rebuild(args: &WhereArgs, out: &mut Out) -> Result<ExitCode, Failure> {
    let data = existing(args)?;
    let _lock = lock(&data, "A server keeps its index itself.")?;
    data.remove_index().map_err(|e| Failure::Unreachable(format!("cannot remove the old index: {e}")))?;
    let shop = Shop::open(&data, sheet_reader()?).map_err(Failure::unreachable)?;
    out.line(format_args!("The word index of {} styles is built.", shop.snapshot().styles().len()))?;
    out.done()
}
