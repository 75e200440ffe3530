//! Tables whose rows are as wide as their columns.

use super::inline::Phrase;

/// A table: a caption, columns, and rows of as many cells as there are columns.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Table {
    caption: String,
    columns: Vec<Column>,
    rows: Vec<Vec<Phrase>>,
    first_column: FirstColumn,
}

/// Why rows and columns are no table.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum TableError {
    /// There is nothing to put a cell in.
    #[error("a table needs at least one column")]
    NoColumns,
    /// A row has more or fewer cells than there are columns.
    #[error("row {row} has {cells} cells, the table has {columns} columns")]
    RowWidth {
        /// Which row, from 1.
        row: usize,
        /// How many cells it has.
        cells: usize,
        /// How many columns the table has.
        columns: usize,
    },
}

impl Table {
    /// A table whose width is known where it is written: a row of another width does not compile.
    pub fn of<const N: usize>(caption: impl Into<String>, columns: [Column; N]) -> Grid<N> {
        const { assert!(N > 0, "a table needs at least one column") };
        Grid(Self {
            caption: caption.into(),
            columns: columns.into(),
            rows: Vec::new(),
            first_column: FirstColumn::Plain,
        })
    }

    /// A table whose width is known only at run time.
    ///
    /// # Errors
    /// When there is no column, or a row is not as wide as the columns.
    pub fn from_rows(
        caption: impl Into<String>,
        columns: Vec<Column>,
        rows: Vec<Vec<Phrase>>,
        first_column: FirstColumn,
    ) -> Result<Self, TableError> {
        if columns.is_empty() {
            return Err(TableError::NoColumns);
        }
        if let Some(index) = rows.iter().position(|row| row.len() != columns.len()) {
            return Err(TableError::RowWidth {
                row: index + 1,
                cells: rows[index].len(),
                columns: columns.len(),
            });
        }
        Ok(Self { caption: caption.into(), columns, rows, first_column })
    }

    /// What the table shows.
    #[must_use]
    pub fn caption(&self) -> &str {
        &self.caption
    }

    /// The columns.
    #[must_use]
    pub fn columns(&self) -> &[Column] {
        &self.columns
    }

    /// The rows, each as wide as the columns.
    #[must_use]
    pub fn rows(&self) -> &[Vec<Phrase>] {
        &self.rows
    }

    /// What the first column is.
    #[must_use]
    pub const fn first_column(&self) -> FirstColumn {
        self.first_column
    }
}

/// A [`Table`] of `N` columns that is still being filled.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Grid<const N: usize>(Table);

impl<const N: usize> Grid<N> {
    /// Adds a row: `table.row(["+12:30".into(), "wire advanced".into()])`.
    pub fn row(&mut self, cells: [Phrase; N]) -> &mut Self {
        self.0.rows.push(cells.into());
        self
    }

    /// Adds rows.
    #[must_use]
    pub fn rows(mut self, rows: impl IntoIterator<Item = [Phrase; N]>) -> Self {
        self.0.rows.extend(rows.into_iter().map(Vec::from));
        self
    }

    /// Says that the first cell of a row names the row.
    #[must_use]
    pub const fn first_column_names_the_row(mut self) -> Self {
        self.0.first_column = FirstColumn::NamesTheRow;
        self
    }
}

impl<const N: usize> From<Grid<N>> for Table {
    fn from(grid: Grid<N>) -> Self {
        grid.0
    }
}

impl<const N: usize> From<Grid<N>> for super::Block {
    fn from(grid: Grid<N>) -> Self {
        Self::Table(grid.0)
    }
}

/// What the first column of a table is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FirstColumn {
    /// A column like the others.
    Plain,
    /// The name of its row.
    NamesTheRow,
}

/// A column.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Column {
    /// What stands at its head.
    pub label: String,
    /// What it holds, which decides how it is aligned.
    pub kind: ColumnKind,
}

/// What a column holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ColumnKind {
    /// Words, aligned at the start.
    Text,
    /// Numbers with the same count of decimals, aligned at the end.
    Number,
    /// Times of a case, aligned at the end, in the mono face.
    Offset,
}

impl Column {
    /// A column of words.
    pub fn text(label: impl Into<String>) -> Self {
        Self { label: label.into(), kind: ColumnKind::Text }
    }

    /// A column of numbers.
    pub fn number(label: impl Into<String>) -> Self {
        Self { label: label.into(), kind: ColumnKind::Number }
    }

    /// A column of times of a case.
    pub fn offset(label: impl Into<String>) -> Self {
        Self { label: label.into(), kind: ColumnKind::Offset }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_row_of_another_width_is_refused_with_its_number() {
        let columns = vec![Column::text("a"), Column::number("b")];
        let rows = vec![vec!["x".into(), "1".into()], vec!["y".into()]];
        assert_eq!(
            Table::from_rows("c", columns, rows, FirstColumn::Plain),
            Err(TableError::RowWidth { row: 2, cells: 1, columns: 2 })
        );
        assert_eq!(Table::from_rows("c", vec![], vec![], FirstColumn::Plain), Err(TableError::NoColumns));
    }

    #[test]
    fn a_grid_becomes_a_table_of_its_rows() {
        let table: Table = Table::of("c", [Column::offset("Time"), Column::text("Event")])
            .rows([["+0:00".into(), "wire".into()]])
            .first_column_names_the_row()
            .into();
        assert_eq!(table.rows().len(), 1);
        assert_eq!(table.first_column(), FirstColumn::NamesTheRow);
    }
}
