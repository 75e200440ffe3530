//! Whether events became fewer after an action: up to twelve counted months before it and after it, the
//! month in which it began left out of both.

use super::settings::FewestCompared;
use super::words::{per_1000, signed, whole_number};
use crate::case::Month;
use crate::stats::comparison::{Difference, newcombe};
use crate::stats::fell::probability_fell;
use crate::stats::poisson::{Exposure, rate_ratio};
use crate::stats::proportion::{Count, Level};
use crate::stats::ratio::RatioInterval;

/// The most months that are compared on each side.
pub const MOST_MONTHS: usize = 12;

/// Before and after an action.
#[derive(Debug, Clone, PartialEq)]
pub struct Effect {
    /// Months before that count, first and last.
    pub before_months: (Month, Month),
    /// Months after that count.
    pub after_months: (Month, Month),
    /// Events and procedures before.
    pub before: Count,
    /// Events and procedures after.
    pub after: Count,
    /// The rate after minus the rate before, Newcombe's interval at 95 %.
    pub difference: Difference,
    /// The rate after by the rate before with its exact interval; `None` without an event.
    pub ratio: Option<(Option<f64>, RatioInterval)>,
    /// The probability that the rate is lower now; `None` when there was no event on either side.
    pub fell: Option<f64>,
    /// The months before hold a signal for more events: what follows a peak looks lower by itself.
    pub after_a_peak: bool,
}

/// Why there is nothing to compare.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum NoEffect {
    /// No month on a side has procedures at risk.
    #[error("There are no counted months {0} it yet, so there is nothing to compare.")]
    NoMonths(&'static str),
    /// Fewer procedures than the department compares.
    #[error(
        "There are {found} procedures {side} it; fewer than {fewest} are not compared, because chance would decide."
    )]
    TooFew {
        /// Before or after.
        side: &'static str,
        /// Procedures that there are.
        found: u64,
        /// Procedures that it takes.
        fewest: u32,
    },
}

impl Effect {
    /// Compares the months before and after the one in which an action began. `months` are the
    /// counted months in order; `peaks` the months that a rule marked for more events.
    ///
    /// # Errors
    /// [`NoEffect`].
    pub fn of(
        months: &[(Month, Count)],
        began: Month,
        fewest: FewestCompared,
        peaks: &[Month],
    ) -> Result<Self, NoEffect> {
        let all_after: Vec<_> = months.iter().filter(|(month, _)| *month > began).collect();
        let all_before: Vec<_> = months.iter().filter(|(month, _)| *month < began).collect();
        let after = &all_after[..all_after.len().min(MOST_MONTHS)];
        let before = &all_before[all_before.len() - all_before.len().min(MOST_MONTHS)..];
        let (before_count, before_months) = side(before, "before", fewest)?;
        let (after_count, after_months) = side(after, "after", fewest)?;
        let exposure = |count: Count| Exposure::new(count.events(), count.procedures()).ok();
        let ratio = exposure(after_count)
            .zip(exposure(before_count))
            .and_then(|(after, before)| rate_ratio(after, before, Level::NINETY_FIVE).ok())
            .map(|ratio| (ratio.estimate(), ratio.interval()));
        Ok(Self {
            before_months,
            after_months,
            before: before_count,
            after: after_count,
            difference: newcombe(after_count, before_count, Level::NINETY_FIVE),
            ratio,
            fell: probability_fell(before_count, after_count).ok(),
            after_a_peak: peaks.iter().any(|peak| before_months.0 <= *peak && *peak <= began),
        })
    }

    /// The comparison in sentences.
    #[must_use]
    pub fn sentences(&self) -> Vec<String> {
        let side = |count: Count, (from, to): (Month, Month)| {
            format!(
                "{} per 1,000 ({} of {}, {} to {})",
                per_1000(count.proportion() * 1_000.0),
                whole_number(count.events()),
                whole_number(count.procedures()),
                from.in_words(),
                to.in_words()
            )
        };
        let interval = self.difference.interval().times(1_000.0);
        let mut sentences = vec![format!(
            "Before {}; after {}. Difference {} per 1,000, 95\u{a0}% interval {} to {} (Newcombe): {}.",
            side(self.before, self.before_months),
            side(self.after, self.after_months),
            signed(self.difference.estimate() * 1_000.0),
            signed(interval.lower()),
            signed(interval.upper()),
            if self.difference.excludes_zero() {
                "more than chance explains"
            } else {
                "chance alone may explain it"
            }
        )];
        if let Some((estimate, interval)) = self.ratio {
            let upper =
                interval.upper().map_or_else(|| "no upper limit".to_owned(), |upper| format!("{upper:.2}"));
            let estimate = estimate.map_or_else(|| "without bound".to_owned(), |ratio| format!("{ratio:.2}"));
            sentences.push(format!(
                "Ratio {estimate}, exact 95\u{a0}% interval {:.2} to {upper}.",
                interval.lower()
            ));
        }
        sentences.push(match self.fell {
            Some(probability) => format!("Probability that the rate fell: {}.", percent(probability)),
            None => "Without an event before or after, there is no telling whether it fell.".to_owned(),
        });
        if self.after_a_peak {
            sentences.push(
                "The months before hold a signal: an action taken at a peak looks effective even when it does nothing, because \
                 a peak is followed by lower numbers by itself."
                    .to_owned(),
            );
        }
        sentences
    }
}

fn side(
    months: &[&(Month, Count)],
    side: &'static str,
    fewest: FewestCompared,
) -> Result<(Count, (Month, Month)), NoEffect> {
    let (first, last) = months.first().zip(months.last()).ok_or(NoEffect::NoMonths(side))?;
    let events = months.iter().map(|(_, count)| count.events()).sum();
    let procedures: u64 = months.iter().map(|(_, count)| count.procedures()).sum();
    let count = Count::new(events, procedures).map_err(|_| NoEffect::NoMonths(side))?;
    if procedures < u64::from(fewest.get()) {
        return Err(NoEffect::TooFew { side, found: procedures, fewest: fewest.get() });
    }
    Ok((count, (first.0, last.0)))
}

/// A probability in whole per cent, and never as certain.
fn percent(probability: f64) -> String {
    let percent = probability * 100.0;
    if percent > 99.0 {
        "above 99\u{a0}%".to_owned()
    } else if percent < 1.0 {
        "below 1\u{a0}%".to_owned()
    } else {
        format!("{percent:.0}\u{a0}%")
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::rates::samples::month;

    fn months(counts: &[(u64, u64)]) -> Vec<(Month, Count)> {
        (0..)
            .zip(counts)
            .map(|(at, (events, procedures))| {
                (month("2023-01").plus(at), Count::new(*events, *procedures).unwrap())
            })
            .collect()
    }

    #[test]
    fn the_month_of_the_action_counts_on_neither_side() {
        let mut counts = vec![(3, 100); 12];
        counts.push((9, 100));
        counts.extend([(1, 100); 12]);
        let found = Effect::of(&months(&counts), month("2024-01"), FewestCompared::USUAL, &[]).unwrap();
        assert_eq!((found.before.events(), found.before.procedures()), (36, 1200));
        assert_eq!((found.after.events(), found.after.procedures()), (12, 1200));
        assert!(found.difference.excludes_zero());
        assert!(found.fell.unwrap() > 0.999);
        let words = found.sentences();
        assert!(
            words[0].starts_with(
                "Before 30.0 per 1,000 (36 of 1,200, January 2023 to December 2023); after 10.0 per 1,000"
            ),
            "{}",
            words[0]
        );
        assert_eq!(words[2], "Probability that the rate fell: above 99\u{a0}%.");
        assert_eq!(words.len(), 3);
    }

    #[test]
    fn a_peak_before_the_action_is_named() {
        let counts = [(3, 100), (8, 100), (0, 100), (2, 100)];
        let at = month("2023-03");
        let found = Effect::of(&months(&counts), at, FewestCompared::USUAL, &[month("2023-02")]).unwrap();
        assert!(found.after_a_peak);
        assert!(found.sentences().last().unwrap().contains("taken at a peak"));
    }

    #[test]
    fn too_few_procedures_are_not_compared_and_no_event_gives_no_probability() {
        let few =
            Effect::of(&months(&[(1, 40), (1, 40), (1, 400)]), month("2023-02"), FewestCompared::USUAL, &[]);
        assert_eq!(few, Err(NoEffect::TooFew { side: "before", found: 40, fewest: 100 }));
        let none =
            Effect::of(&months(&[(0, 400), (1, 40), (0, 900)]), month("2023-02"), FewestCompared::USUAL, &[])
                .unwrap();
        assert_eq!((none.fell, none.ratio), (None, None));
        let nothing_after = Effect::of(&months(&[(1, 200)]), month("2023-02"), FewestCompared::USUAL, &[]);
        assert_eq!(nothing_after, Err(NoEffect::NoMonths("after")));
    }
}
