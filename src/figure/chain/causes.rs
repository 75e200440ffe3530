//! The chain with what led to each of its complications.

mod entry;
mod place;

use super::{Chain, INK_SOFT, NOTE_SIZE, SIZE, Spot, WIDTH, draw_edge};
use crate::figure::cause::{CauseWeight, MARKS};
use crate::figure::scale::float;
use crate::figure::sentence::list;
use crate::figure::svg::{self, Anchor, Element, Path};
use crate::figure::{Figure, FigureTable};
use entry::{Entry, MARK_ROOM};
use place::Placed;

/// What led to a complication.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ChainCause {
    /// The leaf of the taxonomy.
    pub label: String,
    /// How much it weighs.
    pub weight: CauseWeight,
    /// The index of the complication to which it led; `None`, or an index of none, when it is not
    /// tied to one of them.
    pub harm: Option<usize>,
}

/// The title over the causes that are not tied to one harm.
const UNTIED: &str = "Not tied to one harm";
/// So many of them stand side by side.
const ACROSS: usize = 4;

impl Chain {
    /// Draws it with its causes, which stand above each complication, or to the left where the
    /// chain runs downwards. Without causes it is [`Chain::draw`].
    #[must_use]
    pub fn draw_with_causes(&self, prefix: &str, causes: &[ChainCause]) -> Figure {
        if causes.is_empty() {
            return self.draw(prefix);
        }
        let edges = self.sound_edges();
        let of: Vec<Vec<&ChainCause>> = (0..self.nodes.len()).map(|node| causes_of(causes, node)).collect();
        let untied = self.untied(causes);
        let placed = place::placed(self, &edges, &of);
        let summary = self.causes_summary(&edges, &of, &untied);
        let bottom = placed.height + untied_height(&untied);
        let mut root = svg::root(prefix, &self.title, &summary, WIDTH, bottom + 4.0);
        draw_placed(&mut root, &placed);
        draw_untied(&mut root, &untied, placed.height);
        Figure {
            title: self.title.clone(),
            description: format!(
                "Each box is a complication; an arrow leads from one to what followed from it. A thin line leads into a \
                 box from its causes. {MARKS}"
            ),
            svg: root.write(),
            table: self.causes_table(&edges, &of, &untied),
            summary,
        }
    }

    fn untied<'a>(&self, causes: &'a [ChainCause]) -> Vec<&'a ChainCause> {
        let tied = |cause: &&ChainCause| cause.harm.is_some_and(|harm| harm < self.nodes.len());
        sorted(causes.iter().filter(|cause| !tied(cause)).collect())
    }

    fn causes_table(
        &self,
        edges: &[(usize, usize)],
        of: &[Vec<&ChainCause>],
        untied: &[&ChainCause],
    ) -> FigureTable {
        let mut table = self.table(edges);
        table.columns.push("Causes".to_owned());
        for (row, causes) in table.rows.iter_mut().zip(of) {
            row.push(words(causes).join("; "));
        }
        if !untied.is_empty() {
            let mut row = vec![String::new(); table.columns.len() - 1];
            UNTIED.clone_into(&mut row[0]);
            row.push(words(untied).join("; "));
            table.rows.push(row);
        }
        table
    }

    fn causes_summary(
        &self,
        edges: &[(usize, usize)],
        of: &[Vec<&ChainCause>],
        untied: &[&ChainCause],
    ) -> String {
        let mut sentences = vec![self.summary(edges)];
        for (node, causes) in self.nodes.iter().zip(of) {
            if !causes.is_empty() {
                sentences.push(format!("Causes of {}: {}.", node.label, list(&words(causes))));
            }
        }
        if !untied.is_empty() {
            sentences.push(format!("{UNTIED}: {}.", list(&words(untied))));
        }
        sentences.join(" ")
    }
}

fn causes_of(causes: &[ChainCause], node: usize) -> Vec<&ChainCause> {
    sorted(causes.iter().filter(|cause| cause.harm == Some(node)).collect())
}

/// The heavier first; those that weigh the same keep their order.
fn sorted(mut causes: Vec<&ChainCause>) -> Vec<&ChainCause> {
    causes.sort_by_key(|cause| cause.weight);
    causes
}

/// `No second plan prepared (root)`.
fn words(causes: &[&ChainCause]) -> Vec<String> {
    causes.iter().map(|cause| format!("{} ({})", cause.label.trim(), cause.weight.word())).collect()
}

fn draw_placed(into: &mut Element, placed: &Placed) {
    for &((from, to), way) in &placed.ways {
        draw_edge(into, &placed.spots[from], &placed.spots[to], way);
    }
    for (spot, entries) in placed.spots.iter().zip(&placed.entries) {
        if !entries.is_empty() {
            if placed.across { draw_above(into, spot, entries) } else { draw_beside(into, spot, entries) }
        }
        into.add(spot.draw());
    }
}

/// A line from each of the causes above a complication down into it.
fn draw_above(into: &mut Element, spot: &Spot, entries: &[Entry]) {
    let x = spot.x + MARK_ROOM / 2.0;
    let top = spot.y - entry::height(entries);
    into.add(stem(Path::from(x, top + entry::MARK).line(x, spot.y - 5.0)));
    into.add(head(Path::from(x, spot.y - 1.0).line(x - 4.0, spot.y - 7.0).line(x + 4.0, spot.y - 7.0)));
    let mut y = top;
    for entry in entries {
        entry.draw(into, x, y, Anchor::Start);
        y += entry.height;
    }
}

/// A line from each of the causes to the left of a complication into it.
fn draw_beside(into: &mut Element, spot: &Spot, entries: &[Entry]) {
    let (x, middle) = (spot.x - place::TO_CAUSES, spot.centre().1);
    let top = middle - entry::height(entries) / 2.0;
    let last = entries.last().map_or(0.0, |entry| entry.height);
    let bottom = top + entry::height(entries) - last + entry::MARK;
    let line = Path::from(x, (top + entry::MARK).min(middle)).line(x, bottom.max(middle));
    into.add(stem(line.hop(x, middle).line(spot.x - 5.0, middle)));
    let back = spot.x - 7.0;
    into.add(head(Path::from(spot.x - 1.0, middle).line(back, middle - 4.0).line(back, middle + 4.0)));
    let mut y = top;
    for entry in entries {
        entry.draw(into, x, y, Anchor::End);
        y += entry.height;
    }
}

fn stem(line: Path) -> Element {
    line.element().class("cause-stem").set("fill", "none").stroke(INK_SOFT, 1.25)
}

fn head(tip: Path) -> Element {
    tip.close().element().class("cause-stem-head").fill(INK_SOFT)
}

/// The rows of the causes that are not tied to one harm.
fn untied_rows(untied: &[&ChainCause]) -> Vec<Vec<Entry>> {
    let width = WIDTH / float(ACROSS) - MARK_ROOM - 12.0;
    untied.chunks(ACROSS).map(|row| row.iter().map(|cause| Entry::of(cause, width)).collect()).collect()
}

fn row_height(row: &[Entry]) -> f64 {
    row.iter().map(|entry| entry.height).fold(0.0, f64::max)
}

fn untied_height(untied: &[&ChainCause]) -> f64 {
    if untied.is_empty() {
        return 0.0;
    }
    50.0 + untied_rows(untied).iter().map(|row| row_height(row)).sum::<f64>()
}

fn draw_untied(into: &mut Element, untied: &[&ChainCause], top: f64) {
    if untied.is_empty() {
        return;
    }
    into.add(
        svg::text(1.0, top + 36.0, SIZE, Anchor::Start, UNTIED).class("cause-head").set("font-weight", "600"),
    );
    let mut y = top + 50.0;
    for row in untied_rows(untied) {
        for (column, entry) in row.iter().enumerate() {
            let x = 1.0 + float(column) * WIDTH / float(ACROSS) + MARK_ROOM / 2.0;
            entry.draw(into, x, y, Anchor::Start);
        }
        y += row_height(&row);
    }
}

#[cfg(test)]
mod tests;
