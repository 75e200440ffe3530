//! The moments of a complication: when it began, was recognised, was first responded to and was
//! controlled, and the time between them.

use super::interval::{Elapsed, Moment};

/// Why the moments of a complication are not a span.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum SpanError {
    /// Recognised before it began.
    #[error("It was recognised before it began. Check the order of the two events.")]
    RecognisedBeforeBegan,
    /// First responded to before it began.
    #[error("The first response came before it began. Check the order of the two events.")]
    RespondedBeforeBegan,
    /// Controlled before it began.
    #[error("It was controlled before it began. Check the order of the two events.")]
    ControlledBeforeBegan,
}

/// When a complication began, was recognised, was first responded to and was controlled, as far as
/// that is known.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Span {
    began: Option<Moment>,
    recognised: Option<Moment>,
    responded: Option<Moment>,
    controlled: Option<Moment>,
}

impl Span {
    /// A span whose beginning, when known, comes first. The response is the first thing that was
    /// done about the harm.
    ///
    /// The other three may stand in any order: a hand may answer a harm before anybody names it,
    /// and a harm can end before anybody sees that it was there.
    ///
    /// # Errors
    /// When one of them lies before the beginning: it is refused, never turned round.
    pub fn new(
        began: Option<Moment>,
        recognised: Option<Moment>,
        responded: Option<Moment>,
        controlled: Option<Moment>,
    ) -> Result<Self, SpanError> {
        let before_it_began = |moment: Option<Moment>| {
            began.zip(moment).is_some_and(|(began, moment)| moment.place() < began.place())
        };
        if before_it_began(recognised) {
            Err(SpanError::RecognisedBeforeBegan)
        } else if before_it_began(responded) {
            Err(SpanError::RespondedBeforeBegan)
        } else if before_it_began(controlled) {
            Err(SpanError::ControlledBeforeBegan)
        } else {
            Ok(Self { began, recognised, responded, controlled })
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

    /// When the first thing was done about it.
    #[must_use]
    pub const fn responded(&self) -> Option<Moment> {
        self.responded
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

    /// From began to the first response.
    #[must_use]
    pub fn to_response(&self) -> Option<Elapsed> {
        Elapsed::between(self.began?, self.responded?)
    }

    /// From began to controlled.
    #[must_use]
    pub fn to_control(&self) -> Option<Elapsed> {
        Elapsed::between(self.began?, self.controlled?)
    }

    /// From recognised to the first response; `None` also when the response came first.
    #[must_use]
    pub fn recognition_to_response(&self) -> Option<Elapsed> {
        Elapsed::between(self.recognised?, self.responded?)
    }

    /// From recognised to controlled; `None` also when control came first.
    #[must_use]
    pub fn recognition_to_control(&self) -> Option<Elapsed> {
        Elapsed::between(self.recognised?, self.controlled?)
    }
}

#[cfg(test)]
mod tests;
