//! The second step of signing in: a code from the phone, or a recovery code.

use askama::Template;
use axum::extract::{Query, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};
use axum_extra::extract::CookieJar;

use super::{Next, frame, own_path};
use crate::accounts::{STEP_MINUTES, User, store};
use crate::web::error::Error;
use crate::web::form::Values;
use crate::web::frame::{Frame, page, page_with};
use crate::web::session::{Caller, forget_step, start_session, step_secret};
use crate::web::state::App;
use crate::web::tries::{Tried, remember, try_code, with_wait};

#[derive(Template)]
#[template(path = "sign_in_code.html")]
struct CodePage {
    frame: Frame,
    name: String,
    next: String,
    minutes: i64,
    problem: Option<String>,
}

fn code_page(app: &App, user: &User, next: &str, problem: Option<String>) -> CodePage {
    CodePage {
        frame: frame(app),
        name: user.name.to_string(),
        next: own_path(next).to_owned(),
        minutes: STEP_MINUTES,
        problem,
    }
}

/// Whose code is waited for in this browser.
async fn waited_for(app: &App, jar: &CookieJar) -> Result<Option<User>, Error> {
    match step_secret(app, jar) {
        Some(secret) => Ok(store::find_step(&mut *app.database.read().await?, &secret, app.now()).await?),
        None => Ok(None),
    }
}

/// Nobody's code is waited for, or no longer: it begins with the password again.
fn begin_again(app: &App, jar: CookieJar) -> Response {
    (forget_step(app, jar), Redirect::to("/sign-in")).into_response()
}

pub(super) async fn show_code(
    State(app): State<App>,
    jar: CookieJar,
    Query(query): Query<Next>,
) -> Result<Response, Error> {
    match waited_for(&app, &jar).await? {
        Some(user) => page(&code_page(&app, &user, &query.next, None)),
        None => Ok(begin_again(&app, jar)),
    }
}

pub(super) async fn give_code(
    State(app): State<App>,
    caller: Caller,
    jar: CookieJar,
    values: Values,
) -> Result<Response, Error> {
    let Some(user) = waited_for(&app, &jar).await? else {
        return Ok(begin_again(&app, jar));
    };
    let next = values.get("next");
    let (problem, wait) = match try_code(&app, &caller, &user, values.get("code")).await? {
        Tried::Right => return let_in(&app, &caller, jar, &user, own_path(next)).await,
        Tried::Wrong => (
            "This code is not right, or was used already. Wait for the next one on your phone, or take a recovery code that you have not used."
                .to_owned(),
            None,
        ),
        Tried::Wait(wait) => (wait.sentence(), Some(wait)),
    };
    let shown = page_with(StatusCode::UNPROCESSABLE_ENTITY, &code_page(&app, &user, next, Some(problem)))?;
    Ok(with_wait(shown, wait))
}

async fn let_in(
    app: &App,
    caller: &Caller,
    jar: CookieJar,
    user: &User,
    next: &str,
) -> Result<Response, Error> {
    if let Some(secret) = step_secret(app, &jar) {
        let mut tx = app.database.write().await?;
        // Another request may have used the wait up, or a new password may have ended it.
        if store::find_step(&mut tx, &secret, app.now()).await?.is_none() {
            return Ok(begin_again(app, jar));
        }
        store::end_step(&mut tx, &secret).await?;
        tx.commit().await?;
    }
    let jar = start_session(app, caller, forget_step(app, jar), user.id).await?;
    remember(app, caller, user);
    Ok((jar, Redirect::to(next)).into_response())
}
