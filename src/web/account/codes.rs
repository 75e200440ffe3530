//! Recovery codes, and the proof that is asked for before a second factor is changed: password and code.

use askama::Template;
use axum::extract::State;
use axum::http::StatusCode;
use axum::response::Response;

use super::second_factor::PAGE;
use crate::accounts::{RecoveryCode, User, Wait, store};
use crate::web::error::Error;
use crate::web::form::{Field, FieldError, FormView, Values};
use crate::web::form_page::FormPage;
use crate::web::frame::{Frame, Place, Visit, lead_to, page, page_with};
use crate::web::session::Caller;
use crate::web::state::App;
use crate::web::tries::{Tried, try_code, try_own_password, with_wait};

/// The fields of a proof.
pub(super) fn proof_fields(code: &'static str) -> Vec<Field> {
    vec![
        Field::secret("current_password", "Your password", "current-password"),
        Field::secret("code", code, "one-time-code"),
    ]
}

/// What was wrong with a proof, and how long to wait where there were too many.
pub(super) type Proof = Result<(), (FieldError, Option<Wait>)>;

/// Compares password and code. The code is not used up when the password is wrong.
pub(super) async fn prove(app: &App, caller: &Caller, user: &User, values: &Values) -> Result<Proof, Error> {
    let password = try_own_password(app, caller, user, values.get("current_password")).await?;
    let first = judged("current_password", password, "This is not your password.");
    if first.is_err() {
        return Ok(first);
    }
    let code = try_code(app, caller, user, values.get("code")).await?;
    Ok(judged("code", code, "This code is not right, or was used already. Wait for the next one."))
}

fn judged(name: &str, tried: Tried, when_wrong: &str) -> Proof {
    let error = |message: String| FieldError { name: name.to_owned(), message };
    match tried {
        Tried::Right => Ok(()),
        Tried::Wrong => Err((error(when_wrong.to_owned()), None)),
        Tried::Wait(wait) => Err((error(wait.sentence()), Some(wait))),
    }
}

/// The form again when the proof was wrong; none when it was right.
pub(super) async fn proved_or_shown(
    proof: Proof,
    form: impl AsyncFnOnce(Vec<FieldError>) -> Result<Response, Error>,
) -> Result<Option<Response>, Error> {
    let Err((error, wait)) = proof else {
        return Ok(None);
    };
    let shown = form(vec![error]).await?;
    Ok(Some(with_wait(shown, wait)))
}

#[derive(Template)]
#[template(path = "account/recovery_codes.html")]
struct CodesPage {
    frame: Frame,
    name: String,
    codes: Vec<String>,
    /// The second factor was turned on just now.
    fresh: bool,
}

/// The one page that shows recovery codes.
pub(super) fn codes_page(visit: &Visit, codes: &[RecoveryCode], fresh: bool) -> Result<Response, Error> {
    page(&CodesPage {
        frame: visit.frame(Place::Settings),
        name: visit.user.name.to_string(),
        codes: codes.iter().map(RecoveryCode::expose).collect(),
        fresh,
    })
}

fn ask_page(visit: &Visit, errors: Vec<FieldError>) -> FormPage {
    FormPage {
        frame: visit.frame(Place::Settings),
        eyebrow: "Second factor".to_owned(),
        title: "Make new recovery codes".to_owned(),
        lead: "You get ten new ones. Those that you have now open nothing any more.".to_owned(),
        form: FormView {
            action: format!("{PAGE}/codes"),
            cancel: PAGE.to_owned(),
            save: "Make new codes",
            fields: proof_fields("A code from the app, or a recovery code"),
            values: Values::new(),
            errors,
            base: String::new(),
            take_out: None,
        },
    }
}

pub(super) async fn ask_for_new_codes(visit: Visit) -> Result<Response, Error> {
    if !visit.user.second_factor {
        return Ok(lead_to(PAGE, "Set the second factor up first.", None));
    }
    page(&ask_page(&visit, Vec::new()))
}

pub(super) async fn make_new_codes(
    State(app): State<App>,
    visit: Visit,
    caller: Caller,
    values: Values,
) -> Result<Response, Error> {
    if !visit.user.second_factor {
        return Ok(lead_to(PAGE, "Set the second factor up first.", None));
    }
    let proof = prove(&app, &caller, &visit.user, &values).await?;
    let form = async |errors| page_with(StatusCode::UNPROCESSABLE_ENTITY, &ask_page(&visit, errors));
    if let Some(shown) = proved_or_shown(proof, form).await? {
        return Ok(shown);
    }
    let codes = RecoveryCode::generate_set().map_err(anyhow::Error::from)?;
    let mut tx = app.database.write().await?;
    store::set_recovery_codes(&mut tx, visit.user.id, &codes).await?;
    tx.commit().await?;
    codes_page(&visit, &codes, false)
}
