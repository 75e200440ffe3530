//! Recovery codes: each signs in once in the place of a code from the phone.

use std::fmt;
use std::str::FromStr;

use data_encoding::{BASE32_NOPAD, HEXLOWER};
use rand::TryRngCore as _;
use sha2::{Digest, Sha256};

/// The bytes of a code: 120 bits, so that a plain digest of it may be kept (OWASP ASVS 5.0, 6.5.2, asks for
/// 112 bits then).
const BYTES: usize = 15;

/// A recovery code, in base 32 without what separates its groups. `Debug` shows nothing of it.
#[derive(Clone, PartialEq, Eq)]
pub struct RecoveryCode(String);

impl fmt::Debug for RecoveryCode {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("RecoveryCode")
    }
}

/// Why a text is no recovery code.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[error("a recovery code is six groups of four letters and digits")]
pub struct RecoveryCodeError;

impl FromStr for RecoveryCode {
    type Err = RecoveryCodeError;
    /// Small or large letters, with or without spaces and hyphens; 0 and 1, which no code has, are read as
    /// O and I.
    fn from_str(text: &str) -> Result<Self, Self::Err> {
        let bare: String = text
            .chars()
            .filter(|c| !c.is_whitespace() && *c != '-')
            .map(|c| match c.to_ascii_uppercase() {
                '0' => 'O',
                '1' => 'I',
                other => other,
            })
            .collect();
        let read = BASE32_NOPAD.decode(bare.as_bytes()).map_err(|_| RecoveryCodeError)?;
        if read.len() == BYTES { Ok(Self(bare)) } else { Err(RecoveryCodeError) }
    }
}

impl RecoveryCode {
    /// How many a person is given.
    pub const COUNT: usize = 10;

    /// A new set from the system's random source.
    ///
    /// # Errors
    /// When the system gives no random numbers.
    pub fn generate_set() -> Result<Vec<Self>, rand::rand_core::OsError> {
        let one = || {
            let mut bytes = [0; BYTES];
            rand::rngs::OsRng.try_fill_bytes(&mut bytes)?;
            Ok(Self(BASE32_NOPAD.encode(&bytes)))
        };
        (0..Self::COUNT).map(|_| one()).collect()
    }

    /// The code as it is written down, `abcd-efgh-…`: for the one page that shows it, never for a log.
    #[must_use]
    pub fn expose(&self) -> String {
        let letters: Vec<char> = self.0.to_lowercase().chars().collect();
        letters.chunks(4).map(String::from_iter).collect::<Vec<_>>().join("-")
    }

    /// What is kept of it: its SHA-256 digest.
    #[must_use]
    pub fn digest(&self) -> String {
        HEXLOWER.encode(&Sha256::digest(self.0.as_bytes()))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_code_is_read_however_it_is_typed() {
        let code = &RecoveryCode::generate_set().unwrap()[0];
        let written = code.expose();
        assert_eq!(written.len(), 29, "{written}");
        for typed in
            [written.clone(), written.to_uppercase(), written.replace('-', " "), written.replace('-', "")]
        {
            assert_eq!(typed.parse::<RecoveryCode>().as_ref(), Ok(code), "{typed}");
        }
        let with_digits = written.replace('o', "0").replace('i', "1");
        assert_eq!(with_digits.parse::<RecoveryCode>().unwrap().digest(), code.digest());
        assert_eq!(format!("{code:?}"), "RecoveryCode");
    }

    #[test]
    fn ten_differ_and_a_wrong_one_is_none() {
        let set = RecoveryCode::generate_set().unwrap();
        let digests: std::collections::BTreeSet<String> = set.iter().map(RecoveryCode::digest).collect();
        assert_eq!(digests.len(), 10);
        for wrong in
            ["", "123456", "abcd-efgh", "abcd-efgh-ijkl-mnop-qrst-uvw!", "abcd-efgh-ijkl-mnop-qrst-uvwx-yz23"]
        {
            assert!(wrong.parse::<RecoveryCode>().is_err(), "{wrong}");
        }
    }
}
