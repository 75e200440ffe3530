//! The session behind a request's cookie: found, kept up, started, ended.

use std::net::{IpAddr, Ipv4Addr, SocketAddr};

use axum::extract::{ConnectInfo, FromRequestParts, Request, State};
use axum::http::request::Parts;
use axum::http::{HeaderMap, Method, header};
use axum::middleware::Next;
use axum::response::{IntoResponse as _, Response};
use axum_extra::extract::CookieJar;

use super::access::{Asked, Viewer};
use super::cookie::{self, Ours};
use super::error::Error;
use super::state::App;
use crate::accounts::{Secret, Session, rough_name, store};
use crate::history::{Author, as_author};

/// What pages call the session of this request.
#[derive(Debug, Clone)]
pub(super) struct Here(pub(super) String);

/// Where a request comes from: its address, and the browser in rough words.
#[derive(Debug, Clone)]
pub(super) struct Caller {
    pub(super) address: IpAddr,
    pub(super) browser: String,
}

impl FromRequestParts<App> for Caller {
    type Rejection = Error;
    async fn from_request_parts(parts: &mut Parts, app: &App) -> Result<Self, Error> {
        // Without a listener, as in a test, all come from one place.
        let peer = parts
            .extensions
            .get::<ConnectInfo<SocketAddr>>()
            .map_or(IpAddr::V4(Ipv4Addr::UNSPECIFIED), |peer| peer.0.ip());
        let told = if app.settings.trust_proxy { forwarded_for(&parts.headers) } else { None };
        let agent = parts.headers.get(header::USER_AGENT).and_then(|agent| agent.to_str().ok());
        Ok(Self { address: told.unwrap_or(peer), browser: rough_name(agent.unwrap_or_default()) })
    }
}

/// The address that the nearest proxy says a request came from: the last one it wrote. What stands before
/// it, whoever sent the request may have made up.
fn forwarded_for(headers: &HeaderMap) -> Option<IpAddr> {
    let last = headers.get_all("x-forwarded-for").iter().next_back()?.to_str().ok()?;
    last.rsplit(',').next()?.trim().parse().ok()
}

impl FromRequestParts<App> for Here {
    type Rejection = Error;
    async fn from_request_parts(parts: &mut Parts, _: &App) -> Result<Self, Error> {
        parts.extensions.get::<Self>().cloned().ok_or(Error::Forbidden("Sign in first."))
    }
}

/// Finds the account behind the request's session, and keeps the session up.
pub(super) async fn identify(
    State(app): State<App>,
    jar: CookieJar,
    mut request: Request,
    next: Next,
) -> Response {
    let session = match session_secret(&app, &jar) {
        None => None,
        Some(secret) => match find(&app, &secret).await {
            Ok(session) => session.map(|session| (secret, session)),
            Err(error) => return error.into_response(),
        },
    };
    let user = session.as_ref().map(|(_, session)| session.user.clone());
    let author = user.as_ref().map_or_else(Author::visitor, |user| Author::account(user.id, &user.name));
    let who = user.as_ref().map(|user| user.id);
    request.extensions_mut().insert(Viewer(user));
    let mut renewed = None;
    if let Some((secret, session)) = session {
        if session.role_then != Some(session.user.role) && shows_a_page(&request) {
            renewed = renew(&app, &secret).await;
        } else if session.life.is_to_be_noted(app.now()) {
            note_use(app.clone(), secret);
        }
        request.extensions_mut().insert(Here(renewed.as_ref().map_or(session.handle, Secret::handle)));
    }
    // Whatever the request changes is written down under this name.
    let mut response = as_author(author, next.run(request)).await;
    response.extensions_mut().insert(Asked(who));
    if let Some(secret) = renewed {
        cookie::send(&mut response, &Ours::Session.holding(secret.expose(), app.settings.transport));
    }
    response
}

async fn find(app: &App, secret: &Secret) -> Result<Option<Session>, Error> {
    let mut conn = app.database.read().await?;
    Ok(store::find_session(&mut conn, secret, app.now()).await?)
}

/// Whether a request is for a page of its own, rather than for a part of one: only then does no other
/// request of the same browser run beside it that would still carry the old secret.
fn shows_a_page(request: &Request) -> bool {
    let part = request.headers().get("sec-fetch-dest").is_some_and(|dest| dest != "document");
    request.method() == Method::GET && !part
}

/// Gives a session a new secret because its rights have changed. The rights hold already; when the new
/// secret cannot be written now, the next page tries again.
async fn renew(app: &App, old: &Secret) -> Option<Secret> {
    let new = Secret::generate().ok()?;
    let written: Result<bool, Error> = async {
        let mut tx = app.database.write().await?;
        let was_there = store::renew_secret(&mut tx, old, &new, app.now()).await?;
        tx.commit().await.map_err(Error::from)?;
        Ok(was_there)
    }
    .await;
    match written {
        Ok(was_there) => was_there.then_some(new),
        Err(error) => {
            tracing::warn!(%error, "a session keeps its old secret for now");
            None
        }
    }
}

/// Writes down the use of a session, beside the request: reading a page does not wait for writing.
fn note_use(app: App, secret: Secret) {
    tokio::spawn(async move {
        let written: Result<(), Error> = async {
            let mut tx = app.database.write().await?;
            store::note_use(&mut tx, &secret, app.now()).await?;
            tx.commit().await.map_err(Error::from)
        }
        .await;
        if let Err(error) = written {
            tracing::warn!(%error, "the use of a session is not written down");
        }
    });
}

fn secret_of(app: &App, jar: &CookieJar, cookie: Ours) -> Option<Secret> {
    cookie.read(jar, app.settings.transport).and_then(|text| Secret::from_text(&text))
}

/// The session secret of a request.
fn session_secret(app: &App, jar: &CookieJar) -> Option<Secret> {
    secret_of(app, jar, Ours::Session)
}

fn new_secret() -> Result<Secret, Error> {
    Ok(Secret::generate().map_err(anyhow::Error::from)?)
}

/// Signs an account in: a new session with a new secret, and its cookie. A session that the browser had
/// before ends.
pub(super) async fn start_session(
    app: &App,
    caller: &Caller,
    jar: CookieJar,
    user_id: i64,
) -> Result<CookieJar, Error> {
    let secret = new_secret()?;
    let now = app.now();
    let mut tx = app.database.write().await?;
    if let Some(old) = session_secret(app, &jar) {
        store::end_session(&mut tx, &old).await?;
    }
    store::start_session(&mut tx, user_id, &secret, &caller.browser, now).await?;
    store::note_sign_in(&mut tx, user_id, now).await?;
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

/// Begins to wait for the code of an account: no session yet, but a cookie that names the wait.
pub(super) async fn begin_step(app: &App, jar: CookieJar, user_id: i64) -> Result<CookieJar, Error> {
    let secret = new_secret()?;
    let mut tx = app.database.write().await?;
    store::begin_step(&mut tx, user_id, &secret, app.now()).await?;
    tx.commit().await?;
    Ok(jar.add(Ours::Step.holding(secret.expose(), app.settings.transport)))
}

/// The secret of the wait for a code.
pub(super) fn step_secret(app: &App, jar: &CookieJar) -> Option<Secret> {
    secret_of(app, jar, Ours::Step)
}

/// Takes the cookie of the wait away.
pub(super) fn forget_step(app: &App, jar: CookieJar) -> CookieJar {
    jar.remove(Ours::Step.gone(app.settings.transport))
}

#[cfg(test)]
mod tests {
    use axum::http::HeaderValue;

    use super::*;

    #[test]
    fn only_what_the_nearest_proxy_wrote_counts() {
        let told = |lines: &[&'static str]| {
            let mut headers = HeaderMap::new();
            for line in lines {
                headers.append("x-forwarded-for", HeaderValue::from_static(line));
            }
            forwarded_for(&headers).map(|address| address.to_string())
        };
        assert_eq!(told(&["10.0.0.7"]).as_deref(), Some("10.0.0.7"));
        assert_eq!(told(&["1.1.1.1, 10.0.0.7"]).as_deref(), Some("10.0.0.7"));
        assert_eq!(told(&["1.1.1.1", "2.2.2.2, 2001:db8::7"]).as_deref(), Some("2001:db8::7"));
        for none in [&[][..], &["unknown"], &["10.0.0.7, "]] {
            assert_eq!(told(none), None, "{none:?}");
        }
    }
}
