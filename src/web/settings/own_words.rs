//! The department's own words: what is looked for in every text, kept as digests, and what identifies nobody.

use askama::Template;
use axum::extract::{Path, State};
use axum::http::StatusCode;
use axum::response::Response;
use sqlx::SqliteConnection;

use super::Entry;
use crate::accounts::Secret;
use crate::case::identifier::Dismissal;
use crate::case::store::{self, Dismissing};
use crate::case::{Sentences, Title};
use crate::deidentify::{OwnEntry, OwnSort, OwnWords, suspect};
use crate::web::access::Allow;
use crate::web::case::moment;
use crate::web::error::Error;
use crate::web::form::{FieldError, Reader, Values};
use crate::web::frame::{Frame, Place, Visit, lead_to, page_with};
use crate::web::router::Routes;
use crate::web::state::App;

const ADDRESS: &str = "/settings/own-words";
/// Lines that one form adds at most.
const LINES_AT_MOST: usize = 1_000;

pub(super) fn add_routes(routes: Routes) -> Routes {
    routes
        .get(ADDRESS, Allow::Writers, show_own_words)
        .post(ADDRESS, Allow::Keepers, add)
        .post("/settings/own-words/look-up", Allow::Keepers, look_up)
        .post("/settings/own-words/take-off", Allow::Keepers, take_off)
        .post("/settings/own-words/empty", Allow::Keepers, empty)
        .post("/settings/own-words/nobody", Allow::Signers, say_nobody)
        .post("/settings/own-words/nobody/{id}/take-back", Allow::Signers, take_back)
}

const fn label(sort: OwnSort) -> &'static str {
    match sort {
        OwnSort::Person => "People who work here",
        OwnSort::Place => "The hospital, its wards, streets and towns",
        OwnSort::Number => "Forms of record numbers",
    }
}

const fn one_of(sort: OwnSort) -> &'static str {
    match sort {
        OwnSort::Person => "a name",
        OwnSort::Place => "a place",
        OwnSort::Number => "a form of a number",
    }
}

struct SortView {
    slug: &'static str,
    label: &'static str,
    count: usize,
}

struct NobodyView {
    id: i64,
    kind: String,
    because: String,
    by: String,
    at: String,
}

#[derive(Template)]
#[template(path = "settings/own_words.html")]
struct OwnWordsPage {
    frame: Frame,
    state: String,
    sorts: Vec<SortView>,
    nobody: Vec<NobodyView>,
    keeps: bool,
    signs: bool,
    values: Values,
    errors: Vec<FieldError>,
}

impl OwnWordsPage {
    fn error(&self, name: &str) -> &str {
        self.errors.iter().find(|error| error.name == name).map_or("", |error| error.message.as_str())
    }
}

fn how_many(own: &OwnWords) -> String {
    let counts = [
        (OwnSort::Person, "name", "names"),
        (OwnSort::Place, "place", "places"),
        (OwnSort::Number, "form of a number", "forms of numbers"),
    ];
    let parts: Vec<String> = counts
        .into_iter()
        .map(|(sort, one, many)| (own.count(sort), one, many))
        .filter(|(count, ..)| *count > 0)
        .map(|(count, one, many)| format!("{count} {}", if count == 1 { one } else { many }))
        .collect();
    match parts.as_slice() {
        [] => "Nothing stands on the list.".to_owned(),
        parts => format!("On the list: {}.", parts.join(", ")),
    }
}

async fn show(
    conn: &mut SqliteConnection,
    visit: &Visit,
    values: Values,
    errors: Vec<FieldError>,
) -> Result<Response, Error> {
    let own = store::own_words(conn).await?;
    let unread = match store::unread(conn).await? {
        0 => String::new(),
        1 => " One case is still to be looked through with it.".to_owned(),
        many => format!(" {many} cases are still to be looked through with it; that goes on by itself."),
    };
    let status = if errors.is_empty() { StatusCode::OK } else { StatusCode::UNPROCESSABLE_ENTITY };
    let role = visit.user.role;
    page_with(
        status,
        &OwnWordsPage {
            frame: visit.frame(Place::Settings),
            state: format!("{}{unread}", how_many(&own)),
            sorts: OwnSort::ALL
                .into_iter()
                .map(|sort| SortView { slug: sort.slug(), label: label(sort), count: own.count(sort) })
                .collect(),
            nobody: store::dismissals_everywhere(conn)
                .await?
                .into_iter()
                .map(|Dismissal { id, kind, because, by, at, .. }| NobodyView {
                    id,
                    kind,
                    because: because.to_string(),
                    by,
                    at: moment(at),
                })
                .collect(),
            keeps: role.keeps(),
            signs: role.signs(),
            values,
            errors,
        },
    )
}

async fn show_own_words(State(app): State<App>, visit: Visit) -> Result<Response, Error> {
    show(&mut *app.database.read().await?, &visit, Values::new(), Vec::new()).await
}

fn sort_of(typed: &Values) -> Result<OwnSort, Error> {
    OwnSort::from_slug(typed.get("sort"))
        .ok_or_else(|| Error::BadRequest("There is no such list of words.".to_owned()))
}

/// The words of a form, a line each, as they are kept.
fn read_lines(own: &OwnWords, sort: OwnSort, text: &str) -> Result<Vec<OwnEntry>, String> {
    let lines: Vec<(usize, &str)> = (1..)
        .zip(text.lines())
        .map(|(number, line)| (number, line.trim()))
        .filter(|(_, line)| !line.is_empty())
        .collect();
    if lines.is_empty() {
        return Err("Write at least one, each on a line of its own.".to_owned());
    }
    if lines.len() > LINES_AT_MOST {
        return Err(format!("At most {LINES_AT_MOST} at a time; these are {}.", lines.len()));
    }
    lines
        .into_iter()
        .map(|(number, line)| {
            own.entry(sort, line)
                .map_err(|error| format!("Line {number}, “{line}”: {error} Nothing was added yet."))
        })
        .collect()
}

async fn add(State(app): State<App>, visit: Visit, typed: Values) -> Result<Response, Error> {
    let sort = sort_of(&typed)?;
    let mut tx = app.database.write().await?;
    store::give_salt(&mut tx, &Secret::generate().map_err(anyhow::Error::from)?).await?;
    let own = store::own_words(&mut tx).await?;
    let entries = match read_lines(&own, sort, typed.get("words")) {
        Ok(entries) => entries,
        Err(message) => {
            let errors = vec![FieldError { name: "words".to_owned(), message }];
            return show(&mut tx, &visit, typed, errors).await;
        }
    };
    let new = store::add_own_words(&mut tx, &entries).await?;
    tx.commit().await?;
    app.look_through_again();
    let known = match entries.len() - usize::try_from(new).unwrap_or_default() {
        0 => String::new(),
        known => format!(" {known} stood there already."),
    };
    Ok(lead_to(
        ADDRESS,
        &format!("Added {new}, {}.{known} They are shown nowhere from now on.", app.clock()),
        None,
    ))
}

/// The one word that a form is about.
fn read_one(own: &OwnWords, typed: &Values) -> Result<(OwnSort, OwnEntry), FieldError> {
    let mark = |message: String| FieldError { name: "word".to_owned(), message };
    let sort =
        OwnSort::from_slug(typed.get("sort")).ok_or_else(|| mark("Say which list it is on.".to_owned()))?;
    match own.entry(sort, typed.get("word").trim()) {
        Ok(entry) => Ok((sort, entry)),
        Err(error) => Err(mark(error.to_string())),
    }
}

async fn look_up(State(app): State<App>, visit: Visit, typed: Values) -> Result<Response, Error> {
    let mut conn = app.database.read().await?;
    let own = store::own_words(&mut conn).await?;
    let (sort, entry) = match read_one(&own, &typed) {
        Ok(one) => one,
        Err(error) => return show(&mut conn, &visit, typed, vec![error]).await,
    };
    let text = if own.holds(&entry) {
        format!("It stands on the list, as {}.", one_of(sort))
    } else {
        format!("It does not stand on the list as {}.", one_of(sort))
    };
    Ok(lead_to(ADDRESS, &text, None))
}

async fn take_off(State(app): State<App>, visit: Visit, typed: Values) -> Result<Response, Error> {
    let mut tx = app.database.write().await?;
    let own = store::own_words(&mut tx).await?;
    let entry = match read_one(&own, &typed) {
        Ok((_, entry)) => entry,
        Err(error) => return show(&mut tx, &visit, typed, vec![error]).await,
    };
    if !store::take_own_word(&mut tx, &entry).await? {
        let message = "It does not stand on this list, so nothing was taken off. Look whether it is spelt as it was added.";
        let error = FieldError { name: "word".to_owned(), message: message.to_owned() };
        return show(&mut tx, &visit, typed, vec![error]).await;
    }
    tx.commit().await?;
    app.look_through_again();
    Ok(lead_to(ADDRESS, &format!("Taken off the list {}.", app.clock()), None))
}

async fn empty(State(app): State<App>, typed: Values) -> Result<Response, Error> {
    let sort = sort_of(&typed)?;
    let mut tx = app.database.write().await?;
    let gone = store::empty_own_words(&mut tx, sort).await?;
    tx.commit().await?;
    app.look_through_again();
    Ok(lead_to(ADDRESS, &format!("Taken off the list: all {gone}, {}.", app.clock()), None))
}

/// Words that identify nobody, in every case and document.
async fn say_nobody(State(app): State<App>, visit: Visit, typed: Values) -> Result<Response, Error> {
    let mut tx = app.database.write().await?;
    let mut reader = Reader::new(&typed);
    let words = reader.required::<Title>("nobody", "Write the words as they stand in the text.");
    let because = reader.required::<Sentences>("because", "Say why these words identify nobody.");
    let (words, because) = match reader.finish(words.zip(because)) {
        Ok(both) => both,
        Err(errors) => return show(&mut tx, &visit, typed, errors).await,
    };
    store::give_salt(&mut tx, &Secret::generate().map_err(anyhow::Error::from)?).await?;
    let own = store::own_words(&mut tx).await?;
    let kind = suspect(words.as_str()).first().map_or("Words", |suspicion| suspicion.kind.label());
    let said = Dismissing {
        case_id: None,
        digest: &own.digest_of_words(words.as_str()),
        kind,
        because: &because,
        by: visit.user.name.as_str(),
    };
    store::dismiss(&mut tx, &said, app.now()).await?;
    tx.commit().await?;
    app.look_through_again();
    Ok(lead_to("/settings/own-words#nobody", &format!("Noted {}.", app.clock()), None))
}

async fn take_back(State(app): State<App>, Path(id): Path<i64>) -> Result<Response, Error> {
    let mut tx = app.database.write().await?;
    if !store::take_dismissal_back(&mut tx, None, id, app.now()).await? {
        return Err(Error::NotFound);
    }
    tx.commit().await?;
    app.look_through_again();
    Ok(lead_to("/settings/own-words#nobody", &format!("Taken back {}.", app.clock()), None))
}

/// The entry on the page of settings.
pub(super) async fn entry(conn: &mut SqliteConnection) -> Result<Entry, Error> {
    Ok(Entry {
        href: ADDRESS,
        title: "Your own names and numbers",
        text: "What is looked for in every text: the people and places of your hospital, and the form of its record numbers. Kept as digests alone.",
        now: how_many(&store::own_words(conn).await?),
    })
}
