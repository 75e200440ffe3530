//! The department's own slides, on which decks are built.

use askama::Template;
use axum::extract::multipart::MultipartError;
use axum::extract::{DefaultBodyLimit, FromRequest, Multipart, Request, State};
use axum::http::StatusCode;
use axum::response::Response;
use sqlx::SqliteConnection;

use super::Entry;
use crate::department::template_store as store;
use crate::export::slides::template::{Cleaned, LARGEST, Refused, clean};
use crate::export::slides::{Base, MEDIA_TYPE};
use crate::web::access::Allow::Keepers;
use crate::web::case::moment;
use crate::web::download::download;
use crate::web::error::Error;
use crate::web::frame::{Frame, Place, Visit, lead_to, page_with};
use crate::web::router::Routes;
use crate::web::state::App;

const PATH: &str = "/settings/slides-template";
const FILE_PATH: &str = "/settings/slides-template/template.pptx";
const FORGET_PATH: &str = "/settings/slides-template/forget";
/// What the parts of a form add to a file.
const AROUND: usize = 64 * 1024;

pub(super) fn add_routes(routes: Routes) -> Routes {
    routes
        .get(PATH, Keepers, show_template)
        .post(PATH, Keepers, take_template)
        .get(FILE_PATH, Keepers, give_template)
        .post(FORGET_PATH, Keepers, forget_template)
}

#[derive(Template)]
#[template(path = "settings/slides_template.html")]
struct TemplatePage {
    frame: Frame,
    error: Option<String>,
    /// Since when there is one, and for what each of its layouts serves; none while ours are used.
    kept: Option<(String, Vec<(&'static str, String)>)>,
}

async fn template_page(
    app: &App,
    visit: &Visit,
    status: StatusCode,
    error: Option<String>,
) -> Result<Response, Error> {
    let kept = store::load(&mut *app.database.read().await?).await?;
    let kept = match kept {
        Some(kept) => {
            let read = app.files.work(move || clean(&kept.package)).await?;
            let layouts = read.map(|cleaned| cleaned.base.layouts_used().to_vec()).unwrap_or_default();
            Some((moment(kept.kept_at), layouts))
        }
        None => None,
    };
    page_with(status, &TemplatePage { frame: visit.frame(Place::Settings), error, kept })
}

async fn show_template(State(app): State<App>, visit: Visit) -> Result<Response, Error> {
    template_page(&app, &visit, StatusCode::OK, None).await
}

/// The file of a form; none where none was chosen, `TooLarge` where it is more than is looked at.
async fn receive(mut request: Request, app: &App) -> Result<Result<Vec<u8>, Refused>, Error> {
    let damaged =
        || Error::BadRequest("The file did not arrive whole. Go back and send it again.".to_owned());
    DefaultBodyLimit::max(LARGEST + AROUND).apply(&mut request);
    let mut parts = Multipart::from_request(request, app).await.map_err(|_| damaged())?;
    loop {
        let mut part = match parts.next_field().await {
            Ok(Some(part)) if part.name() == Some("file") => part,
            Ok(Some(_)) => continue,
            Ok(None) => return Ok(Err(Refused::Empty)),
            Err(error) if is_too_large(&error) => return Ok(Err(Refused::TooLarge)),
            Err(_) => return Err(damaged()),
        };
        let mut bytes: Vec<u8> = Vec::new();
        loop {
            match part.chunk().await {
                Ok(Some(chunk)) if bytes.len() + chunk.len() > LARGEST => return Ok(Err(Refused::TooLarge)),
                Ok(Some(chunk)) => bytes.extend_from_slice(&chunk),
                Ok(None) => return Ok(Ok(bytes)),
                Err(error) if is_too_large(&error) => return Ok(Err(Refused::TooLarge)),
                Err(_) => return Err(damaged()),
            }
        }
    }
}

fn is_too_large(error: &MultipartError) -> bool {
    error.status() == StatusCode::PAYLOAD_TOO_LARGE
}

async fn take_template(State(app): State<App>, visit: Visit, request: Request) -> Result<Response, Error> {
    let bytes = match receive(request, &app).await? {
        Ok(bytes) => bytes,
        Err(refused) => return refuse(&app, &visit, &refused).await,
    };
    let cleaned = app.files.work(move || -> Result<(Cleaned, Result<Vec<u8>, _>), Refused> {
        let cleaned = clean(&bytes)?;
        let package = cleaned.base.to_bytes();
        Ok((cleaned, package))
    });
    let (Cleaned { base, left_out }, package) = match cleaned.await? {
        Ok(cleaned) => cleaned,
        Err(refused) => return refuse(&app, &visit, &refused).await,
    };
    let package = package.map_err(anyhow::Error::from)?;
    let mut tx = app.database.write().await?;
    store::keep(&mut tx, &package, app.now()).await?;
    tx.commit().await?;
    app.files.build_on(Some(base));
    let mut told = format!("Saved {}. Slides are built on your template from now on.", app.clock());
    for left in left_out {
        told.push(' ');
        told.push_str(&format!("Left behind: {left}"));
    }
    Ok(lead_to(PATH, &told, None))
}

async fn refuse(app: &App, visit: &Visit, refused: &Refused) -> Result<Response, Error> {
    template_page(app, visit, StatusCode::UNPROCESSABLE_ENTITY, Some(refused.to_string())).await
}

/// The template as it is kept; else Relook's own, to begin with.
async fn give_template(State(app): State<App>) -> Result<Response, Error> {
    let package = match store::load(&mut *app.database.read().await?).await? {
        Some(kept) => kept.package,
        None => Base::ours().to_bytes().map_err(anyhow::Error::from)?,
    };
    Ok(download("template.pptx", MEDIA_TYPE, package))
}

async fn forget_template(State(app): State<App>) -> Result<Response, Error> {
    let mut tx = app.database.write().await?;
    store::forget(&mut tx).await?;
    tx.commit().await?;
    app.files.build_on(None::<Base>);
    Ok(lead_to(PATH, "Slides are built on Relook’s own master again.", None))
}

/// The entry on the page of settings.
pub(super) async fn entry(conn: &mut SqliteConnection) -> Result<Entry, Error> {
    let kept = store::load(conn).await?;
    Ok(Entry {
        href: PATH,
        title: "Slides template",
        text: "The master and layouts of your department, on which the slides of a case are built.",
        now: match kept {
            Some(kept) => format!("Your own, since {}.", moment(kept.kept_at)),
            None => "Relook’s own: paper, ink and teal.".to_owned(),
        },
    })
}
