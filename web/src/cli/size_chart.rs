//! `size-chart`: a maker's own chart, read, looked at, and kept when the owner says so.

use std::fs;
use std::io::Read;
use std::path::{Path, PathBuf};
use std::process::ExitCode;

use catalogue::style::Audience;
use clap::Args;
use indexer::chart::{Chart, ChartTold};
use indexer::hash::sha256;

use super::changes::not_applied;
use super::consent::{Consent, reported};
use super::open::{locked, looked_at, signed};
use super::{Failure, Out, WhereArgs};
use crate::wire::size_chart::SizeChartReply;

/// What `size-chart` is told.
#[derive(Debug, Args)]
pub(super) struct SizeChartArgs {
    #[command(flatten)]
    place: WhereArgs,
    /// The chart: a column of foot lengths and a column of labels a system; or - for standard input
    #[arg(value_name = "FILE")]
    file: PathBuf,
    /// Whose chart it is
    #[arg(long, value_name = "NAME")]
    maker: String,
    /// For whom it is, where the chart does not say: women, men, unisex or youth
    #[arg(long, value_name = "WHOM", value_parser = whom)]
    audience: Option<Audience>,
    #[command(flatten)]
    consent: Consent,
}

fn whom(word: &str) -> Result<Audience, String> {
    Audience::from_word(word).ok_or_else(|| "say women, men, unisex or youth".to_owned())
}

pub(super) fn run(args: &SizeChartArgs, out: &mut Out) -> Result<ExitCode, Failure> {
    let bytes = read(&args.file)?;
    let told = ChartTold { maker: args.maker.clone(), audience: args.audience };
    let name = args.file.file_name().map_or_else(|| "chart".into(), |name| name.to_string_lossy());
    let (shop, _lock) = if args.consent.check {
        (looked_at(&args.place)?, None)
    } else {
        let opened = locked(&args.place, "The page /size-charts of that server takes charts in.")?;
        (opened.shop, Some(opened.lock))
    };
    let chart = shop.read_chart(&name, &bytes, &told).map_err(Failure::unreachable)?;
    let chart = chart.map_err(|faults| {
        let lines: Vec<String> = faults.iter().map(|fault| format!("  {fault}")).collect();
        Failure::Problems(format!("the chart is not taken:\n{}", lines.join("\n")))
    })?;
    let wanted = args.consent.is_given(|| summary(&chart), out)?;
    let change = wanted
        .then(|| {
            let by = signed(format!("cli-size-chart-{}", sha256(chart.to_lines().as_bytes())));
            shop.change(|store| store.set_chart(&chart, "", shop.snapshot().seq(), &by))
        })
        .transpose()
        .map_err(not_applied)?;
    let written = if args.consent.json {
        out.json(&SizeChartReply::of(&chart, change))
    } else {
        out.line(summary(&chart))
    };
    reported(written, change, out)?;
    out.done()
}

fn summary(chart: &Chart) -> String {
    format!("Size chart of {}: {} labels.", chart.maker, chart.rows.len())
}

fn read(path: &Path) -> Result<Vec<u8>, Failure> {
    let read = if path == Path::new("-") {
        let mut bytes = Vec::new();
        std::io::stdin().read_to_end(&mut bytes).map(|_| bytes)
    } else {
        fs::read(path)
    };
    read.map_err(|e| Failure::Unreachable(format!("cannot read {}: {e}", path.display())))
}
