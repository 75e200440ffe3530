//! The demo's pictures: drawn by the program, of nobody.

use anyhow::Context;
use sqlx::SqliteConnection;

use crate::case::store::{self, RowValue};
use crate::case::{CaseCode, Day, Picture, PictureDigest, Still, View};
use crate::picture::{angiogram, encode};

/// A picture of the demo: the event it belongs to, whether the long vessel is closed, its title, and what is to be seen.
const DRAWN: [(&str, bool, &str, &str); 2] = [
    (
        "lad-open",
        false,
        "The whole tree fills (drawn, not photographed)",
        "A drawing that looks like an angiogram: the catheter at the top, and every branch filled to its end.",
    ),
    (
        "closed",
        true,
        "The long vessel ends early (drawn, not photographed)",
        "The same drawing in the same view: the long vessel ends early, with no contrast beyond.",
    ),
];

/// The invented case in which a vessel closes.
const CASE: (i64, i64) = (2025, 7);

/// Draws the pictures of the case in which a vessel closes.
pub(super) async fn draw(
    conn: &mut SqliteConnection,
    today: Day,
    now: jiff::Timestamp,
) -> anyhow::Result<()> {
    let code = CaseCode::new(CASE.0, CASE.1)?;
    let case = store::find_id(conn, code).await?.with_context(|| format!("The demo has no case {code}"))?;
    for (event, lost, caption, shows) in DRAWN {
        let pixels = angiogram(lost);
        let png = encode(&pixels)?;
        store::keep_png(conn, &png).await?;
        let picture = Picture {
            event: Some(event.parse()?),
            caption: Some(caption.parse()?),
            shows: shows.parse()?,
            view: Some(View::new(-20, -25)?),
            still: Still { width: pixels.width(), height: pixels.height(), digest: PictureDigest::of(&png) },
            confirmed_by: "Fellow".parse()?,
            confirmed_on: today,
        };
        store::insert_row(conn, case, &RowValue::Picture(picture), now).await?;
    }
    Ok(())
}
