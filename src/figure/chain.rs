//! The chain of complications: one harm that led to another.

mod arrow;
mod causes;

use super::scale::float;
use super::svg::{self, Anchor, Element, INK, INK_SOFT, PAPER};
use super::{Distance, Figure, FigureTable};
use crate::quantity::Offset;
use arrow::{Way, draw_edge};
pub use causes::ChainCause;

/// The width of a drawing on a page.
const WIDTH: f64 = Distance::Desk.width();
/// Room for an arrow and its words, on a page and on a wall.
const EDGE_ROOM: f64 = 72.0;
const EDGE_ROOM_ON_WALL: f64 = 54.0;
const BETWEEN: f64 = 18.0;
const PAD: f64 = 14.0;
const SIZE: f64 = 14.0;
const NOTE_SIZE: f64 = 12.5;
const LINE: f64 = 19.0;
const WIDEST: f64 = 216.0;
/// With more steps than this the chain runs from top to bottom.
const MOST_COLUMNS: usize = 4;
const MOST_COLUMNS_ON_WALL: usize = 3;
/// At most so many nodes side by side when it does.
const MOST_ACROSS: usize = 4;
/// Room above the nodes for an edge that passes over one.
const ARCH: f64 = 30.0;

/// What is drawn.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Chain {
    /// What it shows, in one line.
    pub title: String,
    /// The complications.
    pub nodes: Vec<ChainNode>,
    /// Which led to which: indices of cause and consequence. What is no edge between two nodes is
    /// left out.
    pub edges: Vec<(usize, usize)>,
}

/// One complication.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ChainNode {
    /// Its mechanism.
    pub label: String,
    /// The vessel or branch.
    pub vessel: Option<String>,
    /// When it began.
    pub began: Option<Offset>,
}

impl ChainNode {
    fn note(&self) -> String {
        let began = self.began.map(|at| at.to_string());
        [self.vessel.clone(), began]
            .into_iter()
            .flatten()
            .filter(|part| !part.trim().is_empty())
            .collect::<Vec<_>>()
            .join(", ")
    }
}

/// A node in its place.
struct Spot {
    x: f64,
    y: f64,
    width: f64,
    height: f64,
    lines: Vec<String>,
    note: String,
}

impl Chain {
    /// Draws it. `prefix` makes its ids unique on the page.
    #[must_use]
    pub fn draw(&self, prefix: &str) -> Figure {
        self.draw_for(Distance::Desk, prefix)
    }

    /// Draws it to be looked at from this far.
    #[must_use]
    pub fn draw_for(&self, distance: Distance, prefix: &str) -> Figure {
        let edges = self.sound_edges();
        let layers = self.layers(&edges);
        let most = if distance == Distance::Room { MOST_COLUMNS_ON_WALL } else { MOST_COLUMNS };
        let across = layers.len() <= most;
        let passes = |&(from, to): &(usize, usize)| layer_of(&layers, to) > layer_of(&layers, from) + 1;
        let arch = across && edges.iter().any(passes);
        let top = if arch { ARCH } else { 0.0 } + 2.0;
        let (spots, height) =
            if across { self.in_columns(&layers, top, distance) } else { self.in_rows(&layers, top) };
        let summary = self.summary(&edges);
        let mut root = svg::root(prefix, &self.title, &summary, distance.width(), height + 2.0);
        // Of a circle, the edge that leads back is not drawn.
        let onward = |&(from, to): &(usize, usize)| layer_of(&layers, to) > layer_of(&layers, from);
        for edge in edges.iter().filter(|edge| onward(edge)) {
            let way = match (across, passes(edge)) {
                (true, false) => Way::Across,
                (true, true) => Way::Over,
                (false, false) => Way::Down,
                (false, true) => Way::Beside,
            };
            draw_edge(&mut root, &spots[edge.0], &spots[edge.1], way);
        }
        for spot in &spots {
            root.add(spot.draw());
        }
        Figure {
            title: self.title.clone(),
            description: "Each box is a complication; an arrow leads from one to what followed from it."
                .to_owned(),
            svg: root.write(),
            table: self.table(&edges),
            summary,
        }
    }

    fn sound_edges(&self) -> Vec<(usize, usize)> {
        let count = self.nodes.len();
        let mut edges: Vec<(usize, usize)> = Vec::new();
        for &(from, to) in &self.edges {
            if from < count && to < count && from != to && !edges.contains(&(from, to)) {
                edges.push((from, to));
            }
        }
        edges
    }

    /// The nodes by the number of steps that lead to them. A circle, which no case should hold, is
    /// cut off after as many steps as there are nodes.
    fn layers(&self, edges: &[(usize, usize)]) -> Vec<Vec<usize>> {
        let count = self.nodes.len();
        let mut depth = vec![0_usize; count];
        for _ in 0..count {
            for &(from, to) in edges {
                depth[to] = depth[to].max(depth[from] + 1).min(count - 1);
            }
        }
        let mut layers: Vec<Vec<usize>> = vec![Vec::new(); count];
        for (node, &layer) in depth.iter().enumerate() {
            layers[layer].push(node);
        }
        layers.retain(|layer| !layer.is_empty());
        // Within a layer, what follows from the same cause stands together, in order of time.
        let mut rank = vec![0_usize; count];
        for layer in &mut layers {
            layer.sort_by_key(|&node| {
                let parent = edges.iter().filter(|edge| edge.1 == node).map(|edge| rank[edge.0]).min();
                (parent, self.nodes[node].began, node)
            });
            for (place, &node) in layer.iter().enumerate() {
                rank[node] = place;
            }
        }
        layers
    }

    /// From left to right: a column for each step.
    fn in_columns(&self, layers: &[Vec<usize>], top: f64, distance: Distance) -> (Vec<Spot>, f64) {
        let edge = match distance {
            Distance::Desk => EDGE_ROOM,
            Distance::Room => EDGE_ROOM_ON_WALL,
        };
        let columns = float(layers.len().max(1));
        let width = ((distance.width() - 2.0 - (columns - 1.0) * edge) / columns).min(WIDEST);
        let mut spots = self.spots(width);
        let tall = |spots: &[Spot], layer: &[usize]| -> f64 {
            layer.iter().map(|&n| spots[n].height).sum::<f64>()
                + float(layer.len().saturating_sub(1)) * BETWEEN
        };
        let tallest = layers.iter().map(|layer| tall(&spots, layer)).fold(0.0, f64::max);
        for (column, layer) in layers.iter().enumerate() {
            let mut y = top + (tallest - tall(&spots, layer)) / 2.0;
            for &node in layer {
                spots[node].x = 1.0 + float(column) * (width + edge);
                spots[node].y = y;
                y += spots[node].height + BETWEEN;
            }
        }
        (spots, top + tallest)
    }

    /// From top to bottom: a row for each step.
    fn in_rows(&self, layers: &[Vec<usize>], top: f64) -> (Vec<Spot>, f64) {
        let mut spots = self.spots(WIDEST);
        let mut y = top;
        for (index, layer) in layers.iter().enumerate() {
            if index > 0 {
                y += 44.0;
            }
            for (line, row) in layer.chunks(MOST_ACROSS).enumerate() {
                if line > 0 {
                    y += BETWEEN;
                }
                for (column, &node) in row.iter().enumerate() {
                    spots[node].x = 1.0 + float(column) * (WIDEST + 2.0 * BETWEEN - 6.0);
                    spots[node].y = y;
                }
                y += row.iter().map(|&n| spots[n].height).fold(0.0, f64::max);
            }
        }
        (spots, y)
    }

    fn spots(&self, width: f64) -> Vec<Spot> {
        self.nodes
            .iter()
            .map(|node| {
                let room = width - 2.0 * PAD;
                let lines = svg::wrap(&node.label, SIZE, room, 3);
                let note = svg::fit(&node.note(), NOTE_SIZE, room);
                let rows = float(lines.len()) + if note.is_empty() { 0.0 } else { 1.0 };
                Spot { x: 0.0, y: 0.0, width, height: rows * LINE + 2.0 * PAD - 6.0, lines, note }
            })
            .collect()
    }

    fn table(&self, edges: &[(usize, usize)]) -> FigureTable {
        let mut table = FigureTable::with_columns(&["Complication", "Vessel", "Began", "Led to"]);
        for (index, node) in self.nodes.iter().enumerate() {
            table.rows.push(vec![
                node.label.clone(),
                node.vessel.clone().unwrap_or_default(),
                node.began.map(|at| at.to_string()).unwrap_or_default(),
                self.consequences(index, edges).join("; "),
            ]);
        }
        table
    }

    fn consequences(&self, node: usize, edges: &[(usize, usize)]) -> Vec<String> {
        edges.iter().filter(|edge| edge.0 == node).map(|edge| self.nodes[edge.1].label.clone()).collect()
    }

    fn summary(&self, edges: &[(usize, usize)]) -> String {
        if self.nodes.is_empty() {
            return "No complication is recorded yet.".to_owned();
        }
        let mut sentences = Vec::new();
        for (index, node) in self.nodes.iter().enumerate() {
            let followed = self.consequences(index, edges);
            let alone = !edges.iter().any(|edge| edge.0 == index || edge.1 == index);
            if !followed.is_empty() {
                sentences.push(format!("{} led to {}.", node.label, followed.join(" and to ")));
            } else if alone {
                sentences.push(format!("{} led to nothing else.", node.label));
            }
        }
        sentences.join(" ")
    }
}

impl Spot {
    fn draw(&self) -> Element {
        let mut group = Element::new("g").with(
            svg::rect(self.x, self.y, self.width, self.height)
                .num("rx", 4.0)
                .class("node")
                .fill(PAPER)
                .stroke(INK, 1.25),
        );
        let mut y = self.y + PAD + 11.0;
        for line in &self.lines {
            group.add(
                svg::text(self.x + PAD, y, SIZE, Anchor::Start, line)
                    .class("node-text first")
                    .set("font-weight", "600"),
            );
            y += LINE;
        }
        if !self.note.is_empty() {
            group.add(
                svg::text(self.x + PAD, y, NOTE_SIZE, Anchor::Start, &self.note)
                    .class("node-note")
                    .fill(INK_SOFT),
            );
        }
        group
    }

    fn centre(&self) -> (f64, f64) {
        (self.x + self.width / 2.0, self.y + self.height / 2.0)
    }
}

fn layer_of(layers: &[Vec<usize>], node: usize) -> usize {
    layers.iter().position(|layer| layer.contains(&node)).unwrap_or(0)
}

#[cfg(test)]
mod tests;
