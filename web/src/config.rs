//! Limits, one struct a concern: what the standard is, and what tests use instead.

use std::net::SocketAddr;
use std::time::Duration;

/// All limits and the addresses the server answers to.
#[derive(Clone, Debug)]
pub struct Config {
    /// Connections.
    pub http: HttpLimits,
    /// One request.
    pub requests: RequestLimits,
    /// The fittings in memory.
    pub fittings: FittingLimits,
    /// The names the server answers to.
    pub hosts: AllowedHosts,
    /// Who can reach the server, and how.
    pub listening: Listening,
    /// Whether a program on this computer reads the numbers of the server without an account.
    pub metrics_on_loopback: bool,
}

/// Who can reach the server, and how.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Listening {
    /// Whether other computers can: it listens on more than this computer's own loopback.
    pub beyond_loopback: bool,
    /// Whether what passes is encrypted.
    pub tls: bool,
}

/// Limits of the accept loop.
#[derive(Clone, Copy, Debug)]
pub struct HttpLimits {
    /// From the opening of the connection to its first byte.
    pub first_byte: Duration,
    /// From the first byte of a header to its end.
    pub header_read: Duration,
    /// From the end of an answer to the next byte.
    pub idle: Duration,
    /// For the handshake of an encrypted connection, its first byte included.
    pub handshake: Duration,
    /// A peer that takes no byte of an answer for this long is dropped.
    pub write_stall: Duration,
    /// What requests in flight are given once the server is told to stop.
    pub drain: Duration,
    /// Connections at a time; further ones wait unaccepted.
    pub connections: usize,
    /// Connections at a time from one address; further ones are closed. Loopback is exempt.
    pub per_address: usize,
    /// Bytes buffered of one connection, and so of one header.
    pub buffer: usize,
    /// Header lines of one request.
    pub headers: usize,
}

/// Limits of one request.
#[derive(Clone, Copy, Debug)]
pub struct RequestLimits {
    /// Bytes of path and query.
    pub target: usize,
    /// Bytes of a posted form or JSON body.
    pub form: usize,
    /// Bytes of an uploaded sheet.
    pub sheet: usize,
    /// How fast a body must come.
    pub pace: Pace,
    /// Time for an answer.
    pub answer: Duration,
    /// Time for an upload, and for applying a sheet.
    pub sheet_answer: Duration,
    /// Requests that work the catalogue at once: as many as there are processors.
    pub at_work: usize,
    /// Requests that may wait for their turn at it.
    pub waiting: usize,
    /// How long an answer waits for a sheet to be read or applied; afterwards its page says how far it is.
    pub sheet_patience: Duration,
}

/// How fast the body of a request must come: over its whole time, so that a pause can be made good.
#[derive(Clone, Copy, Debug)]
pub struct Pace {
    /// No look is taken before.
    pub grace: Duration,
    /// Bytes a second that must have come since the beginning.
    pub bytes_a_second: u64,
    /// When all of it must be here.
    pub whole: Duration,
}

/// Limits of the fittings.
#[derive(Clone, Copy, Debug)]
pub struct FittingLimits {
    /// Fittings open at a time.
    pub open: usize,
    /// How long a fitting lives.
    pub life: Duration,
}

/// The names a request may call the server by.
#[derive(Clone, Debug)]
pub struct AllowedHosts {
    names: Vec<String>,
    numeric_port: Option<u16>,
}

impl Config {
    /// The limits of a shop, listening on `listen` and also called by `named` hosts.
    pub fn standard(listen: SocketAddr, named: &[String]) -> Self {
        Self {
            http: HttpLimits::standard(),
            requests: RequestLimits::standard(),
            fittings: FittingLimits::standard(),
            hosts: AllowedHosts::of(listen, named),
            listening: Listening::on(listen),
            metrics_on_loopback: false,
        }
    }

    /// Short times and small sizes, so that a test meets them; the one host is `localhost:7340`.
    pub fn for_testing() -> Self {
        Self {
            http: HttpLimits::for_testing(),
            requests: RequestLimits::for_testing(),
            fittings: FittingLimits { open: 3, ..FittingLimits::standard() },
            hosts: AllowedHosts::of(SocketAddr::from(([127, 0, 0, 1], 7340)), &[]),
            listening: Listening::on(SocketAddr::from(([127, 0, 0, 1], 7340))),
            metrics_on_loopback: false,
        }
    }
}

impl Listening {
    /// Unencrypted, on this address.
    pub fn on(address: SocketAddr) -> Self {
        Self { beyond_loopback: !address.ip().to_canonical().is_loopback(), tls: false }
    }

    /// What an address of this server begins with.
    pub fn scheme(self) -> &'static str {
        if self.tls { "https" } else { "http" }
    }
}

impl HttpLimits {
    /// The limits of a shop.
    pub const fn standard() -> Self {
        Self {
            first_byte: Duration::from_secs(10),
            header_read: Duration::from_secs(5),
            idle: Duration::from_secs(15),
            handshake: Duration::from_secs(10),
            write_stall: Duration::from_secs(20),
            drain: Duration::from_secs(10),
            connections: 512,
            per_address: 32,
            buffer: 16 * 1024,
            headers: 64,
        }
    }

    /// Times of about a second, and two connections.
    pub const fn for_testing() -> Self {
        Self {
            first_byte: Duration::from_secs(1),
            header_read: Duration::from_secs(1),
            idle: Duration::from_secs(1),
            write_stall: Duration::from_millis(300),
            drain: Duration::from_millis(300),
            connections: 2,
            ..Self::standard()
        }
    }

    /// These limits where a process may have so many files open: half of what the catalogue leaves, so that an answer
    /// that reads a file still can. A few connections are always taken.
    #[must_use]
    pub fn within_open_files(self, files: u64) -> Self {
        let left = usize::try_from(files.saturating_sub(OWN_FILES) / 2).unwrap_or(usize::MAX);
        Self { connections: self.connections.min(left.max(FEW)), ..self }
    }
}

/// Files that the store, the index and the runtime hold open, with room to spare.
const OWN_FILES: u64 = 64;
/// Connections with which a shop can still be asked.
const FEW: usize = 4;

impl Pace {
    /// 8 kB a second after ten seconds, and two minutes in all.
    pub const fn standard() -> Self {
        Self { grace: Duration::from_secs(10), bytes_a_second: 8 * 1024, whole: Duration::from_mins(2) }
    }

    /// Whether a body of which so much has come after so long is too slow.
    pub fn is_missed(&self, bytes: u64, after: Duration) -> bool {
        let due = u128::from(self.bytes_a_second) * after.as_millis() / 1000;
        after >= self.whole || (after >= self.grace && u128::from(bytes) < due)
    }
}

impl RequestLimits {
    /// The limits of a shop.
    pub fn standard() -> Self {
        Self {
            at_work: std::thread::available_parallelism().map_or(2, usize::from),
            waiting: 64,
            target: 2 * 1024,
            form: 64 * 1024,
            pace: Pace::standard(),
            sheet: 40 * 1024 * 1024,
            answer: Duration::from_secs(10),
            sheet_answer: Duration::from_mins(2),
            sheet_patience: Duration::from_millis(500),
        }
    }

    /// A sheet of no more than 128 kB, half the time, and the patience of a busy machine.
    pub fn for_testing() -> Self {
        let (answer, sheet_patience) = (Duration::from_secs(5), Duration::from_secs(4));
        Self { sheet: 128 * 1024, answer, sheet_patience, ..Self::standard() }
    }
}

impl FittingLimits {
    /// The limits of a shop.
    pub const fn standard() -> Self {
        Self { open: 64, life: Duration::from_hours(4) }
    }
}

impl AllowedHosts {
    /// The loopback names and the listening address, each with its port, and the `named` hosts as they stand.
    /// A server that listens on every address also answers to any numeric one: a page elsewhere can point a name of
    /// its own at this machine, but not a number.
    pub fn of(listen: SocketAddr, named: &[String]) -> Self {
        let port = listen.port();
        let own = ["localhost", "127.0.0.1", "[::1]"].map(|host| with_port(host, port));
        let listening = with_port(&host_of(listen), port);
        let names = own.into_iter().chain([listening]).chain(named.iter().map(|n| n.to_lowercase()));
        Self { names: names.collect(), numeric_port: listen.ip().is_unspecified().then_some(port) }
    }

    /// Whether a request may say `host`, port included.
    pub fn allow(&self, host: &str) -> bool {
        let host = host.to_ascii_lowercase();
        self.names.contains(&host) || self.numeric_port.is_some_and(|port| is_numeric(&host, port))
    }
}

/// Browsers leave the port of their scheme out.
fn with_port(host: &str, port: u16) -> String {
    if is_left_out(port) { host.to_owned() } else { format!("{host}:{port}") }
}

fn is_left_out(port: u16) -> bool {
    matches!(port, 80 | 443)
}

fn host_of(address: SocketAddr) -> String {
    match address {
        SocketAddr::V4(address) => address.ip().to_string(),
        SocketAddr::V6(address) => format!("[{}]", address.ip()),
    }
}

fn is_numeric(host: &str, port: u16) -> bool {
    let with_port = host.parse::<SocketAddr>().is_ok_and(|address| address.port() == port);
    with_port || (is_left_out(port) && host.parse::<std::net::Ipv4Addr>().is_ok())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_server_on_loopback_answers_to_loopback_names_with_its_port() {
        let hosts = AllowedHosts::of(SocketAddr::from(([127, 0, 0, 1], 7340)), &["Shoes.shop:7340".into()]);
        for host in ["localhost:7340", "127.0.0.1:7340", "[::1]:7340", "LOCALHOST:7340", "shoes.shop:7340"] {
            assert!(hosts.allow(host), "{host}");
        }
        for host in ["", "localhost", "localhost:80", "evil.example:7340", "192.168.1.4:7340"] {
            assert!(!hosts.allow(host), "{host}");
        }
    }

    #[test]
    fn a_server_on_every_address_answers_to_numbers_but_to_no_strange_name() {
        let hosts = AllowedHosts::of(SocketAddr::from(([0, 0, 0, 0], 7340)), &[]);
        assert!(hosts.allow("192.168.1.4:7340") && hosts.allow("[fd00::4]:7340"));
        assert!(!hosts.allow("192.168.1.4:80") && !hosts.allow("evil.example:7340"));
    }

    #[test]
    fn connections_take_half_of_the_files_that_the_catalogue_leaves() {
        let connections = |files| HttpLimits::standard().within_open_files(files).connections;
        assert_eq!(connections(1_024), 480);
        assert_eq!(connections(20_000), 512);
        assert_eq!(connections(u64::MAX), 512);
        assert_eq!((connections(64), connections(0)), (4, 4));
    }

    #[test]
    fn a_body_is_too_slow_below_its_pace_after_the_grace_and_beyond_its_whole_time() {
        let (pace, seconds) = (Pace::standard(), Duration::from_secs);
        assert!(!pace.is_missed(0, seconds(9)));
        assert!(pace.is_missed(81_919, seconds(10)) && !pace.is_missed(81_920, seconds(10)));
        assert!(!pace.is_missed(1 << 30, seconds(119)) && pace.is_missed(1 << 30, seconds(120)));
    }

    #[test]
    fn a_server_is_beyond_loopback_on_every_other_address() {
        let beyond = |address: &str| Listening::on(address.parse().unwrap()).beyond_loopback;
        for own in ["127.0.0.1:7340", "127.8.0.1:1", "[::1]:7340", "[::ffff:127.0.0.1]:7340"] {
            assert!(!beyond(own), "{own}");
        }
        for other in ["0.0.0.0:7340", "[::]:7340", "192.168.1.4:7340"] {
            assert!(beyond(other), "{other}");
        }
    }

    #[test]
    fn the_port_of_the_scheme_is_left_out_as_browsers_leave_it_out() {
        let hosts = AllowedHosts::of(SocketAddr::from(([192, 168, 1, 4], 443)), &[]);
        assert!(hosts.allow("192.168.1.4") && hosts.allow("localhost") && !hosts.allow("192.168.1.5"));
    }
}
