//! What rules find in a chart, each in a sentence.

use super::Points;
use crate::quantity::words;
use crate::rates::course::Course;
use crate::rates::period::Period;
use crate::rates::words::{counted, per_1000, whole_number};
use crate::stats::chart::{Beyond, Chart, Unit};
use crate::stats::runs::{RunRule, RunSignal, RunsError, anhoej, shift, trend};
use crate::stats::times::quantile;

words!(
    /// Which run rules are on, beside the limits.
    Rules, "a set of rules", {
        Runs = "runs", "Limits, longest run and crossings";
        Shift = "shift", "Limits, shift of 6 and trend of 5";
        Limits = "limits", "Limits alone";
    }
);

impl Rules {
    /// The rules that are on, by name and source, for the page to print.
    #[must_use]
    pub const fn in_words(self) -> &'static str {
        match self {
            Self::Runs => {
                "Rules that are on: a point beyond a limit; a run on one side of the median longer than log₂ n + 3, or fewer \
                 crossings than chance gives in 19 of 20 series (Anhøj and Olesen, PLoS One 2014;9:e113825)."
            }
            Self::Shift => {
                "Rules that are on: a point beyond a limit; 6 or more points on one side of the median; 5 or more in one \
                 direction (Perla, Provost and Murray, BMJ Qual Saf 2011;20:46). The last is close to useless for finding a \
                 drift, and several rules together raise more false alarms."
            }
            Self::Limits => "Rule that is on: a point beyond a limit.",
        }
    }
}

/// Something that a rule found.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Found {
    /// The points that it is about, by their place on the chart.
    pub points: Vec<usize>,
    /// The rule and what it found, in a sentence.
    pub words: String,
    /// The same in a few words, to stand after a label.
    pub headline: String,
    /// Whether it speaks for more events; `None` when it speaks for neither.
    pub worse: Option<bool>,
    /// The months that it is about.
    pub months: Option<Period>,
}

/// Looks for signals; why a rule could not judge goes to the notes.
pub(super) fn find(
    course: &Course,
    points: &Points,
    chart: &Chart,
    rules: Rules,
    notes: &mut Vec<String>,
) -> Vec<Found> {
    let seen = Seen { course, points, chart };
    let mut found: Vec<Found> = chart.signals().map(|(at, side)| seen.beyond(at, side)).collect();
    match seen.runs(rules) {
        Ok(runs) => found.extend(runs),
        Err(why) => notes.push(why),
    }
    found.sort_by_key(|one| one.points.last().copied());
    found
}

struct Seen<'a> {
    course: &'a Course,
    points: &'a Points,
    chart: &'a Chart,
}

impl Seen<'_> {
    fn months_of(&self, points: &[usize]) -> Option<Period> {
        let first = self.points.period(self.course, *points.first()?)?;
        let last = self.points.period(self.course, *points.last()?)?;
        Period::new(first.from(), last.to()).ok()
    }

    fn is_rate(&self) -> bool {
        matches!(self.chart.kind().unit(), Unit::Proportion | Unit::EventsByExposure)
    }

    /// A value of the chart as it is written.
    fn value(&self, value: f64) -> String {
        if self.is_rate() {
            format!("{} per 1,000", per_1000(value * 1_000.0))
        } else {
            #[expect(
                clippy::cast_possible_truncation,
                clippy::cast_sign_loss,
                reason = "a number of procedures"
            )]
            let whole = value.round() as u64;
            counted(whole, "procedure")
        }
    }

    fn beyond(&self, at: usize, side: Beyond) -> Found {
        let point = self.chart.points()[at];
        let worse = side == self.chart.kind().worse();
        let months = self.months_of(&[at]);
        let when = months.map_or_else(String::new, |months| months.to_string());
        let limit = match side {
            Beyond::Above => point.upper,
            Beyond::Below => point.lower,
        };
        let limit = limit.map_or_else(String::new, |limit| self.value(limit));
        let more = if worse { "more" } else { "fewer" };
        let more = format!("{more} events than the baseline explains");
        let above = if side == Beyond::Above { "above" } else { "below" };
        let words = if self.is_rate() {
            let counts = self.counts(at);
            format!("{when}: {counts}, {}, {above} the limit of {limit}: {more}.", self.value(point.value))
        } else {
            format!(
                "Before the event of {when} there were {} without one, {above} the limit of {limit}: {more}.",
                self.value(point.value)
            )
        };
        let headline = match (worse, self.is_rate()) {
            (true, true) => format!("above its limit, {when}"),
            (false, true) => format!("below its limit, {when}"),
            (true, false) => format!("an improbably short gap ended in {when}"),
            (false, false) => format!("an improbably long time without one ended in {when}"),
        };
        Found { points: vec![at], words, headline, worse: Some(worse), months }
    }

    fn counts(&self, at: usize) -> String {
        let Points::Steps(places) = self.points else { return String::new() };
        places
            .get(at)
            .and_then(|place| self.course.steps[*place].count())
            .map(|count| format!("{} of {}", whole_number(count.events()), whole_number(count.procedures())))
            .unwrap_or_default()
    }

    fn runs(&self, rules: Rules) -> Result<Vec<Found>, String> {
        if rules == Rules::Limits {
            return Ok(Vec::new());
        }
        let values: Vec<f64> = self.chart.points().iter().map(|point| point.value).collect();
        let base: Vec<f64> =
            values.get(self.chart.baseline().positions()).map(<[f64]>::to_vec).unwrap_or_default();
        let Ok(median) = quantile(&base, 0.5) else { return Ok(Vec::new()) };
        if median <= 0.0 && self.is_rate() {
            return Err(
                "Runs are not judged: at least half of the steps of the baseline have no event, so the median is 0. The chart \
                 of procedures between events can judge them."
                    .to_owned(),
            );
        }
        let signals = match rules {
            Rules::Runs => anhoej(&values, median).map(|found| found.signals),
            Rules::Shift => shift(&values, median).and_then(|mut found| {
                found.extend(trend(&values)?);
                Ok(found)
            }),
            Rules::Limits => Ok(Vec::new()),
        };
        match signals {
            Ok(signals) => Ok(signals.into_iter().map(|signal| self.run(&signal, &values, median)).collect()),
            Err(RunsError::NoUsefulPoints) => Ok(Vec::new()),
            Err(error) => Err(format!("Runs are not judged: {error}.")),
        }
    }

    /// A signal of a run rule in a sentence.
    fn run(&self, signal: &RunSignal, values: &[f64], median: f64) -> Found {
        let months = self.months_of(&signal.points);
        let when = months.map_or_else(String::new, |months| months.to_string());
        let above = signal.points.first().is_some_and(|&at| values[at] > median);
        let rising = match (signal.points.first(), signal.points.last()) {
            (Some(&first), Some(&last)) => values[last] > values[first],
            _ => false,
        };
        let side = if above { "above" } else { "below" };
        let high_is_worse = self.is_rate();
        let length = signal.points.len();
        let (what, worse) = match signal.rule {
            RunRule::LongRun | RunRule::Shift => (
                format!("{length} points in a row {side} the baseline's median of {}", self.value(median)),
                Some(above == high_is_worse),
            ),
            RunRule::Trend => (
                format!("{length} points in a row {}", if rising { "rising" } else { "falling" }),
                Some(rising == high_is_worse),
            ),
            RunRule::FewCrossings | RunRule::TooFewRuns => (
                format!(
                    "the line crosses the baseline's median of {} too seldom for chance",
                    self.value(median)
                ),
                None,
            ),
            RunRule::TooManyRuns => ("the line crosses the median too often for chance".to_owned(), None),
        };
        let meaning = match worse {
            Some(true) => "it speaks for more events",
            Some(false) => "it speaks for fewer events",
            None => "it did not stay steady",
        };
        let headline = match worse {
            Some(true) => format!("a lasting rise, {when}"),
            Some(false) => format!("a lasting fall, {when}"),
            None => format!("it did not stay steady, {when}"),
        };
        // A rule about the whole series is told at its end: a ring round every point says nothing.
        let points = match worse {
            Some(_) => signal.points.clone(),
            None => signal.points.last().copied().into_iter().collect(),
        };
        Found { points, words: format!("{when}: {what}; {meaning}."), headline, worse, months }
    }
}
