//! The page that a phone opens: the question, the options, and what this device chose. It works
//! without JavaScript, keeps no cookie but the device's, and never holds a count.

use askama::Template;
use axum::body::{Body, to_bytes};
use axum::extract::{Path, State};
use axum::http::{HeaderMap, StatusCode};
use axum::response::{IntoResponse, Redirect, Response};
use axum_extra::extract::CookieJar;

use crate::conference::votes::store::{self, Cast};
use crate::conference::votes::{Device, Phase, PollCode, Position, Slip};
use crate::web::assets;
use crate::web::cookie::{self, Ours};
use crate::web::error::{Error, Fault};
use crate::web::form::Values;
use crate::web::frame::page_with;
use crate::web::state::App;

/// The most bytes that a vote may send.
const VOTE_BYTES: usize = 1024;

/// The files that the page needs.
const FILES: [&str; 7] = [
    "css/base.css",
    "css/font.css",
    "css/vote.css",
    "font/next-latin.woff2",
    "font/next-latin-ext.woff2",
    "font/next-signs.woff2",
    "icon.svg",
];

/// What is said when the vote came without the cookie that the page had sent along.
const NO_DEVICE: &str = "Your answer is not counted yet: this phone did not send back the mark that keeps it to one vote. Allow cookies for this page, then send it again.";
const NO_OPTION: &str = "Choose one of the options, then send your answer.";

#[derive(Template)]
#[template(path = "vote/slip.html")]
struct SlipPage {
    code: PollCode,
    slip: Slip,
    /// What is chosen on the form: what was typed, or else what is in.
    chosen: Option<Position>,
    error: Option<&'static str>,
    demo: bool,
}

impl SlipPage {
    /// Which of the two questions of a decision this is, without a word on what comes between.
    const fn which(&self) -> &'static str {
        match self.slip.phase {
            Phase::Before => "First answer",
            Phase::After => "Second answer",
        }
    }

    fn is_chosen(&self, index: &usize) -> bool {
        self.chosen.is_some_and(|chosen| chosen.index() == *index)
    }
}

#[derive(Template)]
#[template(path = "vote/message.html")]
struct MessagePage {
    heading: String,
    text: String,
}

fn message(status: StatusCode, heading: &str, text: &str) -> Result<Response, Error> {
    page_with(status, &MessagePage { heading: heading.to_owned(), text: text.to_owned() })
}

/// The page for whatever went wrong on the way to a phone.
pub(in crate::web) fn fault_page(fault: &Fault) -> Response {
    message(fault.status, &fault.title, &fault.text)
        .unwrap_or_else(|_| (fault.status, fault.text.clone()).into_response())
}

fn unknown() -> Result<Response, Error> {
    message(
        StatusCode::NOT_FOUND,
        "There is no vote here",
        "The code may be mistyped. Scan the code on the screen again.",
    )
}

fn closed() -> Result<Response, Error> {
    message(
        StatusCode::GONE,
        "This vote is closed",
        "The presenter has closed it. If your answer was in by then, it is counted; nothing more can be changed. Look up at the screen.",
    )
}

/// The device behind a request; a new one gets its cookie with the answer.
struct Visitor {
    device: Device,
    is_new: bool,
}

impl Visitor {
    fn of(app: &App, jar: &CookieJar) -> Result<Self, Error> {
        let held = Ours::Device.read(jar, app.settings.transport);
        match held.and_then(|text| Device::from_text(&text)) {
            Some(device) => Ok(Self { device, is_new: false }),
            None => Ok(Self { device: Device::generate().map_err(anyhow::Error::from)?, is_new: true }),
        }
    }

    fn mark(&self, app: &App, mut response: Response) -> Response {
        if self.is_new {
            let cookie = Ours::Device.holding(self.device.expose(), app.settings.transport);
            cookie::send(&mut response, &cookie);
        }
        response
    }
}

/// The slip with what was chosen on it, or why there is none.
async fn slip_page(
    app: &App,
    visitor: &Visitor,
    code: PollCode,
    refused: Option<(&'static str, Option<Position>)>,
) -> Result<Response, Error> {
    let device = visitor.device.digest_in(&code);
    let slip = store::slip(&mut *app.database.read().await?, &code, &device).await?;
    let Some(slip) = slip else {
        return unknown();
    };
    if !slip.is_open {
        return closed();
    }
    let (status, error, typed) = match refused {
        None => (StatusCode::OK, None, None),
        Some((error, typed)) => (StatusCode::UNPROCESSABLE_ENTITY, Some(error), typed),
    };
    let chosen = typed.or(slip.own);
    let page = SlipPage { code, slip, chosen, error, demo: app.settings.demo };
    Ok(visitor.mark(app, page_with(status, &page)?))
}

pub(super) async fn show_slip(
    State(app): State<App>,
    Path(code): Path<String>,
    jar: CookieJar,
) -> Result<Response, Error> {
    match code.parse() {
        Ok(code) => slip_page(&app, &Visitor::of(&app, &jar)?, code, None).await,
        Err(_) => unknown(),
    }
}

pub(super) async fn cast_vote(
    State(app): State<App>,
    Path(code): Path<String>,
    jar: CookieJar,
    body: Body,
) -> Result<Response, Error> {
    let Ok(code) = code.parse::<PollCode>() else {
        return unknown();
    };
    let Ok(body) = to_bytes(body, VOTE_BYTES).await else {
        return message(
            StatusCode::PAYLOAD_TOO_LARGE,
            "This is too large for a vote",
            "Nothing was counted. Scan the code on the screen again and choose one of the options.",
        );
    };
    let typed: Option<Position> =
        Values::from_encoded(&String::from_utf8_lossy(&body)).get("option").parse().ok();
    let visitor = Visitor::of(&app, &jar)?;
    let Some(position) = typed else {
        return slip_page(&app, &visitor, code, Some((NO_OPTION, None))).await;
    };
    // Without the cookie each sending would be a device of its own.
    if visitor.is_new {
        return slip_page(&app, &visitor, code, Some((NO_DEVICE, typed))).await;
    }
    match write(&app, &code, &visitor.device, position).await? {
        Cast::Counted => Ok(Redirect::to(&format!("/vote/{code}")).into_response()),
        Cast::Closed => closed(),
        Cast::NoSuchPoll => unknown(),
        Cast::NoSuchOption => slip_page(&app, &visitor, code, Some((NO_OPTION, None))).await,
    }
}

async fn write(app: &App, code: &PollCode, device: &Device, position: Position) -> Result<Cast, Error> {
    let _turn = app.vote_turn.lock().await;
    let mut tx = app.database.write().await?;
    let cast = store::cast(&mut tx, code, &device.digest_in(code), position).await?;
    tx.commit().await?;
    Ok(cast)
}

/// A style or font of the page, by the path that it has among the application's own.
pub(super) async fn show_asset(Path(path): Path<String>, headers: HeaderMap) -> Result<Response, Error> {
    if FILES.contains(&path.as_str()) { assets::asset(&path, &headers) } else { Err(Error::NotFound) }
}
