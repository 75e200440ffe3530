//! The course of a biomarker around the procedure: baseline, peak and rise.

use std::fmt;

use crate::clinical::answer::{Answer, Judgement};
use crate::clinical::facts::{Input, ProcedureFacts, Ranked as _, Sample};
use crate::clinical::look::{self, Look};
use crate::clinical::quantities::{AgainstLimit, Decimal, Unit};
use crate::quantity::Offset;

/// The inputs that a biomarker goes by.
#[derive(Debug, Clone, Copy)]
pub(super) struct Inputs {
    pub before: &'static Input,
    pub trend: &'static Input,
    pub after: &'static Input,
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
        let (mut before, mut peak) = (LastTwo::none(), None);
        let (mut unplaced, mut late) = (0, 0);
        for sample in samples {
            match procedure.is_before(sample.drawn) {
                Answer::Yes => before.take(sample),
                Answer::No if procedure.is_within_hours(sample.drawn, WINDOW_H).is_yes() => {
                    peak = Some(peak.map_or(sample, |top| higher(top, sample)));
                }
                Answer::No => late += 1,
                Answer::Unknown => unplaced += 1,
            }
        }
        note_left_out(look, unplaced, late);
        let used = [before.earlier, before.last, peak];
        for (sample, input) in used.into_iter().zip([inputs.before, inputs.before, inputs.after]) {
            if let Some(sample) = sample {
                look.sample(input, sample, shown(sample.value));
            }
        }
        let [earlier, last_before, peak] = used.map(|sample| sample.map(|sample| sample.value));
        let mixed = last_before.zip(peak).is_some_and(|(last, peak)| !peak.same_assay(last));
        Self { inputs, earlier, last_before, peak, mixed }
    }

    /// Whether a sample within the window exists.
    pub(super) const fn is_measured(&self) -> bool {
        self.peak.is_some()
    }

    /// Whether the peak is above the last sample before, so far as the two can be compared.
    pub(super) fn has_risen(&self) -> bool {
        self.last_before.zip(self.peak).is_some_and(|(last, peak)| is_higher(peak, last))
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

    /// The peak as a multiple of the limit, for a clause: `14 times the limit`.
    pub(super) fn peak_in_words(&self) -> impl fmt::Display {
        fmt::from_fn(|f| match self.peak {
            Some(peak) => write!(f, "{} the limit", peak.times_in_words()),
            None => f.write_str("a value that was not measured"),
        })
    }

    /// The change from the last sample before to the peak, for a clause. A rise has its size; no
    /// rise, or a fall, has words of its own; and what is missing is named.
    pub(super) fn change_in_words(&self, marker: &str, by: By) -> impl fmt::Display {
        fmt::from_fn(move |f| match (self.last_before, self.peak) {
            (_, None) => write!(f, "no {marker} within {WINDOW_H} h after the procedure"),
            (None, Some(_)) => {
                write!(f, "{marker} of {}, with none drawn before the procedure", self.peak_in_words())
            }
            (Some(_), Some(_)) if self.mixed => {
                write!(f, "{marker} of {}, against another limit than before", self.peak_in_words())
            }
            (Some(last), Some(peak)) if !is_higher(peak, last) => {
                write!(f, "{marker} did not rise: {}", last.value().from_to(peak.value()))
            }
            (Some(last), Some(peak)) => match (by, peak.percent_in_words(last)) {
                (By::Percent, Some(percent)) => write!(f, "a rise of {marker} by {percent}"),
                _ => write!(f, "a rise of {marker} by {} the limit", peak.rise_in_words(last)),
            },
        })
    }
}

/// What a rise is told by.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum By {
    /// Multiples of the limit.
    Times,
    /// Percent of the last sample before.
    Percent,
}

/// The last two samples of some, in whatever order they come.
struct LastTwo<'s, U: Unit> {
    earlier: Option<&'s Sample<AgainstLimit<U>>>,
    last: Option<&'s Sample<AgainstLimit<U>>>,
}

impl<'s, U: Unit> LastTwo<'s, U> {
    const fn none() -> Self {
        Self { earlier: None, last: None }
    }

    fn take(&mut self, sample: &'s Sample<AgainstLimit<U>>) {
        let is_later = |than: Option<&Sample<_>>| than.is_none_or(|than| place(sample) > place(than));
        if is_later(self.last) {
            self.earlier = self.last.replace(sample);
        } else if is_later(self.earlier) {
            self.earlier = Some(sample);
        }
    }
}

/// Where a sample stands among others: by time, and of the same moment the larger comes last.
fn place<U: Unit>(sample: &Sample<AgainstLimit<U>>) -> (Offset, i128) {
    (sample.drawn, sample.value.rank())
}

/// The higher of two samples; of equally high ones the one that came first.
fn higher<'s, U: Unit>(
    one: &'s Sample<AgainstLimit<U>>,
    other: &'s Sample<AgainstLimit<U>>,
) -> &'s Sample<AgainstLimit<U>> {
    if is_higher(other.value, one.value) {
        other
    } else if is_higher(one.value, other.value) || place(one) <= place(other) {
        one
    } else {
        other
    }
}

/// Says how many samples were left out, and why.
fn note_left_out(look: &mut Look, unplaced: usize, late: usize) {
    if unplaced > 0 {
        look.note(format_args!(
            "{} not used: without the start of the procedure nothing says whether it was before or after.",
            count(unplaced)
        ));
    }
    if late > 0 {
        look.note(format_args!(
            "{} not used: later than 48 h after the procedure, or not known to be within them.",
            count(late)
        ));
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

fn shown<U: Unit>(value: AgainstLimit<U>) -> String {
    look::write(format_args!("{value}, {} it", value.times_in_words()))
}

fn count(samples: usize) -> String {
    if samples == 1 { "1 sample was".to_owned() } else { format!("{samples} samples were") }
}
