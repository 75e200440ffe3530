//! The first entry of a case: a month, what happened, a sentence or two.

use axum::extract::State;
use axum::http::StatusCode;
use axum::response::Response;

use super::leaf_choices::mechanisms;
use crate::case::{Case, Sentences, Title, check, store};
use crate::vocabulary::MechanismSlug;
use crate::web::error::Error;
use crate::web::form::{Control, Field, FieldError, FormView, Reader, Values};
use crate::web::form_page::FormPage;
use crate::web::frame::{Place, Visit, lead_to, page, page_with};
use crate::web::state::App;

fn record_page(app: &App, visit: &Visit, values: Values, errors: Vec<FieldError>) -> FormPage {
    let groups = mechanisms(&app.vocabulary(), |_| false);
    FormPage {
        frame: visit.frame(Place::Cases),
        eyebrow: String::new(),
        title: "Record a complication".to_owned(),
        lead: "Three answers are enough. It counts in the rates from now on; the rest can come later, in any order.".to_owned(),
        form: FormView {
            action: "/record".to_owned(),
            cancel: "/cases".to_owned(),
            save: "Record it",
            fields: vec![
                Field::new("month", "Month of the procedure", Control::Line { kind: "month", width: "w-mid", unit: "" })
                    .hint("Never the day."),
                Field::new("mechanism", "What happened", Control::Select { empty: Some("Choose"), groups, by_typing: true })
                    .hint("Type two or three letters of the everyday word: hole, kidney, stuck."),
                Field::lines("situation", "In one or two sentences", 4)
                    .hint("No names, no dates, no numbers of the patient. At most 600 characters."),
            ],
            values,
            errors,
            base: String::new(),
            take_out: None,
        },
    }
}

pub(super) async fn show_record(State(app): State<App>, visit: Visit) -> Result<Response, Error> {
    let values = Values::new().with("month", app.this_month());
    page(&record_page(&app, &visit, values, Vec::new()))
}

/// The title of a first entry: its first sentence, or the mechanism where that is too long for a line.
fn first_title(situation: &Sentences, label: &str) -> Option<Title> {
    let text = situation.as_str();
    let end = text.find(['.', '!', '?', '\n']).unwrap_or(text.len());
    let sentence: Result<Title, _> = text[..end].parse();
    sentence.ok().filter(|title| title.as_str().chars().count() <= 100).or_else(|| label.parse().ok())
}

pub(super) async fn record_case(
    State(app): State<App>,
    visit: Visit,
    values: Values,
) -> Result<Response, Error> {
    let vocabulary = app.vocabulary();
    let mut reader = Reader::new(&values);
    let month = reader.past_month("month", app.this_month());
    let mechanism =
        reader.required::<MechanismSlug>("mechanism", "Choose what happened; “Not determined” is one.");
    let situation = reader.required::<Sentences>("situation", "Say in a sentence or two what happened.");
    let title = mechanism
        .as_ref()
        .zip(situation.as_ref())
        .and_then(|(mechanism, situation)| first_title(situation, &vocabulary.mechanism_label(mechanism)));
    let case =
        month.zip(mechanism).zip(situation.zip(title)).map(|((month, mechanism), (situation, title))| {
            Case::first_entry(title, month, mechanism, Some(situation))
        });
    if let Some(case) = &case {
        for problem in check(case, &vocabulary) {
            reader.mark(problem.place.field, problem.message);
        }
    }
    let case = match reader.finish(case) {
        Ok(case) => case,
        Err(errors) => {
            return page_with(StatusCode::UNPROCESSABLE_ENTITY, &record_page(&app, &visit, values, errors));
        }
    };
    let mut tx = app.database.write().await?;
    let code = store::insert(&mut tx, &case, Some(visit.user.id), app.now()).await?;
    tx.commit().await?;
    Ok(lead_to(
        &format!("/cases/{code}"),
        &format!("Recorded as {code} at {}. It counts in the rates from now on.", app.clock()),
        None,
    ))
}
