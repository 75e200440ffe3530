//! One-time codes from a clock (RFC 6238): HMAC-SHA-1, steps of 30 seconds, six digits, as the apps on
//! phones compute them.

use data_encoding::BASE32_NOPAD;
use hmac::{Hmac, KeyInit, Mac};
use jiff::Timestamp;
use rand::TryRngCore as _;
use sha1::Sha1;

/// The length of a step in seconds.
const STEP: i64 = 30;
/// The number of codes: six digits.
const CODES: u32 = 1_000_000;
/// How many steps a clock may be ahead or behind (RFC 6238, 5.2, advises at most one).
const SKEW: i64 = 1;
/// The bytes of a key: as many as SHA-1 gives (RFC 4226, section 4, R6: 160 bits are recommended).
const KEY_BYTES: usize = 20;

/// The key that a phone and the server share. `Debug` shows nothing of it.
///
/// The server has to compute the codes, so the key is kept as it is, in the database, where the file
/// rights of the data folder protect it, and a passphrase where a backup has one. Whoever reads the
/// database can make codes; the password, of which only a hash is kept, is then still unknown.
#[derive(Clone)]
pub struct TotpKey(Vec<u8>);

impl std::fmt::Debug for TotpKey {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str("TotpKey")
    }
}

/// Why a text is no key.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[error("a key is 32 characters of base 32")]
pub struct KeyError;

impl std::str::FromStr for TotpKey {
    type Err = KeyError;
    fn from_str(text: &str) -> Result<Self, Self::Err> {
        let bytes = BASE32_NOPAD.decode(text.as_bytes()).map_err(|_| KeyError)?;
        if bytes.len() == KEY_BYTES { Ok(Self(bytes)) } else { Err(KeyError) }
    }
}

impl TotpKey {
    /// A new key from the system's random source.
    ///
    /// # Errors
    /// When the system gives no random numbers.
    pub fn generate() -> Result<Self, rand::rand_core::OsError> {
        let mut bytes = vec![0; KEY_BYTES];
        rand::rngs::OsRng.try_fill_bytes(&mut bytes)?;
        Ok(Self(bytes))
    }

    /// The key in base 32, to be typed into an app: for the page that sets it up, and the database.
    #[must_use]
    pub fn expose(&self) -> String {
        BASE32_NOPAD.encode(&self.0)
    }

    /// What an app scans: issuer, account, key.
    ///
    /// # Source
    /// The `otpauth` form of addresses that apps for codes share (common practice).
    #[must_use]
    pub fn address(&self, account: &str) -> String {
        let account = percent_encoded(account);
        let key = self.expose();
        format!(
            "otpauth://totp/Relook:{account}?secret={key}&issuer=Relook&algorithm=SHA1&digits=6&period=30"
        )
    }

    /// The code of a step.
    #[must_use]
    pub fn code(&self, step: i64) -> String {
        format!("{:06}", self.truncated(step) % CODES)
    }

    /// The 31 bits that a code is the end of (RFC 4226, 5.3).
    fn truncated(&self, step: i64) -> u32 {
        let Ok(mut mac) = Hmac::<Sha1>::new_from_slice(&self.0) else {
            unreachable!("HMAC takes a key of any length")
        };
        mac.update(&step.to_be_bytes());
        let digest = mac.finalize().into_bytes();
        let at = usize::from(digest[19] & 0xf);
        u32::from_be_bytes([digest[at], digest[at + 1], digest[at + 2], digest[at + 3]]) & 0x7fff_ffff
    }

    /// The step that a code is of, now or one step off; none when it is of none, or when it is of a step
    /// not after the last one that was used. The caller keeps the step, so that no code is taken twice.
    #[must_use]
    pub fn accepts(&self, given: &str, now: Timestamp, last_used: i64) -> Option<i64> {
        let given: String = given.chars().filter(|c| !c.is_whitespace()).collect();
        let here = Self::step(now);
        (here - SKEW..=here + SKEW).find(|step| *step > last_used && self.code(*step) == given)
    }

    /// The step of a moment.
    #[must_use]
    pub fn step(moment: Timestamp) -> i64 {
        moment.as_second().div_euclid(STEP)
    }
}

/// A text as a part of an address (RFC 3986, 2.1).
fn percent_encoded(text: &str) -> String {
    text.bytes()
        .map(|byte| match byte {
            b'A'..=b'Z' | b'a'..=b'z' | b'0'..=b'9' | b'-' | b'.' | b'_' | b'~' => {
                char::from(byte).to_string()
            }
            _ => format!("%{byte:02X}"),
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at(second: i64) -> Timestamp {
        Timestamp::from_second(second).unwrap()
    }

    fn key() -> TotpKey {
        TotpKey(b"12345678901234567890".to_vec())
    }

    /// RFC 6238, Appendix B: the rows of SHA-1, in eight digits.
    #[test]
    fn codes_are_those_of_rfc_6238() {
        for (second, code) in [
            (59, 94_287_082),
            (1_111_111_109, 7_081_804),
            (1_111_111_111, 14_050_471),
            (1_234_567_890, 89_005_924),
            (2_000_000_000, 69_279_037),
            (20_000_000_000, 65_353_130),
        ] {
            let step = TotpKey::step(at(second));
            assert_eq!(key().truncated(step) % 100_000_000, code, "{second}");
            assert_eq!(key().code(step), format!("{:06}", code % 1_000_000), "{second}");
        }
    }

    #[test]
    fn a_code_is_taken_one_step_off_and_no_further() {
        let now = at(1_111_111_111);
        let here = TotpKey::step(now);
        for (off, taken) in [(-2, false), (-1, true), (0, true), (1, true), (2, false)] {
            let step = here + off;
            assert_eq!(key().accepts(&key().code(step), now, 0), taken.then_some(step), "{off}");
        }
    }

    #[test]
    fn a_step_is_used_once_and_none_before_it_after_it() {
        let now = at(1_111_111_111);
        let here = TotpKey::step(now);
        assert_eq!(key().accepts(&key().code(here), now, here - 1), Some(here));
        assert_eq!(key().accepts(&key().code(here), now, here), None);
        assert_eq!(key().accepts(&key().code(here - 1), now, here), None);
        assert_eq!(key().accepts(&key().code(here + 1), now, here), Some(here + 1));
    }

    #[test]
    fn what_is_no_code_is_not_taken() {
        let now = at(59);
        assert_eq!(key().accepts("287 082", now, 0), Some(1));
        for wrong in ["", "287083", "94287082", "-87082", "２８７０８２", "28708"] {
            assert_eq!(key().accepts(wrong, now, 0), None, "{wrong}");
        }
    }

    #[test]
    fn a_key_is_read_back_and_shows_itself_only_when_asked() {
        let made = TotpKey::generate().unwrap();
        let read: TotpKey = made.expose().parse().unwrap();
        assert_eq!(made.expose(), read.expose());
        assert_eq!(made.expose().len(), 32);
        assert_eq!(format!("{made:?}"), "TotpKey");
        for wrong in ["", "GEZDGNBV", "not a key", "gezdgnbvgy3tqojqgezdgnbvgy3tqojq"] {
            assert!(wrong.parse::<TotpKey>().is_err(), "{wrong}");
        }
        // RFC 4648's alphabet over the key of RFC 6238.
        assert_eq!(key().expose(), "GEZDGNBVGY3TQOJQGEZDGNBVGY3TQOJQ");
    }

    #[test]
    fn the_address_for_an_app_has_no_character_that_breaks_it() {
        let address = key().address("Dr Ana Itō & Co?");
        let start = "otpauth://totp/Relook:Dr%20Ana%20It%C5%8D%20%26%20Co%3F?secret=GEZDGNBVGY3TQOJQGEZDGNBVGY3TQOJQ&";
        assert!(address.starts_with(start), "{address}");
    }
}
