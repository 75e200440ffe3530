//! A quarter of the calendar.

use std::fmt;
use std::str::FromStr;

use crate::case::Month;
use crate::rates::{ALL_PCI, Denominators, Period};

/// A quarter of a year, `2026-Q2`, from 1990 to 2100.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Quarter {
    /// January, April, July or October.
    first: Month,
}

/// Not a quarter.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[error("A quarter is a year and its quarter, such as 2026-Q2, from 1990 to 2100.")]
pub struct QuarterError;

impl Quarter {
    /// How many months it has.
    const MONTHS: i64 = 3;

    /// The quarter that a month is in.
    #[must_use]
    pub fn containing(month: Month) -> Self {
        Self { first: month.plus(-((month.month() - 1) % Self::MONTHS)) }
    }

    /// Its number in the year, 1 to 4.
    #[must_use]
    pub const fn number(self) -> i64 {
        (self.first.month() - 1) / Self::MONTHS + 1
    }

    /// Its three months.
    #[must_use]
    pub fn period(self) -> Period {
        // Three months in order are always a period, and December 2100 is the last of a quarter.
        Period::new(self.first, self.first.plus(Self::MONTHS - 1))
            .unwrap_or_else(|_| Period::of_one(self.first))
    }

    /// The quarter before; `None` for the first of the calendar.
    #[must_use]
    pub fn previous(self) -> Option<Self> {
        let before = Self { first: self.first.plus(-Self::MONTHS) };
        (before < self).then_some(before)
    }

    /// The last quarter up to this one whose three months all have their PCI counted; `None` when there
    /// is none.
    #[must_use]
    pub fn last_counted(self, at_risk: &Denominators) -> Option<Self> {
        let counted =
            |quarter: &Self| quarter.period().months().all(|month| at_risk.get(&ALL_PCI, month).is_some());
        std::iter::successors(Some(self), |quarter| quarter.previous()).find(counted)
    }

    /// The quarters from the one of a month up to this one, this one first. Empty when the month comes
    /// after it.
    pub fn back_to(self, month: Month) -> impl Iterator<Item = Self> {
        let first = Self::containing(month);
        std::iter::successors(Some(self), |quarter| quarter.previous())
            .take_while(move |quarter| *quarter >= first)
    }
}

impl fmt::Display for Quarter {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:04}-Q{}", self.first.year(), self.number())
    }
}

impl FromStr for Quarter {
    type Err = QuarterError;
    fn from_str(text: &str) -> Result<Self, Self::Err> {
        let (year, quarter) = text.trim().split_once('-').ok_or(QuarterError)?;
        let number = match quarter {
            "Q1" | "q1" => 1,
            "Q2" | "q2" => 2,
            "Q3" | "q3" => 3,
            "Q4" | "q4" => 4,
            _ => return Err(QuarterError),
        };
        if year.len() != 4 || !year.bytes().all(|b| b.is_ascii_digit()) {
            return Err(QuarterError);
        }
        let year = year.parse().map_err(|_| QuarterError)?;
        let first = Month::new(year, (number - 1) * Self::MONTHS + 1).map_err(|_| QuarterError)?;
        Ok(Self { first })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::rates::AtRisk;

    fn quarter(text: &str) -> Quarter {
        text.parse().unwrap()
    }

    fn month(text: &str) -> Month {
        text.parse().unwrap()
    }

    #[test]
    fn each_month_is_in_the_quarter_of_the_calendar() {
        for (months, name) in [
            (["2026-01", "2026-02", "2026-03"], "2026-Q1"),
            (["2026-04", "2026-05", "2026-06"], "2026-Q2"),
            (["2026-07", "2026-08", "2026-09"], "2026-Q3"),
            (["2026-10", "2026-11", "2026-12"], "2026-Q4"),
        ] {
            let held: Vec<Month> = quarter(name).period().months().collect();
            assert_eq!(held, months.map(month), "{name}");
            for text in months {
                assert_eq!(Quarter::containing(month(text)).to_string(), name);
            }
        }
    }

    #[test]
    fn a_quarter_is_read_as_it_is_written_and_nothing_else_is() {
        for text in ["1990-Q1", "2026-Q2", "2100-Q4"] {
            assert_eq!(quarter(text).to_string(), text);
        }
        assert_eq!(quarter(" 2026-q3 ").to_string(), "2026-Q3");
        for bad in
            ["", "2026", "2026-", "2026-Q0", "2026-Q5", "2026-Q11", "2026-2", "26-Q2", "2026Q2", "1989-Q4"]
        {
            assert_eq!(bad.parse::<Quarter>(), Err(QuarterError), "{bad}");
        }
        for bad in ["2101-Q1", "+026-Q1", "２０２６-Q1", "2026-Q1-Q2", "<b>-Q1"] {
            assert_eq!(bad.parse::<Quarter>(), Err(QuarterError), "{bad}");
        }
    }

    #[test]
    fn the_quarter_before_is_that_of_the_year_before_in_spring_and_there_is_none_before_the_calendar() {
        assert_eq!(quarter("2026-Q1").previous(), Some(quarter("2025-Q4")));
        assert_eq!(quarter("2026-Q4").previous(), Some(quarter("2026-Q3")));
        assert_eq!(quarter("1990-Q1").previous(), None);
        assert_eq!(quarter("2026-Q1").period().previous(), Some(quarter("2025-Q4").period()));
    }

    #[test]
    fn the_last_counted_quarter_has_three_counted_months() {
        let cell =
            |text: &str, procedures| AtRisk { month: month(text), stratum: ALL_PCI.clone(), procedures };
        let mut cells: Vec<AtRisk> =
            ["2026-01", "2026-02", "2026-03", "2026-04", "2026-06"].map(|text| cell(text, Some(90))).into();
        let of = |cells: &[AtRisk]| quarter("2026-Q4").last_counted(&cells.iter().cloned().collect());
        assert_eq!(of(&cells), Some(quarter("2026-Q1")));
        // A month in which none was done was counted.
        cells.push(cell("2026-05", Some(0)));
        assert_eq!(of(&cells), Some(quarter("2026-Q2")));
        assert_eq!(of(&[]), None);
        assert_eq!(quarter("2025-Q4").last_counted(&cells.into_iter().collect()), None);
    }

    #[test]
    fn quarters_are_listed_back_to_the_one_of_a_month() {
        let names = |from: &str| -> Vec<String> {
            quarter("2026-Q2").back_to(month(from)).map(|one| one.to_string()).collect()
        };
        assert_eq!(names("2025-12"), ["2026-Q2", "2026-Q1", "2025-Q4"]);
        assert_eq!(names("2026-06"), ["2026-Q2"]);
        assert!(names("2026-07").is_empty());
    }
}
