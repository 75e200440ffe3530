//! Passwords: how they are kept and compared. What is accepted as a new one is in [`rules`].

mod rules;

use std::borrow::Cow;

use argon2::password_hash::{PasswordHash, PasswordHasher, PasswordVerifier, SaltString, rand_core::OsRng};
use argon2::{Algorithm, Argon2, Params, Version};
use icu_normalizer::ComposingNormalizerBorrowed;

pub use rules::{NewPassword, PasswordError, PasswordRules};

/// How much work a guess costs: Argon2id version 1.3 with 19 MiB of memory, two passes, one lane, and 32
/// bytes of hash.
///
/// # Source
/// OWASP Password Storage Cheat Sheet: "Argon2id with a minimum configuration of 19 MiB of memory, an
/// iteration count of 2, and 1 degree of parallelism". RFC 9106 gives larger ones for machines that do
/// nothing else. A hash that was kept with others is replaced when its password is next given.
const WORK: Work = Work { memory_kib: 19 * 1024, passes: 2, lanes: 1, bytes: 32 };

struct Work {
    memory_kib: u32,
    passes: u32,
    lanes: u32,
    bytes: usize,
}

fn argon2id() -> Result<Argon2<'static>, PasswordError> {
    let params = Params::new(WORK.memory_kib, WORK.passes, WORK.lanes, Some(WORK.bytes))
        .map_err(|error| PasswordError::Hashing(error.to_string()))?;
    Ok(Argon2::new(Algorithm::Argon2id, Version::V0x13, params))
}

/// The form of a password that is hashed: what looks the same on two keyboards is the same.
///
/// # Source
/// NIST SP 800-63B 5.1.1.2 and the second public draft of SP 800-63B-4, 3.1.1.2: normalised with NFKC or
/// NFKD (Unicode Standard Annex 15) before it is hashed; nothing else is changed or cut off.
fn normalised(text: &str) -> Cow<'_, str> {
    ComposingNormalizerBorrowed::new_nfkc().normalize(text)
}

/// The hash of a password that is kept already, made anew: see [`Kept::RightButOld`]. It is asked to meet no
/// rule that came after it.
///
/// # Errors
/// When hashing fails.
pub fn hash_again(right: &str) -> Result<String, PasswordError> {
    hash(right)
}

/// The Argon2id hash of a password, with its salt (128 random bits) and its parameters in the text.
fn hash(text: &str) -> Result<String, PasswordError> {
    let salt = SaltString::generate(&mut OsRng);
    argon2id()?
        .hash_password(normalised(text).as_bytes(), &salt)
        .map(|hash| hash.to_string())
        .map_err(|error| PasswordError::Hashing(error.to_string()))
}

/// How a password compares with the one that was kept.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kept {
    /// It is another one, or none is kept.
    Wrong,
    /// It is the same.
    Right,
    /// It is the same, and was kept with less or other work than is done now: it is to be hashed anew.
    RightButOld,
}

/// A hash that nobody's password has, made with the same work: see [`check_password`].
const NOBODY: &str =
    "$argon2id$v=19$m=19456,t=2,p=1$c29tZXNvbWVzb21lc2FsdA$7cUZhC8qCyWRJpoTDYXJYQs1CVIPC1UVxvRvxFhQ8QU";

/// Compares a password with the kept hash. With no kept one, the same time is spent, so that an unknown
/// name cannot be told from a wrong password. Takes some 30 ms: off the request's thread.
#[must_use]
pub fn check_password(given: &str, kept: Option<&str>) -> Kept {
    let Ok(hash) = PasswordHash::new(kept.unwrap_or(NOBODY)) else {
        return Kept::Wrong;
    };
    let same = |text: &str| Argon2::default().verify_password(text.as_bytes(), &hash).is_ok();
    let form = normalised(given);
    let as_now = same(&form);
    // Passwords that were kept before were hashed as they were typed.
    let as_before = !as_now && form != given && same(given);
    match (kept.is_some(), as_now, as_before) {
        (true, true, _) if is_current(&hash) => Kept::Right,
        (true, true, _) | (true, _, true) => Kept::RightButOld,
        _ => Kept::Wrong,
    }
}

/// Whether a hash was made with the work that is done now.
fn is_current(hash: &PasswordHash<'_>) -> bool {
    let Ok(params) = Params::try_from(hash) else {
        return false;
    };
    hash.algorithm == Algorithm::Argon2id.ident()
        && hash.version == Some(Version::V0x13.into())
        && hash.hash.is_some_and(|output| output.len() == WORK.bytes)
        && (params.m_cost(), params.t_cost(), params.p_cost()) == (WORK.memory_kib, WORK.passes, WORK.lanes)
}

#[cfg(test)]
mod tests {
    use argon2::{AssociatedData, ParamsBuilder};

    use super::*;

    /// RFC 9106, section 5.3: the test vector of Argon2id.
    #[test]
    fn the_library_computes_the_vector_of_rfc_9106() {
        let params = ParamsBuilder::new()
            .m_cost(32)
            .t_cost(3)
            .p_cost(4)
            .data(AssociatedData::new(&[4; 12]).unwrap())
            .build()
            .unwrap();
        let argon2 = Argon2::new_with_secret(&[3; 8], Algorithm::Argon2id, Version::V0x13, params).unwrap();
        let mut tag = [0; 32];
        argon2.hash_password_into(&[1; 32], &[2; 16], &mut tag).unwrap();
        let hex: String = tag.iter().map(|byte| format!("{byte:02x}")).collect();
        assert_eq!(hex, "0d640df58d78766c08c037a34a8b53c9d01ef0452d75b65eb52520e96b01e659");
    }

    /// Hashes of the reference implementation (phc-winner-argon2, `src/test.c`), with their passwords.
    const REFERENCE: [(&str, &str); 4] = [
        (
            "password",
            "$argon2id$v=19$m=65536,t=2,p=1$c29tZXNhbHQ$CTFhFdXPJO1aFaMaO6Mm5c8y7cJHAph8ArZWb2GRPPc",
        ),
        ("password", "$argon2id$v=19$m=256,t=2,p=2$c29tZXNhbHQ$bQk8UB/VmZZF4Oo79iDXuL5/0ttZwg2f/5U52iv1cDc"),
        (
            "password",
            "$argon2id$v=19$m=65536,t=4,p=1$c29tZXNhbHQ$kCXUjmjvc5XMqQedpMTsOv+zyJEf5PhtGiUghW9jFyw",
        ),
        (
            "differentpassword",
            "$argon2id$v=19$m=65536,t=2,p=1$c29tZXNhbHQ$C4TWUs9rDEvq7w3+J4umqA32aWKB1+DSiRuBfYxFj94",
        ),
    ];

    #[test]
    fn hashes_of_the_reference_implementation_are_verified_and_to_be_replaced() {
        for (password, kept) in REFERENCE {
            assert_eq!(check_password(password, Some(kept)), Kept::RightButOld, "{kept}");
            assert_eq!(check_password("sassword", Some(kept)), Kept::Wrong, "{kept}");
        }
    }

    #[test]
    fn a_hash_of_our_own_states_its_work_and_is_current() {
        let kept = hash("three words apart").unwrap();
        assert!(kept.starts_with("$argon2id$v=19$m=19456,t=2,p=1$"), "{kept}");
        assert_eq!(check_password("three words apart", Some(&kept)), Kept::Right);
        for wrong in ["", "three words apart ", "Three words apart", "three words apar"] {
            assert_eq!(check_password(wrong, Some(&kept)), Kept::Wrong, "{wrong:?}");
        }
        assert_ne!(hash("three words apart").unwrap(), kept, "each has its own salt");
    }

    #[test]
    fn who_is_unknown_costs_the_same_work_and_is_always_wrong() {
        assert!(is_current(&PasswordHash::new(NOBODY).unwrap()));
        assert_eq!(check_password("password", None), Kept::Wrong);
        assert_eq!(check_password("password", Some("no hash at all")), Kept::Wrong);
    }

    #[test]
    fn the_same_word_from_two_keyboards_is_the_same_password() {
        // é as one character, and as e with an accent; a wide A, and a plain one.
        let kept = hash("caf\u{e9} \u{ff21} three words").unwrap();
        assert_eq!(check_password("cafe\u{301} A three words", Some(&kept)), Kept::Right);
    }

    #[test]
    fn a_password_that_was_hashed_as_typed_still_opens_and_is_to_be_replaced() {
        let typed = "cafe\u{301} with three words";
        let salt = SaltString::generate(&mut OsRng);
        let kept = argon2id().unwrap().hash_password(typed.as_bytes(), &salt).unwrap().to_string();
        assert_eq!(check_password(typed, Some(&kept)), Kept::RightButOld);
    }
}
