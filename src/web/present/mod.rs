//! Presenting a case: the page that arranges its screens, the window that the audience sees, the
//! window of the presenter, and the screens between two stop points, sent apart.

mod arrange;
mod gather;
mod screens;
mod windows;

use super::access::Allow::Writers;
use super::error::Error;
use super::release::let_deck_out;
use super::router::Routes;
use super::state::App;
use crate::case::{CaseCode, StoredCase};
use crate::document::Deck;
use crate::review::deck::{screens_as_slides, slides};

pub(super) fn add_routes(routes: Routes) -> Routes {
    routes
        .get("/cases/{code}/deck", Writers, arrange::show_deck)
        .post("/cases/{code}/deck", Writers, arrange::save_deck)
        .get("/cases/{code}/present", Writers, windows::show_audience)
        .get("/cases/{code}/presenter", Writers, windows::show_presenter)
        .get("/cases/{code}/present/segments/{number}", Writers, windows::show_segment)
}

/// Where a case is presented.
pub(super) fn present_path(code: CaseCode) -> String {
    format!("/cases/{code}/present")
}

/// Where its screens are arranged.
fn deck_path(code: CaseCode) -> String {
    format!("/cases/{code}/deck")
}

/// What a slide of a deck for a file holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Slides {
    /// An idea, over as many screens as it takes.
    Ideas,
    /// A screen.
    Screens,
}

/// The screens of a case that are shown, as a deck for a file.
pub(super) async fn deck_of(
    app: &App,
    conn: &mut sqlx::SqliteConnection,
    case: &StoredCase,
    of: Slides,
) -> Result<Deck, Error> {
    let deck = gather::gather(app, conn, case).await?;
    let_deck_out(conn, case, &deck.given).await?;
    Ok(match of {
        Slides::Ideas => slides(&deck.seats, &deck.confidential),
        Slides::Screens => screens_as_slides(&deck.seats, &deck.confidential),
    })
}
