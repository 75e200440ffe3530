//! Charts of events by subgroup: among procedures (p, exact p, Laney's p′) or over an exposure (u).

use std::collections::BTreeMap;

use super::{Baseline, Chart, ChartError, ChartKind, Detail, Point, SIGMAS, TAIL, sigma_of_moving_ranges};
use crate::stats::discrete::{Discrete, FOR_TAILS};
use crate::stats::proportion::Count;

/// The share of events in the baseline, above 0 and below 1.
fn pooled(subgroups: &[Count], baseline: Baseline) -> Result<f64, ChartError> {
    let part = baseline.part(subgroups)?;
    let events: u64 = part.iter().map(|count| count.events()).sum();
    let procedures: u64 = part.iter().map(|count| count.procedures()).sum();
    if events == 0 {
        return Err(ChartError::NoEventsInBaseline);
    }
    if events == procedures {
        return Err(ChartError::EventInEveryProcedure);
    }
    Ok(events as f64 / procedures as f64)
}

/// The standard error of the proportion of a subgroup.
fn standard_error(centre: f64, count: Count) -> f64 {
    (centre * (1.0 - centre) / count.procedures() as f64).sqrt()
}

/// Proportions with limits at 3 standard errors. Where a subgroup expects fewer than about 5 events
/// these limits mislead: see [`exact_p_chart`].
///
/// # Formula
/// ```text
/// p̄ ± 3 √(p̄(1−p̄)/nᵢ), with p̄ = events / procedures of the baseline
/// ```
/// # Source
/// Shewhart's limits; any textbook of quality control (common practice).
///
/// # Errors
/// A missing or empty baseline, or one with no event or an event in every procedure.
pub fn p_chart(subgroups: &[Count], baseline: Baseline) -> Result<Chart, ChartError> {
    let centre = pooled(subgroups, baseline)?;
    let points = subgroups
        .iter()
        .map(|&count| Point::around(count.proportion(), centre, SIGMAS * standard_error(centre, count), 1.0))
        .collect();
    Ok(Chart { kind: ChartKind::P, baseline, centre, points, detail: Detail::None })
}

/// The exact limits of one subgroup, as counts, and how improbable what was seen is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ExactLimits {
    /// The smallest count that is still ordinary. 0 means that the low side cannot signal: the
    /// subgroup is too small to show an improvement, which is not the same as stable.
    pub smallest_ordinary: u64,
    /// The largest count that is still ordinary; all procedures when the high side cannot signal.
    pub largest_ordinary: u64,
    /// The probability of so many events or more at the rate of the baseline.
    pub tail_high: f64,
    /// The probability of so few events or fewer at the rate of the baseline.
    pub tail_low: f64,
}

impl ExactLimits {
    /// Whether any count could be improbably low, that is `(1−p̄)ⁿ ≤ 0.00135`; it takes about
    /// 6.6/p̄ procedures.
    #[must_use]
    pub const fn can_signal_low(self) -> bool {
        self.smallest_ordinary > 0
    }
}

/// Proportions with exact binomial limits: a count signals when it or one further out has a
/// probability of at most 0.00135. Right at any number of expected events. The detail is
/// [`Detail::Exact`], one element a point.
///
/// # Formula
/// ```text
/// signal when P(X ≥ k) ≤ 0.00135 or P(X ≤ k) ≤ 0.00135, X binomial with nᵢ and p̄
/// ```
/// # Source
/// Probability limits from the binomial distribution (common practice).
///
/// # Errors
/// A missing or empty baseline, or one with no event or an event in every procedure.
pub fn exact_p_chart(subgroups: &[Count], baseline: Baseline) -> Result<Chart, ChartError> {
    let centre = pooled(subgroups, baseline)?;
    let limits = exact_limits(subgroups, centre);
    let points = subgroups.iter().zip(&limits).map(|(&count, limits)| exact_point(count, *limits));
    let points = points.collect();
    Ok(Chart { kind: ChartKind::ExactP, baseline, centre, points, detail: Detail::Exact(limits) })
}

/// The limits of each subgroup; subgroups of one size share the work.
fn exact_limits(subgroups: &[Count], centre: f64) -> Vec<ExactLimits> {
    let odds = centre / (1.0 - centre);
    let mut by_size: BTreeMap<u32, (Discrete, u64, u64)> = BTreeMap::new();
    let limits = subgroups.iter().map(|count| {
        let (k, without) = count.split();
        let (chance, smallest_ordinary, largest_ordinary) =
            by_size.entry(k + without).or_insert_with_key(|&n| {
                let chance = Discrete::binomial(n, odds, FOR_TAILS);
                let (smallest, largest) =
                    (chance.quantile_from_below(TAIL).0, chance.quantile_from_above(TAIL).0);
                (chance, u64::from(smallest), u64::from(largest))
            });
        ExactLimits {
            smallest_ordinary: *smallest_ordinary,
            largest_ordinary: *largest_ordinary,
            tail_high: chance.at_least(k),
            tail_low: chance.at_most(k),
        }
    });
    limits.collect()
}

fn exact_point(count: Count, limits: ExactLimits) -> Point {
    // Divided as the value itself is, so that a count on the limit equals it to the last digit.
    let share = |events: u64| events as f64 / count.procedures() as f64;
    let lower = limits.can_signal_low().then(|| share(limits.smallest_ordinary));
    let upper = (limits.largest_ordinary < count.procedures()).then(|| share(limits.largest_ordinary));
    Point::judged(count.proportion(), lower, upper)
}

/// How much more than chance the subgroups vary.
#[derive(Debug, Clone, PartialEq)]
pub struct LaneyLimits {
    /// How many times the p-chart's limits are widened: 1 when chance explains the variation. With
    /// few points in the baseline it is unstable. Below 1 it narrows the limits.
    pub sigma_z: f64,
    /// Each point's distance from the centre in its own standard errors.
    pub z: Vec<f64>,
}

/// Proportions with limits that also hold what varies beyond chance from subgroup to subgroup. For
/// large subgroups, and when [`LaneyLimits::sigma_z`] is clearly above 1; a page shows it. The
/// detail is [`Detail::Laney`].
///
/// # Formula
/// ```text
/// zᵢ = (pᵢ − p̄)/√(p̄(1−p̄)/nᵢ);  σ_z = mean |zᵢ − zᵢ₋₁| / 1.128 over the baseline;
/// p̄ ± 3 σ_z √(p̄(1−p̄)/nᵢ)
/// ```
/// # Source
/// Laney, Qual Eng 2002;14:531 (from memory).
///
/// # Errors
/// As [`p_chart`]; fewer than 2 points in the baseline; a baseline without any variation.
pub fn laney(subgroups: &[Count], baseline: Baseline) -> Result<Chart, ChartError> {
    let centre = pooled(subgroups, baseline)?;
    let z: Vec<f64> = subgroups
        .iter()
        .map(|&count| (count.proportion() - centre) / standard_error(centre, count))
        .collect();
    let sigma_z = sigma_of_moving_ranges(baseline.part(&z)?)?;
    let points = subgroups
        .iter()
        .map(|&count| {
            let reach = SIGMAS * standard_error(centre, count) * sigma_z;
            Point::around(count.proportion(), centre, reach, 1.0)
        })
        .collect();
    let detail = Detail::Laney(LaneyLimits { sigma_z, z });
    Ok(Chart { kind: ChartKind::Laney, baseline, centre, points, detail })
}

/// Events over an exposure, where one procedure can hold several: the exposure is above 0, in any
/// one unit (procedures, lesions, days).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Exposed {
    events: u64,
    exposure: f64,
}

impl Exposed {
    /// So many events over so much exposure.
    ///
    /// # Errors
    /// [`ChartError::BadExposure`] when the exposure is 0, below 0 or no finite number.
    pub fn new(events: u64, exposure: f64) -> Result<Self, ChartError> {
        if exposure > 0.0 && exposure.is_finite() {
            Ok(Self { events, exposure })
        } else {
            Err(ChartError::BadExposure)
        }
    }

    fn rate(self) -> f64 {
        self.events as f64 / self.exposure
    }
}

/// Events by exposure with limits at 3 standard errors.
///
/// # Formula
/// ```text
/// ū ± 3 √(ū/nᵢ), with ū = events / exposure of the baseline
/// ```
/// # Source
/// Shewhart's limits; any textbook of quality control (common practice).
///
/// # Errors
/// A missing or empty baseline, or one with no event.
pub fn u_chart(subgroups: &[Exposed], baseline: Baseline) -> Result<Chart, ChartError> {
    let part = baseline.part(subgroups)?;
    let events: u64 = part.iter().map(|subgroup| subgroup.events).sum();
    let exposure: f64 = part.iter().map(|subgroup| subgroup.exposure).sum();
    if events == 0 {
        return Err(ChartError::NoEventsInBaseline);
    }
    let centre = events as f64 / exposure;
    let points = subgroups
        .iter()
        .map(|subgroup| {
            let reach = SIGMAS * (centre / subgroup.exposure).sqrt();
            Point::around(subgroup.rate(), centre, reach, f64::INFINITY)
        })
        .collect();
    Ok(Chart { kind: ChartKind::U, baseline, centre, points, detail: Detail::None })
}
