//! The demo's lessons booklet: the chosen lessons of its fullest year.

use anyhow::Context;
use sqlx::SqliteConnection;

use crate::case::{CaseCode, store as cases};
use crate::review::booklet::store;

/// Lessons that are left out, as they are for who leads the room and not for who is new to it: the case, and the
/// lesson's place from 1.
const LEFT_OUT: [(&str, usize); 1] = [("2025-007", 4)];

/// Chooses the lessons of the booklet: all that are signed, less those left out.
pub(super) async fn choose(conn: &mut SqliteConnection) -> anyhow::Result<()> {
    for (code, place) in LEFT_OUT {
        let code: CaseCode = code.parse()?;
        let case = cases::find(conn, code).await?.with_context(|| format!("The demo has no case {code}"))?;
        let lesson = case.lessons.get(place - 1).with_context(|| format!("{code} has no lesson {place}"))?;
        store::choose(conn, &[lesson.id], false).await?;
    }
    Ok(())
}
