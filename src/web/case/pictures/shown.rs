//! What is shown of the pictures that are kept: the section of the case page, one at full size, its pixels.

use askama::Template;
use axum::extract::{Path, State};
use axum::response::{IntoResponse as _, Redirect, Response};

use super::part::PicturePart;
use super::png_answer;
use super::waiting::New;
use crate::case::{Picture, Row, StoredCase, store};
use crate::database::log_sqlite::empty_log;
use crate::picture;
use crate::review::summary::{moment_and_view, still_address};
use crate::web::case::edit::index_of;
use crate::web::case::find;
use crate::web::error::Error;
use crate::web::form::Values;
use crate::web::frame::{Frame, Place, Visit, lead_to, page};
use crate::web::state::App;

/// A picture as pages show it.
pub(in crate::web::case) struct PictureItem {
    pub(in crate::web::case) id: i64,
    pub(in crate::web::case) number: usize,
    pub(in crate::web::case) address: String,
    pub(in crate::web::case) width: u32,
    pub(in crate::web::case) height: u32,
    pub(in crate::web::case) title: String,
    pub(in crate::web::case) shows: String,
    /// When it was and how the tube stood.
    pub(in crate::web::case) about: String,
    /// Who looked at it.
    pub(in crate::web::case) confirmed: String,
}

impl PictureItem {
    fn of(case: &StoredCase, number: usize, row: &Row<Picture>) -> Self {
        let picture = &row.value;
        Self {
            id: row.id,
            number,
            address: still_address(case, row.id),
            width: picture.still.width,
            height: picture.still.height,
            title: picture.caption.as_ref().map_or_else(|| format!("Picture {number}"), ToString::to_string),
            shows: picture.shows.to_string(),
            about: moment_and_view(case, picture),
            confirmed: format!("Looked at by {}, {}.", picture.confirmed_by, picture.confirmed_on.in_words()),
        }
    }
}

/// The pictures of a case in the order of their events.
pub(in crate::web::case) fn picture_items(case: &StoredCase) -> Vec<PictureItem> {
    (1..).zip(&case.pictures).map(|(number, row)| PictureItem::of(case, number, row)).collect()
}

#[derive(Template)]
#[template(path = "case/pictures/picture.html")]
struct PicturePage {
    frame: Frame,
    code: String,
    picture: PictureItem,
    before: Option<i64>,
    after: Option<i64>,
    writes: bool,
}

pub(super) async fn show_picture(
    State(app): State<App>,
    visit: Visit,
    Path((code, id)): Path<(String, i64)>,
) -> Result<Response, Error> {
    let case = find(&mut *app.database.read().await?, &visit, &code).await?;
    let index = index_of::<PicturePart>(&case, id)?;
    let at = |index: usize| case.pictures.get(index).map(|row| row.id);
    page(&PicturePage {
        frame: visit.frame(Place::Cases),
        code: case.code.to_string(),
        picture: PictureItem::of(&case, index + 1, &case.pictures[index]),
        before: index.checked_sub(1).and_then(at),
        after: at(index + 1),
        writes: visit.user.role.writes(),
    })
}

/// The PNG of a picture, for who sees its case.
pub(super) async fn show_still(
    State(app): State<App>,
    visit: Visit,
    Path((code, id)): Path<(String, i64)>,
) -> Result<Response, Error> {
    let mut conn = app.database.read().await?;
    let case = find(&mut conn, &visit, &code).await?;
    let row = &case.pictures[index_of::<PicturePart>(&case, id)?];
    let png = store::png(&mut conn, &row.value.still.digest).await?.ok_or(Error::NotFound)?;
    Ok(png_answer(png))
}

/// Takes a picture into the editor again, to burn more out of it.
pub(super) async fn burn_more(
    State(app): State<App>,
    visit: Visit,
    Path((code, id)): Path<(String, i64)>,
) -> Result<Response, Error> {
    let mut conn = app.database.read().await?;
    let case = find(&mut conn, &visit, &code).await?;
    let row = &case.pictures[index_of::<PicturePart>(&case, id)?];
    let png = store::png(&mut conn, &row.value.still.digest).await?.ok_or(Error::NotFound)?;
    drop(conn);
    let brought = tokio::task::spawn_blocking(move || picture::read(png))
        .await
        .map_err(|error| Error::Internal(error.into()))?
        .map_err(|refused| Error::Conflict(refused.to_string()))?;
    let new = New {
        user: visit.user.id,
        case: case.id,
        replaces: Some(id),
        source: brought.source,
        beside: brought.beside,
    };
    let token = app.pictures.add(new, app.now())?;
    Ok(Redirect::to(&format!("/cases/{}/pictures/new/{token}", case.code)).into_response())
}

/// Erases the pixels of a picture: for one in which a name was found.
pub(super) async fn erase(
    State(app): State<App>,
    visit: Visit,
    Path((code, id)): Path<(String, i64)>,
    values: Values,
) -> Result<Response, Error> {
    let mut tx = app.database.write().await?;
    let case = find(&mut tx, &visit, &code).await?;
    index_of::<PicturePart>(&case, id)?;
    if !values.ticked("sure") {
        return Err(Error::BadRequest(
            "Go back and tick that its pixels are to be erased for good.".to_owned(),
        ));
    }
    store::erase_picture(&mut tx, case.id, id, app.now()).await?;
    tx.commit().await?;
    empty_log(&mut *app.database.read().await?).await?;
    let text = "The pixels are erased. Backups that were made before still hold them.";
    Ok(lead_to(&format!("/cases/{}#pictures", case.code), text, None))
}
