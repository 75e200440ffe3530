//! Signing in by a link: whoever follows a one-time link chooses a password; a link of the demo just opens.

use askama::Template;
use axum::extract::{Path, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};
use axum_extra::extract::CookieJar;

use super::{enter, frame};
use crate::accounts::{Secret, User, store};
use crate::web::account::{NewPasswordForm, read_new_password};
use crate::web::error::Error;
use crate::web::form::{Control, FieldError, FormView, Values};
use crate::web::frame::{Frame, page_with};
use crate::web::session::Caller;
use crate::web::state::App;
use crate::web::tries::with_wait;

#[derive(Template)]
#[template(path = "sign_in_link.html")]
struct OpenPage {
    frame: Frame,
    action: String,
    name: String,
    role: String,
}

#[derive(Template)]
#[template(path = "sign_in_password.html")]
struct PasswordPage {
    frame: Frame,
    name: String,
    role: String,
    /// Whether the account has a password that this one replaces.
    again: bool,
    form: FormView,
}

#[derive(Template)]
#[template(path = "sign_in_link_over.html")]
struct OverPage {
    frame: Frame,
    /// Why it opens nothing now, where it is not the link's fault.
    wait: Option<String>,
}

fn address(secret: &Secret) -> String {
    format!("/sign-in/link/{}", secret.expose())
}

fn role_of(user: &User) -> String {
    user.role.label().to_lowercase()
}

fn password_page(app: &App, secret: &Secret, user: &User, errors: Vec<FieldError>) -> PasswordPage {
    PasswordPage {
        frame: frame(app),
        name: user.name.to_string(),
        role: role_of(user),
        again: user.has_password,
        form: FormView {
            action: address(secret),
            cancel: "/sign-in".to_owned(),
            save: "Save the password and sign in",
            fields: NewPasswordForm::fields(user.second_factor),
            values: Values::new(),
            errors,
            base: String::new(),
            take_out: None,
        },
    }
}

fn over(app: &App) -> Result<Response, Error> {
    page_with(StatusCode::NOT_FOUND, &OverPage { frame: frame(app), wait: None })
}

/// What a link opens. Guessing links is slowed down by address; one that opens does not count.
async fn find(
    app: &App,
    caller: &Caller,
    text: &str,
) -> Result<Result<(Secret, store::Link), Response>, Error> {
    if let Err(wait) = app.throttle().begin(None, caller.address, app.now()) {
        let shown = OverPage { frame: frame(app), wait: Some(wait.sentence()) };
        return Ok(Err(with_wait(page_with(StatusCode::TOO_MANY_REQUESTS, &shown)?, wait)));
    }
    let Some(secret) = Secret::from_text(text) else {
        return Ok(Err(over(app)?));
    };
    let Some(link) = store::find_link(&mut *app.database.read().await?, &secret, app.now()).await? else {
        return Ok(Err(over(app)?));
    };
    app.throttle().succeeded(None, caller.address, app.now());
    Ok(Ok((secret, link)))
}

/// The link's page asks for a press, so that a mail scanner or a preview does not use it up.
pub(super) async fn show_link(
    State(app): State<App>,
    caller: Caller,
    Path(text): Path<String>,
) -> Result<Response, Error> {
    let (secret, link) = match find(&app, &caller, &text).await? {
        Ok(found) => found,
        Err(shown) => return Ok(shown),
    };
    if link.reusable {
        let user = link.user;
        let role = role_of(&user);
        let open =
            OpenPage { frame: frame(&app), action: address(&secret), name: user.name.to_string(), role };
        return page_with(StatusCode::OK, &open);
    }
    page_with(StatusCode::OK, &password_page(&app, &secret, &link.user, Vec::new()))
}

pub(super) async fn use_link(
    State(app): State<App>,
    caller: Caller,
    jar: CookieJar,
    Path(text): Path<String>,
    values: Values,
) -> Result<Response, Error> {
    let (secret, link) = match find(&app, &caller, &text).await? {
        Ok(found) => found,
        Err(shown) => return Ok(shown),
    };
    let user = link.user;
    if link.reusable {
        return enter(&app, &caller, jar, &user, "/", None).await;
    }
    let password = match read_new_password(&values, &user) {
        Ok(password) => password,
        Err(errors) => {
            let shown = password_page(&app, &secret, &user, errors);
            return page_with(StatusCode::UNPROCESSABLE_ENTITY, &shown);
        }
    };
    let hash = password.hash_aside().await?;
    let mut tx = app.database.write().await?;
    // Somebody may have followed it meanwhile.
    if store::find_link(&mut tx, &secret, app.now()).await?.is_none() {
        return Ok(Redirect::to(&address(&secret)).into_response());
    }
    store::use_link(&mut tx, &secret, app.now()).await?;
    store::set_password_hash(&mut tx, user.id, &hash).await?;
    tx.commit().await?;
    enter(&app, &caller, jar, &user, "/", None).await
}
