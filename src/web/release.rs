//! The gate before anything is presented, printed or handed out: what may identify somebody stays until it
//! is settled.

use sqlx::SqliteConnection;

use super::error::Error;
use crate::case::StoredCase;
use crate::document::Document;
use crate::review::deck::{Arranged, Notes};
use crate::review::outgoing::{self, store};

/// Lets a case out, unless something in its words waits to be settled.
pub(super) fn let_case_out(case: &StoredCase) -> Result<(), Error> {
    let why = match case.identifiers.len() {
        0 => return Ok(()),
        1 => "One place in the words of this case may identify somebody. Settle it, and then come back."
            .to_owned(),
        many => format!(
            "{many} places in the words of this case may identify somebody. Settle them, and then come back."
        ),
    };
    let settle =
        (format!("/cases/{}/identifiers", case.code), "Settle what may identify somebody".to_owned());
    Err(Error::HeldBack { why, settle })
}

/// Lets a document out, after a last look at all of it.
pub(super) async fn let_document_out(conn: &mut SqliteConnection, document: &Document) -> Result<(), Error> {
    let found = store::look(conn, document).await?;
    if found.is_empty() {
        return Ok(());
    }
    let settle = ("/settings/own-words#nobody".to_owned(), "Words that identify nobody".to_owned());
    Err(Error::HeldBack { why: outgoing::sentence(&found), settle })
}

/// Lets the screens of a case out: its own words, and what a presenter wrote beside them.
pub(super) async fn let_deck_out(
    conn: &mut SqliteConnection,
    case: &StoredCase,
    given: &[Arranged],
) -> Result<(), Error> {
    let_case_out(case)?;
    let notes: Vec<&str> = given
        .iter()
        .filter_map(|screen| match &screen.notes {
            Notes::Own(text) => Some(text.as_str()),
            Notes::Suggested | Notes::None => None,
        })
        .collect();
    let found = store::look_beside(conn, &notes, case.id).await?;
    if found.is_empty() {
        return Ok(());
    }
    let settle = (format!("/cases/{}/deck", case.code), "Change the notes of its screens".to_owned());
    Err(Error::HeldBack { why: outgoing::sentence(&found), settle })
}

/// What a page says over something that it shows and does not let be printed.
pub(super) struct HeldPart {
    pub(super) why: String,
    pub(super) href: String,
    pub(super) label: String,
}

impl HeldPart {
    /// The part for a page that is held back; any other error stays one.
    pub(super) fn of(error: Error) -> Result<Self, Error> {
        match error {
            Error::HeldBack { why, settle: (href, label) } => Ok(Self { why, href, label }),
            other => Err(other),
        }
    }
}
