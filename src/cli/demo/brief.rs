//! The demo's brief cases: recorded in a minute and never discussed, a line each.

use std::str::FromStr;

use super::{DemoFiles, broken};
use crate::case::{Case, Complication, Lesion, check};
use crate::vocabulary::Vocabulary;

const FILE: &str = "brief-cases.txt";
/// What a line holds, separated by bars.
const COLUMNS: &str = "month|title|mechanism|segment|presentation|urgency|access|calcification|medina|harm";

/// Reads every line.
pub(super) fn cases(vocabulary: &Vocabulary) -> anyhow::Result<Vec<Case>> {
    let file = DemoFiles::get(FILE).ok_or_else(|| broken(FILE, &"it is missing"))?;
    let text = std::str::from_utf8(&file.data).map_err(|error| broken(FILE, &error))?;
    let mut lines = text.lines().enumerate().filter(|(_, line)| !line.starts_with('#'));
    if lines.next().is_none_or(|(_, line)| line != COLUMNS) {
        return Err(broken(FILE, &format!("the columns are {COLUMNS}")));
    }
    lines
        .map(|(at, line)| {
            let case = read(line).ok_or_else(|| broken(FILE, &format!("line {}: {line}", at + 1)))?;
            match check(&case, vocabulary).first() {
                None => Ok(case),
                Some(problem) => Err(broken(FILE, &format!("line {}: {}", at + 1, problem.message))),
            }
        })
        .collect()
}

/// A case from its line; `None` when a cell cannot be read.
fn read(line: &str) -> Option<Case> {
    let cells: Vec<&str> = line.split('|').collect();
    let &[month, title, mechanism, segment, presentation, urgency, access, calcification, medina, harm] =
        cells.as_slice()
    else {
        return None;
    };
    let mut case = Case::first_entry(needed(title)?, needed(month)?, needed(mechanism)?, None);
    case.patient.presentation = maybe(presentation)?;
    case.procedure.urgency = maybe(urgency)?;
    case.procedure.access = maybe(access)?.into_iter().collect();
    case.outcome.harm = maybe(harm)?;
    let segment = maybe(segment)?;
    let index: &mut Complication = case.complications.first_mut()?;
    index.segment = segment;
    if let Some(segment) = segment {
        case.lesions.push(Lesion {
            segment,
            calcification: maybe(calcification)?,
            tortuosity: None,
            medina: maybe(medina)?,
            cto: false,
            ostial: false,
            length_mm: None,
            reference_mm: None,
        });
    }
    Some(case)
}

fn needed<T: FromStr>(cell: &str) -> Option<T> {
    cell.parse().ok()
}

/// A cell that may be empty; `None` when it is not and cannot be read.
fn maybe<T: FromStr>(cell: &str) -> Option<Option<T>> {
    if cell.is_empty() { Some(None) } else { cell.parse().ok().map(Some) }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::database::Database;
    use crate::vocabulary::store;

    #[tokio::test]
    async fn every_line_is_a_case_that_the_record_takes() {
        let folder = tempfile::tempdir().unwrap();
        let database = Database::open(&folder.path().join("relook.db")).await.unwrap();
        let mut conn = database.write().await.unwrap();
        store::seed(&mut conn).await.unwrap();
        let vocabulary = store::load(&mut conn).await.unwrap();
        let cases = cases(&vocabulary).unwrap();
        assert!(cases.len() > 100, "{}", cases.len());
        assert!(cases.is_sorted_by_key(|case| case.month));
    }
}
