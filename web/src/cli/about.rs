//! What the program says about itself: in short, as completions for a shell, as a page of the manual.

use std::process::ExitCode;

use clap::{Args, Command, CommandFactory};
use clap_complete::Shell;

use super::{Cli, Failure, Out};

/// What is said to whoever calls the program without a word; it fits on a small terminal.
pub(super) const IN_SHORT: &str = "\
lastbench: a shoe-spec catalogue and fitting advisor for a running shop's fitting room.

  lastbench serve --sample                    the invented shop, on http://127.0.0.1:7340/
  lastbench import spring.xlsx --check        what a supplier's sheet would change, and why
  lastbench import spring.xlsx --yes          change it
  lastbench serve                             your catalogue, in ./lastbench-data
  lastbench search \"trail wide\"               search it
  lastbench rank --runner runner.toml         put the stock in order for a runner
  lastbench history                           what was changed
  lastbench undo 2                            take a change back

Every command: lastbench --help. One of them: lastbench help serve.";

/// What `completions` is told.
#[derive(Debug, Args)]
pub(super) struct CompletionsArgs {
    /// The shell
    shell: Shell,
}

/// What `man` is told.
#[derive(Debug, Args)]
pub(super) struct ManArgs {
    /// The command whose page is wanted; the program's own without it
    command: Option<String>,
}

pub(super) fn completions(args: &CompletionsArgs, out: &mut Out) -> Result<ExitCode, Failure> {
    let mut script = Vec::new();
    clap_complete::generate(args.shell, &mut Cli::command(), "lastbench", &mut script);
    out.raw(&String::from_utf8_lossy(&script))?;
    out.done()
}

pub(super) fn man(args: &ManArgs, out: &mut Out) -> Result<ExitCode, Failure> {
    let mut page = Vec::new();
    clap_mangen::Man::new(of(args.command.as_deref())?).render(&mut page).map_err(Failure::unreachable)?;
    out.raw(&String::from_utf8_lossy(&page))?;
    out.done()
}

fn of(name: Option<&str>) -> Result<Command, Failure> {
    let mut command = Cli::command();
    command.build();
    let Some(name) = name else { return Ok(command) };
    let found = command.find_subcommand(name).cloned();
    found.ok_or_else(|| Failure::Usage(format!("there is no command {name:?}; lastbench --help lists them")))
}
