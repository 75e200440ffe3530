//! A still of a case: what is said of it. Its pixels are kept apart, by their digest.

use std::fmt;
use std::str::FromStr;

use serde::Serialize;
use sha2::{Digest as _, Sha256};

use super::code::Key;
use super::measure::Day;
use super::text::{Sentences, Title, Words};

/// The most pictures that one case holds.
pub const PICTURES_AT_MOST: usize = 24;

/// A still.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Picture {
    /// The event that it shows; none when it belongs to no moment.
    pub event: Option<Key>,
    /// What it shows, said as the finding; may be missing.
    pub caption: Option<Title>,
    /// What is to be seen, for a reader who does not see it.
    pub shows: Sentences,
    /// How the tube stood.
    pub view: Option<View>,
    /// The pixels.
    pub still: Still,
    /// Who looked at exactly these pixels and found nothing in them that names anybody.
    pub confirmed_by: Words,
    /// The day on which they did.
    pub confirmed_on: Day,
}

/// Pixels as they are kept: how many, and the digest of their PNG.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Still {
    /// Pixels in a line.
    pub width: u32,
    /// Lines.
    pub height: u32,
    /// The digest.
    pub digest: PictureDigest,
}

/// SHA-256 of a PNG, in hexadecimal digits.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Serialize)]
pub struct PictureDigest(String);

impl PictureDigest {
    /// The digest of a PNG.
    #[must_use]
    pub fn of(png: &[u8]) -> Self {
        Self(Sha256::digest(png).iter().map(|byte| format!("{byte:02x}")).collect())
    }

    /// The digest as text.
    #[must_use]
    pub fn as_str(&self) -> &str {
        &self.0
    }
}

/// Why a text is no digest.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("A digest has 64 hexadecimal digits.")]
pub struct DigestError;

impl FromStr for PictureDigest {
    type Err = DigestError;
    fn from_str(text: &str) -> Result<Self, Self::Err> {
        let good = text.len() == 64 && text.bytes().all(|b| matches!(b, b'0'..=b'9' | b'a'..=b'f'));
        good.then(|| Self(text.to_owned())).ok_or(DigestError)
    }
}

/// How the tube stood, as the trade says it: `RAO 30 caudal 20`, `AP cranial 30`, `LAO 90`.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct View {
    rotation: i16,
    tilt: i16,
}

/// Why a text is no view.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("Type it as RAO 30 caudal 20, AP cranial 30 or LAO 90: at most 180° to a side, 60° to head or feet.")]
pub struct ViewError;

impl View {
    /// A view: degrees towards the patient's left (LAO) positive, degrees towards the head positive.
    ///
    /// # Errors
    /// Beyond 180° to a side, or 60° to head or feet.
    pub fn new(rotation: i64, tilt: i64) -> Result<Self, ViewError> {
        match (i16::try_from(rotation), i16::try_from(tilt)) {
            (Ok(rotation @ -180..=180), Ok(tilt @ -60..=60)) => Ok(Self { rotation, tilt }),
            _ => Err(ViewError),
        }
    }

    /// Degrees towards the patient's left; RAO is negative.
    #[must_use]
    pub const fn rotation(self) -> i16 {
        self.rotation
    }

    /// Degrees towards the head; caudal is negative.
    #[must_use]
    pub const fn tilt(self) -> i16 {
        self.tilt
    }
}

impl fmt::Display for View {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.rotation {
            0 => f.write_str("AP")?,
            left @ 1.. => write!(f, "LAO {left}")?,
            right => write!(f, "RAO {}", right.unsigned_abs())?,
        }
        match self.tilt {
            0 => Ok(()),
            head @ 1.. => write!(f, " cranial {head}"),
            feet => write!(f, " caudal {}", feet.unsigned_abs()),
        }
    }
}

impl FromStr for View {
    type Err = ViewError;
    fn from_str(text: &str) -> Result<Self, Self::Err> {
        let text = text.to_lowercase().replace(['°', ',', '/', '-'], " ");
        // RAO30 is RAO 30.
        let mut words: Vec<String> = Vec::new();
        for part in text.split_whitespace() {
            let mut was_digit = None;
            for letter in part.chars() {
                let is_digit = letter.is_ascii_digit();
                match words.last_mut() {
                    Some(word) if was_digit == Some(is_digit) => word.push(letter),
                    _ => words.push(letter.to_string()),
                }
                was_digit = Some(is_digit);
            }
        }
        let mut words = words.iter().map(String::as_str).peekable();
        let (mut rotation, mut tilt): (Option<i64>, Option<i64>) = (None, None);
        while let Some(word) = words.next() {
            let mut degrees = || words.next().and_then(|number| number.parse::<i64>().ok()).ok_or(ViewError);
            let (place, value) = match word {
                "ap" | "pa" | "frontal" => {
                    if words.peek() == Some(&"0") {
                        words.next();
                    }
                    (&mut rotation, 0)
                }
                "lateral" => (&mut rotation, 90),
                "lao" => (&mut rotation, degrees()?),
                "rao" => (&mut rotation, -degrees()?),
                "cranial" | "cran" | "cra" => (&mut tilt, degrees()?),
                "caudal" | "caud" | "cau" => (&mut tilt, -degrees()?),
                _ => return Err(ViewError),
            };
            if place.replace(value).is_some() {
                return Err(ViewError);
            }
        }
        if rotation.is_none() && tilt.is_none() {
            return Err(ViewError);
        }
        Self::new(rotation.unwrap_or(0), tilt.unwrap_or(0))
    }
}

impl Serialize for View {
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_view_is_read_as_the_trade_writes_it() {
        for (text, said) in [
            ("RAO 30 caudal 20", "RAO 30 caudal 20"),
            ("rao30/cau20", "RAO 30 caudal 20"),
            ("lao40cran20", "LAO 40 cranial 20"),
            ("LAO 45° cranial 25°", "LAO 45 cranial 25"),
            ("AP cranial 30", "AP cranial 30"),
            ("AP 0 cran 30", "AP cranial 30"),
            ("cranial 30", "AP cranial 30"),
            ("lateral", "LAO 90"),
            ("LAO 90", "LAO 90"),
            ("AP", "AP"),
        ] {
            let view: View = text.parse().unwrap();
            assert_eq!(view.to_string(), said, "{text}");
            assert_eq!(said.parse(), Ok(view), "{text} reads back");
        }
    }

    #[test]
    fn what_is_no_view_is_refused() {
        for text in
            ["", "30", "RAO", "RAO 30 LAO 20", "RAO 300", "cranial 70", "Dr Marlow", "RAO 30 at 14:05"]
        {
            assert!(text.parse::<View>().is_err(), "{text}");
        }
    }

    /// SHA-256 of nothing: FIPS 180-4 examples (from memory).
    #[test]
    fn a_digest_reads_back() {
        let digest = PictureDigest::of(b"");
        assert!(digest.as_str().starts_with("e3b0c44298fc1c14"));
        assert_eq!(digest.as_str().parse(), Ok(digest.clone()));
        assert!("e3".parse::<PictureDigest>().is_err());
    }
}
