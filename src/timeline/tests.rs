//! What holds for the whole core, whatever the case.

use proptest::prelude::*;

use super::testing::{Time, any_offset, any_time, any_times, any_times_and_doubted, at};
use super::*;
use crate::quantity::{Certainty, Offset, TimiFlow};

/// What was recorded at an event.
type Recorded = (Time, Option<TimiFlow>, Option<i64>);

fn any_flow() -> impl Strategy<Value = TimiFlow> {
    prop::sample::select(TimiFlow::ALL.to_vec())
}

fn any_events() -> impl Strategy<Value = Vec<Recorded>> {
    let event = (any_time(), prop::option::of(any_flow()), prop::option::of(0_i64..400));
    prop::collection::vec(event, 1..20)
}

/// The case's moments in their order, and all that the core says of it.
fn all_of(events: &[Recorded], result: ResultTimes) -> impl PartialEq + std::fmt::Debug {
    let times: Vec<Time> = events.iter().map(|event| event.0).collect();
    let found = moments(&times);
    let sights = found.iter().zip(events);
    let sights = sights.filter_map(|(&moment, event)| Some(FlowSight { moment, flow: event.1? })).collect();
    let readings = found.iter().zip(events);
    let readings = readings.filter_map(|(&moment, event)| DoseReading::new(moment, event.2?).ok()).collect();
    let (flow, dose) = (FlowHistory::new(sights, at(60)), DoseHistory::new(readings));

    let mut ordered = found;
    ordered.sort_by_key(|moment| moment.place());
    let by = |moment: &Moment| (Known::result_by(result, *moment), dose.by(*moment));
    let span = |from: usize| {
        let moment = |step: usize| ordered.get(from + step).copied();
        Span::new(moment(0), moment(1), moment(3), moment(2)).map(|span| {
            (span.to_recognition(), span.to_response(), span.to_control(), span.recognition_to_response())
        })
    };
    (
        ordered.iter().map(by).collect::<Vec<_>>(),
        (0..ordered.len()).map(span).collect::<Vec<_>>(),
        (flow.steps(), flow.episodes(), flow.total(), flow.total_without_flow(), flow.total_reduced()),
        (dose.total(), dose.falls()),
        ordered.clone(),
    )
}

/// The same events in any other order, but that those of one offset keep theirs: the order in which
/// these are recorded says which of them came first.
fn with_another_order(events: Vec<Recorded>) -> impl Strategy<Value = (Vec<Recorded>, Vec<Recorded>)> {
    (Just(events.clone()), Just(events).prop_shuffle()).prop_map(|(events, mut shuffled)| {
        let mut offsets: Vec<Offset> = events.iter().map(|event| event.0.0).collect();
        offsets.sort_unstable();
        offsets.dedup();
        for offset in offsets {
            let mut same = events.iter().filter(|event| event.0.0 == offset);
            for event in shuffled.iter_mut().filter(|event| event.0.0 == offset) {
                event.clone_from(same.next().unwrap());
            }
        }
        (events, shuffled)
    })
}

/// An interval with less certainty is unknown, or holds the surer one.
fn holds(vague: Option<Elapsed>, sure: Option<Elapsed>) -> bool {
    match (vague, sure) {
        (None, _) => true,
        (Some(_), None) => false,
        (Some(vague), Some(sure)) => {
            vague.shortest() <= sure.shortest()
                && sure.longest() <= vague.longest()
                && vague.stated().is_none_or(|stated| sure.stated() == Some(stated))
        }
    }
}

fn history(found: &[Moment], flows: &[Option<TimiFlow>], last_event: Offset) -> FlowHistory {
    let sights = found.iter().zip(flows);
    let sights = sights.filter_map(|(&moment, flow)| Some(FlowSight { moment, flow: (*flow)? })).collect();
    FlowHistory::new(sights, last_event)
}

/// Exact sights by second, all at different times, and a vessel's history from them.
fn exact_history(sights: &[(i64, TimiFlow)], end: i64) -> FlowHistory {
    let second = |seconds: i64| Offset::from_seconds(seconds).unwrap();
    let times: Vec<Time> = sights.iter().map(|sight| (second(sight.0), Certainty::Exact)).collect();
    let flows: Vec<_> = sights.iter().map(|sight| Some(sight.1)).collect();
    history(&moments(&times), &flows, second(end))
}

fn any_exact_sights() -> impl Strategy<Value = Vec<(i64, TimiFlow)>> {
    // At least a minute lies between two sights.
    let sight = (60_i64..1200, any_flow());
    prop::collection::vec(sight, 1..12).prop_map(|gaps| {
        let mut seconds = -600;
        let place = |(gap, flow)| {
            seconds += gap;
            (seconds, flow)
        };
        gaps.into_iter().map(place).collect()
    })
}

/// The seconds of lost flow: of the episodes, and of the windows without flow.
fn seconds_lost(history: &FlowHistory) -> [i64; 2] {
    [history.total().elapsed, history.total_without_flow().elapsed]
        .map(|elapsed| elapsed.and_then(Elapsed::stated).unwrap())
}

fn none_is_shorter(longer: [i64; 2], shorter: [i64; 2]) -> bool {
    longer.iter().zip(shorter).all(|(longer, shorter)| *longer >= shorter)
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn the_order_in_which_events_of_different_times_are_given_changes_nothing(
        (events, shuffled) in any_events().prop_flat_map(with_another_order),
        drawn in any_offset(),
        returned in prop::option::of(any_offset()),
    ) {
        let result = ResultTimes { drawn, returned };
        prop_assert_eq!(all_of(&events, result), all_of(&shuffled, result));
    }

    #[test]
    fn less_certainty_never_shrinks_an_interval((times, doubted) in any_times_and_doubted(15)) {
        let (sure, vague) = (moments(&times), moments(&doubted));
        for from in 0..sure.len() {
            for to in 0..sure.len() {
                let between = |found: &[Moment]| Elapsed::between(found[from], found[to]);
                prop_assert!(holds(between(&vague), between(&sure)), "{from} to {to}");
            }
        }
    }

    #[test]
    fn less_certainty_never_shrinks_a_span((times, doubted) in any_times_and_doubted(4)) {
        let of = |times: &[Time]| {
            let found = moments(times);
            let moment = |index: usize| found.get(index).copied();
            Span::new(moment(0), moment(1), moment(2), moment(3))
        };
        match (of(&times), of(&doubted)) {
            (Ok(sure), Ok(vague)) => for interval in [
                Span::to_recognition, Span::to_response, Span::to_control,
                Span::recognition_to_response, Span::recognition_to_control,
            ] {
                prop_assert!(holds(interval(&vague), interval(&sure)));
            },
            (sure, vague) => prop_assert_eq!(sure.err(), vague.err()),
        }
    }

    #[test]
    fn less_certainty_never_shrinks_the_loss_of_flow(
        (times, doubted) in any_times_and_doubted(15),
        flows in prop::collection::vec(prop::option::weighted(0.8, any_flow()), 15),
        last_event in any_offset(),
    ) {
        let of = |times: &[Time]| history(&moments(times), &flows, last_event);
        let (sure, vague) = (of(&times), of(&doubted));
        prop_assert!(holds(vague.total().elapsed, sure.total().elapsed));
        prop_assert!(holds(vague.total_without_flow().elapsed, sure.total_without_flow().elapsed));
        prop_assert!(holds(vague.total_reduced().elapsed, sure.total_reduced().elapsed));
        for (vague, sure) in vague.steps().iter().zip(sure.steps()) {
            prop_assert!(holds(vague.lasted(), sure.lasted()));
            prop_assert_eq!(vague.is_censored(), sure.is_censored());
        }
    }

    #[test]
    fn a_sum_of_flow_lost_holds_what_is_stated_and_fits_into_its_vessels_record(
        times in any_times(15),
        flows in prop::collection::vec(any_flow(), 15),
        last_event in any_offset(),
    ) {
        let flows: Vec<_> = flows.into_iter().map(Some).collect();
        let history = history(&moments(&times), &flows, last_event);
        let sums = [
            history.total().elapsed,
            history.total_without_flow().elapsed,
            history.total_reduced().elapsed,
        ];
        for sum in sums.into_iter().flatten() {
            prop_assert!(0 <= sum.shortest() && sum.shortest() <= sum.longest());
            prop_assert!(sum.stated().is_none_or(|s| sum.shortest() <= s && s <= sum.longest()));
        }
    }

    #[test]
    fn flow_that_comes_back_later_or_goes_earlier_is_never_lost_for_less_long(
        sights in any_exact_sights(), chosen in any::<prop::sample::Index>(), by in 1_i64..60,
    ) {
        let end = sights[sights.len() - 1].0 + 60;
        let index = chosen.index(sights.len());
        let before = index.checked_sub(1).map(|last| sights[last].1);
        let mut moved = sights.clone();
        // Seen better than before: later. Seen worse: earlier. No other sight is passed.
        moved[index].0 += if before.is_some_and(|before| before < sights[index].1) { by } else { -by };
        prop_assert!(none_is_shorter(
            seconds_lost(&exact_history(&moved, end)),
            seconds_lost(&exact_history(&sights, end))
        ));
    }

    #[test]
    fn a_record_that_goes_on_for_longer_never_shortens_a_loss(
        sights in any_exact_sights(), by in 1_i64..100_000,
    ) {
        let end = sights[sights.len() - 1].0;
        let (short, long) = (exact_history(&sights, end), exact_history(&sights, end + by));
        prop_assert!(none_is_shorter(seconds_lost(&long), seconds_lost(&short)));
        let last = sights[sights.len() - 1].1;
        let grown = seconds_lost(&long)[1] - seconds_lost(&short)[1];
        prop_assert_eq!(grown, if last.is_lost() { by } else { 0 });
    }

    #[test]
    fn a_worse_flow_at_a_look_never_shortens_a_loss(
        sights in any_exact_sights(), chosen in any::<prop::sample::Index>(), flow in any_flow(),
    ) {
        let end = sights[sights.len() - 1].0 + 60;
        let mut worse = sights.clone();
        let sight = &mut worse[chosen.index(sights.len())];
        sight.1 = sight.1.min(flow);
        prop_assert!(none_is_shorter(
            seconds_lost(&exact_history(&worse, end)),
            seconds_lost(&exact_history(&sights, end))
        ));
    }

    #[test]
    fn a_time_known_by_an_order_that_nothing_bounds_never_gives_a_number(
        times in any_times(12), flow in any_flow(),
    ) {
        let found = moments(&times);
        let bounded = |moment: Moment| moment.not_before().is_some() && moment.not_after().is_some();
        for &from in &found {
            for &to in &found {
                let known = Elapsed::between(from, to);
                if from.place() < to.place() {
                    prop_assert_eq!(known.is_some(), bounded(from) && bounded(to));
                }
                let span = Span::new(Some(from), None, Some(to), None);
                prop_assert_eq!(span.ok().and_then(|span| span.to_response()), known);
            }
            if !bounded(from) {
                // Whatever is seen there, how long it lasted is not known.
                let history = FlowHistory::new(vec![FlowSight { moment: from, flow }], at(90));
                let words = [
                    history.total().to_string(),
                    history.total_without_flow().to_string(),
                    history.total_reduced().to_string(),
                ];
                for words in words {
                    prop_assert!(!words.contains(|c: char| c.is_ascii_digit()), "{words}");
                }
            }
        }
    }

    #[test]
    fn times_known_by_their_order_alone_give_no_number_at_all(offsets in prop::collection::vec(any_offset(), 1..12)) {
        let times: Vec<Time> = offsets.into_iter().map(|offset| (offset, Certainty::OrderOnly)).collect();
        let found = moments(&times);
        for from in &found {
            prop_assert_eq!((from.bounds(), from.not_before(), from.not_after()), (None, None, None));
            for to in found.iter().filter(|to| to.place() != from.place()) {
                prop_assert_eq!(Elapsed::between(*from, *to), None);
            }
        }
    }

    #[test]
    fn the_range_of_a_moment_by_its_place_lies_in_its_own_and_follows_the_order(times in any_times(20)) {
        let mut found = moments(&times);
        found.sort_by_key(|moment| moment.place());
        for moment in &found {
            prop_assert!(moment.not_before().is_none_or(|earliest| earliest <= moment.at()));
            prop_assert!(moment.not_after().is_none_or(|latest| moment.at() <= latest));
            if let Some((earliest, latest)) = moment.bounds() {
                prop_assert!(moment.not_before() >= Some(earliest));
                prop_assert!(moment.not_after().is_some_and(|after| after <= latest));
            }
        }
        for pair in found.windows(2) {
            prop_assert!(pair[0].not_before() <= pair[1].not_before());
            if let (Some(before), Some(after)) = (pair[0].not_after(), pair[1].not_after()) {
                prop_assert!(before <= after);
            }
        }
    }
}
