//! Which chart suits how many events.

use super::ChartKind;

/// From how many expected events a subgroup the normal distribution, and with it limits at 3
/// standard errors, will do: statistics textbooks' "about 5" (common practice).
pub const ENOUGH_FOR_NORMAL_LIMITS: f64 = 5.0;

/// Below how many expected events a subgroup an event is rare, and what lies between two events
/// says more than the subgroup does: at 1, more than a third of the subgroups hold none (common
/// practice).
pub const RARE_BELOW: f64 = 1.0;

/// From which σ_z on the subgroups vary more than chance lets them. Chance alone gets there in fewer
/// than 1 of 100 baselines of 20 subgroups (simulated in `tests/relook/reference/simulation.rs`, with
/// 150 procedures a subgroup at a rate of 0.05).
pub const OVERDISPERSED: f64 = 1.5;

/// A chart, and why.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Choice {
    /// The chart that suits.
    pub kind: ChartKind,
    /// The reason; it prints as a sentence.
    pub why: Why,
}

/// Why a chart suits.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Why {
    /// Enough events a subgroup for limits at 3 standard errors.
    EnoughEvents {
        /// Expected events a subgroup.
        expected: f64,
    },
    /// Too few for those limits, enough to chart by subgroup.
    FewEvents {
        /// Expected events a subgroup.
        expected: f64,
    },
    /// So few that many subgroups hold none.
    RareEvents {
        /// Expected events a subgroup.
        expected: f64,
    },
    /// More variation than chance.
    Overdispersed {
        /// How many times chance's standard deviation.
        sigma_z: f64,
    },
}

impl std::fmt::Display for Why {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::EnoughEvents { expected } => write!(
                f,
                "About {expected:.1} events are expected each time: enough for limits at 3 standard errors."
            ),
            Self::FewEvents { expected } => write!(
                f,
                "About {expected:.1} events are expected each time: too few for limits at 3 standard \
                 errors, so the limits are exact."
            ),
            Self::RareEvents { expected } => write!(
                f,
                "About {expected:.2} events are expected each time: many times hold none, so the chart \
                 shows the procedures between events."
            ),
            Self::Overdispersed { sigma_z } => write!(
                f,
                "The rate varies {sigma_z:.1} times as much as chance lets it, so the limits are widened \
                 by that."
            ),
        }
    }
}

/// The chart for so many expected events a subgroup (mean procedures times the rate of the
/// baseline), and so much variation beyond chance (`sigma_z` of a Laney chart) where it is known.
///
/// - below [`RARE_BELOW`]: g, also when nothing is known of the events (0 or no number);
/// - below [`ENOUGH_FOR_NORMAL_LIMITS`]: exact p;
/// - from there on p, or Laney's p′ from [`OVERDISPERSED`] on.
#[must_use]
pub fn choose(expected: f64, sigma_z: Option<f64>) -> Choice {
    if expected >= ENOUGH_FOR_NORMAL_LIMITS {
        return match sigma_z {
            Some(sigma_z) if sigma_z >= OVERDISPERSED => {
                Choice { kind: ChartKind::Laney, why: Why::Overdispersed { sigma_z } }
            }
            _ => Choice { kind: ChartKind::P, why: Why::EnoughEvents { expected } },
        };
    }
    if expected >= RARE_BELOW {
        Choice { kind: ChartKind::ExactP, why: Why::FewEvents { expected } }
    } else {
        Choice { kind: ChartKind::G, why: Why::RareEvents { expected: expected.max(0.0) } }
    }
}
