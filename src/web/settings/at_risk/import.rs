//! Procedures at risk from CSV: pasted or as a file, looked over before anything is saved.

mod sent;

use askama::Template;
use axum::extract::{Request, State};
use axum::http::StatusCode;
use axum::response::Response;

use self::sent::Sent;
use super::grid::{Counts, counts, fingerprint};
use crate::import::at_risk::{self, Problem};
use crate::rates::{AtRisk, Period, store};
use crate::vocabulary::{Stratum, Vocabulary};
use crate::web::error::Error;
use crate::web::frame::{Frame, Place, Visit, lead_to, page, page_with};
use crate::web::state::App;

/// Where the import stands.
pub(super) const PATH: &str = "/settings/procedures-at-risk/import";
/// How many rows a list shows before it only counts the rest.
const SHOWN: usize = 100;

#[derive(Template)]
#[template(path = "settings/import.html")]
struct ImportPage {
    frame: Frame,
    csv: String,
    problems: Vec<String>,
    /// How many more problems there are.
    more: usize,
    strata: Vec<Stratum>,
    example: String,
}

/// The first lines of a table, with the first kinds of the department.
fn example(strata: &[Stratum]) -> String {
    let kinds: Vec<&str> = strata.iter().take(4).map(|stratum| stratum.slug.as_str()).collect();
    let row = |counts: [&str; 4]| counts[..kinds.len()].join(",");
    let names = kinds.join(",");
    format!("month,{names}\n2026-01,{}\n2026-02,{}", row(["104", "17", "5", "6"]), row(["98", "16", "", "0"]))
}

fn import_page(visit: &Visit, strata: &[Stratum], csv: String, problems: Vec<String>) -> ImportPage {
    let more = problems.len().saturating_sub(SHOWN);
    ImportPage {
        frame: visit.frame(Place::Settings),
        csv,
        problems: problems.into_iter().take(SHOWN).collect(),
        more,
        strata: strata.to_vec(),
        example: example(strata),
    }
}

pub(super) async fn show_import(State(app): State<App>, visit: Visit) -> Result<Response, Error> {
    page(&import_page(&visit, &app.vocabulary().strata, String::new(), Vec::new()))
}

pub(super) async fn read_import(
    State(app): State<App>,
    visit: Visit,
    request: Request,
) -> Result<Response, Error> {
    let vocabulary = app.vocabulary();
    let refuse = |csv: String, problems: Vec<String>| {
        page_with(StatusCode::UNPROCESSABLE_ENTITY, &import_page(&visit, &vocabulary.strata, csv, problems))
    };
    let sent = match sent::receive(request, &app).await? {
        Ok(sent) => sent,
        Err(refused) => return refuse(refused.csv, vec![refused.why]),
    };
    match at_risk::read(&sent.csv, &vocabulary) {
        Err(problems) => refuse(sent.csv, problems.iter().map(Problem::to_string).collect()),
        Ok(cells) => look_over(&app, &visit, &vocabulary, sent, cells).await,
    }
}

/// A cell that would get another count.
struct Change {
    place: String,
    saved: u32,
    /// None: it would be emptied.
    given: Option<u32>,
}

/// What an import would do.
struct Plan {
    period: Option<Period>,
    added: usize,
    same: usize,
    changed: Vec<Change>,
}

impl Plan {
    fn of(cells: &[AtRisk], saved: &Counts, vocabulary: &Vocabulary) -> Self {
        let months = || cells.iter().map(|cell| cell.month);
        let period = months().min().zip(months().max()).and_then(|(from, to)| Period::new(from, to).ok());
        let mut plan = Self { period, added: 0, same: 0, changed: Vec::new() };
        for cell in cells {
            let kept = saved.get(&(cell.month, cell.stratum.clone())).copied();
            match kept {
                None if cell.procedures.is_none() => {}
                _ if kept == cell.procedures => plan.same += 1,
                None => plan.added += 1,
                Some(saved) => {
                    let label = vocabulary
                        .stratum(&cell.stratum)
                        .map_or_else(|| cell.stratum.to_string(), |s| s.label.clone());
                    let place = format!("{}, {label}", cell.month.in_words());
                    plan.changed.push(Change { place, saved, given: cell.procedures });
                }
            }
        }
        plan
    }

    const fn does_nothing(&self) -> bool {
        self.added == 0 && self.changed.is_empty()
    }

    /// What it would do, or did, in a sentence.
    fn in_words(&self, added: &str, changed: &str) -> String {
        let number = |count: usize| if count == 1 { "1 count".to_owned() } else { format!("{count} counts") };
        let mut parts = Vec::new();
        if self.added > 0 {
            parts.push(format!("{} {added}", number(self.added)));
        }
        if !self.changed.is_empty() {
            parts.push(format!("{} {changed}", number(self.changed.len())));
        }
        let over = self.period.map_or_else(String::new, |period| format!(", over {period}"));
        format!("{}{over}", parts.join(" and "))
    }
}

#[derive(Template)]
#[template(path = "settings/import_preview.html")]
struct PreviewPage {
    frame: Frame,
    plan: Plan,
    summary: String,
    more: usize,
    csv: String,
    base: String,
    /// Somebody saved between looking and confirming.
    stale: bool,
}

/// Shows what would change; saves it when that was seen and is still so.
async fn look_over(
    app: &App,
    visit: &Visit,
    vocabulary: &Vocabulary,
    sent: Sent,
    cells: Vec<AtRisk>,
) -> Result<Response, Error> {
    let mut tx = app.database.write().await?;
    let months = || cells.iter().map(|cell| cell.month);
    let saved = match months().min().zip(months().max()) {
        Some((from, to)) => counts(store::at_risk(&mut tx, from, to).await?),
        None => Counts::new(),
    };
    let mut plan = Plan::of(&cells, &saved, vocabulary);
    let now = fingerprint(&saved);
    let confirmed = sent.confirmed && !plan.does_nothing();
    if confirmed && now.matches(&sent.base) {
        store::set_at_risk(&mut tx, &cells).await?;
        tx.commit().await?;
        let year = plan.period.map_or_else(String::new, |period| format!("?year={}", period.to().year()));
        let said = format!("Saved {}: {}.", app.clock(), plan.in_words("added", "changed"));
        return Ok(lead_to(&format!("{}{year}", super::PATH), &said, None));
    }
    drop(tx);
    let summary = plan.in_words("would be added", "would change");
    let more = plan.changed.len().saturating_sub(SHOWN);
    plan.changed.truncate(SHOWN);
    let status = if confirmed { StatusCode::CONFLICT } else { StatusCode::OK };
    page_with(
        status,
        &PreviewPage {
            frame: visit.frame(Place::Settings),
            plan,
            summary,
            more,
            csv: sent.csv,
            base: now.as_str().to_owned(),
            stale: confirmed,
        },
    )
}
