//! One odds ratio from several strata.

use super::{Table, odds_ratio};
use crate::stats::proportion::{Interval, Level};
use crate::stats::special::chi_square_above;

/// The odds ratio of several strata together. Before it is shown, look at [`directions`]: strata
/// that point opposite ways are shown side by side and not pooled.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pooled {
    estimate: f64,
    interval: Interval,
    chi_squared: f64,
    crude: Option<f64>,
    used: usize,
    skipped: usize,
}

impl Pooled {
    /// The pooled odds ratio, above 0.
    #[must_use]
    pub const fn estimate(self) -> f64 {
        self.estimate
    }

    /// Its limits.
    #[must_use]
    pub const fn interval(self) -> Interval {
        self.interval
    }

    /// The test statistic of "no association in any stratum", without continuity correction; one
    /// degree of freedom.
    #[must_use]
    pub const fn chi_squared(self) -> f64 {
        self.chi_squared
    }

    /// The p-value of [`Self::chi_squared`].
    #[must_use]
    pub fn p_value(self) -> f64 {
        chi_square_above(self.chi_squared, 1)
    }

    /// The sample odds ratio of all strata thrown together, to show what stratifying moved; `None`
    /// when it is not finite.
    #[must_use]
    pub const fn crude(self) -> Option<f64> {
        self.crude
    }

    /// How many strata went in.
    #[must_use]
    pub const fn used(self) -> usize {
        self.used
    }

    /// How many strata had an empty row or column, and so had nothing to add.
    #[must_use]
    pub const fn skipped(self) -> usize {
        self.skipped
    }
}

/// Why strata have no pooled odds ratio.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum PoolError {
    /// Each stratum has an empty row or column, or there are none.
    #[error("no stratum holds both kinds of procedures and both outcomes, so none can be pooled")]
    NothingToPool,
    /// In every stratum a cell of the same diagonal is 0.
    #[error("the pooled odds ratio is 0 or infinite, and has no limits")]
    NotFinite,
}

/// The odds ratio pooled over strata, with its limits.
///
/// # Formula
/// ```text
/// with n = a+b+c+d, R = ad/n, S = bc/n, P = (a+d)/n, Q = (b+c)/n in each stratum:
/// OR = ΣR/ΣS;   var ln OR = ΣPR/2(ΣR)² + Σ(PS+QR)/2ΣRΣS + ΣQS/2(ΣS)²
/// χ² = (Σ(a − (a+b)(a+c)/n))² / Σ (a+b)(c+d)(a+c)(b+d)/(n²(n−1))
/// ```
/// # Source
/// Mantel & Haenszel, J Natl Cancer Inst 1959;22:719; Robins, Breslow & Greenland, Biometrics
/// 1986;42:311 (both from memory).
/// # Errors
/// [`PoolError::NothingToPool`] when all strata are skipped; [`PoolError::NotFinite`].
pub fn mantel_haenszel(strata: &[Table], level: Level) -> Result<Pooled, PoolError> {
    let mut sums = Sums::default();
    let mut used = 0;
    for table in informative(strata) {
        sums.add(table);
        used += 1;
    }
    if used == 0 {
        return Err(PoolError::NothingToPool);
    }
    if sums.r <= 0.0 || sums.s <= 0.0 {
        return Err(PoolError::NotFinite);
    }
    let estimate = sums.r / sums.s;
    let factor = (level.z() * sums.variance().sqrt()).exp();
    Ok(Pooled {
        estimate,
        interval: Interval::new(estimate / factor, estimate * factor),
        chi_squared: sums.surplus * sums.surplus / sums.spread,
        crude: crude(strata),
        used,
        skipped: strata.len() - used,
    })
}

/// The sample odds ratio of all strata in one table, the skipped ones too.
fn crude(strata: &[Table]) -> Option<f64> {
    let mut sums = [0.0; 4];
    for table in strata {
        for (sum, cell) in sums.iter_mut().zip(table.numbers()) {
            *sum += cell;
        }
    }
    let [a, b, c, d] = sums;
    (b * c > 0.0).then(|| a * d / (b * c))
}

fn informative(strata: &[Table]) -> impl Iterator<Item = Table> {
    strata.iter().copied().filter(|table| !table.has_empty_margin())
}

/// The sums over strata of [`mantel_haenszel`]'s formula.
#[derive(Default)]
struct Sums {
    r: f64,
    s: f64,
    pr: f64,
    mixed: f64,
    qs: f64,
    surplus: f64,
    spread: f64,
}

impl Sums {
    fn add(&mut self, table: Table) {
        let [a, b, c, d] = table.numbers();
        let n = a + b + c + d;
        let (r, s, p, q) = (a * d / n, b * c / n, (a + d) / n, (b + c) / n);
        self.r += r;
        self.s += s;
        self.pr += p * r;
        self.mixed += p * s + q * r;
        self.qs += q * s;
        // a − (a+b)(a+c)/n, without the difference of two near numbers.
        self.surplus += (a * d - b * c) / n;
        self.spread += (a + b) * (c + d) / n * ((a + c) * (b + d) / n) / (n - 1.0);
    }

    fn variance(&self) -> f64 {
        let Self { r, s, pr, mixed, qs, .. } = self;
        (pr / (r * r) + mixed / (r * s) + qs / (s * s)) / 2.0
    }
}

/// Whether strata point the same way.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Directions {
    /// No two strata point opposite ways.
    Same,
    /// The odds ratio is above 1 in one stratum and below 1 in another, but not so clearly that
    /// chance is left out.
    Mixed,
    /// The exact limits lie above 1 in one stratum and below 1 in another: show the strata, do not
    /// pool them.
    Opposite,
}

/// Whether strata point the same way. Strata with an empty row or column say nothing.
#[must_use]
pub fn directions(strata: &[Table], level: Level) -> Directions {
    let (mut seen, mut clear) = ([false; 2], [false; 2]);
    for table in informative(strata) {
        let [a, b, c, d] = table.numbers();
        seen[0] |= a * d < b * c;
        seen[1] |= a * d > b * c;
        if let Ok(found) = odds_ratio(table, level) {
            clear[0] |= found.exact().upper().is_some_and(|upper| upper < 1.0);
            clear[1] |= found.exact().lower() > 1.0;
        }
    }
    match (seen, clear) {
        (_, [true, true]) => Directions::Opposite,
        ([true, true], _) => Directions::Mixed,
        _ => Directions::Same,
    }
}
