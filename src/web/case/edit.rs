//! Editing a part of a case: the same handlers for every part of the head and every list.

use axum::extract::{Path, RawQuery, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};

use super::load;
use super::part::{Context, HeadPart, Part, RowPart, Shelf};
use crate::case::{Case, CaseCode, Fingerprint, Head, StoredCase, check, store};
use crate::web::error::Error;
use crate::web::form::{FieldError, FormView, Values};
use crate::web::form_page::FormPage;
use crate::web::frame::{Place, Visit, lead_to, page, page_with};
use crate::web::state::App;

/// Where a form is sent and where it came from.
struct Address {
    action: String,
    cancel: String,
    take_out: Option<String>,
}

fn case_words(code: CaseCode) -> String {
    format!("Case {code}")
}

/// The page with a part's form.
fn form_page<P: Part>(
    visit: &Visit,
    context: &Context,
    at: Address,
    values: Values,
    errors: Vec<FieldError>,
    base: String,
) -> FormPage {
    FormPage {
        frame: visit.frame(Place::Cases),
        eyebrow: case_words(context.case.code),
        title: P::title(&values),
        lead: P::lead(&values),
        form: FormView {
            action: at.action,
            cancel: at.cancel,
            save: "Save",
            fields: P::fields(context, &values),
            values,
            errors,
            base,
            take_out: at.take_out,
        },
    }
}

/// The page that sets what was saved meanwhile beside what was typed, and asks.
fn stale_page<P: Part>(
    visit: &Visit,
    context: &Context,
    at: Address,
    saved: &P::Value,
    typed: Values,
) -> Result<Response, Error> {
    let base = Fingerprint::of(saved).as_str().to_owned();
    let form = form_page::<P>(visit, context, at, typed, Vec::new(), base);
    page_with(StatusCode::CONFLICT, &form.stale(&P::values(saved)))
}

// ---- The head ----

fn head_place<P: HeadPart>(code: CaseCode) -> Address {
    Address {
        action: format!("/cases/{code}/{}", P::SLUG),
        cancel: format!("/cases/{code}#{}", P::SLUG),
        take_out: None,
    }
}

/// The problems of the case as it would be with this head, that stand in this part of it.
fn head_problems<P: HeadPart>(context: &Context, head: &Head) -> Vec<FieldError> {
    let case = StoredCase { head: head.clone(), ..context.case.clone() }.to_case();
    check(&case, context.vocabulary)
        .into_iter()
        .filter(|problem| problem.place.list.is_empty() && problem.place.field == P::SLUG)
        .map(|problem| FieldError { name: String::new(), message: problem.message })
        .collect()
}

pub(super) async fn show_head<P: HeadPart>(
    State(app): State<App>,
    visit: Visit,
    Path(code): Path<String>,
) -> Result<Response, Error> {
    let case = load(&app, &visit, &code).await?;
    let value = P::of(&case.head);
    let shelf = Shelf::of(&app);
    let context = shelf.context(&case);
    let base = Fingerprint::of(&value).as_str().to_owned();
    page(&form_page::<P>(&visit, &context, head_place::<P>(case.code), P::values(&value), Vec::new(), base))
}

pub(super) async fn save_head<P: HeadPart>(
    State(app): State<App>,
    visit: Visit,
    Path(code): Path<String>,
    values: Values,
) -> Result<Response, Error> {
    let mut tx = app.database.write().await?;
    let case = super::find(&mut tx, &visit, &code).await?;
    let shelf = Shelf::of(&app);
    let context = shelf.context(&case);
    let at = head_place::<P>(case.code);
    let saved = P::of(&case.head);
    let value = match P::read(&values, &context, Some(&saved)) {
        Ok(value) => value,
        Err(errors) => {
            let base = values.get("base").to_owned();
            let page = form_page::<P>(&visit, &context, at, values, errors, base);
            return page_with(StatusCode::UNPROCESSABLE_ENTITY, &page);
        }
    };
    let mut head = case.head.clone();
    P::put(&mut head, value.clone());
    let errors = head_problems::<P>(&context, &head);
    if !errors.is_empty() {
        let base = values.get("base").to_owned();
        let page = form_page::<P>(&visit, &context, at, values, errors, base);
        return page_with(StatusCode::UNPROCESSABLE_ENTITY, &page);
    }
    if value != saved {
        if !Fingerprint::of(&saved).matches(values.get("base")) {
            return stale_page::<P>(&visit, &context, at, &saved, values);
        }
        store::update_head(&mut tx, case.id, &head, app.now()).await?;
        tx.commit().await?;
    }
    Ok(lead_to(&at.cancel, &format!("Saved {}.", app.clock()), None))
}

// ---- The lists ----

fn row_place<P: RowPart>(code: CaseCode, id: Option<i64>) -> Address {
    let list = P::LIST.slug();
    // Events stand on the timeline, in the address as on the page.
    let anchor = if list == "events" { "timeline" } else { list };
    match id {
        Some(id) => Address {
            action: format!("/cases/{code}/{list}/{id}"),
            cancel: format!("/cases/{code}#{anchor}"),
            take_out: Some(format!("/cases/{code}/{list}/{id}/remove")),
        },
        None => Address {
            action: format!("/cases/{code}/{list}"),
            cancel: format!("/cases/{code}#{anchor}"),
            take_out: None,
        },
    }
}

/// The problems of the case as it would be with this row, that stand in this row.
fn row_problems<P: RowPart>(context: &Context, index: usize, value: &P::Value) -> Vec<FieldError> {
    let mut case: Case = context.case.to_case();
    let rows = P::rows_mut(&mut case);
    if index < rows.len() {
        rows[index] = value.clone();
    } else {
        rows.push(value.clone());
    }
    check(&case, context.vocabulary)
        .into_iter()
        .filter(|problem| problem.place.list == P::LIST.slug())
        // A problem of the whole list stands at its limit rather than at a row.
        .filter(|problem| problem.place.index == index || problem.place.field.is_empty())
        .map(|problem| FieldError { name: problem.place.field.to_owned(), message: problem.message })
        .collect()
}

fn read_row<P: RowPart>(
    values: &Values,
    context: &Context,
    index: usize,
    was: Option<&P::Value>,
) -> Result<P::Value, Vec<FieldError>> {
    let value = P::read(values, context, was)?;
    let problems = row_problems::<P>(context, index, &value);
    if problems.is_empty() { Ok(value) } else { Err(problems) }
}

pub(super) fn index_of<P: RowPart>(case: &StoredCase, id: i64) -> Result<usize, Error> {
    P::rows(case).iter().position(|row| row.id == id).ok_or(Error::NotFound)
}

pub(super) async fn show_new_row<P: RowPart>(
    State(app): State<App>,
    visit: Visit,
    Path(code): Path<String>,
    RawQuery(query): RawQuery,
) -> Result<Response, Error> {
    let case = load(&app, &visit, &code).await?;
    let values = Values::from_encoded(&query.unwrap_or_default());
    if let Some(id) = P::already(&case, &values) {
        let path = format!("/cases/{}/{}/{id}/edit", case.code, P::LIST.slug());
        return Ok(Redirect::to(&path).into_response());
    }
    let shelf = Shelf::of(&app);
    let context = shelf.context(&case);
    page(&form_page::<P>(
        &visit,
        &context,
        row_place::<P>(case.code, None),
        P::fresh(&context, values),
        Vec::new(),
        String::new(),
    ))
}

/// Reads and stores a new row; gives the case as it was and what was wrong when it was not stored.
pub(super) async fn try_add<P: RowPart>(
    app: &App,
    visit: &Visit,
    code: &str,
    values: &Values,
) -> Result<(StoredCase, Option<Vec<FieldError>>), Error> {
    let mut tx = app.database.write().await?;
    let case = super::find(&mut tx, visit, code).await?;
    let free_key = store::free_key(&mut tx, case.id, P::LIST).await?;
    let shelf = Shelf::of(app);
    let context = Context { free_key: Some(free_key), ..shelf.context(&case) };
    match read_row::<P>(values, &context, P::rows(&case).len(), None) {
        Err(errors) => Ok((case, Some(errors))),
        Ok(value) => {
            let units = P::units(&value);
            store::insert_row(&mut tx, case.id, &P::row_value(value), app.now()).await?;
            let remembered = app.remember_units(&mut tx, units).await?;
            tx.commit().await?;
            if remembered {
                app.reload_department().await?;
            }
            Ok((case, None))
        }
    }
}

pub(super) async fn add_row<P: RowPart>(
    State(app): State<App>,
    visit: Visit,
    Path(code): Path<String>,
    values: Values,
) -> Result<Response, Error> {
    let (case, errors) = try_add::<P>(&app, &visit, &code, &values).await?;
    let at = row_place::<P>(case.code, None);
    match errors {
        None => Ok(lead_to(&at.cancel, &format!("Saved {}.", app.clock()), None)),
        Some(errors) => {
            let shelf = Shelf::of(&app);
            let context = shelf.context(&case);
            let page = form_page::<P>(&visit, &context, at, values, errors, String::new());
            page_with(StatusCode::UNPROCESSABLE_ENTITY, &page)
        }
    }
}

pub(super) async fn show_row<P: RowPart>(
    State(app): State<App>,
    visit: Visit,
    Path((code, id)): Path<(String, i64)>,
) -> Result<Response, Error> {
    let case = load(&app, &visit, &code).await?;
    let value = &P::rows(&case)[index_of::<P>(&case, id)?].value;
    if let Some(why) = P::refuse(value, visit.user.role.signs()) {
        return Err(Error::Forbidden(why));
    }
    let shelf = Shelf::of(&app);
    let context = shelf.context(&case);
    let base = Fingerprint::of(value).as_str().to_owned();
    page(&form_page::<P>(
        &visit,
        &context,
        row_place::<P>(case.code, Some(id)),
        P::values(value),
        Vec::new(),
        base,
    ))
}

pub(super) async fn save_row<P: RowPart>(
    State(app): State<App>,
    visit: Visit,
    Path((code, id)): Path<(String, i64)>,
    values: Values,
) -> Result<Response, Error> {
    let mut tx = app.database.write().await?;
    let case = super::find(&mut tx, &visit, &code).await?;
    let index = index_of::<P>(&case, id)?;
    let saved = &P::rows(&case)[index].value;
    if let Some(why) = P::refuse(saved, visit.user.role.signs()) {
        return Err(Error::Forbidden(why));
    }
    let shelf = Shelf::of(&app);
    let context = shelf.context(&case);
    let at = row_place::<P>(case.code, Some(id));
    let value = match read_row::<P>(&values, &context, index, Some(saved)) {
        Ok(value) => value,
        Err(errors) => {
            let base = values.get("base").to_owned();
            let page = form_page::<P>(&visit, &context, at, values, errors, base);
            return page_with(StatusCode::UNPROCESSABLE_ENTITY, &page);
        }
    };
    if value != *saved {
        if !Fingerprint::of(saved).matches(values.get("base")) {
            return stale_page::<P>(&visit, &context, at, saved, values);
        }
        let units = P::units(&value);
        store::update_row(&mut tx, case.id, id, &P::row_value(value), app.now()).await?;
        let remembered = app.remember_units(&mut tx, units).await?;
        tx.commit().await?;
        if remembered {
            app.reload_department().await?;
        }
    }
    Ok(lead_to(&at.cancel, &format!("Saved {}.", app.clock()), None))
}

pub(super) async fn take_out_row<P: RowPart>(
    State(app): State<App>,
    visit: Visit,
    Path((code, id)): Path<(String, i64)>,
) -> Result<Response, Error> {
    let mut tx = app.database.write().await?;
    let case = super::find(&mut tx, &visit, &code).await?;
    let value = &P::rows(&case)[index_of::<P>(&case, id)?].value;
    if let Some(why) = P::refuse(value, visit.user.role.signs()) {
        return Err(Error::Forbidden(why));
    }
    store::take_out(&mut tx, case.id, P::LIST, id, app.now()).await?;
    tx.commit().await?;
    let at = row_place::<P>(case.code, None);
    let undo = format!("/cases/{}/{}/{id}/put-back", case.code, P::LIST.slug());
    Ok(lead_to(&at.cancel, &format!("The {} is taken out.", P::NOUN), Some(&undo)))
}

pub(super) async fn put_row_back<P: RowPart>(
    State(app): State<App>,
    visit: Visit,
    Path((code, id)): Path<(String, i64)>,
) -> Result<Response, Error> {
    let mut tx = app.database.write().await?;
    let case = super::find(&mut tx, &visit, &code).await?;
    if !store::put_back(&mut tx, case.id, P::LIST, id, app.now()).await? {
        return Err(Error::NotFound);
    }
    tx.commit().await?;
    let at = row_place::<P>(case.code, None);
    Ok(lead_to(&at.cancel, &format!("The {} is back.", P::NOUN), None))
}
