//! The page on which a presenter gives the screens their order, hides some and writes notes. One
//! form: each button saves all that was typed, and then does what it says.

use std::collections::BTreeMap;

use askama::Template;
use axum::extract::{Path, State};
use axum::http::StatusCode;
use axum::response::Response;

use super::gather::{Gathered, gather};
use super::{deck_path, present_path};
use crate::case::{Fingerprint, StoredCase};
use crate::review::deck::order::Notes;
use crate::review::deck::{Arranged, Seat, check, store};
use crate::web::case::find;
use crate::web::error::Error;
use crate::web::form::Values;
use crate::web::frame::{Frame, Place, Visit, lead_to, page_with};
use crate::web::state::App;

/// A screen as the page lists it.
struct Line {
    key: String,
    part: &'static str,
    title: String,
    hidden: bool,
    notes: String,
    suggested: bool,
    /// Why it cannot go where it was sent, or why its notes cannot be kept.
    error: String,
    /// Whether it is the notes that cannot be kept.
    notes_are_wrong: bool,
    /// What somebody else saved meanwhile, where it differs.
    theirs: String,
    is_stop: bool,
    is_hindsight: bool,
}

#[derive(Template)]
#[template(path = "present/arrange.html")]
struct DeckPage {
    frame: Frame,
    code: String,
    title: String,
    path: String,
    present: String,
    base: String,
    stale: bool,
    lines: Vec<Line>,
    stops: usize,
    shown: usize,
}

/// What the form brings of a screen.
struct Typed {
    hidden: bool,
    notes: String,
}

/// What is wrong with what was sent, by the key of the screen.
type Wrong = BTreeMap<String, String>;

fn fingerprint(given: &[Arranged]) -> Fingerprint {
    Fingerprint::of(&given)
}

fn respond(
    visit: &Visit,
    case: &StoredCase,
    deck: &Gathered,
    (status, wrong, theirs): (StatusCode, &Wrong, Option<&[Seat]>),
    seats: &[(Seat, Typed)],
) -> Result<Response, Error> {
    let lines = seats.iter().map(|(seat, typed)| {
        let screen = &seat.screen;
        let key = screen.key.to_string();
        let saved = theirs.and_then(|all| all.iter().find(|other| other.screen.key == screen.key));
        let theirs = saved.map_or_else(String::new, |saved| difference(saved, typed));
        Line {
            part: screen.part,
            title: screen.title.clone(),
            hidden: typed.hidden,
            suggested: typed.notes.trim() == screen.notes.trim() && !screen.notes.is_empty(),
            notes_are_wrong: Notes::typed(&typed.notes, &screen.notes).is_err(),
            notes: typed.notes.clone(),
            error: wrong.get(&key).cloned().unwrap_or_default(),
            theirs,
            is_stop: screen.purpose.is_question(),
            is_hindsight: key == "situation",
            key,
        }
    });
    let page = DeckPage {
        frame: visit.frame(Place::Cases),
        code: case.code.to_string(),
        title: case.head.title.to_string(),
        path: deck_path(case.code),
        present: present_path(case.code),
        base: fingerprint(&deck.given).as_str().to_owned(),
        stale: status == StatusCode::CONFLICT,
        lines: lines.collect(),
        stops: seats.iter().filter(|(seat, _)| seat.screen.purpose.is_question()).count(),
        shown: seats.iter().filter(|(_, typed)| !typed.hidden).count(),
    };
    page_with(status, &page)
}

/// What somebody else saved for a screen, where it is not what was typed.
fn difference(saved: &Seat, typed: &Typed) -> String {
    let mut parts = Vec::new();
    if saved.hidden != typed.hidden {
        parts.push(if saved.hidden { "Hidden.".to_owned() } else { "Shown.".to_owned() });
    }
    if saved.notes().trim() != typed.notes.replace("\r\n", "\n").trim() {
        parts.push(format!("Notes: {}", if saved.notes().is_empty() { "none" } else { saved.notes() }));
    }
    parts.join(" ")
}

fn as_saved(seats: &[Seat]) -> Vec<(Seat, Typed)> {
    seats
        .iter()
        .map(|seat| (seat.clone(), Typed { hidden: seat.hidden, notes: seat.notes().to_owned() }))
        .collect()
}

pub(super) async fn show_deck(
    State(app): State<App>,
    visit: Visit,
    Path(code): Path<String>,
) -> Result<Response, Error> {
    let mut conn = app.database.read().await?;
    let case = find(&mut conn, &visit, &code).await?;
    let deck = gather(&app, &mut conn, &case).await?;
    respond(&visit, &case, &deck, (StatusCode::OK, &Wrong::new(), None), &as_saved(&deck.seats))
}

/// The screens in the order of the form, with what was typed; a screen that the form does not have,
/// since the record changed meanwhile, keeps its place and what it had.
fn as_typed(deck: &Gathered, values: &Values) -> Vec<(Seat, Typed)> {
    let sent: Vec<&str> = values.all("screen").collect();
    let place = |seat: &Seat| sent.iter().position(|key| *key == seat.screen.key.as_str());
    let mut known: Vec<&Seat> = deck.seats.iter().filter(|seat| place(seat).is_some()).collect();
    known.sort_by_key(|seat| place(seat));
    let mut known = known.into_iter();
    deck.seats
        .iter()
        .filter_map(|seat| if place(seat).is_some() { known.next() } else { Some(seat) })
        .map(|seat| {
            let key = seat.screen.key.as_str();
            let typed = if place(seat).is_some() {
                Typed {
                    hidden: values.has("hidden", key),
                    notes: values.get(&format!("notes-{key}")).to_owned(),
                }
            } else {
                Typed { hidden: seat.hidden, notes: seat.notes().to_owned() }
            };
            (seat.clone(), typed)
        })
        .collect()
}

/// Moves a screen by one place, as the button says that was pressed. Says which it moved.
fn move_one(seats: &mut [(Seat, Typed)], button: &str) -> Option<String> {
    let (way, key) = button.split_once(' ')?;
    let at = seats.iter().position(|(seat, _)| seat.screen.key.as_str() == key)?;
    let to = match way {
        "up" => at.checked_sub(1)?,
        "down" if at + 1 < seats.len() => at + 1,
        _ => return None,
    };
    seats.swap(at, to);
    Some(key.to_owned())
}

pub(super) async fn save_deck(
    State(app): State<App>,
    visit: Visit,
    Path(code): Path<String>,
    values: Values,
) -> Result<Response, Error> {
    let mut tx = app.database.write().await?;
    let case = find(&mut tx, &visit, &code).await?;
    let deck = gather(&app, &mut tx, &case).await?;
    let path = deck_path(case.code);
    let mut seats = as_typed(&deck, &values);
    if !fingerprint(&deck.given).matches(values.get("base")) {
        drop(tx);
        let stale = (StatusCode::CONFLICT, &Wrong::new(), Some(deck.seats.as_slice()));
        return respond(&visit, &case, &deck, stale, &seats);
    }
    let mut wrong = Wrong::new();
    let moved = move_one(&mut seats, values.get("move"));
    let order: Vec<Seat> = seats.iter().map(|(seat, _)| seat.clone()).collect();
    if let Err(error) = check(&order) {
        // The sentence stands where the button was pressed; what was typed stays, the move does not.
        let at = moved.clone().unwrap_or_else(|| error.key.to_string());
        wrong.insert(at, error.to_string());
        seats = as_typed(&deck, &values);
    }
    let mut given = Vec::new();
    for (position, (seat, typed)) in (0_u32..).zip(&seats) {
        match Notes::typed(&typed.notes, &seat.screen.notes) {
            Ok(notes) => given.push(Arranged {
                screen: seat.screen.key.clone(),
                position: Some(position),
                hidden: typed.hidden,
                notes,
            }),
            Err(error) => {
                wrong.insert(seat.screen.key.to_string(), error.to_string());
            }
        }
    }
    if !wrong.is_empty() {
        drop(tx);
        return respond(&visit, &case, &deck, (StatusCode::UNPROCESSABLE_ENTITY, &wrong, None), &seats);
    }
    store::save(&mut tx, case.id, &given).await?;
    if values.ticked("reset") {
        store::forget_order(&mut tx, case.id).await?;
        tx.commit().await?;
        return Ok(lead_to(
            &path,
            "The screens stand in the order of the record again, all of them shown. Notes are kept.",
            None,
        ));
    }
    tx.commit().await?;
    let to = moved.map_or_else(|| path.clone(), |key| format!("{path}#line-{key}"));
    Ok(lead_to(&to, &format!("Saved {}.", app.clock()), None))
}
