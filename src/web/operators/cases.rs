//! Who did the procedures of a period's cases, by pseudonym.

use askama::Template;
use axum::extract::{RawQuery, State};
use axum::http::StatusCode;
use axum::response::Response;
use sqlx::SqliteConnection;

use super::cells::{self, Cell, Difference, Mark, Wrong, line_of, read_cells};
use super::query::asked_period;
use super::{CASES, LIST, off, off_unsaved, when_on};
use crate::rates::operators::{CaseOperator, Operator};
use crate::rates::store::{default_period, operators as store};
use crate::rates::{Period, whole_number};
use crate::web::error::Error;
use crate::web::filters::{FilterForm, period_values};
use crate::web::form::{FieldError, Values};
use crate::web::frame::{Frame, Place, Visit, lead_to, page, page_with};
use crate::web::state::App;

/// The most cases on one page.
const AT_MOST: u32 = 200;

/// What a period holds.
struct Saved {
    period: Period,
    operators: Vec<Operator>,
    /// None when there are more than [`AT_MOST`].
    cases: Option<Vec<CaseOperator>>,
}

impl Saved {
    async fn load(conn: &mut SqliteConnection, period: Period) -> Result<Self, Error> {
        let cases = store::cases(conn, period, AT_MOST + 1).await?;
        let operators = store::list(conn).await?;
        let few = u32::try_from(cases.len()).is_ok_and(|count| count <= AT_MOST);
        Ok(Self { period, operators, cases: few.then_some(cases) })
    }

    fn all(&self) -> &[CaseOperator] {
        self.cases.as_deref().unwrap_or_default()
    }

    fn places(&self) -> Vec<cells::Place<i64>> {
        self.all()
            .iter()
            .map(|case| cells::Place {
                key: case.case_id,
                name: field_name(case),
                place: case.code.to_string(),
                saved: case.operator.map(|operator| operator.to_string()).unwrap_or_default(),
            })
            .collect()
    }

    fn parse(&self, typed: &str) -> Result<String, Wrong> {
        let is_known = || self.operators.iter().any(|operator| operator.id.to_string() == typed);
        if typed.is_empty() || is_known() {
            return Ok(typed.to_owned());
        }
        Err(Wrong {
            short: "Choose one from the list",
            sentence: "This operator is not in the list. Choose one of it.".to_owned(),
        })
    }

    fn in_words(&self, id: &str) -> String {
        let found = self.operators.iter().find(|operator| operator.id.to_string() == id);
        found.map(|operator| operator.pseudonym.to_string()).unwrap_or_default()
    }

    fn state(&self) -> String {
        let without = self.all().iter().filter(|case| case.operator.is_none()).count();
        match (&self.cases, self.all().len(), without) {
            (None, ..) => format!(
                "More than {} cases in {}. Choose a shorter period.",
                whole_number(AT_MOST.into()),
                self.period
            ),
            (_, 0, _) => format!("No case in {}.", self.period),
            (_, _, 0) => format!("Every case of {} has its operator.", self.period),
            (_, 1, _) => format!("The one case of {} has no operator.", self.period),
            (_, all, 1) => format!("1 of the {all} cases of {} has no operator.", self.period),
            (_, all, without) => format!("{without} of the {all} cases of {} have no operator.", self.period),
        }
    }
}

fn field_name(case: &CaseOperator) -> String {
    format!("o-{}", case.code)
}

/// An operator on offer.
struct Offer {
    value: String,
    label: String,
    chosen: bool,
}

/// A case of the page.
struct Row {
    name: String,
    code: String,
    month: String,
    title: String,
    offers: Vec<Offer>,
    mark: &'static str,
}

#[derive(Template)]
#[template(path = "operators/cases.html")]
struct CasesPage {
    frame: Frame,
    path: &'static str,
    list: &'static str,
    state: String,
    form: FilterForm,
    from: String,
    to: String,
    no_operators: bool,
    rows: Vec<Row>,
    marks: Vec<Mark>,
    differing: Vec<Difference>,
    was: String,
}

impl CasesPage {
    fn new(visit: &Visit, saved: &Saved, typed: &[Cell<i64>], was: Option<&str>) -> Self {
        let row = |case: &CaseOperator| {
            let cell = typed.iter().find(|cell| cell.key == case.case_id);
            let held = case.operator.map(|operator| operator.to_string()).unwrap_or_default();
            let chosen = cell.map_or(held.as_str(), Cell::shown);
            let on_offer = saved.operators.iter().filter(|one| {
                let id = one.id.to_string();
                !one.ended || id == chosen || id == held
            });
            Row {
                name: field_name(case),
                code: case.code.to_string(),
                month: case.month.in_words(),
                title: case.title.clone(),
                offers: on_offer
                    .map(|one| Offer {
                        value: one.id.to_string(),
                        label: one.pseudonym.to_string(),
                        chosen: one.id.to_string() == chosen,
                    })
                    .collect(),
                mark: cell.and_then(|cell| cell.value.as_ref().err()).map_or("", |wrong| wrong.short),
            }
        };
        Self {
            state: saved.state(),
            form: FilterForm::of_period(&period_values(saved.period), Vec::new()),
            from: saved.period.from().to_string(),
            to: saved.period.to().to_string(),
            no_operators: saved.operators.is_empty(),
            rows: saved.all().iter().map(row).collect(),
            marks: cells::marks(typed),
            was: was.map_or_else(|| line_of(&saved.places()), str::to_owned),
            ..Self::blank(visit)
        }
    }

    /// Without a period.
    fn blank(visit: &Visit) -> Self {
        Self {
            frame: visit.frame(Place::Settings),
            path: CASES,
            list: LIST,
            state: String::new(),
            form: FilterForm::of_period(&Values::new(), Vec::new()),
            from: String::new(),
            to: String::new(),
            no_operators: false,
            rows: Vec::new(),
            marks: Vec::new(),
            differing: Vec::new(),
            was: String::new(),
        }
    }

    /// A period that cannot be read.
    fn misread(visit: &Visit, typed: &Values, errors: Vec<FieldError>) -> Self {
        let state = "No cases yet: the period needs another look.".to_owned();
        Self { state, form: FilterForm::of_period(typed, errors), ..Self::blank(visit) }
    }

    fn error_heading(&self) -> String {
        cells::error_heading(self.marks.len())
    }
}

pub(super) async fn show_cases(
    State(app): State<App>,
    visit: Visit,
    RawQuery(query): RawQuery,
) -> Result<Response, Error> {
    let mut conn = app.database.read().await?;
    if when_on(&mut conn).await?.is_none() {
        return Ok(off());
    }
    let typed = Values::from_encoded(&query.unwrap_or_default());
    let period = match asked_period(&typed) {
        Ok(Some(period)) => period,
        Ok(None) => default_period(&mut conn, app.this_month()).await?,
        Err(errors) => {
            let form = CasesPage::misread(&visit, &typed, errors);
            return page_with(StatusCode::UNPROCESSABLE_ENTITY, &form);
        }
    };
    let saved = Saved::load(&mut conn, period).await?;
    page(&CasesPage::new(&visit, &saved, &[], None))
}

pub(super) async fn save_cases(
    State(app): State<App>,
    visit: Visit,
    values: Values,
) -> Result<Response, Error> {
    let mut tx = app.database.write().await?;
    if when_on(&mut tx).await?.is_none() {
        return Ok(off_unsaved());
    }
    let Ok(Some(period)) = asked_period(&values) else {
        return Err(Error::BadRequest("The form does not say which months it is about.".to_owned()));
    };
    let saved = Saved::load(&mut tx, period).await?;
    let typed = read_cells(saved.places(), &values, |text| saved.parse(text));
    if typed.iter().any(|cell| cell.value.is_err()) {
        let form = CasesPage::new(&visit, &saved, &typed, Some(values.get("was")));
        return page_with(StatusCode::UNPROCESSABLE_ENTITY, &form);
    }
    let questions = typed.iter().filter(|cell| cell.is_question());
    let differing: Vec<Difference> = questions.map(|cell| cell.difference(|id| saved.in_words(id))).collect();
    if !differing.is_empty() {
        let form = CasesPage::new(&visit, &saved, &typed, None);
        return page_with(StatusCode::CONFLICT, &CasesPage { differing, ..form });
    }
    let changes: Vec<(i64, Option<i64>)> =
        typed.iter().filter_map(|cell| Some((cell.key, cell.change()?.parse().ok()))).collect();
    store::assign(&mut tx, &changes).await?;
    tx.commit().await?;
    let said = match changes.len() {
        0 => "Nothing was changed.".to_owned(),
        1 => format!("Saved {}: one case changed.", app.clock()),
        many => format!("Saved {}: {many} cases changed.", app.clock()),
    };
    Ok(lead_to(&format!("{CASES}?from={}&to={}", period.from(), period.to()), &said, None))
}
