//! A certificate and its key, as files that are taken up again when they were renewed.

use std::path::{Path, PathBuf};
use std::sync::{Arc, RwLock};

use tokio_rustls::TlsAcceptor;
use tokio_rustls::rustls::ServerConfig;
use tokio_rustls::rustls::crypto::ring;
use tokio_rustls::rustls::pki_types::pem::PemObject as _;
use tokio_rustls::rustls::pki_types::{CertificateDer, PrivateKeyDer};

/// Why a certificate cannot be used, as a sentence for the terminal.
#[derive(Debug, thiserror::Error)]
pub enum CertificateError {
    /// The certificate's file is absent or holds none.
    #[error("{path} holds no certificate that can be read (PEM): {why}")]
    Certificate {
        /// The file.
        path: String,
        /// What is wrong with it.
        why: String,
    },
    /// The key's file is absent or holds none.
    #[error("{path} holds no private key that can be read (PEM, without a passphrase): {why}")]
    Key {
        /// The file.
        path: String,
        /// What is wrong with it.
        why: String,
    },
    /// The two do not go together.
    #[error("The certificate in {certificate} and the key in {key} do not go together: {why}")]
    NotAPair {
        /// The certificate's file.
        certificate: String,
        /// The key's file.
        key: String,
        /// What is wrong with them.
        why: String,
    },
}

/// A certificate with its key, as the server uses it now.
pub struct Certificate {
    certificate: PathBuf,
    key: PathBuf,
    acceptor: RwLock<TlsAcceptor>,
}

impl std::fmt::Debug for Certificate {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Certificate").field("certificate", &self.certificate).finish_non_exhaustive()
    }
}

impl Certificate {
    /// Reads the chain of a certificate, its own first, and its key.
    ///
    /// # Errors
    /// [`CertificateError`], which names the file.
    pub fn read(certificate: &Path, key: &Path) -> Result<Self, CertificateError> {
        Ok(Self {
            acceptor: RwLock::new(acceptor(certificate, key)?),
            certificate: certificate.to_owned(),
            key: key.to_owned(),
        })
    }

    /// Reads both files again. When one cannot be read, the certificate stays as it was.
    ///
    /// # Errors
    /// [`CertificateError`], which names the file.
    pub fn read_again(&self) -> Result<(), CertificateError> {
        let fresh = acceptor(&self.certificate, &self.key)?;
        match self.acceptor.write() {
            Ok(mut held) => *held = fresh,
            Err(poisoned) => *poisoned.into_inner() = fresh,
        }
        Ok(())
    }

    /// What agrees on TLS with the next connection.
    pub(super) fn acceptor(&self) -> TlsAcceptor {
        match self.acceptor.read() {
            Ok(held) => held.clone(),
            // A writer panicked while it swapped one for another: both are whole.
            Err(poisoned) => poisoned.into_inner().clone(),
        }
    }
}

fn acceptor(certificate: &Path, key: &Path) -> Result<TlsAcceptor, CertificateError> {
    let wrong = |why: &dyn ToString| CertificateError::Certificate {
        path: certificate.display().to_string(),
        why: why.to_string(),
    };
    let chain: Vec<CertificateDer> = CertificateDer::pem_file_iter(certificate)
        .and_then(Iterator::collect)
        .map_err(|error| wrong(&error))?;
    if chain.is_empty() {
        return Err(wrong(&"it holds none"));
    }
    let secret = PrivateKeyDer::from_pem_file(key)
        .map_err(|error| CertificateError::Key { path: key.display().to_string(), why: error.to_string() })?;
    let not_a_pair = |why: tokio_rustls::rustls::Error| CertificateError::NotAPair {
        certificate: certificate.display().to_string(),
        key: key.display().to_string(),
        why: why.to_string(),
    };
    // TLS 1.3 and 1.2, with the library's own choice of what each may use.
    let mut config = ServerConfig::builder_with_provider(Arc::new(ring::default_provider()))
        .with_safe_default_protocol_versions()
        .map_err(not_a_pair)?
        .with_no_client_auth()
        .with_single_cert(chain, secret)
        .map_err(not_a_pair)?;
    config.alpn_protocols = vec![b"http/1.1".to_vec()];
    Ok(TlsAcceptor::from(Arc::new(config)))
}
