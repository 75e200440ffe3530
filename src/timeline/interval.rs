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
    not_before: Option<Offset>,
    not_after: Option<Offset>,
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
            not_before: None,
            not_after: None,
        })
        .collect();

    // The latest of all earliest times so far, and, walking back, the earliest of all latest ones.
    let mut reached: Option<Offset> = None;
    for (place, &index) in order.iter().enumerate() {
        let moment = &mut found[index];
        moment.place = place;
        if let Some((earliest, _)) = moment.bounds {
            reached = Some(reached.map_or(earliest, |r| r.max(earliest)));
        }
        moment.not_before = reached;
    }
    let mut reached: Option<Offset> = None;
    for &index in order.iter().rev() {
        let moment = &mut found[index];
        if let Some((_, latest)) = moment.bounds {
            reached = Some(reached.map_or(latest, |r| r.min(latest)));
        }
        moment.not_after = reached;
        if !moment.stated {
            moment.bounds = moment.not_before.zip(reached);
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

    /// The earliest that the moment may have been by its own time and by those of all events before
    /// it; `None` when none of these has a time. Never earlier than that of a moment before it.
    #[must_use]
    pub const fn not_before(self) -> Option<Offset> {
        self.not_before
    }

    /// The latest that the moment may have been by its own time and by those of all events after
    /// it; `None` when none of these has a time. Never later than that of a moment after it.
    #[must_use]
    pub const fn not_after(self) -> Option<Offset> {
        self.not_after
    }

    /// An exact moment that is no event of the case, such as its end. It comes after all events.
    pub(super) const fn end(at: Offset) -> Self {
        Self {
            at,
            bounds: Some((at, at)),
            stated: true,
            place: usize::MAX,
            not_before: Some(at),
            not_after: Some(at),
        }
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

    /// The sum of stretches that follow each other within a whole, which is as long at the most.
    /// `None` when one of them is unknown.
    pub(super) fn sum_within(
        pieces: impl IntoIterator<Item = Option<Self>>,
        whole: Option<Self>,
    ) -> Option<Self> {
        let sum = pieces.into_iter().try_fold(Self::NONE, |sum, piece| Some(sum.plus(piece?)))?;
        // Where two stretches meet, one may have been longer only if the other was shorter.
        let longest = whole.map_or(sum.longest, |whole| whole.longest.min(sum.longest));
        Some(Self { longest, ..sum })
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

#[cfg(test)]
mod tests;
