//! A decision point beside what was known then, and what each reviewer would have chosen.

use askama::Template;
use axum::extract::{Path, State};
use axum::http::StatusCode;
use axum::response::Response;

use super::known::ThenView;
use super::load;
use super::view::EventRow;
use crate::case::known::KnownThen;
use crate::case::reading::Reading;
use crate::case::reading::words::count;
use crate::case::{Decision, DecisionOption, Key, OptionNumber, Row, Sentences, StoredCase};
use crate::conference::votes::{self, Phase, Poll, that_counts};
use crate::figure::Figure;
use crate::figure::votes::{Asked, VoteChart, VoteOption};
use crate::review::judgement::{OptionJudgement, store};
use crate::web::error::Error;
use crate::web::form::{Choice, Control, Field, FieldError, FormView, Reader, Values, capitalised};
use crate::web::frame::{Frame, Place, Visit, lead_to, page_with};
use crate::web::state::App;

#[derive(Template)]
#[template(path = "case/decision.html")]
struct DecisionPage {
    frame: Frame,
    code: String,
    time: String,
    question: String,
    options: Vec<DecisionOption>,
    then: ThenView,
    /// The form for the viewer's own judgement; none once it is given, or when there is nothing to choose.
    own: Option<FormView>,
    given: Vec<GivenPart>,
    chosen: String,
    followed: String,
    /// What the room answered, where it was asked.
    room: Option<Figure>,
    later: Vec<EventRow>,
}

/// An option with who would have chosen it.
struct GivenPart {
    option: String,
    who: String,
    reasons: Vec<String>,
}

/// The address of a decision point.
fn path_of(case: &StoredCase, key: &Key) -> String {
    format!("/cases/{}/points/{key}", case.code)
}

fn find<'c>(case: &'c StoredCase, key: &str) -> Result<&'c Row<Decision>, Error> {
    case.decisions.iter().find(|row| row.value.key.as_str() == key).ok_or(Error::NotFound)
}

pub(super) async fn show_decision(
    State(app): State<App>,
    visit: Visit,
    Path((code, key)): Path<(String, String)>,
) -> Result<Response, Error> {
    let case = load(&app, &visit, &code).await?;
    respond(&app, &visit, &case, &key, (StatusCode::OK, Values::new(), Vec::new())).await
}

async fn respond(
    app: &App,
    visit: &Visit,
    case: &StoredCase,
    key: &str,
    (status, typed, errors): (StatusCode, Values, Vec<FieldError>),
) -> Result<Response, Error> {
    let row = find(case, key)?;
    let decision = &row.value;
    let mut conn = app.database.read().await?;
    let given = store::options_seen(&mut conn, row.id, visit.user.id).await?;
    let polls = votes::store::list(&mut conn, case.id).await?;
    drop(conn);
    let reading = Reading::of(&case.events, &case.complications);
    let then = KnownThen::at_decision(case, &reading, decision);
    let known = |id: i64| then.case.events.iter().any(|event| event.id == id);
    let later = (1..)
        .zip(&case.events)
        .filter(|(_, event)| !known(event.id))
        .map(|(number, event)| EventRow::of(event.id, number, &event.value))
        .collect();
    let path = path_of(case, &decision.key);
    page_with(
        status,
        &DecisionPage {
            frame: visit.frame(Place::Cases),
            code: case.code.to_string(),
            time: decision.at.to_string(),
            question: decision.question.to_string(),
            options: decision.options.clone(),
            own: (given.is_empty() && decision.options.len() > 1)
                .then(|| own_form(&path, decision, typed, errors)),
            given: given_parts(decision, &given),
            chosen: chosen_in_words(decision),
            followed: decision.followed.as_ref().map(ToString::to_string).unwrap_or_default(),
            then: ThenView::of(&then, app, decision.at, "decision-known"),
            room: room(decision, &polls),
            later,
        },
    )
}

/// `Option 2, a second wire, by the first operator.`
pub(super) fn chosen_in_words(decision: &Decision) -> String {
    let Some((number, option)) = decision.chosen.zip(decision.chosen_option()) else {
        return String::new();
    };
    let by = decision.chosen_by.as_ref().map(|role| format!(" Chosen by: {role}.")).unwrap_or_default();
    format!("Option {number}: {}.{by}", option.text.as_str().trim_end_matches('.'))
}

/// The room's answers, before it saw what followed and after; none where nobody answered.
fn room(decision: &Decision, polls: &[Poll]) -> Option<Figure> {
    let answered = |phase| that_counts(polls, &decision.key, phase).filter(|poll| poll.total() > 0);
    let (before, after) = (answered(Phase::Before), answered(Phase::After));
    let latest = after.or(before)?;
    let earlier = |text: &str| {
        let option = before?.options.iter().find(|option| option.text == text)?;
        Some(option.total())
    };
    let options = latest.options.iter().map(|option| VoteOption {
        label: option.text.clone(),
        would: None,
        votes: option.total(),
        before: earlier(&option.text).unwrap_or_default(),
    });
    let asked = match (before, after) {
        (Some(_), Some(_)) => Asked::BeforeAndAfter("what followed was shown".to_owned()),
        _ => Asked::Once,
    };
    let chosen = decision.chosen_option().map(|option| option.text.as_str());
    let chart = VoteChart {
        question: latest.question.clone(),
        options: options.collect(),
        asked,
        chosen: latest.options.iter().position(|option| Some(option.text.as_str()) == chosen),
    };
    Some(chart.draw("room-answers"))
}

fn own_form(path: &str, decision: &Decision, values: Values, errors: Vec<FieldError>) -> FormView {
    let choices = decision
        .options
        .iter()
        .enumerate()
        .filter_map(|(index, option)| Some(Choice::new(OptionNumber::of_index(index)?, &option.text)))
        .collect();
    FormView {
        action: format!("{path}/judgement"),
        cancel: path.to_owned(),
        save: "Give your judgement",
        fields: vec![
            Field::new(
                "option",
                "What would you have chosen, knowing this and no more?",
                Control::Radios(choices),
            ),
            Field::lines("reason", "Why", 2).optional(),
        ],
        values,
        errors,
        base: String::new(),
        take_out: None,
    }
}

/// The judgements under their options; those whose option was written anew stand under its old words.
fn given_parts(decision: &Decision, given: &[OptionJudgement]) -> Vec<GivenPart> {
    let mut texts: Vec<&str> = decision.options.iter().map(|option| option.text.as_str()).collect();
    for judgement in given {
        if !texts.contains(&judgement.option.as_str()) {
            texts.push(judgement.option.as_str());
        }
    }
    if given.is_empty() {
        return Vec::new();
    }
    texts
        .into_iter()
        .map(|text| {
            let those: Vec<_> = given.iter().filter(|judgement| judgement.option.as_str() == text).collect();
            let mine = those.iter().any(|judgement| judgement.mine);
            let who = match (mine, those.len()) {
                (_, 0) => "Nobody".to_owned(),
                (true, 1) => "You".to_owned(),
                (true, others) => format!("You and {} more", count(others - 1).to_lowercase()),
                (false, 1) => "One reviewer".to_owned(),
                (false, some) => format!("{} reviewers", capitalised(&count(some))),
            };
            let reasons =
                those.iter().filter_map(|judgement| judgement.reason.as_ref()).map(ToString::to_string);
            GivenPart { option: text.to_owned(), who, reasons: reasons.collect() }
        })
        .collect()
}

pub(super) async fn give_judgement(
    State(app): State<App>,
    visit: Visit,
    Path((code, key)): Path<(String, String)>,
    values: Values,
) -> Result<Response, Error> {
    let mut tx = app.database.write().await?;
    let case = super::find(&mut tx, &visit, &code).await?;
    let row = find(&case, &key)?;
    let mut reader = Reader::new(&values);
    let number = reader.required::<OptionNumber>("option", "Choose one of the options.");
    let reason = reader.optional::<Sentences>("reason");
    let option = number.and_then(|number| row.value.option(number));
    if let (Some(number), None) = (number, option) {
        reader.mark("option", format!("There is no option {number}. Choose one of these."));
    }
    match reader.finish(option) {
        Err(errors) => {
            drop(tx);
            let answer = (StatusCode::UNPROCESSABLE_ENTITY, values, errors);
            respond(&app, &visit, &case, &key, answer).await
        }
        Ok(option) => {
            let first = store::give_option(
                &mut tx,
                row.id,
                visit.user.id,
                &option.text,
                reason.as_ref(),
                app.today(),
            )
            .await?;
            tx.commit().await?;
            let text = if first {
                "Your judgement is kept. The others' are open to you now."
            } else {
                "You had given your judgement before; it stays as it was."
            };
            Ok(lead_to(&format!("{}#given", path_of(&case, &row.value.key)), text, None))
        }
    }
}
