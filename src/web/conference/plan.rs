//! How a conference's time is spent: its length, its boxes, its roles.

use axum::extract::{Path, State};
use axum::http::StatusCode;
use axum::response::Response;

use super::agenda::{ENDED, of_agenda};
use super::find;
use super::form::{day_field, day_is_taken};
use super::links::path_of;
use crate::case::{Day, Fingerprint, Title, Words};
use crate::conference::{AgendaCase, CasePlan, Conference, Minutes, Plan, Split, store};
use crate::web::error::Error;
use crate::web::form::{Field, FieldError, FormView, Reader, Values};
use crate::web::form_page::FormPage;
use crate::web::frame::{Place, Visit, lead_to, page, page_with};
use crate::web::state::App;

/// What every field of a role says.
const A_ROLE: &str = "A role, never a name: fellow on call, visiting surgeon.";
const MINUTES: &str = "Whole minutes, 1 to 240.";

/// That the meeting was ended, when it was.
fn of_ended(conference: &Conference) -> Result<(), Vec<FieldError>> {
    if conference.is_ended() {
        return Err(vec![FieldError { name: String::new(), message: ENDED.to_owned() }]);
    }
    Ok(())
}

fn values_of(plan: &Plan) -> Values {
    Values::new()
        .with("held_on", plan.held_on)
        .with("title", &plan.title)
        .with("length", plan.length)
        .with_opt("carried", plan.carried)
        .with_opt("moderator", plan.moderator.as_ref())
}

fn read(values: &Values) -> Result<Plan, Vec<FieldError>> {
    let mut reader = Reader::new(values);
    let held_on = reader.required::<Day>("held_on", "Give the day of the conference.");
    let title = reader.required::<Title>("title", "Give the conference a name.");
    let length = reader.required::<Minutes>("length", "Say how long it is; 60 minutes are usual.");
    let carried = reader.optional::<Minutes>("carried");
    let moderator = reader.optional::<Words>("moderator");
    let plan = held_on.zip(title).zip(length).map(|((held_on, title), length)| Plan {
        held_on,
        title,
        length,
        carried,
        moderator,
    });
    reader.finish(plan)
}

fn plan_page(visit: &Visit, conference: &Conference, values: Values, errors: Vec<FieldError>) -> FormPage {
    let path = path_of(conference.id);
    FormPage {
        frame: visit.frame(Place::Conferences),
        eyebrow: conference.plan.title.to_string(),
        title: "Time and roles".to_owned(),
        lead: "How long the conference is, how it opens, and who leads it. The box of a case is set on the agenda."
            .to_owned(),
        form: FormView {
            action: path.clone(),
            cancel: path,
            save: "Save",
            fields: vec![
                day_field("held_on", "Day", &values).hint("One conference a day."),
                Field::line("title", "Name", "").hint("What the department calls it. No names of people."),
                Field::number("length", "Length", "minutes").hint(MINUTES),
                Field::number("carried", "Carried-over actions", "minutes")
                    .hint("The box that opens the conference: what became of the actions of earlier cases. Ten minutes are usual; empty when there is none.")
                    .optional(),
                Field::line("moderator", "Moderator", "w-long").hint(A_ROLE).optional(),
            ],
            values,
            errors,
            base: Fingerprint::of(&conference.plan).as_str().to_owned(),
            take_out: None,
        },
    }
}

pub(super) async fn show_plan(
    State(app): State<App>,
    visit: Visit,
    Path(id): Path<String>,
) -> Result<Response, Error> {
    let conference = find(&mut *app.database.read().await?, &id).await?;
    page(&plan_page(&visit, &conference, values_of(&conference.plan), Vec::new()))
}

pub(super) async fn save_plan(
    State(app): State<App>,
    visit: Visit,
    Path(id): Path<String>,
    values: Values,
) -> Result<Response, Error> {
    let mut tx = app.database.write().await?;
    let conference = find(&mut tx, &id).await?;
    let again = |values: Values, errors: Vec<FieldError>| {
        let base = values.get("base").to_owned();
        let mut form = plan_page(&visit, &conference, values, errors);
        form.form.base = base;
        page_with(StatusCode::UNPROCESSABLE_ENTITY, &form)
    };
    let plan = match of_ended(&conference).and_then(|()| read(&values)) {
        Ok(plan) => plan,
        Err(errors) => return again(values, errors),
    };
    if plan != conference.plan {
        if !Fingerprint::of(&conference.plan).matches(values.get("base")) {
            let form = plan_page(&visit, &conference, values, Vec::new());
            return page_with(StatusCode::CONFLICT, &form.stale(&values_of(&conference.plan)));
        }
        match store::set_plan(&mut tx, conference.id, &plan).await {
            Err(error) if error.is_constraint("conferences.held_on") => {
                return again(values, vec![day_is_taken(plan.held_on)]);
            }
            outcome => outcome?,
        }
        tx.commit().await?;
    }
    Ok(lead_to(&path_of(conference.id), &format!("Saved {}.", app.clock()), None))
}

// ---- A case on the agenda ----

fn case_values(plan: &CasePlan) -> Values {
    Values::new()
        .with("box", plan.time_box)
        .with_opt("presenter", plan.presenter.as_ref())
        .with_opt("discussant", plan.discussant.as_ref())
}

fn read_case(values: &Values) -> Result<CasePlan, Vec<FieldError>> {
    let mut reader = Reader::new(values);
    let time_box = reader.required::<Minutes>("box", "Say how long the case has; 25 minutes are usual.");
    let presenter = reader.optional::<Words>("presenter");
    let discussant = reader.optional::<Words>("discussant");
    reader.finish(time_box.map(|time_box| CasePlan { time_box, presenter, discussant }))
}

fn case_page(
    visit: &Visit,
    conference: &Conference,
    case: &AgendaCase,
    values: Values,
    errors: Vec<FieldError>,
) -> FormPage {
    let path = path_of(conference.id);
    let usual = Split::of(Minutes::USUAL_CASE).map_or_else(String::new, Split::in_words);
    FormPage {
        frame: visit.frame(Place::Conferences),
        eyebrow: conference.plan.title.to_string(),
        title: format!("Box and roles of {}", case.code),
        lead: case.title.to_string(),
        form: FormView {
            action: format!("{path}/cases/{}", case.code),
            cancel: path,
            save: "Save",
            fields: vec![
                Field::number("box", "Time box", "minutes").hint(format!(
                    "{MINUTES} Of 25, the usual parts are {usual}; another box is split alike."
                )),
                Field::line("presenter", "Presented by", "w-long").hint(A_ROLE).optional(),
                Field::line("discussant", "Discussed by", "w-long")
                    .hint("A role, never a name: interventional attending who was not there.")
                    .optional(),
            ],
            values,
            errors,
            base: Fingerprint::of(&case.plan).as_str().to_owned(),
            take_out: None,
        },
    }
}

pub(super) async fn show_case_plan(
    State(app): State<App>,
    visit: Visit,
    Path((id, code)): Path<(String, String)>,
) -> Result<Response, Error> {
    let conference = find(&mut *app.database.read().await?, &id).await?;
    let case = of_agenda(&conference, &code)?;
    page(&case_page(&visit, &conference, case, case_values(&case.plan), Vec::new()))
}

pub(super) async fn save_case_plan(
    State(app): State<App>,
    visit: Visit,
    Path((id, code)): Path<(String, String)>,
    values: Values,
) -> Result<Response, Error> {
    let mut tx = app.database.write().await?;
    let conference = find(&mut tx, &id).await?;
    let case = of_agenda(&conference, &code)?;
    let plan = match of_ended(&conference).and_then(|()| read_case(&values)) {
        Ok(plan) => plan,
        Err(errors) => {
            let base = values.get("base").to_owned();
            let mut form = case_page(&visit, &conference, case, values, errors);
            form.form.base = base;
            return page_with(StatusCode::UNPROCESSABLE_ENTITY, &form);
        }
    };
    if plan != case.plan {
        if !Fingerprint::of(&case.plan).matches(values.get("base")) {
            let form = case_page(&visit, &conference, case, values, Vec::new());
            return page_with(StatusCode::CONFLICT, &form.stale(&case_values(&case.plan)));
        }
        store::set_case_plan(&mut tx, conference.id, case.id, &plan).await?;
        tx.commit().await?;
    }
    let path = format!("{}#case-{}", path_of(conference.id), case.code);
    Ok(lead_to(&path, &format!("Saved {}.", app.clock()), None))
}
