//! Published incidences that a rate may be set beside: a reference drawn with its study and n, never a
//! target. The rows are in `benchmarks.toml`, with the rule by which they are there.

use std::sync::LazyLock;

use serde::Deserialize;

use super::line::Subject;
use super::words::{per_1000, whole_number};
use crate::quantity::words;
use crate::stats::proportion::{Count, CountError, Level, wilson};
use crate::vocabulary::MechanismSlug;

words!(
    /// How far a published number can be relied on.
    Mark, "a mark", {
        Stored = "stored", "read in a stored public page";
        SecondHand = "second-hand", "read where another work quotes it";
        FromMemory = "from-memory", "from memory, not read again";
    }
);

words!(
    /// What a study counted events among.
    Among, "what events are counted among", {
        Procedures = "procedures", "procedures";
        Patients = "patients", "patients";
        Lesions = "lesions", "lesions";
    }
);

/// A published incidence.
#[derive(Debug, Clone, PartialEq)]
pub struct Benchmark {
    /// Its lasting name.
    pub id: String,
    /// What it may be compared with; at least one.
    pub subjects: Vec<Subject>,
    /// Study and year, for the reference line.
    pub label: String,
    /// What the study counted, in its words as far as they were read.
    pub definition: String,
    /// How that is known to differ from what the subject counts here, in a sentence.
    pub differs: Option<String>,
    /// In whom.
    pub population: String,
    /// When; the year of publication where no more was read.
    pub years: String,
    /// What events are counted among.
    pub counted: Among,
    /// Where it is published.
    pub source: String,
    /// How far the numbers can be relied on.
    pub mark: Mark,
    figures: Figures,
}

#[derive(Debug, Clone, Copy, PartialEq)]
enum Figures {
    /// Events and n are printed.
    Counted(Count),
    /// The rate is printed, per cent, with n and perhaps an interval.
    Printed { per_cent: f64, interval: Option<[f64; 2]>, n: u64 },
}

/// The band that goes with a published incidence, per 1,000.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Band {
    /// The lower limit.
    pub lower: f64,
    /// The upper limit.
    pub upper: f64,
    /// Where the limits come from.
    pub from: BandFrom,
}

words!(
    /// Where the limits of a band come from.
    BandFrom, "a kind of band", {
        Wilson = "wilson", "95 % interval (Wilson) of the study's own numbers";
        Printed = "printed", "95 % interval as printed by the study";
    }
);

/// Why the shipped benchmarks cannot be read.
#[derive(Debug, thiserror::Error)]
pub enum BenchmarkError {
    /// Not the form of the file.
    #[error("benchmarks.toml: {0}")]
    Form(#[from] toml::de::Error),
    /// A row without anything to compare it with.
    #[error("benchmark {0}: compared with nothing")]
    NoSubject(String),
    /// Neither events with n, nor a printed rate with n and limits around it; or both.
    #[error("benchmark {0}: give events and n, or per_cent and n with or without limits around it")]
    Figures(String),
    /// Events and n that are no count.
    #[error("benchmark {id}: {source}")]
    Count {
        /// The row.
        id: String,
        /// Why.
        source: CountError,
    },
}

/// What stands under every benchmark.
pub const CAUTION: &str = "A published figure is a reference, not a target: populations, definitions, case mix and years differ from yours.";

static SHIPPED: LazyLock<Result<Vec<Benchmark>, BenchmarkError>> =
    LazyLock::new(|| read(include_str!("benchmarks.toml")));

/// Every published incidence that ships.
///
/// # Errors
/// When the shipped file is malformed, which a test keeps from shipping.
pub fn shipped() -> Result<&'static [Benchmark], &'static BenchmarkError> {
    SHIPPED.as_ref().map(Vec::as_slice)
}

impl Benchmark {
    /// The published incidences that a subject's rate may be compared with, over the subject's own
    /// procedures at risk: not for a rate limited to a narrower stratum.
    #[must_use]
    pub fn of(subject: &Subject) -> Vec<&'static Self> {
        let all = shipped().unwrap_or_default();
        all.iter().filter(|row| row.subjects.contains(subject)).collect()
    }

    /// Events and n, when the study prints both.
    #[must_use]
    pub const fn events_in(&self) -> Option<Count> {
        match self.figures {
            Figures::Counted(count) => Some(count),
            Figures::Printed { .. } => None,
        }
    }

    /// Among how many.
    #[must_use]
    pub fn n(&self) -> u64 {
        match self.figures {
            Figures::Counted(count) => count.procedures(),
            Figures::Printed { n, .. } => n,
        }
    }

    /// Events per 1,000: from events and n, else as printed.
    #[must_use]
    pub fn rate_per_1000(&self) -> f64 {
        match self.figures {
            Figures::Counted(count) => count.proportion() * 1_000.0,
            Figures::Printed { per_cent, .. } => per_cent * 10.0,
        }
    }

    /// Its limits per 1,000: Wilson's at 95 % where events and n are known, else those that the study
    /// prints; `None` where it prints none.
    #[must_use]
    pub fn interval_per_1000(&self) -> Option<Band> {
        match self.figures {
            Figures::Counted(count) => {
                let found = wilson(count, Level::NINETY_FIVE).times(1_000.0);
                Some(Band { lower: found.lower(), upper: found.upper(), from: BandFrom::Wilson })
            }
            Figures::Printed { interval, .. } => interval.map(|[lower, upper]| Band {
                lower: lower * 10.0,
                upper: upper * 10.0,
                from: BandFrom::Printed,
            }),
        }
    }

    /// The label at the reference line, with n: `Hahn 2013, 187 of 2,227 lesions`; without events,
    /// `Melbourne 2020, n 22,618 patients`.
    #[must_use]
    pub fn label_with_n(&self) -> String {
        let n = whole_number(self.n());
        match self.events_in() {
            Some(count) => {
                format!("{}, {} of {n} {}", self.label, whole_number(count.events()), self.counted.label())
            }
            None => format!("{}, n {n} {}", self.label, self.counted.label()),
        }
    }

    /// The incidence in a sentence: rate, limits, what was counted, in whom and when.
    #[must_use]
    pub fn sentence(&self) -> String {
        let limits = self.interval_per_1000().map_or_else(
            || "no interval printed".to_owned(),
            |band| format!("{} to {}, {}", per_1000(band.lower), per_1000(band.upper), band.from.label()),
        );
        format!(
            "{}: {} per 1,000 ({limits}). Counted: {}. {}, {}.",
            self.label_with_n(),
            per_1000(self.rate_per_1000()),
            self.definition,
            self.population,
            self.years,
        )
    }

    /// Why it is no target, in a sentence, after how its definition is known to differ.
    #[must_use]
    pub fn caution(&self) -> String {
        self.differs.as_ref().map_or_else(|| CAUTION.to_owned(), |differs| format!("{differs} {CAUTION}"))
    }
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    benchmark: Vec<Row>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Row {
    id: String,
    #[serde(default)]
    mechanisms: Vec<MechanismSlug>,
    #[serde(default)]
    branches: Vec<String>,
    #[serde(default)]
    whole: bool,
    label: String,
    definition: String,
    differs: Option<String>,
    population: String,
    years: String,
    counted: Among,
    events: Option<u64>,
    n: u64,
    per_cent: Option<f64>,
    interval_per_cent: Option<[f64; 2]>,
    source: String,
    mark: Mark,
}

fn read(text: &str) -> Result<Vec<Benchmark>, BenchmarkError> {
    toml::from_str::<File>(text)?.benchmark.into_iter().map(Row::read).collect()
}

impl Row {
    fn read(self) -> Result<Benchmark, BenchmarkError> {
        let figures = self.figures()?;
        let subjects: Vec<Subject> = (self.mechanisms.into_iter().map(Subject::Mechanism))
            .chain(self.branches.into_iter().map(Subject::Branch))
            .chain(self.whole.then_some(Subject::Whole))
            .collect();
        if subjects.is_empty() {
            return Err(BenchmarkError::NoSubject(self.id));
        }
        Ok(Benchmark {
            id: self.id,
            subjects,
            label: self.label,
            definition: self.definition,
            differs: self.differs,
            population: self.population,
            years: self.years,
            counted: self.counted,
            source: self.source,
            mark: self.mark,
            figures,
        })
    }

    fn figures(&self) -> Result<Figures, BenchmarkError> {
        let n = self.n;
        match (self.events, self.per_cent, self.interval_per_cent) {
            (Some(events), None, None) => Count::new(events, n)
                .map(Figures::Counted)
                .map_err(|source| BenchmarkError::Count { id: self.id.clone(), source }),
            (None, Some(per_cent), interval)
                if n > 0
                    && (0.0..=100.0).contains(&per_cent)
                    && interval.is_none_or(|[lower, upper]| {
                        0.0 <= lower && lower <= per_cent && per_cent <= upper && upper <= 100.0
                    }) =>
            {
                Ok(Figures::Printed { per_cent, interval, n })
            }
            _ => Err(BenchmarkError::Figures(self.id.clone())),
        }
    }
}

#[cfg(test)]
#[path = "benchmark_tests.rs"]
mod tests;
