//! Moving a case from stage to stage.

use axum::extract::{Path, State};
use axum::response::Response;

use crate::case::{Stage, store};
use crate::review::stage;
use crate::web::error::Error;
use crate::web::form::Values;
use crate::web::frame::{Visit, lead_to};
use crate::web::state::App;

pub(super) async fn move_stage(
    State(app): State<App>,
    visit: Visit,
    Path(code): Path<String>,
    values: Values,
) -> Result<Response, Error> {
    let to: Stage =
        values.get("to").parse().map_err(|_| Error::BadRequest("There is no such stage.".to_owned()))?;
    let mut tx = app.database.write().await?;
    let case = super::find(&mut tx, &visit, &code).await?;
    stage::allowed(&case, to, visit.user.role.signs()).map_err(Error::Conflict)?;
    store::set_stage(&mut tx, case.id, to, app.now()).await?;
    tx.commit().await?;
    Ok(lead_to(
        &format!("/cases/{}", case.code),
        &format!("The case is {} since {}.", to.label().to_lowercase(), app.clock()),
        None,
    ))
}
