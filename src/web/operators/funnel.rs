//! The operators against what chance allows; while they are off, what this page would be.

use askama::Template;
use axum::extract::{RawQuery, State};
use axum::http::StatusCode;
use axum::response::Response;

use super::query::{Asked, form, written};
use super::{CASES, GRID, LIST, PATH, SETTINGS, chart, when_on};
use crate::rates::operators::{Compared, Funnel, OperatorSettings};
use crate::rates::store::{default_period, operators as store};
use crate::rates::{FewestByOperator, Period};
use crate::web::error::Error;
use crate::web::figure_part::FigurePart;
use crate::web::filters::{FilterForm, period_values};
use crate::web::form::Values;
use crate::web::frame::{Frame, Place, Visit, page, page_with};
use crate::web::state::App;

/// What the page would be, while operators are off.
#[derive(Template)]
#[template(path = "operators/off.html")]
struct OffPage {
    frame: Frame,
    settings: &'static str,
    fewest: FewestByOperator,
}

#[derive(Template)]
#[template(path = "operators/funnel.html")]
struct FunnelPage {
    frame: Frame,
    path: &'static str,
    /// Where operators, their procedures and their cases are recorded, and what is set.
    links: [(&'static str, &'static str); 4],
    form: FilterForm,
    /// None when what is asked cannot be read.
    results: Option<Results>,
}

/// The operators of a period.
struct Results {
    finding: String,
    figure: Option<FigurePart>,
    /// What has to be known before a dot is read.
    words: Vec<String>,
    /// What is left out, and how many.
    notes: Vec<String>,
    /// No operator has anything in the period.
    empty: bool,
    about: String,
}

impl Results {
    fn of(found: store::ByOperator, (label, period): (&str, Period), fewest: FewestByOperator) -> Self {
        let compared = Compared::of(found.tallies, fewest);
        let hidden = compared.hidden_in_words();
        let empty = compared.shown.is_empty() && compared.hidden == 0 && compared.notes.is_empty();
        let about = format!("{label}, {period}.");
        let mut notes: Vec<String> = hidden.iter().cloned().collect();
        notes.extend(without_operator(found.without, compared.hidden));
        notes.extend(compared.notes.iter().cloned());
        match Funnel::of(&compared) {
            Ok(funnel) => Self {
                finding: funnel.finding(),
                figure: Some(FigurePart {
                    id: "operators",
                    name: "The operators".to_owned(),
                    figure: chart::draw(&funnel, label, hidden.as_deref()),
                    note: format!(
                        "{about} {}. The table is in the order of the pseudonyms, which says nothing about anybody.",
                        funnel.counted()
                    ),
                    rule: funnel.rule(),
                    files: Vec::new(),
                }),
                words: vec![funnel.spread_in_words(), funnel.shrunken_in_words()],
                notes,
                empty,
                about,
            },
            Err(why) => {
                Self { finding: why.to_string(), figure: None, words: Vec::new(), notes, empty, about }
            }
        }
    }
}

/// That cases have no operator. Their number is left out where somebody is hidden: with the
/// department's count it would give the hidden ones back.
fn without_operator(without: u64, hidden: usize) -> Option<String> {
    match (without, hidden) {
        (0, _) => None,
        (1, 0) => Some("1 case has no operator and is left out.".to_owned()),
        (many, 0) => Some(format!("{many} cases have no operator and are left out.")),
        _ => Some("Cases without an operator are left out; there are some.".to_owned()),
    }
}

pub(super) async fn show_operators(
    State(app): State<App>,
    visit: Visit,
    RawQuery(query): RawQuery,
) -> Result<Response, Error> {
    let mut conn = app.database.read().await?;
    let Some(settings) = when_on(&mut conn).await? else {
        let fewest = OperatorSettings::default().fewest;
        return page(&OffPage { frame: visit.frame(Place::Rates), settings: SETTINGS, fewest });
    };
    let typed = Values::from_encoded(&query.unwrap_or_default());
    let vocabulary = app.vocabulary();
    let shell = |form: FilterForm, results: Option<Results>| FunnelPage {
        frame: visit.frame(Place::Rates),
        path: PATH,
        links: [
            (GRID, "Procedures of each month"),
            (CASES, "Operators of the cases"),
            (LIST, "Pseudonyms"),
            (SETTINGS, "Settings"),
        ],
        form,
        results,
    };
    let asked = match Asked::read(&typed, &vocabulary) {
        Ok(asked) => asked,
        Err(errors) => {
            let form = form(&typed, &vocabulary, errors);
            return page_with(StatusCode::UNPROCESSABLE_ENTITY, &shell(form, None));
        }
    };
    let period = match asked.period {
        Some(period) => period,
        None => default_period(&mut conn, app.this_month()).await?,
    };
    let found = store::by_operator(&mut conn, &asked.subject, period).await?;
    drop(conn);
    let label = asked.subject.label(&vocabulary).unwrap_or_default();
    let results = Results::of(found, (&label, period), settings.fewest);
    let values = period_values(period).with("of", written(&asked.subject));
    page(&shell(form(&values, &vocabulary, Vec::new()), Some(results)))
}
