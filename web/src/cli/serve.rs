//! `serve`: the pages on an address of this computer.

use std::net::SocketAddr;
use std::process::ExitCode;

use clap::Args;
use indexer::shop::Shop;
use tokio::net::TcpListener;

use super::open::{Locked, locked, shop};
use super::{Failure, Out, ReadArgs};
use crate::app::AppState;
use crate::clock::Clock;
use crate::config::Config;
use crate::log::{self, LogFormat};
use crate::opening::Opening;
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
    #[arg(long, value_name = "NAME", value_delimiter = ',', env = "LASTBENCH_HOST")]
    host: Vec<String>,
    /// How the log is written; words on a terminal and JSON otherwise without this
    #[arg(long, value_name = "FORMAT", env = "LASTBENCH_LOG_FORMAT")]
    log: Option<LogFormat>,
}

pub(super) fn run(args: &ServeArgs, out: &mut Out) -> Result<ExitCode, Failure> {
    let format = args.log.unwrap_or_else(LogFormat::of_reader);
    log::keep(format);
    if format == LogFormat::Json {
        out.speak_as_log();
    }
    panics_say_where_only();
    let runtime = tokio::runtime::Runtime::new().map_err(Failure::unreachable)?;
    runtime.block_on(listen(args, out))?;
    out.done()
}

fn open(read: &ReadArgs) -> Result<(Shop, Option<std::fs::File>), Failure> {
    if read.sample {
        return Ok((shop(read)?, None));
    }
    let Locked { shop, lock } = locked(&read.place, "Use that one, or stop it first.")?;
    Ok((shop, Some(lock)))
}

/// Answers from the first moment on; a catalogue that cannot be opened ends it.
async fn listen(args: &ServeArgs, out: &Out) -> Result<(), Failure> {
    let listener = TcpListener::bind(args.listen).await.map_err(|e| {
        Failure::Unreachable(format!("cannot listen on {}: {e}. Choose another with --listen.", args.listen))
    })?;
    let address = listener.local_addr().map_err(Failure::unreachable)?;
    let config = Config::standard(address, &args.host);
    let opening = Opening::of(&config);
    let stop = async {
        stop_signal().await;
        opening.drain();
    };
    let serving = serve(listener, opening.router(), config.http, stop);
    let opened = async {
        let (styles, lock) = opened(&args.read, config.clone(), &opening).await?;
        out.word(format_args!("Lastbench shows {styles} styles on http://{address}/ (stop with Ctrl-C)"));
        Ok(lock)
    };
    // The lock lives as long as the server does.
    let ((), _lock) = tokio::try_join!(async { serving.await.map_err(Failure::unreachable) }, opened)?;
    Ok(())
}

/// Opens the catalogue while the server answers that it is starting: how many styles it holds, and the lock on its folder.
async fn opened(
    read: &ReadArgs,
    config: Config,
    opening: &Opening,
) -> Result<(usize, Option<std::fs::File>), Failure> {
    let read = read.clone();
    let (shop, lock) =
        tokio::task::spawn_blocking(move || open(&read)).await.map_err(Failure::unreachable)??;
    let styles = shop.snapshot().styles().len();
    opening.opened(&AppState::new(shop, config, Clock::machine()));
    Ok((styles, lock))
}

/// A panic's words could hold what a runner said; its place cannot.
fn panics_say_where_only() {
    std::panic::set_hook(Box::new(|panic| {
        let place = panic.location().map_or_else(String::new, ToString::to_string);
        tracing::error!(place, "a request failed inside the program");
    }));
}
