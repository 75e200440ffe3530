//! The doors where guessing is slowed down: each comparison of a password, a code or a link passes here.

use axum::http::{HeaderValue, StatusCode, header};
use axum::response::Response;

use super::error::Error;
use super::session::Caller;
use super::state::App;
use crate::accounts::{Kept, RecoveryCode, User, Wait, check_password, hash_again, store};

/// How a comparison went.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Tried {
    /// It is the right one.
    Right,
    /// It is another one.
    Wrong,
    /// There were too many tries: nothing was compared.
    Wait(Wait),
}

/// The account whose codes are tried, apart from its password.
fn code_of(user: &User) -> String {
    format!("the code of {}", user.id)
}

/// Compares the password of a name, and gives the account whose it is. A right one that was kept with other
/// work is hashed anew.
pub(super) async fn try_password(
    app: &App,
    caller: &Caller,
    name: &str,
    given: &str,
) -> Result<Result<i64, Tried>, Error> {
    if let Err(wait) = app.throttle().begin(Some(name), caller.address, app.now()) {
        return Ok(Err(Tried::Wait(wait)));
    }
    let found = store::password_hash(&mut *app.database.read().await?, name.trim()).await?;
    let (user_id, kept) = found.map_or((None, None), |(id, hash)| (Some(id), hash));
    let (given, compared) = (given.to_owned(), kept.clone());
    let (answer, anew) = tokio::task::spawn_blocking(move || {
        let answer = check_password(&given, compared.as_deref());
        (answer, (answer == Kept::RightButOld).then(|| hash_again(&given)))
    })
    .await
    .map_err(anyhow::Error::from)?;
    let Some(user_id) = user_id.filter(|_| answer != Kept::Wrong) else {
        return Ok(Err(Tried::Wrong));
    };
    app.throttle().succeeded(Some(name), caller.address, app.now());
    if let (Some(before), Some(anew)) = (kept, anew) {
        let anew = anew.map_err(anyhow::Error::from)?;
        let mut tx = app.database.write().await?;
        store::renew_password_hash(&mut tx, user_id, &before, &anew).await?;
        tx.commit().await?;
    }
    Ok(Ok(user_id))
}

/// Compares the password of whoever is signed in, before something of their account is changed. Who has
/// none, in the demo, is not asked for one.
pub(super) async fn try_own_password(
    app: &App,
    caller: &Caller,
    user: &User,
    given: &str,
) -> Result<Tried, Error> {
    if !user.has_password {
        return Ok(Tried::Right);
    }
    Ok(match try_password(app, caller, user.name.as_str(), given).await? {
        Ok(_) => Tried::Right,
        Err(tried) => tried,
    })
}

/// Compares a code from the phone, or a recovery code, and uses it up.
pub(super) async fn try_code(app: &App, caller: &Caller, user: &User, given: &str) -> Result<Tried, Error> {
    let account = code_of(user);
    let now = app.now();
    if let Err(wait) = app.throttle().begin(Some(&account), caller.address, now) {
        return Ok(Tried::Wait(wait));
    }
    let mut tx = app.database.write().await?;
    let Some(factor) = store::find_second_factor(&mut tx, user.id).await? else {
        return Ok(Tried::Wrong);
    };
    let right = if let Some(step) = factor.key.accepts(given, now, factor.last_step) {
        store::use_step(&mut tx, user.id, step).await?
    } else if let (true, Ok(code)) = (factor.confirmed, given.parse::<RecoveryCode>()) {
        store::use_recovery_code(&mut tx, user.id, &code, now).await?
    } else {
        false
    };
    if !right {
        return Ok(Tried::Wrong);
    }
    tx.commit().await?;
    app.throttle().succeeded(Some(&account), caller.address, now);
    Ok(Tried::Right)
}

/// Somebody has signed in: their address is known from now on, for the password and for codes.
pub(super) fn remember(app: &App, caller: &Caller, user: &User) {
    let now = app.now();
    let mut throttle = app.throttle();
    throttle.remember(user.name.as_str(), caller.address, now);
    throttle.remember(&code_of(user), caller.address, now);
}

/// The page as it is, or, for who has to wait, with 429 and when to come back.
pub(super) fn with_wait(mut page: Response, wait: impl Into<Option<Wait>>) -> Response {
    let Some(wait) = wait.into() else {
        return page;
    };
    *page.status_mut() = StatusCode::TOO_MANY_REQUESTS;
    page.headers_mut().insert(header::RETRY_AFTER, HeaderValue::from(wait.seconds));
    page
}
