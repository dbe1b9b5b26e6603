//! `healthcheck`: asks a server whether it is alive, for a container or a watchdog that has no other program to ask with.

mod pinned;

use std::io::{Read, Write};
use std::net::{TcpStream, ToSocketAddrs};
use std::path::PathBuf;
use std::process::ExitCode;
use std::time::Duration;

use clap::Args;
use tokio_rustls::rustls::pki_types::CertificateDer;

use super::{Failure, Out};
use crate::clock::Stopwatch;
use crate::serve::own_certificate;

/// This computer's server, as it listens where nothing else is said.
const HERE: &str = "http://127.0.0.1:7340";
const HERE_ENCRYPTED: &str = "https://127.0.0.1:7340";
/// How long all of it may take.
const PATIENCE: Duration = Duration::from_secs(3);

/// What `healthcheck` is told.
#[derive(Debug, Args)]
pub(super) struct HealthcheckArgs {
    /// The server, and what to ask it where that is not /healthz; this computer's, by HTTPS where there is a certificate
    #[arg(long, value_name = "URL", env = "LASTBENCH_URL")]
    url: Option<String>,
    /// The server's own certificate, which alone is believed: the PEM file it was started with
    #[arg(long, value_name = "FILE", env = "LASTBENCH_CERTIFICATE")]
    certificate: Option<PathBuf>,
}

/// Host with port, and path.
#[derive(Debug, PartialEq, Eq)]
struct Target {
    host: String,
    path: String,
    encrypted: bool,
}

pub(super) fn run(args: &HealthcheckArgs, out: &mut Out) -> Result<ExitCode, Failure> {
    let url = args.url.as_deref().unwrap_or(if args.certificate.is_some() { HERE_ENCRYPTED } else { HERE });
    let target = Target::parse(url).map_err(Failure::Usage)?;
    let certificate = if target.encrypted { Some(known(args)?) } else { None };
    let sick = |why: String| Failure::Problems(format!("{url}: {why}"));
    let status = status(&target, certificate).map_err(|fault| sick(fault.to_string()))?;
    if status != 200 {
        return Err(sick(format!("answered with status {status}")));
    }
    out.done()
}

/// The certificate that is believed; without one it is nobody's.
fn known(args: &HealthcheckArgs) -> Result<CertificateDer<'static>, Failure> {
    let path = args.certificate.as_deref().ok_or_else(|| {
        Failure::Usage("https:// needs --certificate FILE, the one the server was started with".to_owned())
    })?;
    own_certificate(path).map_err(Failure::unreachable)
}

impl Target {
    fn parse(url: &str) -> Result<Self, String> {
        let plain = url.strip_prefix("http://").map(|rest| (rest, false));
        let scheme = plain.or_else(|| url.strip_prefix("https://").map(|rest| (rest, true)));
        let (rest, encrypted) = scheme.ok_or_else(|| {
            format!("{url:?} begins neither with http:// nor https://; give the server as {HERE}")
        })?;
        let (host, path) = rest.find('/').map_or((rest, ""), |at| rest.split_at(at));
        let plain = |part: &str| part.bytes().all(|byte| byte.is_ascii_graphic());
        if host.is_empty() || !plain(host) || !plain(path) {
            return Err(format!("{url:?} names no server; give it as {HERE}"));
        }
        let path = if path.len() < 2 { "/healthz" } else { path };
        Ok(Self { host: host.to_owned(), path: path.to_owned(), encrypted })
    }

    /// Where to connect: the scheme's port where none is said.
    fn address(&self) -> String {
        let has_port = self.host.rsplit_once(':').is_some_and(|(_, port)| port.parse::<u16>().is_ok());
        let port = if self.encrypted { 443 } else { 80 };
        if has_port { self.host.clone() } else { format!("{}:{port}", self.host) }
    }
}

fn status(target: &Target, certificate: Option<CertificateDer<'static>>) -> std::io::Result<u16> {
    let watch = Stopwatch::begin();
    let left = || PATIENCE.saturating_sub(watch.took()).max(Duration::from_millis(1));
    let stream = connected(target, &left)?;
    stream.set_write_timeout(Some(left()))?;
    stream.set_read_timeout(Some(left()))?;
    match certificate {
        None => asked(target, stream, &|stream| stream.set_read_timeout(Some(left()))),
        Some(certificate) => {
            let stream = pinned::over(stream, certificate)?;
            asked(target, stream, &|stream| stream.sock.set_read_timeout(Some(left())))
        }
    }
}

/// The status that is answered; `in_time` is told before each reading.
fn asked<S: Read + Write>(
    target: &Target,
    mut stream: S,
    in_time: &dyn Fn(&S) -> std::io::Result<()>,
) -> std::io::Result<u16> {
    let Target { host, path, .. } = target;
    write!(stream, "GET {path} HTTP/1.1\r\nHost: {host}\r\nAccept: text/plain\r\nConnection: close\r\n\r\n")?;
    // `HTTP/1.1 200`: nothing behind it is needed.
    let mut head = [0; 12];
    let mut read = 0;
    while read < head.len() {
        in_time(&stream)?;
        match stream.read(&mut head[read..])? {
            0 => return Err(std::io::Error::other("hung up without an answer")),
            more => read += more,
        }
    }
    let status = std::str::from_utf8(&head).ok().and_then(|head| head.strip_prefix("HTTP/1."));
    let status = status.and_then(|rest| rest.get(2..)).and_then(|status| status.parse().ok());
    status.ok_or_else(|| std::io::Error::other("what answers there speaks no HTTP"))
}

/// A name may stand for several addresses, of which one answers.
fn connected(target: &Target, left: &dyn Fn() -> Duration) -> std::io::Result<TcpStream> {
    let mut last = std::io::Error::other("the name has no address");
    for address in target.address().to_socket_addrs()? {
        match TcpStream::connect_timeout(&address, left()) {
            Ok(stream) => return Ok(stream),
            Err(fault) => last = fault,
        }
    }
    Err(last)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_address_without_a_path_is_asked_whether_it_is_alive() {
        let of = |url| Target::parse(url).unwrap();
        for url in ["http://127.0.0.1:7340", "http://127.0.0.1:7340/"] {
            let (host, path) = ("127.0.0.1:7340".into(), "/healthz".into());
            assert_eq!(of(url), Target { host, path, encrypted: false });
        }
        assert_eq!(of("http://shoes.shop/readyz").path, "/readyz");
        assert_eq!(of("http://shoes.shop").address(), "shoes.shop:80");
        assert_eq!(of("http://[::1]").address(), "[::1]:80");
        assert_eq!(of("https://shoes.shop").address(), "shoes.shop:443");
        assert_eq!(of("http://[::1]:7340").address(), "[::1]:7340");
    }

    #[test]
    fn what_is_no_address_is_refused_with_one_that_is() {
        for url in [
            "",
            "127.0.0.1:7340",
            "ftp://shoes.shop",
            "http://",
            "https://",
            "http:///healthz",
            "http://a\r\nb",
        ] {
            let why = Target::parse(url).unwrap_err();
            assert!(why.contains("http://127.0.0.1:7340"), "{why}");
        }
    }
}
