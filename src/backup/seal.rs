//! A backup under a passphrase, in the age format (<https://age-encryption.org/v1>): scrypt makes the key
//! of the passphrase, ChaCha20-Poly1305 seals the file, so that a changed file does not open.

use std::fmt;
use std::fs::File;
use std::io::{self, BufReader, Read, Write};
use std::path::Path;
use std::str::FromStr;

use age::secrecy::SecretString;
use age::{DecryptError, Decryptor, Encryptor, scrypt};

use super::{BackupError, system};

/// What the name of a sealed backup ends with.
pub const END: &str = "age";

/// What opens a sealed backup. It is kept by people alone: nobody can open the file without it.
#[derive(Clone)]
pub struct Passphrase(SecretString);

impl fmt::Debug for Passphrase {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("Passphrase(…)")
    }
}

/// The fewest characters of a passphrase: whoever holds the file can try as often as they like.
pub const FEWEST: usize = 15;
/// The most, so that a wrong file is not taken for one.
const MOST: usize = 1_000;

/// Why a text is no passphrase.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum PassphraseError {
    /// It is too short to withstand guessing.
    #[error("A passphrase has at least {FEWEST} characters; five words that nobody would guess are good.")]
    Short,
    /// It is longer than a passphrase is.
    #[error("A passphrase has at most {MOST} characters. Is this the right file?")]
    Long,
    /// It has more than one line.
    #[error("A passphrase is one line.")]
    Lines,
}

impl FromStr for Passphrase {
    type Err = PassphraseError;
    /// The first line is the passphrase; a line end behind it is not part of it.
    fn from_str(text: &str) -> Result<Self, PassphraseError> {
        let line = text.strip_suffix('\n').unwrap_or(text);
        let line = line.strip_suffix('\r').unwrap_or(line);
        if line.contains(['\n', '\r']) {
            return Err(PassphraseError::Lines);
        }
        match line.chars().count() {
            count if count < FEWEST => Err(PassphraseError::Short),
            count if count > MOST => Err(PassphraseError::Long),
            _ => Ok(Self(SecretString::from(line.to_owned()))),
        }
    }
}

/// Whether a file is named as a sealed one.
#[must_use]
pub fn is_sealed(path: &Path) -> bool {
    path.extension().is_some_and(|end| end.eq_ignore_ascii_case(END))
}

/// Writes a file sealed.
///
/// # Errors
/// When the one cannot be read or the other not written.
pub(super) fn seal(plain: &Path, sealed: &mut File, passphrase: &Passphrase) -> io::Result<()> {
    // It makes each guess cost about a second on this machine.
    write_sealed(Encryptor::with_user_passphrase(passphrase.0.clone()), plain, sealed)
}

fn write_sealed(encryptor: Encryptor, plain: &Path, sealed: &mut File) -> io::Result<()> {
    let mut writer = encryptor.wrap_output(&mut *sealed)?;
    io::copy(&mut File::open(plain)?, &mut writer)?;
    writer.finish()?.flush()
}

/// Opens a sealed file and writes what is in it.
///
/// # Errors
/// [`BackupError::Sealed`] when the passphrase is wrong or the file was changed or cut.
pub(super) fn unseal(
    sealed: &Path,
    plain: &mut dyn Write,
    passphrase: &Passphrase,
) -> Result<(), BackupError> {
    let refused = |why: String| BackupError::Sealed { path: sealed.to_owned(), why };
    let file = File::open(sealed).map_err(system(sealed, "read"))?;
    let decryptor = Decryptor::new_buffered(BufReader::new(file)).map_err(|error| refused(why(&error)))?;
    if !decryptor.is_scrypt() {
        return Err(refused("it was sealed for a key, not with a passphrase".to_owned()));
    }
    let identity = scrypt::Identity::new(passphrase.0.clone());
    let mut reader = decryptor
        .decrypt(std::iter::once(&identity as &dyn age::Identity))
        .map_err(|error| refused(why(&error)))?;
    let mut piece = vec![0; 64 * 1024];
    loop {
        // What cannot be read here was changed or cut: each piece is sealed by itself.
        let read = reader
            .read(&mut piece)
            .map_err(|_| refused("it was changed or cut short after it was written".to_owned()))?;
        if read == 0 {
            return Ok(());
        }
        plain.write_all(&piece[..read]).map_err(system(sealed, "opened"))?;
    }
}

fn why(error: &DecryptError) -> String {
    match error {
        DecryptError::DecryptionFailed
        | DecryptError::KeyDecryptionFailed
        | DecryptError::NoMatchingKeys
        | DecryptError::InvalidMac => "the passphrase is not the one it was sealed with".to_owned(),
        DecryptError::InvalidHeader | DecryptError::UnknownFormat => "it is not a sealed backup".to_owned(),
        other => other.to_string(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_passphrase_is_one_long_line() {
        assert!("five words that nobody guesses".parse::<Passphrase>().is_ok());
        assert!("five words that nobody guesses\r\n".parse::<Passphrase>().is_ok());
        for (text, error) in [
            ("", PassphraseError::Short),
            ("fourteen chars", PassphraseError::Short),
            ("fourteen chars\n", PassphraseError::Short),
            ("five words that\nnobody guesses", PassphraseError::Lines),
        ] {
            assert_eq!(text.parse::<Passphrase>().unwrap_err(), error, "{text:?}");
        }
        assert_eq!("x".repeat(1_001).parse::<Passphrase>().unwrap_err(), PassphraseError::Long);
    }

    #[test]
    fn what_was_changed_or_cut_anywhere_does_not_open() {
        let folder = tempfile::tempdir().unwrap();
        let place = |name: &str| folder.path().join(name);
        let passphrase: Passphrase = "five words that nobody guesses".parse().unwrap();
        let plain: Vec<u8> = (0..200_000_u32).map(|number| (number % 251) as u8).collect();
        std::fs::write(place("plain"), &plain).unwrap();
        // The least work: how long a guess takes is not what is looked at here.
        let mut recipient = scrypt::Recipient::new(passphrase.0.clone());
        recipient.set_work_factor(2);
        let encryptor =
            Encryptor::with_recipients(std::iter::once(&recipient as &dyn age::Recipient)).unwrap();
        write_sealed(encryptor, &place("plain"), &mut File::create(place("sealed")).unwrap()).unwrap();
        let bytes = std::fs::read(place("sealed")).unwrap();
        let opened = |bytes: &[u8], passphrase: &Passphrase| {
            std::fs::write(place("tried"), bytes).unwrap();
            let mut out = Vec::new();
            unseal(&place("tried"), &mut out, passphrase).map(|()| out).map_err(|error| error.to_string())
        };
        assert_eq!(opened(&bytes, &passphrase), Ok(plain));
        let other = "five other words that nobody guesses".parse().unwrap();
        assert!(opened(&bytes, &other).unwrap_err().contains("the passphrase is not the one"));
        for place in [120, 300, bytes.len() / 2, bytes.len() - 1] {
            let mut changed = bytes.clone();
            changed[place] ^= 1;
            assert!(opened(&changed, &passphrase).is_err(), "byte {place}");
        }
        for length in [0, 50, 220, bytes.len() / 2, bytes.len() - 1] {
            assert!(opened(&bytes[..length], &passphrase).is_err(), "{length} bytes");
        }
        assert!(
            opened(&bytes[..bytes.len() - 40], &passphrase).unwrap_err().contains("changed or cut short")
        );
    }

    #[test]
    fn a_passphrase_does_not_show_itself() {
        let passphrase: Passphrase = "five words that nobody guesses".parse().unwrap();
        assert_eq!(format!("{passphrase:?}"), "Passphrase(…)");
    }
}
