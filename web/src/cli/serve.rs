//! `serve`: the pages on an address of this computer.

use std::fs::File;
use std::net::SocketAddr;
use std::path::PathBuf;
use std::process::ExitCode;
use std::sync::Arc;

use clap::Args;
use indexer::shop::Shop;
use indexer::store::Holder;
use tokio::net::TcpListener;
use tracing_subscriber::EnvFilter;

use super::open::{Locked, folder, locked_in, shop};
use super::{Failure, Out, ReadArgs};
use crate::app::{AppState, app};
use crate::clock::Clock;
use crate::config::Config;
use crate::night;
use crate::serve::{serve, stop_signal};

/// What `serve` is told.
#[derive(Debug, Args)]
pub(super) struct ServeArgs {
    #[command(flatten)]
    read: ReadArgs,
    /// The address and port to listen on
    #[arg(long, value_name = "ADDRESS", default_value = "127.0.0.1:7340", env = "LASTBENCH_LISTEN")]
    listen: SocketAddr,
    /// A further name by which browsers reach this server
    #[arg(long, value_name = "NAME")]
    host: Vec<String>,
    /// A second folder for every backup, on another disk
    #[arg(long, value_name = "DIR", env = "LASTBENCH_BACKUPS_TO")]
    backups_to: Option<PathBuf>,
}

pub(super) fn run(args: &ServeArgs, out: &mut Out) -> Result<ExitCode, Failure> {
    keep_a_log();
    panics_say_where_only();
    // The lock lives as long as the server does.
    let (shop, lock) = open(args)?;
    let runtime = tokio::runtime::Runtime::new().map_err(Failure::unreachable)?;
    runtime.block_on(listen(args, shop, lock.as_ref(), out))?;
    out.done()
}

fn open(args: &ServeArgs) -> Result<(Shop, Option<File>), Failure> {
    if args.read.sample {
        return Ok((shop(&args.read)?, None));
    }
    let data = folder(&args.read.place).also_to(args.backups_to.clone());
    let Locked { shop, lock } = locked_in(&data, "Use that one, or stop it first.")?;
    Ok((shop, Some(lock)))
}

async fn listen(args: &ServeArgs, shop: Shop, lock: Option<&File>, out: &Out) -> Result<(), Failure> {
    let listener = TcpListener::bind(args.listen).await.map_err(|e| {
        Failure::Unreachable(format!("cannot listen on {}: {e}. Choose another with --listen.", args.listen))
    })?;
    let address = listener.local_addr().map_err(Failure::unreachable)?;
    let config = Config::standard(address, &args.host);
    let limits = config.http;
    let styles = shop.snapshot().styles().len();
    let state: Arc<AppState> = AppState::new(shop, config, Clock::machine());
    if let Some(lock) = lock {
        Holder::serves(lock, &format!("http://{address}/"));
        night::begin(&state).map_err(Failure::unreachable)?;
    }
    out.word(format_args!("Lastbench shows {styles} styles on http://{address}/ (stop with Ctrl-C)"));
    serve(listener, app(&state), limits, stop_signal()).await.map_err(Failure::unreachable)
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
        night::look_soon();
    }));
}
