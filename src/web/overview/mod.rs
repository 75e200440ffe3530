//! The overview: what wants attention, by the person who looks.

mod gather;
mod page;
mod parts;

use axum::extract::State;
use axum::response::Response;

use self::gather::Gathered;
use self::page::OverviewPage;
use super::error::Error;
use super::frame::{Place, Visit, page};
use super::state::App;

pub(super) async fn show_overview(State(app): State<App>, visit: Visit) -> Result<Response, Error> {
    let mut conn = app.database.read().await?;
    let gathered = Gathered::read(&mut conn, &app, &visit.user).await?;
    drop(conn);
    page(&OverviewPage::of(visit.frame(Place::Overview), &gathered, &app.vocabulary(), visit.user.role))
}
