//! Two people filled in one year: what each changed, side by side.
//!
//! The form carries what it showed when it was opened. So a cell that only the other person
//! changed is taken over, and only a cell that both changed is a question.

use super::grid::{Cell, Counts};

/// A cell with two versions.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Difference {
    pub(super) name: String,
    pub(super) place: String,
    pub(super) saved: String,
    pub(super) yours: String,
}

/// Both versions of a year put together.
#[derive(Debug, Clone, Default)]
pub(super) struct Merged {
    /// What each cell shows now, as text.
    pub(super) typed: Vec<(String, String)>,
    /// Cells that both changed, or of which it is not known who did; yours stands in the grid.
    pub(super) differing: Vec<Difference>,
    /// Cells that only the other person changed; theirs stands in the grid.
    pub(super) taken_over: Vec<Difference>,
}

/// Puts what was typed and what is saved together, cell by cell.
pub(super) fn merge(cells: &[Cell], saved: &Counts) -> Merged {
    let mut merged = Merged::default();
    for cell in cells {
        let kept = saved.get(&cell.key()).copied();
        let kept_text = kept.map(|count| count.to_string()).unwrap_or_default();
        let typed = cell.value.ok().flatten();
        let untouched = cell.was == Some(typed);
        let shown = if untouched { kept_text.clone() } else { cell.typed.clone() };
        if typed != kept {
            let difference = Difference {
                name: cell.name(),
                place: cell.place.clone(),
                saved: kept_text,
                yours: cell.typed.clone(),
            };
            if untouched {
                merged.taken_over.push(difference);
            } else if cell.was != Some(kept) {
                merged.differing.push(difference);
            }
        }
        merged.typed.push((cell.name(), shown));
    }
    merged
}

#[cfg(test)]
mod tests {
    use super::*;

    fn cell(month: &str, typed: &str, was: Option<Option<u32>>) -> Cell {
        Cell {
            month: month.parse().unwrap(),
            stratum: "all-pci".parse().unwrap(),
            place: month.to_owned(),
            typed: typed.to_owned(),
            value: Ok(typed.parse().ok()),
            was,
        }
    }

    fn saved(cells: &[(&str, u32)]) -> Counts {
        cells
            .iter()
            .map(|(month, count)| ((month.parse().unwrap(), "all-pci".parse().unwrap()), *count))
            .collect()
    }

    fn shown(merged: &Merged) -> Vec<&str> {
        merged.typed.iter().map(|(_, text)| text.as_str()).collect()
    }

    #[test]
    fn a_cell_that_only_the_other_changed_is_taken_over() {
        let merged = merge(
            &[cell("2026-01", "", Some(None)), cell("2026-02", "90", Some(None))],
            &saved(&[("2026-01", 104)]),
        );
        assert_eq!(shown(&merged), ["104", "90"]);
        assert_eq!(merged.taken_over.len(), 1);
        assert!(merged.differing.is_empty());
    }

    #[test]
    fn a_cell_that_both_changed_is_a_question_and_yours_stands() {
        let merged = merge(&[cell("2026-01", "110", Some(Some(100)))], &saved(&[("2026-01", 104)]));
        assert_eq!(shown(&merged), ["110"]);
        assert_eq!((merged.differing[0].saved.as_str(), merged.differing[0].yours.as_str()), ("104", "110"));
    }

    #[test]
    fn a_cell_that_both_changed_alike_is_no_question() {
        let merged = merge(&[cell("2026-01", "104", Some(None))], &saved(&[("2026-01", 104)]));
        assert!(merged.differing.is_empty() && merged.taken_over.is_empty());
    }

    #[test]
    fn without_what_the_form_showed_every_difference_is_a_question() {
        let merged = merge(&[cell("2026-01", "", None)], &saved(&[("2026-01", 104)]));
        assert_eq!(shown(&merged), [""]);
        assert_eq!(merged.differing.len(), 1);
    }
}
