//! A subject over time: its chart and its watch.

use super::{counts_words, flags, month_name, step_name, within_month};
use crate::case::Month;
use crate::figure::Figure;
use crate::figure::chart::control::{Baseline, ControlChart, Slot};
use crate::figure::chart::cusum::{CusumChart, CusumLimit, CusumPoint, CusumSignal, Side};
use crate::figure::chart::{Band, Marker, Signal, SlotName};
use crate::rates::course::Course;
use crate::rates::judged::{Judged, Points, Rules};
use crate::rates::store::DoneAction;
use crate::rates::watch::Watched;
use crate::rates::words::{counted, per_1000, whole_number};
use crate::stats::chart::{Chart, ChartKind, Point, Unit};

/// Per how many procedures a rate is written.
const PER: f64 = 1_000.0;

/// The chart of a course; none when there is nothing to draw.
#[must_use]
pub fn control_chart(
    course: &Course,
    judged: &Judged,
    actions: &[DoneAction],
    band: Option<Band>,
    rules: Rules,
) -> Option<Figure> {
    let chart = judged.chart.as_ref().ok()?;
    let is_rate = matches!(chart.kind().unit(), Unit::Proportion | Unit::EventsByExposure);
    let factor = if is_rate { PER } else { 1.0 };
    let (points, place_of): (Vec<Slot>, Vec<usize>) = match &judged.points {
        Points::Steps(places) => (step_slots(course, chart, places, factor), places.clone()),
        Points::Gaps(gaps) => (
            gaps.iter()
                .zip(chart.points())
                .map(|(gap, point)| {
                    let counts = format!(
                        "{} from {} to {}",
                        counted(gap.procedures, "procedure"),
                        gap.began.in_words(),
                        gap.ended.in_words()
                    );
                    slot((month_name(gap.ended), counts), point, chart.centre(), factor)
                })
                .collect(),
            (0..gaps.len()).collect(),
        ),
    };
    let signals = (1..)
        .zip(&judged.signals)
        .map(|(number, found)| Signal {
            slots: found.points.iter().filter_map(|at| place_of.get(*at).copied()).collect(),
            number,
            words: found.words.clone(),
        })
        .collect();
    let positions = chart.baseline().positions();
    let baseline = judged.baseline.and_then(|period| {
        Some(Baseline {
            from: *place_of.get(positions.start)?,
            to: *place_of.get(positions.end.checked_sub(1)?)?,
            label: format!("baseline: {period}"),
        })
    });
    let drawn = ControlChart {
        title: judged.finding(course),
        unit: if is_rate {
            format!("per 1,000 procedures at risk ({})", course.stratum_label)
        } else {
            format!("procedures between events ({})", course.stratum_label)
        },
        x_title: if is_rate {
            format!("{} of the procedure", course.every.label().to_lowercase())
        } else {
            "month of the event that ends the gap".to_owned()
        },
        counted: made_of(course),
        points,
        centre_label: format!("mean {}", written(chart.centre() * factor, is_rate)),
        upper_label: limit_label("upper limit", chart.points().iter().map(|point| point.upper), factor),
        lower_label: limit_label("lower limit", chart.points().iter().map(|point| point.lower), factor),
        baseline,
        actions: markers(course, &judged.points, actions),
        band: band.and_then(|band| if is_rate { Some(band) } else { as_gap(&band) }),
        signals,
        source_rule: source_rule(chart.kind(), rules),
    };
    Some(drawn.draw("rate"))
}

fn step_slots(course: &Course, chart: &Chart, places: &[usize], factor: f64) -> Vec<Slot> {
    let mut points = places.iter().zip(chart.points()).peekable();
    course
        .steps
        .iter()
        .enumerate()
        .map(|(at, step)| {
            let name = step_name(step.period);
            match points.next_if(|(place, _)| **place == at) {
                Some((_, point)) => {
                    let counts = step.count().map(counts_words).unwrap_or_default();
                    slot((name, counts), point, chart.centre(), factor)
                }
                None => Slot {
                    name,
                    value: None,
                    centre: Some(chart.centre() * factor),
                    lower: None,
                    upper: None,
                    counts: if step.procedures.is_some() { "no procedure" } else { "not counted" }.to_owned(),
                },
            }
        })
        .collect()
}

fn slot((name, counts): (SlotName, String), point: &Point, centre: f64, factor: f64) -> Slot {
    Slot {
        name,
        value: Some(point.value * factor),
        centre: Some(centre * factor),
        lower: point.lower.map(|limit| limit * factor),
        upper: point.upper.map(|limit| limit * factor),
        counts,
    }
}

/// The name of a limit, with its number when it is the same for every point.
fn limit_label(name: &str, mut limits: impl Iterator<Item = Option<f64>>, factor: f64) -> String {
    match limits.next().flatten() {
        Some(first) if limits.all(|limit| limit == Some(first)) => {
            format!("{name} {}", written(first * factor, factor > 1.0))
        }
        _ => name.to_owned(),
    }
}

/// A published rate per 1,000 as the mean gap that it would give, in procedures; `None` when its lower
/// end is 0 and the gap has no end.
fn as_gap(band: &Band) -> Option<Band> {
    let gap = |rate: f64| (rate > 0.0).then(|| (PER / rate - 1.0).max(0.0));
    Some(Band { low: gap(band.high)?, high: gap(band.low)?, label: format!("{}, as a mean gap", band.label) })
}

fn written(value: f64, is_rate: bool) -> String {
    if is_rate { per_1000(value) } else { format!("{value:.0}") }
}

fn made_of(course: &Course) -> String {
    let (mut events, mut procedures) = (0, 0);
    for (_, count) in course.counted() {
        events += count.events();
        procedures += count.procedures();
    }
    format!("{} events in {} procedures, {}", whole_number(events), whole_number(procedures), course.period)
}

/// Flags of actions: on a chart by time at their day, on a chart by event before the first event
/// that came after.
fn markers(course: &Course, points: &Points, actions: &[DoneAction]) -> Vec<Marker> {
    flags(actions, |action| {
        let month = action.done_on.month()?;
        match points {
            Points::Steps(_) => {
                let place = course.step_at(month)?;
                let step = course.steps.get(place)?.period;
                let share = (float(step.from().until(month)) + within_month(action)) / float(step.length());
                Some(index(place) - 0.5 + share)
            }
            Points::Gaps(gaps) => {
                let after = gaps.iter().position(|gap| gap.ended >= month).unwrap_or(gaps.len());
                Some(index(after) - 0.5)
            }
        }
    })
}

fn source_rule(kind: ChartKind, rules: Rules) -> String {
    let chart = match kind {
        ChartKind::P => {
            "Rate of each step with limits at 3 standard errors of the baseline's rate (p-chart; Shewhart 1931; from memory)."
        }
        ChartKind::ExactP => {
            "Rate of each step; a point is beyond a limit when a count as high, or as low, has a probability of 0.00135 or less at \
             the baseline's rate (exact binomial)."
        }
        ChartKind::Laney => {
            "Rate of each step; limits at 3 standard errors, widened by how much more than chance the rate varies (p′-chart; \
             Laney, Qual Eng 2002; from memory)."
        }
        ChartKind::U => {
            "Events by procedures with limits at 3 standard errors (u-chart; Shewhart 1931; from memory)."
        }
        ChartKind::G => {
            "Procedures between two events; a gap is beyond a limit when one as long, or as short, has a probability of 0.00135 or \
             less (g-chart; Benneyan, Health Care Manag Sci 2001;4:305; from memory). A short gap is bad, a long one good."
        }
        ChartKind::T => "Days between events (t-chart; Nelson 1994; from memory).",
    };
    format!("{chart} Centre and limits come from the baseline alone. {}", rules.in_words())
}

/// The watch over a course.
#[must_use]
pub fn cusum_chart(course: &Course, watched: &Watched, actions: &[DoneAction]) -> Figure {
    let found = watched.signals();
    let title = match found.last() {
        None => format!("{}: neither sum has reached its limit, {}", course.label, course.period),
        Some((at, worse, _)) => format!(
            "{}: the sum for {} reached its limit in {}",
            course.label,
            if *worse { "a rise" } else { "a fall" },
            watched.months[*at].in_words()
        ),
    };
    let place = |month: Month| watched.months.iter().position(|held| *held == month);
    let points = course
        .period
        .months()
        .map(|month| {
            let at = place(month);
            let sum = |sums: &[f64]| at.and_then(|at| sums.get(at).copied());
            CusumPoint {
                name: month_name(month),
                worse: sum(&watched.worse.sums),
                better: sum(&watched.better.sums),
                counts: at.map_or_else(|| "not counted".to_owned(), |at| counts_words(watched.counts[at])),
            }
        })
        .collect();
    let slot_of = |at: usize| usize::try_from(course.period.from().until(watched.months[at])).unwrap_or(0);
    let signals = (1..)
        .zip(found)
        .map(|(number, (at, worse, words))| CusumSignal {
            side: if worse { Side::Worse } else { Side::Better },
            slot: slot_of(at),
            number,
            words,
        })
        .collect();
    let limit =
        |value: f64, what: &str| Some(CusumLimit { value, label: format!("limit for {what}, {value:.1}") });
    let chart = CusumChart {
        title,
        unit: "sum of log-likelihood ratios (no unit)".to_owned(),
        x_title: "month of the procedure".to_owned(),
        counted: made_of(course),
        points,
        worse: limit(watched.worse.limit, "a rise"),
        better: limit(watched.better.limit, "a fall"),
        actions: flags(actions, |action| {
            let months = course.period.from().until(action.done_on.month()?);
            (0..course.period.length()).contains(&months).then(|| float(months) - 0.5 + within_month(action))
        }),
        signals,
        source_rule: format!(
            "Log-likelihood CUSUM against the rate of the baseline, {} ({}); Steiner et al., Biostatistics 2000;1:441 (from \
             memory). {}",
            counts_words(watched.acceptable),
            watched.baseline,
            watched.rule()
        ),
    };
    chart.draw("cusum")
}

#[expect(clippy::cast_precision_loss, reason = "months and slots are few")]
const fn float(number: i64) -> f64 {
    number as f64
}

#[expect(clippy::cast_precision_loss, reason = "slots are few")]
const fn index(number: usize) -> f64 {
    number as f64
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_published_rate_is_drawn_among_gaps_as_the_mean_gap_that_it_would_give() {
        // 4 of 1,000 is one event in 250 procedures: 249 without one between two.
        let band = Band { low: 2.0, high: 4.0, label: "A study".to_owned() };
        let gap = as_gap(&band).unwrap();
        assert!((gap.low - 249.0).abs() < 1e-9 && (gap.high - 499.0).abs() < 1e-9, "{gap:?}");
        assert_eq!(as_gap(&Band { low: 0.0, ..band }), None);
    }
}
