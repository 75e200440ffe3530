//! Response prompts: every list to read and print, and the department's own to add and change.

mod change;
mod differing;
mod form;
mod guide;
mod list;
mod words;

use std::borrow::Cow;

use askama::Template;
use axum::extract::State;
use axum::response::Response;
use sqlx::SqliteConnection;

use super::Entry;
use crate::database::StoreError;
use crate::department::{LeftOut, OwnList, PromptWords, prompt_store, ships};
use crate::response::{CAUTION, PromptList, Slug};
use crate::vocabulary::{Mechanism, Vocabulary};
use crate::web::access::Allow;
use crate::web::error::Error;
use crate::web::frame::{Frame, Place, Visit, page};
use crate::web::router::Routes;
use crate::web::state::App;

/// Where every list stands.
const ADDRESS: &str = "/settings/prompts";

pub(super) fn add_routes(routes: Routes) -> Routes {
    routes
        .get(ADDRESS, Allow::SignedIn, show_lists)
        .post(ADDRESS, Allow::Keepers, change::add_list)
        .get("/settings/prompts/new", Allow::Keepers, change::show_new_list)
        .get("/settings/prompts/{slug}", Allow::SignedIn, list::show_list)
        .get("/settings/prompts/{slug}/list.toml", Allow::SignedIn, list::download_list)
        .get("/settings/prompts/{slug}/edit", Allow::Keepers, change::show_list_form)
        .post("/settings/prompts/{slug}/edit", Allow::Keepers, change::save_list)
        .post("/settings/prompts/{slug}/retire", Allow::Keepers, change::retire_list)
        .post("/settings/prompts/{slug}/bring-back", Allow::Keepers, change::bring_list_back)
}

/// The entry on the page of settings.
pub(super) async fn entry(conn: &mut SqliteConnection, app: &App) -> Result<Entry, StoreError> {
    let vocabulary = app.vocabulary();
    let own = prompt_store::list(conn, &PromptWords::of(&vocabulary)).await?;
    Ok(Entry {
        href: ADDRESS,
        title: "Response prompts",
        text: "After a complication, what is usually done next: lists of observable steps to read or print, and your department’s own.",
        now: in_count(shipped(&app.department().prompts).count(), &own),
    })
}

/// The lists that ship, among those that a department has.
fn shipped(lists: &[PromptList]) -> impl Iterator<Item = &PromptList> {
    lists.iter().filter(|list| ships(list.slug().as_str()))
}

fn counted(count: usize, one: &str, many: &str) -> String {
    if count == 1 { format!("1 {one}") } else { format!("{count} {many}") }
}

/// How many lists there are, in words.
fn in_count(shipped: usize, own: &[OwnList]) -> String {
    let retired = own.iter().filter(|list| list.retired).count();
    let lost = own.iter().filter(|list| !list.retired && list.read.is_err()).count();
    let mut text = counted(shipped, "list ships", "lists ship");
    if own.len() > retired {
        text += &format!("; {} of the department’s own", own.len() - retired);
    }
    if retired > 0 {
        text += &format!("; {retired} retired");
    }
    text += ".";
    if lost > 0 {
        text += &format!(" Look here: {lost} cannot be read.");
    }
    text
}

/// How long a list is, in words.
fn length(list: &PromptList) -> String {
    let steps = counted(list.steps().len(), "step", "steps");
    match list.questions().len() {
        0 => steps,
        count => format!("{steps}, {}", counted(count, "question", "questions")),
    }
}

/// The leaf of a mechanism that a list names.
fn leaf<'v>(vocabulary: &'v Vocabulary, slug: &Slug) -> Option<&'v Mechanism> {
    vocabulary.mechanisms.iter().find(|leaf| leaf.slug.as_str() == slug.as_str())
}

/// What a person reads for mechanisms that a list names.
fn labels(vocabulary: &Vocabulary, mechanisms: &[Slug]) -> String {
    let labels = mechanisms
        .iter()
        .map(|slug| leaf(vocabulary, slug).map_or_else(|| slug.to_string(), |leaf| leaf.label.clone()));
    labels.collect::<Vec<_>>().join("; ")
}

/// A list among the others.
struct ListEntry {
    slug: String,
    title: String,
    facts: String,
    mechanisms: String,
    /// Why it is left out; empty when it is not.
    left_out: String,
    /// Whether its own address leads to another list, since that one ships under its name.
    hidden: bool,
}

impl ListEntry {
    fn of(list: &PromptList, vocabulary: &Vocabulary) -> Self {
        Self {
            slug: list.slug().to_string(),
            title: list.title().to_owned(),
            facts: length(list),
            mechanisms: labels(vocabulary, list.mechanisms()),
            left_out: String::new(),
            hidden: false,
        }
    }

    fn of_own(own: &OwnList, vocabulary: &Vocabulary) -> Self {
        match &own.read {
            Ok(list) => Self::of(list, vocabulary),
            Err(why) => Self {
                slug: own.slug.clone(),
                title: own.slug.clone(),
                facts: String::new(),
                mechanisms: String::new(),
                left_out: first_reason(why).into_owned(),
                hidden: *why == LeftOut::ShippedName,
            },
        }
    }
}

/// Why a list is left out, at a length for a list of lists.
fn first_reason(why: &LeftOut) -> Cow<'static, str> {
    match why {
        LeftOut::Problems(problems) => {
            let first = problems.first().map(ToString::to_string).unwrap_or_default();
            match problems.len() {
                0 | 1 => first,
                2 => format!("{first} One more problem follows."),
                more => format!("{first} {} more problems follow.", more - 1),
            }
            .into()
        }
        other => other.to_string().into(),
    }
}

#[derive(Template)]
#[template(path = "settings/prompts.html")]
struct PromptsPage {
    frame: Frame,
    state: String,
    caution: &'static str,
    keeps: bool,
    shipped: Vec<ListEntry>,
    own: Vec<ListEntry>,
    retired: Vec<ListEntry>,
}

async fn show_lists(State(app): State<App>, visit: Visit) -> Result<Response, Error> {
    let vocabulary = app.vocabulary();
    let department = app.department();
    let mut conn = app.database.read().await?;
    let own = prompt_store::list(&mut conn, &PromptWords::of(&vocabulary)).await?;
    let entries = |retired: bool| {
        let lists = own.iter().filter(|list| list.retired == retired);
        lists.map(|list| ListEntry::of_own(list, &vocabulary)).collect()
    };
    page(&PromptsPage {
        frame: visit.frame(Place::Settings),
        state: in_count(shipped(&department.prompts).count(), &own),
        caution: CAUTION,
        keeps: visit.user.role.keeps(),
        shipped: shipped(&department.prompts).map(|list| ListEntry::of(list, &vocabulary)).collect(),
        own: entries(false),
        retired: entries(true),
    })
}
