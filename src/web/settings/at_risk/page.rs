//! The page of a year: rows, marks, totals, and what it says about them.

use askama::Template;

use super::grid::{Cell, Counts, Year, cell_name, fingerprint, line_of};
use super::stale::{Difference, Merged};
use crate::case::Month;
use crate::rates::{ALL_PCI, Period};
use crate::vocabulary::Stratum;
use crate::web::frame::{Frame, Place, Visit};

/// What the grid shows: the saved counts, or what was typed.
pub(super) struct Shown<'a> {
    saved: &'a Counts,
    /// By field name; a cell that is not named shows its saved count.
    typed: Vec<(String, String)>,
    marks: Vec<Mark>,
    /// The fingerprint and the line of the form that was opened; of what is saved when none.
    opened: Option<(String, String)>,
    stale: Option<StalePart>,
}

/// A cell that cannot be read.
pub(super) struct Mark {
    name: String,
    place: String,
    short: &'static str,
    sentence: String,
}

/// Somebody saved meanwhile: what to look at.
struct StalePart {
    differing: Vec<Difference>,
    taken_over: Vec<Difference>,
}

impl<'a> Shown<'a> {
    /// The counts as they are saved.
    pub(super) const fn saved(saved: &'a Counts) -> Self {
        Self { saved, typed: Vec::new(), marks: Vec::new(), opened: None, stale: None }
    }

    /// What was typed, with what cannot be read of it.
    pub(super) fn marked(saved: &'a Counts, cells: &[Cell], base: &str, was: &str) -> Self {
        let marks = cells
            .iter()
            .filter_map(|cell| {
                let error = cell.value.err()?;
                Some(Mark {
                    name: cell.name(),
                    place: cell.place.clone(),
                    short: error.short(),
                    sentence: error.sentence(&cell.typed),
                })
            })
            .collect();
        Self {
            saved,
            typed: cells.iter().map(|cell| (cell.name(), cell.typed.clone())).collect(),
            marks,
            opened: Some((base.to_owned(), was.to_owned())),
            stale: None,
        }
    }

    /// What was typed and what was saved meanwhile, put together.
    pub(super) fn stale(saved: &'a Counts, merged: Merged) -> Self {
        Self {
            saved,
            typed: merged.typed,
            marks: Vec::new(),
            opened: None,
            stale: Some(StalePart { differing: merged.differing, taken_over: merged.taken_over }),
        }
    }

    fn text(&self, month: Month, stratum: &Stratum) -> String {
        let name = cell_name(month, &stratum.slug);
        let saved = || self.saved.get(&(month, stratum.slug.clone())).map(u32::to_string).unwrap_or_default();
        self.typed.iter().find(|(typed, _)| *typed == name).map_or_else(saved, |(_, text)| text.clone())
    }

    fn mark(&self, name: &str) -> &'static str {
        self.marks.iter().find(|mark| mark.name == name).map_or("", |mark| mark.short)
    }
}

/// A month of the grid.
struct Row {
    id: String,
    name: String,
    cells: Vec<CellPart>,
}

/// A cell of the grid.
struct CellPart {
    name: String,
    stratum: String,
    text: String,
    mark: &'static str,
}

/// The year's sum of one stratum.
struct Total {
    procedures: u64,
    months: usize,
}

#[derive(Template)]
#[template(path = "settings/at_risk.html")]
pub(super) struct GridPage {
    frame: Frame,
    year: Year,
    state: String,
    previous: Option<Year>,
    next: Option<Year>,
    strata: Vec<Stratum>,
    rows: Vec<Row>,
    /// Of what is saved; none while something typed is shown.
    totals: Vec<Total>,
    warnings: Vec<String>,
    marks: Vec<Mark>,
    stale: Option<StalePart>,
    base: String,
    was: String,
    edits: bool,
    empty: bool,
}

impl GridPage {
    pub(super) fn new(visit: &Visit, today: Month, year: Year, strata: &[Stratum], shown: Shown<'_>) -> Self {
        let saved = shown.saved;
        let rows = year.months().map(|month| row(month, strata, &shown)).collect();
        let totals = if shown.typed.is_empty() {
            strata.iter().map(|stratum| total(stratum, saved)).collect()
        } else {
            Vec::new()
        };
        let opened = shown
            .opened
            .unwrap_or_else(|| (fingerprint(saved).as_str().to_owned(), line_of(year, strata, saved)));
        Self {
            frame: visit.frame(Place::Settings),
            year,
            state: describe(year, saved),
            previous: year.plus(-1),
            next: year.plus(1).filter(|next| next.number() <= today.year() + 1),
            strata: strata.to_vec(),
            rows,
            totals,
            warnings: warnings(strata, saved),
            empty: saved.is_empty(),
            marks: shown.marks,
            stale: shown.stale,
            base: opened.0,
            was: opened.1,
            edits: visit.user.role.keeps(),
        }
    }

    /// What stands over the list of marked cells.
    fn error_heading(&self) -> String {
        match self.marks.len() {
            1 => "Nothing is saved yet: one cell needs another look".to_owned(),
            count => format!("Nothing is saved yet: {count} cells need another look"),
        }
    }

    /// How many counts were taken over from whoever saved meanwhile.
    fn taken_over(&self) -> usize {
        self.stale.as_ref().map_or(0, |stale| stale.taken_over.len())
    }
}

fn row(month: Month, strata: &[Stratum], shown: &Shown<'_>) -> Row {
    Row {
        id: format!("m-{month}"),
        name: month.in_words().split(' ').next().unwrap_or_default().to_owned(),
        cells: strata
            .iter()
            .map(|stratum| {
                let name = cell_name(month, &stratum.slug);
                CellPart {
                    text: shown.text(month, stratum),
                    mark: shown.mark(&name),
                    stratum: stratum.slug.to_string(),
                    name,
                }
            })
            .collect(),
    }
}

fn total(stratum: &Stratum, saved: &Counts) -> Total {
    let of =
        || saved.iter().filter(|((_, slug), _)| *slug == stratum.slug).map(|(_, count)| u64::from(*count));
    Total { procedures: of().sum(), months: of().count() }
}

/// Which months of the year are counted, in a sentence; by all PCI, which every other kind is part of.
fn describe(year: Year, saved: &Counts) -> String {
    let counted: Vec<Month> =
        year.months().filter(|month| saved.contains_key(&(*month, ALL_PCI.clone()))).collect();
    let in_a_row = match (counted.first(), counted.last()) {
        (Some(first), Some(last)) => {
            Period::new(*first, *last).ok().filter(|p| p.months().count() == counted.len())
        }
        _ => None,
    };
    match (counted.len(), in_a_row) {
        (0, _) if saved.is_empty() => format!("Nothing is counted for {year} yet."),
        (0, _) => format!("All PCI is not counted for any month of {year} yet."),
        (12, _) => format!("Every month of {year} is counted."),
        (1, Some(months)) => format!("Counted for {months}."),
        (count, Some(months)) => format!("Counted for {count} months: {months}."),
        (count, None) => format!("Counted for {count} months of {year}, with gaps between."),
    }
}

/// Months in which a part is larger than the whole.
fn warnings(strata: &[Stratum], saved: &Counts) -> Vec<String> {
    saved
        .iter()
        .filter_map(|((month, slug), count)| {
            let all = saved.get(&(*month, ALL_PCI.clone()))?;
            let stratum = strata.iter().find(|stratum| stratum.slug == *slug)?;
            (count > all).then(|| {
                format!(
                    "{}: {} has more procedures ({count}) than all PCI ({all}). Every kind is a part of all PCI; one of the two needs another look.",
                    month.in_words(),
                    stratum.label
                )
            })
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn saved(cells: &[(&str, &str, u32)]) -> Counts {
        cells
            .iter()
            .map(|(month, slug, count)| ((month.parse().unwrap(), slug.parse().unwrap()), *count))
            .collect()
    }

    #[test]
    fn the_state_says_which_months_are_counted() {
        let year: Year = "2026".parse().unwrap();
        let say = |cells: &[(&str, &str, u32)]| describe(year, &saved(cells));
        assert_eq!(say(&[]), "Nothing is counted for 2026 yet.");
        assert_eq!(say(&[("2026-03", "cto-pci", 4)]), "All PCI is not counted for any month of 2026 yet.");
        assert_eq!(say(&[("2026-03", "all-pci", 0)]), "Counted for March 2026.");
        assert_eq!(
            say(&[("2026-03", "all-pci", 90), ("2026-04", "all-pci", 88)]),
            "Counted for 2 months: March to April 2026."
        );
        assert_eq!(
            say(&[("2026-03", "all-pci", 90), ("2026-05", "all-pci", 88)]),
            "Counted for 2 months of 2026, with gaps between."
        );
    }

    #[test]
    fn a_part_that_is_larger_than_the_whole_is_said() {
        let strata = [
            Stratum {
                slug: "all-pci".parse().unwrap(),
                label: "All PCI".to_owned(),
                definition: String::new(),
            },
            Stratum {
                slug: "cto-pci".parse().unwrap(),
                label: "CTO PCI".to_owned(),
                definition: String::new(),
            },
        ];
        assert!(
            warnings(&strata, &saved(&[("2026-03", "all-pci", 90), ("2026-03", "cto-pci", 90)])).is_empty()
        );
        assert!(warnings(&strata, &saved(&[("2026-03", "cto-pci", 9)])).is_empty());
        let found = warnings(&strata, &saved(&[("2026-03", "all-pci", 9), ("2026-03", "cto-pci", 90)]));
        assert_eq!(found.len(), 1);
        assert!(
            found[0].starts_with("March 2026: CTO PCI has more procedures (90) than all PCI (9)."),
            "{found:?}"
        );
    }
}
