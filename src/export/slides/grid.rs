//! A table as it stands on a slide: its columns as wide as their words need, its rows as high, over as
//! many pages as they take, the heads on each.

use crate::export::office::columns;
use crate::export::office::measure::wrap;
use crate::export::office::text::{Cells, Run};

/// The sizes that a table may have, the first that serves is taken. Below 24 only where the rows would
/// otherwise be torn over pages.
const SIZES: [f64; 3] = [24.0, 20.0, 18.0];
/// What is left free within a cell: beside its text, and above and below it.
pub(in crate::export) const BESIDE: f64 = 6.0;
pub(in crate::export) const ABOVE: f64 = 4.0;
/// The height of a line, of the size of its text.
pub(in crate::export) const LINE: f64 = 1.2;

/// A part of a table that fits on a page.
#[derive(Debug, Clone, PartialEq)]
pub(in crate::export) struct Grid {
    pub(in crate::export) size: f64,
    /// The columns: how wide each is, and whether it is aligned at its end.
    pub(in crate::export) columns: Vec<(f64, bool)>,
    /// The rows, the heads first where there are any.
    pub(in crate::export) rows: Vec<GridRow>,
    pub(in crate::export) has_heads: bool,
    pub(in crate::export) names_rows: bool,
    /// What it shows, for who does not see it.
    pub(in crate::export) caption: String,
}

/// A row.
#[derive(Debug, Clone, PartialEq)]
pub(in crate::export) struct GridRow {
    pub(in crate::export) height: f64,
    pub(in crate::export) cells: Vec<Vec<Run>>,
}

impl Grid {
    pub(in crate::export) fn height(&self) -> f64 {
        self.rows.iter().map(|row| row.height).sum()
    }

    pub(in crate::export) fn width(&self) -> f64 {
        self.columns.iter().map(|(width, _)| width).sum()
    }
}

/// A table over pages: the first has `first` points of height, the others `full`.
pub(in crate::export) fn pages(cells: &Cells, across: f64, first: f64, full: f64) -> Vec<Grid> {
    let sizes = SIZES.map(|size| Sized::of(cells, across, size));
    // The largest at which it stays whole; else the largest at which no row is torn.
    let whole = sizes.iter().find(|sized| sized.height() <= first.max(full));
    let chosen = whole.or_else(|| sizes.iter().find(|sized| sized.fits_by_rows(full)));
    match chosen.or(sizes.last()) {
        Some(sized) => sized.split(cells, first, full),
        None => Vec::new(),
    }
}

/// A table at a size.
struct Sized {
    size: f64,
    widths: Vec<f64>,
    heads: Option<GridRow>,
    rows: Vec<GridRow>,
    words_fit: bool,
}

impl Sized {
    fn of(cells: &Cells, across: f64, size: f64) -> Self {
        let (widths, words_fit) = columns::widths(cells, across, size, BESIDE);
        let row =
            |cells: &Vec<Vec<Run>>| GridRow { height: height(cells, &widths, size), cells: cells.clone() };
        Self {
            size,
            heads: (!cells.heads.is_empty()).then(|| row(&cells.heads)),
            rows: cells.rows.iter().map(row).collect(),
            widths,
            words_fit,
        }
    }

    fn head_height(&self) -> f64 {
        self.heads.as_ref().map_or(0.0, |heads| heads.height)
    }

    fn height(&self) -> f64 {
        self.head_height() + self.rows.iter().map(|row| row.height).sum::<f64>()
    }

    fn fits_by_rows(&self, full: f64) -> bool {
        self.words_fit && self.rows.iter().all(|row| row.height + self.head_height() <= full)
    }

    fn split(&self, cells: &Cells, first: f64, full: f64) -> Vec<Grid> {
        let empty = || Grid {
            size: self.size,
            columns: self.widths.iter().copied().zip(cells.ends.iter().copied()).collect(),
            rows: self.heads.iter().cloned().collect(),
            has_heads: self.heads.is_some(),
            names_rows: cells.names_rows,
            caption: cells.caption.clone(),
        };
        let heads = usize::from(self.heads.is_some());
        let mut grids = vec![empty()];
        let mut left = first - self.head_height();
        let mut waiting: Vec<GridRow> = self.rows.iter().rev().cloned().collect();
        while let Some(row) = waiting.pop() {
            let is_fresh = grids.last().is_none_or(|grid| grid.rows.len() == heads);
            if row.height <= left {
                left -= row.height;
                if let Some(grid) = grids.last_mut() {
                    grid.rows.push(row);
                }
            } else if is_fresh && left >= full - self.head_height() - 0.5 {
                // A row that is higher than a page goes on on the next.
                let (fitting, rest) = self.tear(&row, left);
                if let Some(grid) = grids.last_mut() {
                    grid.rows.push(fitting);
                }
                left = 0.0;
                waiting.extend(rest);
            } else {
                grids.push(empty());
                left = full - self.head_height();
                waiting.push(row);
            }
        }
        grids.retain(|grid| grid.rows.len() > heads);
        grids
    }

    /// What of a row fits into a height, and the rest as a row of its own.
    fn tear(&self, row: &GridRow, room: f64) -> (GridRow, Option<GridRow>) {
        let mut most = 1_usize;
        while f64::from(u32::try_from(most + 1).unwrap_or(u32::MAX)) * self.size * LINE + 2.0 * ABOVE <= room
        {
            most += 1;
        }
        let (mut fitting, mut rest) = (Vec::new(), Vec::new());
        for (cell, width) in row.cells.iter().zip(&self.widths) {
            let lines = wrap(cell, self.size, width - 2.0 * BESIDE);
            let (now, later) = lines.split_at(lines.len().min(most));
            fitting.push(now.concat());
            rest.push(later.concat());
        }
        let is_done = rest.iter().all(Vec::is_empty);
        let sized = |cells: Vec<Vec<Run>>| GridRow { height: height(&cells, &self.widths, self.size), cells };
        (sized(fitting), (!is_done).then(|| sized(rest)))
    }
}

fn height(cells: &[Vec<Run>], widths: &[f64], size: f64) -> f64 {
    let lines = cells
        .iter()
        .zip(widths)
        .map(|(cell, width)| wrap(cell, size, (width - 2.0 * BESIDE).max(size)).len())
        .max()
        .unwrap_or(1);
    f64::from(u32::try_from(lines).unwrap_or(u32::MAX)) * size * LINE + 2.0 * ABOVE
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::export::office::text::{plain, strong, words};

    fn table(rows: usize, text: &str) -> Cells {
        Cells {
            caption: "Events".to_owned(),
            heads: vec![vec![strong("Time")], vec![strong("What")]],
            ends: vec![true, false],
            rows: (1..=rows).map(|n| vec![vec![plain(format!("+{n}:00"))], vec![plain(text)]]).collect(),
            names_rows: false,
        }
    }

    #[test]
    fn a_small_table_is_whole_at_24_points() {
        let grids = pages(&table(4, "Wire advanced"), 864.0, 336.0, 336.0);
        assert_eq!(grids.len(), 1);
        assert!((grids[0].size - 24.0).abs() < 0.1 && (grids[0].width() - 864.0).abs() < 0.1);
        assert!(grids[0].height() <= 336.0);
    }

    #[test]
    fn a_long_table_has_its_heads_on_every_page_and_all_its_rows() {
        let grids =
            pages(&table(40, "Wire advanced into the distal vessel, flow as before"), 864.0, 100.0, 336.0);
        assert!(grids.len() > 3);
        let mut rows = 0;
        for grid in &grids {
            assert_eq!(words(&grid.rows[0].cells[1]), "What");
            assert!(grid.height() <= 336.0 && grid.size >= 18.0);
            rows += grid.rows.len() - 1;
        }
        assert_eq!(rows, 40);
    }

    #[test]
    fn a_row_higher_than_a_page_goes_on_on_the_next() {
        let long = "A sentence of some words that goes on. ".repeat(80);
        let grids = pages(&table(1, &long), 864.0, 336.0, 336.0);
        assert!(grids.len() > 1);
        let told: String =
            grids.iter().flat_map(|grid| &grid.rows[1..]).map(|row| words(&row.cells[1])).collect();
        assert_eq!(told, long);
        assert!(grids.iter().all(|grid| grid.height() <= 336.0));
    }

    #[test]
    fn many_columns_of_long_words_stay_within_the_slide() {
        let cells = Cells {
            caption: String::new(),
            heads: (0..9).map(|n| vec![strong(format!("Column{n}"))]).collect(),
            ends: vec![false; 9],
            rows: vec![(0..9).map(|_| vec![plain("electrocardiographically")]).collect()],
            names_rows: true,
        };
        let grids = pages(&cells, 864.0, 336.0, 336.0);
        assert!(grids.iter().all(|grid| grid.width() <= 864.1));
    }
}
