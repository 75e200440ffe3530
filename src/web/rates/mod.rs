//! The rates: each mechanism's events among its procedures at risk, beside the period before.

mod files;
mod line;
mod page;
mod query;
mod report;
mod subject;

use std::sync::Arc;

use axum::extract::{RawQuery, State};
use axum::http::StatusCode;
use axum::response::Response;
use sqlx::SqliteConnection;

pub(super) use self::subject::path_of as subject_path;

use self::page::{RatesPage, Results};
use self::query::{Asked, form_of_rates, query_of};
use super::access::Allow;
use super::error::Error;
use super::form::Values;
use super::frame::{Place, Visit, page, page_with};
use super::router::Routes;
use super::state::App;
use crate::rates::{Period, RatesTable, store};
use crate::vocabulary::Stratum;

/// Where procedures at risk are entered.
pub(super) const AT_RISK_PATH: &str = "/settings/procedures-at-risk";

pub(super) fn add_routes(routes: Routes) -> Routes {
    subject::add_routes(report::add_routes(routes.get("/rates", Allow::SignedIn, show_rates).get(
        "/rates/files/{file}",
        Allow::SignedIn,
        files::download_rates,
    )))
}

async fn show_rates(
    State(app): State<App>,
    visit: Visit,
    RawQuery(query): RawQuery,
) -> Result<Response, Error> {
    let typed = Values::from_encoded(&query.unwrap_or_default());
    let frame = visit.frame(Place::Rates);
    let keeps = visit.user.role.keeps();
    let vocabulary = app.vocabulary();
    let asked = match Asked::read(&typed, &vocabulary) {
        Ok(asked) => asked,
        Err(errors) => {
            let form = form_of_rates(&typed, &vocabulary, errors);
            return page_with(
                StatusCode::UNPROCESSABLE_ENTITY,
                &RatesPage { frame, keeps, form, results: None },
            );
        }
    };
    let mut conn = app.database.read().await?;
    let counted = store::latest_counted_month(&mut conn, app.this_month()).await?;
    let period = asked.period.unwrap_or_else(|| Period::to_last_counted(counted, app.this_month()));
    let table = table_of(&app, &mut conn, period, asked.stratum.as_ref()).await?;
    drop(conn);
    let values = asked.values(period);
    let form = form_of_rates(&values, &vocabulary, Vec::new());
    let results = Results::of(&table, (asked.by, &query_of(values)), counted, visit.user.role);
    page(&RatesPage { frame, keeps, form, results: Some(results) })
}

/// The rates of a period among the procedures of a stratum or all.
async fn table_of(
    app: &App,
    conn: &mut SqliteConnection,
    period: Period,
    stratum: Option<&Stratum>,
) -> Result<Arc<RatesTable>, Error> {
    let vocabulary = app.vocabulary();
    Ok(match stratum {
        None => app.usual_rates.table(conn, &vocabulary, period).await?,
        Some(_) => Arc::new(store::table_within(conn, &vocabulary, period, stratum).await?),
    })
}
