//! The case as one page that reads from top to bottom like the summary that it will become.

use askama::Template;
use axum::extract::{Path, State};
use axum::response::Response;

use super::part::Context;
use super::view::{EntryRow, TimelineView};
use super::{Loaded, load};
use crate::case::reading::{Reading, place_words};
use crate::case::store::RowValue;
use crate::case::{ActionState, Fingerprint, Lesion, Stage, StoredCase, drawing, store};
use crate::export::html::markdown_to_html;
use crate::figure::Figure;
use crate::rates;
use crate::review::readiness::{self, Check};
use crate::review::stage::{self, Move, NextStep};
use crate::review::summary::rate_mechanism;
use crate::vocabulary::Vocabulary;
use crate::web::error::Error;
use crate::web::form::{Values, capitalised};
use crate::web::frame::{Frame, Place, Visit, lead_to, page};
use crate::web::state::App;

/// A stage on the way, as the head of the page lists it.
struct StageStep {
    label: String,
    passed: bool,
    current: bool,
}

/// A fact of a list of facts; none is "Not recorded".
struct Fact {
    label: &'static str,
    value: Option<String>,
    wide: bool,
}

impl Fact {
    fn new(label: &'static str, value: Option<impl ToString>) -> Self {
        Self { label, value: value.map(|value| value.to_string()), wide: false }
    }

    fn wide(label: &'static str, value: Option<impl ToString>) -> Self {
        Self { wide: true, ..Self::new(label, value) }
    }
}

/// An entry of a list: a head, lines under it, and how it is changed.
struct Item {
    id: i64,
    head: String,
    meta: String,
    text: String,
    foot: String,
    /// The foot's button; none without one.
    button: Option<Button>,
    /// Inputs, rule and source of a computed sentence.
    rule: Option<Rule>,
    editable: bool,
}

/// A button that sends one value.
struct Button {
    action: String,
    label: &'static str,
    name: &'static str,
    value: String,
}

struct Rule {
    inputs: String,
    rule: &'static str,
    source: &'static str,
}

impl Item {
    fn new(id: i64, head: impl Into<String>) -> Self {
        Self {
            id,
            head: head.into(),
            meta: String::new(),
            text: String::new(),
            foot: String::new(),
            button: None,
            rule: None,
            editable: true,
        }
    }
}

#[derive(Template)]
#[template(path = "case/case.html")]
struct CasePage {
    frame: Frame,
    code: String,
    title: String,
    month: String,
    steps: Vec<StageStep>,
    next: NextStep,
    moves: Vec<Move>,
    checks: Vec<Check>,
    ready_matters: bool,
    situation: String,
    narrative: String,
    patient: Vec<Fact>,
    procedure: Vec<Fact>,
    outcome: Vec<Fact>,
    lesions: Vec<Item>,
    timeline: TimelineView,
    chain: Option<Figure>,
    complications: Vec<Item>,
    causes: Vec<Item>,
    lessons: Vec<Item>,
    actions: Vec<Item>,
    rate: Option<String>,
    rate_notes: Vec<String>,
    writes: bool,
    updated: String,
}

pub(super) async fn show_case(
    State(app): State<App>,
    visit: Visit,
    Path(code): Path<String>,
) -> Result<Response, Error> {
    let Loaded { case, vocabulary } = load(&app, &visit, &code).await?;
    let line = match rate_mechanism(&case) {
        Some(mechanism) => {
            let mut conn = app.database.read().await?;
            rates::store::case_rate(&mut conn, &vocabulary, &mechanism, app.this_month()).await?
        }
        None => None,
    };
    let role = visit.user.role;
    let reading = Reading::of(&case.events, &case.complications);
    let context =
        Context { vocabulary: &vocabulary, case: &case, this_month: app.this_month(), free_key: None };
    let entry = role.writes().then(|| EntryRow::of(&context, Values::new(), Vec::new()));
    let chain = drawing::chain(&case, &vocabulary);
    let head = &case.head;
    page(&CasePage {
        frame: visit.frame(Place::Cases),
        code: case.code.to_string(),
        title: head.title.to_string(),
        month: head.month.in_words(),
        steps: steps(head.stage),
        next: stage::next_step(&case, role.signs()),
        moves: if role.writes() { stage::moves(&case, role.signs()) } else { Vec::new() },
        checks: readiness::checks(&case),
        ready_matters: matches!(head.stage, Stage::Recorded | Stage::InPreparation) && role.writes(),
        situation: head.situation.as_ref().map(ToString::to_string).unwrap_or_default(),
        narrative: head.narrative.as_ref().map(|story| markdown_to_html(story.as_str())).unwrap_or_default(),
        patient: patient_facts(&case),
        procedure: procedure_facts(&case),
        outcome: outcome_facts(&case),
        lesions: case
            .lesions
            .iter()
            .map(|row| Item {
                text: lesion_words(&row.value),
                ..Item::new(row.id, place_words(row.value.segment))
            })
            .collect(),
        timeline: TimelineView::of(&case, &vocabulary, &reading, entry),
        chain: (!chain.edges.is_empty()).then(|| chain.draw("chain-drawing")),
        complications: complication_items(&case, &vocabulary, &reading),
        causes: cause_items(&case, &vocabulary, &reading),
        lessons: lesson_items(&case, &reading, role.signs()),
        actions: action_items(&case, &app),
        rate_notes: line.as_ref().map(crate::rates::RateLine::notes).unwrap_or_default(),
        rate: line.map(|line| line.no_rate().unwrap_or_else(|| line.sentence())),
        writes: role.writes(),
        updated: case
            .updated_at
            .to_zoned(jiff::tz::TimeZone::system())
            .strftime("%-d %B %Y, %H:%M")
            .to_string(),
    })
}

fn steps(now: Stage) -> Vec<StageStep> {
    Stage::ALL
        .iter()
        .map(|stage| StageStep {
            label: stage.label().to_lowercase(),
            passed: *stage < now,
            current: *stage == now,
        })
        .collect()
}

fn patient_facts(case: &StoredCase) -> Vec<Fact> {
    let patient = &case.head.patient;
    let history: Vec<&str> = patient.history.iter().map(|term| term.as_str()).collect();
    vec![
        Fact::new("Age", patient.age.map(|age| format!("{age} years"))),
        Fact::new("Sex", patient.sex.map(|sex| capitalised(sex.label()))),
        Fact::new("Presentation", patient.presentation.map(|word| word.label())),
        Fact::new("eGFR", patient.egfr.map(|egfr| format!("{egfr} mL/min/1.73 m²"))),
        Fact::new("Weight", patient.weight_kg.map(|weight| format!("{weight} kg"))),
        Fact::wide("History", (!history.is_empty()).then(|| capitalised(&history.join(", ")))),
    ]
}

fn procedure_facts(case: &StoredCase) -> Vec<Fact> {
    let procedure = &case.head.procedure;
    let access: Vec<String> = procedure.access.iter().map(|word| word.label().to_lowercase()).collect();
    vec![
        Fact::new("Access", (!access.is_empty()).then(|| capitalised(&access.join(", then ")))),
        Fact::new("Urgency", procedure.urgency.map(|word| word.label())),
        Fact::wide("Plan", procedure.strategy.as_ref()),
    ]
}

fn outcome_facts(case: &StoredCase) -> Vec<Fact> {
    let outcome = &case.head.outcome;
    vec![
        Fact::new("Degree of harm", outcome.harm.map(|word| word.label())),
        Fact::wide("At discharge", outcome.discharge.as_ref()),
    ]
}

/// A lesion in words: length, reference, features.
fn lesion_words(lesion: &Lesion) -> String {
    let words = [
        lesion.length_mm.map(|length| format!("{length} mm long")),
        lesion.reference_mm.map(|reference| format!("reference {reference} mm")),
        lesion.calcification.map(|extent| format!("calcification {}", extent.label())),
        lesion.tortuosity.map(|extent| format!("tortuosity {}", extent.label())),
        lesion.medina.map(|class| {
            let kind = if class.is_true_bifurcation() { ", a true bifurcation" } else { "" };
            format!("Medina {class}{kind}")
        }),
        lesion.cto.then(|| "chronic total occlusion".to_owned()),
        lesion.ostial.then(|| "ostial".to_owned()),
    ];
    let words: Vec<String> = words.into_iter().flatten().collect();
    if words.is_empty() {
        "Nothing else is recorded.".to_owned()
    } else {
        format!("{}.", capitalised(&words.join("; ")))
    }
}

fn complication_items(case: &StoredCase, vocabulary: &Vocabulary, reading: &Reading) -> Vec<Item> {
    case.complications
        .iter()
        .zip(reading.spans())
        .map(|(row, span)| {
            let complication = &row.value;
            let number = |key: &Option<crate::case::Key>| key.as_ref().and_then(|key| reading.number(key));
            let links: Vec<String> = [
                ("began at event", number(&complication.began)),
                ("recognised at", number(&complication.recognised)),
                ("controlled at", number(&complication.controlled)),
            ]
            .into_iter()
            .filter_map(|(word, number)| number.map(|number| format!("{word} {number}")))
            .collect();
            let parent = complication.consequence_of.as_ref().and_then(|key| {
                case.complications.iter().find(|other| other.value.key == *key)
            });
            let meta = [
                complication.segment.map(place_words),
                parent.map(|parent| {
                    format!("a consequence of: {}", vocabulary.mechanism_label(&parent.value.mechanism).to_lowercase())
                }),
                (!links.is_empty()).then(|| links.join(", ")),
            ];
            let meta: Vec<String> = meta.into_iter().flatten().map(|part| capitalised(&part)).collect();
            Item {
                meta: meta.join(". "),
                text: span.sentence().unwrap_or_else(|| "When it began, was recognised and was controlled is not linked to events yet.".to_owned()),
                rule: (!links.is_empty()).then(|| Rule {
                    inputs: format!("{}.", capitalised(&links.join(", "))),
                    rule: "Time from the event where it began to the events where it was recognised and controlled. An estimated time gives the shortest and longest that fit.",
                    source: "Our own convention.",
                }),
                ..Item::new(row.id, drawing::complication_words(complication, vocabulary))
            }
        })
        .collect()
}

fn cause_items(case: &StoredCase, vocabulary: &Vocabulary, reading: &Reading) -> Vec<Item> {
    case.causes
        .iter()
        .map(|row| {
            let numbers: Vec<u32> = row.value.shown_by.iter().filter_map(|key| reading.number(key)).collect();
            let branch = vocabulary
                .cause(&row.value.cause)
                .and_then(|leaf| vocabulary.cause_branches.iter().find(|branch| branch.slug == leaf.branch));
            let shown = if numbers.is_empty() {
                "No event shows this yet.".to_owned()
            } else {
                format!("Shown by {}.", crate::case::reading::event_numbers(&numbers).to_lowercase())
            };
            Item {
                meta: branch.map_or_else(String::new, |branch| branch.label.clone()),
                text: row.value.statement.to_string(),
                foot: shown,
                ..Item::new(row.id, vocabulary.cause_label(&row.value.cause))
            }
        })
        .collect()
}

fn lesson_items(case: &StoredCase, reading: &Reading, signs: bool) -> Vec<Item> {
    case.lessons
        .iter()
        .map(|row| {
            let lesson = &row.value;
            let event = lesson.event.as_ref().and_then(|key| reading.number(key));
            let signed = lesson.signed_by.as_ref().zip(lesson.signed_on);
            Item {
                meta: event.map_or_else(String::new, |number| format!("From event {number}")),
                text: lesson.text.to_string(),
                foot: match &signed {
                    Some((name, day)) => format!("Signed by {name}, {}.", day.in_words()),
                    None if signs => "Not signed yet.".to_owned(),
                    None => "Not signed yet. An attending signs it.".to_owned(),
                },
                button: (signed.is_none() && signs).then(|| Button {
                    action: format!("/cases/{}/lessons/{}/sign", case.code, row.id),
                    label: "Sign it",
                    name: "base",
                    value: Fingerprint::of(lesson).as_str().to_owned(),
                }),
                editable: signed.is_none() || signs,
                ..Item::new(row.id, lesson.kind.label())
            }
        })
        .collect()
}

fn action_items(case: &StoredCase, app: &App) -> Vec<Item> {
    let today = app.today();
    case.actions
        .iter()
        .map(|row| {
            let action = &row.value;
            let overdue = action.state == ActionState::Open && action.due < today;
            let due = if overdue { "Overdue since" } else { "Due" };
            let state = match action.state {
                ActionState::Open => format!("{due} {}.", action.due.in_words()),
                ActionState::Done => format!("Done. It was due {}.", action.due.in_words()),
                ActionState::Dropped => "Dropped.".to_owned(),
            };
            Item {
                meta: format!(
                    "{} · {}",
                    capitalised(action.owner.as_str()),
                    action.strength.label().to_lowercase()
                ),
                text: action.measure.as_ref().map_or_else(
                    || "It has no measure yet.".to_owned(),
                    |measure| format!("Measure: {measure}"),
                ),
                foot: state,
                button: (action.state == ActionState::Open).then(|| Button {
                    action: format!("/cases/{}/actions/{}/state", case.code, row.id),
                    label: "Mark as done",
                    name: "state",
                    value: ActionState::Done.slug().to_owned(),
                }),
                ..Item::new(row.id, action.what.to_string())
            }
        })
        .collect()
}

/// An attending puts their name under a lesson.
pub(super) async fn sign_lesson(
    State(app): State<App>,
    visit: Visit,
    Path((code, id)): Path<(String, i64)>,
    values: Values,
) -> Result<Response, Error> {
    let mut tx = app.database.write().await?;
    let case = super::find(&mut tx, &visit, &code).await?;
    let lesson = &case.lessons.iter().find(|row| row.id == id).ok_or(Error::NotFound)?.value;
    // The button carries what its page showed, so that a name never comes under words not read.
    if !Fingerprint::of(lesson).matches(values.get("base")) {
        return Err(Error::Conflict(
            "The lesson was changed or signed since you opened the page. Go back, read it again, and then sign it.".to_owned(),
        ));
    }
    store::sign(&mut tx, case.id, id, (visit.user.id, visit.user.name.as_str()), app.today()).await?;
    tx.commit().await?;
    Ok(lead_to(&format!("/cases/{}#lessons", case.code), &format!("Signed {}.", app.clock()), None))
}

/// Marks an action as done, or opens it again.
pub(super) async fn set_action_state(
    State(app): State<App>,
    visit: Visit,
    Path((code, id)): Path<(String, i64)>,
    values: Values,
) -> Result<Response, Error> {
    let state: ActionState = values
        .get("state")
        .parse()
        .map_err(|_| Error::BadRequest("There is no such state of an action.".to_owned()))?;
    let mut tx = app.database.write().await?;
    let case = super::find(&mut tx, &visit, &code).await?;
    let mut action = case.actions.iter().find(|row| row.id == id).ok_or(Error::NotFound)?.value.clone();
    action.state = state;
    store::update_row(&mut tx, case.id, id, &RowValue::Action(action), app.now()).await?;
    tx.commit().await?;
    let text = format!("The action is {}.", state.label().to_lowercase());
    Ok(lead_to(&format!("/cases/{}#actions", case.code), &text, None))
}
