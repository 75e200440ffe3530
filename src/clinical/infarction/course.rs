//! The course of a biomarker around the procedure: baseline, peak and rise.

use crate::clinical::answer::Judgement;
use crate::clinical::facts::{Input, ProcedureFacts, Sample, split};
use crate::clinical::look::Look;
use crate::clinical::quantities::{AgainstLimit, Decimal, Unit};

/// The inputs that a biomarker goes by.
#[derive(Debug, Clone, Copy)]
pub(super) struct Inputs {
    pub before: Input,
    pub trend: Input,
    pub after: Input,
}

/// How long after the procedure a sample counts, in hours.
const WINDOW_H: i64 = 48;
/// By how much two samples may differ to be stable, and a rise must exceed, in percent.
const STABLE_PERCENT: i128 = 20;

/// A biomarker around the procedure, against its upper reference limit.
#[derive(Debug)]
pub(super) struct Course<U: Unit> {
    inputs: Inputs,
    earlier: Option<AgainstLimit<U>>,
    last_before: Option<AgainstLimit<U>>,
    peak: Option<AgainstLimit<U>>,
    mixed: bool,
}

impl<U: Unit> Course<U> {
    /// Reads a series: the last two samples before the procedure and the highest within 48 h.
    pub(super) fn read(
        samples: &[Sample<AgainstLimit<U>>],
        procedure: &ProcedureFacts,
        inputs: Inputs,
        look: &mut Look,
    ) -> Self {
        let cut = split(samples, procedure);
        if cut.unplaced > 0 {
            look.note(format!(
                "{} not used: without the start of the procedure nothing says whether it was before or after.",
                count(cut.unplaced)
            ));
        }
        let mut late = 0;
        let mut peak: Option<&Sample<AgainstLimit<U>>> = None;
        for sample in &cut.after {
            if !procedure.is_within_hours(sample.drawn, WINDOW_H).is_yes() {
                late += 1;
            } else if peak.is_none_or(|highest| is_higher(sample.value, highest.value)) {
                peak = Some(sample);
            }
        }
        if late > 0 {
            look.note(format!(
                "{} not used: later than 48 h after the procedure, or not known to be within them.",
                count(late)
            ));
        }
        let last = cut.before.last();
        let earlier = cut.before.len().checked_sub(2).and_then(|index| cut.before.get(index));
        for sample in earlier.into_iter().chain(last) {
            look.sample(inputs.before, sample, shown(sample.value));
        }
        if let Some(peak) = peak {
            look.sample(inputs.after, peak, shown(peak.value));
        }
        let used = [earlier.map(|s| s.value), last.map(|s| s.value), peak.map(|s| s.value)];
        Self { inputs, earlier: used[0], last_before: used[1], peak: used[2], mixed: is_mixed(&used) }
    }

    /// Whether a sample within the window exists.
    pub(super) const fn is_measured(&self) -> bool {
        self.peak.is_some()
    }

    /// Whether the last sample before the procedure was at the limit or below.
    pub(super) fn baseline_normal(&self) -> Judgement {
        Judgement::test(self.inputs.before, self.last_before, |value| !value.is_above(Decimal::whole(1)))
    }

    /// Whether an elevated baseline was stable (the last two within 20 %) or falling. One sample
    /// alone does not say.
    pub(super) fn baseline_settled(&self) -> Judgement {
        let Some(last) = self.last_before else {
            return Judgement::missing(self.inputs.before);
        };
        let Some(earlier) = self.earlier else {
            return Judgement::missing(self.inputs.trend);
        };
        if !last.same_assay(earlier) {
            return Judgement::open(MIXED);
        }
        Judgement::known(last.is_within_percent(earlier, STABLE_PERCENT) || !is_higher(last, earlier))
    }

    /// Whether the peak is more than so many times the limit.
    pub(super) fn peak_above(&self, times: i64) -> Judgement {
        Judgement::test(self.inputs.after, self.peak, |peak| peak.is_above(Decimal::whole(times)))
    }

    /// Whether the peak is so many times the limit or more.
    pub(super) fn peak_at_least(&self, times: i64) -> Judgement {
        Judgement::test(self.inputs.after, self.peak, |peak| peak.is_at_least(Decimal::whole(times)))
    }

    /// Whether the rise from the last sample before is so many times the limit or more. A peak below
    /// that settles it without a baseline.
    pub(super) fn rise_at_least(&self, times: i64) -> Judgement {
        let limit = Decimal::whole(times);
        match (self.last_before, self.peak) {
            (_, Some(peak)) if !peak.is_at_least(limit) => Judgement::known(false),
            (Some(_), Some(_)) if self.mixed => Judgement::open(MIXED),
            (Some(last), Some(peak)) => Judgement::known(peak.has_risen_by(last, limit)),
            (None, Some(_)) => Judgement::missing(self.inputs.before),
            (_, None) => Judgement::missing(self.inputs.after),
        }
    }

    /// Whether the peak is more than 20 % above the last sample before.
    pub(super) fn rise_above_fifth(&self) -> Judgement {
        match (self.last_before, self.peak) {
            (Some(_), Some(_)) if self.mixed => Judgement::open(MIXED),
            (Some(last), Some(peak)) => Judgement::known(peak.is_percent_above(last, STABLE_PERCENT)),
            (None, Some(_)) => Judgement::missing(self.inputs.before),
            (_, None) => Judgement::missing(self.inputs.after),
        }
    }

    /// The clause that lets a peak be read against the baseline: a normal one, or an elevated one
    /// that was stable or falling with a rise above 20 %. After a baseline that was rising, an
    /// infarct of the procedure cannot be told from the one before it.
    pub(super) fn comparable(&self) -> Judgement {
        let settled = match self.baseline_settled() {
            clause if clause.is_no() => Judgement::open(RISING),
            clause => clause,
        };
        self.baseline_normal().or(settled.and(self.rise_above_fifth()))
    }

    /// As [`Course::comparable`], but without asking for a rise.
    pub(super) fn readable(&self) -> Judgement {
        let settled = match self.baseline_settled() {
            clause if clause.is_no() => Judgement::open(RISING),
            clause => clause,
        };
        self.baseline_normal().or(settled)
    }

    /// The peak as a multiple of the limit, for a clause.
    pub(super) fn peak_in_words(&self) -> String {
        self.peak.map_or_else(
            || "not measured".to_owned(),
            |peak| format!("{} times the limit", peak.times_in_words()),
        )
    }

    /// The rise as a multiple of the limit, for a clause.
    pub(super) fn rise_in_words(&self) -> String {
        match (self.last_before, self.peak) {
            (Some(last), Some(peak)) => format!("{} times the limit", peak.rise_in_words(last)),
            _ => "not measured".to_owned(),
        }
    }

    /// The rise in percent of the baseline, for a clause.
    pub(super) fn percent_in_words(&self) -> String {
        match (self.last_before, self.peak) {
            (Some(last), Some(peak)) => peak.percent_in_words(last),
            _ => "not measured".to_owned(),
        }
    }
}

const MIXED: &str =
    "The samples were measured against different limits, so that one cannot be taken from the other.";
const RISING: &str = "The baseline was elevated and rising, so that this cannot be told from the infarct before the procedure.";

fn is_higher<U: Unit>(one: AgainstLimit<U>, other: AgainstLimit<U>) -> bool {
    if one.same_assay(other) {
        return one.value().exact() > other.value().exact();
    }
    // Against different limits, the multiples are compared.
    one.value().exact() * other.limit().exact() > other.value().exact() * one.limit().exact()
}

fn is_mixed<U: Unit>(used: &[Option<AgainstLimit<U>>; 3]) -> bool {
    match (used[1], used[2]) {
        (Some(last), Some(peak)) => !peak.same_assay(last),
        _ => false,
    }
}

fn shown<U: Unit>(value: AgainstLimit<U>) -> String {
    format!("{value}, {} times it", value.times_in_words())
}

fn count(samples: usize) -> String {
    if samples == 1 { "1 sample was".to_owned() } else { format!("{samples} samples were") }
}
