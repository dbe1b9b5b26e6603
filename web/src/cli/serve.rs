//! `serve`: the pages on an address of this computer.

use std::fs::File;
use std::net::SocketAddr;
use std::path::PathBuf;
use std::process::ExitCode;
use std::sync::{Arc, OnceLock};
use std::time::{Duration, Instant};

use clap::Args;
use indexer::shop::Shop;
use indexer::store::{Holder, StaffBook};
use tokio::net::TcpListener;

use super::listening::{ListeningArgs, words_on};
use super::open::{Locked, folder, locked_in, shop, shut_in};
use super::{Failure, Out, ReadArgs};
use crate::app::AppState;
use crate::clock::Clock;
use crate::config::{Config, HttpLimits, Listening};
use crate::log::{self, LogFormat};
use crate::night;
use crate::opening::Opening;
use crate::serve::{Identity, serve_as, stop_signal};
use crate::staff::Staff;

/// What `serve` is told.
#[derive(Debug, Args)]
pub(super) struct ServeArgs {
    #[command(flatten)]
    read: ReadArgs,
    #[command(flatten)]
    listening: ListeningArgs,
    /// A further name by which browsers reach this server
    #[arg(long, value_name = "NAME", value_delimiter = ',', env = "LASTBENCH_HOST")]
    host: Vec<String>,
    /// How the log is written; words on a terminal and JSON otherwise without this
    #[arg(long, value_name = "FORMAT", env = "LASTBENCH_LOG_FORMAT")]
    log: Option<LogFormat>,
    /// A second folder for every backup, on another disk
    #[arg(long, value_name = "DIR", env = "LASTBENCH_BACKUPS_TO")]
    backups_to: Option<PathBuf>,
}

/// How long work at the store may go on after the server was told to stop.
const LAST_WORK: Duration = Duration::from_secs(20);

pub(super) fn run(args: &ServeArgs, out: &mut Out) -> Result<ExitCode, Failure> {
    let format = args.log.unwrap_or_else(LogFormat::of_reader);
    log::keep(format);
    if format == LogFormat::Json {
        out.speak_as_log();
    }
    panics_say_where_only();
    let identity = args.listening.settled()?;
    let runtime = tokio::runtime::Runtime::new().map_err(Failure::unreachable)?;
    let (stopped, _lock) = runtime.block_on(listen(args, identity, out))?;
    // What is still being written then is rolled back by the next start, as after a pulled plug.
    let since = Clock::machine().now().instant.saturating_duration_since(stopped);
    runtime.shutdown_timeout(LAST_WORK.saturating_sub(since));
    out.done()
}

/// What a server works on; the lock on its folder lives as long as the server does.
struct Opened {
    shop: Shop,
    book: StaffBook,
    lock: Option<File>,
}

/// The sample's staff is kept as little as the sample is.
fn open(read: &ReadArgs, backups_to: Option<PathBuf>) -> Result<Opened, Failure> {
    if read.sample {
        let book = StaffBook::in_memory().map_err(Failure::unreachable)?;
        return Ok(Opened { shop: shop(read)?, book, lock: None });
    }
    let data = folder(&read.place).also_to(backups_to);
    let instead = "Use that one, or stop it first.";
    let (shop, lock) = if data.is_read_only() {
        shut_in(&data, instead)?
    } else {
        let Locked { shop, lock } = locked_in(&data, instead)?;
        (shop, Some(lock))
    };
    let book = StaffBook::open(&read.data()).map_err(Failure::unreachable)?;
    Ok(Opened { shop, book, lock })
}

/// Answers from the first moment on, until told to stop; a catalogue that cannot be opened ends it. When it was told,
/// and the lock on the folder, which is kept until the work at the store is over.
async fn listen(
    args: &ServeArgs,
    identity: Option<Identity>,
    out: &Out,
) -> Result<(Instant, Option<File>), Failure> {
    let wanted = args.listening.address;
    let listener = TcpListener::bind(wanted).await.map_err(|e| {
        Failure::Unreachable(format!("cannot listen on {wanted}: {e}. Choose another with --listen."))
    })?;
    outlive_full_files();
    let address = listener.local_addr().map_err(Failure::unreachable)?;
    let clock = Clock::machine();
    let listening = Listening { tls: identity.is_some(), ..Listening::on(address) };
    for word in words_on(listening, identity.as_ref(), clock.now().unix_seconds) {
        out.word(word);
    }
    let config = Config {
        listening,
        http: limits(),
        metrics_on_loopback: args.listening.metrics_on_loopback,
        ..Config::standard(address, &args.host)
    };
    let opening = Opening::of(&config);
    let stopped = OnceLock::new();
    let stop = told_to_stop(&opening, &stopped);
    let serving = serve_as(identity, listener, opening.router(), config.http, stop);
    let opened = async {
        let (state, lock) = opened(args, config.clone()).await?;
        if let Some(lock) = &lock {
            Holder::serves(lock, &format!("{}://{address}/", listening.scheme()));
        }
        if state.shop.keeping().is_some() {
            night::begin(&state).map_err(Failure::unreachable)?;
        }
        if state.shop.is_read_only() {
            let folder = args.read.data().why_shut();
            tracing::warn!(folder, "the catalogue can only be looked at");
        }
        opening.opened(&state);
        say_where(&state, address, out);
        Ok(lock)
    };
    let ((), lock) = tokio::try_join!(async { serving.await.map_err(Failure::unreachable) }, opened)?;
    Ok((stopped.get().copied().unwrap_or_else(|| Clock::machine().now().instant), lock))
}

/// Completes at the first signal, and notes when that was; a second one is heard by the drain.
async fn told_to_stop(opening: &Opening, at: &OnceLock<Instant>) {
    stop_signal().await;
    let _ = at.set(Clock::machine().now().instant);
    opening.drain();
}

fn limits() -> HttpLimits {
    let standard = HttpLimits::standard();
    match rlimit::getrlimit(rlimit::Resource::NOFILE) {
        Ok((files, _)) => standard.within_open_files(files),
        Err(_) => standard,
    }
}

/// Opens the catalogue while the server answers that it is starting; with it the lock on its folder.
async fn opened(args: &ServeArgs, config: Config) -> Result<(Arc<AppState>, Option<File>), Failure> {
    let (read, backups_to) = (args.read.clone(), args.backups_to.clone());
    let Opened { shop, book, lock } = tokio::task::spawn_blocking(move || open(&read, backups_to))
        .await
        .map_err(Failure::unreachable)??;
    let staff = Staff::new(book, config.listening.beyond_loopback).map_err(Failure::unreachable)?;
    Ok((AppState::with_staff(shop, staff, config, Clock::machine()), lock))
}

/// Where the pages are, and how the first owner comes in where others can reach them.
fn say_where(state: &AppState, address: SocketAddr, out: &Out) {
    let styles = state.shop.snapshot().styles().len();
    let scheme = state.config.listening.scheme();
    out.word(format_args!("Lastbench shows {styles} styles on {scheme}://{address}/ (stop with Ctrl-C)"));
    if let Some(code) = state.staff.set_up_code(state.clock.now().instant) {
        out.word(format_args!(
            "Nobody has an account yet: the owner's pages are closed to the network. Open /set-up within 30 minutes and \
             type this code, once: {code}"
        ));
    }
}

/// A file that may grow no further is an error of its write, which is told; unheard, the signal would end the program.
#[cfg(unix)]
fn outlive_full_files() {
    use tokio::signal::unix::{SignalKind, signal};
    // SIGXFSZ has this number on every system that this is built for.
    let heard = signal(SignalKind::from_raw(25));
    if let Err(fault) = heard {
        tracing::warn!(%fault, "a file that is full will end the program");
    }
}

#[cfg(not(unix))]
fn outlive_full_files() {}

/// A panic's words could hold what a runner said; its place cannot.
fn panics_say_where_only() {
    std::panic::set_hook(Box::new(|panic| {
        let place = panic.location().map_or_else(String::new, ToString::to_string);
        tracing::error!(place, "a request failed inside the program");
        night::look_soon();
    }));
}

#[cfg(test)]
mod tests {
    use indexer::sheet::{SheetLimits, SheetReader};
    use indexer::store::DataDir;

    use super::*;
    use crate::night::Night;

    #[test]
    fn after_a_panic_store_and_index_are_looked_at_soon() {
        let folder = std::env::temp_dir().join(format!("lastbench-panic-{}", std::process::id()));
        let reader = SheetReader::new("none".into(), SheetLimits::small());
        let shop = Shop::open(&DataDir::new(&folder), reader).unwrap();
        let (mut night, now) = (Night::default(), Clock::fixed(3_600).now());
        assert!(night.look(&shop, now).checked, "the first look checks");
        panics_say_where_only();
        assert!(std::panic::catch_unwind(|| panic!("a search")).is_err());
        // So that other tests say why they fail.
        drop(std::panic::take_hook());
        assert!(night.look(&shop, now).checked, "nothing else is due");
        std::fs::remove_dir_all(folder).unwrap();
    }
}
