//! The frame round every page: who looks, where in the house, what was just done.

use askama::Template;
use axum::extract::{FromRequestParts, OptionalFromRequestParts};
use axum::http::StatusCode;
use axum::http::request::Parts;
use axum::response::{Html, IntoResponse, Response};

use super::access::Viewer;
use super::cookie::Ours;
use super::error::Error;
use super::state::App;
use crate::accounts::User;
use crate::case::Sight;
use crate::quantity::words;

words!(
    /// The parts of the house that the navigation names.
    Place, "a place", {
        Overview = "overview", "Overview";
        Cases = "cases", "Cases";
        Library = "library", "Library";
        Rates = "rates", "Rates";
        Conferences = "conferences", "Conferences";
        Settings = "settings", "Settings";
        Elsewhere = "elsewhere", "Elsewhere";
    }
);

impl Place {
    const fn href(self) -> &'static str {
        match self {
            Self::Overview | Self::Elsewhere => "/",
            Self::Cases => "/cases",
            Self::Library => "/library",
            Self::Rates => "/rates",
            Self::Conferences => "/conferences",
            Self::Settings => "/settings",
        }
    }
}

/// What the navigation names, in its order.
const NAVIGATION: [Place; 6] =
    [Place::Overview, Place::Cases, Place::Library, Place::Rates, Place::Conferences, Place::Settings];

/// An entry of the navigation.
#[derive(Debug, Clone)]
pub struct NavItem {
    /// Where it leads.
    pub href: &'static str,
    /// What it says.
    pub label: &'static str,
    /// Whether the page is in that part of the house.
    pub current: bool,
}

/// Who looks at a page, as the frame shows it.
#[derive(Debug, Clone)]
pub struct ViewerPart {
    /// The account's name.
    pub name: String,
    /// Its role, in words; empty where the name says it already.
    pub role: String,
    /// The navigation that the role has.
    pub nav: Vec<NavItem>,
}

/// What was just done, said once.
#[derive(Debug, Clone)]
pub struct Notice {
    /// The sentence.
    pub text: String,
    /// Where to post to undo it.
    pub undo: Option<String>,
}

impl Notice {
    /// As it stands in its cookie.
    pub(super) fn encoded(&self) -> String {
        let mut value = form_urlencoded::Serializer::new(String::new());
        value.append_pair("text", &self.text);
        if let Some(undo) = &self.undo {
            value.append_pair("undo", undo);
        }
        value.finish()
    }
}

/// The frame round a page.
#[derive(Debug, Clone)]
pub struct Frame {
    /// Who looks; none before sign-in.
    pub viewer: Option<ViewerPart>,
    /// What was just done.
    pub notice: Option<Notice>,
    /// A line that every page carries, such as that the data is invented.
    pub mode_line: Option<&'static str>,
    /// Letters for power users, with what each does.
    pub keys: Vec<(&'static str, &'static str)>,
}

impl Frame {
    /// The frame for a viewer, at a place of the house.
    #[must_use]
    pub fn new(user: Option<&User>, place: Place, notice: Option<Notice>, demo: bool) -> Self {
        let mut keys = vec![("g o", "Overview"), ("g c", "Cases"), ("g l", "Library"), ("g r", "Rates")];
        if user.is_some_and(|user| user.role.writes()) {
            keys.push(("n", "Record a complication"));
            keys.push(("F8", "In a text: put other words where something may identify somebody"));
        }
        keys.push(("?", "This list"));
        Self {
            viewer: user.map(|user| ViewerPart {
                name: user.name.to_string(),
                role: if user.name.as_str().eq_ignore_ascii_case(user.role.label()) {
                    String::new()
                } else {
                    user.role.label().to_lowercase()
                },
                nav: NAVIGATION
                    .into_iter()
                    .map(|item| NavItem { href: item.href(), label: item.label(), current: item == place })
                    .collect(),
            }),
            notice,
            mode_line: demo.then_some("Demo data: invented cases."),
            keys: if user.is_some() { keys } else { Vec::new() },
        }
    }
}

/// A request of somebody who is signed in: who, and what was said to them last.
#[derive(Debug, Clone)]
pub struct Visit {
    /// The account.
    pub user: User,
    notice: Option<Notice>,
    demo: bool,
}

impl Visit {
    /// Which cases the account sees.
    #[must_use]
    pub const fn sight(&self) -> Sight {
        Sight::of(&self.user)
    }

    /// The frame for a page at this place of the house.
    #[must_use]
    pub fn frame(&self, place: Place) -> Frame {
        Frame::new(Some(&self.user), place, self.notice.clone(), self.demo)
    }
}

/// The notice that a request's cookie carries.
fn notice_of(parts: &Parts, app: &App) -> Option<Notice> {
    let value = Ours::Notice.read_headers(&parts.headers, app.settings.transport)?;
    let decoded: Vec<(String, String)> = form_urlencoded::parse(value.as_bytes()).into_owned().collect();
    let get = |name: &str| decoded.iter().find(|(key, _)| key == name).map(|(_, value)| value.clone());
    let undo = get("undo").filter(|path| path.starts_with('/') && !path.starts_with("//"));
    Some(Notice { text: get("text")?.chars().take(300).collect(), undo })
}

impl FromRequestParts<App> for Visit {
    type Rejection = Error;
    async fn from_request_parts(parts: &mut Parts, app: &App) -> Result<Self, Error> {
        let Viewer(user) = parts.extensions.get::<Viewer>().cloned().unwrap_or(Viewer(None));
        // The route's rule has let nobody through who is not signed in.
        let user = user.ok_or(Error::Forbidden("Sign in first."))?;
        Ok(Self { user, notice: notice_of(parts, app), demo: app.settings.demo })
    }
}

impl OptionalFromRequestParts<App> for Visit {
    type Rejection = Error;
    async fn from_request_parts(parts: &mut Parts, app: &App) -> Result<Option<Self>, Error> {
        Ok(<Self as FromRequestParts<App>>::from_request_parts(parts, app).await.ok())
    }
}

/// A rendered page.
///
/// # Errors
/// When the template fails.
pub fn page(template: &impl Template) -> Result<Response, Error> {
    page_with(StatusCode::OK, template)
}

/// A rendered page with a status of its own.
///
/// # Errors
/// When the template fails.
pub fn page_with(status: StatusCode, template: &impl Template) -> Result<Response, Error> {
    Ok((status, Html(template.render()?)).into_response())
}

/// Leads to a page and has it say what was done.
#[must_use]
pub fn lead_to(path: &str, text: &str, undo: Option<&str>) -> Response {
    let mut response = axum::response::Redirect::to(path).into_response();
    // The layer that knows how people reach the server makes it a cookie.
    let notice = Notice { text: text.to_owned(), undo: undo.map(str::to_owned) };
    response.extensions_mut().insert(notice);
    response
}
