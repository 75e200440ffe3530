//! A small tree and small counts for the tests of this folder.

use super::at_risk::{AtRisk, Denominators};
use super::counts::Counts;
use super::period::Period;
use super::table::{Inputs, RatesTable};
use crate::case::Month;
use crate::vocabulary::{Branch, Mechanism, MechanismRole, Stratum, Vocabulary};

pub(super) fn month(text: &str) -> Month {
    text.parse().unwrap()
}

pub(super) fn period(from: &str, to: &str) -> Period {
    Period::new(month(from), month(to)).unwrap()
}

fn leaf(branch: &str, slug: &str, label: &str, at_risk: &str) -> Mechanism {
    Mechanism {
        slug: slug.parse().unwrap(),
        branch: branch.to_owned(),
        label: label.to_owned(),
        definition: String::new(),
        example: String::new(),
        words: Vec::new(),
        at_risk: at_risk.parse().unwrap(),
        role: MechanismRole::Primary,
        own: false,
        retired: false,
    }
}

/// Branches whose mechanisms share all PCI, share another stratum, and have different strata; a
/// retired mechanism, and one that only contributes.
pub(super) fn tree() -> Vocabulary {
    let stratum = |slug: &str, label: &str| Stratum {
        slug: slug.parse().unwrap(),
        label: label.to_owned(),
        definition: String::new(),
    };
    let branch = |slug: &str, label: &str| Branch {
        slug: slug.to_owned(),
        label: label.to_owned(),
        definition: String::new(),
    };
    Vocabulary {
        strata: vec![
            stratum("all-pci", "All PCI"),
            stratum("bifurcation-pci", "Bifurcation PCI"),
            stratum("radial-pci", "Radial PCI"),
        ],
        mechanism_branches: vec![
            branch("wire", "Wire"),
            branch("branch", "Side branch"),
            branch("access", "Access"),
            branch("process", "Process"),
        ],
        mechanisms: vec![
            leaf("wire", "wire-tear", "Wire dissection", "all-pci"),
            leaf("wire", "wire-exit", "Wire perforation", "all-pci"),
            Mechanism { retired: true, ..leaf("wire", "wire-old", "Old wire harm", "all-pci") },
            leaf("branch", "branch-lost", "Side-branch loss", "bifurcation-pci"),
            leaf("branch", "branch-torn", "Side-branch dissection", "bifurcation-pci"),
            leaf("access", "access-bleed", "Access-site bleed", "all-pci"),
            leaf("access", "access-spasm", "Radial spasm", "radial-pci"),
            Mechanism {
                role: MechanismRole::Contributory,
                ..leaf("process", "handover", "Handover", "all-pci")
            },
        ],
        ..Vocabulary::default()
    }
}

/// Procedures at risk of one stratum, from a month on, month by month; `None` is not counted.
pub(super) fn grid(stratum: &str, from: &str, procedures: &[Option<u32>]) -> Vec<AtRisk> {
    (0..)
        .zip(procedures)
        .map(|(index, &procedures)| AtRisk {
            month: month(from).plus(index),
            stratum: stratum.parse().unwrap(),
            procedures,
        })
        .collect()
}

/// So many cases of one mechanism each, by month.
pub(super) fn cases(vocabulary: &Vocabulary, rows: &[(&str, &str, u32)]) -> Counts {
    let mut counts = Counts::default();
    for (at, mechanism, cases) in rows.iter().filter(|(_, _, cases)| *cases > 0) {
        let slug = mechanism.parse().unwrap();
        let branch = vocabulary.mechanism(&slug).unwrap().branch.clone();
        *counts.whole.entry(month(at)).or_default() += cases;
        *counts.branches.entry(branch).or_default().entry(month(at)).or_default() += cases;
        *counts.mechanisms.entry(slug).or_default().entry(month(at)).or_default() += cases;
    }
    counts
}

/// The table of cases recorded from January 2020 on.
pub(super) fn table(rows: &[(&str, &str, u32)], at_risk: Vec<AtRisk>, period: Period) -> RatesTable {
    let vocabulary = tree();
    let inputs = Inputs {
        counts: cases(&vocabulary, rows),
        denominators: at_risk.into_iter().collect::<Denominators>(),
        recorded_since: Some(month("2020-01")),
        within: None,
    };
    RatesTable::of(&vocabulary, &inputs, period)
}
