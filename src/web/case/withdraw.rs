//! Withdrawing a case: out of every list and count, with a reason, until it is put back or purged.

use axum::extract::{Path, State};
use axum::http::StatusCode;
use axum::response::Response;

use super::{find, load};
use crate::case::{Sentences, Sight, StoredCase, store};
use crate::web::error::Error;
use crate::web::form::{Field, FieldError, FormView, Reader, Values};
use crate::web::form_page::FormPage;
use crate::web::frame::{Place, Visit, lead_to, page, page_with};
use crate::web::state::App;

fn form_page(visit: &Visit, case: &StoredCase, values: Values, errors: Vec<FieldError>) -> FormPage {
    FormPage {
        frame: visit.frame(Place::Cases),
        eyebrow: format!("Case {}", case.code),
        title: format!("Withdraw “{}”", case.head.title),
        lead: "The case leaves every list, meeting and rate. The quality lead can put it back as it was, until it is purged; its code is never given again.".to_owned(),
        form: FormView {
            action: format!("/cases/{}/withdraw", case.code),
            cancel: format!("/cases/{}", case.code),
            save: "Withdraw it",
            fields: vec![Field::lines("because", "Why it is withdrawn", 3).hint(
                "For example: recorded twice, as 2026-004 too. The reason stays when the case goes, so it names nobody.",
            )],
            values,
            errors,
            base: String::new(),
            take_out: None,
        },
    }
}

/// Why this account may not withdraw this case; none when it may.
fn refusal(visit: &Visit, case: &StoredCase) -> Option<&'static str> {
    (Sight::Presented.sees_case(case) && !visit.user.role.signs())
        .then_some("The case was presented: an attending or the quality lead withdraws it.")
}

pub(super) async fn show_withdraw(
    State(app): State<App>,
    visit: Visit,
    Path(code): Path<String>,
) -> Result<Response, Error> {
    let case = load(&app, &visit, &code).await?;
    match refusal(&visit, &case) {
        Some(why) => Err(Error::Conflict(why.to_owned())),
        None => page(&form_page(&visit, &case, Values::new(), Vec::new())),
    }
}

pub(super) async fn withdraw(
    State(app): State<App>,
    visit: Visit,
    Path(code): Path<String>,
    typed: Values,
) -> Result<Response, Error> {
    let mut tx = app.database.write().await?;
    let case = find(&mut tx, &visit, &code).await?;
    if let Some(why) = refusal(&visit, &case) {
        return Err(Error::Conflict(why.to_owned()));
    }
    let mut reader = Reader::new(&typed);
    let because =
        reader.required::<Sentences>("because", "Say why: whoever meets the gap in the codes will ask.");
    let because = match reader.finish(because) {
        Ok(because) => because,
        Err(errors) => {
            let form = form_page(&visit, &case, typed, errors);
            return page_with(StatusCode::UNPROCESSABLE_ENTITY, &form);
        }
    };
    store::withdraw(&mut tx, case.id, (visit.user.name.as_str(), because.as_str()), app.now()).await?;
    tx.because("Withdrawn.");
    tx.commit().await?;
    let text = format!("Case {} is withdrawn. The quality lead can put it back.", case.code);
    Ok(lead_to("/cases", &text, None))
}
