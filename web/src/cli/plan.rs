//! `plan`: the change from the pair worn now to a style, week by week, as words or as JSON.

use std::path::PathBuf;
use std::process::ExitCode;

use catalogue::key::StyleKey;
use catalogue::plan::{Plan, Week};
use clap::Args;
use indexer::planned::{NoPlan, Planned, Stepping};
use indexer::snapshot::Snapshot;

use super::open::snapshot;
use super::runner_file::{read_form, stopped_in_words, to_runner};
use super::{Failure, Out, ReadArgs};
use crate::visit::plan::{basis, in_short, not_known, slowly, stepping_in_words};
use crate::visit::shoe;
use crate::wire::plan::PlanReply;

/// What `plan` is told.
#[derive(Debug, Args)]
pub(super) struct PlanArgs {
    #[command(flatten)]
    read: ReadArgs,
    /// The runner, as a TOML file
    #[arg(long, value_name = "FILE")]
    runner: PathBuf,
    /// The style to change to, by its key as `rank` and `search` print it
    #[arg(long, value_name = "STYLE")]
    to: String,
    /// Print the plan as JSON
    #[arg(long)]
    json: bool,
}

pub(super) fn run(args: &PlanArgs, out: &mut Out) -> Result<ExitCode, Failure> {
    let form = read_form(&args.runner)?;
    let snapshot = snapshot(&args.read)?;
    let runner = to_runner(&form, &args.runner, &snapshot)?;
    let to = StyleKey::parse(&args.to).ok_or_else(|| no_such_style(&args.to))?;
    match (snapshot.planned(&runner, &to), args.json) {
        (Ok(planned), true) => out.json(&PlanReply::of(&planned, &snapshot))?,
        (Ok(planned), false) => in_words(&planned, &to, &snapshot, out)?,
        (Err(NoPlan::Stopped(stopped)), true) => out.json(&PlanReply::stopped(&stopped))?,
        (Err(NoPlan::Stopped(stopped)), false) => stopped_in_words("plan", &stopped, out)?,
        (Err(NoPlan::NoSuchStyle), _) => return Err(no_such_style(&args.to)),
        (Err(NoPlan::Words(fault)), _) => return Err(Failure::unreachable(fault)),
    }
    out.done()
}

fn no_such_style(text: &str) -> Failure {
    Failure::Problems(format!(
        "no style of the catalogue has the key “{text}”. `lastbench search WORDS` prints the keys, such as fennick.fm-310."
    ))
}

fn in_words(planned: &Planned, to: &StyleKey, snapshot: &Snapshot, out: &mut Out) -> Result<(), Failure> {
    let plan = &planned.plan;
    let name = snapshot.style(to).map_or_else(|| to.to_string(), |card| shoe::name(card.style));
    out.line(format_args!("To {name}: {}", in_short(plan)))?;
    for why in &plan.why {
        out.line(format_args!("  because: {why}"))?;
    }
    for sentence in not_known(plan).into_iter().chain(slowly(plan, |sign| sign.word())) {
        out.line(format_args!("  {sentence}"))?;
    }
    weeks_in_words(&plan.weeks, out)?;
    stepping(planned, snapshot, out)?;
    advice(plan, out)
}

fn weeks_in_words(weeks: &[Week], out: &mut Out) -> Result<(), Failure> {
    if weeks.is_empty() {
        return Ok(());
    }
    out.line("\nWeek   at most   km new   km old")?;
    for week in weeks {
        let km =
            |of: fn(&(u16, u16)) -> u16| week.km.as_ref().map_or("-".to_owned(), |km| of(km).to_string());
        out.line(format_args!(
            "{:>4}   {:>7}   {:>6}   {:>6}",
            week.week,
            week.share.to_string(),
            km(|km| km.0),
            km(|km| km.1)
        ))?;
    }
    Ok(())
}

fn stepping(planned: &Planned, snapshot: &Snapshot, out: &mut Out) -> Result<(), Failure> {
    out.line(format_args!("\n{}", stepping_in_words(planned)))?;
    let Stepping::Steps(keys) = &planned.stepping else { return Ok(()) };
    for card in keys.iter().filter_map(|key| snapshot.style(key)) {
        let measures = shoe::measures_in_words(&card.measures);
        out.line(format_args!("  {}: {measures}", shoe::name(card.style)))?;
    }
    Ok(())
}

fn advice(plan: &Plan, out: &mut Out) -> Result<(), Failure> {
    let said = &plan.advice;
    let parts = [
        ("When to stop, step back or hold", &said.signs),
        ("Strength", &said.strength),
        ("What moves where", &said.moves),
        ("The two pairs", &said.pairs),
        ("What the plan rests on", &said.schedule),
    ];
    for (heading, claims) in parts.into_iter().filter(|(_, claims)| !claims.is_empty()) {
        out.line(format_args!("\n{heading}"))?;
        claims.iter().try_for_each(|claim| out.line(format_args!("  {} ({})", claim.says, basis(claim))))?;
    }
    Ok(())
}
