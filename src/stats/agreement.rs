//! Agreement between reviewers who rate the same cases without knowing each other's ratings.
//!
//! - [`fleiss_kappa`]: the same number of ratings for each case, categories without order;
//! - [`krippendorff_alpha`]: any number of ratings a case, gaps allowed, categories or numbers.
//!
//! 1 is full agreement, 0 what chance would give, below 0 less than that. When every rating is the
//! same category there is nothing to agree about, and neither number exists.

/// Why there is no measure of agreement.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum AgreementError {
    /// No case was rated twice.
    #[error("no case has two ratings, so there is nothing to compare")]
    NothingToCompare,
    /// Every rating is the same.
    #[error("all ratings are the same category, so agreement beyond chance is undefined")]
    OneCategory,
    /// Fleiss' kappa needs a full table.
    #[error("case {case} has {found} ratings and the first has {expected}: every case needs the same number")]
    UnequalRatings {
        /// The case, counted from 1.
        case: usize,
        /// Ratings of the first case.
        expected: u64,
        /// Ratings of this case.
        found: u64,
    },
    /// A row with more or fewer categories than the first.
    #[error("case {0} lists other categories than the first")]
    UnequalCategories(usize),
    /// A rating that the measure cannot take.
    #[error("a rating is no number, or below 0 on a ratio scale")]
    BadRating,
}

/// Fleiss' kappa with its parts.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Kappa {
    /// The share of pairs of ratings that agree, 0 to 1.
    pub observed: f64,
    /// The share that would agree by chance, 0 to below 1.
    pub expected: f64,
    /// Agreement beyond chance, at most 1.
    pub kappa: f64,
}

/// Fleiss' kappa: `table[case][category]` holds how many reviewers chose the category. Every case
/// has the same number of ratings, at least 2.
///
/// # Formula
/// ```text
/// Pᵢ = (Σ nᵢⱼ² − n)/(n(n−1)); pⱼ = Σ nᵢⱼ/(N n); κ = (P̄ − Σ pⱼ²)/(1 − Σ pⱼ²)
/// ```
/// # Source
/// Fleiss, Psychol Bull 1971;76:378 (from memory).
///
/// # Errors
/// [`AgreementError`]; all ratings in one category is [`AgreementError::OneCategory`], not 1.
pub fn fleiss_kappa(table: &[Vec<u32>]) -> Result<Kappa, AgreementError> {
    let first = table.first().ok_or(AgreementError::NothingToCompare)?;
    let ratings: u64 = sum(first);
    check_table(table, first.len(), ratings)?;
    if ratings < 2 {
        return Err(AgreementError::NothingToCompare);
    }
    let (n, cases) = (ratings as f64, table.len() as f64);
    let square = |number: f64| number * number;
    let agreeing: f64 = table.iter().flatten().map(|&number| square(f64::from(number))).sum();
    let observed = (agreeing - cases * n) / (cases * n * (n - 1.0));
    let totals: Vec<u64> =
        (0..first.len()).map(|category| table.iter().map(|row| u64::from(row[category])).sum()).collect();
    if totals.iter().filter(|total| **total > 0).count() < 2 {
        return Err(AgreementError::OneCategory);
    }
    let expected: f64 = totals.iter().map(|&total| square(total as f64 / (cases * n))).sum();
    Ok(Kappa { observed, expected, kappa: (observed - expected) / (1.0 - expected) })
}

fn sum(row: &[u32]) -> u64 {
    row.iter().copied().map(u64::from).sum()
}

fn check_table(table: &[Vec<u32>], categories: usize, expected: u64) -> Result<(), AgreementError> {
    for (at, row) in table.iter().enumerate() {
        if row.len() != categories {
            return Err(AgreementError::UnequalCategories(at + 1));
        }
        let found = sum(row);
        if found != expected {
            return Err(AgreementError::UnequalRatings { case: at + 1, expected, found });
        }
    }
    Ok(())
}

/// What the distance between two ratings means.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Scale {
    /// Categories without order: the same or not.
    Nominal,
    /// Categories in order (a grade): how many ratings lie between.
    Ordinal,
    /// Numbers whose difference counts.
    Interval,
    /// Numbers from a true zero, 0 or more, whose ratio counts.
    Ratio,
}

/// Krippendorff's alpha: for each case its ratings, as many as there are; a missing rating is left
/// out, and a case with fewer than two counts for nothing. A category stands as its number.
///
/// # Formula
/// ```text
/// o(c,k) = Σ over cases of pairs (c,k) / (mᵢ−1); n(c) = Σ o(c,k); n = Σ n(c);
/// α = 1 − (n−1) Σ o(c,k) δ²(c,k) / Σ n(c) n(k) δ²(c,k)
/// δ²: nominal 1; ordinal (Σ n(g), g from c to k, − (n(c)+n(k))/2)²; interval (c−k)²;
///     ratio ((c−k)/(c+k))²
/// ```
/// # Source
/// Krippendorff, Computing Krippendorff's alpha-reliability, 2011 (from memory).
///
/// # Errors
/// [`AgreementError::NothingToCompare`], [`AgreementError::OneCategory`],
/// [`AgreementError::BadRating`].
pub fn krippendorff_alpha(cases: &[Vec<f64>], scale: Scale) -> Result<f64, AgreementError> {
    let pairable: Vec<&[f64]> = cases.iter().map(Vec::as_slice).filter(|case| case.len() > 1).collect();
    let bad = |value: f64| !value.is_finite() || (scale == Scale::Ratio && value < 0.0);
    if cases.iter().flatten().any(|&value| bad(value)) {
        return Err(AgreementError::BadRating);
    }
    let mut values: Vec<f64> = pairable.iter().copied().flatten().copied().collect();
    if values.is_empty() {
        return Err(AgreementError::NothingToCompare);
    }
    let ratings = values.len() as f64;
    values.sort_by(f64::total_cmp);
    // 0 and −0 are one category; `dedup` compares as numbers do.
    values.dedup();
    if values.len() < 2 {
        return Err(AgreementError::OneCategory);
    }
    let place = |value: f64| values.partition_point(|known| *known < value);
    let mut totals = vec![0.0; values.len()];
    pairable.iter().copied().flatten().for_each(|&value| totals[place(value)] += 1.0);
    let distance = Distance { scale, values: &values, up_to: running(&totals), totals: &totals };
    let mut observed = 0.0;
    for case in &pairable {
        let places: Vec<usize> = case.iter().map(|&value| place(value)).collect();
        let pairs: f64 = places
            .iter()
            .flat_map(|&c| places.iter().map(move |&k| (c, k)))
            .map(|(c, k)| distance.squared(c, k))
            .sum();
        observed += pairs / (case.len() - 1) as f64;
    }
    let expected: f64 = (0..totals.len())
        .flat_map(|c| (0..totals.len()).map(move |k| (c, k)))
        .map(|(c, k)| totals[c] * totals[k] * distance.squared(c, k))
        .sum();
    Ok(1.0 - (ratings - 1.0) * observed / expected)
}

/// The sum of all numbers up to each place, itself included.
fn running(totals: &[f64]) -> Vec<f64> {
    let mut sum = 0.0;
    totals
        .iter()
        .map(|total| {
            sum += total;
            sum
        })
        .collect()
}

/// The squared distance between values, by their places in order.
struct Distance<'a> {
    scale: Scale,
    values: &'a [f64],
    totals: &'a [f64],
    up_to: Vec<f64>,
}

impl Distance<'_> {
    fn squared(&self, c: usize, k: usize) -> f64 {
        if c == k {
            return 0.0;
        }
        let (low, high) = (c.min(k), c.max(k));
        let (one, other) = (self.values[low], self.values[high]);
        let distance = match self.scale {
            Scale::Nominal => 1.0,
            Scale::Ordinal => {
                let between = self.up_to[high] - self.up_to[low] + self.totals[low];
                between - f64::midpoint(self.totals[low], self.totals[high])
            }
            Scale::Interval => other - one,
            Scale::Ratio => (other - one) / (other + one),
        };
        distance * distance
    }
}

#[cfg(test)]
mod tests;
