//! The names at the right ends of the lines of a chart.

use super::plot::Plot;
use crate::figure::line_end::{LEADER, SIZE, STEP, leader, name, spread};
use crate::figure::scale::float;
use crate::figure::svg::{self, Element};

/// The greatest width of a name.
const WIDEST: f64 = 176.0;
/// How many lines a name may have.
const LINES: usize = 3;

fn lines(text: &str) -> Vec<String> {
    svg::wrap(text, SIZE, WIDEST, LINES)
}

/// The room right of the plot that these names take.
pub(super) fn gutter<'a>(names: impl IntoIterator<Item = &'a str>) -> f64 {
    let lines = names.into_iter().flat_map(lines);
    let widest = lines.map(|line| svg::text_width(&line, SIZE)).reduce(f64::max);
    widest.map_or(16.0, |widest| widest + LEADER + 4.0)
}

/// A name and the height where it belongs.
#[derive(Debug, Clone, Copy)]
pub(super) struct End<'a> {
    pub(super) y: f64,
    pub(super) text: &'a str,
    /// Whether it names a line, which leads to it.
    pub(super) has_leader: bool,
}

impl<'a> End<'a> {
    /// The name of a line that ends at a height.
    pub(super) const fn of_line(y: f64, text: &'a str) -> Self {
        Self { y, text, has_leader: true }
    }
}

/// Draws names, in any order. Those for which the plot is not high enough are left out.
pub(super) fn draw(into: &mut Element, plot: &Plot, names: &[End<'_>]) {
    let mut names = names.to_vec();
    names.sort_by(|a, b| a.y.total_cmp(&b.y));
    let (mut wanted, mut written) = (Vec::new(), Vec::new());
    for End { y, text, has_leader } in names {
        let lines = lines(text);
        let first = y - plot.top - float(lines.len().saturating_sub(1)) * STEP / 2.0;
        if (float(written.len() + lines.len()) + 1.0) * STEP > plot.height {
            break;
        }
        let count = lines.len();
        for (index, line) in lines.into_iter().enumerate() {
            wanted.push(first + float(index) * STEP);
            written.push((y, has_leader && index == 0, count, line));
        }
    }
    // The lines of one name want to stand one step apart, so that they stay together.
    let heights = spread(&wanted, STEP, 4.0, plot.height - 4.0);
    for (place, (y, has_leader, count, line)) in written.iter().enumerate() {
        let name_y = plot.top + heights[place];
        if *has_leader {
            let middle = name_y + float(count.saturating_sub(1)) * STEP / 2.0;
            into.add(leader(plot.right, *y, middle));
        }
        into.add(name(plot.right, name_y, line));
    }
}
