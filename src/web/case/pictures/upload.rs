//! Bringing a file.

use askama::Template;
use axum::extract::{DefaultBodyLimit, FromRequest as _, Multipart, Path, RawQuery, Request, State};
use axum::http::{StatusCode, header};
use axum::response::{IntoResponse as _, Redirect, Response};

use super::waiting::{MINUTES, New};
use crate::case::{PICTURES_AT_MOST, StoredCase};
use crate::picture::{self, RUN_BYTES, Refused, SIDE, STILL_BYTES};
use crate::web::case::load;
use crate::web::error::Error;
use crate::web::form::Values;
use crate::web::frame::{Frame, Place, Visit, page, page_with};
use crate::web::state::App;

/// What stands round the file in a form.
const AROUND: usize = 64 * 1024;

#[derive(Template)]
#[template(path = "case/pictures/new.html")]
struct NewPage {
    frame: Frame,
    code: String,
    /// Where it is sent, with what it is for.
    action: String,
    replaces: bool,
    error: String,
    still_megabytes: usize,
    run_megabytes: usize,
    side: u32,
    minutes: u32,
}

/// The picture of the case that the address says is replaced.
fn replaced(case: &StoredCase, query: Option<String>) -> Result<Option<i64>, Error> {
    let values = Values::from_encoded(&query.unwrap_or_default());
    match values.get("replaces") {
        "" => Ok(None),
        id => {
            let id = id.parse().ok().filter(|id| case.pictures.iter().any(|row| row.id == *id));
            id.map(Some).ok_or(Error::NotFound)
        }
    }
}

fn new_page(visit: &Visit, case: &StoredCase, replaces: Option<i64>, error: String) -> NewPage {
    const MEGABYTE: usize = 1024 * 1024;
    NewPage {
        frame: visit.frame(Place::Cases),
        code: case.code.to_string(),
        action: match replaces {
            Some(id) => format!("/cases/{}/pictures/new?replaces={id}", case.code),
            None => format!("/cases/{}/pictures/new", case.code),
        },
        replaces: replaces.is_some(),
        error,
        still_megabytes: STILL_BYTES / MEGABYTE,
        run_megabytes: RUN_BYTES / MEGABYTE,
        side: SIDE,
        minutes: MINUTES,
    }
}

/// Why a case takes no further picture; none when it does.
pub(super) fn is_full(case: &StoredCase, replaces: Option<i64>) -> Option<String> {
    (replaces.is_none() && case.pictures.len() >= PICTURES_AT_MOST)
        .then(|| format!("A case holds at most {PICTURES_AT_MOST} pictures. Take one out, or put this one in the place of another."))
}

pub(super) async fn show_new(
    State(app): State<App>,
    visit: Visit,
    Path(code): Path<String>,
    RawQuery(query): RawQuery,
) -> Result<Response, Error> {
    let case = load(&app, &visit, &code).await?;
    let replaces = replaced(&case, query)?;
    let error = is_full(&case, replaces).unwrap_or_default();
    page(&new_page(&visit, &case, replaces, error))
}

/// Receives a file, reads it, and lets its pixels wait.
pub(super) async fn receive(
    State(app): State<App>,
    visit: Visit,
    Path(code): Path<String>,
    RawQuery(query): RawQuery,
    request: Request,
) -> Result<Response, Error> {
    let case = load(&app, &visit, &code).await?;
    let replaces = replaced(&case, query)?;
    let again =
        |why: String| page_with(StatusCode::UNPROCESSABLE_ENTITY, &new_page(&visit, &case, replaces, why));
    if let Some(why) = is_full(&case, replaces) {
        return again(why);
    }
    let turn = app.pictures.turn().await?;
    let bytes = match receive_file(request, &app).await? {
        Ok(bytes) => bytes,
        Err(why) => return again(why),
    };
    let read = tokio::task::spawn_blocking(move || picture::read(bytes))
        .await
        .map_err(|error| Error::Internal(error.into()))?;
    drop(turn);
    let brought = match read {
        Ok(brought) => brought,
        Err(refused) => return again(refused.to_string()),
    };
    // A run whose frames cannot be read is told now, not when it is scrubbed.
    if let Err(refused) = brought.source.frame(0) {
        return again(refused.to_string());
    }
    let new =
        New { user: visit.user.id, case: case.id, replaces, source: brought.source, beside: brought.beside };
    match app.pictures.add(new, app.now()) {
        Ok(token) => Ok(Redirect::to(&format!("/cases/{}/pictures/new/{token}", case.code)).into_response()),
        Err(Error::Conflict(why)) => again(why),
        Err(error) => Err(error),
    }
}

/// The bytes of the file; a sentence when there is none, or it is too large.
async fn receive_file(mut request: Request, app: &App) -> Result<Result<Vec<u8>, String>, Error> {
    let damaged =
        || Error::BadRequest("The file did not arrive whole. Go back and send it again.".to_owned());
    let is_file = request
        .headers()
        .get(header::CONTENT_TYPE)
        .is_some_and(|kind| kind.as_bytes().to_ascii_lowercase().starts_with(b"multipart/form-data"));
    if !is_file {
        return Ok(Err("Choose a file first.".to_owned()));
    }
    // This route alone takes more than the rest.
    DefaultBodyLimit::max(RUN_BYTES + AROUND).apply(&mut request);
    let too_large = || Refused::Bytes { kind: "file", most: RUN_BYTES / 1024 / 1024 }.to_string();
    let mut parts = Multipart::from_request(request, app).await.map_err(|_| damaged())?;
    loop {
        let mut part = match parts.next_field().await {
            Ok(Some(part)) => part,
            Ok(None) => return Ok(Err("Choose a file first.".to_owned())),
            Err(error) if error.status() == StatusCode::PAYLOAD_TOO_LARGE => return Ok(Err(too_large())),
            Err(_) => return Err(damaged()),
        };
        if part.name() != Some("file") {
            continue;
        }
        let mut bytes: Vec<u8> = Vec::new();
        loop {
            match part.chunk().await {
                Ok(Some(chunk)) if bytes.len() + chunk.len() > RUN_BYTES => return Ok(Err(too_large())),
                Ok(Some(chunk)) => bytes.extend_from_slice(&chunk),
                Ok(None) => break,
                Err(error) if error.status() == StatusCode::PAYLOAD_TOO_LARGE => return Ok(Err(too_large())),
                Err(_) => return Err(damaged()),
            }
        }
        return Ok(Ok(bytes));
    }
}
