//! A line of the rates as the page shows it.

use super::subject::path_of;
use crate::figure::interval::{RateRow, inline_bar};
use crate::rates::drawing::interval;
use crate::rates::{Period, Rate, RateLine, Subject, signed, whole_number};

/// The rate of the period before.
#[derive(Debug, Clone)]
pub(super) struct Before {
    pub(super) per_1000: String,
    pub(super) counts: String,
}

/// A rate that there is.
#[derive(Debug, Clone)]
pub(super) struct RatePart {
    pub(super) at_risk: String,
    pub(super) per_1000: String,
    pub(super) interval: String,
    pub(super) exact: String,
    pub(super) rule: &'static str,
}

/// A line as the page shows it.
#[derive(Debug, Clone)]
pub(super) struct LinePart {
    /// Unique on the page, letters, digits and hyphens.
    pub(super) id: String,
    pub(super) label: String,
    /// The page of its subject.
    pub(super) path: String,
    /// The same, of this period alone.
    pub(super) months: String,
    pub(super) cases: String,
    pub(super) events: String,
    pub(super) stratum: String,
    pub(super) rate: Option<RatePart>,
    /// Procedures at risk where there is no rate; none when no month was counted.
    pub(super) counted_anyway: Option<String>,
    /// Why there is no rate, and what has to be known to read one.
    pub(super) notes: Vec<String>,
    pub(super) bar: String,
    pub(super) before: Option<Before>,
    pub(super) no_before: String,
    pub(super) counted: &'static str,
    /// The difference since the period before and its interval, for the table.
    pub(super) difference: Option<(String, String)>,
    pub(super) change: Option<String>,
}

const WILSON: &str = "Events divided by procedures at risk, times 1,000; Wilson score interval at 95\u{a0}%.";
const NO_EVENT: &str = "No event, so the rate is 0; “at most” is the 97.5\u{a0}% point of the exact interval, \
     1 − 0.025^(1/n) for n procedures at risk, times 1,000.";

impl LinePart {
    /// The line, its bar on a scale from 0 to `top`.
    pub(super) fn of(line: &RateLine, top: f64) -> Self {
        let id = id_of(line);
        let rate = line.rate();
        let events = rate.map_or_else(|| line.now.events_in_all(), Rate::events);
        Self {
            label: line.label.clone(),
            months: format!(
                "{}?from={}&to={}",
                path_of(&line.subject),
                line.now.period.from(),
                line.now.period.to()
            ),
            path: path_of(&line.subject),
            cases: cases_path_of(&line.subject, line.now.period),
            events: whole_number(events),
            stratum: line.stratum_label.clone(),
            counted_anyway: line
                .now
                .months
                .iter()
                .any(|month| month.procedures.is_some())
                .then(|| whole_number(line.now.procedures())),
            // What a line without a rate leaves out is all of it.
            notes: line.no_rate().map_or_else(|| line.notes(), |why| vec![why]),
            bar: bar(&id, line, top),
            before: line.previous_rate().map(|before| Before {
                per_1000: before.per_1000_in_words(),
                counts: before.counts_in_words(),
            }),
            no_before: line.no_previous_rate().unwrap_or_default(),
            counted: match line.subject {
                Subject::Whole => {
                    "Cases with any complication, each once, by the month of the procedure; every stage counts."
                }
                Subject::Branch(_) => {
                    "Cases with a complication of this branch, each once, by the month of the procedure; every stage counts."
                }
                Subject::Mechanism(_) => {
                    "Cases with this mechanism, each once, by the month of the procedure; every stage counts."
                }
            },
            difference: line.difference().map(|difference| {
                let interval = difference.interval().times(1_000.0);
                (
                    signed(difference.estimate() * 1_000.0),
                    format!("{} to {}", signed(interval.lower()), signed(interval.upper())),
                )
            }),
            change: change_in_words(line),
            rate: rate.map(|rate| RatePart {
                at_risk: whole_number(rate.procedures()),
                per_1000: rate.per_1000_in_words(),
                interval: rate.interval_in_words(),
                exact: rate.exact_in_words(),
                rule: if rate.events() == 0 { NO_EVENT } else { WILSON },
            }),
            id,
        }
    }
}

fn id_of(line: &RateLine) -> String {
    match &line.subject {
        Subject::Whole => "whole".to_owned(),
        Subject::Branch(slug) => format!("branch-{slug}"),
        Subject::Mechanism(slug) => format!("of-{slug}"),
    }
}

/// The list of the cases behind a subject.
pub(super) fn cases_path_of(subject: &Subject, period: Period) -> String {
    let path = String::from("/cases?");
    let start = path.len();
    let mut query = form_urlencoded::Serializer::for_suffix(path, start);
    let (kind, slug) = subject.key();
    if !slug.is_empty() {
        query.append_pair(kind, slug);
    }
    query.append_pair("from", &period.from().to_string()).append_pair("to", &period.to().to_string());
    query.finish()
}

/// The change since the period before, with its interval.
pub(super) fn change_in_words(line: &RateLine) -> Option<String> {
    let difference = line.difference()?;
    let interval = difference.interval().times(1_000.0);
    let leaves_out_0 = difference.excludes_zero();
    Some(format!(
        "{} per 1,000 since the period before, 95\u{a0}% interval {} to {} (Newcombe): {}.",
        signed(difference.estimate() * 1_000.0),
        signed(interval.lower()),
        signed(interval.upper()),
        if leaves_out_0 { "more than chance explains" } else { "chance alone may explain it" },
    ))
}

fn rate_in_words(rate: Rate) -> String {
    format!("{} per 1,000, 95\u{a0}% interval {}", rate.per_1000_in_words(), rate.interval_in_words())
}

fn bar(id: &str, line: &RateLine, top: f64) -> String {
    let (now, before) = (line.rate(), line.previous_rate());
    if now.is_none() && before.is_none() {
        return String::new();
    }
    let mut words = format!("{}: {}", line.label, now.map_or_else(|| "no rate".to_owned(), rate_in_words));
    if let Some(before) = before {
        words.push_str("; the period before ");
        words.push_str(&rate_in_words(before));
    }
    let (now, before) = (now.map(interval), before.map(interval));
    inline_bar(&format!("bar-{id}"), now.as_ref(), before.as_ref(), top, &words)
}

/// The line as a row of the chart.
pub(super) fn chart_row(line: &RateLine) -> RateRow {
    RateRow {
        label: line.label.clone(),
        now: line.rate().map(interval),
        previous: line.previous_rate().map(interval),
        counts: line.rate().map_or_else(|| "no rate".to_owned(), Rate::counts_in_words),
    }
}
