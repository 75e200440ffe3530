//! A walk through a case for one reader alone: choose first, then learn what was chosen and what
//! followed. What a page may hold is decided by [`crate::review::walk`]; nothing else of the case
//! reaches a page before the end.

mod view;

use axum::extract::{Path, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};

use self::view::{AskedPage, OpenPage, StartPage, ToldPage};
use super::load;
use crate::case::{DecisionOption, OptionNumber, Sentences, StoredCase};
use crate::conference::votes;
use crate::rates;
use crate::review::summary::rate_mechanism;
use crate::review::walk::{Answers, Page, Question, Walk, room_choices, store};
use crate::web::error::Error;
use crate::web::form::{FieldError, Reader, Values};
use crate::web::frame::{Place, Visit, lead_to, page, page_with};
use crate::web::state::App;

/// The address of a page of the walk.
fn path_of(case: &StoredCase, number: usize) -> String {
    format!("/cases/{}/walk/{number}", case.code)
}

async fn answers_of(app: &App, visit: &Visit, case: &StoredCase) -> Result<Answers, Error> {
    Ok(store::answers(&mut *app.database.read().await?, visit.user.id, case.id).await?)
}

pub(super) async fn show_start(
    State(app): State<App>,
    visit: Visit,
    Path(code): Path<String>,
) -> Result<Response, Error> {
    let case = load(&app, &visit, &code).await?;
    let answers = answers_of(&app, &visit, &case).await?;
    let walk = Walk::of(&case, &answers);
    page(&StartPage::of(visit.frame(Place::Library), &case, &walk, visit.user.role.writes()))
}

pub(super) async fn show_page(
    State(app): State<App>,
    visit: Visit,
    Path((code, number)): Path<(String, usize)>,
) -> Result<Response, Error> {
    let case = load(&app, &visit, &code).await?;
    let answers = answers_of(&app, &visit, &case).await?;
    let walk = Walk::of(&case, &answers);
    let frame = visit.frame(Place::Library);
    match walk.page(number).ok_or(Error::NotFound)? {
        Page::First(ahead) => Ok(Redirect::to(&path_of(&case, ahead)).into_response()),
        Page::Asked(question) => {
            let typed = (Values::new(), Vec::new());
            page(&AskedPage::of(frame, &app, (&case, &walk), &question, typed))
        }
        Page::Told(told) => page(&ToldPage::of(frame, &app, (&case, &walk), &told)),
        Page::Open => {
            let mut conn = app.database.read().await?;
            let room = room_choices(&case, &votes::store::list(&mut conn, case.id).await?);
            let line = match rate_mechanism(&case) {
                Some(mechanism) => {
                    let vocabulary = app.vocabulary();
                    rates::store::case_rate(&mut conn, &vocabulary, &mechanism, app.this_month()).await?
                }
                None => None,
            };
            drop(conn);
            page(&OpenPage::of(frame, &app, (&case, &walk), &room, line.as_ref()))
        }
    }
}

/// The option and the reason that were typed.
fn read<'q>(
    values: &Values,
    question: &'q Question,
) -> Result<(&'q DecisionOption, Option<Sentences>), Vec<FieldError>> {
    let mut reader = Reader::new(values);
    let number =
        reader.required::<OptionNumber>("option", "Choose one of the options; none of them is a trap.");
    let reason = reader.optional::<Sentences>("reason");
    let option = number.and_then(|number| question.option(number));
    if let (Some(number), None) = (number, option) {
        reader.mark("option", format!("There is no option {number}. Choose one of these."));
    }
    reader.finish(option.map(|option| (option, reason)))
}

pub(super) async fn choose(
    State(app): State<App>,
    visit: Visit,
    Path((code, number)): Path<(String, usize)>,
    values: Values,
) -> Result<Response, Error> {
    let mut tx = app.database.write().await?;
    let case = super::find(&mut tx, &visit, &code).await?;
    let answers = store::answers(&mut tx, visit.user.id, case.id).await?;
    let walk = Walk::of(&case, &answers);
    let question = match walk.page(number).ok_or(Error::NotFound)? {
        Page::Asked(question) => question,
        Page::Told(_) => {
            let text = "You had chosen at this stop before; it stays as it was.";
            return Ok(lead_to(&path_of(&case, number), text, None));
        }
        Page::First(ahead) => {
            return Ok(lead_to(&path_of(&case, ahead), "Another stop comes first.", None));
        }
        Page::Open => return Ok(Redirect::to(&path_of(&case, number)).into_response()),
    };
    let again = |status, errors, values| {
        let frame = visit.frame(Place::Library);
        page_with(status, &AskedPage::of(frame, &app, (&case, &walk), &question, (values, errors)))
    };
    match read(&values, &question) {
        Err(errors) => again(StatusCode::UNPROCESSABLE_ENTITY, errors, values),
        // The options may have been written anew since the page was opened.
        Ok(_) if !question.fingerprint().matches(values.get("base")) => {
            let message = "The question or its options were changed while you read. Choose again from these.";
            let error = FieldError { name: "option".to_owned(), message: message.to_owned() };
            let reason = Values::new().with("reason", values.get("reason"));
            again(StatusCode::CONFLICT, vec![error], reason)
        }
        Ok((option, reason)) => {
            let who = (visit.user.id, case.id);
            let on = app.today();
            store::give(&mut tx, who, question.key, &option.text, reason.as_ref(), on).await?;
            tx.commit().await?;
            Ok(Redirect::to(&path_of(&case, number)).into_response())
        }
    }
}

pub(super) async fn start_again(
    State(app): State<App>,
    visit: Visit,
    Path(code): Path<String>,
) -> Result<Response, Error> {
    let mut tx = app.database.write().await?;
    let case = super::find(&mut tx, &visit, &code).await?;
    let answers = store::answers(&mut tx, visit.user.id, case.id).await?;
    if Walk::of(&case, &answers).is_begun() {
        store::start_again(&mut tx, visit.user.id, case.id).await?;
        tx.commit().await?;
    }
    let text = "You begin anew. What you chose the first time is kept as your first answer.";
    Ok(lead_to(&format!("/cases/{}/walk", case.code), text, None))
}
