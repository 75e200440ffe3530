//! Accounts: who may sign in, and what each may do.

mod change;
mod doors;
mod link;

use askama::Template;
use axum::extract::{Path, State};
use axum::http::StatusCode;
use axum::response::Response;

use crate::accounts::{Role, User, store};
use crate::web::access::Allow;
use crate::web::account::{SessionPart, session_parts};
use crate::web::error::Error;
use crate::web::form::{Choice, Control, Field, FieldError, FormView, Values};
use crate::web::frame::{Frame, Place, Visit, page, page_with};
use crate::web::router::Routes;
use crate::web::state::App;

pub(super) fn add_routes(routes: Routes) -> Routes {
    routes
        .get("/settings/users", Allow::Keepers, show_users)
        .get("/settings/users/new", Allow::Keepers, link::show_new_user)
        .post("/settings/users/new", Allow::Keepers, link::add_user)
        .get("/settings/users/{id}", Allow::Keepers, show_user)
        .post("/settings/users/{id}/role", Allow::Keepers, change::save_role)
        .post("/settings/users/{id}/end", Allow::Keepers, change::end_user)
        .post("/settings/users/{id}/take-up", Allow::Keepers, change::take_up_user)
        .post("/settings/users/{id}/link", Allow::Keepers, link::renew_link)
        .post("/settings/users/{id}/second-factor/off", Allow::Keepers, doors::turn_second_factor_off)
        .post("/settings/users/{id}/sessions/end", Allow::Keepers, doors::end_sessions)
}

/// What a role may do, in a sentence.
const fn explain(role: Role) -> &'static str {
    match role {
        Role::Fellow => "Records cases and prepares them.",
        Role::Attending => "Also signs lessons and closes cases.",
        Role::QualityLead => {
            "Also keeps procedures at risk, mechanisms and causes, conferences and accounts."
        }
        Role::Reader => "Sees presented cases and the rates.",
    }
}

const fn with_article(role: Role) -> &'static str {
    match role {
        Role::Fellow => "a fellow",
        Role::Attending => "an attending",
        Role::QualityLead => "a quality lead",
        Role::Reader => "a reader",
    }
}

fn role_field() -> Field {
    let choices =
        Role::ALL.iter().map(|role| Choice::new(role, role.label()).explained(explain(*role))).collect();
    Field::new("role", "What the account may do", Control::Radios(choices))
}

#[derive(Template)]
#[template(path = "settings/users.html")]
struct UsersPage {
    frame: Frame,
    state: String,
    users: Vec<User>,
    viewer: i64,
}

/// How many accounts of each role can sign in, in words.
fn count_roles(users: &[User]) -> String {
    let of = |role: Role| users.iter().filter(|user| user.active && user.role == role).count();
    let parts: Vec<String> = [
        (Role::QualityLead, "quality lead"),
        (Role::Attending, "attending"),
        (Role::Fellow, "fellow"),
        (Role::Reader, "reader"),
    ]
    .into_iter()
    .filter_map(|(role, word)| match of(role) {
        0 => None,
        1 => Some(format!("1 {word}")),
        count => Some(format!("{count} {word}s")),
    })
    .collect();
    match parts.split_last() {
        None => "Nobody can sign in.".to_owned(),
        Some((only, [])) => format!("{only} can sign in."),
        Some((last, others)) => format!("{} and {last} can sign in.", others.join(", ")),
    }
}

async fn show_users(State(app): State<App>, visit: Visit) -> Result<Response, Error> {
    let users = store::list(&mut *app.database.read().await?).await?;
    page(&UsersPage {
        frame: visit.frame(Place::Settings),
        state: count_roles(&users),
        viewer: visit.user.id,
        users,
    })
}

#[derive(Template)]
#[template(path = "settings/user.html")]
struct UserPage {
    frame: Frame,
    user: User,
    state: String,
    /// The account of whoever looks.
    own: bool,
    /// The only account that keeps the department's settings.
    last_lead: bool,
    /// Why what was asked was not done.
    problem: Option<String>,
    form: FormView,
    sessions: Vec<SessionPart>,
}

const ONLY_LEAD: &str = "This is the only quality lead. Make another account quality lead first; somebody has to keep the accounts.";

fn describe(user: &User) -> String {
    let role = with_article(user.role);
    let signs_in = match (user.has_password, user.second_factor) {
        (true, true) => "Password and second factor are their own.",
        (true, false) => "The password is their own.",
        (false, _) => "There is no password yet: a link opens it.",
    };
    if user.active {
        format!("Signs in as {role}. {signs_in}")
    } else {
        format!("Ended, and cannot sign in. It was {role}; what was recorded and signed stays as it is.")
    }
}

/// The page of one account, with what was wrong with a change of it, if anything.
async fn user_page(
    app: &App,
    visit: &Visit,
    user: User,
    status: StatusCode,
    problem: Option<String>,
    role: Option<(Values, Vec<FieldError>)>,
) -> Result<Response, Error> {
    let mut conn = app.database.read().await?;
    let leads = store::count_quality_leads(&mut conn).await?;
    let sessions = store::list_sessions(&mut conn, user.id, app.now()).await?;
    drop(conn);
    let last_lead = is_last_lead(&user, leads);
    let (values, errors) = role.unwrap_or_else(|| (Values::new().with("role", user.role), Vec::new()));
    let field = if last_lead && errors.is_empty() { role_field().hint(ONLY_LEAD) } else { role_field() };
    let form = FormView {
        action: format!("/settings/users/{}/role", user.id),
        cancel: "/settings/users".to_owned(),
        save: "Save the role",
        fields: vec![field],
        values,
        errors,
        base: String::new(),
        take_out: None,
    };
    let state = describe(&user);
    let own = user.id == visit.user.id;
    let sessions = session_parts(&sessions, "", app.now());
    let frame = visit.frame(Place::Settings);
    page_with(status, &UserPage { frame, user, state, own, last_lead, problem, form, sessions })
}

fn is_last_lead(user: &User, leads: i64) -> bool {
    user.active && user.role.keeps() && leads <= 1
}

/// The id that an address names.
fn read_id(id: &str) -> Result<i64, Error> {
    id.parse().map_err(|_| Error::NotFound)
}

async fn show_user(State(app): State<App>, visit: Visit, Path(id): Path<String>) -> Result<Response, Error> {
    let mut conn = app.database.read().await?;
    let user = store::find(&mut conn, read_id(&id)?).await?.ok_or(Error::NotFound)?;
    drop(conn);
    user_page(&app, &visit, user, StatusCode::OK, None, None).await
}

#[cfg(test)]
mod tests {
    use super::*;

    fn user(role: Role, active: bool) -> User {
        User {
            id: 1,
            name: "Ana Ito".parse().unwrap(),
            role,
            active,
            has_signed_in: active,
            has_password: false,
            second_factor: false,
        }
    }

    #[test]
    fn who_can_sign_in_is_said_in_words() {
        assert_eq!(count_roles(&[]), "Nobody can sign in.");
        assert_eq!(count_roles(&[user(Role::QualityLead, true)]), "1 quality lead can sign in.");
        let all = [
            user(Role::QualityLead, true),
            user(Role::Fellow, true),
            user(Role::Fellow, true),
            user(Role::Reader, false),
        ];
        assert_eq!(count_roles(&all), "1 quality lead and 2 fellows can sign in.");
    }

    #[test]
    fn only_an_active_lead_can_be_the_last_one() {
        assert!(is_last_lead(&user(Role::QualityLead, true), 1));
        assert!(!is_last_lead(&user(Role::QualityLead, true), 2));
        assert!(!is_last_lead(&user(Role::QualityLead, false), 1));
        assert!(!is_last_lead(&user(Role::Attending, true), 1));
    }
}
