//! Drafts of forms: kept while somebody types, offered when the form is opened again, gone once it is saved.

use askama::Template;
use axum::extract::{Query, Request, State};
use axum::http::{Method, StatusCode, header};
use axum::middleware::Next;
use axum::response::{IntoResponse, Response};
use serde::Deserialize;

use super::access::{Allow, Viewer};
use super::case::moment;
use super::error::Error;
use super::form::Values;
use super::frame::{Frame, Place, Visit, lead_to, page};
use super::router::Routes;
use super::state::App;
use crate::draft::{Draft, KeptDraft, store};

const ADDRESS: &str = "/drafts";

pub(super) fn add_routes(routes: Routes) -> Routes {
    routes
        .get(ADDRESS, Allow::SignedIn, list_drafts)
        .post(ADDRESS, Allow::SignedIn, keep_draft)
        .get("/drafts/form", Allow::SignedIn, draft_of_form)
        .post("/drafts/discard", Allow::SignedIn, discard_draft)
}

struct DraftView {
    action: String,
    page: String,
    title: String,
    at: String,
    /// What was typed, field by field, without what a person never sees.
    texts: Vec<String>,
}

#[derive(Template)]
#[template(path = "drafts.html")]
struct DraftsPage {
    frame: Frame,
    state: String,
    drafts: Vec<DraftView>,
}

fn view(kept: KeptDraft) -> DraftView {
    let hidden = ["base", super::merge::MARKS];
    let fields = Values::from_encoded(&kept.draft.fields).into_pairs();
    DraftView {
        at: moment(kept.at),
        texts: fields
            .into_iter()
            .filter(|(name, value)| !hidden.contains(&name.as_str()) && !value.trim().is_empty())
            .map(|(_, value)| value)
            .collect(),
        action: kept.draft.action,
        page: kept.draft.page,
        title: kept.draft.title,
    }
}

async fn list_drafts(State(app): State<App>, visit: Visit) -> Result<Response, Error> {
    let mut conn = app.database.read().await?;
    let drafts = store::list(&mut conn, visit.user.id, app.now()).await?;
    page(&DraftsPage {
        frame: visit.frame(Place::Elsewhere),
        state: how_many(drafts.len()),
        drafts: drafts.into_iter().map(view).collect(),
    })
}

/// How many texts wait, in a sentence.
pub(super) fn how_many(drafts: usize) -> String {
    match drafts {
        0 => "Everything you typed is saved.".to_owned(),
        1 => "One text is not saved.".to_owned(),
        many => format!("{many} texts are not saved."),
    }
}

async fn keep_draft(State(app): State<App>, visit: Visit, sent: Values) -> Result<Response, Error> {
    let draft = Draft::new(sent.get("action"), sent.get("page"), sent.get("title"), sent.get("fields"))
        .map_err(|error| Error::BadRequest(error.to_string()))?;
    let mut tx = app.database.write().await?;
    store::keep(&mut tx, visit.user.id, &draft, app.now()).await?;
    tx.commit().await?;
    Ok(StatusCode::NO_CONTENT.into_response())
}

#[derive(Deserialize)]
struct Asked {
    action: String,
}

/// The draft of a form for the script that offers it; nothing when there is none.
async fn draft_of_form(
    State(app): State<App>,
    visit: Visit,
    Query(asked): Query<Asked>,
) -> Result<Response, Error> {
    let mut conn = app.database.read().await?;
    let Some(kept) = store::find(&mut conn, visit.user.id, &asked.action).await? else {
        return Ok(StatusCode::NO_CONTENT.into_response());
    };
    let text = serde_json::json!({ "at": moment(kept.at), "fields": kept.draft.fields }).to_string();
    Ok(([(header::CONTENT_TYPE, "application/json"), (header::CACHE_CONTROL, "no-store")], text)
        .into_response())
}

async fn discard_draft(State(app): State<App>, visit: Visit, sent: Values) -> Result<Response, Error> {
    let mut tx = app.database.write().await?;
    store::discard(&mut tx, visit.user.id, sent.get("action")).await?;
    tx.commit().await?;
    Ok(lead_to(ADDRESS, "The draft is discarded.", None))
}

/// Once a form is saved, its draft goes: whatever form it was, in one place.
pub(super) async fn let_go_when_saved(State(app): State<App>, request: Request, next: Next) -> Response {
    let form = (request.method() == Method::POST).then(|| request.uri().path().to_owned());
    let user = request.extensions().get::<Viewer>().and_then(|viewer| viewer.0.as_ref().map(|user| user.id));
    let response = next.run(request).await;
    if let (Some(form), Some(user), true) = (form, user, response.status() == StatusCode::SEE_OTHER)
        && let Err(error) = let_go(&app, user, &form).await
    {
        // The form is saved; a draft too many does no harm.
        tracing::warn!(%error, "a draft could not be let go");
    }
    response
}

async fn let_go(app: &App, user: i64, form: &str) -> Result<(), Error> {
    if store::find(&mut *app.database.read().await?, user, form).await?.is_none() {
        return Ok(());
    }
    let mut tx = app.database.write().await?;
    store::discard(&mut tx, user, form).await?;
    tx.commit().await?;
    Ok(())
}
