//! Where `serve` listens, and whether others may read along.

use std::net::SocketAddr;
use std::path::PathBuf;

use clap::Args;

use super::Failure;
use crate::config::Listening;
use crate::serve::{Identity, WrongTime};

/// The address, and what is shown there.
#[derive(Debug, Args)]
pub(super) struct ListeningArgs {
    /// The address and port to listen on
    #[arg(
        long = "listen",
        value_name = "ADDRESS",
        default_value = "127.0.0.1:7340",
        env = "LASTBENCH_LISTEN"
    )]
    pub(super) address: SocketAddr,
    /// Speak HTTPS with the certificate of this PEM file
    #[arg(long, value_name = "FILE", requires = "private_key", env = "LASTBENCH_CERTIFICATE")]
    certificate: Option<PathBuf>,
    /// The certificate's private key, a PEM file without a password
    #[arg(long, value_name = "FILE", requires = "certificate", env = "LASTBENCH_PRIVATE_KEY")]
    private_key: Option<PathBuf>,
    /// Let other computers in without a certificate: whoever is on the same network can read along
    #[arg(long, env = "LASTBENCH_INSECURE_LAN")]
    insecure_lan: bool,
    /// Let programs on this computer read /metrics without an account; not where a proxy on this computer lets others in
    #[arg(long, env = "LASTBENCH_METRICS_ON_LOOPBACK")]
    pub(super) metrics_on_loopback: bool,
}

impl ListeningArgs {
    /// What the server shows of itself, if anything.
    ///
    /// # Errors
    /// Other computers would be let in unencrypted, and nobody has said that they may be; or the two files are no pair.
    pub(super) fn settled(&self) -> Result<Option<Identity>, Failure> {
        if let (Some(certificate), Some(key)) = (&self.certificate, &self.private_key) {
            return Identity::read(certificate, key).map(Some).map_err(Failure::unreachable);
        }
        if Listening::on(self.address).beyond_loopback && !self.insecure_lan {
            return Err(Failure::Usage(format!(
                "{} lets other computers in, and without a certificate whoever is on the same network can read along. \
                 Give --certificate FILE and --private-key FILE, or say --insecure-lan to do without.",
                self.address
            )));
        }
        Ok(None)
    }
}

/// What whoever starts the server should know, a sentence a line.
pub(super) fn words_on(listening: Listening, identity: Option<&Identity>, now: i64) -> Vec<&'static str> {
    let mut words = Vec::new();
    if listening.beyond_loopback && !listening.tls {
        words.push(
            "Warning: other computers are let in without encryption (--insecure-lan); whoever is on the same network \
             can read along.",
        );
    }
    let wrong = identity.and_then(|identity| identity.validity).and_then(|validity| validity.wrong_at(now));
    words.extend(wrong.map(|wrong| match wrong {
        WrongTime::Ended => {
            "Warning: the certificate has ended, so browsers will warn or refuse. Renew it and start again; if it has \
             not, look at this computer's clock."
        }
        WrongTime::NotYet => {
            "Warning: the certificate begins in the future, so browsers may refuse. Look at this computer's clock."
        }
        WrongTime::EndsSoon => "Warning: the certificate ends within three weeks. Renew it and start again.",
    }));
    words
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn whoever_lets_others_in_unencrypted_is_told() {
        let on = |address: &str| Listening::on(address.parse().unwrap());
        assert_eq!(words_on(on("127.0.0.1:7340"), None, 0).len(), 0);
        assert!(words_on(on("0.0.0.0:7340"), None, 0)[0].contains("without encryption"));
        assert_eq!(words_on(Listening { tls: true, ..on("0.0.0.0:7340") }, None, 0).len(), 0);
    }
}
