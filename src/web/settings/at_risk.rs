//! Procedures at risk: a year as a grid of months and kinds of procedure, and its import as CSV.

mod grid;
mod import;
mod page;
mod stale;

use axum::extract::{Query, State};
use axum::http::StatusCode;
use axum::response::Response;
use serde::Deserialize;

pub(in crate::web) use self::grid::Year;
use self::grid::{change, counts, fingerprint, read_cells};
use self::page::{GridPage, Shown};
use crate::rates::store;
use crate::web::access::Allow;
use crate::web::error::Error;
use crate::web::form::Values;
use crate::web::frame::{Visit, lead_to, page, page_with};
use crate::web::router::Routes;
use crate::web::state::App;

/// Where the grid stands.
const PATH: &str = "/settings/procedures-at-risk";

pub(super) fn add_routes(routes: Routes) -> Routes {
    routes
        .get(PATH, Allow::SignedIn, show_grid)
        .post(PATH, Allow::Keepers, save_grid)
        .get(import::PATH, Allow::Keepers, import::show_import)
        .post(import::PATH, Allow::Keepers, import::read_import)
}

/// The year that an address asks for.
#[derive(Deserialize)]
struct Asked {
    year: Option<String>,
}

async fn show_grid(
    State(app): State<App>,
    visit: Visit,
    Query(asked): Query<Asked>,
) -> Result<Response, Error> {
    let year = match asked.year {
        Some(text) => text.parse().map_err(Error::BadRequest)?,
        // In January it is December that waits to be counted.
        None => Year::of(app.this_month().plus(-1)),
    };
    let saved = counts(store::at_risk_year(&mut *app.database.read().await?, year.number()).await?);
    page(&GridPage::new(&visit, app.this_month(), year, &app.vocabulary().strata, Shown::saved(&saved)))
}

async fn save_grid(State(app): State<App>, visit: Visit, values: Values) -> Result<Response, Error> {
    let year: Year = values.get("year").parse().map_err(Error::BadRequest)?;
    let vocabulary = app.vocabulary();
    let (this_month, strata) = (app.this_month(), &vocabulary.strata);
    let mut tx = app.database.write().await?;
    let saved = counts(store::at_risk_year(&mut tx, year.number()).await?);
    let cells = read_cells(year, strata, &values, &saved);
    if cells.iter().any(|cell| cell.value.is_err()) {
        let shown = Shown::marked(&saved, &cells, values.get("base"), values.get("was"));
        return page_with(
            StatusCode::UNPROCESSABLE_ENTITY,
            &GridPage::new(&visit, this_month, year, strata, shown),
        );
    }
    if !fingerprint(&saved).matches(values.get("base")) {
        let merged = stale::merge(&cells, &saved);
        let shown = Shown::stale(&saved, merged);
        return page_with(StatusCode::CONFLICT, &GridPage::new(&visit, this_month, year, strata, shown));
    }
    let changes = change(&cells, &saved);
    store::set_at_risk(&mut tx, &changes).await?;
    tx.commit().await?;
    let said = match changes.len() {
        0 => format!("Nothing in {year} was changed."),
        1 => format!("Saved {}: one count of {year} changed.", app.clock()),
        many => format!("Saved {}: {many} counts of {year} changed.", app.clock()),
    };
    Ok(lead_to(&format!("{PATH}?year={year}"), &said, None))
}
