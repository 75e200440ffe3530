//! The case as one page that reads from top to bottom like the summary that it will become.

use askama::Template;
use axum::extract::{Path, State};
use axum::response::Response;

use super::findings::FindingsView;
use super::items::{
    Fact, Item, action_items, cause_items, complication_items, decision_items, lesion_words,
    observation_items, outcome_facts, patient_facts, procedure_facts,
};
use super::labs::LabsView;
use super::lesson_items::{LessonNotes, lesson_items};
use super::links::Links;
use super::part::Shelf;
use super::pictures::{PictureItem, picture_items};
use super::response::{self, ResponseView};
use super::view::{EntryRow, TimelineView};
use crate::case::reading::{Reading, place_words};
use crate::case::store::RowValue;
use crate::case::{ActionState, Fingerprint, Stage, drawing, observation, store};
use crate::clinical::Family;
use crate::export::html::markdown_to_html;
use crate::figure::Figure;
use crate::rates;
use crate::review::findings::Findings;
use crate::review::question;
use crate::review::readiness::{self, Check};
use crate::review::stage::{self, Move, NextStep};
use crate::review::summary::rate_mechanism;
use crate::review::walk::{Answers, Walk};
use crate::web::error::Error;
use crate::web::form::Values;
use crate::web::frame::{Frame, Place, Visit, lead_to, page};
use crate::web::present::present_path;
use crate::web::release::{HeldPart, let_case_out};
use crate::web::state::App;

/// A stage on the way, as the head of the page lists it.
struct StageStep {
    label: String,
    passed: bool,
    current: bool,
}

#[derive(Template)]
#[template(path = "case/case.html")]
struct CasePage {
    frame: Frame,
    code: String,
    /// Whether the account may look at who could be told from the case.
    signs: bool,
    /// Where it is presented.
    present: String,
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
    pictures: Vec<PictureItem>,
    chain: Option<Figure>,
    complications: Vec<Item>,
    labs: LabsView,
    observations: Vec<Item>,
    /// Families of observations that would settle something, and all of them.
    asked_for: Vec<Family>,
    families: Vec<Family>,
    findings: FindingsView,
    responses: Vec<ResponseView>,
    caution: &'static str,
    decisions: Vec<Item>,
    /// Whether one alone can walk through the decisions.
    has_walk: bool,
    cause_effect: Option<Figure>,
    causes: Vec<Item>,
    lessons: Vec<Item>,
    questions: Vec<String>,
    actions: Vec<Item>,
    rate: Option<String>,
    rate_notes: Vec<String>,
    writes: bool,
    updated: String,
    /// What holds the case back; none when nothing does.
    held: Option<HeldPart>,
}

pub(super) async fn show_case(
    State(app): State<App>,
    visit: Visit,
    Path(code): Path<String>,
) -> Result<Response, Error> {
    let mut conn = app.database.read().await?;
    let case = super::find(&mut conn, &visit, &code).await?;
    let vocabulary = app.vocabulary();
    let went = store::action_steps(&mut conn, case.id).await?;
    let line = match rate_mechanism(&case) {
        Some(mechanism) => {
            rates::store::case_rate(&mut conn, &vocabulary, &mechanism, app.this_month()).await?
        }
        None => None,
    };
    let notes = LessonNotes {
        earlier: store::earlier_lessons(&mut conn, case.id).await?,
        joined: store::joined_lessons(&mut conn, case.id).await?,
    };
    drop(conn);
    let role = visit.user.role;
    let reading = Reading::of(&case.events, &case.complications);
    let shelf = Shelf::of(&app);
    let context = shelf.context(&case);
    let entry = role.writes().then(|| EntryRow::of(&context, Values::new(), Vec::new()));
    let department = app.department();
    let findings = Findings::of(&case, &reading, &vocabulary, &department.choices);
    let chain = drawing::chain(&case, &vocabulary);
    let head = &case.head;
    page(&CasePage {
        frame: visit.frame(Place::Cases),
        code: case.code.to_string(),
        signs: role.signs(),
        present: present_path(case.code),
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
        pictures: picture_items(&case),
        chain: (!chain.edges.is_empty()).then(|| {
            let causes = drawing::chain_causes(&case, &vocabulary, &reading);
            chain.draw_with_causes("chain-drawing", &causes)
        }),
        complications: complication_items(&case, &vocabulary, &reading),
        labs: LabsView::of(&case, &findings.facts),
        observations: observation_items(&case, &vocabulary),
        asked_for: findings.families_asked_for(),
        families: observation::families().collect(),
        responses: response::views(&case, &vocabulary, &reading, &department.prompts),
        caution: crate::response::CAUTION,
        findings: FindingsView::of(&findings, &Links::of(&case, role.writes())),
        has_walk: !Walk::of(&case, &Answers::default()).is_empty(),
        decisions: decision_items(&case, role.writes()),
        cause_effect: drawing::cause_effect(&case, &vocabulary, &reading)
            .map(|drawing| drawing.draw("cause-drawing")),
        causes: cause_items(&case, &vocabulary, &reading, role.writes()),
        lessons: lesson_items(&case, &reading, &notes, role),
        questions: if role.writes() { question::about_actions(&case, &vocabulary) } else { Vec::new() },
        actions: action_items(&case, &vocabulary, &went, app.today()),
        rate_notes: line.as_ref().map(crate::rates::RateLine::notes).unwrap_or_default(),
        rate: line.map(|line| line.no_rate().unwrap_or_else(|| line.sentence())),
        writes: role.writes(),
        held: let_case_out(&case).err().map(HeldPart::of).transpose()?,
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
    // Pressed twice, it keeps the day that was typed meanwhile.
    if action.state != state {
        action.state = state;
        action.done_on = (state == ActionState::Done).then(|| app.today());
    }
    store::update_row(&mut tx, case.id, id, &RowValue::Action(action), app.now()).await?;
    tx.commit().await?;
    let text = format!("The action is {}.", state.label().to_lowercase());
    Ok(lead_to(&format!("/cases/{}#actions", case.code), &text, None))
}
