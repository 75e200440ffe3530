//! The actions as a table for a spreadsheet.

use axum::extract::{RawQuery, State};
use axum::response::Response;

use super::{Which, asked_for};
use crate::case::store::{held, list_actions};
use crate::case::{Action, CaseCode, Day};
use crate::export::csv::{Cell, csv_file};
use crate::vocabulary::Vocabulary;
use crate::web::download::download;
use crate::web::error::Error;
use crate::web::frame::Visit;
use crate::web::state::App;

/// The actions that the page shows, all of them; those of cases that are held back stay here.
pub(super) async fn download_actions(
    State(app): State<App>,
    visit: Visit,
    RawQuery(query): RawQuery,
) -> Result<Response, Error> {
    let which = asked_for(query);
    let asked = (visit.sight(), which.asked(app.today()));
    let mut found = {
        let mut conn = app.database.read().await?;
        let held = held(&mut conn).await?;
        let mut found = list_actions(&mut conn, asked, i64::MAX).await?;
        found.retain(|(code, _)| !held.contains(code));
        found
    };
    // By due day as on the page; the order of entry says nothing to who reads the file.
    found.sort_by(|(a, one), (b, other)| {
        (one.value.due, *a, one.value.what.as_str()).cmp(&(other.value.due, *b, other.value.what.as_str()))
    });
    let actions: Vec<(CaseCode, Action)> = found.into_iter().map(|(code, row)| (code, row.value)).collect();
    let name = format!("actions-{}.csv", which.slug());
    Ok(download(&name, "text/csv; charset=utf-8", table(&actions, which, &app.vocabulary())))
}

fn table(actions: &[(CaseCode, Action)], which: Which, vocabulary: &Vocabulary) -> String {
    let columns = [
        format!("Action ({})", which.label().to_lowercase()),
        "Owner (role)".to_owned(),
        due_column(actions),
        "State".to_owned(),
        "In place since (year-month-day)".to_owned(),
        "Strength".to_owned(),
        "Kind of change".to_owned(),
        "Measure (with its period)".to_owned(),
        "Target".to_owned(),
        "Answers the cause".to_owned(),
        "To make rarer".to_owned(),
        "Case".to_owned(),
    ];
    let rows: Vec<Vec<Cell>> =
        actions.iter().map(|(code, action)| row(*code, action, vocabulary).into()).collect();
    csv_file(&columns, &rows)
}

/// What the column of days holds, with the period that it covers.
fn due_column(actions: &[(CaseCode, Action)]) -> String {
    let days = || actions.iter().map(|(_, action)| action.due);
    let period: Option<(Day, Day)> = days().min().zip(days().max());
    match period {
        Some((first, last)) => format!("Due (year-month-day; {first} to {last})"),
        None => "Due (year-month-day)".to_owned(),
    }
}

fn row(code: CaseCode, action: &Action, vocabulary: &Vocabulary) -> [Cell; 12] {
    let maybe = |text: Option<String>| text.map_or(Cell::Empty, Cell::Text);
    [
        Cell::text(action.what.as_str()),
        Cell::text(action.owner.as_str()),
        Cell::text(action.due.to_string()),
        Cell::text(action.state.label()),
        maybe(action.done_on.map(|day| day.to_string())),
        Cell::text(action.strength.label()),
        maybe(action.kind.map(|kind| kind.label().to_owned())),
        maybe(action.measure.as_ref().map(ToString::to_string)),
        maybe(action.target.as_ref().map(ToString::to_string)),
        maybe(action.for_cause.as_ref().map(|slug| vocabulary.cause_label(slug))),
        maybe(action.for_mechanism.as_ref().map(|slug| vocabulary.mechanism_label(slug))),
        Cell::text(code.to_string()),
    ]
}
