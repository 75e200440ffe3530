//! One's own account: a password.

use axum::extract::State;
use axum::http::StatusCode;
use axum::response::{IntoResponse, Response};
use axum_extra::extract::CookieJar;

use super::access::start_session;
use super::error::Error;
use super::form::{Control, Field, FormView, Reader, Values};
use super::form_page::FormPage;
use super::frame::{Place, Visit, lead_to, page, page_with};
use super::state::App;
use crate::accounts::{NewPassword, store};

fn account_page(visit: &Visit, errors: Vec<super::form::FieldError>) -> FormPage {
    let password = |name, label: &str| {
        Field::new(name, label, Control::Line { kind: "password", width: "w-mid", unit: "" })
    };
    FormPage {
        frame: visit.frame(Place::Settings),
        eyebrow: String::new(),
        title: format!("{}, {}", visit.user.name, visit.user.role.label().to_lowercase()),
        lead: if visit.user.has_password {
            "You sign in with your name and a password. A new password ends your other sessions.".to_owned()
        } else {
            "You have no password yet. Choose one, and you can sign in without a link.".to_owned()
        },
        form: FormView {
            action: "/account/password".to_owned(),
            cancel: "/".to_owned(),
            save: "Save the password",
            fields: vec![
                password("new_password", "New password")
                    .hint("At least 12 characters, of any kind. A few words in a row make a good one."),
                password("again", "The same again"),
            ],
            values: Values::new(),
            errors,
            base: String::new(),
            take_out: None,
        },
    }
}

pub(super) async fn show_account(visit: Visit) -> Result<Response, Error> {
    page(&account_page(&visit, Vec::new()))
}

pub(super) async fn save_password(
    State(app): State<App>,
    visit: Visit,
    jar: CookieJar,
    values: Values,
) -> Result<Response, Error> {
    let mut reader = Reader::new(&values);
    let password = match NewPassword::parse(values.get("new_password")) {
        Ok(password) => Some(password),
        Err(error) => {
            reader.mark("new_password", error);
            None
        }
    };
    if password.is_some() && values.get("new_password") != values.get("again") {
        reader.mark("again", "The two passwords differ. Type the same twice.");
    }
    let password = match reader.finish(password) {
        Ok(password) => password,
        Err(errors) => return page_with(StatusCode::UNPROCESSABLE_ENTITY, &account_page(&visit, errors)),
    };
    let hash = tokio::task::spawn_blocking(move || password.hash())
        .await
        .map_err(anyhow::Error::from)?
        .map_err(anyhow::Error::from)?;
    let mut tx = app.database.write().await?;
    store::set_password_hash(&mut tx, visit.user.id, &hash).await?;
    tx.commit().await?;
    let jar = start_session(&app, jar, visit.user.id).await?;
    Ok((jar, lead_to("/", "Your password is saved.", None)).into_response())
}
