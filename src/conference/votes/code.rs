//! The code by which phones find a poll.

use std::fmt;
use std::str::FromStr;

use rand::TryRngCore as _;

/// Digits and small letters that are not taken for one another when read from a screen. No vowels, so
/// that a code is never a word.
const SIGNS: &[u8; 28] = b"23456789bcdfghjkmnpqrstvwxyz";

/// How long a code is: 28⁶, some 480 million codes, so that trying finds no open poll.
const LENGTH: usize = 6;

/// The largest multiple of the number of signs that a byte can hold: bytes from there on are drawn
/// again, so that each sign is as likely as any other.
const FAIR_BELOW: u8 = 252;

/// The public code of a poll: six signs, such as `k7m3xq`.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub struct PollCode(String);

/// Why a text is not the code of a poll.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[error("A code is six digits and letters, such as k7m3xq.")]
pub struct PollCodeError;

impl PollCode {
    /// A new code from the system's random source.
    ///
    /// # Errors
    /// When the system gives no random numbers.
    pub fn generate() -> Result<Self, rand::rand_core::OsError> {
        let mut code = String::with_capacity(LENGTH);
        while code.len() < LENGTH {
            let mut bytes = [0_u8; 2 * LENGTH];
            rand::rngs::OsRng.try_fill_bytes(&mut bytes)?;
            let fair = bytes.iter().filter(|byte| **byte < FAIR_BELOW);
            let signs = fair.map(|byte| char::from(SIGNS[usize::from(*byte) % SIGNS.len()]));
            code.extend(signs.take(LENGTH - code.len()));
        }
        Ok(Self(code))
    }

    /// The code as text.
    #[must_use]
    pub fn as_str(&self) -> &str {
        &self.0
    }
}

impl FromStr for PollCode {
    type Err = PollCodeError;
    fn from_str(text: &str) -> Result<Self, Self::Err> {
        // A phone writes the first letter of a line large.
        let code = text.trim().to_ascii_lowercase();
        let good = code.len() == LENGTH && code.bytes().all(|sign| SIGNS.contains(&sign));
        good.then_some(Self(code)).ok_or(PollCodeError)
    }
}

impl fmt::Display for PollCode {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use super::PollCode;

    #[test]
    fn a_code_reads_back_and_none_comes_twice() {
        let mut seen = BTreeSet::new();
        for _ in 0..500 {
            let code = PollCode::generate().expect("random numbers");
            assert_eq!(code.as_str().parse(), Ok(code.clone()));
            seen.insert(code.to_string());
        }
        // Five hundred of 480 million: two alike are a thing of one run in four thousand.
        assert!(seen.len() >= 499, "{seen:?}");
    }

    #[test]
    fn large_letters_are_the_same_code_and_other_signs_are_none() {
        let code = |text: &str| text.parse::<PollCode>().ok().map(|code| code.to_string());
        assert_eq!(code(" K7M3XQ "), Some("k7m3xq".to_owned()));
        for wrong in ["", "k7m3x", "k7m3xqq", "k7m3x0", "k7m3xo", "k7m3x1", "k7m3xl", "k7m3xé", "999999'"] {
            assert_eq!(code(wrong), None, "{wrong}");
        }
    }
}
