//! Small conferences for the tests of this folder.

use crate::case::{CaseCode, Stage};
use crate::conference::{AgendaCase, CasePlan, Conference, Minutes, Plan};

/// A conference of 30 June 2026 with cases that are ready, in boxes of so many minutes.
pub fn conference(length: i64, carried: Option<i64>, boxes: &[i64]) -> Conference {
    let minutes = |number: i64| Minutes::try_from(number).unwrap();
    let case = |(number, time_box): (i64, &i64)| AgendaCase {
        id: number,
        code: CaseCode::new(2026, number).unwrap(),
        title: format!("Case {number}").parse().unwrap(),
        stage: Stage::Ready,
        recorded_by: None,
        held: false,
        plan: CasePlan { time_box: minutes(*time_box), presenter: None, discussant: None },
    };
    Conference {
        id: 1,
        plan: Plan {
            held_on: "2026-06-30".parse().unwrap(),
            title: "Complication conference".parse().unwrap(),
            length: minutes(length),
            carried: carried.map(minutes),
            moderator: None,
        },
        ended_at: None,
        cases: (1..).zip(boxes).map(case).collect(),
    }
}
