//! The cases as a table for outside the department: at chosen levels, without those that too few look like.

use axum::extract::{RawQuery, State};
use axum::response::Response;

use super::load;
use super::page::told;
use super::query::Query;
use crate::export::csv::{Cell, csv_file};
use crate::web::download::download;
use crate::web::error::Error;
use crate::web::form::Values;
use crate::web::state::App;

pub(super) async fn download_csv(
    State(app): State<App>,
    RawQuery(query): RawQuery,
) -> Result<Response, Error> {
    let typed = Values::from_encoded(&query.unwrap_or_default());
    let query = Query::read(&typed).map_err(|errors| {
        Error::BadRequest(errors.into_iter().map(|error| error.message).collect::<Vec<_>>().join(" "))
    })?;
    let (all, k) = load(&app, &mut *app.database.read().await?).await?;
    let classes = all.records.classes(&query.levels);
    let told = told(&query);
    let mut rows: Vec<Vec<String>> = (0..all.cases.len())
        .filter(|&record| classes.size_of(record) >= k)
        .map(|record| {
            let shown =
                told.iter().map(|fact| all.records.shown(record, *fact as usize, &query.levels).to_owned());
            let harm = all.cases[record].harm.map_or("not recorded", |harm| harm.label());
            shown.chain([harm.to_owned()]).collect()
        })
        .collect();
    // The order of the record would be the order of the months.
    rows.sort();
    let columns: Vec<String> =
        told.iter().map(|fact| fact.label().to_owned()).chain(["Degree of harm".to_owned()]).collect();
    let rows: Vec<Vec<Cell>> =
        rows.into_iter().map(|row| row.into_iter().map(Cell::Text).collect()).collect();
    let name = format!("cases-one-of-{k}.csv");
    Ok(download(&name, "text/csv; charset=utf-8", csv_file(&columns, &rows)))
}
