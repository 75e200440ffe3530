//! Moments that may be uncertain, and the time that passed between two of them.

use std::fmt;

use crate::quantity::{Certainty, DurationWords, Offset};

/// A moment of a case, with what is known about when it was.
///
/// Made by [`moments`] alone, because only the whole list of a case's events says where a moment of
/// which nothing but the order is known may lie.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Moment {
    at: Offset,
    bounds: Option<(Offset, Offset)>,
    stated: bool,
    place: usize,
}

/// The moments of a case's events, in the order given.
///
/// An exact or estimated time has the bounds that its certainty gives. A time of which only the
/// order is known lies after the earliest that every event before it may be and before the latest
/// that every event after it may be; without a timed event on either side it has no bounds.
///
/// Events are ordered by offset; among equal offsets the one given first comes first.
#[must_use]
pub fn moments(times: &[(Offset, Certainty)]) -> Vec<Moment> {
    let mut order: Vec<usize> = (0..times.len()).collect();
    order.sort_by_key(|&index| times[index].0);

    let mut found: Vec<Moment> = times
        .iter()
        .map(|&(at, certainty)| Moment {
            at,
            bounds: certainty.bounds(at),
            stated: certainty != Certainty::OrderOnly,
            place: 0,
        })
        .collect();

    // The latest of all earliest times so far, and, walking back, the earliest of all latest ones.
    let mut not_before = vec![None; times.len()];
    let mut reached: Option<Offset> = None;
    for (place, &index) in order.iter().enumerate() {
        found[index].place = place;
        not_before[index] = reached;
        if let (true, Some((earliest, _))) = (found[index].stated, found[index].bounds) {
            reached = Some(reached.map_or(earliest, |r| r.max(earliest)));
        }
    }
    let mut reached: Option<Offset> = None;
    for &index in order.iter().rev() {
        if let (true, Some((_, latest))) = (found[index].stated, found[index].bounds) {
            reached = Some(reached.map_or(latest, |r| r.min(latest)));
        } else {
            found[index].bounds = not_before[index].zip(reached);
        }
    }
    found
}

impl Moment {
    /// The offset as recorded; for a moment known by its order alone, the place it was put.
    #[must_use]
    pub const fn at(self) -> Offset {
        self.at
    }

    /// The earliest and the latest that the moment may have been, when that is known.
    #[must_use]
    pub const fn bounds(self) -> Option<(Offset, Offset)> {
        self.bounds
    }

    /// Whether somebody stated a time, exact or estimated; otherwise only the order is known.
    #[must_use]
    pub const fn is_stated(self) -> bool {
        self.stated
    }

    /// The place of the moment among the case's events, from 0.
    #[must_use]
    pub const fn place(self) -> usize {
        self.place
    }

    /// An exact moment that is no event of the case, such as its end. It comes after all events.
    pub(super) const fn end(at: Offset) -> Self {
        Self { at, bounds: Some((at, at)), stated: true, place: usize::MAX }
    }
}

/// The time from one moment to a later one, in whole seconds.
///
/// Never negative. `shortest ≤ stated ≤ longest`, or nothing stated when one end is known by its
/// order alone.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Elapsed {
    stated: Option<i64>,
    shortest: i64,
    longest: i64,
}

impl Elapsed {
    /// No time at all.
    pub const NONE: Self = Self { stated: Some(0), shortest: 0, longest: 0 };

    /// The time between two moments; `None` when one of them could be at any time, or when the
    /// second is before the first.
    ///
    /// The order of the two is taken as known, so that the shortest is never below nothing.
    #[must_use]
    pub fn between(from: Moment, to: Moment) -> Option<Self> {
        if to.place < from.place {
            return None;
        }
        if to.place == from.place {
            return Some(Self::NONE);
        }
        let ((from_earliest, from_latest), (to_earliest, to_latest)) = (from.bounds?, to.bounds?);
        let span = |start: Offset, end: Offset| (end.seconds() - start.seconds()).max(0);
        Some(Self {
            stated: (from.stated && to.stated).then(|| span(from.at, to.at)),
            shortest: span(from_latest, to_earliest),
            longest: span(from_earliest, to_latest),
        })
    }

    /// Seconds between the two times as stated; `None` when only the bounds are known.
    #[must_use]
    pub const fn stated(self) -> Option<i64> {
        self.stated
    }

    /// The fewest seconds that it can have been.
    #[must_use]
    pub const fn shortest(self) -> i64 {
        self.shortest
    }

    /// The most seconds that it can have been.
    #[must_use]
    pub const fn longest(self) -> i64 {
        self.longest
    }

    /// Whether both ends are exact.
    #[must_use]
    pub const fn is_certain(self) -> bool {
        self.stated.is_some() && self.shortest == self.longest
    }

    /// Both times together.
    #[must_use]
    pub fn plus(self, other: Self) -> Self {
        Self {
            stated: self.stated.zip(other.stated).map(|(a, b)| a + b),
            shortest: self.shortest + other.shortest,
            longest: self.longest + other.longest,
        }
    }
}

impl fmt::Display for Elapsed {
    /// `38 min`; `38 min (34 to 42)`; `between 0 and 20 min`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (short, long) = (DurationWords::of(self.shortest), DurationWords::of(self.longest));
        // A unit that both ends share is written once, and nothing needs no unit.
        let first = if self.shortest == 0 {
            "0".to_owned()
        } else if short.unit == long.unit {
            short.number.clone()
        } else {
            short.to_string()
        };
        match self.stated {
            None if self.shortest == self.longest => write!(f, "{long}"),
            None => write!(f, "between {first} and {long}"),
            Some(seconds) => {
                let stated = DurationWords::of(seconds);
                if short == long {
                    write!(f, "{stated}")
                } else if stated.unit == long.unit && !long.unit.is_empty() {
                    write!(f, "{stated} ({first} to {})", long.number)
                } else {
                    write!(f, "{stated} ({first} to {long})")
                }
            }
        }
    }
}

/// Why three moments are not a span.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum SpanError {
    /// Recognised before it began.
    #[error("It was recognised before it began. Check the order of the two events.")]
    RecognisedBeforeBegan,
    /// Controlled before it began.
    #[error("It was controlled before it began. Check the order of the two events.")]
    ControlledBeforeBegan,
}

/// When a complication began, was recognised and was controlled, as far as that is known.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Span {
    began: Option<Moment>,
    recognised: Option<Moment>,
    controlled: Option<Moment>,
}

impl Span {
    /// A span whose beginning, when known, comes first.
    ///
    /// Control may come before recognition: a harm can end before anybody sees that it was there.
    ///
    /// # Errors
    /// When two of them are out of order: an end before its start is refused, never turned round.
    pub fn new(
        began: Option<Moment>,
        recognised: Option<Moment>,
        controlled: Option<Moment>,
    ) -> Result<Self, SpanError> {
        let reversed = |first: Option<Moment>, second: Option<Moment>| {
            first.zip(second).is_some_and(|(a, b)| b.place < a.place)
        };
        if reversed(began, recognised) {
            Err(SpanError::RecognisedBeforeBegan)
        } else if reversed(began, controlled) {
            Err(SpanError::ControlledBeforeBegan)
        } else {
            Ok(Self { began, recognised, controlled })
        }
    }

    /// When it began.
    #[must_use]
    pub const fn began(&self) -> Option<Moment> {
        self.began
    }

    /// When it was recognised.
    #[must_use]
    pub const fn recognised(&self) -> Option<Moment> {
        self.recognised
    }

    /// When it was controlled.
    #[must_use]
    pub const fn controlled(&self) -> Option<Moment> {
        self.controlled
    }

    /// From began to recognised.
    #[must_use]
    pub fn to_recognition(&self) -> Option<Elapsed> {
        Elapsed::between(self.began?, self.recognised?)
    }

    /// From began to controlled.
    #[must_use]
    pub fn to_control(&self) -> Option<Elapsed> {
        Elapsed::between(self.began?, self.controlled?)
    }

    /// From recognised to controlled; `None` also when control came first.
    #[must_use]
    pub fn recognition_to_control(&self) -> Option<Elapsed> {
        Elapsed::between(self.recognised?, self.controlled?)
    }
}

#[cfg(test)]
mod tests;
