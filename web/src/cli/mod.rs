//! The command line: data on stdout, words on stderr, and an exit code that says how it went.

mod about;
mod backups;
mod catalogue_files;
mod changes;
mod check;
mod consent;
mod count;
mod gaps;
mod healthcheck;
mod import;
mod listening;
mod open;
mod out;
mod plan;
mod progress;
mod rank;
mod registries;
mod runner_file;
mod search;
mod serve;
mod settings;
mod size_chart;
mod staff;

use std::path::PathBuf;
use std::process::ExitCode;

use clap::{ArgMatches, Args, ColorChoice, FromArgMatches, Parser, Subcommand};
use indexer::sheet::{READ_SHEET, worker_main};
use indexer::store::DataDir;

pub use out::{Failure, Out};
use settings::Settings;

/// A shoe-spec catalogue and fitting advisor for a running shop's fitting room.
#[derive(Debug, Parser)]
#[command(name = "lastbench", version, about, after_help = EXIT_CODES)]
pub struct Cli {
    /// Colour in help and words of error
    #[arg(long, global = true, value_name = "WHEN", default_value = "auto")]
    color: ColorChoice,
    /// Say nothing but what failed
    #[arg(long, short, global = true)]
    quiet: bool,
    #[command(subcommand)]
    command: Command,
}

const EXIT_CODES: &str = "Exit codes: 0 done, 1 problems found, 2 usage, 3 cannot read or write, 4 conflict, 130 stopped by Ctrl-C.";

#[derive(Debug, Subcommand)]
enum Command {
    /// Serve the pages on an address of this computer
    Serve(serve::ServeArgs),
    /// Import a supplier's sheet
    Import(import::ImportArgs),
    /// Take an import back
    Undo(changes::UndoArgs),
    /// Count pairs from scanned codes
    Count(count::CountArgs),
    /// Keep a maker's own size chart
    SizeChart(size_chart::SizeChartArgs),
    /// List the changes of the catalogue, newest first
    History(changes::HistoryArgs),
    /// List what the catalogue does not know
    Gaps(gaps::GapsArgs),
    /// Search the shoes in the catalogue
    Search(search::SearchArgs),
    /// Put the stock in order for a runner
    Rank(rank::RankArgs),
    /// Plan the change from the pair worn now to a style
    Plan(plan::PlanArgs),
    /// See, add or remove those who may sign in
    Staff(staff::StaffArgs),
    /// Write the catalogue out
    Export(catalogue_files::ExportArgs),
    /// Build the word index anew from the store
    Rebuild(WhereArgs),
    /// Check the store and the index
    Check(WhereArgs),
    /// Make a backup of the catalogue, also while it is served
    Backup(backups::BackupArgs),
    /// Put a backup in the place of the catalogue
    Restore(backups::RestoreArgs),
    /// List the columns that a sheet may hold
    Columns(WhereArgs),
    /// List the rules with their grades and sources
    Rules(WhereArgs),
    /// Show the settings and where each comes from
    #[command(subcommand)]
    Config(ConfigCommand),
    /// Ask a server whether it is alive: exit code 0 or 1
    Healthcheck(healthcheck::HealthcheckArgs),
    /// Print completions for a shell
    Completions(about::CompletionsArgs),
    /// Print a page of the manual
    Man(about::ManArgs),
}

#[derive(Debug, Subcommand)]
enum ConfigCommand {
    /// Print each setting of `serve` with its source
    Print(Box<serve::ServeArgs>),
}

/// Which catalogue a command works on.
#[derive(Clone, Debug, Args)]
pub struct WhereArgs {
    /// The folder of the catalogue
    #[arg(long, value_name = "DIR", default_value = "lastbench-data", env = "LASTBENCH_DATA")]
    data: PathBuf,
    /// A file of settings: the options of `serve`, as in `listen = "127.0.0.1:7340"`
    #[arg(long, value_name = "FILE", env = "LASTBENCH_CONFIG")]
    config: Option<PathBuf>,
    /// The folder lies on a network share, and nobody else ever opens it there
    #[arg(long, env = "LASTBENCH_ON_A_SHARE")]
    on_a_share: bool,
}

/// Which catalogue a reading command works on.
#[derive(Clone, Debug, Args)]
pub struct ReadArgs {
    #[command(flatten)]
    place: WhereArgs,
    /// Use the invented sample catalogue, in memory, instead of a folder
    #[arg(long)]
    sample: bool,
}

impl ReadArgs {
    /// The folder they name, whether or not the sample is asked for.
    fn data(&self) -> DataDir {
        DataDir::new(&self.place.data)
    }
}

/// Runs the program: as the reader of one sheet when it was started as that, else the command line.
pub fn main() -> ExitCode {
    if std::env::args().nth(1).as_deref() == Some(READ_SHEET) {
        return worker_main();
    }
    let mut out = Out::new();
    if std::env::args_os().len() < 2 {
        out.needed(about::IN_SHORT);
        return ExitCode::from(2);
    }
    match Settings::read().and_then(|settings| understood(&settings, &mut out)) {
        Ok(code) => code,
        Err(failure) => out.fail(&failure),
    }
}

fn understood(settings: &Settings, out: &mut Out) -> Result<ExitCode, Failure> {
    let cli = Cli::from_arg_matches(&settings.matches).unwrap_or_else(|words| words.exit());
    out.be_quiet(cli.quiet);
    if asks_for_json(&settings.matches) {
        out.owes_json();
    }
    match cli.command {
        Command::Config(ConfigCommand::Print(_)) => {
            settings.print(out)?;
            out.done()
        }
        command => run(command, out),
    }
}

/// Whether the command has `--json` and was given it.
fn asks_for_json(matches: &ArgMatches) -> bool {
    let told = matches.subcommand().map(|(_, command)| command.try_get_one::<bool>("json"));
    matches!(told, Some(Ok(Some(true))))
}

fn run(command: Command, out: &mut Out) -> Result<ExitCode, Failure> {
    match command {
        Command::Serve(args) => serve::run(&args, out),
        Command::Import(args) => import::run(&args, out),
        Command::Undo(args) => changes::undo(&args, out),
        Command::Count(args) => count::run(&args, out),
        Command::SizeChart(args) => size_chart::run(&args, out),
        Command::Gaps(args) => gaps::run(&args, out),
        Command::History(args) => changes::history(&args, out),
        Command::Search(args) => search::run(&args, out),
        Command::Rank(args) => rank::run(&args, out),
        Command::Plan(args) => plan::run(&args, out),
        Command::Staff(args) => staff::run(&args, out),
        Command::Export(args) => catalogue_files::export(&args, out),
        Command::Rebuild(args) => check::rebuild(&args, out),
        Command::Check(args) => check::check(&args, out),
        Command::Backup(args) => backups::backup(&args, out),
        Command::Restore(args) => backups::restore_one(&args, out),
        Command::Columns(_) => registries::columns(out),
        Command::Rules(_) => registries::rules(out),
        Command::Healthcheck(args) => healthcheck::run(&args, out),
        Command::Completions(args) => about::completions(&args, out),
        Command::Man(args) => about::man(&args, out),
        // Answered where the settings are known.
        Command::Config(_) => out.done(),
    }
}
