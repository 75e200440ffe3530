//! Response prompts on the case page, and the form in which a person says how a step stands.

use axum::extract::{Path, State};
use axum::http::StatusCode;
use axum::response::Response as Answer;

use super::{find, load};
use crate::case::reading::{Reading, words};
use crate::case::{Fingerprint, Key, PromptRemark, Says, Sentences, StoredCase, YesNo, drawing, store};
use crate::response::{CAUTION, PromptList, StepState};
use crate::review::response::{Asked, Response, Told, after_onset, responses};
use crate::vocabulary::Vocabulary;
use crate::web::error::Error;
use crate::web::form::{Choice, Control, Field, FieldError, FormView, Reader, Values};
use crate::web::form_page::FormPage;
use crate::web::frame::{Place, Visit, lead_to, page, page_with};
use crate::web::state::App;

/// An event that may show a step, to be confirmed.
pub(super) struct Perhaps {
    pub(super) number: usize,
    pub(super) key: String,
}

/// A step on the page.
pub(super) struct StepView {
    pub(super) slug: String,
    pub(super) text: String,
    pub(super) why: String,
    /// `done`, `not recorded` …; also the class of the mark.
    pub(super) word: &'static str,
    pub(super) mark: &'static str,
    /// When, or why not.
    pub(super) detail: String,
    /// The event that shows it.
    pub(super) event: Option<usize>,
    pub(super) perhaps: Vec<Perhaps>,
}

/// A question on the page.
pub(super) struct QuestionView {
    pub(super) slug: String,
    pub(super) asks: String,
    /// The answer and who gave it; empty while it is open.
    pub(super) answer: String,
}

/// A list laid beside a complication.
pub(super) struct ResponseView {
    pub(super) complication: String,
    pub(super) list: String,
    pub(super) heading: String,
    pub(super) count: String,
    pub(super) source: String,
    pub(super) questions: Vec<QuestionView>,
    pub(super) steps: Vec<StepView>,
    /// Steps of branches that the case did not take.
    pub(super) other: Vec<String>,
}

/// The most events that are offered for one step.
const PERHAPS_AT_MOST: usize = 3;

pub(super) fn views(
    case: &StoredCase,
    vocabulary: &Vocabulary,
    reading: &Reading,
    lists: &[PromptList],
) -> Vec<ResponseView> {
    responses(case, reading, lists).iter().map(|found| view(found, case, vocabulary)).collect()
}

fn view(found: &Response, case: &StoredCase, vocabulary: &Vocabulary) -> ResponseView {
    let (other, steps): (Vec<&Told>, Vec<&Told>) =
        found.steps.iter().partition(|told| matches!(told.state, StepState::OtherBranch { .. }));
    let done = steps.iter().filter(|told| told.state.place().is_some()).count();
    ResponseView {
        complication: found.complication.value.key.to_string(),
        list: found.list.slug().to_string(),
        heading: format!(
            "{}: {}",
            found.list.title(),
            words::lower_first(&drawing::complication_words(&found.complication.value, vocabulary))
        ),
        count: format!("{done} of {} steps are shown by events.", steps.len()),
        source: found.list.source().to_owned(),
        questions: found.questions.iter().map(question).collect(),
        steps: steps.into_iter().map(|told| step(told, case, found.list)).collect(),
        other: other.into_iter().map(|told| told.step.text.clone()).collect(),
    }
}

fn question(asked: &Asked) -> QuestionView {
    QuestionView {
        slug: asked.question.slug.to_string(),
        asks: asked.question.asks.clone(),
        answer: asked.answer().unwrap_or_default(),
    }
}

fn step(told: &Told, case: &StoredCase, list: &PromptList) -> StepView {
    let perhaps = match &told.state {
        StepState::NotRecorded { perhaps } => perhaps.as_slice(),
        _ => &[],
    };
    StepView {
        slug: told.step.slug.to_string(),
        text: told.step.text.clone(),
        why: told.step.why.clone(),
        word: told.word(),
        mark: match told.state {
            StepState::Done { .. } | StepState::DoneBefore { .. } => "done",
            StepState::DoesNotApply { .. } | StepState::OtherBranch { .. } => "aside",
            StepState::NotRecorded { .. } | StepState::Waits { .. } => "open",
        },
        detail: detail(told, list),
        event: told.state.place().map(|place| place + 1),
        perhaps: perhaps
            .iter()
            .take(PERHAPS_AT_MOST)
            .filter_map(|place| {
                let key = case.events.get(*place)?.value.key.to_string();
                Some(Perhaps { number: place + 1, key })
            })
            .collect(),
    }
}

/// When a step was done, why it does not apply, or what it waits for.
fn detail(told: &Told, list: &PromptList) -> String {
    let mut parts = Vec::new();
    match &told.state {
        StepState::Done { .. } => {
            if let Some(after) = told.after {
                parts.push(after_onset(after));
            }
        }
        StepState::DoneBefore { .. } => parts.push("before the onset".to_owned()),
        StepState::DoesNotApply { because } => {
            parts.push(format!("because {}", words::lower_first(because.trim_end_matches('.'))))
        }
        StepState::Waits { question } => {
            let asked = list.questions().iter().find(|one| one.slug == *question);
            parts.push(format!("applies by the answer to “{}”", asked.map_or("", |one| one.asks.as_str())));
        }
        StepState::NotRecorded { .. } | StepState::OtherBranch { .. } => {}
    }
    if let Some(step) = told.late_for {
        parts.push(format!("later than “{}”", step.text.trim_end_matches('.')));
    }
    if told.set_by_person {
        parts.push("as a person said".to_owned());
    }
    parts.join("; ")
}

// ---- Saying how a step stands ----

/// A step or a question of a list, for one complication.
struct Spot {
    complication: Key,
    list: Key,
    step: Key,
    title: String,
    is_question: bool,
}

type Address = (String, String, String, String);

fn spot(app: &App, case: &StoredCase, (_, complication, list, step): &Address) -> Result<Spot, Error> {
    let known = case.complications.iter().find(|row| row.value.key.as_str() == complication);
    let complication = known.map(|row| row.value.key.clone()).ok_or(Error::NotFound)?;
    let department = app.department();
    let found = department.prompts.iter().find(|one| one.slug().as_str() == list).ok_or(Error::NotFound)?;
    let (title, is_question) = found
        .steps()
        .iter()
        .find(|one| one.slug.as_str() == step)
        .map(|one| (one.text.clone(), false))
        .or_else(|| {
            let question = found.questions().iter().find(|one| one.slug.as_str() == step)?;
            Some((question.asks.clone(), true))
        })
        .ok_or(Error::NotFound)?;
    let key = |text: &str| text.parse::<Key>().map_err(|_| Error::NotFound);
    Ok(Spot { complication, list: key(list)?, step: key(step)?, title, is_question })
}

fn fields(case: &StoredCase, spot: &Spot) -> Vec<Field> {
    if spot.is_question {
        let choices = vec![
            Choice::new("", "As mechanism and events show it"),
            Choice::new("yes", "Yes"),
            Choice::new("no", "No"),
        ];
        return vec![Field::new("answer", "Answer", Control::Radios(choices))];
    }
    let how = vec![
        Choice::new("", "As the events show it"),
        Choice::new("done", "It was done, at an event"),
        Choice::new("aside", "It does not apply"),
        Choice::new("no", "No event shows it, whatever seems to match"),
    ];
    vec![
        Field::new("how", "How it stands", Control::Radios(how)),
        Field::words("done_at", "The event where it was done", "Choose", super::part::events(case)),
        Field::lines("because", "It does not apply because", 2).hint("A reason that the room would accept."),
    ]
}

fn values(case: &StoredCase, spot: &Spot) -> Values {
    let remark = case.prompts.iter().map(|row| &row.value).find(|remark: &&PromptRemark| {
        remark.complication == spot.complication && remark.list == spot.list && remark.step == spot.step
    });
    match remark.map(|remark| &remark.says) {
        None => Values::new(),
        Some(Says::DoneAt(event)) => Values::new().with("how", "done").with("done_at", event),
        Some(Says::DoesNotApply(because)) => Values::new().with("how", "aside").with("because", because),
        Some(Says::Answer(answer)) if spot.is_question => Values::new().with("answer", answer),
        Some(Says::Answer(_)) => Values::new().with("how", "no"),
    }
}

/// What the record says of the spot, to tell a stale save.
fn base(case: &StoredCase, spot: &Spot) -> String {
    Fingerprint::of(&values(case, spot).into_pairs()).as_str().to_owned()
}

fn form_page(
    visit: &Visit,
    case: &StoredCase,
    spot: &Spot,
    values: Values,
    errors: Vec<FieldError>,
) -> FormPage {
    let code = case.code;
    FormPage {
        frame: visit.frame(Place::Cases),
        eyebrow: format!("Case {code}"),
        title: spot.title.clone(),
        lead: CAUTION.to_owned(),
        form: FormView {
            action: format!("/cases/{code}/prompts/{}/{}/{}", spot.complication, spot.list, spot.step),
            cancel: format!("/cases/{code}#response"),
            save: "Save",
            fields: fields(case, spot),
            values,
            errors,
            base: base(case, spot),
            take_out: None,
        },
    }
}

pub(super) async fn show_prompt(
    State(app): State<App>,
    visit: Visit,
    Path(address): Path<Address>,
) -> Result<Answer, Error> {
    let case = load(&app, &visit, &address.0).await?;
    let spot = spot(&app, &case, &address)?;
    page(&form_page(&visit, &case, &spot, values(&case, &spot), Vec::new()))
}

pub(super) async fn save_prompt(
    State(app): State<App>,
    visit: Visit,
    Path(address): Path<Address>,
    typed: Values,
) -> Result<Answer, Error> {
    let mut tx = app.database.write().await?;
    let case = find(&mut tx, &visit, &address.0).await?;
    let spot = spot(&app, &case, &address)?;
    let says = match read(&case, &spot, &typed) {
        Ok(says) => says,
        Err(errors) => {
            let base = typed.get("base").to_owned();
            let mut form = form_page(&visit, &case, &spot, typed, errors);
            form.form.base = base;
            return page_with(StatusCode::UNPROCESSABLE_ENTITY, &form);
        }
    };
    let saved = values(&case, &spot);
    let fresh = typed.get("base").is_empty() && saved == Values::new();
    if !fresh && typed.get("base") != base(&case, &spot) {
        let form = form_page(&visit, &case, &spot, typed, Vec::new());
        return page_with(StatusCode::CONFLICT, &form.stale(&saved));
    }
    let step = (&spot.complication, &spot.list, &spot.step);
    store::say(&mut tx, case.id, step, says, app.now()).await?;
    tx.commit().await?;
    let path = format!("/cases/{}#response", case.code);
    Ok(lead_to(&path, &format!("Saved {}.", app.clock()), None))
}

/// What is said; none when the events are to speak for themselves.
fn read(case: &StoredCase, spot: &Spot, typed: &Values) -> Result<Option<Says>, Vec<FieldError>> {
    let mut reader = Reader::new(typed);
    if spot.is_question {
        let answer = reader.optional::<YesNo>("answer");
        return reader.finish(Some(answer.map(Says::Answer)));
    }
    let says = match typed.get("how") {
        "" => None,
        "done" => {
            let event = reader.required::<Key>("done_at", "Choose the event where it was done.");
            if event.as_ref().is_some_and(|key| !case.events.iter().any(|row| row.value.key == *key)) {
                reader.mark("done_at", "This event is no longer on the timeline. Choose another.");
            }
            event.map(Says::DoneAt)
        }
        "aside" => {
            reader.required::<Sentences>("because", "Say why it does not apply.").map(Says::DoesNotApply)
        }
        "no" => Some(Says::Answer(YesNo::No)),
        _ => {
            reader.mark("how", "Choose one of these.");
            None
        }
    };
    reader.finish(Some(says))
}
