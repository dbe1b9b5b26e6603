//! `serve`: the pages on an address of this computer.

use std::process::ExitCode;
use std::sync::atomic::Ordering;
use std::sync::{Arc, OnceLock};
use std::time::Instant;

use clap::Args;
use indexer::shop::Shop;
use tokio::net::TcpListener;
use tracing_subscriber::EnvFilter;

use super::listening::{ListeningArgs, words_on};
use super::open::{Locked, locked, shop};
use super::{Failure, Out, ReadArgs};
use crate::app::{AppState, app};
use crate::clock::Clock;
use crate::config::{Config, HttpLimits, Listening};
use crate::serve::{Identity, serve_as, stop_signal};

/// What `serve` is told.
#[derive(Debug, Args)]
pub(super) struct ServeArgs {
    #[command(flatten)]
    read: ReadArgs,
    #[command(flatten)]
    listening: ListeningArgs,
    /// A further name by which browsers reach this server
    #[arg(long, value_name = "NAME")]
    host: Vec<String>,
}

pub(super) fn run(args: &ServeArgs, out: &mut Out) -> Result<ExitCode, Failure> {
    keep_a_log();
    panics_say_where_only();
    let identity = args.listening.settled()?;
    // The lock lives as long as the server does.
    let (shop, _lock) = open(args)?;
    let runtime = tokio::runtime::Runtime::new().map_err(Failure::unreachable)?;
    let stopped = runtime.block_on(listen(args, identity, shop, out))?;
    // A sheet that is being applied has the rest of the drain time; its transaction is whole or nothing.
    let since = Clock::machine().now().instant.saturating_duration_since(stopped);
    runtime.shutdown_timeout(HttpLimits::standard().drain.saturating_sub(since));
    out.done()
}

fn open(args: &ServeArgs) -> Result<(Shop, Option<std::fs::File>), Failure> {
    if args.read.sample {
        return Ok((shop(&args.read)?, None));
    }
    let Locked { shop, lock } = locked(&args.read.place, "Use that one, or stop it first.")?;
    Ok((shop, Some(lock)))
}

/// Serves until told to stop; when that was.
async fn listen(
    args: &ServeArgs,
    identity: Option<Identity>,
    shop: Shop,
    out: &Out,
) -> Result<Instant, Failure> {
    let wanted = args.listening.address;
    let listener = TcpListener::bind(wanted).await.map_err(|e| {
        Failure::Unreachable(format!("cannot listen on {wanted}: {e}. Choose another with --listen."))
    })?;
    let address = listener.local_addr().map_err(Failure::unreachable)?;
    let clock = Clock::machine();
    let listening = Listening { tls: identity.is_some(), ..Listening::on(address) };
    for word in words_on(listening, identity.as_ref(), clock.now().unix_seconds) {
        out.word(word);
    }
    let config = Config { listening, http: limits(), ..Config::standard(address, &args.host) };
    let limits = config.http;
    let styles = shop.snapshot().styles().len();
    let state: Arc<AppState> = AppState::new(shop, config, clock);
    let scheme = listening.scheme();
    out.word(format_args!("Lastbench shows {styles} styles on {scheme}://{address}/ (stop with Ctrl-C)"));
    let stopped = OnceLock::new();
    let stop = told_to_stop(&state, &stopped);
    serve_as(identity, listener, app(&state), limits, stop).await.map_err(Failure::unreachable)?;
    Ok(stopped.get().copied().unwrap_or_else(|| Clock::machine().now().instant))
}

/// Completes at the first signal, and notes when that was; the second ends the program where it stands, with exit code 1.
async fn told_to_stop(state: &AppState, at: &OnceLock<Instant>) {
    stop_signal().await;
    let _ = at.set(Clock::machine().now().instant);
    state.stopping.store(true, Ordering::Relaxed);
    tokio::spawn(async {
        stop_signal().await;
        std::process::exit(1);
    });
}

fn limits() -> HttpLimits {
    let standard = HttpLimits::standard();
    match rlimit::getrlimit(rlimit::Resource::NOFILE) {
        Ok((files, _)) => standard.within_open_files(files),
        Err(_) => standard,
    }
}

/// The log goes to standard error; `LASTBENCH_LOG` sets how much.
fn keep_a_log() {
    let filter = EnvFilter::try_from_env("LASTBENCH_LOG").unwrap_or_else(|_| EnvFilter::new("warn"));
    // A second start in one process, as in tests, keeps the first log.
    let _ = tracing_subscriber::fmt().with_env_filter(filter).with_writer(std::io::stderr).try_init();
}

/// A panic's words could hold what a runner said; its place cannot.
fn panics_say_where_only() {
    std::panic::set_hook(Box::new(|panic| {
        let place = panic.location().map_or_else(String::new, ToString::to_string);
        tracing::error!(place, "a request failed inside the program");
    }));
}
