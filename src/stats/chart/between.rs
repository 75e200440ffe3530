//! Charts of what lies between two events: procedures (g) or days (t). For rare events, where most
//! months hold none. A short gap is the bad signal, a long one the good.

use super::{Baseline, Chart, ChartError, ChartKind, Detail, Point, SIGMAS, TAIL, sigma_of_moving_ranges};

/// From about which mean gap, in procedures, a single short gap can be improbable at all: the
/// chance that two events follow each other directly is `1/(ḡ+1)`, and `1/0.00135 − 1 = 739.7`.
pub const SHORT_GAP_CAN_SIGNAL_FROM: f64 = 1.0 / TAIL - 1.0;

/// The root that makes times between events nearly normal.
pub const NELSON_POWER: f64 = 3.6;

/// The limits of a gap, in procedures without the event between two with it. The same for every
/// point, because a gap is one observation whatever its length.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GLimits {
    /// The chance of an event in a procedure that the mean gap speaks for, `1/(ḡ+1)`.
    pub event_probability: f64,
    /// `ḡ − 3√(ḡ(ḡ+1))`, where it is above 0; it never is for a mean above 0.
    pub three_sigma_lower: f64,
    /// `ḡ + 3√(ḡ(ḡ+1))`.
    pub three_sigma_upper: f64,
    /// The gap that half stay below, as a continuous number: the line for a run rule, because the
    /// distribution is skewed and its mean lies higher.
    pub median: f64,
    /// The gap that a share of 0.00135 stay below, as a continuous number.
    pub probability_lower: f64,
    /// The gap that a share of 0.99865 stay below, as a continuous number.
    pub probability_upper: f64,
    /// The shortest gap that is improbably long, `P(G ≥ g) ≤ 0.00135`: a signal of improvement. The
    /// procedures since the last event may be compared with it before the next event comes.
    pub shortest_long_gap: u64,
    /// The shortest gap that is still ordinary. 0 means that no gap is improbably short.
    pub shortest_ordinary_gap: u64,
}

impl GLimits {
    /// Whether a single short gap can be a signal; it takes a mean gap of about 740 procedures.
    /// Below that a worsening needs a CUSUM, and a page says so.
    #[must_use]
    pub const fn short_gap_can_signal(&self) -> bool {
        self.shortest_ordinary_gap > 0
    }

    fn from_mean(mean: f64) -> Self {
        let event_probability = 1.0 / (mean + 1.0);
        let log_none = (-event_probability).ln_1p();
        let reach = SIGMAS * (mean * (mean + 1.0)).sqrt();
        let quantile = |share: f64| (-share).ln_1p() / log_none;
        Self {
            event_probability,
            three_sigma_lower: (mean - reach).max(0.0),
            three_sigma_upper: mean + reach,
            median: quantile(0.5),
            probability_lower: quantile(TAIL),
            probability_upper: TAIL.ln() / log_none,
            // The casts saturate; a gap of 2⁵³ procedures does not occur.
            shortest_long_gap: (TAIL.ln() / log_none).ceil() as u64,
            shortest_ordinary_gap: quantile(TAIL).floor() as u64,
        }
    }
}

/// Procedures between events, counted from 0 for two events in a row, judged by exact limits of the
/// geometric distribution. The gap that is still open after the last event is not a point yet; nor
/// is the stretch before the first event, unless the counting began at an event.
///
/// The limits at 3 standard errors are in [`Detail::G`] too; no point is judged by them, because
/// the distribution is skewed.
///
/// # Formula
/// ```text
/// ḡ = mean gap of the baseline; p̂ = 1/(ḡ+1); P(G ≥ g) = (1−p̂)^g;
/// above when P(G ≥ g) ≤ 0.00135; below when P(G ≤ g) ≤ 0.00135
/// ```
/// # Source
/// Benneyan, Health Care Manag Sci 2001;4:305 (from memory).
///
/// # Errors
/// A missing or empty baseline, or one in which every gap is 0.
pub fn g_chart(gaps: &[u64], baseline: Baseline) -> Result<Chart, ChartError> {
    let part = baseline.part(gaps)?;
    let centre = part.iter().map(|&gap| gap as f64).sum::<f64>() / part.len() as f64;
    if centre <= 0.0 {
        return Err(ChartError::EventInEveryProcedure);
    }
    let limits = GLimits::from_mean(centre);
    let lower = limits.short_gap_can_signal().then_some(limits.shortest_ordinary_gap as f64);
    let upper = Some(limits.shortest_long_gap.saturating_sub(1) as f64);
    let points = gaps.iter().map(|&gap| Point::judged(gap as f64, lower, upper)).collect();
    Ok(Chart { kind: ChartKind::G, baseline, centre, points, detail: Detail::G(limits) })
}

/// The limits of a time, on the transformed scale.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TLimits {
    /// The mean of the transformed times of the baseline.
    pub mean: f64,
    /// Their standard deviation, from moving ranges.
    pub sigma: f64,
}

/// Days between events, judged as single values after Nelson's transformation. Where only the
/// month of an event is known this is too coarse: chart the procedures between events.
///
/// # Formula
/// ```text
/// y = t^(1/3.6); σ = mean |yᵢ − yᵢ₋₁| / 1.128 over the baseline; (ȳ ± 3σ)^3.6
/// ```
/// # Source
/// Nelson, J Qual Technol 1994;26:239 (from memory).
///
/// # Errors
/// [`ChartError::BadTime`] for a time that is 0, below 0 or no finite number, anywhere in the
/// series; a missing or empty baseline; fewer than 2 points in it, or all alike.
pub fn t_chart(days: &[f64], baseline: Baseline) -> Result<Chart, ChartError> {
    if let Some(&bad) = days.iter().find(|&&time| !(time > 0.0 && time.is_finite())) {
        return Err(ChartError::BadTime(bad));
    }
    let y: Vec<f64> = days.iter().map(|time| time.powf(NELSON_POWER.recip())).collect();
    let part = baseline.part(&y)?;
    let mean = part.iter().sum::<f64>() / part.len() as f64;
    let sigma = sigma_of_moving_ranges(part)?;
    let low = mean - SIGMAS * sigma;
    let lower = (low > 0.0).then(|| low.powf(NELSON_POWER));
    let upper = Some((mean + SIGMAS * sigma).powf(NELSON_POWER));
    let points = days.iter().map(|&time| Point::judged(time, lower, upper)).collect();
    let (centre, detail) = (mean.powf(NELSON_POWER), Detail::T(TLimits { mean, sigma }));
    Ok(Chart { kind: ChartKind::T, baseline, centre, points, detail })
}
