//! `gaps`: what the catalogue does not know.

use std::process::ExitCode;

use clap::Args;
use indexer::gaps::{Shoe, contradictions, duplicates, holes, outliers};

use super::open::shop;
use super::{Failure, Out, ReadArgs};
use crate::wire::gaps::GapsReply;

/// What `gaps` is told.
#[derive(Debug, Args)]
pub(super) struct GapsArgs {
    #[command(flatten)]
    read: ReadArgs,
    /// Print them as JSON, with every style behind each number
    #[arg(long)]
    json: bool,
}

pub(super) fn run(args: &GapsArgs, out: &mut Out) -> Result<ExitCode, Failure> {
    let shop = shop(&args.read)?;
    let suppliers = shop.ask(|store| store.suppliers()).map_err(Failure::unreachable)?;
    let snapshot = shop.snapshot();
    let shoes = Shoe::all(&snapshot, &suppliers);
    if args.json {
        out.json(&GapsReply::of(&shoes))?;
    } else {
        in_words(&shoes, out)?;
    }
    out.done()
}

fn in_words(shoes: &[Shoe<'_>], out: &mut Out) -> Result<(), Failure> {
    for hole in holes(shoes) {
        out.line(format_args!("{}: not given of {} of {} styles", hole.wanted.label, hole.missing, hole.of))?;
    }
    for doubt in [contradictions(shoes), outliers(shoes), duplicates(shoes)].into_iter().flatten() {
        let styles: Vec<_> = doubt.styles.iter().map(ToString::to_string).collect();
        out.line(format_args!("{}: {} ({})", styles.join(", "), doubt.say, doubt.code))?;
    }
    Ok(())
}
