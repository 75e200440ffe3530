//! Setting up a second factor, confirming it with a first code, and turning it off.

use askama::Template;
use axum::extract::State;
use axum::http::StatusCode;
use axum::response::{IntoResponse, Response};
use axum_extra::extract::CookieJar;

use super::codes::{codes_page, proof_fields, prove, proved_or_shown};
use crate::accounts::{NewPassword, PasswordRules, RecoveryCode, TotpKey, store};
use crate::figure::qr;
use crate::web::error::Error;
use crate::web::form::{Control, FieldError, FormView, Values};
use crate::web::form_page::FormPage;
use crate::web::frame::{Frame, Place, Visit, lead_to, page_with};
use crate::web::session::{Caller, start_session};
use crate::web::state::App;

/// The address of the second factor's page.
pub(super) const PAGE: &str = "/account/second-factor";

#[derive(Template)]
#[template(path = "account/second_factor.html")]
struct SecondFactorPage {
    frame: Frame,
    has_password: bool,
    on: bool,
    codes_left: i64,
    /// A key that waits for its first code.
    new: Option<NewKey>,
}

/// A key to be put into an app: by scanning or by typing, and the form for its first code.
struct NewKey {
    svg: String,
    /// The key in groups of four.
    key: String,
    form: FormView,
}

fn new_key(key: &TotpKey, account: &str, errors: Vec<FieldError>) -> Result<NewKey, Error> {
    let address = key.address(account);
    let figure = qr::draw_code(
        "second-factor",
        &address,
        "Scan with the app for codes",
        "The key below, as a code to scan with a phone",
    )
    .map_err(anyhow::Error::from)?;
    let letters: Vec<char> = key.expose().chars().collect();
    Ok(NewKey {
        svg: figure.svg,
        key: letters.chunks(4).map(String::from_iter).collect::<Vec<_>>().join(" "),
        form: FormView {
            action: PAGE.to_owned(),
            cancel: "/account".to_owned(),
            save: "Turn it on",
            fields: proof_fields("The six digits that the app shows now"),
            values: Values::new(),
            errors,
            base: String::new(),
            take_out: None,
        },
    })
}

pub(super) async fn show_second_factor(State(app): State<App>, visit: Visit) -> Result<Response, Error> {
    second_factor_page(&app, &visit, StatusCode::OK, Vec::new()).await
}

async fn second_factor_page(
    app: &App,
    visit: &Visit,
    status: StatusCode,
    errors: Vec<FieldError>,
) -> Result<Response, Error> {
    let user = &visit.user;
    let mut conn = app.database.read().await?;
    let factor = store::find_second_factor(&mut conn, user.id).await?;
    let codes_left = store::count_recovery_codes(&mut conn, user.id).await?;
    let on = factor.as_ref().is_some_and(|factor| factor.confirmed);
    let new = match factor {
        Some(factor) if !on => Some(new_key(&factor.key, user.name.as_str(), errors)?),
        _ => None,
    };
    let shown = SecondFactorPage {
        frame: visit.frame(Place::Settings),
        has_password: user.has_password,
        on,
        codes_left,
        new,
    };
    page_with(status, &shown)
}

/// A new key; one that was made before and never confirmed is gone with it.
pub(super) async fn begin(State(app): State<App>, visit: Visit) -> Result<Response, Error> {
    if !visit.user.has_password {
        return Ok(lead_to(PAGE, "Choose a password first.", None));
    }
    let key = TotpKey::generate().map_err(anyhow::Error::from)?;
    let mut tx = app.database.write().await?;
    let kept = store::begin_second_factor(&mut tx, visit.user.id, &key).await?;
    tx.commit().await?;
    if kept { Ok(axum::response::Redirect::to(PAGE).into_response()) } else { Ok(already_on()) }
}

fn already_on() -> Response {
    lead_to(PAGE, "It is on already.", None)
}

/// Turns it on when password and first code are right. From here on every session has passed a code: the
/// others end, and this one has a new secret.
pub(super) async fn confirm(
    State(app): State<App>,
    visit: Visit,
    caller: Caller,
    jar: CookieJar,
    values: Values,
) -> Result<Response, Error> {
    let user = &visit.user;
    let factor = store::find_second_factor(&mut *app.database.read().await?, user.id).await?;
    match factor {
        None => return Ok(lead_to(PAGE, "Set it up first.", None)),
        Some(factor) if factor.confirmed => return Ok(already_on()),
        Some(_) => {}
    }
    let proof = prove(&app, &caller, user, &values).await?;
    if let Some(shown) = proved_or_shown(proof, async |errors| {
        second_factor_page(&app, &visit, StatusCode::UNPROCESSABLE_ENTITY, errors).await
    })
    .await?
    {
        return Ok(shown);
    }
    let codes = RecoveryCode::generate_set().map_err(anyhow::Error::from)?;
    let mut tx = app.database.write().await?;
    store::confirm_second_factor(&mut tx, user.id, app.now()).await?;
    store::set_recovery_codes(&mut tx, user.id, &codes).await?;
    store::end_sessions(&mut tx, user.id).await?;
    tx.commit().await?;
    let jar = start_session(&app, &caller, jar, user.id).await?;
    Ok((jar, codes_page(&visit, &codes, true)?).into_response())
}

fn off_page(visit: &Visit, errors: Vec<FieldError>) -> FormPage {
    FormPage {
        frame: visit.frame(Place::Settings),
        eyebrow: "Second factor".to_owned(),
        title: "Turn the second factor off".to_owned(),
        lead: "Then your password alone opens your account. Its recovery codes open nothing any more, and wherever else you are signed in, you are signed out.".to_owned(),
        form: FormView {
            action: format!("{PAGE}/off"),
            cancel: PAGE.to_owned(),
            save: "Turn it off",
            fields: proof_fields("A code from the app, or a recovery code"),
            values: Values::new(),
            errors,
            base: String::new(),
            take_out: None,
        },
    }
}

pub(super) async fn ask_to_turn_off(visit: Visit) -> Result<Response, Error> {
    if !visit.user.second_factor {
        return Ok(lead_to(PAGE, "It is not on.", None));
    }
    page_with(StatusCode::OK, &off_page(&visit, Vec::new()))
}

pub(super) async fn turn_off(
    State(app): State<App>,
    visit: Visit,
    caller: Caller,
    jar: CookieJar,
    values: Values,
) -> Result<Response, Error> {
    let user = &visit.user;
    if !user.second_factor {
        return Ok(lead_to(PAGE, "It is not on.", None));
    }
    // A password that was enough beside a code is not enough alone.
    let alone = PasswordRules { name: &user.name, second_factor: false };
    let enough = NewPassword::parse(values.get("current_password"), &alone).is_ok();
    let proof = prove(&app, &caller, user, &values).await?;
    let shown = async |errors: Vec<FieldError>| {
        page_with(StatusCode::UNPROCESSABLE_ENTITY, &off_page(&visit, errors))
    };
    if let Some(shown) = proved_or_shown(proof, shown).await? {
        return Ok(shown);
    }
    if !enough {
        let message = "Alone, your password is not enough: it needs at least 15 characters. Choose a longer one under your account first, then turn this off.";
        let error = FieldError { name: "current_password".to_owned(), message: message.to_owned() };
        return shown(vec![error]).await;
    }
    let mut tx = app.database.write().await?;
    store::remove_second_factor(&mut tx, user.id).await?;
    store::end_sessions(&mut tx, user.id).await?;
    tx.commit().await?;
    let jar = start_session(&app, &caller, jar, user.id).await?;
    Ok((jar, lead_to("/account", "The second factor is off. Your password alone opens your account.", None))
        .into_response())
}
