//! One's own account: the password, a second factor, and where one is signed in.

mod codes;
mod password;
mod second_factor;
mod sessions;

use askama::Template;
use axum::extract::State;
use axum::http::StatusCode;
use axum::response::Response;

use super::access::Allow;
use super::error::Error;
use super::form::{Control, FieldError, FormView, Values};
use super::frame::{Frame, Place, Visit, page_with};
use super::router::Routes;
use super::session::Here;
use super::state::App;
use crate::accounts::{IDLE_MINUTES, SESSION_HOURS, store};

pub(super) use password::{NewPasswordForm, read_new_password};
pub(super) use sessions::{SessionPart, session_parts};

pub(super) fn add_routes(routes: Routes) -> Routes {
    routes
        .get("/account", Allow::SignedIn, show_account)
        .post("/account/password", Allow::SignedIn, password::save_password)
        .post("/account/sessions/end", Allow::SignedIn, sessions::end_own)
        .get("/account/second-factor", Allow::SignedIn, second_factor::show_second_factor)
        .post("/account/second-factor", Allow::SignedIn, second_factor::confirm)
        .post("/account/second-factor/new", Allow::SignedIn, second_factor::begin)
        .get("/account/second-factor/codes", Allow::SignedIn, codes::ask_for_new_codes)
        .post("/account/second-factor/codes", Allow::SignedIn, codes::make_new_codes)
        .get("/account/second-factor/off", Allow::SignedIn, second_factor::ask_to_turn_off)
        .post("/account/second-factor/off", Allow::SignedIn, second_factor::turn_off)
}

#[derive(Template)]
#[template(path = "account/account.html")]
struct AccountPage {
    frame: Frame,
    title: String,
    has_password: bool,
    form: FormView,
    second_factor: bool,
    codes_left: i64,
    sessions: Vec<SessionPart>,
    idle_minutes: i64,
    session_hours: i64,
    /// Why a session was not ended.
    problem: Option<String>,
}

/// What was wrong with a form of the account's page, so that the page shows it again.
#[derive(Default)]
struct Wrong {
    password: Vec<FieldError>,
    sessions: Option<String>,
}

async fn show_account(State(app): State<App>, visit: Visit, here: Here) -> Result<Response, Error> {
    account_page(&app, &visit, &here, StatusCode::OK, Wrong::default()).await
}

async fn account_page(
    app: &App,
    visit: &Visit,
    here: &Here,
    status: StatusCode,
    wrong: Wrong,
) -> Result<Response, Error> {
    let user = &visit.user;
    let mut conn = app.database.read().await?;
    let sessions = store::list_sessions(&mut conn, user.id, app.now()).await?;
    let codes_left = store::count_recovery_codes(&mut conn, user.id).await?;
    let form = FormView {
        action: "/account/password".to_owned(),
        cancel: "/".to_owned(),
        save: "Save the password",
        fields: NewPasswordForm::fields_of_change(user),
        values: Values::new(),
        errors: wrong.password,
        base: String::new(),
        take_out: None,
    };
    let role = user.role.label();
    let title = if user.name.as_str().eq_ignore_ascii_case(role) {
        user.name.to_string()
    } else {
        format!("{}, {}", user.name, role.to_lowercase())
    };
    let shown = AccountPage {
        frame: visit.frame(Place::Settings),
        title,
        has_password: user.has_password,
        form,
        second_factor: user.second_factor,
        codes_left,
        sessions: session_parts(&sessions, &here.0, app.now()),
        idle_minutes: IDLE_MINUTES,
        session_hours: SESSION_HOURS,
        problem: wrong.sessions,
    };
    page_with(status, &shown)
}
