//! Changing an account: its role, ending it, taking it up again.

use axum::extract::{Path, Query, State};
use axum::http::StatusCode;
use axum::response::Response;
use serde::Deserialize;

use super::{ONLY_LEAD, is_last_lead, read_id, user_page, with_article};
use crate::accounts::{Role, store};
use crate::web::error::Error;
use crate::web::form::{Reader, Values};
use crate::web::frame::{Visit, lead_to};
use crate::web::state::App;

/// The role in the address: what an undo carries, because its form has no fields.
#[derive(Deserialize)]
pub(super) struct RoleInAddress {
    role: Option<String>,
}

pub(super) async fn save_role(
    State(app): State<App>,
    visit: Visit,
    Path(id): Path<String>,
    Query(address): Query<RoleInAddress>,
    values: Values,
) -> Result<Response, Error> {
    let values = match address.role {
        Some(role) if values.get("role").is_empty() => Values::new().with("role", role),
        _ => values,
    };
    let mut tx = app.database.write().await?;
    let user = store::find(&mut tx, read_id(&id)?).await?.ok_or(Error::NotFound)?;
    let leads = store::count_quality_leads(&mut tx).await?;
    let mut reader = Reader::new(&values);
    let role = reader.required::<Role>("role", "Choose what this account may do.");
    if is_last_lead(&user, leads) && role.is_some_and(|role| !role.keeps()) {
        reader.mark("role", ONLY_LEAD);
    }
    let role = match reader.finish(role) {
        Ok(role) => role,
        Err(errors) => {
            drop(tx);
            let status = StatusCode::UNPROCESSABLE_ENTITY;
            return user_page(&app, &visit, user, status, None, Some((values, errors))).await;
        }
    };
    store::set_role(&mut tx, user.id, role).await?;
    tx.commit().await?;
    let said = format!("{} is {} now.", user.name, with_article(role));
    if user.id == visit.user.id && !role.keeps() {
        // The pages of accounts are closed to them from here on, the undo included.
        return Ok(lead_to("/settings", &format!("You are {} now.", with_article(role)), None));
    }
    let undo = format!("/settings/users/{}/role?role={}", user.id, user.role);
    Ok(lead_to("/settings/users", &said, (role != user.role).then_some(undo.as_str())))
}

pub(super) async fn end_user(
    State(app): State<App>,
    visit: Visit,
    Path(id): Path<String>,
) -> Result<Response, Error> {
    let mut tx = app.database.write().await?;
    let user = store::find(&mut tx, read_id(&id)?).await?.ok_or(Error::NotFound)?;
    let leads = store::count_quality_leads(&mut tx).await?;
    let problem = if is_last_lead(&user, leads) {
        Some(ONLY_LEAD)
    } else if user.id == visit.user.id {
        Some("This is your own account. Another quality lead can end it.")
    } else {
        None
    };
    if let Some(problem) = problem {
        drop(tx);
        return user_page(&app, &visit, user, StatusCode::CONFLICT, Some(problem.to_owned()), None).await;
    }
    store::set_active(&mut tx, user.id, false, app.now()).await?;
    tx.commit().await?;
    let undo = format!("/settings/users/{}/take-up", user.id);
    Ok(lead_to("/settings/users", &format!("The account of {} is ended.", user.name), Some(&undo)))
}

pub(super) async fn take_up_user(State(app): State<App>, Path(id): Path<String>) -> Result<Response, Error> {
    let mut tx = app.database.write().await?;
    let user = store::find(&mut tx, read_id(&id)?).await?.ok_or(Error::NotFound)?;
    store::set_active(&mut tx, user.id, true, app.now()).await?;
    tx.commit().await?;
    let said = if user.has_password {
        format!("{} can sign in again, with the same password.", user.name)
    } else {
        format!("The account of {} is taken up again. Make a sign-in link for it.", user.name)
    };
    let undo = format!("/settings/users/{}/end", user.id);
    Ok(lead_to(&format!("/settings/users/{}", user.id), &said, (!user.active).then_some(undo.as_str())))
}
