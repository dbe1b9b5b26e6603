//! `export`: the catalogue written out.

use std::process::ExitCode;

use clap::Args;

use super::open::shop;
use super::{Failure, Out, ReadArgs};

/// What `export` is told.
#[derive(Debug, Args)]
pub(super) struct ExportArgs {
    #[command(flatten)]
    read: ReadArgs,
    /// A row a size, as a sheet that can be imported again
    #[arg(long, conflicts_with = "ndjson")]
    csv: bool,
    /// A style a line as JSON, with where each value came from (the default)
    #[arg(long)]
    ndjson: bool,
}

pub(super) fn export(args: &ExportArgs, out: &mut Out) -> Result<ExitCode, Failure> {
    let shop = shop(&args.read)?;
    let text = shop.ask(|store| if args.csv { store.export_csv() } else { store.export_ndjson() });
    out.raw(&text.map_err(Failure::unreachable)?)?;
    out.done()
}
