//! HTTPS to a server whose certificate is known: it, and no other, is believed, whoever has signed it and whatever name
//! stands in it. A container asks itself by a number, for which no shop has a certificate.

use std::io;
use std::net::TcpStream;
use std::sync::Arc;

use tokio_rustls::rustls::client::danger::{HandshakeSignatureValid, ServerCertVerified, ServerCertVerifier};
use tokio_rustls::rustls::crypto::{self, CryptoProvider, ring};
use tokio_rustls::rustls::pki_types::{CertificateDer, ServerName, UnixTime};
use tokio_rustls::rustls::{
    CertificateError, ClientConfig, ClientConnection, DigitallySignedStruct, Error, SignatureScheme,
    StreamOwned,
};

/// What goes over `stream` is encrypted, to whoever holds the key of `certificate`.
pub(super) fn over(
    stream: TcpStream,
    certificate: CertificateDer<'static>,
) -> io::Result<StreamOwned<ClientConnection, TcpStream>> {
    let provider = Arc::new(ring::default_provider());
    let believed = Arc::new(Known { certificate, provider: Arc::clone(&provider) });
    let config = ClientConfig::builder_with_provider(provider)
        .with_safe_default_protocol_versions()
        .map_err(io::Error::other)?
        .dangerous()
        .with_custom_certificate_verifier(believed)
        .with_no_client_auth();
    let name = ServerName::try_from("localhost").map_err(io::Error::other)?;
    let connection = ClientConnection::new(Arc::new(config), name).map_err(io::Error::other)?;
    Ok(StreamOwned::new(connection, stream))
}

#[derive(Debug)]
struct Known {
    certificate: CertificateDer<'static>,
    provider: Arc<CryptoProvider>,
}

impl ServerCertVerifier for Known {
    fn verify_server_cert(
        &self,
        shown: &CertificateDer<'_>,
        _signed_by: &[CertificateDer<'_>],
        _name: &ServerName<'_>,
        _stapled: &[u8],
        _now: UnixTime,
    ) -> Result<ServerCertVerified, Error> {
        if *shown == self.certificate {
            Ok(ServerCertVerified::assertion())
        } else {
            Err(CertificateError::ApplicationVerificationFailure.into())
        }
    }

    fn verify_tls12_signature(
        &self,
        message: &[u8],
        shown: &CertificateDer<'_>,
        signed: &DigitallySignedStruct,
    ) -> Result<HandshakeSignatureValid, Error> {
        let algorithms = &self.provider.signature_verification_algorithms;
        crypto::verify_tls12_signature(message, shown, signed, algorithms)
    }

    fn verify_tls13_signature(
        &self,
        message: &[u8],
        shown: &CertificateDer<'_>,
        signed: &DigitallySignedStruct,
    ) -> Result<HandshakeSignatureValid, Error> {
        let algorithms = &self.provider.signature_verification_algorithms;
        crypto::verify_tls13_signature(message, shown, signed, algorithms)
    }

    fn supported_verify_schemes(&self) -> Vec<SignatureScheme> {
        self.provider.signature_verification_algorithms.supported_schemes()
    }
}
