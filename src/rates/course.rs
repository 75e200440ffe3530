//! One subject over time: its events and procedures at risk, step by step.

use super::counts::ByMonth;
use super::line::Subject;
use super::period::{Period, months_in_words};
use super::tally::Tally;
use crate::case::Month;
use crate::quantity::words;
use crate::stats::proportion::Count;

words!(
    /// How long a step of a course is.
    Every, "a step of time", {
        Month = "month", "Month";
        Quarter = "quarter", "Quarter";
    }
);

impl Every {
    /// The months of a step.
    #[must_use]
    pub const fn months(self) -> i64 {
        match self {
            Self::Month => 1,
            Self::Quarter => 3,
        }
    }

    /// The steps that hold the months of a period; the first and last may reach beyond it only by
    /// name, never by count.
    fn steps_of(self, period: Period) -> Vec<Period> {
        let mut steps: Vec<Period> = Vec::new();
        for month in period.months() {
            let starts = (month.month() - 1) % self.months() == 0;
            match steps.last_mut() {
                Some(step) if !starts => *step = step.until(month),
                _ => steps.push(Period::of_one(month)),
            }
        }
        steps
    }
}

/// One step of a course.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Step {
    /// Its months.
    pub period: Period,
    /// Cases in its counted months, each once.
    pub events: u32,
    /// Procedures at risk; `None` when no month of it was counted.
    pub procedures: Option<u32>,
    /// Cases in its months that were not counted, which are left out.
    pub left_out: u32,
}

impl Step {
    /// Events among procedures; `None` where none were counted or none were done.
    #[must_use]
    pub fn count(&self) -> Option<Count> {
        Count::new(self.events.into(), self.procedures?.into()).ok()
    }
}

/// A subject's steps over a period.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Course {
    /// What is counted.
    pub subject: Subject,
    /// What a person reads for it.
    pub label: String,
    /// What a person reads for the stratum of its procedures at risk.
    pub stratum_label: String,
    /// The period.
    pub period: Period,
    /// How long a step is.
    pub every: Every,
    /// The steps, in order.
    pub steps: Vec<Step>,
    /// Every month, for what is counted by month whatever the step.
    pub months: Tally,
}

/// Why a subject has no course: a month with more events than procedures.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error(
    "{stratum}, {month}: {events} events among {procedures} procedures. One of the two numbers is wrong; put it right to see the chart."
)]
pub struct Impossible {
    stratum: String,
    month: String,
    events: u32,
    procedures: u32,
}

impl Course {
    /// A course from counts by month and a denominator for each.
    ///
    /// # Errors
    /// [`Impossible`], with the first month that cannot be as recorded.
    pub fn of(
        subject: &Subject,
        (label, stratum_label): (String, String),
        (period, every): (Period, Every),
        events: &ByMonth,
        procedures: impl Fn(Month) -> Option<u32>,
    ) -> Result<Self, Impossible> {
        let months = Tally::of(period, events, procedures);
        for month in &months.months {
            if let Some(procedures) = month.procedures.filter(|procedures| month.events > *procedures) {
                return Err(Impossible {
                    stratum: stratum_label,
                    month: month.month.in_words(),
                    events: month.events,
                    procedures,
                });
            }
        }
        let steps = every.steps_of(period).into_iter().map(|step| step_of(step, &months)).collect();
        Ok(Self { subject: subject.clone(), label, stratum_label, period, every, steps, months })
    }

    /// The places of the steps that have procedures at risk, with their counts.
    #[must_use]
    pub fn counted(&self) -> Vec<(usize, Count)> {
        self.steps.iter().enumerate().filter_map(|(at, step)| Some((at, step.count()?))).collect()
    }

    /// The months with procedures at risk, with their counts.
    #[must_use]
    pub fn counted_months(&self) -> Vec<(Month, Count)> {
        self.months
            .months
            .iter()
            .filter_map(|month| {
                Some((month.month, Count::new(month.events.into(), month.procedures?.into()).ok()?))
            })
            .collect()
    }

    /// The place of the step that holds a month.
    #[must_use]
    pub fn step_at(&self, month: Month) -> Option<usize> {
        self.steps.iter().position(|step| step.period.from() <= month && month <= step.period.to())
    }

    /// The months that are left out because their procedures were not counted, in words.
    #[must_use]
    pub fn left_out(&self) -> Option<String> {
        let months = self.months.not_counted();
        if months.is_empty() {
            return None;
        }
        let events = match self.months.events_not_counted() {
            0 => String::new(),
            1 => " with 1 event".to_owned(),
            events => format!(" with {events} events"),
        };
        Some(format!(
            "{} was not counted in {}{events}: left out, and no zero.",
            self.stratum_label,
            months_in_words(&months)
        ))
    }
}

fn step_of(period: Period, months: &Tally) -> Step {
    let within = || months.months.iter().filter(|m| period.from() <= m.month && m.month <= period.to());
    let counted = || within().filter(|month| month.procedures.is_some());
    let events: u32 = counted().map(|month| month.events).sum();
    Step {
        period,
        events,
        procedures: counted().next().is_some().then(|| counted().filter_map(|month| month.procedures).sum()),
        left_out: within().map(|month| month.events).sum::<u32>() - events,
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::rates::samples::{month, period};

    fn course(every: Every, from: &str, to: &str, counts: &[(u32, Option<u32>)]) -> Course {
        let first = month(from);
        let events: ByMonth =
            (0..).zip(counts).map(|(index, (events, _))| (first.plus(index), *events)).collect();
        let procedures = |at: Month| {
            usize::try_from(first.until(at)).ok().and_then(|index| counts.get(index)).and_then(|pair| pair.1)
        };
        let labels = ("Wire dissection".to_owned(), "All PCI".to_owned());
        Course::of(&Subject::Whole, labels, (period(from, to), every), &events, procedures).unwrap()
    }

    #[test]
    fn quarters_are_those_of_the_calendar_and_may_be_cut_at_the_ends() {
        let found = course(Every::Quarter, "2024-02", "2024-07", &[(1, Some(10)); 6]);
        let words: Vec<String> = found.steps.iter().map(|step| step.period.to_string()).collect();
        assert_eq!(words, ["February to March 2024", "April to June 2024", "July 2024"]);
        let events: Vec<u32> = found.steps.iter().map(|step| step.events).collect();
        assert_eq!(events, [2, 3, 1]);
        assert_eq!(found.step_at(month("2024-05")), Some(1));
    }

    #[test]
    fn a_month_that_was_not_counted_is_no_zero_and_is_named() {
        let found = course(Every::Month, "2024-01", "2024-03", &[(1, Some(10)), (2, None), (0, Some(0))]);
        let counted: Vec<usize> = found.counted().into_iter().map(|(at, _)| at).collect();
        assert_eq!(counted, [0], "neither without a count nor without a procedure");
        assert_eq!(
            found.left_out().unwrap(),
            "All PCI was not counted in February 2024 with 2 events: left out, and no zero."
        );
        let quarter =
            course(Every::Quarter, "2024-01", "2024-03", &[(1, Some(10)), (2, None), (0, Some(20))]);
        assert_eq!(
            (quarter.steps[0].events, quarter.steps[0].procedures, quarter.steps[0].left_out),
            (1, Some(30), 2)
        );
    }

    #[test]
    fn a_month_with_more_events_than_procedures_stops_the_chart() {
        let labels = ("x".to_owned(), "All PCI".to_owned());
        let events = ByMonth::from([(month("2024-01"), 3)]);
        let refused = Course::of(
            &Subject::Whole,
            labels,
            (period("2024-01", "2024-02"), Every::Month),
            &events,
            |_| Some(2),
        );
        assert!(refused.unwrap_err().to_string().starts_with("All PCI, January 2024: 3 events among 2"));
    }

    proptest! {
        #[test]
        fn steps_lose_and_repeat_nothing(
            counts in prop::collection::vec((0_u32..5, prop::option::of(5_u32..50)), 1..40), start in 0_i64..12
        ) {
            let first = month("2020-01").plus(start);
            let last = first.plus(i64::try_from(counts.len()).unwrap() - 1);
            for every in [Every::Month, Every::Quarter] {
                let found = course(every, &first.to_string(), &last.to_string(), &counts);
                let events: u32 = found.steps.iter().map(|step| step.events + step.left_out).sum();
                prop_assert_eq!(events, counts.iter().map(|pair| pair.0).sum::<u32>());
                let procedures: u32 = found.steps.iter().filter_map(|step| step.procedures).sum();
                prop_assert_eq!(procedures, counts.iter().filter_map(|pair| pair.1).sum::<u32>());
                prop_assert!(found.steps.iter().all(|step| step.period.length() <= every.months()));
            }
        }
    }
}
