//! The rates as drawings: one adapter from what was worked out to the chart module.

mod associations;
mod time;

pub use associations::{causes_chart, features_chart};
pub use time::{control_chart, cusum_chart};

use super::period::Period;
use super::store::DoneAction;
use super::tally::Rate;
use super::words::whole_number;
use crate::figure::chart::{Marker, SlotName};
use crate::figure::interval::Interval;
use crate::stats::proportion::Count;

/// A rate as it is drawn, per 1,000. Without an event the line ends where the words say: at the exact
/// limit.
#[must_use]
pub fn interval(rate: Rate) -> Interval {
    let wilson = rate.wilson();
    Interval {
        low: wilson.lower(),
        estimate: rate.per_1000(),
        high: rate.upper_without_events().unwrap_or_else(|| wilson.upper()),
    }
}

/// What a month is called on an axis.
fn month_name(month: crate::case::Month) -> SlotName {
    SlotName::month(
        i32::try_from(month.year()).unwrap_or_default(),
        u8::try_from(month.month()).unwrap_or_default(),
    )
}

/// What a step of months is called: a month, or the quarter that it is part of.
fn step_name(period: Period) -> SlotName {
    if period.length() == 1 {
        return month_name(period.from());
    }
    let name = SlotName::quarter(
        i32::try_from(period.from().year()).unwrap_or_default(),
        u8::try_from((period.from().month() - 1) / 3 + 1).unwrap_or_default(),
    );
    SlotName { whole: period.to_string(), ..name }
}

fn counts_words(count: Count) -> String {
    format!("{} of {}", whole_number(count.events()), whole_number(count.procedures()))
}

/// Actions as flags; `place` gives where a month's slot begins and how wide it is.
fn flags(actions: &[DoneAction], place: impl Fn(&DoneAction) -> Option<f64>) -> Vec<Marker> {
    (1..)
        .zip(actions)
        .filter_map(|(number, action)| {
            Some(Marker {
                at: place(action)?,
                number,
                label: format!("{} ({}, since {})", action.what, action.code, action.done_on.in_words()),
            })
        })
        .collect()
}

/// How far into its month a day is, from 0 to 1.
fn within_month(action: &DoneAction) -> f64 {
    let date = action.done_on.date();
    (f64::from(date.day()) - 1.0) / f64::from(date.days_in_month())
}
