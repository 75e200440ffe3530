//! What the name of a backup in the data folder says: when it was taken, and what for.

use std::fmt;
use std::str::FromStr;

use jiff::Timestamp;

/// Why a backup in the data folder was taken.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Kind {
    /// The server took it, as it does once a day.
    Daily,
    /// Somebody pressed the button.
    Asked,
    /// Before this step of the schema was applied.
    BeforeStep(i64),
}

impl Kind {
    /// Why, in words.
    #[must_use]
    pub fn in_words(self) -> String {
        match self {
            Self::Daily => "of the day".to_owned(),
            Self::Asked => "asked for".to_owned(),
            Self::BeforeStep(step) => format!("before step {step} of the schema"),
        }
    }
}

/// The name of a backup: `relook-2026-11-29T024500Z-daily.sqlite`.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct BackupName {
    /// When it was taken, to the second.
    pub at: Timestamp,
    /// Why.
    pub kind: Kind,
}

/// How the time stands in a name: UTC, without colons, which some file systems refuse.
const FORM: &str = "%Y-%m-%dT%H%M%SZ";

impl BackupName {
    /// The name of a backup that is taken now.
    #[must_use]
    pub fn new(at: Timestamp, kind: Kind) -> Self {
        let whole = Timestamp::from_second(at.as_second()).unwrap_or(at);
        Self { at: whole, kind }
    }
}

/// The time as it stands in the names of files.
#[must_use]
pub fn stamp(at: Timestamp) -> String {
    at.strftime(FORM).to_string()
}

impl fmt::Display for BackupName {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let at = stamp(self.at);
        match self.kind {
            Kind::Daily => write!(f, "relook-{at}-daily.sqlite"),
            Kind::Asked => write!(f, "relook-{at}-asked.sqlite"),
            Kind::BeforeStep(step) => write!(f, "relook-{at}-before-step-{step}.sqlite"),
        }
    }
}

/// The name of some other file.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[error("this is not the name of a backup in the data folder")]
pub struct OtherName;

impl FromStr for BackupName {
    type Err = OtherName;
    fn from_str(text: &str) -> Result<Self, OtherName> {
        let middle =
            text.strip_prefix("relook-").and_then(|rest| rest.strip_suffix(".sqlite")).ok_or(OtherName)?;
        let (at, kind) = middle.split_once("Z-").ok_or(OtherName)?;
        let at = jiff::civil::DateTime::strptime("%Y-%m-%dT%H%M%S", at).map_err(|_| OtherName)?;
        let at = at.to_zoned(jiff::tz::TimeZone::UTC).map_err(|_| OtherName)?.timestamp();
        let kind = match kind {
            "daily" => Kind::Daily,
            "asked" => Kind::Asked,
            other => {
                let step = other.strip_prefix("before-step-").ok_or(OtherName)?;
                Kind::BeforeStep(step.parse().map_err(|_| OtherName)?)
            }
        };
        Ok(Self { at, kind })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_name_reads_back() {
        let at: Timestamp = "2026-11-29T02:45:00.25Z".parse().unwrap();
        for (kind, text) in [
            (Kind::Daily, "relook-2026-11-29T024500Z-daily.sqlite"),
            (Kind::Asked, "relook-2026-11-29T024500Z-asked.sqlite"),
            (Kind::BeforeStep(13), "relook-2026-11-29T024500Z-before-step-13.sqlite"),
        ] {
            let name = BackupName::new(at, kind);
            assert_eq!(name.to_string(), text);
            assert_eq!(text.parse(), Ok(name));
        }
    }

    #[test]
    fn other_files_of_the_folder_are_no_backups() {
        for other in [
            "",
            "relook.sqlite",
            "relook-2026-11-29T024500Z-daily.sqlite.part",
            "relook-2026-11-29T024500Z-daily.proof.json",
            "relook-2026-13-29T024500Z-daily.sqlite",
            "relook-2026-11-29T024500Z-before-step-x.sqlite",
            "relook-2026-11-29T024500Z-.sqlite",
            "relook-2026-11-29-daily.sqlite",
        ] {
            assert_eq!(other.parse::<BackupName>(), Err(OtherName), "{other}");
        }
    }
}
