//! `staff`: who may sign in, seen and settled at the computer itself; the way back for an owner who has forgotten.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::ExitCode;
use std::sync::Arc;

use clap::{Args, Subcommand};
use indexer::store::{DataDir, Role, StaffBook};

use super::open::lock;
use super::{Failure, Out, WhereArgs};
use crate::clock::Clock;
use crate::staff::Staff;

/// What `staff` is told.
#[derive(Debug, Args)]
pub(super) struct StaffArgs {
    #[command(subcommand)]
    act: Act,
}

#[derive(Debug, Subcommand)]
enum Act {
    /// List the accounts
    List(WhereArgs),
    /// Add an account
    Add(AddArgs),
    /// Remove an account; after the last one the next start prints a set-up code again
    Remove(RemoveArgs),
}

#[derive(Debug, Args)]
struct AddArgs {
    #[command(flatten)]
    place: WhereArgs,
    /// The name to sign in by
    #[arg(value_name = "NAME")]
    name: String,
    /// What they may do: fitter or owner
    #[arg(long, value_name = "ROLE", value_parser = role)]
    role: Role,
    /// A file whose first line is the password; a password is no argument, which others could read
    #[arg(long, value_name = "FILE")]
    password_file: PathBuf,
}

#[derive(Debug, Args)]
struct RemoveArgs {
    #[command(flatten)]
    place: WhereArgs,
    /// The name
    #[arg(value_name = "NAME")]
    name: String,
}

fn role(word: &str) -> Result<Role, String> {
    Role::from_word(word).ok_or_else(|| "say fitter or owner".to_owned())
}

pub(super) fn run(args: &StaffArgs, out: &mut Out) -> Result<ExitCode, Failure> {
    match &args.act {
        Act::List(place) => list(place, out),
        Act::Add(args) => add(args, out),
        Act::Remove(args) => remove(args, out),
    }
}

fn list(place: &WhereArgs, out: &mut Out) -> Result<ExitCode, Failure> {
    let book = StaffBook::open(&DataDir::new(&place.data)).map_err(Failure::unreachable)?;
    for account in book.all().map_err(Failure::unreachable)? {
        out.line(format_args!("{}\t{}", account.role.word(), account.name))?;
    }
    out.done()
}

fn add(args: &AddArgs, out: &mut Out) -> Result<ExitCode, Failure> {
    let password = first_line(&args.password_file)?;
    let (staff, _lock) = opened(&args.place)?;
    let runtime = tokio::runtime::Runtime::new().map_err(Failure::unreachable)?;
    let at = Clock::machine().now().unix_seconds;
    let added = runtime.block_on(staff.add(&args.name, &password, args.role, at));
    added.map_err(|why| Failure::Problems(why.problem().say))?;
    out.line(format_args!("{} may sign in as {}.", args.name.trim(), args.role.word()))?;
    out.done()
}

fn remove(args: &RemoveArgs, out: &mut Out) -> Result<ExitCode, Failure> {
    let (staff, _lock) = opened(&args.place)?;
    staff.remove(&args.name).map_err(|why| Failure::Problems(why.problem().say))?;
    out.line(format_args!("{} is removed.", args.name))?;
    if !staff.is_set_up() {
        out.word("Nobody has an account now. A server that the network can reach prints a set-up code when it starts.");
    }
    out.done()
}

/// The staff, with the lock: a server that runs keeps who is signed in, and does the same on its page.
fn opened(place: &WhereArgs) -> Result<(Arc<Staff>, fs::File), Failure> {
    let data = DataDir::new(&place.data);
    let lock = lock(&data, "The page /staff of that server does the same.")?;
    let book = StaffBook::open(&data).map_err(Failure::unreachable)?;
    Ok((Arc::new(Staff::new(book, true).map_err(Failure::unreachable)?), lock))
}

fn first_line(file: &Path) -> Result<String, Failure> {
    let text = fs::read_to_string(file)
        .map_err(|e| Failure::Unreachable(format!("cannot read the password in {}: {e}", file.display())))?;
    Ok(text.lines().next().unwrap_or_default().to_owned())
}
