//! `serve`: the pages on an address of this computer.

use std::net::SocketAddr;
use std::process::ExitCode;
use std::sync::Arc;

use clap::Args;
use indexer::shop::Shop;
use indexer::store::StaffBook;
use tokio::net::TcpListener;
use tracing_subscriber::EnvFilter;

use super::open::{Locked, locked, shop};
use super::{Failure, Out, ReadArgs};
use crate::app::{AppState, app};
use crate::clock::Clock;
use crate::config::Config;
use crate::serve::{serve, stop_signal};
use crate::staff::Staff;

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
}

pub(super) fn run(args: &ServeArgs, out: &mut Out) -> Result<ExitCode, Failure> {
    keep_a_log();
    panics_say_where_only();
    // The lock lives as long as the server does.
    let Opened { shop, book, lock: _lock } = open(args)?;
    let runtime = tokio::runtime::Runtime::new().map_err(Failure::unreachable)?;
    runtime.block_on(listen(args, shop, book, out))?;
    out.done()
}

/// What a server works on.
struct Opened {
    shop: Shop,
    book: StaffBook,
    lock: Option<std::fs::File>,
}

/// The sample's staff is kept as little as the sample is.
fn open(args: &ServeArgs) -> Result<Opened, Failure> {
    if args.read.sample {
        let book = StaffBook::in_memory().map_err(Failure::unreachable)?;
        return Ok(Opened { shop: shop(&args.read)?, book, lock: None });
    }
    let Locked { shop, lock } = locked(&args.read.place, "Use that one, or stop it first.")?;
    let book = StaffBook::open(&args.read.data()).map_err(Failure::unreachable)?;
    Ok(Opened { shop, book, lock: Some(lock) })
}

async fn listen(args: &ServeArgs, shop: Shop, book: StaffBook, out: &Out) -> Result<(), Failure> {
    let listener = TcpListener::bind(args.listen).await.map_err(|e| {
        Failure::Unreachable(format!("cannot listen on {}: {e}. Choose another with --listen.", args.listen))
    })?;
    let address = listener.local_addr().map_err(Failure::unreachable)?;
    let config = Config::standard(address, &args.host);
    let limits = config.http;
    let styles = shop.snapshot().styles().len();
    let staff = Staff::new(book, config.listening.beyond_loopback).map_err(Failure::unreachable)?;
    let clock = Clock::machine();
    let code = staff.set_up_code(clock.now().instant);
    let state: Arc<AppState> = AppState::with_staff(shop, staff, config, clock);
    out.word(format_args!("Lastbench shows {styles} styles on http://{address}/ (stop with Ctrl-C)"));
    if let Some(code) = code {
        out.word(format_args!(
            "Nobody has an account yet: the owner's pages are closed to the network. Open /set-up within 30 minutes and \
             type this code, once: {code}"
        ));
    }
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
    }));
}
