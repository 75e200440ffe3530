//! The order, visibility and notes that a presenter gave to a deck, and its segments: what may be
//! sent together, each up to the next stop point.

use std::collections::BTreeMap;

use super::{Purpose, Screen, ScreenKey};
use crate::case::{Key, Paragraph, Text};

/// What a presenter gave to a screen.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
pub struct Arranged {
    /// The screen.
    #[serde(serialize_with = "as_text")]
    pub screen: ScreenKey,
    /// Its place, from 0; none where it stands where the record puts it.
    pub position: Option<u32>,
    /// Whether it is left out.
    pub hidden: bool,
    /// Notes in place of those that the record suggests; the empty text for none.
    pub notes: Notes,
}

/// Notes as they are kept.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
pub enum Notes {
    /// What the record suggests, whatever it will suggest.
    Suggested,
    /// None.
    None,
    /// The presenter's own.
    Own(Paragraph),
}

impl Notes {
    /// What was typed: nothing, what is suggested, or something else.
    ///
    /// # Errors
    /// When it is too long, or holds what cannot be kept.
    pub fn typed(text: &str, suggested: &str) -> Result<Self, crate::case::TextError> {
        let text = text.replace("\r\n", "\n");
        let text = text.trim();
        if text == suggested.trim() {
            Ok(Self::Suggested)
        } else if text.is_empty() {
            Ok(Self::None)
        } else {
            Ok(Self::Own(text.parse::<Text<2_000>>()?))
        }
    }

    /// The notes, where these are suggested.
    #[must_use]
    pub fn or<'n>(&'n self, suggested: &'n str) -> &'n str {
        match self {
            Self::Suggested => suggested,
            Self::None => "",
            Self::Own(text) => text.as_str(),
        }
    }
}

fn as_text<S: serde::Serializer>(key: &ScreenKey, serializer: S) -> Result<S::Ok, S::Error> {
    serializer.serialize_str(key.as_str())
}

/// A screen in its place, with what the presenter gave to it.
#[derive(Debug, Clone, PartialEq)]
pub struct Seat {
    /// The screen.
    pub screen: Screen,
    /// Whether it is left out.
    pub hidden: bool,
    /// Its notes.
    pub notes: Notes,
}

impl Seat {
    /// The notes that the presenter sees.
    #[must_use]
    pub fn notes(&self) -> &str {
        self.notes.or(&self.screen.notes)
    }
}

/// Why screens cannot stand in an order.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("“{screen}” tells what came after the question “{question}”, so it cannot stand before it.")]
pub struct OrderError {
    /// The title of the screen that would come too early.
    pub screen: String,
    /// The title of the question.
    pub question: String,
    /// The screen's key.
    pub key: ScreenKey,
}

/// The deck in the order that a presenter gave. A screen that is new since then follows the one
/// that it follows by itself; one that would now tell too much waits for its stop point.
#[must_use]
pub fn arrange(derived: Vec<Screen>, given: &[Arranged]) -> Vec<Seat> {
    let by_key: BTreeMap<&ScreenKey, &Arranged> = given.iter().map(|one| (&one.screen, one)).collect();
    let place = |key: &ScreenKey| by_key.get(key).and_then(|one| one.position);
    let by_itself: Vec<ScreenKey> = derived.iter().map(|screen| screen.key.clone()).collect();
    let mut order: Vec<ScreenKey> = by_itself.iter().filter(|key| place(key).is_some()).cloned().collect();
    order.sort_by_key(|key| place(key));
    for (at, key) in by_itself.iter().enumerate().filter(|(_, key)| place(key).is_none()) {
        let before = by_itself[..at].iter().rev().find_map(|before| order.iter().position(|k| k == before));
        order.insert(before.map_or(0, |place| place + 1), key.clone());
    }
    let mut screens: BTreeMap<ScreenKey, Screen> =
        derived.into_iter().map(|screen| (screen.key.clone(), screen)).collect();
    let seats = order.into_iter().filter_map(|key| {
        let given = by_key.get(&key);
        let screen = screens.remove(&key)?;
        let hidden = given.is_some_and(|given| given.hidden);
        let notes = given.map_or(Notes::Suggested, |given| given.notes.clone());
        Some(Seat { screen, hidden, notes })
    });
    in_turn(seats.collect())
}

/// Lets each screen wait until the stop points that it lies behind have been asked.
fn in_turn(seats: Vec<Seat>) -> Vec<Seat> {
    let mut asked = 0;
    let mut waiting: Vec<Seat> = Vec::new();
    let mut ordered: Vec<Seat> = Vec::new();
    for seat in seats {
        waiting.push(seat);
        while let Some(next) = waiting.iter().position(|seat| seat.screen.after <= asked) {
            let seat = waiting.remove(next);
            asked += usize::from(seat.screen.purpose.is_question());
            ordered.push(seat);
        }
    }
    ordered.extend(waiting);
    ordered
}

/// Whether screens can stand in this order.
///
/// # Errors
/// The first screen that would tell what came after a question before it is asked.
pub fn check(seats: &[Seat]) -> Result<(), OrderError> {
    let mut asked = 0;
    for (at, seat) in seats.iter().enumerate() {
        if seat.screen.after > asked {
            let later = seats[at..].iter().find(|later| later.screen.purpose.is_question());
            return Err(OrderError {
                screen: seat.screen.title.clone(),
                question: later.map_or_else(String::new, |later| later.screen.title.clone()),
                key: seat.screen.key.clone(),
            });
        }
        asked += usize::from(seat.screen.purpose.is_question());
    }
    Ok(())
}

/// The screens that are shown, by stop point: the first segment ends with the first question and
/// its options, the next with the second, and so on. Nothing in a segment tells what came after the
/// question with which it ends.
#[must_use]
pub fn segments(seats: &[Seat]) -> Vec<Vec<&Seat>> {
    let mut segments: Vec<Vec<&Seat>> = vec![Vec::new()];
    let mut level = 0;
    // A question that is left out, and not asked again after its reasons, stops nobody.
    let is_asked = |decision: &Key| {
        seats.iter().filter(|seat| !seat.hidden).any(|seat| match &seat.screen.purpose {
            Purpose::Question(stop) | Purpose::Answer(stop) => stop.decision == *decision,
            _ => false,
        })
    };
    let stops: Vec<bool> = seats
        .iter()
        .filter_map(|seat| match &seat.screen.purpose {
            Purpose::Question(stop) => Some(is_asked(&stop.decision)),
            _ => None,
        })
        .collect();
    let stops_before = |after: usize| stops.iter().take(after).filter(|asked| **asked).count();
    for seat in seats.iter().filter(|seat| !seat.hidden) {
        let needed = stops_before(seat.screen.after);
        if needed > level {
            level = needed;
            segments.push(Vec::new());
        }
        if let Some(last) = segments.last_mut() {
            last.push(seat);
        }
    }
    segments
}
