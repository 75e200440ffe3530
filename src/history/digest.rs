//! The digests of the chain: SHA-256 over texts with their lengths, so that no two contents read alike.

use std::fmt;
use std::str::FromStr;

use sha2::{Digest as _, Sha256};

use super::author::Author;
use super::change::Change;

/// A SHA-256 digest as 64 hexadecimal digits.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Digest(String);

/// What stands before the first revision.
pub const BEGINNING: &str = "0000000000000000000000000000000000000000000000000000000000000000";

impl Digest {
    /// What stands before the first revision.
    #[must_use]
    pub fn beginning() -> Self {
        Self(BEGINNING.to_owned())
    }

    /// The digits.
    #[must_use]
    pub fn as_str(&self) -> &str {
        &self.0
    }
}

impl fmt::Display for Digest {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

/// Why a text is no digest.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("A digest is 64 hexadecimal digits.")]
pub struct DigestError;

impl FromStr for Digest {
    type Err = DigestError;
    fn from_str(text: &str) -> Result<Self, Self::Err> {
        let good = text.len() == 64 && text.bytes().all(|b| matches!(b, b'0'..=b'9' | b'a'..=b'f'));
        good.then(|| Self(text.to_owned())).ok_or(DigestError)
    }
}

/// Texts one after the other, each behind its length in bytes; an absent one is told from an empty one.
#[derive(Default)]
struct Sealing(Sha256);

impl Sealing {
    fn text(mut self, text: &str) -> Self {
        self.0.update((text.len() as u64).to_be_bytes());
        self.0.update(text.as_bytes());
        self
    }

    fn optional(mut self, text: Option<&str>) -> Self {
        self.0.update([u8::from(text.is_some())]);
        match text {
            Some(text) => self.text(text),
            None => self,
        }
    }

    fn number(mut self, number: i64) -> Self {
        self.0.update(number.to_be_bytes());
        self
    }

    fn finish(self) -> Digest {
        Digest(self.0.finalize().iter().map(|byte| format!("{byte:02x}")).collect())
    }
}

/// The digest of what a change holds; the one that was kept when its content was purged.
#[must_use]
pub(super) fn of_content(change: &Change) -> Digest {
    match &change.erased {
        Some(kept) => kept.clone(),
        None => Sealing::default()
            .text("content")
            .optional(change.salt.as_deref())
            .optional(change.fields.as_deref())
            .finish(),
    }
}

/// The digest of a revision: over the one before, over who, when and why, and over each change.
#[must_use]
pub(super) fn of_revision(
    previous: &Digest,
    id: i64,
    (at, author, note): (&str, &Author, Option<&str>),
    changes: &[Change],
) -> Digest {
    let head = Sealing::default()
        .text("revision")
        .text(previous.as_str())
        .number(id)
        .text(at)
        .optional(author.account.map(|id| id.to_string()).as_deref())
        .text(&author.name)
        .text(author.door.slug())
        .optional(note)
        .number(i64::try_from(changes.len()).unwrap_or(i64::MAX));
    changes
        .iter()
        .fold(head, |sealing, change| {
            sealing
                .number(change.id)
                .optional(change.case_id.map(|id| id.to_string()).as_deref())
                .text(&change.table)
                .text(&change.row_key)
                .text(change.kind.slug())
                .text(of_content(change).as_str())
        })
        .finish()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::history::change::Kind;

    fn change() -> Change {
        Change {
            id: 7,
            revision: 3,
            case_id: Some(1),
            table: "events".to_owned(),
            row_key: "[4]".to_owned(),
            kind: Kind::Changed,
            fields: Some(r#"{"text":["a","b"]}"#.to_owned()),
            salt: Some("00ff".to_owned()),
            erased: None,
        }
    }

    fn seal(changes: &[Change]) -> Digest {
        let author = Author::account(2, "Dr A");
        of_revision(&Digest::beginning(), 3, ("2026-01-01T00:00:00Z", &author, None), changes)
    }

    /// SHA-256 of nothing, from FIPS 180-4's example values (NIST, "SHA-256 examples").
    #[test]
    fn the_digest_is_sha_256() {
        assert_eq!(
            Sealing::default().finish().as_str(),
            "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855"
        );
    }

    #[test]
    fn every_part_of_a_change_is_covered() {
        let whole = seal(&[change()]);
        let others = [
            Change { id: 8, ..change() },
            Change { case_id: None, ..change() },
            Change { table: "labs".to_owned(), ..change() },
            Change { row_key: "[5]".to_owned(), ..change() },
            Change { kind: Kind::Added, ..change() },
            Change { fields: Some(r#"{"text":["a","c"]}"#.to_owned()), ..change() },
            Change { salt: Some("00fe".to_owned()), ..change() },
        ];
        for other in others {
            assert_ne!(seal(std::slice::from_ref(&other)), whole, "{other:?}");
        }
        assert_ne!(seal(&[]), whole);
        assert_ne!(seal(&[change(), change()]), whole);
    }

    #[test]
    fn every_part_of_the_head_is_covered() {
        let author = Author::account(2, "Dr A");
        let whole = of_revision(&Digest::beginning(), 3, ("t", &author, Some("why")), &[]);
        let other = Digest("1".repeat(64));
        for digest in [
            of_revision(&other, 3, ("t", &author, Some("why")), &[]),
            of_revision(&Digest::beginning(), 4, ("t", &author, Some("why")), &[]),
            of_revision(&Digest::beginning(), 3, ("u", &author, Some("why")), &[]),
            of_revision(&Digest::beginning(), 3, ("t", &Author::account(3, "Dr A"), Some("why")), &[]),
            of_revision(&Digest::beginning(), 3, ("t", &Author::account(2, "Dr B"), Some("why")), &[]),
            of_revision(&Digest::beginning(), 3, ("t", &Author::command_line(), Some("why")), &[]),
            of_revision(&Digest::beginning(), 3, ("t", &author, Some("")), &[]),
            of_revision(&Digest::beginning(), 3, ("t", &author, None), &[]),
        ] {
            assert_ne!(digest, whole);
        }
    }

    #[test]
    fn purging_what_a_change_holds_leaves_the_chain_as_it_was() {
        let kept = of_content(&change());
        let purged = Change { fields: None, salt: None, erased: Some(kept), ..change() };
        assert_eq!(seal(&[purged]), seal(&[change()]));
    }

    #[test]
    fn lengths_keep_neighbours_apart() {
        let joined = |a: &str, b: &str| Sealing::default().text(a).text(b).finish();
        assert_ne!(joined("ab", "c"), joined("a", "bc"));
        let maybe = |a: Option<&str>| Sealing::default().optional(a).finish();
        assert_ne!(maybe(None), maybe(Some("")));
    }
}
