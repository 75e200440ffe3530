//! A year's counts as cells: reading what was typed, and what differs from what is saved.

use std::collections::BTreeMap;
use std::fmt;
use std::str::FromStr;

use crate::case::{Fingerprint, Month};
use crate::rates::AtRisk;
use crate::vocabulary::{Stratum, StratumSlug};
use crate::web::form::Values;

/// A year of the record's calendar, 1990 to 2100.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(in crate::web) struct Year(i64);

impl Year {
    pub(in crate::web) const fn of(month: Month) -> Self {
        Self(month.year())
    }

    pub(in crate::web) const fn number(self) -> i64 {
        self.0
    }

    /// The year before or after, when the calendar of the record has it.
    pub(in crate::web) fn plus(self, years: i64) -> Option<Self> {
        Month::new(self.0 + years, 1).ok().map(Self::of)
    }

    pub(in crate::web) fn months(self) -> impl Iterator<Item = Month> {
        (1..=12).filter_map(move |month| Month::new(self.0, month).ok())
    }
}

impl fmt::Display for Year {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:04}", self.0)
    }
}

impl FromStr for Year {
    type Err = String;
    fn from_str(text: &str) -> Result<Self, String> {
        let digits = text.len() == 4 && text.bytes().all(|b| b.is_ascii_digit());
        let year = if digits { text.parse().ok() } else { None };
        year.and_then(|year| Month::new(year, 1).ok())
            .map(Self::of)
            .ok_or_else(|| "A year has four digits, from 1990 to 2100.".to_owned())
    }
}

/// The counted cells, by month and stratum.
pub(super) type Counts = BTreeMap<(Month, StratumSlug), u32>;

/// The counted cells by their place.
pub(super) fn counts(cells: Vec<AtRisk>) -> Counts {
    cells.into_iter().filter_map(|cell| Some(((cell.month, cell.stratum), cell.procedures?))).collect()
}

/// The fingerprint of counted cells, to tell that somebody saved meanwhile.
pub(super) fn fingerprint(counts: &Counts) -> Fingerprint {
    Fingerprint::of(
        &counts.iter().map(|((month, stratum), count)| (month, stratum, count)).collect::<Vec<_>>(),
    )
}

/// The name of a cell's field, also its id.
pub(super) fn cell_name(month: Month, stratum: &StratumSlug) -> String {
    format!("n-{month}-{stratum}")
}

/// The counts of a whole grid as one line, month by month: what a form showed when it was opened.
pub(super) fn line_of(year: Year, strata: &[Stratum], counts: &Counts) -> String {
    let cell = |month, stratum: &Stratum| {
        counts.get(&(month, stratum.slug.clone())).map(u32::to_string).unwrap_or_default()
    };
    let cells: Vec<String> =
        year.months().flat_map(|month| strata.iter().map(move |stratum| cell(month, stratum))).collect();
    cells.join(",")
}

/// Why a cell cannot be read.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum CellError {
    NotWhole,
    TooMany,
}

impl CellError {
    /// A few words that fit under the cell.
    pub(super) const fn short(self) -> &'static str {
        match self {
            Self::NotWhole => "Not a whole number",
            Self::TooMany => "Too many",
        }
    }

    /// What was typed, and what is allowed.
    pub(super) fn sentence(self, typed: &str) -> String {
        let shown: String = typed.trim().chars().take(24).collect();
        match self {
            Self::NotWhole => format!(
                "“{shown}” is not a whole number. Write digits only, or leave it empty where nobody counted."
            ),
            Self::TooMany => {
                format!("{shown} is too many. A month holds at most {} procedures.", AtRisk::MOST)
            }
        }
    }
}

/// A cell as it came back from the form.
#[derive(Debug, Clone)]
pub(super) struct Cell {
    pub(super) month: Month,
    pub(super) stratum: StratumSlug,
    /// `March 2026, All PCI`.
    pub(super) place: String,
    pub(super) typed: String,
    /// The count, none where nobody counted.
    pub(super) value: Result<Option<u32>, CellError>,
    /// What the form showed when it was opened; none when it does not say.
    pub(super) was: Option<Option<u32>>,
}

impl Cell {
    pub(super) fn key(&self) -> (Month, StratumSlug) {
        (self.month, self.stratum.clone())
    }

    pub(super) fn name(&self) -> String {
        cell_name(self.month, &self.stratum)
    }
}

/// Reads one count; empty is "not counted", which is not 0.
fn read_count(typed: &str) -> Result<Option<u32>, CellError> {
    let typed = typed.trim();
    if typed.is_empty() {
        return Ok(None);
    }
    if !typed.bytes().all(|b| b.is_ascii_digit()) {
        return Err(CellError::NotWhole);
    }
    match typed.parse::<u32>() {
        Ok(count) if count <= AtRisk::MOST => Ok(Some(count)),
        _ => Err(CellError::TooMany),
    }
}

/// Reads every cell of a year. A cell that the form does not send stays as it is saved.
pub(super) fn read_cells(year: Year, strata: &[Stratum], values: &Values, saved: &Counts) -> Vec<Cell> {
    let was: Vec<&str> = values.get("was").split(',').collect();
    let places = year.months().flat_map(|month| strata.iter().map(move |stratum| (month, stratum)));
    let whole = was.len() == strata.len() * 12;
    places
        .enumerate()
        .map(|(index, (month, stratum))| {
            let kept = || saved.get(&(month, stratum.slug.clone())).map(u32::to_string).unwrap_or_default();
            let sent = values.all(&cell_name(month, &stratum.slug)).next();
            let typed = sent.map_or_else(kept, str::to_owned);
            Cell {
                month,
                stratum: stratum.slug.clone(),
                place: format!("{}, {}", month.in_words(), stratum.label),
                value: read_count(&typed),
                typed,
                was: was.get(index).filter(|_| whole).and_then(|text| read_count(text).ok()),
            }
        })
        .collect()
}

/// The cells whose count is another than the saved one.
pub(super) fn change(cells: &[Cell], saved: &Counts) -> Vec<AtRisk> {
    cells
        .iter()
        .filter_map(|cell| {
            let procedures = cell.value.ok()?;
            let kept = saved.get(&cell.key()).copied();
            (procedures != kept).then(|| AtRisk {
                month: cell.month,
                stratum: cell.stratum.clone(),
                procedures,
            })
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_empty_cell_is_not_zero() {
        assert_eq!(read_count("  "), Ok(None));
        assert_eq!(read_count("0"), Ok(Some(0)));
        assert_eq!(read_count(" 104 "), Ok(Some(104)));
        assert_eq!(read_count("100000"), Ok(Some(100_000)));
    }

    #[test]
    fn a_count_is_whole_and_not_negative() {
        for typed in ["-1", "1.5", "1,200", "1 200", "fifty", "1e3", "+4", "٣", "0x10", "—"] {
            assert_eq!(read_count(typed), Err(CellError::NotWhole), "{typed}");
        }
        for typed in ["100001", "99999999999999999999"] {
            assert_eq!(read_count(typed), Err(CellError::TooMany), "{typed}");
        }
    }

    #[test]
    fn a_year_is_in_the_calendar_of_the_record() {
        assert_eq!("2026".parse::<Year>().unwrap().months().count(), 12);
        for text in ["", "26", "1989", "2101", "20 26", "+202", "-2026", "year"] {
            assert!(text.parse::<Year>().is_err(), "{text}");
        }
        assert_eq!(Year(1990).plus(-1), None);
        assert_eq!(Year(2100).plus(1), None);
    }
}
