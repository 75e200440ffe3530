//! The patient and the two moments that laboratory values are counted from.

use super::set::facts;
use crate::clinical::answer::Answer;
use crate::clinical::quantities::{Age, Weight};
use crate::clinical::words::words_as_facts;
use crate::quantity::Offset;
use crate::quantity::words;

words!(
    /// The patient's sex, as the equations for kidney function use it.
    Sex, "a sex", {
        Female = "female", "female";
        Male = "male", "male";
    }
);

words_as_facts!(Sex);

facts!(
    /// Patient context that an equation needs.
    PatientFacts of Patient {
        /// Age in whole years. “90 or older” is not one: no equation takes it, so leave it out.
        age AGE: Option<Age> = "age in whole years";
        /// Sex, as the equations for kidney function use it.
        sex SEX: Option<Sex> = "sex";
        /// Body weight.
        weight WEIGHT: Option<Weight> = "weight";
    }
);

facts!(
    /// When the procedure ran.
    ProcedureFacts of Procedure {
        /// When the procedure began: the first access. A value drawn by then counts as before it.
        started STARTED: Option<Offset> = "start of the procedure";
        /// When the patient left the laboratory, or the last event there.
        ended ENDED: Option<Offset> = "end of the procedure";
    }
);

impl ProcedureFacts {
    /// Whether a moment lies before the procedure, or at its very start.
    #[must_use]
    pub fn is_before(&self, moment: Offset) -> Answer {
        match (self.started, self.ended) {
            (Some(started), _) => Answer::of(moment <= started),
            (None, Some(ended)) if moment > ended => Answer::No,
            (None, _) => Answer::Unknown,
        }
    }

    /// Whether a moment lies at most so many hours after the procedure.
    ///
    /// Counted from the end. Where that is not recorded, a moment within so many hours of the start
    /// is within them of the end as well, and a later one is not known.
    #[must_use]
    pub fn is_within_hours(&self, moment: Offset, hours: i64) -> Answer {
        let reach = hours * 3_600;
        match (self.started, self.ended) {
            (_, Some(ended)) => Answer::of(moment.seconds() - ended.seconds() <= reach),
            (Some(started), None) if moment.seconds() - started.seconds() <= reach => Answer::Yes,
            _ => Answer::Unknown,
        }
    }

    /// The moment that windows after the procedure count from.
    #[must_use]
    pub fn counted_from(&self) -> Option<Offset> {
        self.ended.or(self.started)
    }
}
