//! Signing in by name and password or by a link, with a code where one is asked for, and signing out.

mod code;
mod link;

use askama::Template;
use axum::extract::{Query, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};
use axum_extra::extract::CookieJar;
use serde::Deserialize;

use super::access::Allow;
use super::error::Error;
use super::form::Values;
use super::frame::{Frame, Place, lead_to, page, page_with};
use super::router::Routes;
use super::session::{Caller, begin_step, end_session, start_session};
use super::state::App;
use super::tries::{Tried, remember, try_password, with_wait};
use crate::accounts::{NewPassword, PasswordRules, User, store};

pub(super) fn add_routes(routes: Routes) -> Routes {
    routes
        .get("/sign-in", Allow::Anyone, show_sign_in)
        .post("/sign-in", Allow::Anyone, sign_in)
        .get("/sign-in/code", Allow::Anyone, code::show_code)
        .post("/sign-in/code", Allow::Anyone, code::give_code)
        .get("/sign-in/link/{secret}", Allow::Anyone, link::show_link)
        .post("/sign-in/link/{secret}", Allow::Anyone, link::use_link)
        .post("/sign-out", Allow::Anyone, sign_out)
}

#[derive(Template)]
#[template(path = "sign_in.html")]
struct SignInPage {
    frame: Frame,
    name: String,
    next: String,
    problem: Option<String>,
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

async fn show_sign_in(State(app): State<App>, Query(query): Query<Next>) -> Result<Response, Error> {
    page(&SignInPage {
        frame: frame(&app),
        name: String::new(),
        next: own_path(&query.next).to_owned(),
        problem: None,
    })
}

async fn sign_in(
    State(app): State<App>,
    caller: Caller,
    jar: CookieJar,
    values: Values,
) -> Result<Response, Error> {
    let password = values.get("password");
    let (problem, wait) = match try_password(&app, &caller, values.get("name"), password).await? {
        Ok(user_id) => {
            let user = store::find(&mut *app.database.read().await?, user_id).await?;
            let user = user.ok_or(Error::NotFound)?;
            return enter(&app, &caller, jar, &user, own_path(values.get("next")), Some(password)).await;
        }
        Err(Tried::Wait(wait)) => (wait.sentence(), Some(wait)),
        Err(_) => (
            "Name and password do not go together. Check both; the quality lead can give you a new sign-in link."
                .to_owned(),
            None,
        ),
    };
    let shown = page_with(
        StatusCode::UNPROCESSABLE_ENTITY,
        &SignInPage {
            frame: frame(&app),
            name: values.get("name").to_owned(),
            next: own_path(values.get("next")).to_owned(),
            problem: Some(problem),
        },
    )?;
    Ok(with_wait(shown, wait))
}

/// Lets somebody in whose password or link was right: at once, or to the question for their code.
async fn enter(
    app: &App,
    caller: &Caller,
    jar: CookieJar,
    user: &User,
    next: &str,
    password: Option<&str>,
) -> Result<Response, Error> {
    if user.second_factor {
        let jar = begin_step(app, jar, user.id).await?;
        let query = form_urlencoded::Serializer::new(String::new()).append_pair("next", next).finish();
        return Ok((jar, Redirect::to(&format!("/sign-in/code?{query}"))).into_response());
    }
    let jar = start_session(app, caller, jar, user.id).await?;
    remember(app, caller, user);
    match password.and_then(|password| advice_on(password, user)) {
        Some(advice) => Ok((jar, lead_to(next, &advice, None)).into_response()),
        None => Ok((jar, Redirect::to(next)).into_response()),
    }
}

/// What to say of a password that was accepted under earlier rules: it still opens.
fn advice_on(password: &str, user: &User) -> Option<String> {
    let rules = PasswordRules { name: &user.name, second_factor: user.second_factor };
    let reason = NewPassword::parse(password, &rules).err()?;
    Some(format!("Choose another password under your name, at the top, when you have a minute. {reason}"))
}

async fn sign_out(State(app): State<App>, jar: CookieJar) -> Result<Response, Error> {
    Ok((end_session(&app, jar).await?, Redirect::to("/sign-in")).into_response())
}
