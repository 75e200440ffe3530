//! Setting the baseline of a chart: an explicit, dated act with a reason.

use axum::extract::{Path, State};
use axum::http::StatusCode;
use axum::response::Response;

use super::{path_of, subject_of};
use crate::case::{Fingerprint, Month, Sentences};
use crate::rates::store::{self, SetBaseline};
use crate::rates::{Period, PeriodError, Subject};
use crate::web::error::Error;
use crate::web::form::{Control, Field, FormView, Reader, Values};
use crate::web::form_page::FormPage;
use crate::web::frame::{Place, Visit, lead_to, page, page_with};
use crate::web::state::App;

fn fields() -> Vec<Field> {
    let month = || Control::Line { kind: "month", width: "w-mid", unit: "" };
    vec![
        Field::new("from", "From month", month()),
        Field::new("to", "To month", month()),
        Field::lines("reason", "Why these months", 3).hint(
            "What changed, and why the old limits no longer say what is ordinary. A baseline is not moved to make a signal go away.",
        ),
    ]
}

/// What is set now, as the form holds it.
fn values_of(saved: Option<&SetBaseline>) -> Values {
    saved.map_or_else(Values::new, |set| {
        Values::new().with("from", set.period.from()).with("to", set.period.to()).with("reason", &set.reason)
    })
}

fn fingerprint(saved: Option<&SetBaseline>) -> Fingerprint {
    Fingerprint::of(&saved.map(|set| {
        (
            set.period.from().to_string(),
            set.period.to().to_string(),
            set.reason.clone(),
            set.set_on.to_string(),
        )
    }))
}

fn form_page(
    visit: &Visit,
    (subject, label): (&Subject, &str),
    saved: Option<&SetBaseline>,
    values: Values,
) -> FormPage {
    FormPage {
        frame: visit.frame(Place::Rates),
        eyebrow: label.to_owned(),
        title: "Baseline of the chart".to_owned(),
        lead: "Centre and limits come from these months alone, and every later point is judged against them. Until somebody sets \
               them, they are the first 20 points of the chart. What is set here carries your name and today's date, and the earlier baselines \
               stay to be read."
            .to_owned(),
        form: FormView {
            action: format!("{}/baseline", path_of(subject)),
            cancel: path_of(subject),
            save: "Set the baseline",
            fields: fields(),
            values,
            errors: Vec::new(),
            base: fingerprint(saved).as_str().to_owned(),
            take_out: None,
        },
    }
}

pub(super) async fn show(
    State(app): State<App>,
    visit: Visit,
    Path((kind, slug)): Path<(String, String)>,
) -> Result<Response, Error> {
    let vocabulary = app.vocabulary();
    let subject = subject_of((&kind, &slug), &vocabulary)?;
    let label = subject.label(&vocabulary).unwrap_or_default();
    let baselines = store::baselines(&mut *app.database.read().await?, &subject).await?;
    let saved = baselines.first();
    page(&form_page(&visit, (&subject, &label), saved, values_of(saved)))
}

pub(super) async fn save(
    State(app): State<App>,
    visit: Visit,
    Path((kind, slug)): Path<(String, String)>,
    typed: Values,
) -> Result<Response, Error> {
    let vocabulary = app.vocabulary();
    let subject = subject_of((&kind, &slug), &vocabulary)?;
    let label = subject.label(&vocabulary).unwrap_or_default();
    let mut tx = app.database.write().await?;
    let baselines = store::baselines(&mut tx, &subject).await?;
    let saved = baselines.first();
    let mut reader = Reader::new(&typed);
    let months = reader
        .required::<Month>("from", "Say with which month it begins.")
        .zip(reader.required::<Month>("to", "Say with which month it ends."));
    let reason = reader.required::<Sentences>("reason", "Say why these months.");
    let period = months.and_then(|(from, to)| match Period::new(from, to) {
        Ok(period) => Some(period),
        Err(error) => {
            reader.mark(if matches!(error, PeriodError::TooLong(_)) { "from" } else { "to" }, error);
            None
        }
    });
    let (period, reason) = match reader.finish(period.zip(reason)) {
        Ok(read) => read,
        Err(errors) => {
            let mut form = form_page(&visit, (&subject, &label), saved, typed.clone());
            form.form.errors = errors;
            form.form.base = typed.get("base").to_owned();
            return page_with(StatusCode::UNPROCESSABLE_ENTITY, &form);
        }
    };
    if !fingerprint(saved).matches(typed.get("base")) {
        let form = form_page(&visit, (&subject, &label), saved, typed).stale(&values_of(saved));
        return page_with(StatusCode::CONFLICT, &form);
    }
    let baseline = SetBaseline {
        period,
        reason: reason.to_string(),
        set_by: visit.user.name.to_string(),
        set_on: app.today(),
    };
    store::set_baseline(&mut tx, &subject, &baseline).await?;
    tx.commit().await?;
    Ok(lead_to(&path_of(&subject), &format!("Saved {}.", app.clock()), None))
}
