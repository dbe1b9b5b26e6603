//! The accept loop: own timers, a cap of connections, and an end that does not hang.
//!
//! The framework's own loop has no header timer, so a few silent connections could hold the shop's tablets out.

use std::collections::HashMap;
use std::io;
use std::net::IpAddr;
use std::sync::{Arc, Mutex, PoisonError};

use axum::Router;
use hyper::server::conn::http1;
use hyper_util::rt::{TokioIo, TokioTimer};
use hyper_util::server::graceful::{GracefulShutdown, Watcher};
use hyper_util::service::TowerToHyperService;
use tokio::net::{TcpListener, TcpStream};
use tokio::sync::{OwnedSemaphorePermit, Semaphore};
use tokio::task::JoinSet;

use crate::config::HttpLimits;

mod stall;
use stall::WriteStall;

/// Serves `app` until `stop` completes, then lets requests in flight finish within the drain time.
///
/// # Errors
/// Only what makes the listener useless; a connection's own troubles end that connection alone.
pub async fn serve(
    listener: TcpListener,
    app: Router,
    limits: HttpLimits,
    stop: impl Future<Output = ()>,
) -> io::Result<()> {
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
                    open.spawn(answer(stream, seat, app.clone(), limits, graceful.watcher()));
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

/// Who may come in: so many at a time, and so many from one address.
struct Door {
    places: Arc<Semaphore>,
    seats: Seats,
}

impl Door {
    fn of(limits: HttpLimits) -> Self {
        Self { places: Arc::new(Semaphore::new(limits.connections)), seats: Seats::of(limits.per_address) }
    }

    /// The next connection with its seat; `None` when its address has all its seats taken. While the house is full
    /// nothing is accepted: callers wait in the listener's queue.
    async fn next(&self, listener: &TcpListener) -> io::Result<Option<(TcpStream, Taken)>> {
        let place = Arc::clone(&self.places).acquire_owned().await.map_err(io::Error::other)?;
        let (stream, peer) = listener.accept().await?;
        let seat = self.seats.take(peer.ip());
        Ok(seat.map(|seat| (stream, Taken { _place: place, _seat: seat })))
    }
}

/// A place in the house and a seat of the address, given back when the connection ends.
struct Taken {
    _place: OwnedSemaphorePermit,
    _seat: Seat,
}

/// The connections open from each address.
#[derive(Clone)]
struct Seats {
    each: usize,
    taken: Arc<Mutex<HashMap<IpAddr, usize>>>,
}

struct Seat {
    address: IpAddr,
    seats: Seats,
}

impl Seats {
    fn of(each: usize) -> Self {
        Self { each, taken: Arc::default() }
    }

    /// A seat for `address`, if it has one left. Loopback always has: a proxy or test on this machine speaks for many.
    fn take(&self, address: IpAddr) -> Option<Seat> {
        let mut taken = self.taken.lock().unwrap_or_else(PoisonError::into_inner);
        let count = taken.entry(address).or_default();
        if *count >= self.each && !address.to_canonical().is_loopback() {
            return None;
        }
        *count += 1;
        Some(Seat { address, seats: self.clone() })
    }
}

impl Drop for Seat {
    fn drop(&mut self) {
        let mut taken = self.seats.taken.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(count) = taken.get_mut(&self.address) {
            *count -= 1;
            if *count == 0 {
                taken.remove(&self.address);
            }
        }
    }
}

async fn answer(stream: TcpStream, taken: Taken, app: Router, limits: HttpLimits, watcher: Watcher) {
    let io = TokioIo::new(WriteStall::of(stream, limits.write_stall));
    let connection = http1::Builder::new()
        .timer(TokioTimer::new())
        .header_read_timeout(limits.header_read)
        .max_buf_size(limits.buffer)
        .max_headers(limits.headers)
        .serve_connection(io, TowerToHyperService::new(app));
    if let Err(fault) = watcher.watch(connection).await {
        tracing::debug!(%fault, "a connection ended early");
    }
    drop(taken);
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
        let limits = HttpLimits { header_read: Duration::from_mins(1), ..HttpLimits::for_testing() };
        let house = house(hello(), limits).await;
        let (first, _second) = (say(&house, b"").await, say(&house, b"").await);
        let mut third = say(&house, ASK).await;
        let early = tokio::time::timeout(Duration::from_millis(100), third.read_u8()).await;
        assert!(early.is_err(), "nothing is answered while the house is full");
        drop(first);
        assert!(hear(third).await.ends_with("hello"));
    }

    #[test]
    fn an_address_with_all_its_seats_taken_gets_none_and_loopback_always_does() {
        let seats = Seats::of(2);
        let tablet: IpAddr = "192.168.1.4".parse().unwrap();
        let (first, _second) = (seats.take(tablet), seats.take(tablet));
        assert!(first.is_some() && seats.take(tablet).is_none());
        assert!(seats.take("192.168.1.5".parse().unwrap()).is_some());
        drop(first);
        assert!(seats.take(tablet).is_some());
        let loopback: Vec<_> = (0..9).map(|_| seats.take("::ffff:127.0.0.1".parse().unwrap())).collect();
        assert!(loopback.iter().all(Option::is_some));
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

    async fn hello_text() -> &'static str {
        "hello"
    }
}
