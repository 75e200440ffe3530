//! Addresses of conferences, of what their pages lead to, and of nothing else: each in one place.

use crate::conference::AgendaCase;
use crate::conference::worth::{Candidate, Reason};
use crate::rates::Period;
use crate::vocabulary::MechanismSlug;
use crate::web::rates::subject_path;

/// The address of a conference.
pub(super) fn path_of(id: i64) -> String {
    format!("/conferences/{id}")
}

/// The page on which a conference is held.
pub(super) fn meeting_path(id: i64) -> String {
    format!("{}/meeting", path_of(id))
}

/// Where a case of an agenda is presented, with its time box for the presenter's clock.
pub(super) fn present_path(case: &AgendaCase) -> String {
    format!("{}?minutes={}", crate::web::present::present_path(case.code), case.plan.time_box)
}

/// The list of cases with a mechanism, of some months or in some stages.
fn cases_with(mechanism: &MechanismSlug, months: Option<Period>, stages: &[&str]) -> String {
    let path = String::from("/cases?");
    let start = path.len();
    let mut query = form_urlencoded::Serializer::for_suffix(path, start);
    query.append_pair("mechanism", mechanism.as_str());
    if let Some(months) = months {
        query.append_pair("from", &months.from().to_string()).append_pair("to", &months.to().to_string());
    }
    for stage in stages {
        query.append_pair("stage", stage);
    }
    query.finish()
}

/// What a reason rests on: where it leads, and what the link says.
pub(super) fn basis(case: &Candidate, reason: &Reason) -> (String, &'static str) {
    let path = format!("/cases/{}", case.code);
    match reason {
        Reason::Death | Reason::SevereHarm => (format!("{path}#outcome"), "How it ended"),
        Reason::Again { mechanism, months, .. } => (cases_with(mechanism, Some(*months), &[]), "These cases"),
        Reason::Signal { mechanism, .. } => {
            (subject_path(&crate::rates::Subject::Mechanism(mechanism.clone())), "The rates")
        }
        Reason::OpenQuestion | Reason::JudgementsDiffer | Reason::Waits { .. } => (path, "The case"),
        Reason::NotShown { mechanism, last: Some(_), .. } => {
            (cases_with(mechanism, None, &["presented", "closed"]), "The cases that were shown")
        }
        Reason::NotShown { mechanism, .. } => (cases_with(mechanism, None, &[]), "All its cases"),
    }
}
