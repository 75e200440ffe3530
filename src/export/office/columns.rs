//! How wide the columns of a table are: as wide as their words need, then as their lines would like.

use super::measure::{widest_word, width};
use super::text::{Cells, Run};

/// The widths of the columns of a table that is `across` wide, its text of a size and with so much free
/// beside it, all in points; and whether each column is as wide as its widest word.
#[must_use]
pub fn widths(cells: &Cells, across: f64, size: f64, beside: f64) -> (Vec<f64>, bool) {
    let columns = cells.ends.len();
    let of_column = |column: usize| {
        cells.heads.get(column).into_iter().chain(cells.rows.iter().filter_map(move |row| row.get(column)))
    };
    let most = |column: usize, of: &dyn Fn(&[Run]) -> f64| {
        of_column(column).map(|runs| of(runs)).fold(0.0_f64, f64::max) + 2.0 * beside + 1.0
    };
    let natural: Vec<f64> = (0..columns).map(|column| most(column, &|runs| width(runs, size))).collect();
    let least: Vec<f64> = (0..columns).map(|column| most(column, &|runs| widest_word(runs, size))).collect();
    let (wanted, needed): (f64, f64) = (natural.iter().sum(), least.iter().sum());
    if wanted <= across {
        // What is left over goes to the last column of words.
        let mut widths = natural;
        let last = cells.ends.iter().rposition(|ends| !ends).unwrap_or(columns.saturating_sub(1));
        if let Some(width) = widths.get_mut(last) {
            *width += across - wanted;
        }
        return (widths, true);
    }
    if needed <= across {
        let share = (across - needed) / (wanted - needed).max(1.0);
        let widths =
            natural.iter().zip(&least).map(|(natural, least)| least + (natural - least) * share).collect();
        return (widths, true);
    }
    (least.iter().map(|least| least * across / needed).collect(), false)
}
