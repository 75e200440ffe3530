//! Drafts: what a person typed into a form and has not saved yet. A draft belongs to one account and no other
//! sees it; it goes when its form is saved.

pub mod store;

use jiff::{Timestamp, ToSpan};

/// How many days a draft is kept.
pub const KEPT_DAYS: i64 = 30;

/// How many drafts an account has at most; the oldest go first.
pub const AT_MOST: i64 = 40;

/// The most bytes of a draft.
pub const MOST_BYTES: usize = 256 * 1024;

/// Why something cannot be kept as a draft.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum DraftError {
    /// An address that is none of ours.
    #[error("A draft belongs to a form of Relook.")]
    Address,
    /// What was typed is never kept: a log with its clock times.
    #[error("A log with clock times is never kept, not even as a draft.")]
    NeverKept,
    /// Too long.
    #[error("This is too long to be kept as a draft.")]
    TooLong,
}

/// What is kept of a form.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Draft {
    /// Where the form is sent.
    pub action: String,
    /// The page that holds the form.
    pub page: String,
    /// What the page calls itself.
    pub title: String,
    /// Names and values as a form sends them.
    pub fields: String,
}

/// A draft with the moment it was written.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct KeptDraft {
    /// The draft.
    pub draft: Draft,
    /// When it was written last.
    pub at: Timestamp,
}

fn is_own_address(text: &str) -> bool {
    let bare = text.starts_with('/') && !text.starts_with("//") && text.len() <= 400;
    bare && !text.chars().any(|c| c.is_control() || c == '\\')
}

/// Forms that read a pasted log, by the end of their addresses.
const NEVER_KEPT: [&str; 2] = ["/timeline/log", "/timeline/log/events"];

/// Fields that hold clock times, in whatever form.
const CLOCK_FIELDS: [&str; 3] = ["log", "log_zero", "clock_zero"];

/// Whether a form holds what is used once and kept nowhere.
fn is_never_kept(action: &str, fields: &str) -> bool {
    let path = action.split(['?', '#']).next().unwrap_or_default().trim_end_matches('/');
    let filled = |field: &str| {
        let (name, value) = field.split_once('=').unwrap_or((field, ""));
        CLOCK_FIELDS.contains(&name) && !value.is_empty()
    };
    NEVER_KEPT.iter().any(|end| path.ends_with(end)) || fields.split('&').any(filled)
}

impl Draft {
    /// A draft of a form of ours.
    ///
    /// # Errors
    /// When an address leads elsewhere, the form reads a log with clock times, or the whole is longer than [`MOST_BYTES`].
    pub fn new(action: &str, page: &str, title: &str, fields: &str) -> Result<Self, DraftError> {
        if !is_own_address(action) || !is_own_address(page) {
            return Err(DraftError::Address);
        }
        if is_never_kept(action, fields) || is_never_kept(page, "") {
            return Err(DraftError::NeverKept);
        }
        if fields.len() > MOST_BYTES {
            return Err(DraftError::TooLong);
        }
        let title = title.split_whitespace().collect::<Vec<_>>().join(" ").chars().take(160).collect();
        Ok(Self { action: action.to_owned(), page: page.to_owned(), title, fields: fields.to_owned() })
    }
}

/// The moment before which drafts are old.
fn old_before(now: Timestamp) -> Timestamp {
    now.checked_sub((KEPT_DAYS * 24).hours()).unwrap_or(Timestamp::MIN)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_forms_of_ours_have_drafts() {
        let of = |action: &str, page: &str| Draft::new(action, page, " A  title\n", "text=x");
        assert_eq!(
            of("/cases/2026-001/narrative", "/cases/2026-001/narrative/edit").unwrap().title,
            "A title"
        );
        for wrong in
            ["https://elsewhere.example/", "//elsewhere.example/", "cases", "", "/a\nb", "/\\elsewhere"]
        {
            assert_eq!(of(wrong, "/x"), Err(DraftError::Address), "{wrong:?}");
            assert_eq!(of("/x", wrong), Err(DraftError::Address), "{wrong:?}");
        }
    }

    #[test]
    fn a_log_with_clock_times_is_no_draft() {
        let page = "/cases/2026-001/timeline/log";
        for action in [page, "/cases/2026-001/timeline/log/", "/cases/2026-001/timeline/log/events"] {
            assert_eq!(Draft::new(action, "/x", "", "text=x"), Err(DraftError::NeverKept), "{action}");
        }
        assert_eq!(Draft::new("/x", page, "", "text=x"), Err(DraftError::NeverKept));
        for fields in ["log=14%3A05+wire", "a=b&log_zero=14:05", "text=x&clock_zero=14:05"] {
            assert_eq!(Draft::new("/x", "/x", "", fields), Err(DraftError::NeverKept), "{fields}");
        }
        assert!(Draft::new("/x", "/x", "", "clock_zero=&text=x").is_ok());
    }

    #[test]
    fn a_draft_has_an_end() {
        let fields = "x".repeat(MOST_BYTES + 1);
        assert_eq!(Draft::new("/x", "/x", "", &fields), Err(DraftError::TooLong));
        assert!(Draft::new("/x", "/x", "", &fields[1..]).is_ok());
    }
}
