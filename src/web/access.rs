//! Who looks: the session behind the cookie, and the rule that each route states.

use askama::Template;
use axum::body::Body;
use axum::extract::{Request, State};
use axum::http::{Method, StatusCode};
use axum::middleware::Next;
use axum::response::{IntoResponse, Redirect, Response};
use axum_extra::extract::CookieJar;

use super::cookie::Ours;
use super::error::Error;
use super::form::Values;
use super::frame::{Frame, Place, page_with};
use super::state::App;
use crate::accounts::{Role, Secret, User, store};
use crate::history::{Author, as_author};

/// Who may use a route.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Allow {
    /// Anyone, signed in or not.
    Anyone,
    /// Every account.
    SignedIn,
    /// Who records and edits cases.
    Writers,
    /// Who signs lessons and closes cases.
    Signers,
    /// Who keeps denominators, vocabularies, conferences and accounts.
    Keepers,
}

impl Allow {
    /// Whether a role may use a route of this rule; none is somebody who is not signed in.
    #[must_use]
    pub fn admits(self, role: Option<Role>) -> bool {
        match self {
            Self::Anyone => true,
            Self::SignedIn => role.is_some(),
            Self::Writers => role.is_some_and(Role::writes),
            Self::Signers => role.is_some_and(Role::signs),
            Self::Keepers => role.is_some_and(Role::keeps),
        }
    }

    const fn refusal(self) -> &'static str {
        match self {
            Self::Anyone | Self::SignedIn => "Sign in first.",
            Self::Writers => "Readers see presented cases; fellows, attendings and the quality lead write.",
            Self::Signers => "An attending or the quality lead does this.",
            Self::Keepers => "The quality lead does this.",
        }
    }
}

/// The account behind a request, if any.
#[derive(Debug, Clone)]
pub(super) struct Viewer(pub(super) Option<User>);

/// The id of the account that asked, for the log; carried in the response to the layer that writes it.
#[derive(Debug, Clone, Copy)]
pub(super) struct Asked(pub(super) Option<i64>);

/// Finds the account behind the request's session.
pub(super) async fn identify(
    State(app): State<App>,
    jar: CookieJar,
    mut request: Request,
    next: Next,
) -> Response {
    let secret = session_secret(&app, &jar);
    let user = match secret {
        None => None,
        Some(secret) => match find(&app, &secret).await {
            Ok(user) => user,
            Err(error) => return error.into_response(),
        },
    };
    let who = user.as_ref().map(|user| user.id);
    let author = user.as_ref().map_or_else(Author::visitor, |user| Author::account(user.id, &user.name));
    request.extensions_mut().insert(Viewer(user));
    // Whatever the request changes is written down under this name.
    let mut response = as_author(author, next.run(request)).await;
    response.extensions_mut().insert(Asked(who));
    response
}

async fn find(app: &App, secret: &Secret) -> Result<Option<User>, Error> {
    let mut conn = app.database.read().await?;
    Ok(store::find_session(&mut conn, secret, app.now()).await?)
}

/// Lets a request through to its route, or says why not.
pub(super) async fn guard(State(allow): State<Allow>, request: Request, next: Next) -> Response {
    let user = request.extensions().get::<Viewer>().and_then(|viewer| viewer.0.clone());
    if allow.admits(user.as_ref().map(|user| user.role)) {
        return next.run(request).await;
    }
    match user {
        Some(_) => Error::Forbidden(allow.refusal()).into_response(),
        None if request.method() == Method::GET || request.method() == Method::HEAD => {
            let start = String::from("/sign-in?");
            let mut target = form_urlencoded::Serializer::for_suffix(start, "/sign-in?".len());
            let wanted = request.uri().path_and_query().map_or("/", |path| path.as_str());
            if wanted != "/" {
                target.append_pair("next", wanted);
            }
            Redirect::to(target.finish().trim_end_matches('?')).into_response()
        }
        None => keep_typed(request).await.unwrap_or_else(IntoResponse::into_response),
    }
}

#[derive(Template)]
#[template(path = "signed_out.html")]
struct SignedOutPage {
    frame: Frame,
    action: String,
    fields: Vec<(String, String)>,
}

/// The session ended while somebody typed: the page shows all that was typed, to be sent again.
async fn keep_typed(request: Request<Body>) -> Result<Response, Error> {
    let action = request.uri().path().to_owned();
    let fields = Values::from_body(request.into_body()).await.map(Values::into_pairs).unwrap_or_default();
    let secret = ["password", "new_password", "again"];
    let fields = fields.into_iter().filter(|(name, _)| !secret.contains(&name.as_str())).collect();
    let frame = Frame::new(None, Place::Elsewhere, None, false);
    page_with(StatusCode::UNAUTHORIZED, &SignedOutPage { frame, action, fields })
}

/// The session secret of a request.
pub(super) fn session_secret(app: &App, jar: &CookieJar) -> Option<Secret> {
    Ours::Session.read(jar, app.settings.transport).and_then(|text| Secret::from_text(&text))
}

/// Signs an account in: a new session, and its cookie.
pub(super) async fn start_session(app: &App, jar: CookieJar, user_id: i64) -> Result<CookieJar, Error> {
    let secret = Secret::generate().map_err(anyhow::Error::from)?;
    let mut tx = app.database.write().await?;
    if let Some(old) = session_secret(app, &jar) {
        store::end_session(&mut tx, &old).await?;
    }
    store::start_session(&mut tx, user_id, &secret, app.now()).await?;
    tx.commit().await?;
    Ok(jar.add(Ours::Session.holding(secret.expose(), app.settings.transport)))
}

/// Signs out: ends the session and takes its cookie away.
pub(super) async fn end_session(app: &App, jar: CookieJar) -> Result<CookieJar, Error> {
    if let Some(secret) = session_secret(app, &jar) {
        let mut tx = app.database.write().await?;
        store::end_session(&mut tx, &secret).await?;
        tx.commit().await?;
    }
    Ok(jar.remove(Ours::Session.gone(app.settings.transport)))
}
