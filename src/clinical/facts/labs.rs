//! Laboratory values over time, and when each of them was known.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::input::{Family, Input, Kind};
use super::procedure::ProcedureFacts;
use super::set::facts;
use crate::clinical::answer::Answer;
use crate::clinical::quantities::{
    AgainstLimit, CkMb, CkMbUnit, Creatinine, CreatinineUnit, Haemoglobin, HaemoglobinUnit,
};
use crate::clinical::quantities::{Measured, PlateletUnit, Platelets, Troponin, TroponinUnit, Unit};
use crate::quantity::Offset;

/// One laboratory value.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Sample<T> {
    /// When it was drawn.
    pub drawn: Offset,
    /// When the result came back; nobody knew it before.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub returned: Option<Offset>,
    /// What was measured.
    pub value: T,
    /// Where the value is recorded, for a link; given by the caller and handed back as it is.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub origin: Option<String>,
}

impl<T> Sample<T> {
    /// A value drawn at a moment, of which the return is not recorded.
    #[must_use]
    pub const fn drawn(drawn: Offset, value: T) -> Self {
        Self { drawn, returned: None, value, origin: None }
    }
}

facts!(
    /// What is recorded about the laboratory values besides the values.
    LabStatements of Labs {
        /// Whether CK-MB was measured after the procedure. "No" lets a rule that prefers it fall back on troponin.
        ck_mb_measured CK_MB_MEASURED: Answer = "whether CK-MB was measured";
    }
);

/// The laboratory values of a case, each series in any order.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize, JsonSchema)]
#[serde(default, deny_unknown_fields)]
pub struct LabFacts {
    /// Troponin, each with the 99th percentile of its assay.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub troponin: Vec<Sample<Troponin>>,
    /// CK-MB, each with its upper limit of normal.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub ck_mb: Vec<Sample<CkMb>>,
    /// Creatinine.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub creatinine: Vec<Sample<Creatinine>>,
    /// Haemoglobin.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub haemoglobin: Vec<Sample<Haemoglobin>>,
    /// Platelets.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub platelets: Vec<Sample<Platelets>>,
    /// What is said about the series.
    #[serde(skip_serializing_if = "super::is_default")]
    pub statements: LabStatements,
}

/// An input that is a series.
const fn series(
    slug: &'static str,
    label: &'static str,
    help: &'static str,
    units: &'static [&'static str],
) -> Input {
    Input { family: Family::Labs, slug, label, help, kind: Kind::Series(units) }
}

impl LabFacts {
    /// Troponin before the procedure.
    pub const TROPONIN_BEFORE: Input = series(
        "troponin_before",
        "troponin before the procedure",
        "A troponin drawn before the procedure, with the 99th percentile of its assay.",
        TroponinUnit::SYMBOLS,
    );
    /// A second troponin before the procedure.
    pub const TROPONIN_TREND: Input = series(
        "troponin_trend",
        "a second troponin before the procedure",
        "Two troponins before the procedure show whether an elevated one was stable, falling or rising.",
        TroponinUnit::SYMBOLS,
    );
    /// Troponin after the procedure.
    pub const TROPONIN_AFTER: Input = series(
        "troponin_after",
        "troponin within 48 h after the procedure",
        "The highest counts.",
        TroponinUnit::SYMBOLS,
    );
    /// CK-MB before the procedure.
    pub const CK_MB_BEFORE: Input = series(
        "ck_mb_before",
        "CK-MB before the procedure",
        "A CK-MB drawn before the procedure, with its upper limit of normal.",
        CkMbUnit::SYMBOLS,
    );
    /// A second CK-MB before the procedure.
    pub const CK_MB_TREND: Input = series(
        "ck_mb_trend",
        "a second CK-MB before the procedure",
        "Two values before the procedure show whether an elevated one was stable, falling or rising.",
        CkMbUnit::SYMBOLS,
    );
    /// CK-MB after the procedure.
    pub const CK_MB_AFTER: Input = series(
        "ck_mb_after",
        "CK-MB within 48 h after the procedure",
        "The highest counts.",
        CkMbUnit::SYMBOLS,
    );
    /// Creatinine before the procedure.
    pub const CREATININE_BEFORE: Input = series(
        "creatinine_before",
        "creatinine before the procedure",
        "The last before the procedure is the baseline.",
        CreatinineUnit::SYMBOLS,
    );
    /// Creatinine after the procedure.
    pub const CREATININE_AFTER: Input = series(
        "creatinine_after",
        "creatinine after the procedure",
        "Up to 48 h for a rise by a fixed amount, up to 7 days for a multiple of the baseline.",
        CreatinineUnit::SYMBOLS,
    );
    /// Haemoglobin before the procedure.
    pub const HAEMOGLOBIN_BEFORE: Input = series(
        "haemoglobin_before",
        "haemoglobin before the procedure",
        "The last before the procedure is the one that the fall counts from.",
        HaemoglobinUnit::SYMBOLS,
    );
    /// Haemoglobin after the procedure.
    pub const HAEMOGLOBIN_AFTER: Input = series(
        "haemoglobin_after",
        "haemoglobin after the procedure began",
        "The lowest counts.",
        HaemoglobinUnit::SYMBOLS,
    );
    /// Platelets before the procedure.
    pub const PLATELETS_BEFORE: Input = series(
        "platelets_before",
        "platelets before heparin",
        "The last before the procedure.",
        PlateletUnit::SYMBOLS,
    );
    /// Platelets after the procedure.
    pub const PLATELETS_AFTER: Input =
        series("platelets_after", "platelets on day 5 to 10", "The lowest counts.", PlateletUnit::SYMBOLS);

    /// Every input that is a series.
    pub const SERIES: &'static [Input] = &[
        Self::TROPONIN_BEFORE,
        Self::TROPONIN_TREND,
        Self::TROPONIN_AFTER,
        Self::CK_MB_BEFORE,
        Self::CK_MB_TREND,
        Self::CK_MB_AFTER,
        Self::CREATININE_BEFORE,
        Self::CREATININE_AFTER,
        Self::HAEMOGLOBIN_BEFORE,
        Self::HAEMOGLOBIN_AFTER,
        Self::PLATELETS_BEFORE,
        Self::PLATELETS_AFTER,
    ];

    /// The values that somebody could know at a moment: those whose result had come back. A value
    /// of which the return is not recorded cannot be said to have been known, and is left out.
    #[must_use]
    pub fn known_by(&self, moment: Offset) -> Self {
        Self {
            troponin: back_by(&self.troponin, moment),
            ck_mb: back_by(&self.ck_mb, moment),
            creatinine: back_by(&self.creatinine, moment),
            haemoglobin: back_by(&self.haemoglobin, moment),
            platelets: back_by(&self.platelets, moment),
            statements: self.statements.clone(),
        }
    }
}

fn back_by<T: Clone>(samples: &[Sample<T>], moment: Offset) -> Vec<Sample<T>> {
    samples.iter().filter(|sample| sample.returned.is_some_and(|back| back <= moment)).cloned().collect()
}

/// A series cut at the procedure, both parts by time.
#[derive(Debug)]
pub struct Split<'s, T> {
    /// Drawn before the procedure, or as it began.
    pub before: Vec<&'s Sample<T>>,
    /// Drawn afterwards.
    pub after: Vec<&'s Sample<T>>,
    /// How many could not be placed, because the start of the procedure is not recorded.
    pub unplaced: usize,
}

/// A value with a place among others of its kind.
pub trait Ranked {
    /// The place; larger for a larger value.
    fn rank(&self) -> i128;
}

impl<U: Unit> Ranked for Measured<U> {
    fn rank(&self) -> i128 {
        self.exact()
    }
}

impl<U: Unit> Ranked for AgainstLimit<U> {
    fn rank(&self) -> i128 {
        self.value().exact()
    }
}

/// The last value before the procedure, or as it began; of values drawn at the same moment the larger.
#[must_use]
pub fn last_before<'s, T: Ranked>(
    samples: &'s [Sample<T>],
    procedure: &ProcedureFacts,
) -> Option<&'s Sample<T>> {
    samples
        .iter()
        .filter(|sample| procedure.is_before(sample.drawn).is_yes())
        .max_by_key(|sample| (sample.drawn, sample.value.rank()))
}

/// Cuts a series at the start of the procedure.
///
/// Of values drawn at the same moment the larger comes last, so that the order in which they were
/// entered does not change a result.
#[must_use]
pub fn split<'s, T: Ranked>(samples: &'s [Sample<T>], procedure: &ProcedureFacts) -> Split<'s, T> {
    let room = || Vec::with_capacity(samples.len());
    let mut cut = Split { before: room(), after: room(), unplaced: 0 };
    for sample in samples {
        match procedure.is_before(sample.drawn) {
            Answer::Yes => cut.before.push(sample),
            Answer::No => cut.after.push(sample),
            Answer::Unknown => cut.unplaced += 1,
        }
    }
    let place = |sample: &&Sample<T>| (sample.drawn, sample.value.rank());
    for part in [&mut cut.before, &mut cut.after] {
        // Series are mostly entered in the order of time.
        if !part.is_sorted_by_key(place) {
            part.sort_by_key(place);
        }
    }
    cut
}
