//! A period: whole months in a row.

use std::fmt;

use crate::case::Month;

/// 1 to 240 months in a row.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Period {
    from: Month,
    to: Month,
}

/// Why two months make no period.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum PeriodError {
    /// The last month lies before the first.
    #[error("The period ends before it begins: choose a last month that is not before {from}.", from = .0.in_words())]
    EndsBeforeItBegins(Month),
    /// More months than [`Period::MOST_MONTHS`].
    #[error("A period has at most {most} months; this one has {0}.", most = Period::MOST_MONTHS)]
    TooLong(i64),
}

impl Period {
    /// The longest period, in months: twenty years.
    pub const MOST_MONTHS: i64 = 240;
    /// The length of a period that nobody chose, in months.
    pub const USUAL_MONTHS: i64 = 12;

    /// The months from the first to the last, both included.
    ///
    /// # Errors
    /// When they are not in order, or more than [`Period::MOST_MONTHS`].
    pub fn new(from: Month, to: Month) -> Result<Self, PeriodError> {
        let length = from.until(to) + 1;
        if length < 1 {
            Err(PeriodError::EndsBeforeItBegins(from))
        } else if length > Self::MOST_MONTHS {
            Err(PeriodError::TooLong(length))
        } else {
            Ok(Self { from, to })
        }
    }

    /// The period when nobody chose one: [`Period::USUAL_MONTHS`] that end with the last month
    /// whose procedures at risk were counted, or with `today` when none were.
    #[must_use]
    pub fn to_last_counted(latest: Option<Month>, today: Month) -> Self {
        let to = latest.unwrap_or(today);
        Self { from: to.plus(1 - Self::USUAL_MONTHS), to }
    }

    /// One month.
    #[must_use]
    pub const fn of_one(month: Month) -> Self {
        Self { from: month, to: month }
    }

    /// The same up to a later month.
    pub(super) const fn until(self, to: Month) -> Self {
        Self { to, ..self }
    }

    /// The first month.
    #[must_use]
    pub const fn from(self) -> Month {
        self.from
    }

    /// The last month.
    #[must_use]
    pub const fn to(self) -> Month {
        self.to
    }

    /// How many months it has.
    #[must_use]
    pub const fn length(self) -> i64 {
        self.from.until(self.to) + 1
    }

    /// Its months, in order.
    pub fn months(self) -> impl Iterator<Item = Month> {
        (0..self.length()).map(move |index| self.from.plus(index))
    }

    /// As many months, just before; `None` when the calendar of the record does not reach so far.
    #[must_use]
    pub fn previous(self) -> Option<Self> {
        let before = Self { from: self.from.plus(-self.length()), to: self.from.plus(-1) };
        (before.to < self.from && before.length() == self.length()).then_some(before)
    }
}

impl fmt::Display for Period {
    /// `April 2024 to March 2025`, `January to June 2025`, `March 2025`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let to = self.to.in_words();
        if self.from == self.to {
            return f.write_str(&to);
        }
        let from = self.from.in_words();
        let from = if self.from.year() == self.to.year() {
            from.split(' ').next().unwrap_or_default()
        } else {
            &from
        };
        write!(f, "{from} to {to}")
    }
}

/// Months in words, with neighbours drawn together: `June to August 2024 and October 2024`.
/// The months are in order.
pub(super) fn months_in_words(months: &[Month]) -> String {
    let mut runs: Vec<Period> = Vec::new();
    for &month in months {
        match runs.last_mut() {
            Some(run) if run.to.plus(1) == month => run.to = month,
            _ => runs.push(Period { from: month, to: month }),
        }
    }
    let words: Vec<String> = runs.iter().map(ToString::to_string).collect();
    match words.split_last() {
        None => String::new(),
        Some((only, [])) => only.clone(),
        Some((last, others)) => format!("{} and {last}", others.join(", ")),
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::rates::samples::{month, period};

    #[test]
    fn a_period_has_1_to_240_months() {
        assert_eq!(period("2025-03", "2025-03").length(), 1);
        assert_eq!(period("2006-01", "2025-12").length(), 240);
        assert_eq!(Period::new(month("2005-12"), month("2025-12")), Err(PeriodError::TooLong(241)));
        let error = Period::new(month("2025-03"), month("2025-02")).unwrap_err();
        assert_eq!(
            error.to_string(),
            "The period ends before it begins: choose a last month that is not before March 2025."
        );
    }

    #[test]
    fn the_usual_period_is_the_twelve_months_to_the_last_counted_one() {
        let today = month("2025-06");
        assert_eq!(Period::to_last_counted(Some(month("2025-03")), today), period("2024-04", "2025-03"));
        assert_eq!(Period::to_last_counted(None, today), period("2024-07", "2025-06"));
        // At the beginning of the record's calendar it is shorter, never empty.
        assert_eq!(Period::to_last_counted(None, month("1990-03")), period("1990-01", "1990-03"));
    }

    #[test]
    fn the_period_before_has_the_same_length_and_ends_where_this_one_begins() {
        assert_eq!(period("2024-04", "2025-03").previous(), Some(period("2023-04", "2024-03")));
        assert_eq!(period("2025-01", "2025-01").previous(), Some(period("2024-12", "2024-12")));
    }

    #[test]
    fn there_is_no_period_before_the_calendar_of_the_record() {
        assert_eq!(period("1990-01", "1990-12").previous(), None);
        assert_eq!(period("1990-06", "1990-12").previous(), None);
        assert_eq!(period("1991-01", "1991-12").previous(), Some(period("1990-01", "1990-12")));
    }

    #[test]
    fn a_period_names_a_year_once() {
        assert_eq!(period("2024-04", "2025-03").to_string(), "April 2024 to March 2025");
        assert_eq!(period("2025-01", "2025-06").to_string(), "January to June 2025");
        assert_eq!(period("2025-03", "2025-03").to_string(), "March 2025");
    }

    #[test]
    fn months_are_listed_with_neighbours_together() {
        let words =
            |texts: &[&str]| months_in_words(&texts.iter().map(|text| month(text)).collect::<Vec<_>>());
        assert_eq!(words(&[]), "");
        assert_eq!(words(&["2024-06"]), "June 2024");
        assert_eq!(words(&["2024-06", "2024-07"]), "June to July 2024");
        assert_eq!(words(&["2024-12", "2025-01", "2025-03"]), "December 2024 to January 2025 and March 2025");
        assert_eq!(words(&["2024-01", "2024-03", "2024-05"]), "January 2024, March 2024 and May 2024");
    }

    proptest! {
        #[test]
        fn the_two_periods_lie_side_by_side(from in 0_i64..1_332, length in 1_i64..=240) {
            let first = month("1990-01").plus(from);
            prop_assume!(first.until(month("2100-12")) >= length - 1);
            let now = Period::new(first, first.plus(length - 1)).unwrap();
            prop_assert_eq!(now.months().count(), usize::try_from(length).unwrap());
            prop_assert_eq!(now.months().last(), Some(now.to()));
            prop_assert_eq!(now.previous().is_some(), from >= length);
            if let Some(before) = now.previous() {
                prop_assert_eq!(before.length(), length);
                prop_assert_eq!(before.to().until(now.from()), 1);
            }
        }
    }
}
