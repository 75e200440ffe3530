//! Passwords: what is accepted, how they are kept.

use argon2::Argon2;
use argon2::password_hash::{PasswordHash, PasswordHasher, PasswordVerifier, SaltString, rand_core::OsRng};

/// Why a password is not accepted or cannot be kept.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum PasswordError {
    /// Fewer than [`NewPassword::AT_LEAST`] characters.
    #[error("A password has at least 12 characters. A few words in a row make a good one.")]
    TooShort,
    /// More than [`NewPassword::AT_MOST`] characters.
    #[error("A password has at most 200 characters.")]
    TooLong,
    /// Hashing failed.
    #[error("The password could not be kept: {0}")]
    Hashing(String),
}

/// A password that somebody chose and that may be kept. `Debug` shows nothing of it.
pub struct NewPassword(String);

impl std::fmt::Debug for NewPassword {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str("NewPassword")
    }
}

impl NewPassword {
    /// Fewest characters.
    pub const AT_LEAST: usize = 12;
    /// Most characters.
    pub const AT_MOST: usize = 200;

    /// A password of 12 to 200 characters, of any kind.
    ///
    /// # Errors
    /// When it is shorter or longer.
    pub fn parse(text: &str) -> Result<Self, PasswordError> {
        match text.chars().count() {
            count if count < Self::AT_LEAST => Err(PasswordError::TooShort),
            count if count > Self::AT_MOST => Err(PasswordError::TooLong),
            _ => Ok(Self(text.to_owned())),
        }
    }

    /// Its Argon2id hash (19 MiB, two passes, one lane: the library's defaults), with its salt and
    /// parameters in the text. Takes some 30 ms: off the request's thread.
    ///
    /// # Errors
    /// When hashing fails.
    pub fn hash(&self) -> Result<String, PasswordError> {
        let salt = SaltString::generate(&mut OsRng);
        Argon2::default()
            .hash_password(self.0.as_bytes(), &salt)
            .map(|hash| hash.to_string())
            .map_err(|error| PasswordError::Hashing(error.to_string()))
    }
}

/// Whether a password is the one that was kept. With no kept one, the same time is spent, so that
/// an unknown name cannot be told from a wrong password.
#[must_use]
pub(super) fn verify(given: &str, kept: Option<&str>) -> bool {
    const NOBODY: &str =
        "$argon2id$v=19$m=19456,t=2,p=1$c29tZXRoaW5nc2FsdHk$7cUZhC8qCyWRJpoTDYXJYQs1CVIPC1UVxvRvxFhQ8QU";
    let Ok(hash) = PasswordHash::new(kept.unwrap_or(NOBODY)) else {
        return false;
    };
    let right = Argon2::default().verify_password(given.as_bytes(), &hash).is_ok();
    right && kept.is_some()
}
