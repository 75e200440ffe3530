//! Random secrets for sessions and one-time links. Only their digests are stored.

use std::fmt::Write as _;

use rand::TryRngCore as _;
use sha2::{Digest, Sha256};

/// A secret of 256 random bits, as text for a cookie or a link. `Debug` shows nothing of it.
#[derive(Clone)]
pub struct Secret(String);

impl std::fmt::Debug for Secret {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str("Secret")
    }
}

fn hex(bytes: &[u8]) -> String {
    bytes.iter().fold(String::new(), |mut text, byte| {
        let _ = write!(text, "{byte:02x}");
        text
    })
}

impl Secret {
    /// A new secret from the system's random source.
    ///
    /// # Errors
    /// When the system gives no random numbers.
    pub fn generate() -> Result<Self, rand::rand_core::OsError> {
        let mut bytes = [0_u8; 32];
        rand::rngs::OsRng.try_fill_bytes(&mut bytes)?;
        Ok(Self(hex(&bytes)))
    }

    /// A secret that came in with a request; none when it cannot be one.
    #[must_use]
    pub fn from_text(text: &str) -> Option<Self> {
        (text.len() == 64 && text.bytes().all(|b| b.is_ascii_hexdigit())).then(|| Self(text.to_owned()))
    }

    /// The secret itself: for the cookie or the link, never for a log.
    #[must_use]
    pub fn expose(&self) -> &str {
        &self.0
    }

    /// What is stored of it: its SHA-256 digest. The secret has 256 bits, so that no slow hash is needed.
    #[must_use]
    pub fn digest(&self) -> String {
        hex(&Sha256::digest(self.0.as_bytes()))
    }

    /// What pages call what it opens: the first quarter of the digest, with which nobody gets in.
    #[must_use]
    pub fn handle(&self) -> String {
        self.digest().chars().take(16).collect()
    }

    /// What is stored of it where it must not be recognised elsewhere: its digest under a salt. The
    /// salts of two digests are as long as each other.
    #[must_use]
    pub fn salted_digest(&self, salt: &str) -> String {
        hex(&Sha256::new().chain_update(salt.as_bytes()).chain_update(self.0.as_bytes()).finalize())
    }
}
