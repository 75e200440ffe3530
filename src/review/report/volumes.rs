//! Volumes: how many procedures were at risk, by stratum.

use std::collections::BTreeMap;

use super::Writing;
use crate::case::Month;
use crate::case::reading::words::join;
use crate::document::{Column, ColumnKind, Document, Phrase, Table};
use crate::rates::leaving::HiddenProcedures;
use crate::rates::suppress::{Shown, SmallestCount};
use crate::rates::{ALL_PCI, Denominators, Period, RatesTable, whole_number};
use crate::vocabulary::{StratumSlug, Vocabulary};

/// The procedures of a stratum in a quarter.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Volume {
    /// Procedures of the counted months; `None` when no month was counted.
    procedures: Option<u64>,
    /// The months that were not counted.
    missing: Vec<Month>,
    /// Whether the number stays in the department.
    hidden: bool,
}

impl Volume {
    fn of(at_risk: &Denominators, stratum: &StratumSlug, period: Period) -> Self {
        let (mut procedures, mut missing) = (None, Vec::new());
        for month in period.months() {
            match at_risk.get(stratum, month) {
                Some(counted) => procedures = Some(procedures.unwrap_or(0) + u64::from(counted)),
                None => missing.push(month),
            }
        }
        Self { procedures, missing, hidden: false }
    }

    fn in_words(&self) -> Phrase {
        match self.procedures {
            None => Phrase::new().missing("not counted"),
            Some(_) if self.hidden => Phrase::new().quiet(Shown::HIDDEN),
            Some(procedures) => whole_number(procedures).into(),
        }
    }
}

/// The volumes of a quarter and of the one before.
#[derive(Debug, Clone)]
pub(super) struct Volumes {
    now: BTreeMap<StratumSlug, Volume>,
    before: BTreeMap<StratumSlug, Volume>,
}

impl HiddenProcedures for Volumes {
    fn hidden_now(&self, stratum: &StratumSlug) -> bool {
        self.now.get(stratum).is_some_and(|volume| volume.hidden)
    }

    fn hidden_before(&self, stratum: &StratumSlug) -> bool {
        self.before.get(stratum).is_some_and(|volume| volume.hidden)
    }
}

impl Volumes {
    pub(super) fn of(
        vocabulary: &Vocabulary,
        at_risk: &Denominators,
        table: &RatesTable,
        smallest: SmallestCount,
    ) -> Self {
        let of = |period: Option<Period>| {
            period.map(|period| volumes(vocabulary, at_risk, period, smallest)).unwrap_or_default()
        };
        Self { now: of(Some(table.period)), before: of(table.previous) }
    }

    /// All PCI of the quarter, when they were counted and may be told.
    pub(super) fn all_pci(&self) -> Option<u64> {
        self.now.get(&*ALL_PCI).filter(|volume| !volume.hidden)?.procedures
    }

    /// Whether any number of either quarter is hidden.
    fn any_hidden(&self) -> bool {
        self.now.values().chain(self.before.values()).any(|volume| volume.hidden)
    }
}

/// The procedures of every stratum, hidden where they are few (there are no more events than procedures),
/// and where they leave few of all PCI: two strata may be each other's rest, as radial and femoral access
/// are, and the larger one would give the smaller one back.
fn volumes(
    vocabulary: &Vocabulary,
    at_risk: &Denominators,
    period: Period,
    smallest: SmallestCount,
) -> BTreeMap<StratumSlug, Volume> {
    let mut all: BTreeMap<StratumSlug, Volume> = vocabulary
        .strata
        .iter()
        .map(|stratum| (stratum.slug.clone(), Volume::of(at_risk, &stratum.slug, period)))
        .collect();
    let every = all.get(&*ALL_PCI).and_then(|volume| volume.procedures);
    for (slug, volume) in &mut all {
        let Some(procedures) = volume.procedures else { continue };
        volume.hidden = smallest.hides_part(procedures, every.filter(|_| *slug != *ALL_PCI));
    }
    all
}

impl Writing<'_> {
    pub(super) fn volumes(&self, document: &mut Document) {
        document.section("Volumes");
        let strata = &self.vocabulary.strata;
        let counted = |slug: &StratumSlug| {
            let of = |side: &BTreeMap<StratumSlug, Volume>| {
                side.get(slug).is_some_and(|volume| volume.procedures.is_some())
            };
            of(&self.volumes.now) || of(&self.volumes.before)
        };
        let (shown, silent): (Vec<_>, Vec<_>) = strata.iter().partition(|stratum| counted(&stratum.slug));
        if shown.is_empty() {
            document.missing("procedures at risk of the quarter and the one before; without them there are counts and no rates");
            return;
        }
        let number = |text: String| Column { label: text, kind: ColumnKind::Number };
        let before = self.previous.map_or_else(|| "Quarter before".to_owned(), |period| period.to_string());
        let caption = "Procedures at risk, by stratum; a procedure can belong to several";
        let cell = |side: &BTreeMap<StratumSlug, Volume>, slug: &StratumSlug| {
            side.get(slug).map_or_else(|| Phrase::new().missing("none"), Volume::in_words)
        };
        let rows = shown.iter().map(|stratum| {
            [
                stratum.label.as_str().into(),
                cell(&self.volumes.now, &stratum.slug),
                cell(&self.volumes.before, &stratum.slug),
            ]
        });
        let columns = [
            Column { label: "Procedures".to_owned(), kind: ColumnKind::Text },
            number(self.period.to_string()),
            number(before),
        ];
        document.table(Table::of(caption, columns).rows(rows).first_column_names_the_row());
        document.paragraph(self.not_counted().join(" "));
        if !silent.is_empty() {
            let names: Vec<&str> = silent.iter().map(|stratum| stratum.label.as_str()).collect();
            document.note(format!("Counted in neither quarter: {}.", join(&names)));
        }
        if self.volumes.any_hidden() {
            document.note("A hidden number of procedures is small, or leaves a small one of all PCI.");
        }
    }

    /// The months that are missing from strata that were counted in others, in sentences; strata that
    /// miss the same months share one.
    fn not_counted(&self) -> Vec<String> {
        let mut by_months: Vec<(&[Month], Vec<&str>)> = Vec::new();
        for side in [&self.volumes.now, &self.volumes.before] {
            for stratum in &self.vocabulary.strata {
                let Some(volume) = side.get(&stratum.slug) else { continue };
                if volume.missing.is_empty() || volume.procedures.is_none() {
                    continue;
                }
                match by_months.iter_mut().find(|(months, _)| *months == volume.missing.as_slice()) {
                    Some((_, labels)) => labels.push(&stratum.label),
                    None => by_months.push((&volume.missing, vec![&stratum.label])),
                }
            }
        }
        by_months
            .into_iter()
            .map(|(months, labels)| {
                let months: Vec<String> = months.iter().map(|month| month.in_words()).collect();
                format!("Not counted in {}, and left out: {}.", join(&months), join(&labels))
            })
            .collect()
    }
}
