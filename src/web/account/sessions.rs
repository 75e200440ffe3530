//! Where one is signed in, and ending it there.

use axum::extract::State;
use axum::http::StatusCode;
use axum::response::Response;
use jiff::Timestamp;
use jiff::tz::TimeZone;

use super::{Wrong, account_page};
use crate::accounts::{Session, store};
use crate::web::error::Error;
use crate::web::form::Values;
use crate::web::frame::{Visit, lead_to};
use crate::web::session::{Caller, Here};
use crate::web::state::App;
use crate::web::tries::{Tried, try_own_password, with_wait};

/// What stands for all sessions but this one, where a session is named.
const OTHERS: &str = "others";

/// A session as a page shows it.
pub(in crate::web) struct SessionPart {
    pub(in crate::web) handle: String,
    pub(in crate::web) browser: String,
    pub(in crate::web) began: String,
    pub(in crate::web) last_used: String,
    /// The session of whoever looks.
    pub(in crate::web) here: bool,
}

/// The sessions of an account, the one of whoever looks marked.
pub(in crate::web) fn session_parts(sessions: &[Session], here: &str, now: Timestamp) -> Vec<SessionPart> {
    let part = |session: &Session| SessionPart {
        handle: session.handle.clone(),
        browser: if session.browser.is_empty() { "A browser".to_owned() } else { session.browser.clone() },
        began: session.life.began.to_zoned(TimeZone::system()).strftime("%A %-d %B, %H:%M").to_string(),
        last_used: ago(session.life.last_used, now),
        here: session.handle == here,
    };
    sessions.iter().map(part).collect()
}

/// How long ago something was, for times within a session's idle limit.
fn ago(moment: Timestamp, now: Timestamp) -> String {
    match (now.as_second() - moment.as_second()) / 60 {
        ..=1 => "just now".to_owned(),
        minutes => format!("{minutes} minutes ago"),
    }
}

pub(super) async fn end_own(
    State(app): State<App>,
    visit: Visit,
    here: Here,
    caller: Caller,
    values: Values,
) -> Result<Response, Error> {
    let unread = StatusCode::UNPROCESSABLE_ENTITY;
    let problem = |text: &str| Wrong { sessions: Some(text.to_owned()), ..Wrong::default() };
    let named = values.get("session");
    if named.is_empty() || named == here.0 {
        let wrong = problem("Choose which one to end. This one ends with Sign out.");
        return account_page(&app, &visit, &here, unread, wrong).await;
    }
    match try_own_password(&app, &caller, &visit.user, values.get("current_password")).await? {
        Tried::Right => {}
        Tried::Wrong => {
            let wrong = problem("This is not your password. Type it, then end the session.");
            return account_page(&app, &visit, &here, unread, wrong).await;
        }
        Tried::Wait(wait) => {
            let shown = account_page(&app, &visit, &here, unread, problem(&wait.sentence())).await?;
            return Ok(with_wait(shown, wait));
        }
    }
    let mut tx = app.database.write().await?;
    let said = if named == OTHERS {
        store::end_other_sessions(&mut tx, visit.user.id, &here.0).await?;
        "Wherever else you were signed in, you are signed out."
    } else if store::end_named_session(&mut tx, visit.user.id, named).await? {
        "You are signed out there."
    } else {
        "That session had ended already."
    };
    tx.commit().await?;
    Ok(lead_to("/account#sessions", said, None))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_last_use_is_said_in_minutes() {
        let at = |second: i64| Timestamp::from_second(1_700_000_000 + second).unwrap();
        for (seconds, said) in [
            (-40, "just now"),
            (0, "just now"),
            (119, "just now"),
            (120, "2 minutes ago"),
            (3_540, "59 minutes ago"),
        ] {
            assert_eq!(ago(at(0), at(seconds)), said);
        }
    }
}
