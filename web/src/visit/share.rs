//! A comparison on another device: its whole address under the name that the shop's network knows, and nothing about a
//! runner in it.

use crate::pages::compare::Share;
use crate::parts::qr::Qr;

/// The comparison at `path` for the customer's own telephone; `origin` is the server as the browser reached it, and an
/// address that only this machine knows is said to be one.
pub fn share(origin: &str, path: &str) -> Option<Share> {
    let host = origin.split_once("://").map(|(_, host)| host).filter(|host| !host.is_empty())?;
    let address = format!("{origin}{path}");
    let this_machine_only = is_this_machine(host);
    let code = if this_machine_only { None } else { Qr::of(&address) };
    Some(Share { address, code, this_machine_only })
}

/// Whether an origin is one that only the machine that asks can reach.
pub fn is_of_this_machine(origin: &str) -> bool {
    origin.split_once("://").is_some_and(|(_, host)| is_this_machine(host))
}

/// Whether a host, with or without a port, names the machine that asks.
fn is_this_machine(host: &str) -> bool {
    let name = match host.strip_prefix('[') {
        Some(rest) => rest.split(']').next().unwrap_or_default(),
        None => host.split(':').next().unwrap_or_default(),
    };
    let name = name.trim_end_matches('.').to_ascii_lowercase();
    let is_loopback = name.parse::<std::net::IpAddr>().is_ok_and(|ip| ip.to_canonical().is_loopback());
    is_loopback || name == "localhost" || name.ends_with(".localhost")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_address_that_only_this_machine_knows_is_said_to_be_one() {
        for host in ["localhost", "localhost:7340", "127.0.0.1:7340", "127.8.8.8", "[::1]:7340", "LOCALHOST."]
        {
            assert!(is_this_machine(host), "{host}");
        }
        for host in ["192.168.0.20:7340", "bench.shop:7340", "[fe80::1]:7340", "localhost.shop", "10.0.0.127"]
        {
            assert!(!is_this_machine(host), "{host}");
        }
    }

    #[test]
    fn the_address_is_whole() {
        let shared = share("http://bench.shop:7340", "/compare?shoe=a.1&shoe=b.2").unwrap();
        assert_eq!(shared.address, "http://bench.shop:7340/compare?shoe=a.1&shoe=b.2");
        assert!(!shared.this_machine_only && shared.code == Qr::of(&shared.address));
        assert!(share("http://localhost:7340", "/compare?shoe=a.1").unwrap().code.is_none());
        assert!(share("", "/compare?shoe=a.1").is_none());
    }
}
