//! Times for tests: written short, and any that there can be.

use proptest::prelude::*;

use crate::quantity::{Certainty, Offset};

pub(super) type Time = (Offset, Certainty);

pub(super) fn at(minutes: i64) -> Offset {
    Offset::from_seconds(minutes * 60).unwrap()
}

pub(super) fn exact(minutes: i64) -> Time {
    (at(minutes), Certainty::Exact)
}

pub(super) fn about(minutes: i64, spread: i64) -> Time {
    (at(minutes), Certainty::within(spread).unwrap())
}

pub(super) fn placed(minutes: i64) -> Time {
    (at(minutes), Certainty::OrderOnly)
}

/// Any offset, mostly within the hours of a procedure, often on a full five minutes so that many
/// are equal.
pub(super) fn any_offset() -> impl Strategy<Value = Offset> {
    prop_oneof![
        3 => (-6_i64..60).prop_map(|fives| fives * 300),
        3 => -1800_i64..18_000,
        1 => -Offset::LIMIT..=Offset::LIMIT,
    ]
    .prop_map(|seconds| Offset::from_seconds(seconds).unwrap())
}

pub(super) fn any_time() -> impl Strategy<Value = Time> {
    let certainty = prop_oneof![
        3 => Just(Certainty::Exact),
        2 => (1_i64..=240).prop_map(|minutes| Certainty::within(minutes).unwrap()),
        1 => (1_i64..=8).prop_map(|minutes| Certainty::within(minutes).unwrap()),
        2 => Just(Certainty::OrderOnly),
    ];
    (any_offset(), certainty)
}

/// The times of a case of up to so many events.
pub(super) fn any_times(at_most: usize) -> impl Strategy<Value = Vec<Time>> {
    prop::collection::vec(any_time(), 1..=at_most)
}

/// What makes a time less sure.
#[derive(Debug, Clone, Copy)]
pub(super) enum Doubt {
    None,
    /// So many minutes more to either side.
    More(i64),
    /// Only the order of what was exact. An estimate stays one: the events beside it may bound it
    /// more closely than its own range does.
    OrderOnly,
}

pub(super) fn any_doubt() -> impl Strategy<Value = Doubt> {
    prop_oneof![Just(Doubt::None), (1_i64..=240).prop_map(Doubt::More), Just(Doubt::OrderOnly)]
}

/// A case and the same with less certainty about its times.
pub(super) fn any_times_and_doubted(at_most: usize) -> impl Strategy<Value = (Vec<Time>, Vec<Time>)> {
    prop::collection::vec((any_time(), any_doubt()), 1..=at_most).prop_map(|parts| {
        let doubted = parts.iter().map(|&(time, doubt)| doubted(time, doubt)).collect();
        (parts.into_iter().map(|(time, _)| time).collect(), doubted)
    })
}

fn doubted((offset, certainty): Time, doubt: Doubt) -> Time {
    let within = |minutes: i64| Certainty::within(minutes.min(240)).unwrap();
    let certainty = match (certainty, doubt) {
        (Certainty::Exact, Doubt::More(minutes)) => within(minutes),
        (Certainty::Exact, Doubt::OrderOnly) => Certainty::OrderOnly,
        (Certainty::Within(before), Doubt::More(minutes)) => within(i64::from(before) + minutes),
        (same, _) => same,
    };
    (offset, certainty)
}
