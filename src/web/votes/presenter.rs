//! What the presenter's screens ask for, as JSON: opening a poll, its counts, hands, closing.

use axum::extract::{Path, State};
use axum::http::{StatusCode, header};
use axum::response::{IntoResponse, Response};
use serde::Serialize;

use super::decision::{decision_of, qr};
use crate::case::identifier::{OpenIdentifier, Place};
use crate::case::store::is_seen;
use crate::case::{Key, StoredCase};
use crate::conference::votes::store::{self, Opened};
use crate::conference::votes::{Ballot, HandCounts, Phase, Poll, PollCode};
use crate::web::case;
use crate::web::error::Error;
use crate::web::form::Values;
use crate::web::frame::Visit;
use crate::web::state::App;

/// What the presenter is told while phones cannot vote.
const HANDS_ONLY: &str = "Count hands. Phones can vote once whoever keeps the server starts it with --votes-on HOST:PORT, which opens this vote, and nothing of the record, to the ward's network.";

/// An option with its counts.
#[derive(Debug, Serialize)]
struct OptionView<'a> {
    position: usize,
    text: &'a str,
    hands: u16,
    phones: u32,
}

/// A poll as the presenter's screens read it.
#[derive(Debug, Serialize)]
struct PollView<'a> {
    code: &'a str,
    decision: &'a str,
    phase: Phase,
    question: &'a str,
    open: bool,
    options: Vec<OptionView<'a>>,
    total: u32,
    /// Where phones vote; null while they cannot.
    address: Option<String>,
    /// The same as a drawing.
    qr: Option<String>,
    /// Why phones cannot vote and what to do; null while they can.
    hands_only: Option<&'static str>,
}

impl<'a> PollView<'a> {
    fn of(app: &App, poll: &'a Poll) -> Self {
        let address = app.settings.votes_address.as_ref().map(|address| address.of(&poll.code));
        Self {
            code: poll.code.as_str(),
            decision: poll.decision.as_str(),
            phase: poll.phase,
            question: &poll.question,
            open: poll.is_open(),
            options: (1..)
                .zip(&poll.options)
                .map(|(position, option)| OptionView {
                    position,
                    text: &option.text,
                    hands: option.hands.count(),
                    phones: option.phones,
                })
                .collect(),
            total: poll.total(),
            qr: address.as_deref().and_then(qr),
            hands_only: address.is_none().then_some(HANDS_ONLY),
            address,
        }
    }
}

fn json(status: StatusCode, body: &impl Serialize) -> Result<Response, Error> {
    let text = serde_json::to_string(body).map_err(anyhow::Error::from)?;
    let headers = [(header::CONTENT_TYPE, "application/json"), (header::CACHE_CONTROL, "no-store")];
    Ok((status, headers, text).into_response())
}

/// A refusal that a script can show: `{"error": sentence}`.
fn refuse(status: StatusCode, sentence: impl ToString) -> Result<Response, Error> {
    json(status, &serde_json::json!({ "error": sentence.to_string() }))
}

/// The poll that an address names, when the viewer sees its case.
async fn find(conn: &mut sqlx::SqliteConnection, visit: &Visit, code: &str) -> Result<Poll, Error> {
    let code: PollCode = code.parse().map_err(|_| Error::NotFound)?;
    let poll = store::find(conn, &code).await?.ok_or(Error::NotFound)?;
    if is_seen(conn, visit.sight(), poll.case_id).await? { Ok(poll) } else { Err(Error::NotFound) }
}

/// What in a question, or in its options, may identify somebody: it would be on every phone in the room.
fn held_in<'a>(case: &'a StoredCase, key: &Key) -> Option<&'a OpenIdentifier> {
    let decision = case.decisions.iter().find(|row| row.value.key == *key)?;
    case.identifiers.iter().find(|one| matches!(one.place, Place::Decision(id, _) if id == decision.id))
}

/// Opens a poll: 201. One that is open already is given instead, 200, so that a second press or a
/// second window shows the same.
pub(super) async fn open_poll(
    State(app): State<App>,
    visit: Visit,
    Path((code, key)): Path<(String, String)>,
    values: Values,
) -> Result<Response, Error> {
    let key: Key = key.parse().map_err(|_| Error::NotFound)?;
    let phase: Phase = match values.get("phase").parse() {
        Ok(phase) => phase,
        Err(error) => return refuse(StatusCode::UNPROCESSABLE_ENTITY, error),
    };
    let mut tx = app.database.write().await?;
    let case = case::find(&mut tx, &visit, &code).await?;
    let (question, options) = decision_of(&case, &key).ok_or(Error::NotFound)?;
    if let Some(found) = held_in(&case, &key) {
        let sentence = format!(
            "“{}” in this question may identify somebody. Settle it on the page of the case first.",
            found.words
        );
        return refuse(StatusCode::CONFLICT, sentence);
    }
    let ballot = match Ballot::new(&question, &options) {
        Ok(ballot) => ballot,
        Err(error) => return refuse(StatusCode::CONFLICT, error),
    };
    let code = PollCode::generate().map_err(anyhow::Error::from)?;
    let (status, code) = match store::open(&mut tx, (case.id, &key, phase), &ballot, &code, app.now()).await?
    {
        Opened::New => (StatusCode::CREATED, code),
        Opened::AlreadyOpen(standing) => (StatusCode::OK, standing),
    };
    let poll = find(&mut tx, &visit, code.as_str()).await?;
    tx.commit().await?;
    json(status, &PollView::of(&app, &poll))
}

pub(super) async fn show_poll(
    State(app): State<App>,
    visit: Visit,
    Path(code): Path<String>,
) -> Result<Response, Error> {
    let poll = find(&mut *app.database.read().await?, &visit, &code).await?;
    json(StatusCode::OK, &PollView::of(&app, &poll))
}

/// Reads a show of hands: pairs of an option's place and its count, such as `1=12&2=5`.
fn read_hands(values: Values, poll: &Poll) -> Result<HandCounts, String> {
    let mut counts = HandCounts::default();
    for (position, hands) in values.into_pairs() {
        let position = position.parse().map_err(|error| format!("{error}"))?;
        counts.set(position, hands.parse().map_err(|error| format!("{error}"))?);
    }
    match counts.options_needed() {
        0 => Err("Say how many hands were up for each option, such as 1=12&2=5.".to_owned()),
        needed if needed > poll.options.len() => {
            Err(format!("This question has {} options; there is no option {needed}.", poll.options.len()))
        }
        _ => Ok(counts),
    }
}

/// Sets the hands that were counted. It may come late and more than once.
pub(super) async fn set_hands(
    State(app): State<App>,
    visit: Visit,
    Path(code): Path<String>,
    values: Values,
) -> Result<Response, Error> {
    let mut tx = app.database.write().await?;
    let poll = find(&mut tx, &visit, &code).await?;
    let counts = match read_hands(values, &poll) {
        Ok(counts) => counts,
        Err(sentence) => return refuse(StatusCode::UNPROCESSABLE_ENTITY, sentence),
    };
    store::set_hands(&mut tx, &poll.code, &counts).await?;
    let poll = find(&mut tx, &visit, &code).await?;
    tx.commit().await?;
    json(StatusCode::OK, &PollView::of(&app, &poll))
}

/// Closes a poll, whatever its state was. It waits its turn among the votes: those that came before
/// it are counted.
pub(super) async fn close_poll(
    State(app): State<App>,
    visit: Visit,
    Path(code): Path<String>,
) -> Result<Response, Error> {
    let _turn = app.vote_turn.lock().await;
    let mut tx = app.database.write().await?;
    let code = find(&mut tx, &visit, &code).await?.code;
    store::close(&mut tx, &code, app.now()).await?;
    let poll = find(&mut tx, &visit, code.as_str()).await?;
    tx.commit().await?;
    json(StatusCode::OK, &PollView::of(&app, &poll))
}
