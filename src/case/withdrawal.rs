//! Cases that were taken out of everything, and how long they can be put back.

use jiff::{Timestamp, ToSpan};

use super::code::CaseCode;
use super::measure::Day;
use super::words::Stage;

/// A withdrawn case.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Withdrawn {
    /// Its id.
    pub id: i64,
    /// Its code.
    pub code: CaseCode,
    /// Its title.
    pub title: String,
    /// The stage it was in.
    pub stage: Stage,
    /// When it was withdrawn.
    pub at: Timestamp,
    /// By whom: the name at the time.
    pub by: String,
    /// Why.
    pub because: String,
}

/// A case that was purged: what is left of it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Purged {
    /// Its code, which no other case gets.
    pub code: CaseCode,
    /// Who had withdrawn it.
    pub withdrawn_by: String,
    /// The day of the purge.
    pub on: Day,
}

/// For how many days a withdrawn case is kept before it may be purged.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct KeptFor(u16);

/// Why a number of days is not accepted.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("Withdrawn cases are kept for 30 to 3650 days.")]
pub struct KeptForError;

impl KeptFor {
    /// Where nobody said otherwise: a year.
    pub const USUAL: Self = Self(365);

    /// The days.
    #[must_use]
    pub const fn days(self) -> u16 {
        self.0
    }

    /// The moment from which a case may be purged. Nothing is purged by itself: a wrong clock then costs
    /// nothing, and a case that the law wants kept stays.
    #[must_use]
    pub fn until(self, withdrawn_at: Timestamp) -> Timestamp {
        withdrawn_at.checked_add((i64::from(self.0) * 24).hours()).unwrap_or(Timestamp::MAX)
    }
}

impl std::str::FromStr for KeptFor {
    type Err = KeptForError;
    fn from_str(text: &str) -> Result<Self, Self::Err> {
        let days: u16 = text.trim().parse().map_err(|_| KeptForError)?;
        if (30..=3650).contains(&days) { Ok(Self(days)) } else { Err(KeptForError) }
    }
}

impl std::fmt::Display for KeptFor {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{}", self.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_case_may_be_purged_when_its_days_are_over() {
        let at: Timestamp = "2026-01-01T10:00:00Z".parse().unwrap();
        assert_eq!(KeptFor::USUAL.until(at).to_string(), "2027-01-01T10:00:00Z");
        assert_eq!("30".parse::<KeptFor>().unwrap().until(at).to_string(), "2026-01-31T10:00:00Z");
        assert_eq!(KeptFor::USUAL.until(Timestamp::MAX), Timestamp::MAX);
    }

    #[test]
    fn days_outside_the_range_are_refused() {
        for text in ["29", "3651", "", "a year", "-30"] {
            assert_eq!(text.parse::<KeptFor>(), Err(KeptForError), "{text}");
        }
        assert_eq!(" 3650 ".parse::<KeptFor>().unwrap().days(), 3650);
    }
}
