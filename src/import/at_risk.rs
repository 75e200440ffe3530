//! Procedures at risk as a table: a header `month` and strata, a row a month. All of it or nothing.
//!
//! Commas separate the columns; cells may stand in double quotes, and none spans two lines; lines
//! end as on any system.

mod row;

use std::collections::BTreeMap;
use std::fmt;

use super::FileProblem;
use super::nearest::hint;
use super::source::{Problems, Source};
use crate::case::Month;
use crate::rates::AtRisk;
use crate::vocabulary::{StratumSlug, Vocabulary};
use row::{Cell, split};

/// Something in a table that cannot be taken in.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Problem(FileProblem);

impl Problem {
    /// The problem with its place, as for any file; its path is the name of the column.
    #[must_use]
    pub const fn in_file(&self) -> &FileProblem {
        &self.0
    }
}

impl fmt::Display for Problem {
    /// As a sentence for a page: `Line 3, all-pci: …`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let FileProblem { line, column: _, path, message } = &self.0;
        match path.as_str() {
            "" => write!(f, "Line {line}: {message}"),
            name => write!(f, "Line {line}, {name}: {message}"),
        }
    }
}

/// Reads a table of procedures at risk against the department's strata.
///
/// An empty cell is a month that was not counted, which is not 0; a stratum without a column is
/// not in the result.
///
/// # Errors
/// Everything that is wrong with the table, each with its line and the name of its column.
pub fn read(bytes: impl AsRef<[u8]>, vocabulary: &Vocabulary) -> Result<Vec<AtRisk>, Vec<Problem>> {
    let source = Source::read(bytes.as_ref()).map_err(|problem| vec![Problem(problem)])?;
    let mut table = Table { vocabulary, source: &source, problems: Problems::default() };
    let cells = table.read();
    if table.problems.is_empty() {
        return Ok(cells);
    }
    Err(table.problems.told(&source).into_iter().map(Problem).collect())
}

/// What a column holds.
enum Column {
    Month,
    Stratum(StratumSlug),
    /// A column whose header is wrong: that has been told, its cells are passed over.
    Wrong,
}

struct Table<'a> {
    vocabulary: &'a Vocabulary,
    source: &'a Source<'a>,
    problems: Problems,
}

impl Table<'_> {
    fn read(&mut self) -> Vec<AtRisk> {
        let text = self.source.text();
        let mut start = 0;
        let mut lines = text.split_inclusive('\n').map(|line| {
            let at = start;
            start += line.len();
            (at, line.trim_end_matches(['\n', '\r']))
        });
        let Some((at, line)) = lines.find(|(_, line)| !line.trim().is_empty()) else {
            self.problems.add(
                0,
                "",
                "This file is empty. Its first line names the columns: month,all-pci,bifurcation-pci.",
            );
            return Vec::new();
        };
        let Some(columns) = self.header(at, line) else {
            return Vec::new();
        };
        let mut cells = Vec::new();
        let mut months: BTreeMap<Month, usize> = BTreeMap::new();
        let mut rows = 0;
        for (at, line) in lines {
            // Spreadsheets leave rows of separators below a table.
            if line.trim_matches([',', ' ', '\t', '"']).is_empty() {
                continue;
            }
            rows += 1;
            self.row(&columns, at, line, &mut months, &mut cells);
        }
        if rows == 0 {
            self.problems.add(text.len(), "", "There is no month below the header.");
        }
        cells
    }

    fn header(&mut self, at: usize, line: &str) -> Option<Vec<Column>> {
        let names = match split(at, line) {
            Ok(names) => names,
            Err((at, message)) => {
                self.problems.add(at, "", message);
                return None;
            }
        };
        if names.len() == 1 && line.contains([';', '\t']) {
            let message = "The columns are not separated by commas. Save the table as CSV with a comma between the columns.";
            self.problems.add(at, "", message);
            return None;
        }
        if !names.iter().any(|name| name.text.eq_ignore_ascii_case("month")) {
            let message = if names.first().is_some_and(|first| first.text.parse::<Month>().is_ok()) {
                "The header is missing. The first line names the columns: month,all-pci,bifurcation-pci."
            } else {
                "No column is called month. The first line names the columns: month,all-pci,bifurcation-pci."
            };
            self.problems.add(at, "", message);
            return None;
        }
        let mut taken: Vec<String> = Vec::new();
        let columns: Vec<Column> = names.iter().map(|name| self.column(name, &mut taken)).collect();
        if columns.len() == 1 {
            self.problems.add(
                at,
                "",
                "There is no column beside month. Name one column for each stratum that was counted.",
            );
            return None;
        }
        Some(columns)
    }

    fn column(&mut self, name: &Cell, taken: &mut Vec<String>) -> Column {
        let wanted = name.text.to_lowercase();
        let shown: String = name.text.chars().take(40).collect();
        if taken.contains(&wanted) {
            self.problems.add(
                name.at,
                shown.clone(),
                format!("The column “{shown}” stands here a second time."),
            );
            return Column::Wrong;
        }
        taken.push(wanted.clone());
        if wanted == "month" {
            return Column::Month;
        }
        let stratum = self.vocabulary.strata.iter().find(|stratum| stratum.slug.as_str() == wanted);
        if let Some(stratum) = stratum {
            return Column::Stratum(stratum.slug.clone());
        }
        let slugs = || self.vocabulary.strata.iter().map(|stratum| stratum.slug.as_str());
        let message = if wanted.is_empty() {
            "This column has no name.".to_owned()
        } else {
            match hint(&wanted, slugs()) {
                near if near.is_empty() => {
                    let all: Vec<&str> = slugs().collect();
                    format!("No stratum is called “{shown}”. There are: {}.", all.join(", "))
                }
                near => format!("No stratum is called “{shown}”.{near}"),
            }
        };
        self.problems.add(name.at, shown, message);
        Column::Wrong
    }

    fn row(
        &mut self,
        columns: &[Column],
        at: usize,
        line: &str,
        months: &mut BTreeMap<Month, usize>,
        cells: &mut Vec<AtRisk>,
    ) {
        let row = match split(at, line) {
            Ok(row) => row,
            Err((at, message)) => {
                self.problems.add(at, "", message);
                return;
            }
        };
        if row.len() != columns.len() {
            let message =
                format!("This row has {} cells, the header {}. Mend the row.", row.len(), columns.len());
            self.problems.add(at, "", message);
            return;
        }
        let month = self.month(columns, &row, months);
        for (column, cell) in columns.iter().zip(&row) {
            let Column::Stratum(stratum) = column else {
                continue;
            };
            match count(&cell.text) {
                Ok(procedures) => {
                    cells.extend(month.map(|month| AtRisk { month, stratum: stratum.clone(), procedures }))
                }
                Err(message) => self.problems.add(cell.at, stratum.as_str(), message),
            }
        }
    }

    fn month(
        &mut self,
        columns: &[Column],
        row: &[Cell],
        months: &mut BTreeMap<Month, usize>,
    ) -> Option<Month> {
        let place = columns.iter().position(|column| matches!(column, Column::Month));
        let cell = row.get(place?)?;
        if cell.text.is_empty() {
            self.problems.add(cell.at, "month", "This row has no month.");
            return None;
        }
        match cell.text.parse::<Month>() {
            Ok(month) => {
                let line = self.source.line_of(cell.at);
                let Some(first) = months.get(&month) else {
                    months.insert(month, line);
                    return Some(month);
                };
                self.problems.add(
                    cell.at,
                    "month",
                    format!("The month {month} stands in line {first} already."),
                );
                None
            }
            Err(error) => {
                let shown: String = cell.text.chars().take(40).collect();
                self.problems.add(cell.at, "month", format!("“{shown}” is not a month. {error}"));
                None
            }
        }
    }
}

/// The procedures of a cell; none when the cell is empty.
fn count(text: &str) -> Result<Option<u32>, String> {
    if text.is_empty() {
        return Ok(None);
    }
    let digits = text.bytes().all(|b| b.is_ascii_digit());
    match text.parse::<u32>() {
        Ok(number) if digits && number <= AtRisk::MOST => Ok(Some(number)),
        _ => {
            let shown: String = text.chars().take(40).collect();
            Err(format!(
                "“{shown}” is not a number of procedures. Write a whole number from 0 to {}, without separators, or leave the cell empty when they were not counted.",
                AtRisk::MOST
            ))
        }
    }
}
