//! `search`: shoes by words and filters.

use std::process::ExitCode;

use clap::Args;
use indexer::words::WordsError;

use super::open::snapshot;
use super::{Failure, Out, ReadArgs};
use crate::browse::narrow::SHOES;
use crate::request::shoes::ShoesQuery;
use crate::wire::shoes::ShoesReply;

/// What `search` is told.
#[derive(Debug, Args)]
pub(super) struct SearchArgs {
    #[command(flatten)]
    read: ReadArgs,
    /// Maker, name, style number, colour or words of the notes
    #[arg(value_name = "WORDS")]
    words: Vec<String>,
    /// A filter as in the address of the page, such as surface=trail or drop_to=6; may be repeated
    #[arg(long = "filter", value_name = "KEY=VALUE")]
    filters: Vec<String>,
    /// Which page of the results
    #[arg(long, default_value_t = 1)]
    page: u64,
    /// Print results, facets and histograms as JSON
    #[arg(long)]
    json: bool,
}

pub(super) fn run(args: &SearchArgs, out: &mut Out) -> Result<ExitCode, Failure> {
    let asked = asked(args)?;
    let snapshot = snapshot(&args.read)?;
    let asked = asked.meant(&snapshot);
    let results = snapshot.search(&asked.search(), None).map_err(|fault| match fault {
        WordsError::Refused(why) => Failure::Usage(why.to_string()),
        other => Failure::unreachable(other),
    })?;
    if args.json {
        out.json(&ShoesReply::of(&asked, &results, &snapshot))?;
        return out.done();
    }
    out.word(format_args!("{} styles, {} pairs in stock.", results.total, results.pairs));
    for remark in crate::browse::told::remarks(&asked, &results, &snapshot, SHOES) {
        out.word(format_args!("{}", remark.say));
    }
    for warning in &results.warnings {
        out.word(format_args!("{warning}."));
    }
    for card in results.hits.iter().filter_map(|hit| snapshot.card(hit.row)) {
        let measures = crate::visit::shoe::measures_in_words(&card.measures);
        out.line(format_args!("{}  {} {}  {measures}", card.style.key, card.style.maker, card.style.name))?;
    }
    out.done()
}

/// Words and filters as the query of the page says them; a filter without `=` or of no group is a usage error.
fn asked(args: &SearchArgs) -> Result<ShoesQuery, Failure> {
    let mut query = form_urlencoded::Serializer::new(String::new());
    query.append_pair("q", &args.words.join(" ")).append_pair("page", &args.page.to_string());
    for filter in &args.filters {
        let (key, value) = filter.split_once('=').ok_or_else(|| no_filter(filter))?;
        if !ShoesQuery::knows(key) {
            return Err(no_filter(filter));
        }
        query.append_pair(key, value);
    }
    Ok(ShoesQuery::parse(&query.finish()))
}

fn no_filter(filter: &str) -> Failure {
    let keys: Vec<_> = indexer::snapshot::Group::ALL.iter().map(|group| group.key()).collect();
    Failure::Usage(format!(
        "\"{filter}\" is no filter. Write KEY=VALUE with one of {}, or drop_from, drop_to and the like.",
        keys.join(", ")
    ))
}
