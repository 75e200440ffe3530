//! Every action of the department: what is open, what is overdue, and what became of the rest.

mod files;

use askama::Template;
use axum::extract::{RawQuery, State};
use axum::response::Response;

use super::access::Allow;
use super::case::{measure_in_words, standing_in_words};
use super::error::Error;
use super::form::{Values, capitalised};
use super::frame::{Frame, Place, Visit, page};
use super::rates::subject_path;
use super::router::Routes;
use super::state::App;
use crate::case::reading::words::count;
use crate::case::store::{Asked, list_actions};
use crate::case::{Action, ActionState, CaseCode, Day};
use crate::quantity::words;
use crate::rates::Subject;
use crate::vocabulary::Vocabulary;

/// The most actions on the page.
const AT_MOST: usize = 300;

words!(
    /// Which actions the page shows.
    Which, "a choice of actions", {
        Open = "open", "Open";
        Overdue = "overdue", "Overdue";
        Done = "done", "In place";
        Dropped = "dropped", "Dropped";
        All = "all", "All";
    }
);

impl Which {
    const fn asked(self, today: Day) -> Asked {
        match self {
            Self::Open => Asked::In(ActionState::Open),
            Self::Overdue => Asked::Overdue(today),
            Self::Done => Asked::In(ActionState::Done),
            Self::Dropped => Asked::In(ActionState::Dropped),
            Self::All => Asked::All,
        }
    }
}

pub(super) fn add_routes(routes: Routes) -> Routes {
    routes.get("/actions", Allow::Writers, show_actions).get(
        "/actions.csv",
        Allow::Writers,
        files::download_actions,
    )
}

#[derive(Template)]
#[template(path = "actions.html")]
struct ActionsPage {
    frame: Frame,
    state: String,
    choices: Vec<WhichLink>,
    /// Where the same is as a file.
    file: String,
    rows: Vec<ActionRow>,
    more: bool,
}

struct WhichLink {
    slug: &'static str,
    label: &'static str,
    current: bool,
}

struct ActionRow {
    code: String,
    what: String,
    owner: String,
    sort: String,
    answers: String,
    measure: String,
    when: String,
    overdue: bool,
    /// The mechanism whose rate tells whether it happens less: its page and its name.
    followed: Option<(String, String)>,
}

async fn show_actions(
    State(app): State<App>,
    visit: Visit,
    RawQuery(query): RawQuery,
) -> Result<Response, Error> {
    let which = asked_for(query);
    let today = app.today();
    let limit = i64::try_from(AT_MOST + 1).unwrap_or(i64::MAX);
    let asked = (visit.sight(), which.asked(today));
    let mut found = list_actions(&mut *app.database.read().await?, asked, limit).await?;
    let more = found.len() > AT_MOST;
    found.truncate(AT_MOST);
    let vocabulary = app.vocabulary();
    page(&ActionsPage {
        frame: visit.frame(Place::Conferences),
        state: state(
            which,
            found.len(),
            found.iter().filter(|(_, row)| is_overdue(&row.value, today)).count(),
        ),
        choices: Which::ALL
            .iter()
            .map(|each| WhichLink { slug: each.slug(), label: each.label(), current: *each == which })
            .collect(),
        file: format!("/actions.csv?show={}", which.slug()),
        rows: found.iter().map(|(code, row)| ActionRow::of(*code, &row.value, &vocabulary, today)).collect(),
        more,
    })
}

/// Which actions an address asks for; one that names no choice asks for what is open.
fn asked_for(query: Option<String>) -> Which {
    Values::from_encoded(&query.unwrap_or_default()).get("show").parse().unwrap_or(Which::Open)
}

fn is_overdue(action: &Action, today: Day) -> bool {
    action.state == ActionState::Open && action.due < today
}

fn state(which: Which, number: usize, overdue: usize) -> String {
    let actions = if number == 1 { "action" } else { "actions" };
    let number = capitalised(&count(number));
    match which {
        Which::Open if overdue > 0 => {
            format!("{number} {actions} open, {} of them overdue.", count(overdue).to_lowercase())
        }
        Which::Open => format!("{number} {actions} open, none of them overdue."),
        Which::Overdue => format!("{number} {actions} overdue."),
        Which::Done => format!("{number} {actions} in place."),
        Which::Dropped => format!("{number} {actions} dropped."),
        Which::All => format!("{number} {actions} in all."),
    }
}

impl ActionRow {
    fn of(code: CaseCode, action: &Action, vocabulary: &Vocabulary, today: Day) -> Self {
        let overdue = is_overdue(action, today);
        let strength = action.strength.label().to_lowercase();
        let mechanism = action.for_mechanism.as_ref();
        Self {
            code: code.to_string(),
            what: action.what.to_string(),
            owner: capitalised(action.owner.as_str()),
            sort: match action.kind {
                Some(kind) => format!("{} ({strength})", kind.label()),
                None => capitalised(&strength),
            },
            answers: action
                .for_cause
                .as_ref()
                .map(|slug| vocabulary.cause_label(slug).to_owned())
                .unwrap_or_default(),
            measure: measure_in_words(action),
            when: standing_in_words(action, today),
            overdue,
            followed: mechanism.filter(|_| action.state == ActionState::Done).map(|slug| {
                (subject_path(&Subject::Mechanism(slug.clone())), vocabulary.mechanism_label(slug).to_owned())
            }),
        }
    }
}
