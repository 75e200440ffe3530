//! The pseudonyms: adding one, giving another, ending it.

use askama::Template;
use axum::extract::{Path, State};
use axum::http::StatusCode;
use axum::response::Response;
use sqlx::SqliteConnection;

use super::{CASES, GRID, LIST, PATH, off, off_unsaved, read_id, when_on};
use crate::accounts::{Role, User, store as accounts};
use crate::case::Fingerprint;
use crate::rates::operators::{Operator, Pseudonym};
use crate::rates::store::operators as store;
use crate::web::error::Error;
use crate::web::form::{Control, Field, FieldError, FormView, Reader, Values};
use crate::web::form_page::FormPage;
use crate::web::frame::{Frame, Place, Visit, lead_to, page, page_with};
use crate::web::state::App;

const FIELD: &str = "pseudonym";
const HINT: &str = "A colour and a number, or a code: “Blue 4”. Never a name, initials, a staff number or anything else that tells colleagues who it is. Keep the list of who is who outside Relook.";

#[derive(Template)]
#[template(path = "operators/list.html")]
struct ListPage {
    frame: Frame,
    state: String,
    links: [(&'static str, &'static str); 3],
    operators: Vec<Operator>,
    form: FormView,
}

fn list_page(visit: &Visit, operators: Vec<Operator>, values: Values, errors: Vec<FieldError>) -> ListPage {
    let active = operators.iter().filter(|operator| !operator.ended).count();
    let state = match (active, operators.len()) {
        (_, 0) => "No operator has a pseudonym yet.".to_owned(),
        (1, 1) => "1 operator.".to_owned(),
        (active, all) if active == all => format!("{all} operators."),
        (active, all) => format!("{all} operators, {} of them ended.", all - active),
    };
    ListPage {
        frame: visit.frame(Place::Settings),
        state,
        links: [
            (GRID, "Procedures of each month"),
            (CASES, "Operators of the cases"),
            (PATH, "Operators against chance"),
        ],
        operators,
        form: form(LIST.to_owned(), "Add the pseudonym", values, errors),
    }
}

fn form(action: String, save: &'static str, values: Values, errors: Vec<FieldError>) -> FormView {
    FormView {
        action,
        cancel: LIST.to_owned(),
        save,
        fields: vec![Field::line(FIELD, "Pseudonym", "w-mid").hint(HINT)],
        values,
        errors,
        base: String::new(),
        take_out: None,
    }
}

pub(super) async fn show_list(State(app): State<App>, visit: Visit) -> Result<Response, Error> {
    let mut conn = app.database.read().await?;
    if when_on(&mut conn).await?.is_none() {
        return Ok(off());
    }
    page(&list_page(&visit, store::list(&mut conn).await?, Values::new(), Vec::new()))
}

/// Whether a pseudonym has a word of an account's name. The words of roles do not count: an account
/// may be called by its role.
fn is_of_an_account(pseudonym: &Pseudonym, users: &[User]) -> bool {
    let is_role = |word: &str| Role::ALL.iter().any(|role| role.label().to_lowercase().contains(word));
    users.iter().any(|user| {
        let name = user.name.as_str().to_lowercase();
        let words = name.split_whitespace().filter(|word| !is_role(word));
        pseudonym.has_a_word_of(&words.collect::<Vec<_>>().join(" "))
    })
}

/// Reads a pseudonym that no other operator has and that is no account's name.
async fn read_pseudonym(
    conn: &mut SqliteConnection,
    values: &Values,
    operators: &[Operator],
    own: Option<i64>,
) -> Result<Result<Pseudonym, Vec<FieldError>>, Error> {
    let mut reader = Reader::new(values);
    let pseudonym = reader.required::<Pseudonym>(FIELD, "Give a pseudonym, such as “Blue 4”.");
    if let Some(pseudonym) = &pseudonym {
        let mut others = operators.iter().filter(|operator| Some(operator.id) != own);
        if let Some(taken) = others.find(|operator| operator.pseudonym.is_like(pseudonym)) {
            let ended = if taken.ended { ", ended; take it up again below" } else { "" };
            reader.mark(FIELD, format!("There is a {} already{ended}.", taken.pseudonym));
        } else if is_of_an_account(pseudonym, &accounts::list(conn).await?) {
            reader.mark(FIELD, "A word of it stands in the name of an account. Give a pseudonym that tells nobody who it is.");
        }
    }
    Ok(reader.finish(pseudonym))
}

/// What was done, and a question where it reads as a name.
fn said(done: String, pseudonym: &Pseudonym) -> String {
    if pseudonym.may_be_a_name() {
        format!("{done} It reads as a name might: if it is one, give another.")
    } else {
        done
    }
}

pub(super) async fn add_operator(
    State(app): State<App>,
    visit: Visit,
    values: Values,
) -> Result<Response, Error> {
    let mut tx = app.database.write().await?;
    if when_on(&mut tx).await?.is_none() {
        return Ok(off_unsaved());
    }
    let operators = store::list(&mut tx).await?;
    let pseudonym = match read_pseudonym(&mut tx, &values, &operators, None).await? {
        Ok(pseudonym) => pseudonym,
        Err(errors) => {
            return page_with(
                StatusCode::UNPROCESSABLE_ENTITY,
                &list_page(&visit, operators, values, errors),
            );
        }
    };
    store::add(&mut tx, &pseudonym).await?;
    tx.commit().await?;
    Ok(lead_to(LIST, &said(format!("Added {pseudonym}."), &pseudonym), None))
}

async fn find(conn: &mut SqliteConnection, id: &str) -> Result<(Operator, Vec<Operator>), Error> {
    let id = read_id(id)?;
    let operators = store::list(conn).await?;
    let found = operators.iter().find(|operator| operator.id == id).cloned();
    Ok((found.ok_or(Error::NotFound)?, operators))
}

fn rename_page(visit: &Visit, saved: &Operator, values: Values, errors: Vec<FieldError>) -> FormPage {
    let address = format!("{LIST}/{}", saved.id);
    FormPage {
        frame: visit.frame(Place::Settings),
        eyebrow: "Operators".to_owned(),
        title: "Give another pseudonym".to_owned(),
        lead: format!(
            "What is recorded for {} stays with it. The pseudonym before is not kept anywhere.",
            saved.pseudonym
        ),
        form: FormView {
            base: Fingerprint::of(&saved.pseudonym.as_str()).as_str().to_owned(),
            ..form(address, "Save the pseudonym", values, errors)
        },
    }
}

pub(super) async fn show_operator(
    State(app): State<App>,
    visit: Visit,
    Path(id): Path<String>,
) -> Result<Response, Error> {
    let mut conn = app.database.read().await?;
    if when_on(&mut conn).await?.is_none() {
        return Ok(off());
    }
    let (saved, _) = find(&mut conn, &id).await?;
    let values = Values::new().with(FIELD, &saved.pseudonym);
    page(&rename_page(&visit, &saved, values, Vec::new()))
}

pub(super) async fn rename_operator(
    State(app): State<App>,
    visit: Visit,
    Path(id): Path<String>,
    values: Values,
) -> Result<Response, Error> {
    let mut tx = app.database.write().await?;
    if when_on(&mut tx).await?.is_none() {
        return Ok(off_unsaved());
    }
    let (saved, operators) = find(&mut tx, &id).await?;
    let pseudonym = match read_pseudonym(&mut tx, &values, &operators, Some(saved.id)).await? {
        Ok(pseudonym) => pseudonym,
        Err(errors) => {
            let mut form = rename_page(&visit, &saved, values.clone(), errors);
            form.form.base = values.get("base").to_owned();
            return page_with(StatusCode::UNPROCESSABLE_ENTITY, &form);
        }
    };
    if pseudonym == saved.pseudonym {
        return Ok(lead_to(LIST, "Nothing was changed.", None));
    }
    if !Fingerprint::of(&saved.pseudonym.as_str()).matches(values.get("base")) {
        let held = Values::new().with(FIELD, &saved.pseudonym);
        let form = rename_page(&visit, &saved, values, Vec::new());
        return page_with(StatusCode::CONFLICT, &form.stale(&held));
    }
    store::rename(&mut tx, saved.id, &pseudonym).await?;
    tx.commit().await?;
    Ok(lead_to(LIST, &said(format!("Saved {pseudonym}."), &pseudonym), None))
}

pub(super) async fn end_operator(
    State(app): State<App>,
    _visit: Visit,
    Path(id): Path<String>,
) -> Result<Response, Error> {
    set_ended(&app, &id, true).await
}

pub(super) async fn take_up_operator(
    State(app): State<App>,
    _visit: Visit,
    Path(id): Path<String>,
) -> Result<Response, Error> {
    set_ended(&app, &id, false).await
}

async fn set_ended(app: &App, id: &str, ended: bool) -> Result<Response, Error> {
    let mut tx = app.database.write().await?;
    if when_on(&mut tx).await?.is_none() {
        return Ok(off_unsaved());
    }
    let (operator, _) = find(&mut tx, id).await?;
    store::set_ended(&mut tx, operator.id, ended).await?;
    tx.commit().await?;
    let (done, undo) = if ended {
        (format!("{} has ended. What is recorded for it stays.", operator.pseudonym), "take-up")
    } else {
        (format!("{} is taken up again.", operator.pseudonym), "end")
    };
    Ok(lead_to(LIST, &done, Some(&format!("{LIST}/{}/{undo}", operator.id))))
}
