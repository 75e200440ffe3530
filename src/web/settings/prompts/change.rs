//! Adding a list of the department's own, changing it, retiring it and bringing it back.

use std::collections::BTreeSet;

use axum::extract::{Path, Query, State};
use axum::http::StatusCode;
use axum::response::Response;
use serde::Deserialize;
use sqlx::SqliteConnection;

use super::form::{FormPage, normalised};
use super::{ADDRESS, shipped};
use crate::case::Fingerprint;
use crate::department::{OwnList, PromptWords, problem_at_name, prompt_store, read_own, ships};
use crate::response::{ListProblem, PromptList};
use crate::web::error::Error;
use crate::web::form::Values;
use crate::web::frame::{Visit, lead_to, page, page_with};
use crate::web::state::App;

/// The name of the field.
const FIELD: &str = "text";

/// Names that addresses of these pages have already.
const RESERVED: [&str; 1] = ["new"];

/// A list, or what is wrong with it.
type Read = Result<PromptList, Vec<ListProblem>>;

#[derive(Deserialize)]
pub(super) struct From {
    /// The list to start from.
    from: Option<String>,
}

pub(super) async fn show_new_list(
    State(app): State<App>,
    visit: Visit,
    Query(query): Query<From>,
) -> Result<Response, Error> {
    let text = match query.from {
        None => String::new(),
        Some(slug) => pattern(&app, &slug).await?,
    };
    page(&FormPage::new(&app, &visit, &app.vocabulary(), text))
}

/// The text of a list under a new name, to start from.
async fn pattern(app: &App, slug: &str) -> Result<String, Error> {
    let vocabulary = app.vocabulary();
    let words = PromptWords::of(&vocabulary);
    let own = prompt_store::list(&mut *app.database.read().await?, &words).await?;
    let department = app.department();
    // One of the department's own whose name a shipped list has taken is reached here only.
    let list = match own.iter().find(|list| list.slug == slug) {
        Some(list) => match read_own(&list.text, &words) {
            Ok(read) => read,
            Err(_) => return Ok(list.text.clone()),
        },
        None => {
            let found = shipped(&department.prompts).find(|list| *list.slug() == *slug);
            found.ok_or(Error::NotFound)?.clone()
        }
    };
    let text = list.to_toml();
    let rest = text.split_once('\n').map_or("", |(_, rest)| rest);
    let taken = |name: &str| ships(name) || own.iter().any(|list| list.slug == name);
    Ok(format!("slug = \"{}\"\n{rest}", free_name(slug, taken)))
}

/// A name that is like another and not taken.
fn free_name(like: &str, taken: impl Fn(&str) -> bool) -> String {
    const MOST: usize = 36;
    let base = if like.starts_with("our-") { like.to_owned() } else { format!("our-{like}") };
    let base = base.chars().take(MOST).collect::<String>().trim_end_matches('-').to_owned();
    let numbered = (2..).map(|number| format!("{base}-{number}"));
    std::iter::once(base.clone()).chain(numbered).find(|name| !taken(name)).unwrap_or(base)
}

/// Reads a list whose name has to be free.
async fn read_new(conn: &mut SqliteConnection, text: &str, words: &PromptWords<'_>) -> Result<Read, Error> {
    let list = match read_own(text, words) {
        Ok(list) => list,
        Err(problems) => return Ok(Err(problems)),
    };
    let name = list.slug().as_str();
    let message = if RESERVED.contains(&name) {
        format!("“{name}” cannot be the name of a list: the page of this form has it.")
    } else if ships(name) {
        format!("“{name}” is the lasting name of a list that ships. Give yours another, such as our-{name}.")
    } else if let Some(other) = prompt_store::find(conn, name, words).await? {
        let retired = if other.retired { ", which is retired" } else { "" };
        format!(
            "“{name}” is the lasting name of “{}” already{retired}. Give this one another, or change that one.",
            other.title()
        )
    } else {
        return Ok(Ok(list));
    };
    Ok(Err(vec![problem_at_name(text, name, message)]))
}

pub(super) async fn add_list(State(app): State<App>, visit: Visit, typed: Values) -> Result<Response, Error> {
    let vocabulary = app.vocabulary();
    let text = normalised(typed.get(FIELD));
    let mut tx = app.database.write().await?;
    let list = match read_new(&mut tx, &text, &PromptWords::of(&vocabulary)).await? {
        Ok(list) => list,
        Err(problems) => {
            let form = FormPage::new(&app, &visit, &vocabulary, text).marked(&problems);
            return page_with(StatusCode::UNPROCESSABLE_ENTITY, &form);
        }
    };
    prompt_store::add(&mut tx, &list, &text).await?;
    tx.commit().await?;
    app.reload_department().await?;
    let own = format!("{ADDRESS}/{}", list.slug());
    // What was added cannot be removed; undone, it is retired and no case shows it.
    Ok(lead_to(&own, &format!("“{}” is added.", list.title()), Some(&format!("{own}/retire"))))
}

/// The department's own list of this name.
async fn own_list(
    conn: &mut SqliteConnection,
    slug: &str,
    words: &PromptWords<'_>,
) -> Result<OwnList, Error> {
    prompt_store::find(conn, slug, words).await?.ok_or(Error::NotFound)
}

pub(super) async fn show_list_form(
    State(app): State<App>,
    visit: Visit,
    Path(slug): Path<String>,
) -> Result<Response, Error> {
    let vocabulary = app.vocabulary();
    let words = PromptWords::of(&vocabulary);
    let list = own_list(&mut *app.database.read().await?, &slug, &words).await?;
    let form = FormPage::edit(&app, &visit, &vocabulary, &list, list.text.clone());
    page(&form.opened_on(Fingerprint::of(&list.text).as_str()))
}

/// Reads a changed list, which has to keep its name.
fn read_changed(slug: &str, text: &str, words: &PromptWords) -> Read {
    let list = read_own(text, words)?;
    let name = list.slug().as_str();
    if name != slug {
        let message = format!(
            "The lasting name of this list is “{slug}” and stays: cases keep what was said of it under it. For another list, add a new one."
        );
        return Err(vec![problem_at_name(text, name, message)]);
    }
    if ships(slug) {
        let message =
            "A list that ships has this lasting name by now. Add yours as a new list, under another.";
        return Err(vec![problem_at_name(text, name, message)]);
    }
    Ok(list)
}

pub(super) async fn save_list(
    State(app): State<App>,
    visit: Visit,
    Path(slug): Path<String>,
    typed: Values,
) -> Result<Response, Error> {
    let vocabulary = app.vocabulary();
    let words = PromptWords::of(&vocabulary);
    let text = normalised(typed.get(FIELD));
    let mut tx = app.database.write().await?;
    let saved = own_list(&mut tx, &slug, &words).await?;
    let form = || FormPage::edit(&app, &visit, &vocabulary, &saved, text.clone());
    let list = match read_changed(&slug, &text, &words) {
        Ok(list) => list,
        Err(problems) => {
            let form = form().opened_on(typed.get("base")).marked(&problems);
            return page_with(StatusCode::UNPROCESSABLE_ENTITY, &form);
        }
    };
    let own = format!("{ADDRESS}/{slug}");
    if text == saved.text {
        return Ok(lead_to(&own, "Nothing in this list was changed.", None));
    }
    let base = Fingerprint::of(&saved.text);
    if !base.matches(typed.get("base")) {
        return page_with(StatusCode::CONFLICT, &form().opened_on(base.as_str()).over(&saved.text));
    }
    prompt_store::rewrite(&mut tx, &list, &text).await?;
    tx.commit().await?;
    app.reload_department().await?;
    Ok(lead_to(&own, &format!("Saved {}.{}", app.clock(), lost_names(&saved, &list)), None))
}

/// Names of steps and questions that a change took away, in a sentence; empty when there are none.
fn lost_names(before: &OwnList, after: &PromptList) -> String {
    let Ok(before) = &before.read else { return String::new() };
    let kept = names(after);
    match names(before).difference(&kept).copied().collect::<Vec<_>>()[..] {
        [] => String::new(),
        [one] => format!(" “{one}” is gone: what cases said of it is not shown any more."),
        ref several => {
            format!(" {} names are gone: what cases said of them is not shown any more.", several.len())
        }
    }
}

fn names(list: &PromptList) -> BTreeSet<&str> {
    let questions = list.questions().iter().map(|question| question.slug.as_str());
    questions.chain(list.steps().iter().map(|step| step.slug.as_str())).collect()
}

/// Retires a list or brings it back, and leads to it with the way to undo that.
async fn set_retired(app: &App, slug: &str, retired: bool) -> Result<Response, Error> {
    let vocabulary = app.vocabulary();
    let mut tx = app.database.write().await?;
    let list = own_list(&mut tx, slug, &PromptWords::of(&vocabulary)).await?;
    prompt_store::set_retired(&mut tx, slug, retired).await?;
    tx.commit().await?;
    app.reload_department().await?;
    let (said, back) = match (retired, &list.read) {
        (true, _) => ("is retired: no case shows it. What was said of it stays in the cases.", "bring-back"),
        (false, Ok(_)) => ("is shown beside cases again.", "retire"),
        (false, Err(_)) => ("is not retired any more. It cannot be read yet, so no case shows it.", "retire"),
    };
    let said = format!("“{}” {said}", list.title());
    Ok(lead_to(&format!("{ADDRESS}#list-{slug}"), &said, Some(&format!("{ADDRESS}/{slug}/{back}"))))
}

pub(super) async fn retire_list(State(app): State<App>, Path(slug): Path<String>) -> Result<Response, Error> {
    set_retired(&app, &slug, true).await
}

pub(super) async fn bring_list_back(
    State(app): State<App>,
    Path(slug): Path<String>,
) -> Result<Response, Error> {
    set_retired(&app, &slug, false).await
}

#[cfg(test)]
mod tests {
    use super::free_name;

    #[test]
    fn a_new_name_is_like_the_old_one_and_free() {
        assert_eq!(free_name("no-reflow", |_| false), "our-no-reflow");
        assert_eq!(free_name("our-no-reflow", |name| name == "our-no-reflow"), "our-no-reflow-2");
        assert_eq!(free_name("no-reflow", |name| !name.ends_with("-4")), "our-no-reflow-4");
        let long = free_name(&"part-".repeat(9), |name| !name.ends_with("-12"));
        assert!(long.len() <= 40 && long.ends_with("-12"), "{long}");
        assert!(long.parse::<crate::case::Key>().is_ok());
    }
}
