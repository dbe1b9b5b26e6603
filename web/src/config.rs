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
    /// Who can reach it, and how.
    pub listening: Listening,
}

/// Who can reach the server, and how.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Listening {
    /// Other computers can.
    pub beyond_loopback: bool,
    /// By HTTPS.
    pub tls: bool,
}

/// Limits of the accept loop.
#[derive(Clone, Copy, Debug)]
pub struct HttpLimits {
    /// From the last answer (or the opening of the connection) to the end of the next header. One timer serves the
    /// silent, the half-sent and the idle connection.
    pub header_read: Duration,
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
            listening: Listening { beyond_loopback: !listen.ip().to_canonical().is_loopback(), tls: false },
        }
    }

    /// Short times and small sizes, so that a test meets them; the one host is `localhost:7340`.
    pub fn for_testing() -> Self {
        Self {
            http: HttpLimits::for_testing(),
            requests: RequestLimits::for_testing(),
            fittings: FittingLimits { open: 3, ..FittingLimits::standard() },
            hosts: AllowedHosts::of(SocketAddr::from(([127, 0, 0, 1], 7340)), &[]),
            listening: Listening { beyond_loopback: false, tls: false },
        }
    }
}

impl HttpLimits {
    /// The limits of a shop.
    pub const fn standard() -> Self {
        Self {
            header_read: Duration::from_secs(5),
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
            header_read: Duration::from_secs(1),
            write_stall: Duration::from_millis(300),
            drain: Duration::from_millis(300),
            connections: 2,
            ..Self::standard()
        }
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
        let names = own.into_iter().chain([listen.to_string()]).chain(named.iter().map(|n| n.to_lowercase()));
        Self { names: names.collect(), numeric_port: listen.ip().is_unspecified().then_some(port) }
    }

    /// Whether a request may say `host`, port included.
    pub fn allow(&self, host: &str) -> bool {
        let host = host.to_ascii_lowercase();
        self.names.contains(&host) || self.numeric_port.is_some_and(|port| is_numeric(&host, port))
    }
}

/// Browsers leave port 80 out.
fn with_port(host: &str, port: u16) -> String {
    if port == 80 { host.to_owned() } else { format!("{host}:{port}") }
}

fn is_numeric(host: &str, port: u16) -> bool {
    let with_port = host.parse::<SocketAddr>().is_ok_and(|address| address.port() == port);
    with_port || (port == 80 && host.parse::<std::net::Ipv4Addr>().is_ok())
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
}
