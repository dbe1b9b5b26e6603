//! The shop's certificate and its key, read from two files at the start.

use std::io;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use tokio_rustls::TlsAcceptor;
use tokio_rustls::rustls::pki_types::pem::{self, PemObject};
use tokio_rustls::rustls::pki_types::{CertificateDer, PrivateKeyDer};
use tokio_rustls::rustls::{self, ServerConfig, crypto::ring};

mod validity;
pub use validity::{Validity, WrongTime};

/// What a server shows of itself over HTTPS.
#[derive(Clone)]
pub struct Identity {
    acceptor: TlsAcceptor,
    /// From when until when browsers believe it.
    pub validity: Option<Validity>,
}

/// Why two files are no certificate with its key.
#[derive(Debug, thiserror::Error)]
pub enum IdentityFault {
    /// A file that is not there or may not be read.
    #[error("{path} cannot be read: {cause}. Give the {what} as a PEM file that this user may read.")]
    Unreadable {
        /// The file.
        path: PathBuf,
        /// What it should hold.
        what: &'static str,
        /// The system's words.
        cause: io::Error,
    },
    /// A file without the block it should hold.
    #[error("{path} holds no {what}. A PEM file is wanted, with a line \"-----BEGIN {block}-----\".")]
    Lacks {
        /// The file.
        path: PathBuf,
        /// What it should hold.
        what: &'static str,
        /// How its first line reads.
        block: &'static str,
    },
    /// A file whose blocks are damaged.
    #[error("{path} is damaged: {cause}. Copy the {what} again.")]
    Damaged {
        /// The file.
        path: PathBuf,
        /// What it should hold.
        what: &'static str,
        /// What is wrong with it.
        cause: pem::Error,
    },
    /// A key locked with a password.
    #[error(
        "the key in {0} is locked with a password, which nobody is there to type. Give it unlocked, readable by this user alone."
    )]
    Locked(PathBuf),
    /// A key of another certificate.
    #[error(
        "the key in {key} does not belong to the certificate in {certificate}. Give the two files of one pair; the server's own certificate stands first in its file."
    )]
    NoPair {
        /// The certificate's file.
        certificate: PathBuf,
        /// The key's file.
        key: PathBuf,
    },
    /// A pair that cannot be used.
    #[error("the certificate in {certificate} cannot be used: {cause}")]
    Unusable {
        /// The certificate's file.
        certificate: PathBuf,
        /// What is wrong with it.
        cause: rustls::Error,
    },
}

impl Identity {
    /// The certificate (with those that vouch for it) of one PEM file and the key of another.
    ///
    /// # Errors
    /// Either file is missing, unreadable, damaged or another thing, or they are no pair.
    pub fn read(certificate: &Path, key: &Path) -> Result<Self, IdentityFault> {
        let chain = chain(certificate)?;
        let secret = private_key(key)?;
        let validity = chain.first().and_then(|own| Validity::of(own));
        let unusable = |cause| match cause {
            rustls::Error::InconsistentKeys(_) => {
                IdentityFault::NoPair { certificate: certificate.into(), key: key.into() }
            }
            cause => IdentityFault::Unusable { certificate: certificate.into(), cause },
        };
        let mut config = ServerConfig::builder_with_provider(Arc::new(ring::default_provider()))
            .with_safe_default_protocol_versions()
            .map_err(unusable)?
            .with_no_client_auth()
            .with_single_cert(chain, secret)
            .map_err(unusable)?;
        // Nothing else is spoken here, so nothing else is offered.
        config.alpn_protocols = vec![b"http/1.1".to_vec()];
        Ok(Self { acceptor: TlsAcceptor::from(Arc::new(config)), validity })
    }

    pub(super) fn acceptor(&self) -> &TlsAcceptor {
        &self.acceptor
    }
}

/// The server's own certificate, which stands first in its file.
///
/// # Errors
/// The file is missing, unreadable, damaged or another thing.
pub(crate) fn own_certificate(path: &Path) -> Result<CertificateDer<'static>, IdentityFault> {
    let first = chain(path)?.into_iter().next();
    first.ok_or_else(|| IdentityFault::Lacks { path: path.into(), what: CERTIFICATE, block: "CERTIFICATE" })
}

const CERTIFICATE: &str = "certificate";
const KEY: &str = "private key";

fn chain(path: &Path) -> Result<Vec<CertificateDer<'static>>, IdentityFault> {
    let text = text(path, CERTIFICATE)?;
    let found: Result<Vec<_>, _> = CertificateDer::pem_slice_iter(&text).collect();
    let chain =
        found.map_err(|cause| IdentityFault::Damaged { path: path.into(), what: CERTIFICATE, cause })?;
    if chain.is_empty() {
        return Err(IdentityFault::Lacks { path: path.into(), what: CERTIFICATE, block: "CERTIFICATE" });
    }
    Ok(chain)
}

fn private_key(path: &Path) -> Result<PrivateKeyDer<'static>, IdentityFault> {
    let text = text(path, KEY)?;
    if text.windows(LOCKED.len()).any(|part| part == LOCKED) {
        return Err(IdentityFault::Locked(path.into()));
    }
    PrivateKeyDer::from_pem_slice(&text).map_err(|cause| match cause {
        pem::Error::NoItemsFound => {
            IdentityFault::Lacks { path: path.into(), what: KEY, block: "PRIVATE KEY" }
        }
        cause => IdentityFault::Damaged { path: path.into(), what: KEY, cause },
    })
}

/// Both forms of a locked key say so.
const LOCKED: &[u8] = b"ENCRYPTED";

fn text(path: &Path, what: &'static str) -> Result<Vec<u8>, IdentityFault> {
    std::fs::read(path).map_err(|cause| IdentityFault::Unreadable { path: path.into(), what, cause })
}
