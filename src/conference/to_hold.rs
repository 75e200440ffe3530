//! What is to be done before a conference can be held.

use super::{AgendaCase, Conference, Fit};
use crate::case::reading::words::join;

/// What is to be done before a conference can be held, each as a request; empty when it is ready: it has
/// a case, its boxes fit, its moderator and presenters are named by role, and its cases are ready.
#[must_use]
pub fn to_hold(conference: &Conference) -> Vec<String> {
    let codes = |is: &dyn Fn(&&AgendaCase) -> bool| -> Vec<String> {
        conference.cases.iter().filter(is).map(|case| case.code.to_string()).collect()
    };
    let mut open = Vec::new();
    if conference.cases.is_empty() {
        open.push("put a case on the agenda".to_owned());
    }
    open.extend(Fit::of(conference).to_do());
    if conference.plan.moderator.is_none() {
        open.push("name the moderator’s role".to_owned());
    }
    let without = codes(&|case| case.plan.presenter.is_none());
    if !without.is_empty() {
        open.push(format!("name the presenter’s role for {}", join(&without)));
    }
    let not_ready = codes(&|case| !case.is_ready());
    if !not_ready.is_empty() {
        open.push(format!("make {} ready", join(&not_ready)));
    }
    open
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::case::Stage;
    use crate::conference::samples::conference;

    #[test]
    fn a_conference_is_ready_when_it_fits_and_roles_and_cases_are_there() {
        let mut planned = conference(60, Some(10), &[25, 25]);
        assert_eq!(
            to_hold(&planned),
            ["name the moderator’s role", "name the presenter’s role for 2026-001 and 2026-002"]
        );
        planned.plan.moderator = Some("head of the laboratory".parse().unwrap());
        for case in &mut planned.cases {
            case.plan.presenter = Some("fellow on call".parse().unwrap());
        }
        assert_eq!(to_hold(&planned), Vec::<String>::new());
        planned.plan.carried = Some("11".parse().unwrap());
        assert_eq!(to_hold(&planned), ["take 1 minute out of its boxes"]);
        planned.plan.carried = None;
        planned.cases[1].stage = Stage::InPreparation;
        assert_eq!(to_hold(&planned), ["make 2026-002 ready"]);
        planned.cases.clear();
        assert_eq!(to_hold(&planned), ["put a case on the agenda"]);
    }
}
