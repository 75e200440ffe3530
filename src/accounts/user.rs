//! Accounts and their roles.

use std::fmt;
use std::str::FromStr;

use crate::quantity::words;

words!(
    /// What an account may do.
    ///
    /// A fellow records and prepares; an attending also signs lessons and closes cases; the quality
    /// lead also keeps denominators, vocabularies and accounts; a reader sees presented cases.
    Role, "a role", {
        Fellow = "fellow", "Fellow";
        Attending = "attending", "Attending";
        QualityLead = "quality-lead", "Quality lead";
        Reader = "reader", "Reader";
    }
);

impl Role {
    /// Whether the role may sign a lesson and close a case.
    #[must_use]
    pub const fn signs(self) -> bool {
        matches!(self, Self::Attending | Self::QualityLead)
    }

    /// Whether the role records and edits cases.
    #[must_use]
    pub const fn writes(self) -> bool {
        !matches!(self, Self::Reader)
    }

    /// Whether the role keeps denominators, vocabularies, conferences and accounts.
    #[must_use]
    pub const fn keeps(self) -> bool {
        matches!(self, Self::QualityLead)
    }
}

/// Why a text cannot be the name of an account.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("A name is 2 to 60 characters on one line. It stands under lessons that its holder signs.")]
pub struct NameError;

/// The name of an account, as it stands under what its holder signs.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct UserName(String);

impl UserName {
    /// The name.
    #[must_use]
    pub fn as_str(&self) -> &str {
        &self.0
    }
}

impl FromStr for UserName {
    type Err = NameError;
    fn from_str(text: &str) -> Result<Self, Self::Err> {
        let text = text.trim();
        let good = (2..=60).contains(&text.chars().count()) && !text.chars().any(char::is_control);
        good.then(|| Self(text.to_owned())).ok_or(NameError)
    }
}

impl fmt::Display for UserName {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

/// An account.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct User {
    /// Its id.
    pub id: i64,
    /// Its name.
    pub name: UserName,
    /// What it may do.
    pub role: Role,
    /// Whether it can still sign in.
    pub active: bool,
    /// Whether anybody has ever signed in with it.
    pub has_signed_in: bool,
    /// Whether it has a password, rather than only links.
    pub has_password: bool,
    /// Whether a code is asked for too.
    pub second_factor: bool,
}
