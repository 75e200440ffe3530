//! The two windows, and the segments that they load.
//!
//! The page of a window holds the screens up to the first stop point and its question. What comes
//! after each stop is a segment of its own: a script keeps it in memory until the presenter goes on,
//! and who has no script follows a link.

use askama::Template;
use axum::extract::{Path, RawQuery, State};
use axum::response::Response;

use super::gather::gather;
use super::screens::{ScreenView, Screens};
use super::{deck_path, present_path};
use crate::review::deck::segments;
use crate::web::case::find;
use crate::web::error::Error;
use crate::web::form::Values;
use crate::web::frame::{Visit, page};
use crate::web::release::let_deck_out;
use crate::web::state::App;

/// The minutes of a case in a meeting of an hour with two cases: five for situation and background,
/// five for the timeline, ten to discuss, five for lessons and actions (common practice).
const MINUTES: u32 = 25;
/// The longest that a case may be given.
const MINUTES_AT_MOST: u32 = 240;

/// What the pages of both windows hold.
struct Shown {
    code: String,
    present: String,
    deck: String,
    screens: Vec<ScreenView>,
    /// How many segments there are, and the last that this page holds, from 0.
    segments: usize,
    to: usize,
    minutes: u32,
    demo: bool,
}

#[derive(Template)]
#[template(path = "present/audience.html")]
struct AudiencePage {
    shown: Shown,
}

#[derive(Template)]
#[template(path = "present/presenter.html")]
struct PresenterPage {
    shown: Shown,
}

async fn shown(app: &App, visit: &Visit, code: &str, query: Option<&str>) -> Result<Shown, Error> {
    let mut conn = app.database.read().await?;
    let case = find(&mut conn, visit, code).await?;
    let deck = gather(app, &mut conn, &case).await?;
    let_deck_out(&mut conn, &case, &deck.given).await?;
    let asked = Values::from_encoded(query.unwrap_or_default());
    let segments = segments(&deck.seats);
    let to = asked.get("to").parse::<usize>().unwrap_or(0).min(segments.len().saturating_sub(1));
    let minutes = asked.get("minutes").parse().ok().filter(|minutes| (1..=MINUTES_AT_MOST).contains(minutes));
    Ok(Shown {
        code: case.code.to_string(),
        present: present_path(case.code),
        deck: deck_path(case.code),
        screens: segments[..=to].iter().flatten().map(|seat| ScreenView::of(seat)).collect(),
        segments: segments.len(),
        to,
        minutes: minutes.unwrap_or(MINUTES),
        demo: app.settings.demo,
    })
}

pub(super) async fn show_audience(
    State(app): State<App>,
    visit: Visit,
    Path(code): Path<String>,
    RawQuery(query): RawQuery,
) -> Result<Response, Error> {
    page(&AudiencePage { shown: shown(&app, &visit, &code, query.as_deref()).await? })
}

pub(super) async fn show_presenter(
    State(app): State<App>,
    visit: Visit,
    Path(code): Path<String>,
    RawQuery(query): RawQuery,
) -> Result<Response, Error> {
    page(&PresenterPage { shown: shown(&app, &visit, &code, query.as_deref()).await? })
}

/// The screens behind one stop point, up to the next; 0 are those that the page itself holds.
pub(super) async fn show_segment(
    State(app): State<App>,
    visit: Visit,
    Path((code, number)): Path<(String, String)>,
) -> Result<Response, Error> {
    let number: usize = number.parse().map_err(|_| Error::NotFound)?;
    let mut conn = app.database.read().await?;
    let case = find(&mut conn, &visit, &code).await?;
    let deck = gather(&app, &mut conn, &case).await?;
    let_deck_out(&mut conn, &case, &deck.given).await?;
    let segments = segments(&deck.seats);
    let segment = segments.get(number).ok_or(Error::NotFound)?;
    page(&Screens { screens: segment.iter().map(|seat| ScreenView::of(seat)).collect() })
}
