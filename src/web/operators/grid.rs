//! Procedures of each operator: a year as a grid of months and pseudonyms.

use std::collections::BTreeMap;

use askama::Template;
use axum::extract::{Query, State};
use axum::http::StatusCode;
use axum::response::Response;
use serde::Deserialize;
use sqlx::SqliteConnection;

use super::cells::{self, Cell, Difference, Mark, Wrong, line_of, read_cells};
use super::{GRID, LIST, off, off_unsaved, when_on};
use crate::case::Month;
use crate::rates::operators::{Operator, OperatorProcedures};
use crate::rates::store::{at_risk_year, operators as store};
use crate::rates::{ALL_PCI, AtRisk};
use crate::web::error::Error;
use crate::web::form::Values;
use crate::web::frame::{Frame, Place, Visit, lead_to, page, page_with};
use crate::web::settings::Year;
use crate::web::state::App;

/// The year that an address asks for.
#[derive(Deserialize)]
pub(super) struct Asked {
    year: Option<String>,
}

type Key = (Month, i64);

/// A year as it is saved.
struct Saved {
    year: Year,
    /// Those who go on, and those who have a count in the year.
    operators: Vec<Operator>,
    counts: BTreeMap<Key, u32>,
    warnings: Vec<String>,
}

impl Saved {
    async fn load(conn: &mut SqliteConnection, year: Year) -> Result<Self, Error> {
        let months: Vec<Month> = year.months().collect();
        let cells = match (months.first(), months.last()) {
            (Some(first), Some(last)) => store::procedures(conn, (*first, *last)).await?,
            _ => Vec::new(),
        };
        let counts: BTreeMap<Key, u32> =
            cells.iter().filter_map(|cell| Some(((cell.month, cell.operator), cell.procedures?))).collect();
        let mut operators = store::list(conn).await?;
        operators.retain(|one| !one.ended || counts.keys().any(|(_, operator)| *operator == one.id));
        let warnings = warnings(&at_risk_year(conn, year.number()).await?, &counts);
        Ok(Self { year, operators, counts, warnings })
    }

    fn places(&self) -> Vec<cells::Place<Key>> {
        let place = |month: Month, operator: &Operator| cells::Place {
            key: (month, operator.id),
            name: cell_name(month, operator.id),
            place: format!("{}, {}", month.in_words(), operator.pseudonym),
            saved: self.counts.get(&(month, operator.id)).map(u32::to_string).unwrap_or_default(),
        };
        self.year
            .months()
            .flat_map(|month| self.operators.iter().map(move |operator| place(month, operator)))
            .collect()
    }
}

fn cell_name(month: Month, operator: i64) -> String {
    format!("n-{month}-{operator}")
}

/// Months in which the operators together did more than the department.
fn warnings(at_risk: &[AtRisk], counts: &BTreeMap<Key, u32>) -> Vec<String> {
    let all = at_risk.iter().filter(|cell| cell.stratum == *ALL_PCI);
    all.filter_map(|cell| {
        let of_month = counts.iter().filter(|((month, _), _)| *month == cell.month);
        let together: u64 = of_month.map(|(_, count)| u64::from(*count)).sum();
        let department = u64::from(cell.procedures?);
        (together > department).then(|| {
            format!(
                "{}: the operators have more procedures together ({together}) than all PCI ({department}). Count a procedure for one operator only.",
                cell.month.in_words()
            )
        })
    })
    .collect()
}

/// Reads one count; empty is "not counted", which is not 0.
fn parse(typed: &str) -> Result<String, Wrong> {
    let typed = typed.trim();
    let shown: String = typed.chars().take(24).collect();
    if typed.is_empty() {
        return Ok(String::new());
    }
    if !typed.bytes().all(|b| b.is_ascii_digit()) {
        let sentence = format!(
            "“{shown}” is not a whole number. Write digits only, or leave it empty where nobody counted."
        );
        return Err(Wrong { short: "Not a whole number", sentence });
    }
    match typed.parse::<u32>() {
        Ok(count) if count <= OperatorProcedures::MOST => Ok(count.to_string()),
        _ => Err(Wrong {
            short: "Too many",
            sentence: format!(
                "{shown} is too many. A month holds at most {} procedures of an operator.",
                OperatorProcedures::MOST
            ),
        }),
    }
}

/// A cell of the grid.
struct CellPart {
    name: String,
    operator: i64,
    text: String,
    mark: &'static str,
}

/// A month of the grid.
struct Row {
    id: String,
    name: String,
    cells: Vec<CellPart>,
}

#[derive(Template)]
#[template(path = "operators/grid.html")]
struct GridPage {
    frame: Frame,
    path: &'static str,
    list: &'static str,
    year: Year,
    previous: Option<Year>,
    next: Option<Year>,
    operators: Vec<Operator>,
    rows: Vec<Row>,
    warnings: Vec<String>,
    marks: Vec<Mark>,
    differing: Vec<Difference>,
    was: String,
}

impl GridPage {
    /// The year as it is saved, with what came back over it.
    fn new(visit: &Visit, today: Month, saved: Saved, typed: &[Cell<Key>], was: Option<&str>) -> Self {
        let places = saved.places();
        let part = |place: &cells::Place<Key>| {
            let cell = typed.iter().find(|cell| cell.key == place.key);
            CellPart {
                name: place.name.clone(),
                operator: place.key.1,
                text: cell.map_or(place.saved.as_str(), Cell::shown).to_owned(),
                mark: cell.and_then(|cell| cell.value.as_ref().err()).map_or("", |wrong| wrong.short),
            }
        };
        let row = |month: Month| Row {
            id: format!("m-{month}"),
            name: month.in_words().split(' ').next().unwrap_or_default().to_owned(),
            cells: places.iter().filter(|place| place.key.0 == month).map(part).collect(),
        };
        Self {
            frame: visit.frame(Place::Settings),
            path: GRID,
            list: LIST,
            year: saved.year,
            previous: saved.year.plus(-1),
            next: saved.year.plus(1).filter(|next| next.number() <= today.year() + 1),
            rows: saved.year.months().map(row).collect(),
            marks: cells::marks(typed),
            differing: Vec::new(),
            was: was.map_or_else(|| line_of(&places), str::to_owned),
            operators: saved.operators,
            warnings: saved.warnings,
        }
    }

    fn error_heading(&self) -> String {
        cells::error_heading(self.marks.len())
    }
}

pub(super) async fn show_grid(
    State(app): State<App>,
    visit: Visit,
    Query(asked): Query<Asked>,
) -> Result<Response, Error> {
    let mut conn = app.database.read().await?;
    if when_on(&mut conn).await?.is_none() {
        return Ok(off());
    }
    let year = match asked.year {
        Some(text) => text.parse().map_err(Error::BadRequest)?,
        // In January it is December that waits to be counted.
        None => Year::of(app.this_month().plus(-1)),
    };
    let saved = Saved::load(&mut conn, year).await?;
    page(&GridPage::new(&visit, app.this_month(), saved, &[], None))
}

pub(super) async fn save_grid(
    State(app): State<App>,
    visit: Visit,
    values: Values,
) -> Result<Response, Error> {
    let mut tx = app.database.write().await?;
    if when_on(&mut tx).await?.is_none() {
        return Ok(off_unsaved());
    }
    let year: Year = values.get("year").parse().map_err(Error::BadRequest)?;
    let saved = Saved::load(&mut tx, year).await?;
    let typed = read_cells(saved.places(), &values, parse);
    if typed.iter().any(|cell| cell.value.is_err()) {
        let form = GridPage::new(&visit, app.this_month(), saved, &typed, Some(values.get("was")));
        return page_with(StatusCode::UNPROCESSABLE_ENTITY, &form);
    }
    let questions = typed.iter().filter(|cell| cell.is_question());
    let differing: Vec<Difference> = questions.map(|cell| cell.difference(str::to_owned)).collect();
    if !differing.is_empty() {
        let form = GridPage::new(&visit, app.this_month(), saved, &typed, None);
        return page_with(StatusCode::CONFLICT, &GridPage { differing, ..form });
    }
    let changes: Vec<OperatorProcedures> = typed
        .iter()
        .filter_map(|cell| {
            let (month, operator) = cell.key;
            Some(OperatorProcedures { month, operator, procedures: cell.change()?.parse().ok() })
        })
        .collect();
    store::set_procedures(&mut tx, &changes).await?;
    tx.commit().await?;
    let said = match changes.len() {
        0 => format!("Nothing in {year} was changed."),
        1 => format!("Saved {}: one count of {year} changed.", app.clock()),
        many => format!("Saved {}: {many} counts of {year} changed.", app.clock()),
    };
    Ok(lead_to(&format!("{GRID}?year={year}"), &said, None))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_empty_cell_is_not_zero_and_a_count_is_whole() {
        assert_eq!(parse("  "), Ok(String::new()));
        assert_eq!(parse(" 007 "), Ok("7".to_owned()));
        assert_eq!(parse("10000"), Ok("10000".to_owned()));
        for typed in ["-1", "1.5", "1,200", "fifty", "٣"] {
            assert_eq!(parse(typed).unwrap_err().short, "Not a whole number", "{typed}");
        }
        assert_eq!(parse("10001").unwrap_err().short, "Too many");
    }

    #[test]
    fn more_procedures_of_operators_than_of_the_department_are_said() {
        let month: Month = "2026-03".parse().unwrap();
        let counts = BTreeMap::from([((month, 1), 60), ((month, 2), 50)]);
        let cell = |procedures| [AtRisk { month, stratum: ALL_PCI.clone(), procedures: Some(procedures) }];
        assert!(warnings(&cell(110), &counts).is_empty());
        let found = warnings(&cell(109), &counts);
        assert!(
            found[0].starts_with("March 2026: the operators have more procedures together (110)"),
            "{found:?}"
        );
    }
}
