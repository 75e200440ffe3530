//! How far a department's reviewers agree, and which cases wait for one's own judgement.

use askama::Template;
use axum::extract::State;
use axum::response::Response;

use super::access::Allow;
use super::error::Error;
use super::frame::{Frame, Place, Visit, page};
use super::router::Routes;
use super::state::App;
use crate::review::judgement::agreement::{Agreement, CASES_AT_LEAST, reviews_needed};
use crate::review::judgement::store::{self, Waiting};
use crate::stats::agreement::AgreementError;

/// The most cases that are listed as waiting.
const WAITING_AT_MOST: i64 = 20;
/// A single review of preventability, and what is wanted of several: BMJ Qual Saf 2017;26:408.
const SINGLE: f64 = 0.25;
const WANTED: f64 = 0.8;

pub(super) fn add_routes(routes: Routes) -> Routes {
    routes.get("/judgements", Allow::Writers, show_agreement)
}

#[derive(Template)]
#[template(path = "judgements.html")]
struct AgreementPage {
    frame: Frame,
    state: String,
    lines: Vec<Line>,
    fewest: usize,
    needed: u32,
    waiting: Vec<Waiting>,
}

/// What is said of one scale.
struct Line {
    scale: &'static str,
    alpha: String,
    meaning: &'static str,
}

async fn show_agreement(State(app): State<App>, visit: Visit) -> Result<Response, Error> {
    let mut conn = app.database.read().await?;
    let agreement = Agreement::of(store::own_by_case(&mut conn).await?.values());
    let waiting = store::waiting(&mut conn, (visit.user.id, visit.sight()), WAITING_AT_MOST).await?;
    drop(conn);
    page(&AgreementPage {
        frame: visit.frame(Place::Cases),
        state: state(agreement.as_ref()),
        lines: agreement.iter().flat_map(lines).collect(),
        fewest: CASES_AT_LEAST,
        needed: reviews_needed(SINGLE, WANTED).unwrap_or_default(),
        waiting,
    })
}

fn state(agreement: Option<&Agreement>) -> String {
    agreement.map_or_else(
        || format!("Fewer than {CASES_AT_LEAST} cases have two judgements: too few to tell how far reviewers agree."),
        |found| {
            let apart = match found.disagreed {
                0 => "In none of them are the judgements far apart.".to_owned(),
                1 => "In one of them the judgements are far apart.".to_owned(),
                some => format!("In {some} of them the judgements are far apart."),
            };
            format!("{} judgements of {} cases, each given before any other was seen. {apart}", found.judgements, found.cases)
        },
    )
}

fn lines(found: &Agreement) -> [Line; 2] {
    let line = |scale, alpha: &Result<f64, AgreementError>| match alpha {
        Ok(alpha) => {
            Line { scale, alpha: format!("{alpha:.2}").replace('-', "\u{2212}"), meaning: meaning(*alpha) }
        }
        Err(_) => Line {
            scale,
            alpha: "none".to_owned(),
            meaning: "Every judgement is the same step, so that agreement beyond chance has no meaning.",
        },
    };
    [line("Avoidability", &found.avoidability), line("Care", &found.care)]
}

/// What an alpha means: Krippendorff, Content Analysis (from memory): 0.8 for conclusions, from 0.667 on
/// for tentative ones.
const fn meaning(alpha: f64) -> &'static str {
    if alpha >= 0.8 {
        "Reviewers agree well enough for conclusions."
    } else if alpha >= 0.667 {
        "Reviewers agree well enough for tentative conclusions."
    } else if alpha > 0.0 {
        "Reviewers agree more than by chance, and not well enough to conclude from one judgement."
    } else {
        "Reviewers agree no more than by chance."
    }
}
