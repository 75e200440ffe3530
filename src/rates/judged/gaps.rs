//! The procedures between events, from counts by month.

use crate::case::Month;
use crate::rates::course::Course;
use crate::rates::words::{counted, whole_number};
use crate::stats::chart::GLimits;

/// The stretch between two events that followed each other.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Gap {
    /// The month of the event that began it.
    pub began: Month,
    /// The month of the event that ended it.
    pub ended: Month,
    /// Procedures between the two, without either.
    pub procedures: u64,
}

/// How events are placed among the procedures of their month.
pub(super) const fn how_placed() -> &'static str {
    "Cases keep only their month, so the events of a month are taken as spread evenly over its procedures. Procedures \
     of months that were not counted are missing from the gap that spans them."
}

/// Where the events stand among all counted procedures, from 1, with their months.
fn places(course: &Course) -> (Vec<(u64, Month)>, u64) {
    let (mut places, mut before) = (Vec::new(), 0_u64);
    for (month, count) in course.counted_months() {
        let (events, procedures) = (count.events(), count.procedures());
        for index in 0..events {
            // The middle of the part of the month that belongs to this event.
            let within = (2 * index + 1) * procedures / (2 * events) + 1;
            places.push((before + within.min(procedures), month));
        }
        before += procedures;
    }
    (places, before)
}

/// The gaps between the events of a course.
pub(super) fn between(course: &Course) -> Vec<Gap> {
    let (places, _) = places(course);
    places
        .windows(2)
        .map(|pair| Gap {
            began: pair[0].1,
            ended: pair[1].1,
            procedures: (pair[1].0 - pair[0].0).saturating_sub(1),
        })
        .collect()
}

/// Procedures since the last event; `None` without an event.
pub(super) fn open(course: &Course) -> Option<u64> {
    let (places, all) = places(course);
    Some(all - places.last()?.0)
}

/// The gap that is still open against the length from which it would be a signal.
pub(super) fn open_in_words(open: u64, limits: &GLimits) -> String {
    let since = counted(open, "procedure");
    if open >= limits.shortest_long_gap {
        format!(
            "Since the last event there were {since}: longer than {} is improbable at the baseline's rate, so the gap that \
             is still open already speaks for a fall.",
            whole_number(limits.shortest_long_gap)
        )
    } else {
        format!(
            "Since the last event there were {since}; from {} on, an open gap would speak for a fall.",
            whole_number(limits.shortest_long_gap)
        )
    }
}
