//! Slugs: the lasting names of leaves.

use std::fmt;
use std::str::FromStr;

use serde::{Deserialize, Serialize};

use crate::quantity::serde_as_text;

/// Why a text is not a slug.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("A slug is 2 to 48 characters: small letters, digits and single hyphens, starting with a letter.")]
pub struct SlugError;

fn check(text: &str) -> Result<String, SlugError> {
    let text = text.trim();
    let good = (2..=48).contains(&text.len())
        && text.starts_with(|c: char| c.is_ascii_lowercase())
        && !text.ends_with('-')
        && !text.contains("--")
        && text.bytes().all(|b| b.is_ascii_lowercase() || b.is_ascii_digit() || b == b'-');
    good.then(|| text.to_owned()).ok_or(SlugError)
}

macro_rules! slug {
    ($name:ident, $doc:literal) => {
        #[doc = $doc]
        #[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub struct $name(String);

        impl $name {
            /// The slug as text.
            #[must_use]
            pub fn as_str(&self) -> &str {
                &self.0
            }
        }

        impl FromStr for $name {
            type Err = SlugError;
            fn from_str(text: &str) -> Result<Self, Self::Err> {
                check(text).map(Self)
            }
        }

        impl fmt::Display for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str(&self.0)
            }
        }

        serde_as_text!($name, ToString::to_string, $doc, "^[a-z][a-z0-9-]{1,47}$");
    };
}

slug!(MechanismSlug, "The lasting name of a mechanism, a leaf of the mechanism tree.");
slug!(CauseSlug, "The lasting name of a cause, a leaf of the root-cause taxonomy.");
slug!(StratumSlug, "The lasting name of a stratum of procedures at risk.");
