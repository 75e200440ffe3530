//! A course judged: the chart that suits, its frozen baseline, and what rules say of it.

mod gaps;
mod signals;

use super::course::Course;
use super::period::Period;
use super::words::{counted, float};
use crate::case::Month;
use crate::case::reading::words::{lower_first, upper_first};
use crate::quantity::words;
use crate::stats::chart::{
    Baseline, Chart, ChartError, ChartKind, Detail, Exposed, Unit, choose, exact_p_chart, g_chart, laney,
    p_chart, u_chart,
};
use crate::stats::proportion::Count;

pub use gaps::Gap;
pub use signals::{Found, Rules};

words!(
    /// Which chart is asked for.
    Chosen, "a chart", {
        Suited = "suited", "Whichever suits";
        P = "p", "Rate, 3 standard errors (p)";
        Exact = "exact", "Rate, exact limits (p)";
        Laney = "laney", "Rate, limits widened by its variation (p′)";
        U = "u", "Events by procedures (u)";
        G = "g", "Procedures between events (g)";
        T = "t", "Days between events (t)";
    }
);

impl Chosen {
    const fn kind(self) -> Option<ChartKind> {
        match self {
            Self::Suited => None,
            Self::P => Some(ChartKind::P),
            Self::Exact => Some(ChartKind::ExactP),
            Self::Laney => Some(ChartKind::Laney),
            Self::U => Some(ChartKind::U),
            Self::G => Some(ChartKind::G),
            Self::T => Some(ChartKind::T),
        }
    }

    /// The choice that gives a kind of chart.
    #[must_use]
    pub const fn of(kind: ChartKind) -> Self {
        match kind {
            ChartKind::P => Self::P,
            ChartKind::ExactP => Self::Exact,
            ChartKind::Laney => Self::Laney,
            ChartKind::U => Self::U,
            ChartKind::G => Self::G,
            ChartKind::T => Self::T,
        }
    }
}

/// A course with its chart.
#[derive(Debug, Clone, PartialEq)]
pub struct Judged {
    /// Which kind of chart it is, also when it could not be made.
    pub kind: ChartKind,
    /// Why this kind, in a sentence.
    pub why: String,
    /// What the points stand for.
    pub points: Points,
    /// The chart, or why there is none, in a sentence.
    pub chart: Result<Chart, String>,
    /// The months that fix the limits; `None` when there is no chart.
    pub baseline: Option<Period>,
    /// What rules found, in order of time.
    pub signals: Vec<Found>,
    /// What has to be known to read it, in sentences.
    pub notes: Vec<String>,
}

/// What the points of a chart stand for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Points {
    /// Steps of the course, by their place in it.
    Steps(Vec<usize>),
    /// The gaps between events.
    Gaps(Vec<Gap>),
}

impl Points {
    fn len(&self) -> usize {
        match self {
            Self::Steps(places) => places.len(),
            Self::Gaps(gaps) => gaps.len(),
        }
    }

    /// The months that a point is about.
    #[must_use]
    pub fn period(&self, course: &Course, at: usize) -> Option<Period> {
        match self {
            Self::Steps(places) => Some(course.steps.get(*places.get(at)?)?.period),
            Self::Gaps(gaps) => Some(Period::of_one(gaps.get(at)?.ended)),
        }
    }

    /// The points whose months lie in a period, as a baseline.
    fn baseline_in(&self, course: &Course, period: Period) -> Baseline {
        let inside = |at: &usize| {
            self.period(course, *at)
                .is_some_and(|months| period.from() <= months.from() && months.to() <= period.to())
        };
        let first = (0..self.len()).find(inside).unwrap_or(0);
        let length = (first..self.len()).take_while(inside).count();
        Baseline::of(first..first + length)
    }
}

/// Fewer points than this say too little, whatever the rules say.
pub const FEW_POINTS: usize = 12;

const NO_DAYS: &str = "Cases keep the month of their procedure and never its day, so the days between events cannot be \
     counted. The procedures between events (g) say the same more exactly.";

impl Judged {
    /// Judges a course. `fixed` is a baseline that somebody set; otherwise the first 20 points fix
    /// the limits, or all when there are fewer.
    #[must_use]
    pub fn of(course: &Course, chosen: Chosen, fixed: Option<Period>, rules: Rules) -> Self {
        let with_counts = course.counted();
        let counts: Vec<Count> = with_counts.iter().map(|(_, count)| *count).collect();
        let steps = Points::Steps(with_counts.iter().map(|(place, _)| *place).collect());
        let base_of = |points: &Points| {
            fixed
                .map_or_else(|| Baseline::standard(points.len()), |period| points.baseline_in(course, period))
        };
        let (kind, why) = match chosen.kind() {
            Some(kind) => (kind, "Chosen by hand.".to_owned()),
            None => suited(&counts, base_of(&steps)),
        };
        let points = match kind {
            ChartKind::G => Points::Gaps(gaps::between(course)),
            _ => steps,
        };
        let baseline = base_of(&points);
        let chart = draw(kind, &counts, &points, baseline).map_err(|error| sentence(&error, kind));
        let mut notes = notes(course, kind, &points, chart.as_ref().ok());
        let signals = chart
            .as_ref()
            .map(|chart| signals::find(course, &points, chart, rules, &mut notes))
            .unwrap_or_default();
        let ends = baseline.positions();
        let period = chart.is_ok().then_some(()).and_then(|()| {
            let first = points.period(course, ends.start)?;
            Period::new(first.from(), points.period(course, ends.end.checked_sub(1)?)?.to()).ok()
        });
        Self { kind, why, points, chart, baseline: period, signals, notes }
    }

    /// The last signal, one that says in which direction before one that does not.
    fn last_signal(&self) -> Option<&Found> {
        let directed = self.signals.iter().rev().find(|found| found.worse.is_some());
        directed.or_else(|| self.signals.last())
    }

    /// The months that a rule marked for more events. What follows a peak is lower by itself.
    #[must_use]
    pub fn peaks(&self) -> Vec<Month> {
        self.signals
            .iter()
            .filter(|found| found.worse == Some(true))
            .filter_map(|found| found.months)
            .flat_map(Period::months)
            .collect()
    }

    /// What the chart finds, in one line.
    #[must_use]
    pub fn finding(&self, course: &Course) -> String {
        let label = &course.label;
        let few = || {
            let steps = match &self.points {
                Points::Steps(places) => {
                    let step = course.every.label().to_lowercase();
                    format!("{} of data", counted(places.len() as u64, &step))
                }
                Points::Gaps(gaps) => counted(gaps.len() as u64 + 1, "event"),
            };
            format!("{label}: {steps} are too few to tell whether it changed")
        };
        match (&self.chart, self.last_signal()) {
            (Err(why), _) => format!("{label}: {}", lower_first(why.trim_end_matches('.'))),
            (Ok(_), Some(last)) => format!("{label}: {}", last.headline),
            (Ok(chart), None) if chart.points().len() < FEW_POINTS => few(),
            (Ok(_), None) => {
                format!("{label} varies no more than chance explains, {}", course.period)
            }
        }
    }
}

/// The chart that suits the expected events of a step, and why.
fn suited(counts: &[Count], baseline: Baseline) -> (ChartKind, String) {
    let part = counts.get(baseline.positions()).filter(|part| !part.is_empty()).unwrap_or(counts);
    let (events, procedures) = part.iter().fold((0_u64, 0_u64), |(events, procedures), count| {
        (events + count.events(), procedures + count.procedures())
    });
    let steps = counts.len().max(1);
    let mean: f64 = counts.iter().map(|count| float(count.procedures())).sum::<f64>() / float(steps as u64);
    let rate = if procedures == 0 { 0.0 } else { float(events) / float(procedures) };
    let sigma_z = laney(counts, baseline).ok().and_then(|chart| match chart.detail() {
        Detail::Laney(limits) => Some(limits.sigma_z),
        _ => None,
    });
    let choice = choose(mean * rate, sigma_z);
    (choice.kind, choice.why.to_string())
}

fn draw(kind: ChartKind, counts: &[Count], points: &Points, baseline: Baseline) -> Result<Chart, ChartError> {
    match kind {
        ChartKind::P => p_chart(counts, baseline),
        ChartKind::ExactP => exact_p_chart(counts, baseline),
        ChartKind::Laney => laney(counts, baseline),
        ChartKind::U => {
            let exposed: Vec<Exposed> = counts
                .iter()
                .map(|count| Exposed::new(count.events(), float(count.procedures())))
                .collect::<Result<_, _>>()?;
            u_chart(&exposed, baseline)
        }
        ChartKind::G => {
            let lengths: Vec<u64> = match points {
                Points::Gaps(gaps) => gaps.iter().map(|gap| gap.procedures).collect(),
                Points::Steps(_) => Vec::new(),
            };
            g_chart(&lengths, baseline)
        }
        ChartKind::T => Err(ChartError::NoPoints),
    }
}

/// An error of a chart as the page says it.
fn sentence(error: &ChartError, kind: ChartKind) -> String {
    match (kind, error) {
        (ChartKind::T, _) => NO_DAYS.to_owned(),
        (ChartKind::G, ChartError::NoPoints) => {
            "It takes two events to count the procedures between them; there are fewer.".to_owned()
        }
        (_, ChartError::NoPoints) => "No month of the period has procedures at risk.".to_owned(),
        (_, other) => format!("{}.", upper_first(&other.to_string())),
    }
}

/// What has to be known to read a chart of this kind.
fn notes(course: &Course, kind: ChartKind, points: &Points, chart: Option<&Chart>) -> Vec<String> {
    let mut notes: Vec<String> = course.left_out().into_iter().collect();
    let Some(chart) = chart else { return notes };
    match chart.detail() {
        Detail::Exact(limits) if limits.iter().all(|limit| !limit.can_signal_low()) => notes.push(
            "There are too few procedures in any one step for a low rate to be a signal: that none is seen does not \
             mean that nothing improved."
                .to_owned(),
        ),
        Detail::Laney(limits) => notes.push(format!(
            "σ_z is {:.2}: the rate varies that many times as much as chance alone would have it. With few points it is \
             itself unsure.",
            limits.sigma_z
        )),
        Detail::G(limits) => {
            notes.push(gaps::how_placed().to_owned());
            if !limits.short_gap_can_signal() {
                notes.push(
                    "At this rate no single gap can be improbably short, so this chart cannot show that it got worse; \
                     the CUSUM beneath can."
                        .to_owned(),
                );
            }
            if let Some(open) = gaps::open(course) {
                notes.push(gaps::open_in_words(open, limits));
            }
        }
        _ => {}
    }
    if chart.baseline_has_signal() {
        notes.push(
            "A point of the baseline itself is a signal, so the baseline was not stable: limits from it are a mixture of \
             what was before and after."
                .to_owned(),
        );
    }
    if kind.unit() == Unit::EventsByExposure {
        notes.push(
            "A case counts once for a mechanism, so events by procedures and the rate are the same numbers; only the \
             limits differ."
                .to_owned(),
        );
    }
    if points.len() < FEW_POINTS {
        notes.push(format!("{} points are few: limits from so little are loose.", points.len()));
    }
    notes
}

#[cfg(test)]
mod tests;
