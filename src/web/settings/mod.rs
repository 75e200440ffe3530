//! Settings: what a department keeps for itself, and the handbook of its words.

mod at_risk;
pub(super) mod backups;
mod choices;
mod conference;
mod own_words;
mod prompts;
mod rates;
mod slides_template;
mod users;
mod vocabulary;
mod withdrawn;

pub(super) use at_risk::Year;

use askama::Template;
use axum::extract::State;
use axum::response::Response;

use super::access::Allow;
use super::error::Error;
use super::frame::{Frame, Place, Visit, page};
use super::router::Routes;
use super::state::App;
use crate::accounts::{User, store as accounts};
use crate::case::Month;
use crate::clinical::Choices;
use crate::rates::{Period, SmallestGroup, store as rate_store};
use crate::vocabulary::Vocabulary;

pub(super) fn add_routes(routes: Routes) -> Routes {
    let routes = routes.get("/settings", Allow::SignedIn, show_settings);
    let routes = rates::add_routes(prompts::add_routes(choices::add_routes(routes)));
    let routes = super::operators::add_routes(conference::add_routes(routes));
    let routes = own_words::add_routes(routes);
    let routes = backups::add_routes(users::add_routes(withdrawn::add_routes(routes)));
    let routes = slides_template::add_routes(routes);
    at_risk::add_routes(vocabulary::add_routes(routes))
}

/// One thing that can be set or read.
struct Entry {
    href: &'static str,
    title: &'static str,
    text: &'static str,
    /// How it stands now.
    now: String,
}

#[derive(Template)]
#[template(path = "settings/index.html")]
struct SettingsPage {
    frame: Frame,
    state: String,
    /// The one thing to do next: where, and what it is called.
    next: Option<(String, String)>,
    entries: Vec<Entry>,
}

async fn show_settings(State(app): State<App>, visit: Visit) -> Result<Response, Error> {
    let vocabulary = app.vocabulary();
    let today = app.this_month();
    let mut conn = app.database.read().await?;
    let latest = rate_store::latest_counted_month(&mut conn, today).await?;
    let mut entries = vec![account_entry(&visit.user), at_risk_entry(latest)];
    entries.push(drafts_entry(&mut conn, &app, &visit.user).await?);
    entries.extend(vocabulary_entries(&vocabulary));
    entries.push(prompts::entry(&mut conn, &app).await?);
    if visit.user.role.writes() {
        entries.push(own_words::entry(&mut conn).await?);
    }
    if visit.user.role.signs() {
        entries.push(combinations_entry(rate_store::settings(&mut conn).await?.group));
    }
    if visit.user.role.keeps() {
        entries.push(choices_entry(&app.department().choices));
        entries.extend(rates::entries(&mut conn).await?);
        entries.push(conference::entry(&mut conn).await?);
        entries.push(slides_template::entry(&mut conn).await?);
        entries.push(withdrawn::entry(&mut conn).await?);
        entries.push(users_entry(&accounts::list(&mut conn).await?));
        entries.push(backups::entry(&app).await);
    }
    let (state, next) = if visit.user.role.keeps() {
        waiting(latest, today)
    } else {
        (
            "Your account is yours to set. The quality lead keeps the rest; it is here to be read."
                .to_owned(),
            None,
        )
    };
    page(&SettingsPage { frame: visit.frame(Place::Settings), state, next, entries })
}

async fn drafts_entry(conn: &mut sqlx::SqliteConnection, app: &App, user: &User) -> Result<Entry, Error> {
    let drafts = crate::draft::store::list(conn, user.id, app.now()).await?;
    Ok(Entry {
        href: "/drafts",
        title: "What you have not saved",
        text: "Texts that you typed and did not save, kept for you alone.",
        now: super::drafts::how_many(drafts.len()),
    })
}

fn combinations_entry(group: SmallestGroup) -> Entry {
    Entry {
        href: super::combination::PATH,
        title: "Combinations that tell cases apart",
        text: "Which cases stand alone by month, age, sex and mechanism, and how to tell them before they leave the department.",
        now: format!("{group} cases have to look alike."),
    }
}

/// What waits for whoever keeps the procedures at risk: the months that are over and not counted.
fn waiting(latest: Option<Month>, today: Month) -> (String, Option<(String, String)>) {
    let over = today.plus(-1);
    let address = |month: Month| format!("/settings/procedures-at-risk?year={}", month.year());
    let Some(latest) = latest else {
        return (
            "No procedures at risk are counted yet, so no rate can be worked out.".to_owned(),
            Some((address(over), "Count the first months".to_owned())),
        );
    };
    let first = latest.plus(1);
    match Period::new(first, over) {
        Ok(months) => (
            format!(
                "The procedures of {months} are not counted yet. Until they are, the cases of that time are left out of the rates."
            ),
            Some((address(first), format!("Count {}", first.in_words()))),
        ),
        Err(_) if first > over => {
            (format!("Procedures at risk are counted up to {}. Nothing waits here.", latest.in_words()), None)
        }
        Err(_) => (
            format!(
                "Procedures at risk are counted up to {} only. The months since are left out of the rates.",
                latest.in_words()
            ),
            Some((address(first), format!("Count {}", first.in_words()))),
        ),
    }
}

fn account_entry(user: &User) -> Entry {
    Entry {
        href: "/account",
        title: "Your account",
        text: "Your password, a second factor, and where you are signed in.",
        now: if user.has_password {
            "You have a password."
        } else {
            "You have no password: you sign in by link."
        }
        .to_owned(),
    }
}

fn at_risk_entry(latest: Option<Month>) -> Entry {
    Entry {
        href: "/settings/procedures-at-risk",
        title: "Procedures at risk",
        text: "How many procedures of each kind a month had: what the rates are divided by.",
        now: latest.map_or_else(
            || "No month is counted yet.".to_owned(),
            |month| format!("Counted up to {}.", month.in_words()),
        ),
    }
}

fn choices_entry(choices: &Choices) -> Entry {
    let questions = choices.questions();
    let own = questions
        .iter()
        .filter(|question| question.on_offer.first().is_none_or(|first| first.slug != question.taken))
        .count();
    Entry {
        href: "/settings/rules",
        title: "Rules where sources clash",
        text: "Which flow is no-reflow, what a lost side branch is: the rule that your department takes, by name.",
        now: match own {
            0 => format!(
                "{} questions, each with the answer that is taken where nobody chose.",
                questions.len()
            ),
            1 => format!("{} questions; one answer is your department’s own choice.", questions.len()),
            own => format!("{} questions; {own} answers are your department’s own choice.", questions.len()),
        },
    }
}

/// How many leaves a tree has, in words.
fn count_leaves(branches: usize, own_retired: &[(bool, bool)]) -> String {
    let own = own_retired.iter().filter(|(own, _)| *own).count();
    let retired = own_retired.iter().filter(|(_, retired)| *retired).count();
    let mut text = format!("{} in {branches} branches", own_retired.len());
    if own > 0 {
        text.push_str(&format!("; {own} of the department’s own"));
    }
    if retired > 0 {
        text.push_str(&format!("; {retired} retired"));
    }
    text + "."
}

fn vocabulary_entries(vocabulary: &Vocabulary) -> [Entry; 3] {
    let mechanisms: Vec<_> = vocabulary.mechanisms.iter().map(|leaf| (leaf.own, leaf.retired)).collect();
    let causes: Vec<_> = vocabulary.causes.iter().map(|leaf| (leaf.own, leaf.retired)).collect();
    [
        Entry {
            href: "/settings/mechanisms",
            title: "Mechanisms",
            text: "How harm comes about: the tree that a complication is classified with, each leaf with its definition and an example.",
            now: count_leaves(vocabulary.mechanism_branches.len(), &mechanisms),
        },
        Entry {
            href: "/settings/causes",
            title: "Causes",
            text: "What lets harm happen: the tree that a case’s causes are chosen from. No leaf names or ranks a person.",
            now: count_leaves(vocabulary.cause_branches.len(), &causes),
        },
        Entry {
            href: "/definitions",
            title: "Definitions",
            text: "The trade’s own grades, each with its rule, what holds at its boundaries, and its source. A page to read or print.",
            now: format!("{} definitions.", crate::clinical::DEFINITIONS.len()),
        },
    ]
}

fn users_entry(users: &[User]) -> Entry {
    let active = users.iter().filter(|user| user.active).count();
    let ended = users.len() - active;
    let mut now = if active == 1 {
        "1 account can sign in".to_owned()
    } else {
        format!("{active} accounts can sign in")
    };
    if ended > 0 {
        now.push_str(&format!("; {ended} ended"));
    }
    Entry {
        href: "/settings/users",
        title: "Accounts",
        text: "Who may sign in, and what each may do.",
        now: now + ".",
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn month(text: &str) -> Month {
        text.parse().unwrap()
    }

    #[test]
    fn a_month_that_is_over_and_not_counted_is_the_next_thing_to_do() {
        let (state, next) = waiting(Some(month("2026-09")), month("2026-11"));
        assert!(state.starts_with("The procedures of October 2026 are not counted yet."), "{state}");
        assert_eq!(
            next,
            Some(("/settings/procedures-at-risk?year=2026".to_owned(), "Count October 2026".to_owned()))
        );
    }

    #[test]
    fn the_running_month_is_not_waited_for() {
        assert_eq!(waiting(Some(month("2026-10")), month("2026-11")).1, None);
        assert_eq!(waiting(Some(month("2026-11")), month("2026-11")).1, None);
    }

    #[test]
    fn without_any_count_no_rate_is_promised() {
        let (state, next) = waiting(None, month("2026-01"));
        assert!(state.contains("no rate can be worked out"), "{state}");
        assert_eq!(next.unwrap().0, "/settings/procedures-at-risk?year=2025");
    }

    #[test]
    fn a_gap_of_more_than_ten_years_is_said_without_a_period() {
        let (state, next) = waiting(Some(month("2001-01")), month("2026-11"));
        assert!(state.contains("up to January 2001 only"), "{state}");
        assert!(next.is_some());
    }
}
