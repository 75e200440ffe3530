//! Operators, by pseudonym, for the quality lead alone. Off until turned on; while off, every page
//! leads to the one that explains what it would be.

mod cases;
mod cells;
mod chart;
mod funnel;
mod grid;
mod list;
mod query;

use axum::response::Response;
use sqlx::SqliteConnection;

use super::access::Allow;
use super::error::Error;
use super::frame::lead_to;
use super::router::Routes;
use crate::rates::operators::OperatorSettings;
use crate::rates::store::operators as store;

/// The funnel, or the explanation.
pub(super) const PATH: &str = "/rates/operators";
/// The pseudonyms.
pub(super) const LIST: &str = "/settings/operators";
/// Procedures by month and operator.
const GRID: &str = "/settings/operators/procedures";
/// The operators of cases.
const CASES: &str = "/settings/operators/cases";
/// Where operators are turned on and off.
const SETTINGS: &str = "/settings/rates";

pub(super) fn add_routes(routes: Routes) -> Routes {
    routes
        .get(PATH, Allow::Keepers, funnel::show_operators)
        .get(LIST, Allow::Keepers, list::show_list)
        .post(LIST, Allow::Keepers, list::add_operator)
        .get("/settings/operators/{id}", Allow::Keepers, list::show_operator)
        .post("/settings/operators/{id}", Allow::Keepers, list::rename_operator)
        .post("/settings/operators/{id}/end", Allow::Keepers, list::end_operator)
        .post("/settings/operators/{id}/take-up", Allow::Keepers, list::take_up_operator)
        .get(GRID, Allow::Keepers, grid::show_grid)
        .post(GRID, Allow::Keepers, grid::save_grid)
        .get(CASES, Allow::Keepers, cases::show_cases)
        .post(CASES, Allow::Keepers, cases::save_cases)
}

/// What is set for operators when they are on; `None` when they are off.
async fn when_on(conn: &mut SqliteConnection) -> Result<Option<OperatorSettings>, Error> {
    Ok(Some(store::settings(conn).await?).filter(|settings| settings.is_on()))
}

/// From a page that is off to the one that explains it.
fn off() -> Response {
    lead_to(PATH, "Operators are turned off.", None)
}

/// From a form that is off to the page that explains it.
fn off_unsaved() -> Response {
    lead_to(PATH, "Operators are turned off, so nothing was saved.", None)
}

/// The id in an address.
fn read_id(text: &str) -> Result<i64, Error> {
    text.parse().map_err(|_| Error::NotFound)
}
