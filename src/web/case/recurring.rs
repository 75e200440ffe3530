//! Joining a lesson with those of other cases that taught the same.

use axum::extract::{Path, State};
use axum::http::StatusCode;
use axum::response::Response;

use super::load;
use crate::case::reading::words::{join as joined_words, sentence, upper_first};
use crate::case::recurring::{Likeness, RecurringLesson, Shared};
use crate::case::store::{RowValue, recurring_lessons};
use crate::case::{Fingerprint, Lesson, Row, Sentences, StoredCase, store};
use crate::vocabulary::MechanismSlug;
use crate::web::error::Error;
use crate::web::form::{Choice, Control, Field, FieldError, FormView, Reader, Values};
use crate::web::form_page::FormPage;
use crate::web::frame::{Place, Visit, lead_to, page, page_with};
use crate::web::state::App;

/// The answer that the lesson stands alone.
const ALONE: &str = "alone";
/// The answer that it is the first of its kind, in new words.
const NEW: &str = "new";
/// At most so many shared words are named.
const WORDS_NAMED: usize = 4;

fn find(case: &StoredCase, id: i64) -> Result<&Row<Lesson>, Error> {
    case.lessons.iter().find(|row| row.id == id).ok_or(Error::NotFound)
}

/// Why a recurring lesson is offered: how often it came, and what it has in common with this one.
fn in_common(lesson: &RecurringLesson, shared: &Shared) -> String {
    let mut parts = Vec::new();
    if shared.mechanism {
        parts.push("the same mechanism".to_owned());
    }
    if shared.kind {
        parts.push("the same kind".to_owned());
    }
    if !shared.words.is_empty() {
        let words: Vec<String> =
            shared.words.iter().take(WORDS_NAMED).map(|word| format!("“{word}”")).collect();
        let noun = if words.len() == 1 { "word" } else { "words" };
        parts.push(format!("the {noun} {}", joined_words(&words)));
    }
    if parts.is_empty() {
        return format!("{}.", lesson.often());
    }
    format!("{}. In common: {}.", lesson.often(), joined_words(&parts))
}

/// The choices, those first that this lesson is likest to.
fn choices(case: &StoredCase, lesson: &Lesson, all: &[RecurringLesson]) -> Vec<Choice> {
    let mechanisms: Vec<MechanismSlug> =
        case.complications.iter().map(|row| row.value.mechanism.clone()).collect();
    let like = Likeness { mechanisms: &mechanisms, kind: lesson.kind, text: lesson.text.as_str() };
    let mut offered: Vec<(&RecurringLesson, Shared)> =
        all.iter().map(|recurring| (recurring, like.with(recurring))).collect();
    // What it is joined with already stands at the top.
    offered.sort_by_key(|(recurring, shared)| {
        (Some(&recurring.text) != lesson.recurring.as_ref(), std::cmp::Reverse(shared.weight()))
    });
    let mut choices: Vec<Choice> = offered
        .into_iter()
        .map(|(recurring, shared)| {
            Choice::new(recurring.id, &recurring.text).explained(in_common(recurring, &shared))
        })
        .collect();
    choices.push(Choice::new(NEW, "Another one").explained("In the words that you write below."));
    choices.push(Choice::new(ALONE, "None: it stands alone"));
    choices
}

/// What the form holds for a lesson.
fn values_of(recurring: Option<&Sentences>, all: &[RecurringLesson]) -> Values {
    let held = recurring.and_then(|text| all.iter().find(|other| other.text == *text));
    match held {
        Some(held) => Values::new().with("recurring", held.id),
        None => Values::new().with("recurring", ALONE),
    }
}

fn form_page(
    visit: &Visit,
    (case, row): (&StoredCase, &Row<Lesson>),
    all: &[RecurringLesson],
    (values, errors, base): (Values, Vec<FieldError>, String),
) -> FormPage {
    let lesson = &row.value;
    FormPage {
        frame: visit.frame(Place::Cases),
        eyebrow: format!("Case {}", case.code),
        title: "Join a lesson with other cases".to_owned(),
        lead: format!("{}: {}", lesson.kind.label(), sentence(&upper_first(lesson.text.as_str()))),
        form: FormView {
            action: format!("/cases/{}/lessons/{}/recurring", case.code, row.id),
            cancel: format!("/cases/{}#lessons", case.code),
            save: "Save",
            fields: vec![
                Field::new("recurring", "It is one of", Control::Radios(choices(case, lesson, all)))
                    .hint("The lesson keeps its own words and its signature. Those that it is likest to stand first."),
                Field::lines("shared", "Words for another one", 2)
                    .hint("What this lesson and the next of its kind have in common, without this case's details. At most 600 characters.")
                    .optional(),
            ],
            values,
            errors,
            base,
            take_out: None,
        },
    }
}

pub(super) async fn show_join(
    State(app): State<App>,
    visit: Visit,
    Path((code, id)): Path<(String, i64)>,
) -> Result<Response, Error> {
    let case = load(&app, &visit, &code).await?;
    let row = find(&case, id)?;
    let all = recurring_lessons(&mut *app.database.read().await?, visit.sight(), None).await?;
    let values = values_of(row.value.recurring.as_ref(), &all);
    let base = Fingerprint::of(&row.value).as_str().to_owned();
    page(&form_page(&visit, (&case, row), &all, (values, Vec::new(), base)))
}

/// The words that the lesson shall share; none when it stands alone.
fn read(values: &Values, all: &[RecurringLesson]) -> Result<Option<Sentences>, Vec<FieldError>> {
    let mut reader = Reader::new(values);
    let chosen =
        reader.required::<String>("recurring", "Say what the lesson is one of, or that it stands alone.");
    let shared = match chosen.as_deref() {
        Some(ALONE) => Some(None),
        Some(NEW) => {
            reader.required::<Sentences>("shared", "Write the words that these lessons share.").map(Some)
        }
        Some(id) => {
            let held = all.iter().find(|other| other.id.to_string() == id);
            if held.is_none() {
                reader.mark("recurring", "No case has this lesson any more. Choose another.");
            }
            held.map(|held| Some(held.text.clone()))
        }
        None => None,
    };
    if chosen.as_deref().is_some_and(|chosen| chosen != NEW) && !values.get("shared").trim().is_empty() {
        reader.mark("shared", "These words belong to “Another one”. Choose it, or empty this field.");
    }
    reader.finish(shared)
}

pub(super) async fn join(
    State(app): State<App>,
    visit: Visit,
    Path((code, id)): Path<(String, i64)>,
    values: Values,
) -> Result<Response, Error> {
    let mut tx = app.database.write().await?;
    let case = super::find(&mut tx, &visit, &code).await?;
    let row = find(&case, id)?;
    let saved = &row.value;
    let all = recurring_lessons(&mut tx, visit.sight(), None).await?;
    let recurring = match read(&values, &all) {
        Ok(recurring) => recurring,
        Err(errors) => {
            let base = values.get("base").to_owned();
            let page = form_page(&visit, (&case, row), &all, (values, errors, base));
            return page_with(StatusCode::UNPROCESSABLE_ENTITY, &page);
        }
    };
    if recurring != saved.recurring {
        if !Fingerprint::of(saved).matches(values.get("base")) {
            let base = Fingerprint::of(saved).as_str().to_owned();
            let form = form_page(&visit, (&case, row), &all, (values, Vec::new(), base));
            let page = form.stale(&values_of(saved.recurring.as_ref(), &all));
            return page_with(StatusCode::CONFLICT, &page);
        }
        let lesson = Lesson { recurring, ..saved.clone() };
        store::update_row(&mut tx, case.id, id, &RowValue::Lesson(lesson), app.now()).await?;
        tx.commit().await?;
    }
    Ok(lead_to(&format!("/cases/{}#lessons", case.code), &format!("Saved {}.", app.clock()), None))
}
