//! One-time sign-in links: with a new account, or instead of a forgotten password.
//!
//! A link is a secret. It stands in the answer to the form that made it, once, and nowhere else.

use askama::Template;
use axum::extract::{Path, State};
use axum::http::{HeaderMap, StatusCode, header};
use axum::response::Response;
use jiff::tz::TimeZone;
use jiff::{Span, Timestamp};

use super::{read_id, role_field, user_page, with_article};
use crate::accounts::{LINK_HOURS, Role, Secret, User, UserName, store};
use crate::web::error::Error;
use crate::web::form::{Control, Field, FieldError, FormView, Reader, Values};
use crate::web::frame::{Frame, Place, Visit, page, page_with};
use crate::web::state::App;

#[derive(Template)]
#[template(path = "settings/new_user.html")]
struct NewUserPage {
    frame: Frame,
    eyebrow: String,
    title: String,
    lead: String,
    form: FormView,
}

fn new_user_page(visit: &Visit, values: Values, errors: Vec<FieldError>) -> NewUserPage {
    NewUserPage {
        frame: visit.frame(Place::Settings),
        eyebrow: "Accounts".to_owned(),
        title: "Add an account".to_owned(),
        lead: "You get a sign-in link for it, to hand over yourself. Relook sends no mail.".to_owned(),
        form: FormView {
            action: "/settings/users/new".to_owned(),
            cancel: "/settings/users".to_owned(),
            save: "Add the account",
            fields: vec![
                Field::line("name", "Name", "w-long")
                    .hint("As it should stand under a lesson that they sign, such as Dr Ana Ito."),
                role_field(),
            ],
            values,
            errors,
            base: String::new(),
            take_out: None,
        },
    }
}

pub(super) async fn show_new_user(visit: Visit) -> Result<Response, Error> {
    page(&new_user_page(&visit, Values::new().with("role", Role::Fellow), Vec::new()))
}

pub(super) async fn add_user(
    State(app): State<App>,
    visit: Visit,
    headers: HeaderMap,
    values: Values,
) -> Result<Response, Error> {
    let mut tx = app.database.write().await?;
    let mut reader = Reader::new(&values);
    let name = reader.required::<UserName>("name", "Say whose account it is.");
    let role = reader.required::<Role>("role", "Choose what the account may do.");
    if let Some(name) = &name
        && let Some(taken) = store::list(&mut tx).await?.iter().find(|user| same_name(user, name))
    {
        reader.mark("name", taken_sentence(taken));
    }
    let (name, role) = match reader.finish(name.zip(role)) {
        Ok(read) => read,
        Err(errors) => {
            return page_with(StatusCode::UNPROCESSABLE_ENTITY, &new_user_page(&visit, values, errors));
        }
    };
    let id = store::insert(&mut tx, &name, role, app.now()).await?;
    let user = store::find(&mut tx, id).await?.ok_or(Error::NotFound)?;
    let secret = new_secret()?;
    store::insert_link(&mut tx, id, &secret, false, LINK_HOURS, app.now()).await?;
    tx.commit().await?;
    link_page(&visit, user, &headers, &secret, app.now(), true)
}

/// Two accounts that a person could not tell apart are one too many.
fn same_name(user: &User, name: &UserName) -> bool {
    user.name.as_str().to_lowercase() == name.as_str().to_lowercase()
}

fn taken_sentence(taken: &User) -> String {
    if taken.active {
        format!(
            "There is an account of {} already. Names differ, so that a signature says whose it is.",
            taken.name
        )
    } else {
        format!("There is an ended account of {}. Take that one up again, under Accounts.", taken.name)
    }
}

fn new_secret() -> Result<Secret, Error> {
    Ok(Secret::generate().map_err(anyhow::Error::from)?)
}

pub(super) async fn renew_link(
    State(app): State<App>,
    visit: Visit,
    Path(id): Path<String>,
    headers: HeaderMap,
) -> Result<Response, Error> {
    let mut tx = app.database.write().await?;
    let user = store::find(&mut tx, read_id(&id)?).await?.ok_or(Error::NotFound)?;
    let problem = if !user.active {
        Some("This account is ended. Take it up again first.")
    } else if user.id == visit.user.id {
        Some("This is your own account. Change your password under Your account instead.")
    } else {
        None
    };
    if let Some(problem) = problem {
        drop(tx);
        return user_page(&app, &visit, user, StatusCode::CONFLICT, Some(problem.to_owned()), None).await;
    }
    store::close_doors(&mut tx, user.id).await?;
    let secret = new_secret()?;
    store::insert_link(&mut tx, user.id, &secret, false, LINK_HOURS, app.now()).await?;
    tx.commit().await?;
    link_page(&visit, user, &headers, &secret, app.now(), false)
}

#[derive(Template)]
#[template(path = "settings/link.html")]
struct LinkPage {
    frame: Frame,
    user: User,
    role: &'static str,
    link: String,
    until: String,
    /// The account was made just now.
    fresh: bool,
}

fn link_page(
    visit: &Visit,
    user: User,
    headers: &HeaderMap,
    secret: &Secret,
    now: Timestamp,
    fresh: bool,
) -> Result<Response, Error> {
    let until = now.checked_add(Span::new().hours(LINK_HOURS)).unwrap_or(now).to_zoned(TimeZone::system());
    page(&LinkPage {
        frame: visit.frame(Place::Settings),
        role: with_article(user.role),
        user,
        link: format!("{}/sign-in/link/{}", own_address(headers), secret.expose()),
        until: until.strftime("%A %-d %B, %H:%M").to_string(),
        fresh,
    })
}

/// Where this server stands for whoever asked: the origin that the browser states with a form,
/// because behind a proxy the server does not know it; else the host that was asked for.
fn own_address(headers: &HeaderMap) -> String {
    let text = |name| headers.get(name).and_then(|value| value.to_str().ok()).unwrap_or("");
    let origin = text(header::ORIGIN);
    if origin.starts_with("https://") || origin.starts_with("http://") {
        origin.trim_end_matches('/').to_owned()
    } else {
        format!("http://{}", text(header::HOST))
    }
}

#[cfg(test)]
mod tests {
    use axum::http::HeaderValue;

    use super::*;

    fn headers(pairs: &[(header::HeaderName, &'static str)]) -> HeaderMap {
        pairs.iter().map(|(name, value)| (name.clone(), HeaderValue::from_static(value))).collect()
    }

    #[test]
    fn a_link_leads_to_where_the_browser_stands() {
        let behind_proxy =
            headers(&[(header::ORIGIN, "https://relook.example"), (header::HOST, "127.0.0.1:7000")]);
        assert_eq!(own_address(&behind_proxy), "https://relook.example");
    }

    #[test]
    fn without_an_origin_the_host_serves() {
        assert_eq!(own_address(&headers(&[(header::HOST, "localhost:7000")])), "http://localhost:7000");
        let opaque = headers(&[(header::ORIGIN, "null"), (header::HOST, "localhost:7000")]);
        assert_eq!(own_address(&opaque), "http://localhost:7000");
    }
}
