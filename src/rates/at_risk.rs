//! Procedures at risk: the denominators, by month and stratum.

use std::collections::BTreeMap;
use std::sync::LazyLock;

use crate::case::Month;
use crate::vocabulary::StratumSlug;

/// The stratum that holds every procedure, and with it every other stratum.
#[expect(clippy::expect_used, reason = "a constant")]
pub static ALL_PCI: LazyLock<StratumSlug> = LazyLock::new(|| "all-pci".parse().expect("a slug"));

/// A cell of the grid: how many procedures of a stratum a month had.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct AtRisk {
    /// The month.
    pub month: Month,
    /// The stratum.
    pub stratum: StratumSlug,
    /// Procedures, 0 to [`AtRisk::MOST`]; `None` where they were not counted, which is not 0.
    pub procedures: Option<u32>,
}

impl AtRisk {
    /// The most procedures that a month can hold: more than any network of hospitals does.
    pub const MOST: u32 = 100_000;
}

/// Counted procedures, by stratum and month.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Denominators(BTreeMap<StratumSlug, BTreeMap<Month, u32>>);

impl Denominators {
    /// Procedures by stratum and month.
    #[must_use]
    pub(super) const fn of(counted: BTreeMap<StratumSlug, BTreeMap<Month, u32>>) -> Self {
        Self(counted)
    }

    /// The months of a stratum; `None` when it was never counted.
    #[must_use]
    pub(super) fn months(&self, stratum: &StratumSlug) -> Option<&BTreeMap<Month, u32>> {
        self.0.get(stratum)
    }

    /// Procedures of a stratum in a month; `None` where they were not counted.
    #[must_use]
    pub fn get(&self, stratum: &StratumSlug, month: Month) -> Option<u32> {
        self.0.get(stratum)?.get(&month).copied()
    }
}

impl FromIterator<AtRisk> for Denominators {
    fn from_iter<I: IntoIterator<Item = AtRisk>>(cells: I) -> Self {
        let mut all: BTreeMap<StratumSlug, BTreeMap<Month, u32>> = BTreeMap::new();
        for cell in cells {
            if let Some(procedures) = cell.procedures {
                all.entry(cell.stratum).or_default().insert(cell.month, procedures);
            }
        }
        Self(all)
    }
}
