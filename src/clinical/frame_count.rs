//! Corrected TIMI frame count.

use super::choices::{Choices, FrameCountWithoutFlow};
use super::definition::{Assess, Definition, Section, Source};
use super::facts::{Coronary, Facts, FrameCountFacts, Input, Row};
use super::finding::Finding;
use super::look::{Look, only_missing};
use super::quantities::{Decimal, Frame, FrameRate};

/// Corrected TIMI frame count.
///
/// # Formula
/// ```text
/// (last − first) × 30 ÷ frames a second, ÷ 1.7 in the LAD; slow above 27
/// ```
pub const DEFINITION: Definition = Definition {
    slug: "timi-frame-count",
    name: "Corrected TIMI frame count",
    section: Section::Flow,
    rule: "Frames from the first with contrast over the full width of the ostium, moving forward, to the first \
           with contrast in the distal landmark (LAD: distal fork; LCx: distal fork of the longest branch; RCA: \
           first posterolateral side branch), turned to 30 frames a second, and in the LAD divided by 1.7. \
           Normal is about 21 ± 3, in the LAD about 36 before it is divided. Slow is above 27.",
    boundaries: "27.0 is not slow, 27.1 is. The unrounded count decides; one decimal is shown. At TIMI 0 and 1 no \
                 landmark is reached, and nothing is computed unless your department sets it to 100.",
    sources: &[Source::recalled(
        "Gibson et al., Circulation 1996;93:879",
        "the count, the factor 1.7, the normal range; above 27 as about the mean plus two standard deviations",
    )],
    inputs: &[
        FrameCountFacts::CORONARY,
        FrameCountFacts::FIRST,
        FrameCountFacts::LAST,
        FrameCountFacts::FRAME_RATE,
        FrameCountFacts::FLOW,
    ],
    choices: &["frame-count-without-flow"],
    assess: Assess::Rows(assess),
};

/// The count above which flow is slow.
const SLOW: i128 = 27;
/// The same as a number.
const SLOW_COUNT: Decimal = Decimal::whole(27);

/// A corrected count as a fraction, so that the limit is met exactly.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct CorrectedCount {
    over: i128,
    under: i128,
}

impl CorrectedCount {
    /// The count of a run; `None` when the last frame is before the first.
    #[must_use]
    pub fn of(first: Frame, last: Frame, rate: FrameRate, coronary: Coronary) -> Option<Self> {
        let frames = last.value().wide() - first.value().wide();
        let (tenths, under_tenths) = if coronary == Coronary::Lad { (10, 17) } else { (10, 10) };
        (frames >= 0).then(|| Self { over: frames * 30 * tenths, under: rate.value().wide() * under_tenths })
    }

    /// Whether it is above 27.
    #[must_use]
    pub const fn is_slow(self) -> bool {
        self.over > SLOW * self.under
    }

    /// The count with one decimal for show; with more where one would hide that it is above a limit.
    #[must_use]
    pub fn shown(self) -> String {
        Decimal::quotient(self.over, self.under)
            .map_or_else(String::new, |count| count.with_decimals_apart(1, &[SLOW_COUNT]))
    }
}

fn assess(facts: &Facts, choices: &Choices) -> Vec<Finding> {
    facts.frame_counts.iter().map(|row| judge(row, choices)).collect()
}

fn judge(row: &Row<FrameCountFacts>, choices: &Choices) -> Finding {
    let run = &row.facts;
    let mut look = Look::at(&DEFINITION, &row.subject);
    if let Some(flow) = look.value(run.flow())
        && flow.is_lost()
    {
        return match look.choose(choices.frame_count_without_flow) {
            FrameCountWithoutFlow::Hundred => look.met(
                "slow",
                "frame count set to 100, slow",
                format_args!("{flow}: no landmark was reached"),
            ),
            FrameCountWithoutFlow::NotComputed => {
                look.no_rule(format_args!("At {flow} no landmark is reached, so there is nothing to count."))
            }
        };
    }
    let coronary = look.value(run.coronary());
    let first = look.value(run.first());
    let last = look.value(run.last());
    let rate = look.value(run.frame_rate());
    let (Some(coronary), Some(first), Some(last), Some(rate)) = (coronary, first, last, rate) else {
        return look.lacking(missing(run));
    };
    let Some(count) = CorrectedCount::of(first, last, rate, coronary) else {
        return look.no_rule("The last frame is before the first. Check the two.");
    };
    let by = if coronary == Coronary::Lad { ", once divided by 1.7 for the LAD" } else { "" };
    let (frames, rate, shown) = (last.value().minus(first.value()), rate.value(), count.shown());
    let clause = format_args!("{frames} frames at {rate} a second make {shown} at 30 a second{by}");
    if count.is_slow() {
        look.met("slow", format_args!("frame count {shown}, slow"), format_args!("{clause}, above {SLOW}"))
    } else {
        look.not_met(
            format_args!("frame count {shown}, not slow"),
            format_args!("{clause}, not above {SLOW}"),
        )
    }
}

fn missing(run: &FrameCountFacts) -> Vec<&'static Input> {
    only_missing([
        (&FrameCountFacts::CORONARY, run.coronary.is_none()),
        (&FrameCountFacts::FIRST, run.first.is_none()),
        (&FrameCountFacts::LAST, run.last.is_none()),
        (&FrameCountFacts::FRAME_RATE, run.frame_rate.is_none()),
    ])
}
