//! The pictures of a case: bringing a file, choosing a frame, burning out what names somebody, looking at what is
//! left, and what is shown of it.
//!
//! A file that is brought is decoded at once and let go; its pixels wait in memory ([`waiting`]) until what is burnt
//! out of them has been looked at. Only then are they written, as a PNG of our own.

mod editor;
mod look;
mod part;
mod shown;
mod upload;
mod waiting;

use axum::http::header;
use axum::response::{IntoResponse, Response};

pub(in crate::web) use self::waiting::Waiting;

pub(super) use self::part::PicturePart;
pub(super) use self::shown::{PictureItem, picture_items};

use super::edit::{put_row_back, save_row, show_row, take_out_row};
use crate::web::access::Allow::{SignedIn, Writers};
use crate::web::router::Routes;

pub(super) fn add_routes(routes: Routes) -> Routes {
    routes
        .get("/cases/{code}/pictures/new", Writers, upload::show_new)
        .post("/cases/{code}/pictures/new", Writers, upload::receive)
        .get("/cases/{code}/pictures/new/{token}", Writers, editor::show_editor)
        .post("/cases/{code}/pictures/new/{token}", Writers, editor::burn)
        .get("/cases/{code}/pictures/new/{token}/frame/{number}", Writers, editor::show_frame)
        .get("/cases/{code}/pictures/new/{token}/look", Writers, look::show_look)
        .post("/cases/{code}/pictures/new/{token}/look", Writers, look::save)
        .get("/cases/{code}/pictures/new/{token}/burnt.png", Writers, look::show_burnt)
        .get("/cases/{code}/pictures/{id}", SignedIn, shown::show_picture)
        .get("/cases/{code}/pictures/{id}/still.png", SignedIn, shown::show_still)
        .get("/cases/{code}/pictures/{id}/edit", Writers, show_row::<PicturePart>)
        .post("/cases/{code}/pictures/{id}", Writers, save_row::<PicturePart>)
        .post("/cases/{code}/pictures/{id}/burn", Writers, shown::burn_more)
        .post("/cases/{code}/pictures/{id}/erase", Writers, shown::erase)
        .post("/cases/{code}/pictures/{id}/remove", Writers, take_out_row::<PicturePart>)
        .post("/cases/{code}/pictures/{id}/put-back", Writers, put_row_back::<PicturePart>)
}

/// A PNG of ours, for one person: nothing on the way keeps a copy.
fn png_answer(png: Vec<u8>) -> Response {
    let headers = [(header::CONTENT_TYPE, "image/png"), (header::CACHE_CONTROL, "private, no-store")];
    (headers, png).into_response()
}
