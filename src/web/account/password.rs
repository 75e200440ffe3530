//! A new password: the fields that ask for it, reading them, keeping it.

use axum::extract::State;
use axum::http::StatusCode;
use axum::response::{IntoResponse, Response};
use axum_extra::extract::CookieJar;

use super::{Wrong, account_page};
use crate::accounts::{NewPassword, PasswordRules, User, store};
use crate::web::error::Error;
use crate::web::form::{Field, FieldError, Reader, Values};
use crate::web::frame::{Visit, lead_to};
use crate::web::session::{Caller, Here, start_session};
use crate::web::state::App;
use crate::web::tries::{Tried, try_own_password, with_wait};

/// The fields that ask for a new password.
pub(in crate::web) struct NewPasswordForm(NewPassword);

impl NewPasswordForm {
    /// The new password twice.
    pub(in crate::web) fn fields(second_factor: bool) -> Vec<Field> {
        let hint = if second_factor {
            "At least 8 characters, because a code is asked for too. Spaces and every script are fine; a few words that do not belong together make a good one."
        } else {
            "At least 15 characters. Spaces and every script are fine; a few words that do not belong together make a good one."
        };
        vec![
            Field::secret("new_password", "New password", "new-password").hint(hint),
            Field::secret("again", "The same again", "new-password"),
        ]
    }

    /// As [`Self::fields`], after the password that an account has now.
    pub(in crate::web) fn fields_of_change(user: &User) -> Vec<Field> {
        let now = Field::secret("current_password", "The password that you have now", "current-password");
        let new = Self::fields(user.second_factor);
        user.has_password.then_some(now).into_iter().chain(new).collect()
    }

    /// The hash of the password, computed off the request's thread.
    pub(in crate::web) async fn hash_aside(self) -> Result<String, Error> {
        let hash = tokio::task::spawn_blocking(move || self.0.hash()).await.map_err(anyhow::Error::from)?;
        Ok(hash.map_err(anyhow::Error::from)?)
    }
}

/// Reads the new password of an account, or says what is wrong with it.
pub(in crate::web) fn read_new_password(
    values: &Values,
    user: &User,
) -> Result<NewPasswordForm, Vec<FieldError>> {
    let mut reader = Reader::new(values);
    let rules = PasswordRules { name: &user.name, second_factor: user.second_factor };
    let password = match NewPassword::parse(values.get("new_password"), &rules) {
        Ok(password) => Some(password),
        Err(error) => {
            reader.mark("new_password", error);
            None
        }
    };
    if password.is_some() && values.get("new_password") != values.get("again") {
        reader.mark("again", "The two passwords differ. Type the same twice.");
    }
    reader.finish(password).map(NewPasswordForm)
}

fn marked(name: &str, message: impl ToString) -> Wrong {
    let error = FieldError { name: name.to_owned(), message: message.to_string() };
    Wrong { password: vec![error], sessions: None }
}

pub(super) async fn save_password(
    State(app): State<App>,
    visit: Visit,
    here: Here,
    caller: Caller,
    jar: CookieJar,
    values: Values,
) -> Result<Response, Error> {
    let unread = StatusCode::UNPROCESSABLE_ENTITY;
    let password = match read_new_password(&values, &visit.user) {
        Ok(password) => password,
        Err(errors) => {
            let wrong = Wrong { password: errors, sessions: None };
            return account_page(&app, &visit, &here, unread, wrong).await;
        }
    };
    match try_own_password(&app, &caller, &visit.user, values.get("current_password")).await? {
        Tried::Right => {}
        Tried::Wrong => {
            let wrong = marked("current_password", "This is not the password that you have now.");
            return account_page(&app, &visit, &here, unread, wrong).await;
        }
        Tried::Wait(wait) => {
            let wrong = marked("current_password", wait.sentence());
            return Ok(with_wait(account_page(&app, &visit, &here, unread, wrong).await?, wait));
        }
    }
    let hash = password.hash_aside().await?;
    let mut tx = app.database.write().await?;
    store::set_password_hash(&mut tx, visit.user.id, &hash).await?;
    tx.commit().await?;
    let jar = start_session(&app, &caller, jar, visit.user.id).await?;
    let said = "Your password is saved. Wherever else you were signed in, you are signed out.";
    Ok((jar, lead_to("/account", said, None)).into_response())
}
