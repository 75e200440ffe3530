//! What the quality lead can close for another: sessions, and a second factor whose phone is lost.

use axum::extract::{Path, State};
use axum::http::StatusCode;
use axum::response::Response;

use super::{read_id, user_page};
use crate::accounts::{User, store};
use crate::web::error::Error;
use crate::web::form::Values;
use crate::web::frame::{Visit, lead_to};
use crate::web::state::App;

const OWN: &str = "This is your own account. Change it under Your account instead.";

/// The account's page, saying why nothing was changed.
async fn refused(app: &App, visit: &Visit, user: User, why: &str) -> Result<Response, Error> {
    user_page(app, visit, user, StatusCode::CONFLICT, Some(why.to_owned()), None).await
}

/// Takes another's second factor away, because the phone is lost or they left it at home. Whoever was
/// signed in with it is signed out.
pub(super) async fn turn_second_factor_off(
    State(app): State<App>,
    visit: Visit,
    Path(id): Path<String>,
) -> Result<Response, Error> {
    let mut tx = app.database.write().await?;
    let user = store::find(&mut tx, read_id(&id)?).await?.ok_or(Error::NotFound)?;
    if user.id == visit.user.id {
        drop(tx);
        return refused(&app, &visit, user, OWN).await;
    }
    store::remove_second_factor(&mut tx, user.id).await?;
    store::end_waiting_and_sessions(&mut tx, user.id).await?;
    tx.commit().await?;
    let said = format!("The second factor of {} is off, and they are signed out.", user.name);
    Ok(lead_to(&format!("/settings/users/{}", user.id), &said, None))
}

/// Ends one session of another, or all of them.
pub(super) async fn end_sessions(
    State(app): State<App>,
    visit: Visit,
    Path(id): Path<String>,
    values: Values,
) -> Result<Response, Error> {
    let mut tx = app.database.write().await?;
    let user = store::find(&mut tx, read_id(&id)?).await?.ok_or(Error::NotFound)?;
    if user.id == visit.user.id {
        drop(tx);
        return refused(&app, &visit, user, OWN).await;
    }
    let said = match values.get("session") {
        "" | "all" => {
            store::end_waiting_and_sessions(&mut tx, user.id).await?;
            format!("{} is signed out everywhere.", user.name)
        }
        handle if store::end_named_session(&mut tx, user.id, handle).await? => {
            format!("{} is signed out there.", user.name)
        }
        _ => "That session had ended already.".to_owned(),
    };
    tx.commit().await?;
    Ok(lead_to(&format!("/settings/users/{}", user.id), &said, None))
}
