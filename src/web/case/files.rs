//! A case as a file: TOML for people, JSON for programs.

use axum::extract::{Path, State};
use axum::response::Response;

use super::load;
use crate::export::case_file;
use crate::web::download::download;
use crate::web::error::Error;
use crate::web::frame::Visit;
use crate::web::release::let_case_out;
use crate::web::state::App;

pub(super) async fn download_toml(
    State(app): State<App>,
    visit: Visit,
    Path(code): Path<String>,
) -> Result<Response, Error> {
    let case = load(&app, &visit, &code).await?;
    let_case_out(&case)?;
    Ok(download(
        &format!("{}.toml", case.code),
        "application/toml; charset=utf-8",
        case_file::to_toml(&case.to_case()),
    ))
}

pub(super) async fn download_json(
    State(app): State<App>,
    visit: Visit,
    Path(code): Path<String>,
) -> Result<Response, Error> {
    let case = load(&app, &visit, &code).await?;
    let_case_out(&case)?;
    Ok(download(&format!("{}.json", case.code), "application/json", case_file::to_json(&case.to_case())))
}
