//! A subject followed over time as the charts follow it: as far back as cases are recorded and its
//! procedures counted, judged by the chart that suits.

use super::course::{Course, Every};
use super::judged::{Chosen, Judged, Rules};
use super::line::Subject;
use super::period::Period;
use super::table::Inputs;
use crate::vocabulary::{StratumSlug, Vocabulary};

/// Follows one subject through the months of a window, from counts that are at hand; `fixed` is the
/// baseline that somebody set. `None` when nothing is recorded up to the end of the window or the
/// tree has no such subject, its label when a month has more events than procedures.
#[must_use]
pub fn followed(
    vocabulary: &Vocabulary,
    inputs: &Inputs,
    fixed: Option<Period>,
    window: Period,
    subject: &Subject,
) -> Option<Result<(Course, Judged), String>> {
    let (stratum, label) = (subject.stratum(vocabulary)?, subject.label(vocabulary)?);
    let period = since_counted(inputs, stratum, window)?;
    let at_risk = &inputs.denominators;
    let course = Course::of(
        subject,
        (label.clone(), vocabulary.stratum_label(stratum)),
        (period, Every::Month),
        inputs.counts.subject(subject),
        |month| at_risk.get(stratum, month),
    );
    let Ok(course) = course else { return Some(Err(label)) };
    let judged = Judged::of(&course, Chosen::Suited, fixed, Rules::Runs);
    Some(Ok((course, judged)))
}

/// The months over which a stratum is followed: as far back in the window as cases are recorded and its
/// procedures counted, as on the page of a subject.
fn since_counted(inputs: &Inputs, stratum: &StratumSlug, window: Period) -> Option<Period> {
    let recorded = inputs.recorded_since?;
    let counted = window.months().find(|month| inputs.denominators.get(stratum, *month).is_some());
    let from = counted.map_or(recorded, |counted| counted.max(recorded)).max(window.from());
    Period::new(from, window.to()).ok()
}
