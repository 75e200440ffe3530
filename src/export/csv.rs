//! Tables as CSV (RFC 4180): a header that says units, then rows. What a person wrote never begins a
//! formula in a spreadsheet.

use std::fmt::Write as _;

/// One cell.
#[derive(Debug, Clone, PartialEq)]
pub enum Cell {
    /// Words.
    Text(String),
    /// A whole number.
    Whole(u64),
    /// A number, to six digits after the point.
    Number(f64),
    /// Nothing to say.
    Empty,
}

impl Cell {
    /// Words.
    pub fn text(words: impl Into<String>) -> Self {
        Self::Text(words.into())
    }

    /// A number that may be missing.
    #[must_use]
    pub fn maybe(number: Option<f64>) -> Self {
        number.filter(|number| number.is_finite()).map_or(Self::Empty, Self::Number)
    }
}

/// A table as a CSV file. Every row has as many cells as there are columns.
#[must_use]
pub fn csv_file(columns: &[String], rows: &[Vec<Cell>]) -> String {
    let mut file = String::new();
    let header: Vec<Cell> = columns.iter().map(Cell::text).collect();
    for row in std::iter::once(&header).chain(rows) {
        for (place, cell) in row.iter().enumerate() {
            if place > 0 {
                file.push(',');
            }
            write_cell(&mut file, cell);
        }
        file.push_str("\r\n");
    }
    file
}

fn write_cell(file: &mut String, cell: &Cell) {
    match cell {
        Cell::Empty => {}
        Cell::Whole(number) => {
            let _ = write!(file, "{number}");
        }
        Cell::Number(number) => {
            let text = format!("{number:.6}");
            let short = text.trim_end_matches('0').trim_end_matches('.');
            file.push_str(if short == "-0" { "0" } else { short });
        }
        Cell::Text(words) => {
            // A spreadsheet runs a text that begins so.
            let guarded = if words.starts_with(['=', '+', '-', '@', '\t', '\r']) {
                format!("'{words}")
            } else {
                words.clone()
            };
            if guarded.contains(['"', ',', '\n', '\r']) {
                let _ = write!(file, "\"{}\"", guarded.replace('"', "\"\""));
            } else {
                file.push_str(&guarded);
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_file_reads_back_as_it_was_meant() {
        let columns = ["What, and where".to_owned(), "rate per 1,000".to_owned()];
        let rows = vec![
            vec![Cell::text("a \"word\"\nand another"), Cell::Number(11.4)],
            vec![Cell::text("=1+1"), Cell::Number(-0.000_000_1)],
            vec![Cell::Empty, Cell::Whole(12)],
        ];
        let file = csv_file(&columns, &rows);
        let read: Vec<Vec<String>> = csv::ReaderBuilder::new()
            .has_headers(false)
            .from_reader(file.as_bytes())
            .records()
            .map(|row| row.unwrap().iter().map(str::to_owned).collect())
            .collect();
        assert_eq!(
            read,
            [
                ["What, and where", "rate per 1,000"],
                ["a \"word\"\nand another", "11.4"],
                ["'=1+1", "0"],
                ["", "12"],
            ]
        );
    }

    #[test]
    fn what_is_no_number_is_left_empty() {
        assert_eq!(Cell::maybe(Some(f64::INFINITY)), Cell::Empty);
        assert_eq!(Cell::maybe(None), Cell::Empty);
    }
}
