//! The pages of cases: list, first entry, the case, its parts, its timeline, its summary.

mod action_part;
mod advice;
mod cause_part;
mod complication_part;
mod decision;
mod decision_part;
mod edit;
mod event_part;
mod findings;
mod head_parts;
mod history;
mod identifiers;
mod items;
mod judgements;
mod known;
mod lab_part;
mod labs;
pub(super) mod leaf_choices;
mod lesion_part;
pub(super) mod lesson_items;
mod lesson_part;
mod links;
mod list;
mod log;
mod observation_part;
mod page;
mod part;
mod pictures;
mod record;
mod recurring;
mod response;
mod stage;
mod summary;
mod timeline;
mod view;
mod walk;
mod withdraw;

use sqlx::SqliteConnection;

pub(super) use self::history::moment;
pub(super) use self::items::{measure_in_words, standing_in_words};
pub(super) use self::pictures::Waiting;
pub(super) use self::summary::{Summary, asks_protection, summary_of};

use self::action_part::ActionPart;
use self::cause_part::CausePart;
use self::complication_part::ComplicationPart;
use self::decision_part::DecisionPart;
use self::edit::{
    add_row, put_row_back, save_head, save_row, show_head, show_new_row, show_row, take_out_row,
};
use self::event_part::EventPart;
use self::head_parts::{NarrativePart, OutcomePart, PatientPart, ProcedurePart, SituationPart};
use self::lab_part::LabPart;
use self::lesion_part::LesionPart;
use self::lesson_part::LessonPart;
use self::observation_part::ObservationPart;
use super::access::Allow::{SignedIn, Signers, Writers};
use super::error::Error;
use super::frame::Visit;
use super::router::Routes;
use super::state::App;
use crate::case::{CaseCode, StoredCase, store};

/// A list of a case: its form for a new row, for one that is there, taking out and putting back.
macro_rules! list_routes {
    ($routes:expr, $part:ty, $list:literal) => {
        $routes
            .get(concat!("/cases/{code}/", $list, "/new"), Writers, show_new_row::<$part>)
            .post(concat!("/cases/{code}/", $list), Writers, add_row::<$part>)
            .get(concat!("/cases/{code}/", $list, "/{id}/edit"), Writers, show_row::<$part>)
            .post(concat!("/cases/{code}/", $list, "/{id}"), Writers, save_row::<$part>)
            .post(concat!("/cases/{code}/", $list, "/{id}/remove"), Writers, take_out_row::<$part>)
            .post(concat!("/cases/{code}/", $list, "/{id}/put-back"), Writers, put_row_back::<$part>)
    };
}

/// A part of the head: its form and its save.
macro_rules! head_routes {
    ($routes:expr, $part:ty, $slug:literal) => {
        $routes.get(concat!("/cases/{code}/", $slug, "/edit"), Writers, show_head::<$part>).post(
            concat!("/cases/{code}/", $slug),
            Writers,
            save_head::<$part>,
        )
    };
}

pub(super) fn add_routes(routes: Routes) -> Routes {
    let routes = routes
        .get("/cases", SignedIn, list::list_cases)
        .get("/record", Writers, record::show_record)
        .post("/record", Writers, record::record_case)
        .get("/cases/{code}", SignedIn, page::show_case)
        .post("/cases/{code}/stage", Writers, stage::move_stage)
        .get("/cases/{code}/history", Writers, history::show_history)
        .get("/cases/{code}/history/{revision}", Writers, history::show_version)
        .post("/cases/{code}/history/{revision}/restore", Writers, history::restore_version)
        .get("/cases/{code}/identifiers", Writers, identifiers::show_identifiers)
        .post("/cases/{code}/identifiers/replace", Writers, identifiers::replace)
        .post("/cases/{code}/identifiers/dismiss", Writers, identifiers::dismiss)
        .post("/cases/{code}/identifiers/{id}/take-back", Writers, identifiers::take_back)
        .post("/identifiers/check", Writers, identifiers::check_text)
        .get("/cases/{code}/withdraw", Writers, withdraw::show_withdraw)
        .post("/cases/{code}/withdraw", Writers, withdraw::withdraw)
        .get("/cases/{code}/summary", SignedIn, summary::show_summary)
        .get("/cases/{code}/known/{number}", SignedIn, known::show_known)
        .get("/cases/{code}/prompts/{complication}/{list}/{step}", Writers, response::show_prompt)
        .post("/cases/{code}/prompts/{complication}/{list}/{step}", Writers, response::save_prompt)
        .post("/causes/advice", Writers, advice::check_statement)
        .get("/cases/{code}/judgements", Writers, judgements::show_judgements)
        .post("/cases/{code}/judgements", Writers, judgements::give_judgement)
        .get("/cases/{code}/points/{key}", Writers, decision::show_decision)
        .post("/cases/{code}/points/{key}/judgement", Writers, decision::give_judgement)
        .get("/cases/{code}/timeline", Writers, timeline::show_timeline)
        .get("/cases/{code}/timeline/log", Writers, log::show_log)
        .post("/cases/{code}/timeline/log", Writers, log::read_pasted)
        .post("/cases/{code}/timeline/log/events", Writers, log::save_entries)
        .get("/cases/{code}/walk", SignedIn, walk::show_start)
        .get("/cases/{code}/walk/{number}", SignedIn, walk::show_page)
        .post("/cases/{code}/walk/{number}", SignedIn, walk::choose)
        .post("/cases/{code}/walk/again", SignedIn, walk::start_again)
        .get("/cases/{code}/lessons/{id}/recurring", Writers, recurring::show_join)
        .post("/cases/{code}/lessons/{id}/recurring", Writers, recurring::join)
        .post("/cases/{code}/lessons/{id}/sign", Signers, page::sign_lesson)
        .post("/cases/{code}/actions/{id}/state", Writers, page::set_action_state);
    let routes = head_routes!(routes, SituationPart, "situation");
    let routes = head_routes!(routes, NarrativePart, "narrative");
    let routes = head_routes!(routes, PatientPart, "patient");
    let routes = head_routes!(routes, ProcedurePart, "procedure");
    let routes = head_routes!(routes, OutcomePart, "outcome");
    let routes = list_routes!(routes, LesionPart, "lesions");
    let routes = list_routes!(routes, ComplicationPart, "complications");
    let routes = list_routes!(routes, LabPart, "labs");
    let routes = list_routes!(routes, ObservationPart, "observations");
    let routes = list_routes!(routes, DecisionPart, "decisions");
    let routes = list_routes!(routes, CausePart, "causes");
    let routes = list_routes!(routes, LessonPart, "lessons");
    let routes = list_routes!(routes, ActionPart, "actions");
    let routes = pictures::add_routes(routes);
    routes
        .post("/cases/{code}/events", Writers, timeline::add_event)
        .get("/cases/{code}/events/{id}/edit", Writers, show_row::<EventPart>)
        .post("/cases/{code}/events/{id}", Writers, save_row::<EventPart>)
        .post("/cases/{code}/events/{id}/remove", Writers, take_out_row::<EventPart>)
        .post("/cases/{code}/events/{id}/put-back", Writers, put_row_back::<EventPart>)
}

/// The case of a code, when there is one and this account may see it.
pub(super) async fn find(
    conn: &mut SqliteConnection,
    visit: &Visit,
    code: &str,
) -> Result<StoredCase, Error> {
    let code: CaseCode = code.parse().map_err(|_| Error::NotFound)?;
    let case = store::find(conn, code).await?.ok_or(Error::NotFound)?;
    if visit.sight().sees_case(&case) { Ok(case) } else { Err(Error::NotFound) }
}

async fn load(app: &App, visit: &Visit, code: &str) -> Result<StoredCase, Error> {
    find(&mut *app.database.read().await?, visit, code).await
}
