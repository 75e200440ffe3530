//! What a conference lacks before it can be held.

use super::{Conference, Fit};
use crate::case::Stage;

/// What is missing before a conference can be held, each as a noun phrase; empty when it is ready: it
/// has a case, its boxes fit, its moderator and presenters are named by role, and its cases are ready.
#[must_use]
pub fn to_hold(conference: &Conference) -> Vec<String> {
    let mut missing = Vec::new();
    if conference.cases.is_empty() {
        missing.push("a case on the agenda".to_owned());
    }
    missing.extend(Fit::of(conference).problem());
    if conference.plan.moderator.is_none() {
        missing.push("a moderator’s role".to_owned());
    }
    for case in &conference.cases {
        if case.plan.presenter.is_none() {
            missing.push(format!("a presenter’s role for {}", case.code));
        }
    }
    for case in conference.cases.iter().filter(|case| !is_ready(case.stage)) {
        missing.push(format!("{}, which is {}", case.code, case.stage.label().to_lowercase()));
    }
    missing
}

/// Whether a case of this stage can be shown.
const fn is_ready(stage: Stage) -> bool {
    match stage {
        Stage::Recorded | Stage::InPreparation => false,
        Stage::Ready | Stage::Presented | Stage::Closed => true,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::conference::worth::samples::conference;

    #[test]
    fn a_conference_is_ready_when_it_fits_and_roles_and_cases_are_there() {
        let mut planned = conference(60, Some(10), &[25, 25]);
        assert_eq!(
            to_hold(&planned),
            ["a moderator’s role", "a presenter’s role for 2026-001", "a presenter’s role for 2026-002"]
        );
        planned.plan.moderator = Some("head of the laboratory".parse().unwrap());
        for case in &mut planned.cases {
            case.plan.presenter = Some("fellow on call".parse().unwrap());
        }
        assert_eq!(to_hold(&planned), Vec::<String>::new());
        planned.plan.carried = Some("11".parse().unwrap());
        assert_eq!(to_hold(&planned), ["time: its boxes hold 1 minute too much"]);
        planned.plan.carried = None;
        planned.cases[1].stage = Stage::InPreparation;
        assert_eq!(to_hold(&planned), ["2026-002, which is in preparation"]);
        planned.cases.clear();
        assert_eq!(to_hold(&planned), ["a case on the agenda"]);
    }
}
