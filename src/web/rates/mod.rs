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

use self::page::{RatesPage, Results};
pub(in crate::web) use self::query::read_period;
use self::query::{Asked, FilterForm, query_of};
use super::access::Allow;
use super::error::Error;
use super::form::Values;
use super::frame::{Place, Visit, page, page_with};
use super::router::Routes;
use super::state::App;
use crate::rates::{Period, store};

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
            let form = FilterForm::of_rates(&typed, &vocabulary, errors);
            return page_with(
                StatusCode::UNPROCESSABLE_ENTITY,
                &RatesPage { frame, keeps, form, results: None },
            );
        }
    };
    let mut conn = app.database.read().await?;
    let counted = store::latest_counted_month(&mut conn, app.this_month()).await?;
    let period = asked.period.unwrap_or_else(|| Period::to_last_counted(counted, app.this_month()));
    let table = match &asked.stratum {
        None => app.usual_rates.table(&mut conn, &vocabulary, period).await?,
        Some(stratum) => Arc::new(store::table_within(&mut conn, &vocabulary, period, Some(stratum)).await?),
    };
    drop(conn);
    let values = asked.values(period);
    let form = FilterForm::of_rates(&values, &vocabulary, Vec::new());
    let results = Results::of(&table, (asked.by, &query_of(values)), counted, visit.user.role);
    page(&RatesPage { frame, keeps, form, results: Some(results) })
}
