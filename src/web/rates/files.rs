//! The rates of a period as files: the drawing as SVG and PNG, and the lines as CSV with the counts that
//! are too small to leave the department hidden.

use axum::extract::{Path, RawQuery, State};
use axum::response::Response;

use super::page::drawn;
use super::query::{Asked, By};
use super::subject::{caution, picture_of};
use super::table_of;
use crate::export::csv::{Cell, csv_file};
use crate::export::picture::svg_file;
use crate::rates::leaving::{HiddenProcedures, Leaving, LeavingLine, Side};
use crate::rates::suppress::{Shown, SmallestCount};
use crate::rates::{Period, RateLine, RatesTable, Tally, store};
use crate::vocabulary::{StratumSlug, Vocabulary};
use crate::web::download::download;
use crate::web::error::Error;
use crate::web::form::Values;
use crate::web::state::App;

pub(super) async fn download_rates(
    State(app): State<App>,
    Path(file): Path<String>,
    RawQuery(query): RawQuery,
) -> Result<Response, Error> {
    let vocabulary = app.vocabulary();
    let typed = Values::from_encoded(&query.unwrap_or_default());
    let asked = Asked::read(&typed, &vocabulary).map_err(|errors| {
        Error::BadRequest(errors.first().map_or_else(String::new, |error| error.message.clone()))
    })?;
    let mut conn = app.database.read().await?;
    let settings = store::settings(&mut conn).await?;
    let period = match asked.period {
        Some(period) => period,
        None => store::default_period(&mut conn, app.this_month()).await?,
    };
    let table = table_of(&app, &mut conn, period, asked.stratum.as_ref()).await?;
    drop(conn);
    let name = |ending: &str| format!("rates-{}-{}.{ending}", period.from(), period.to());
    match file.as_str() {
        "rates.csv" => {
            let text = lines(&vocabulary, &table, settings.smallest);
            Ok(download(&name("csv"), "text/csv; charset=utf-8", text))
        }
        "rates.svg" | "rates.png" => {
            let shown = match asked.by {
                By::Mechanism => &table.with_events,
                By::Branch => &table.branches,
            };
            let figure = drawn(&table, shown).ok_or(Error::NotFound)?;
            let is_small = shown.iter().any(|line| {
                settings.smallest.hides(line.now.events_in_all())
                    || line
                        .previous
                        .as_ref()
                        .is_some_and(|before| settings.smallest.hides(before.events_in_all()))
            });
            let svg = figure.standalone(&caution(settings.smallest, is_small));
            if file.ends_with("svg") {
                Ok(download(&name("svg"), "image/svg+xml", svg_file(&svg)))
            } else {
                let picture = picture_of(svg).await?;
                Ok(download(&name("png"), "image/png", picture))
            }
        }
        _ => Err(Error::NotFound),
    }
}

/// Procedures that are few, or leave few of all: two strata that share all PCI give each other back.
struct Few<'a> {
    table: &'a RatesTable,
    smallest: SmallestCount,
}

impl Few<'_> {
    fn hidden(&self, stratum: &StratumSlug, of: impl Fn(&RateLine) -> Option<&Tally>) -> bool {
        let lines = || std::iter::once(&self.table.whole).chain(&self.table.with_events);
        let procedures = lines().find(|line| line.stratum == *stratum).and_then(&of).map(Tally::procedures);
        let all = of(&self.table.whole).map(Tally::procedures);
        procedures.is_some_and(|few| self.smallest.hides_part(few, all))
    }
}

impl HiddenProcedures for Few<'_> {
    fn hidden_now(&self, stratum: &StratumSlug) -> bool {
        self.hidden(stratum, |line| Some(&line.now))
    }

    fn hidden_before(&self, stratum: &StratumSlug) -> bool {
        self.hidden(stratum, |line| line.previous.as_ref())
    }
}

/// Every line that the table has, the whole first, then each branch before its mechanisms.
fn lines(vocabulary: &Vocabulary, table: &RatesTable, smallest: SmallestCount) -> String {
    let procedures = Few { table, smallest };
    let leaving = Leaving::of(vocabulary, table, &procedures, smallest);
    let columns = [
        "line",
        "kind",
        "procedures at risk are",
        "from month",
        "to month",
        "cases",
        "procedures at risk",
        "rate per 1,000 procedures",
        "lower 95 % limit (Wilson), per 1,000",
        "upper 95 % limit (Wilson), per 1,000",
        "cases in the period before",
        "procedures at risk in the period before",
        "rate per 1,000 in the period before",
        "difference per 1,000",
        "lower 95 % limit of the difference (Newcombe), per 1,000",
        "upper 95 % limit of the difference (Newcombe), per 1,000",
        "note",
    ]
    .map(str::to_owned);
    let rows: Vec<Vec<Cell>> = leaving.lines().map(|line| row(line, table.period, smallest)).collect();
    csv_file(&columns, &rows)
}

fn row(leaving: &LeavingLine, period: Period, smallest: SmallestCount) -> Vec<Cell> {
    let line = leaving.line;
    let rate = leaving.now.rate;
    let before = leaving.before.and_then(|side| side.rate);
    let difference = leaving.all_shown().then(|| line.difference()).flatten();
    let limits = difference.map(|difference| difference.interval().times(1_000.0));
    let note = if leaving.all_shown() { None } else { smallest.note() };
    vec![
        Cell::text(line.label.clone()),
        Cell::text(line.subject.key().0),
        Cell::text(line.stratum_label.clone()),
        Cell::text(period.from().to_string()),
        Cell::text(period.to().to_string()),
        events(Some(&leaving.now)),
        procedures(&leaving.now, &line.now),
        Cell::maybe(rate.map(|rate| rate.per_1000())),
        Cell::maybe(rate.map(|rate| rate.wilson().lower())),
        Cell::maybe(rate.map(|rate| rate.wilson().upper())),
        events(leaving.before.as_ref()),
        leaving
            .before
            .as_ref()
            .zip(line.previous.as_ref())
            .map_or(Cell::Empty, |(side, tally)| procedures(side, tally)),
        Cell::maybe(before.map(|rate| rate.per_1000())),
        Cell::maybe(difference.map(|difference| difference.estimate() * 1_000.0)),
        Cell::maybe(limits.map(|limits| limits.lower())),
        Cell::maybe(limits.map(|limits| limits.upper())),
        Cell::text(
            note.into_iter()
                .chain(if leaving.all_shown() { line.notes() } else { Vec::new() })
                .collect::<Vec<_>>()
                .join(" "),
        ),
    ]
}

fn events(side: Option<&Side>) -> Cell {
    match side.map(|side| side.events) {
        None => Cell::Empty,
        Some(Shown::Count(count)) => Cell::Whole(count),
        Some(Shown::Hidden) => Cell::text("hidden"),
    }
}

/// Procedures of a side that tells its rate; with a rate that stays, they may bound the events.
fn procedures(side: &Side, tally: &Tally) -> Cell {
    match (side.rate, side.keeps_rate) {
        (Some(rate), _) => Cell::Whole(rate.procedures()),
        (None, true) => Cell::text("hidden"),
        (None, false) if tally.months.iter().any(|month| month.procedures.is_some()) => {
            Cell::Whole(tally.procedures())
        }
        (None, false) => Cell::text("not counted"),
    }
}
