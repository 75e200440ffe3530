//! Signing in by name and password or by a link, and signing out.

use askama::Template;
use axum::extract::{Path, Query, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};
use axum_extra::extract::CookieJar;
use serde::Deserialize;

use super::access::{end_session, start_session};
use super::error::Error;
use super::form::Values;
use super::frame::{Frame, Place, page, page_with};
use super::state::App;
use crate::accounts::{Secret, store};

#[derive(Template)]
#[template(path = "sign_in.html")]
struct SignInPage {
    frame: Frame,
    name: String,
    next: String,
    problem: Option<&'static str>,
}

#[derive(Template)]
#[template(path = "sign_in_link.html")]
struct LinkPage {
    frame: Frame,
    action: String,
    name: Option<String>,
    role: String,
}

/// Where to go after sign-in.
#[derive(Deserialize)]
pub(super) struct Next {
    #[serde(default)]
    next: String,
}

/// A path of our own; anything else becomes the overview, so that a crafted link leads nowhere else.
fn own_path(next: &str) -> &str {
    let inside = next.starts_with('/') && !next.starts_with("//") && !next.contains(['\\', '\r', '\n']);
    if inside && next.len() < 400 { next } else { "/" }
}

fn frame(app: &App) -> Frame {
    Frame::new(None, Place::Elsewhere, None, app.settings.demo)
}

pub(super) async fn show_sign_in(
    State(app): State<App>,
    Query(query): Query<Next>,
) -> Result<Response, Error> {
    page(&SignInPage {
        frame: frame(&app),
        name: String::new(),
        next: own_path(&query.next).to_owned(),
        problem: None,
    })
}

pub(super) async fn sign_in(
    State(app): State<App>,
    jar: CookieJar,
    values: Values,
) -> Result<Response, Error> {
    let found = store::password_hash(&mut *app.database.read().await?, values.get("name").trim()).await?;
    let (user_id, kept) = found.map_or((None, None), |(id, hash)| (Some(id), hash));
    let password = values.get("password").to_owned();
    let right = tokio::task::spawn_blocking(move || store::check_password(&password, kept.as_deref()))
        .await
        .map_err(anyhow::Error::from)?;
    match user_id.filter(|_| right) {
        Some(user_id) => {
            let jar = start_session(&app, jar, user_id).await?;
            Ok((jar, Redirect::to(own_path(values.get("next")))).into_response())
        }
        None => page_with(
            StatusCode::UNPROCESSABLE_ENTITY,
            &SignInPage {
                frame: frame(&app),
                name: values.get("name").to_owned(),
                next: own_path(values.get("next")).to_owned(),
                problem: Some(
                    "Name and password do not go together. Check both; the quality lead can give you a new sign-in link.",
                ),
            },
        ),
    }
}

/// The link's page asks for a click, so that a mail scanner or a preview does not use it up.
pub(super) async fn show_link(State(app): State<App>, Path(secret): Path<String>) -> Result<Response, Error> {
    let user = match Secret::from_text(&secret) {
        Some(secret) => store::find_link(&mut *app.database.read().await?, &secret, app.now()).await?,
        None => None,
    };
    let status = if user.is_some() { StatusCode::OK } else { StatusCode::NOT_FOUND };
    page_with(
        status,
        &LinkPage {
            frame: frame(&app),
            action: format!("/sign-in/link/{secret}"),
            role: user.as_ref().map_or_else(String::new, |user| user.role.label().to_lowercase()),
            name: user.map(|user| user.name.to_string()),
        },
    )
}

pub(super) async fn use_link(
    State(app): State<App>,
    jar: CookieJar,
    Path(secret): Path<String>,
) -> Result<Response, Error> {
    let Some(secret) = Secret::from_text(&secret) else {
        return Err(Error::NotFound);
    };
    let mut tx = app.database.write().await?;
    let Some(user) = store::find_link(&mut tx, &secret, app.now()).await? else {
        return Ok(Redirect::to(&format!("/sign-in/link/{}", secret.expose())).into_response());
    };
    store::use_link(&mut tx, &secret, app.now()).await?;
    tx.commit().await?;
    let jar = start_session(&app, jar, user.id).await?;
    let target = if user.has_password || app.settings.demo { "/" } else { "/account" };
    Ok((jar, Redirect::to(target)).into_response())
}

pub(super) async fn sign_out(State(app): State<App>, jar: CookieJar) -> Result<Response, Error> {
    Ok((end_session(&app, jar).await?, Redirect::to("/sign-in")).into_response())
}
