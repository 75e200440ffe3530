//! Where sources clash: the rule that the department takes, question by question.

use axum::extract::State;
use axum::http::StatusCode;
use axum::response::Response;

use crate::case::Fingerprint;
use crate::clinical::Choices;
use crate::department::store;
use crate::web::access::Allow;
use crate::web::error::Error;
use crate::web::form::{Choice, Control, Field, FormView, Reader, Values, capitalised};
use crate::web::form_page::FormPage;
use crate::web::frame::{Place, Visit, lead_to, page, page_with};
use crate::web::router::Routes;
use crate::web::state::App;

const ADDRESS: &str = "/settings/rules";

pub(super) fn add_routes(routes: Routes) -> Routes {
    routes.get(ADDRESS, Allow::Keepers, show_choices).post(ADDRESS, Allow::Keepers, save_choices)
}

fn fields(choices: &Choices) -> Vec<Field> {
    choices
        .questions()
        .into_iter()
        .map(|question| {
            let on_offer = question
                .on_offer
                .iter()
                .map(|offer| Choice::new(offer.slug, capitalised(offer.words)).explained(offer.source));
            Field::new(question.slug, question.question, Control::Radios(on_offer.collect()))
        })
        .collect()
}

fn values(choices: &Choices) -> Values {
    choices.questions().iter().fold(Values::new(), |all, question| all.with(question.slug, question.taken))
}

fn form_page(visit: &Visit, saved: &Choices, values: Values) -> FormPage {
    FormPage {
        frame: visit.frame(Place::Settings),
        eyebrow: "Settings".to_owned(),
        title: "Rules where sources clash".to_owned(),
        lead: "The trade does not always agree. What your department takes here decides every grade from now on, in every case, and is printed wherever the grade is. The first answer of each is taken where nobody chose.".to_owned(),
        form: FormView {
            action: ADDRESS.to_owned(),
            cancel: "/settings".to_owned(),
            save: "Save",
            fields: fields(saved),
            values,
            errors: Vec::new(),
            base: Fingerprint::of(saved).as_str().to_owned(),
            take_out: None,
        },
    }
}

async fn show_choices(State(app): State<App>, visit: Visit) -> Result<Response, Error> {
    let choices = app.department().choices;
    page(&form_page(&visit, &choices, values(&choices)))
}

async fn save_choices(State(app): State<App>, visit: Visit, typed: Values) -> Result<Response, Error> {
    let mut tx = app.database.write().await?;
    let saved = store::load(&mut tx, &app.vocabulary()).await?.choices;
    let mut choices = saved;
    let mut reader = Reader::new(&typed);
    for question in saved.questions() {
        let answer = typed.get(question.slug);
        if answer.is_empty() {
            reader.mark(question.slug, "Choose one; the first is taken where nobody chose.");
        } else if let Err(error) = choices.take(question.slug, answer) {
            reader.mark(question.slug, error);
        }
    }
    let choices = match reader.finish(Some(choices)) {
        Ok(choices) => choices,
        Err(errors) => {
            let mut form = form_page(&visit, &saved, typed.clone());
            form.form.errors = errors;
            form.form.base = typed.get("base").to_owned();
            return page_with(StatusCode::UNPROCESSABLE_ENTITY, &form);
        }
    };
    if choices != saved {
        if !Fingerprint::of(&saved).matches(typed.get("base")) {
            return page_with(StatusCode::CONFLICT, &form_page(&visit, &saved, typed).stale(&values(&saved)));
        }
        store::take_choices(&mut tx, &choices).await?;
        tx.commit().await?;
        app.reload_department().await?;
    }
    Ok(lead_to("/settings", &format!("Saved {}.", app.clock()), None))
}
