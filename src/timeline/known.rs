//! What was known by a moment of the case.
//!
//! - Events stand in their order ([`Moment::place`]). What stands before a moment or is that moment
//!   was known by it, what stands after it was not.
//! - A result exists when it returned, not when it was drawn. Its return is an offset and no event,
//!   so an uncertain moment may have been before or after it: then nobody can say.
//!
//! What was known stays known: a thing that was known by a moment was known by each later one. Less
//! certainty about times never makes an answer surer.

use super::interval::Moment;
use crate::quantity::Offset;

/// Whether something was known by then.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Known {
    /// It was.
    Yes,
    /// It was not yet.
    No,
    /// The times do not say.
    Unsure,
}

/// When a result was drawn and when it returned.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct ResultTimes {
    /// When the sample was drawn. Nothing is known of it before.
    pub drawn: Offset,
    /// When the result returned; `None` when that is not recorded.
    pub returned: Option<Offset>,
}

impl ResultTimes {
    /// The return, unless it lies before the sample was drawn: such a record tells nothing.
    fn credible_return(self) -> Option<Offset> {
        self.returned.filter(|&returned| returned >= self.drawn)
    }
}

impl Known {
    /// Whether an event was known by another: [`Known::Yes`] when it stands before it or is it,
    /// otherwise [`Known::No`]. Both are moments of the same case.
    #[must_use]
    pub fn event_by(event: Moment, moment: Moment) -> Self {
        if event.place() <= moment.place() { Self::Yes } else { Self::No }
    }

    /// Whether an event had happened at an offset: surely when even the latest that it may have been
    /// is not after it, surely not when even the earliest is.
    #[must_use]
    pub fn event_at(event: Moment, at: Offset) -> Self {
        if event.not_after().is_some_and(|latest| latest <= at) {
            Self::Yes
        } else if event.not_before().is_some_and(|earliest| earliest > at) {
            Self::No
        } else {
            Self::Unsure
        }
    }

    /// Whether a result was known by a moment: surely when it returned at or before the earliest
    /// that the moment may have been, surely not when it returned, or was drawn, after the latest.
    /// In between the times do not say, nor when its return is not recorded, or lies before the
    /// sample was drawn, or nothing bounds the moment on that side.
    #[must_use]
    pub fn result_by(result: ResultTimes, moment: Moment) -> Self {
        Self::result_within(result, moment.not_before(), moment.not_after())
    }

    /// Whether a result was known at an offset, as by an exact moment.
    #[must_use]
    pub fn result_at(result: ResultTimes, at: Offset) -> Self {
        Self::result_within(result, Some(at), Some(at))
    }

    fn result_within(result: ResultTimes, earliest: Option<Offset>, latest: Option<Offset>) -> Self {
        let returned = result.credible_return();
        let not_before = returned.unwrap_or(result.drawn);
        if latest.is_some_and(|latest| not_before > latest) {
            Self::No
        } else if returned.zip(earliest).is_some_and(|(returned, earliest)| returned <= earliest) {
            Self::Yes
        } else {
            Self::Unsure
        }
    }
}

#[cfg(test)]
mod tests;
