//! Laws of the record as facts.

use proptest::prelude::*;

use super::*;
use crate::case::consistency::contradictions;
use crate::case::{Event, EventKind, Segment};
use crate::quantity::TimiFlow;

/// An event by its minute, its kind, its segment and the flow after it.
type Made = (i64, usize, usize, Option<u8>);

/// Few times, so that many events share one.
fn any_event() -> impl Strategy<Value = Made> {
    (0_i64..5, 0..EventKind::ALL.len(), 0..Segment::ALL.len(), prop::option::of(0_u8..4))
}

fn case_of(events: &[(usize, Made)]) -> StoredCase {
    let mut case = stored("[[lesions]]\nsegment = \"lad-mid\"\n").to_case();
    for (name, (minute, kind, segment, flow)) in events {
        let at = Offset::from_seconds(minute * 60).unwrap();
        let key = format!("e{name}").parse().unwrap();
        case.events.push(Event {
            segment: Some(Segment::ALL[*segment]),
            flow: flow.and_then(|grade| TimiFlow::try_from(i64::from(grade)).ok()),
            ..Event::new(key, at, EventKind::ALL[*kind])
        });
    }
    case.events.sort_by_key(|event| event.at);
    StoredCase::of_file(case, CaseCode::new(2025, 1).unwrap())
}

/// What the definitions and the flow of the vessels come to, without where it is recorded.
fn results(case: &StoredCase) -> Vec<String> {
    let reading = Reading::of(&case.events, &case.complications);
    let facts = facts(case, &reading, &Vocabulary::default());
    let totals = reading.vessels().iter().map(|flow| format!("{} {}", flow.vessel, flow.total()));
    let findings = assess_all(&facts, &Choices::default());
    totals.chain(findings.into_iter().map(|finding| finding.sentence)).collect()
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 96, ..ProptestConfig::default() })]

    #[test]
    fn the_order_in_which_events_of_one_time_were_typed_changes_no_result(
        events in prop::collection::vec(any_event(), 0..9).prop_flat_map(|events| {
            let named: Vec<(usize, Made)> = events.into_iter().enumerate().collect();
            (Just(named.clone()), Just(named).prop_shuffle())
        }),
    ) {
        let (typed, shuffled) = events;
        let case = case_of(&typed);
        let reading = Reading::of(&case.events, &case.complications);
        // Two grades in one vessel at one time contradict each other; that is named instead.
        let clash = contradictions(&case, &reading).iter().any(|one| one.sentence.contains("at the same time"));
        prop_assume!(!clash);
        prop_assert_eq!(results(&case), results(&case_of(&shuffled)));
    }

    #[test]
    fn events_that_tell_no_flow_give_no_grade(events in prop::collection::vec(any_event(), 0..9)) {
        let bare: Vec<(usize, Made)> =
            events.into_iter().map(|(at, kind, segment, _)| (at, kind, segment, None)).enumerate().collect();
        let case = case_of(&bare);
        let reading = Reading::of(&case.events, &case.complications);
        let facts = facts(&case, &reading, &Vocabulary::default());
        for finding in assess_all(&facts, &Choices::default()) {
            prop_assert!(finding.is_undecided(), "{}", finding.sentence);
        }
    }
}
