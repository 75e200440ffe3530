//! Votes at a decision point: the page that a phone opens, and what the presenter's screens ask for.
//!
//! The phones' routes stand in the application's table, for a presenter's own laptop, and alone in
//! [`phone_router`], the second door that `relook serve --votes-on` opens: whoever comes through it
//! reaches no other address.

mod address;
mod decision;
mod phone;
mod presenter;

pub use address::{AddressError, VotesAddress};
pub(super) use phone::fault_page;

use super::access::Allow;
use super::layers;
use super::router::Routes;
use super::state::App;

/// The router of the second door: votes, and the styles and fonts of their page.
pub fn phone_router(app: App) -> axum::Router {
    layers::wrap_phones(add_phone_routes(Routes::default()).into_router(), app.for_phones())
}

pub(super) fn add_phone_routes(routes: Routes) -> Routes {
    routes
        .get("/vote/{code}", Allow::Anyone, phone::show_slip)
        .post("/vote/{code}", Allow::Anyone, phone::cast_vote)
        .get("/vote/static/{*path}", Allow::Anyone, phone::show_asset)
}

pub(super) fn add_presenter_routes(routes: Routes) -> Routes {
    routes
        .post("/cases/{code}/points/{key}/polls", Allow::Writers, presenter::open_poll)
        .get("/polls/{poll_code}", Allow::Writers, presenter::show_poll)
        .post("/polls/{poll_code}/hands", Allow::Writers, presenter::set_hands)
        .post("/polls/{poll_code}/close", Allow::Writers, presenter::close_poll)
}
