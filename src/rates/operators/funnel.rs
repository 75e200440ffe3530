//! The operators against what chance alone allows at the number of their procedures.

use super::{Compared, OperatorCount, Pseudonym};
use crate::rates::settings::FewestByOperator;
use crate::rates::words::float;
use crate::rates::words::{counted, per_1000, whole_number};
use crate::stats::funnel::{FunnelLimits, Overdispersion, Target, limits, overdispersion};
use crate::stats::proportion::{Count, Interval, Level, wilson};
use crate::stats::shrinkage::{FEW_UNITS, Fit, fit};

/// With fewer operators each would be held against one other person (our own choice).
pub const FEWEST_COMPARED: usize = 3;

/// Below so many expected events a unit's z² is rough.
const EXPECTED_FEW: f64 = 5.0;
/// Steps of the limits along the axis.
const STEPS: u32 = 90;

/// Where an operator lies.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Standing {
    /// Below the 99.8 % limits.
    BelowOuter,
    /// Below the 95 % limits only.
    BelowInner,
    /// Within both.
    Within,
    /// Above the 95 % limits only.
    AboveInner,
    /// Above the 99.8 % limits.
    AboveOuter,
}

impl Standing {
    /// In words.
    #[must_use]
    pub const fn label(self) -> &'static str {
        match self {
            Self::BelowOuter => "below the 99.8 % limit",
            Self::BelowInner => "below the 95 % limit, within 99.8 %",
            Self::Within => "within the 95 % limits",
            Self::AboveInner => "above the 95 % limit, within 99.8 %",
            Self::AboveOuter => "above the 99.8 % limit",
        }
    }

    /// Whether it is outside the outer limits.
    #[must_use]
    pub const fn is_outside(self) -> bool {
        matches!(self, Self::BelowOuter | Self::AboveOuter)
    }

    fn of(count: Count, [inner, outer]: [FunnelLimits; 2]) -> Self {
        let rate = count.proportion();
        let above = |limits: FunnelLimits| rate > limits.upper().clipped();
        let below = |limits: FunnelLimits| rate < limits.lower().clipped();
        match (above(outer), above(inner), below(inner), below(outer)) {
            (true, ..) => Self::AboveOuter,
            (_, true, ..) => Self::AboveInner,
            (.., true) => Self::BelowOuter,
            (_, _, true, _) => Self::BelowInner,
            _ => Self::Within,
        }
    }
}

/// A rate drawn towards what all have in common, 0 to 1.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Shrunken {
    /// The rate.
    pub rate: f64,
    /// Its interval at 95 %.
    pub interval: Interval,
}

/// An operator among the others.
#[derive(Debug, Clone, PartialEq)]
pub struct Unit {
    /// What stands for the person.
    pub pseudonym: Pseudonym,
    /// Events among procedures.
    pub count: Count,
    /// The rate drawn towards the others'.
    pub shrunken: Shrunken,
    /// Where it lies.
    pub standing: Standing,
}

/// A pair of limits along the number of procedures; rates are 0 to 1.
#[derive(Debug, Clone, PartialEq)]
pub struct Curve {
    /// Its name.
    pub label: &'static str,
    /// Procedures, lower limit, upper limit, by ascending procedures.
    pub points: Vec<(u64, f64, f64)>,
}

/// The operators with their limits.
#[derive(Debug, Clone, PartialEq)]
pub struct Funnel {
    /// All that are shown together: the rate that the limits are drawn around.
    pub pooled: Count,
    /// The operators, in the order of the pseudonyms.
    pub units: Vec<Unit>,
    /// The limits, of 95 % and of 99.8 %.
    pub curves: Vec<Curve>,
    /// From how many procedures on an operator is shown.
    pub fewest: FewestByOperator,
    spread: Overdispersion,
    differ: bool,
}

/// Why no operator is set against limits.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum NoFunnel {
    /// Fewer than [`FEWEST_COMPARED`] have enough procedures.
    #[error(
        "Fewer than {FEWEST_COMPARED} operators have {0} procedures or more in this period. With fewer, each would be held against one other person, so nothing is shown."
    )]
    TooFew(FewestByOperator),
    /// Nobody had the event.
    #[error("No event in {} of {operators} operators: there is nothing to tell apart.", counted(*.procedures, "procedure"))]
    NoEvent {
        /// How many operators.
        operators: usize,
        /// Their procedures.
        procedures: u64,
    },
    /// The statistics refuse it.
    #[error("These counts cannot be set against limits: {0}.")]
    Refused(String),
}

const LEVELS: [(&str, Level); 2] = [("95 %", Level::NINETY_FIVE), ("99.8 %", Level::NINETY_NINE_EIGHT)];

impl Funnel {
    /// Sets those that are shown against limits around the rate of all of them together.
    ///
    /// # Errors
    /// [`NoFunnel`].
    pub fn of(compared: &Compared) -> Result<Self, NoFunnel> {
        let shown = &compared.shown;
        if shown.len() < FEWEST_COMPARED {
            return Err(NoFunnel::TooFew(compared.fewest));
        }
        let counts: Vec<Count> = shown.iter().map(|one| one.count).collect();
        let sum = |part: fn(Count) -> u64| counts.iter().map(|count| part(*count)).sum::<u64>();
        let pooled = Count::new(sum(Count::events), sum(Count::procedures)).map_err(refused)?;
        if pooled.events() == 0 {
            return Err(NoFunnel::NoEvent { operators: shown.len(), procedures: pooled.procedures() });
        }
        let target = Target::new(pooled.proportion()).map_err(refused)?;
        let fitted = fit(&counts).map_err(refused)?;
        let spread = overdispersion(&counts, target).ok_or(NoFunnel::TooFew(compared.fewest))?;
        let units = shown.iter().map(|one| unit(one, target, fitted)).collect::<Result<Vec<_>, _>>()?;
        let sizes = sizes(compared.fewest, &counts);
        let curves = LEVELS.iter().map(|(label, level)| curve(label, *level, target, &sizes));
        let curves = curves.collect::<Result<Vec<_>, _>>()?;
        let differ = matches!(fitted, Fit::Differ(_));
        Ok(Self { pooled, units, curves, fewest: compared.fewest, spread, differ })
    }

    /// What it finds, in a line that points to nobody.
    #[must_use]
    pub fn finding(&self) -> String {
        let of = self.units.len();
        match self.units.iter().filter(|unit| unit.standing.is_outside()).count() {
            0 => "No operator lies outside the 99.8 % limits".to_owned(),
            1 => format!("One of {of} operators lies outside the 99.8 % limits: look at the cases first"),
            some => {
                format!("{some} of {of} operators lie outside the 99.8 % limits: look at the cases first")
            }
        }
    }

    /// What it is made of.
    #[must_use]
    pub fn counted(&self) -> String {
        format!(
            "{} in {} of {} operators, {} per 1,000",
            counted(self.pooled.events(), "event"),
            counted(self.pooled.procedures(), "procedure"),
            self.units.len(),
            per_1000(self.pooled.proportion() * 1_000.0),
        )
    }

    /// Whether operators differ more than chance explains, which has to be read before any dot.
    #[must_use]
    pub fn spread_in_words(&self) -> String {
        let (mean, p) = (self.spread.mean_z_squared(), self.spread.p_value());
        let numbers = if p < 0.001 {
            format!("mean z² {mean:.1}, p below 0.001")
        } else {
            format!("mean z² {mean:.1}, p {p:.3}")
        };
        let few = self.expect_few();
        let rough = match few {
            0 => String::new(),
            1 => " One of them expects fewer than five events, so this is rough.".to_owned(),
            many => format!(" {many} of them expect fewer than five events, so this is rough."),
        };
        if p < 0.05 {
            format!(
                "The operators differ more than chance explains ({numbers}), as they do when they take on different cases: \
                 the limits are then too narrow and leave out too many.{rough}"
            )
        } else {
            format!("Together the operators differ no more than chance explains ({numbers}).{rough}")
        }
    }

    /// How many expect fewer than five events.
    fn expect_few(&self) -> usize {
        let expected =
            |unit: &&Unit| self.pooled.proportion() * float(unit.count.procedures()) < EXPECTED_FEW;
        self.units.iter().filter(expected).count()
    }

    /// What the shrunken rates say and how sure they are.
    #[must_use]
    pub fn shrunken_in_words(&self) -> String {
        if !self.differ {
            return "Shrunken rates: no difference between the operators beyond chance, so everybody’s is the rate of all together."
                .to_owned();
        }
        let narrow = if self.units.len() < FEW_UNITS {
            format!(
                " From {} operators how much they differ is itself uncertain, so these intervals are too narrow.",
                self.units.len()
            )
        } else {
            String::new()
        };
        format!(
            "Shrunken rates: each drawn towards the rate of all, the more the fewer its procedures.{narrow}"
        )
    }

    /// How limits and shrunken rates are made, and where that is published.
    #[must_use]
    pub fn rule(&self) -> String {
        format!(
            "Limits: exact binomial with interpolation around the rate of all that are shown, {} of {} (Spiegelhalter, Stat Med \
             2005;24:1185). By chance alone 1 in 20 lies outside the 95 % limits, 1 in 500 outside those of 99.8 %. Shrunken \
             rates: beta-binomial, the prior of greatest marginal likelihood (common practice). No adjustment for risk.",
            whole_number(self.pooled.events()),
            whole_number(self.pooled.procedures()),
        )
    }
}

fn refused(error: impl std::fmt::Display) -> NoFunnel {
    NoFunnel::Refused(error.to_string())
}

fn unit(one: &OperatorCount, target: Target, fitted: Fit) -> Result<Unit, NoFunnel> {
    let at = |level| limits(one.count.procedures(), target, level).map_err(refused);
    let [(_, inner), (_, outer)] = LEVELS;
    let shrunken = match fitted {
        Fit::Differ(prior) => {
            let shrunk = prior.shrink(one.count, Level::NINETY_FIVE);
            Shrunken { rate: shrunk.mean(), interval: shrunk.interval() }
        }
        Fit::NoDifferenceBeyondChance { pooled } => {
            Shrunken { rate: pooled.proportion(), interval: wilson(pooled, Level::NINETY_FIVE) }
        }
    };
    Ok(Unit {
        pseudonym: one.pseudonym.clone(),
        count: one.count,
        shrunken,
        standing: Standing::of(one.count, [at(inner)?, at(outer)?]),
    })
}

/// Numbers of procedures from the fewest that are shown to beyond the most, closer where the limits
/// bend, and those of every operator.
fn sizes(fewest: FewestByOperator, counts: &[Count]) -> Vec<u64> {
    let least = u64::from(fewest.get());
    let most = counts.iter().map(|count| count.procedures()).fold(2 * least, u64::max);
    let most = (most * 5 / 2).min(Count::MOST_PROCEDURES);
    let growth = float(most) / float(least);
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "1 to ten million")]
    let at = |step: u32| (float(least) * growth.powf(f64::from(step) / f64::from(STEPS))).round() as u64;
    let mut sizes: Vec<u64> =
        (0..=STEPS).map(at).chain(counts.iter().map(|count| count.procedures())).collect();
    sizes.sort_unstable();
    sizes.dedup();
    sizes
}

fn curve(label: &'static str, level: Level, target: Target, sizes: &[u64]) -> Result<Curve, NoFunnel> {
    let point = |size: &u64| {
        let limits = limits(*size, target, level).map_err(refused)?;
        Ok((*size, limits.lower().clipped(), limits.upper().clipped()))
    };
    Ok(Curve { label, points: sizes.iter().map(point).collect::<Result<_, NoFunnel>>()? })
}
