//! The accept loop: own timers, a cap of connections, and an end that does not hang.
//!
//! The framework's own loop has no header timer, so a few silent connections could hold the shop's tablets out.

use std::io;
use std::net::IpAddr;

use axum::Router;
use hyper::server::conn::http1;
use hyper_util::rt::{TokioIo, TokioTimer};
use hyper_util::server::graceful::{GracefulShutdown, Watcher};
use tokio::io::{AsyncRead, AsyncWrite};
use tokio::net::{TcpListener, TcpStream};
use tokio::task::JoinSet;

use crate::config::HttpLimits;

mod certificate;
mod door;
pub mod peer;
mod spoken;
mod timed;

pub(crate) use certificate::own_certificate;
pub use certificate::{Identity, IdentityFault, Validity, WrongTime};
use door::{Door, Taken};
use spoken::spoken;
use timed::{Stage, Timed};

/// Serves `app` over plain HTTP until `stop` completes, then lets requests in flight finish within the drain time.
///
/// # Errors
/// Only what makes the listener useless; a connection's own troubles end that connection alone.
pub async fn serve(
    listener: TcpListener,
    app: Router,
    limits: HttpLimits,
    stop: impl Future<Output = ()>,
) -> io::Result<()> {
    serve_as(None, listener, app, limits, stop).await
}

/// As [`serve`], over HTTPS where there is an identity to show.
///
/// # Errors
/// As [`serve`].
pub async fn serve_as(
    identity: Option<Identity>,
    listener: TcpListener,
    app: Router,
    limits: HttpLimits,
    stop: impl Future<Output = ()>,
) -> io::Result<()> {
    let house = House { identity, app, limits };
    let door = Door::of(limits);
    let graceful = GracefulShutdown::new();
    let mut open = JoinSet::new();
    let mut stop = std::pin::pin!(stop);
    loop {
        tokio::select! {
            () = &mut stop => break,
            Some(_) = open.join_next() => {}
            arrived = door.next(&listener) => match arrived {
                Ok(Some((stream, seat))) => {
                    open.spawn(house.clone().receive(stream, seat, graceful.watcher()));
                }
                Ok(None) => {}
                Err(fault) if ends_the_loop(&fault) => return Err(fault),
                Err(fault) => wait_out(&fault).await,
            },
        }
    }
    drop(listener);
    drain(graceful, &mut open, limits).await;
    Ok(())
}

/// Completes at Ctrl-C or, on Unix, at SIGTERM.
pub async fn stop_signal() {
    let interrupt = async {
        if tokio::signal::ctrl_c().await.is_err() {
            std::future::pending::<()>().await;
        }
    };
    tokio::select! {
        () = interrupt => {}
        () = terminate() => {}
    }
}

#[cfg(unix)]
async fn terminate() {
    use tokio::signal::unix::{SignalKind, signal};
    match signal(SignalKind::terminate()) {
        Ok(mut signal) => {
            signal.recv().await;
        }
        Err(_) => std::future::pending().await,
    }
}

#[cfg(not(unix))]
async fn terminate() {
    std::future::pending().await
}

/// What every connection is given.
#[derive(Clone)]
struct House {
    identity: Option<Identity>,
    app: Router,
    limits: HttpLimits,
}

impl House {
    async fn receive(self, stream: TcpStream, taken: Taken, watcher: Watcher) {
        match self.identity.clone() {
            None => self.answer(stream, taken.address(), watcher).await,
            Some(identity) => {
                let hands = identity.acceptor().accept(stream);
                match tokio::time::timeout(self.limits.handshake, hands).await {
                    Ok(Ok(stream)) => self.answer(stream, taken.address(), watcher).await,
                    Ok(Err(fault)) => tracing::debug!(%fault, "a handshake failed"),
                    Err(_) => tracing::debug!("a handshake took too long"),
                }
            }
        }
        drop(taken);
    }

    async fn answer(
        self,
        stream: impl AsyncRead + AsyncWrite + Unpin + Send + 'static,
        address: IpAddr,
        watcher: Watcher,
    ) {
        let (limits, stage) = (self.limits, Stage::default());
        let io = TokioIo::new(Timed::of(stream, limits, stage.clone()));
        let connection = http1::Builder::new()
            // The stream has a timer for each thing it may wait for, and hyper one for all of them: it comes last, and
            // makes hyper read on after an answer, which is when the stream starts its own.
            .timer(TokioTimer::new())
            .header_read_timeout(limits.first_byte + limits.header_read + limits.idle)
            .max_buf_size(limits.buffer)
            .max_headers(limits.headers)
            .serve_connection(io, spoken(self.app, address, stage));
        if let Err(fault) = watcher.watch(connection).await {
            tracing::debug!(%fault, "a connection ended early");
        }
    }
}

async fn drain(graceful: GracefulShutdown, open: &mut JoinSet<()>, limits: HttpLimits) {
    let drained = tokio::select! {
        drained = tokio::time::timeout(limits.drain, graceful.shutdown()) => drained.is_ok(),
        () = stop_signal() => false,
    };
    if !drained {
        tracing::warn!(
            connections = open.len(),
            "cut off at the end of the drain time, or told to stop again"
        );
    }
    open.shutdown().await;
}

/// A caller who has hung up again is no reason to stop, nor are too many open files, which pass.
fn ends_the_loop(fault: &io::Error) -> bool {
    matches!(fault.kind(), io::ErrorKind::InvalidInput | io::ErrorKind::NotConnected)
}

/// Without the pause a lack of open files would spin.
async fn wait_out(fault: &io::Error) {
    tracing::warn!(%fault, "a connection could not be accepted");
    tokio::time::sleep(std::time::Duration::from_millis(50)).await;
}

#[cfg(test)]
mod tests {
    use super::*;
    use axum::routing::get;
    use std::net::SocketAddr;
    use std::time::Duration;
    use tokio::io::{AsyncReadExt, AsyncWriteExt};
    use tokio::sync::oneshot;

    const ASK: &[u8] = b"GET / HTTP/1.1\r\nHost: x\r\nConnection: close\r\n\r\n";

    struct House {
        address: SocketAddr,
        stop: oneshot::Sender<()>,
        ended: tokio::task::JoinHandle<io::Result<()>>,
    }

    async fn house(app: Router, limits: HttpLimits) -> House {
        let listener = TcpListener::bind("127.0.0.1:0").await.unwrap();
        let address = listener.local_addr().unwrap();
        let (stop, stopped) = oneshot::channel();
        let ended = tokio::spawn(serve(listener, app, limits, async { drop(stopped.await) }));
        House { address, stop, ended }
    }

    fn hello() -> Router {
        Router::new().route("/", get(|| async { "hello" }))
    }

    async fn say(house: &House, bytes: &[u8]) -> TcpStream {
        let mut stream = TcpStream::connect(house.address).await.unwrap();
        stream.write_all(bytes).await.unwrap();
        stream
    }

    /// All that comes until the server hangs up; a reset counts as hanging up. A server that never does has failed.
    async fn hear(mut stream: TcpStream) -> String {
        let mut heard = Vec::new();
        let patience = Duration::from_secs(15);
        drop(tokio::time::timeout(patience, stream.read_to_end(&mut heard)).await.unwrap());
        String::from_utf8_lossy(&heard).into_owned()
    }

    #[tokio::test]
    async fn silent_half_sent_and_idle_connections_are_closed_while_others_are_answered() {
        let limits = HttpLimits { connections: 8, ..HttpLimits::for_testing() };
        let house = house(hello(), limits).await;
        let silent = say(&house, b"").await;
        let half = say(&house, b"GET / HTTP/1.1\r\nHost: x\r\nX-Slow: ").await;
        let idle = say(&house, b"GET / HTTP/1.1\r\nHost: x\r\n\r\n").await;
        assert!(hear(say(&house, ASK).await).await.ends_with("hello"));
        assert_eq!(hear(silent).await, "");
        assert!(!hear(half).await.contains("200 OK"));
        assert!(hear(idle).await.ends_with("hello"));
    }

    #[tokio::test]
    async fn a_caller_beyond_the_cap_waits_until_a_place_is_free() {
        let limits = HttpLimits { first_byte: Duration::from_mins(1), ..HttpLimits::for_testing() };
        let house = house(hello(), limits).await;
        let (first, _second) = (say(&house, b"").await, say(&house, b"").await);
        let mut third = say(&house, ASK).await;
        let early = tokio::time::timeout(Duration::from_millis(100), third.read_u8()).await;
        assert!(early.is_err(), "nothing is answered while the house is full");
        drop(first);
        assert!(hear(third).await.ends_with("hello"));
    }

    #[tokio::test]
    async fn at_the_stop_a_request_in_flight_is_answered_and_a_silent_caller_does_not_hold_it_up() {
        let (entered, mut inside) = tokio::sync::mpsc::channel(1);
        let slow = move || async move {
            entered.send(()).await.unwrap();
            tokio::time::sleep(Duration::from_millis(100)).await;
            "finished"
        };
        let limits = HttpLimits { drain: Duration::from_mins(1), ..HttpLimits::for_testing() };
        let house = house(Router::new().route("/", get(slow)), limits).await;
        let in_flight = say(&house, ASK).await;
        inside.recv().await.unwrap();
        let silent = say(&house, b"").await;
        house.stop.send(()).unwrap();
        assert!(hear(in_flight).await.ends_with("finished"));
        house.ended.await.unwrap().unwrap();
        assert_eq!(hear(silent).await, "");
    }

    #[tokio::test]
    async fn a_request_that_never_ends_is_cut_off_at_the_end_of_the_drain_time() {
        let (entered, mut inside) = tokio::sync::mpsc::channel(1);
        let endless = move || async move {
            entered.send(()).await.unwrap();
            std::future::pending::<()>().await;
        };
        let house = house(Router::new().route("/", get(endless)), HttpLimits::for_testing()).await;
        let waiting = say(&house, ASK).await;
        inside.recv().await.unwrap();
        house.stop.send(()).unwrap();
        house.ended.await.unwrap().unwrap();
        assert_eq!(hear(waiting).await, "");
    }

    #[tokio::test]
    async fn a_header_larger_than_the_buffer_is_refused() {
        let house = house(hello(), HttpLimits::for_testing()).await;
        let line = format!("GET / HTTP/1.1\r\nHost: x\r\nX-Long: {}\r\n\r\n", "a".repeat(40_000));
        let mut stream = TcpStream::connect(house.address).await.unwrap();
        drop(stream.write_all(line.as_bytes()).await);
        assert!(!hear(stream).await.contains("200 OK"));
    }

    #[tokio::test]
    async fn a_peer_that_takes_no_byte_of_its_answer_is_dropped() {
        let endless = || async { vec![b'x'; 64 * 1024 * 1024] };
        let limits = HttpLimits { connections: 1, ..HttpLimits::for_testing() };
        let house =
            house(Router::new().route("/", get(hello_text)).route("/big", get(endless)), limits).await;
        let greedy = say(&house, b"GET /big HTTP/1.1\r\nHost: x\r\n\r\n").await;
        assert!(hear(say(&house, ASK).await).await.ends_with("hello"), "the only place is free again");
        drop(greedy);
    }

    /// Each timer alone is short; the others would hold the connection for a minute.
    #[tokio::test]
    async fn the_silent_the_half_sent_and_the_idle_connection_have_a_timer_each() {
        let (long, short) = (Duration::from_mins(1), Duration::from_millis(50));
        let patient =
            HttpLimits { first_byte: long, header_read: long, idle: long, ..HttpLimits::for_testing() };
        for (limits, bytes) in [
            (HttpLimits { first_byte: short, ..patient }, &b""[..]),
            (HttpLimits { header_read: short, ..patient }, b"GET / HT"),
            (HttpLimits { idle: short, ..patient }, b"GET / HTTP/1.1\r\nHost: x\r\n\r\n"),
        ] {
            let house = house(hello(), limits).await;
            let heard = hear(say(&house, bytes).await).await;
            assert_eq!(heard.ends_with("hello"), limits.idle == short, "{heard}");
        }
    }

    #[tokio::test]
    async fn a_header_of_one_byte_at_a_time_is_cut_off_though_bytes_keep_coming() {
        let limits = HttpLimits { header_read: Duration::from_millis(200), ..HttpLimits::for_testing() };
        let house = house(hello(), limits).await;
        let mut stream = say(&house, b"GET / HTTP/1.1\r\nHost: x\r\nX-Slow: ").await;
        let trickle = async {
            while stream.write_all(b"a").await.is_ok() {
                tokio::time::sleep(Duration::from_millis(20)).await;
            }
        };
        assert!(tokio::time::timeout(Duration::from_secs(15), trickle).await.is_ok());
    }

    async fn hello_text() -> &'static str {
        "hello"
    }
}
