//! Where complications and their causes stand, and how the arrows run between them.

use super::ChainCause;
use super::entry::{self, Entry, MARK_ROOM};
use crate::figure::chain::arrow::Way;
use crate::figure::chain::{BETWEEN, Chain, EDGE_ROOM, MOST_COLUMNS, Spot, WIDEST, WIDTH, layer_of};
use crate::figure::scale::float;

/// From a complication to the line of its causes, where they stand to its left.
pub(super) const TO_CAUSES: f64 = 34.0;
/// The room of the text of these.
const CAUSES: f64 = 300.0;
/// Between two rows.
const ROWS: f64 = 46.0;
/// From one lane to the next beneath the boxes, and to their right.
const LANE_DOWN: f64 = 24.0;
const LANE_RIGHT: f64 = 52.0;

/// All in its place.
pub(super) struct Placed {
    /// From left to right; else from top to bottom.
    pub(super) across: bool,
    pub(super) spots: Vec<Spot>,
    /// The causes of each.
    pub(super) entries: Vec<Vec<Entry>>,
    /// The arrows, those that go round others first.
    pub(super) ways: Vec<((usize, usize), Way)>,
    pub(super) height: f64,
}

pub(super) fn placed(chain: &Chain, edges: &[(usize, usize)], of: &[Vec<&ChainCause>]) -> Placed {
    let layers = chain.layers(edges);
    // Of a circle, the edge that leads back is not drawn.
    let onward = |&(from, to): &(usize, usize)| layer_of(&layers, to) > layer_of(&layers, from);
    let edges: Vec<(usize, usize)> = edges.iter().copied().filter(onward).collect();
    if layers.len() <= MOST_COLUMNS {
        in_columns(chain, &layers, &edges, of)
    } else {
        in_rows(chain, &layers, &edges, of)
    }
}

/// From left to right, the causes above their complication.
fn in_columns(
    chain: &Chain,
    layers: &[Vec<usize>],
    edges: &[(usize, usize)],
    of: &[Vec<&ChainCause>],
) -> Placed {
    let columns = float(layers.len().max(1));
    let width = ((WIDTH - 2.0 - (columns - 1.0) * EDGE_ROOM) / columns).min(WIDEST);
    let mut spots = chain.spots(width);
    let entries = entries(of, width - MARK_ROOM - 2.0);
    let slot = |spots: &[Spot], node: usize| spots[node].height + entry::height(&entries[node]);
    let tall = |spots: &[Spot], layer: &[usize]| {
        let sum: f64 = layer.iter().map(|&node| slot(spots, node)).sum();
        sum + float(layer.len().saturating_sub(1)) * BETWEEN
    };
    // The lowest boxes of all columns have their middles on one line.
    let half = |spots: &[Spot], layer: &[usize]| layer.last().map_or(0.0, |&node| spots[node].height / 2.0);
    let above = |layer: &Vec<usize>| tall(&spots, layer) - half(&spots, layer);
    let line = 2.0 + layers.iter().map(above).fold(0.0, f64::max);
    let bottom = line + layers.iter().map(|layer| half(&spots, layer)).fold(0.0, f64::max);
    for (column, layer) in layers.iter().enumerate() {
        let mut y = line + half(&spots, layer) - tall(&spots, layer);
        for &node in layer {
            spots[node].x = 1.0 + float(column) * (width + EDGE_ROOM);
            spots[node].y = y + entry::height(&entries[node]);
            y += slot(&spots, node) + BETWEEN;
        }
    }
    let passes = |&(from, to): &(usize, usize)| layer_of(layers, to) > layer_of(layers, from) + 1;
    let under: Vec<(usize, usize)> = edges.iter().copied().filter(|edge| passes(edge)).collect();
    let lanes = under.iter().enumerate();
    let mut ways: Vec<((usize, usize), Way)> =
        lanes.map(|(lane, &edge)| (edge, Way::Under(bottom + float(lane + 1) * LANE_DOWN))).collect();
    ways.extend(edges.iter().filter(|edge| !passes(edge)).map(|&edge| (edge, Way::Across)));
    let height = bottom + if under.is_empty() { 0.0 } else { float(under.len()) * LANE_DOWN + 10.0 };
    Placed { across: true, spots, entries, ways, height }
}

/// From top to bottom, one in a row, the causes to the left of it.
fn in_rows(
    chain: &Chain,
    layers: &[Vec<usize>],
    edges: &[(usize, usize)],
    of: &[Vec<&ChainCause>],
) -> Placed {
    let mut spots = chain.spots(WIDEST);
    let entries = entries(of, CAUSES);
    let order: Vec<usize> = layers.iter().flatten().copied().collect();
    let mut y = 2.0;
    for &node in &order {
        let row = spots[node].height.max(entry::height(&entries[node]));
        spots[node].x = 1.0 + CAUSES + MARK_ROOM / 2.0 + TO_CAUSES;
        spots[node].y = y + (row - spots[node].height) / 2.0;
        y += row + ROWS;
    }
    let place = |node: usize| order.iter().position(|&other| other == node).unwrap_or(0);
    let spans = edges.iter().map(|&(from, to)| (place(from), place(to)));
    let ways = edges.iter().copied().zip(ways_down(&spans.collect::<Vec<_>>())).collect();
    Placed { across: false, spots, entries, ways, height: y - ROWS }
}

/// How arrows run between rows: straight to the next row, else in the nearest lane that is free.
fn ways_down(spans: &[(usize, usize)]) -> Vec<Way> {
    let left = 1.0 + CAUSES + MARK_ROOM / 2.0 + TO_CAUSES + WIDEST + 34.0;
    let right = WIDTH - 26.0;
    let mut lanes: Vec<Vec<(usize, usize)>> = Vec::new();
    let mut way = |&(from, to): &(usize, usize)| {
        if to == from + 1 {
            return Way::Down;
        }
        let free = |lane: &Vec<(usize, usize)>| lane.iter().all(|&(start, end)| to <= start || end <= from);
        let lane = lanes.iter().position(free).unwrap_or_else(|| {
            lanes.push(Vec::new());
            lanes.len() - 1
        });
        lanes[lane].push((from, to));
        let side = left + float(lane) * LANE_RIGHT;
        Way::Lane(side.min(right), side <= right)
    };
    spans.iter().map(&mut way).collect()
}

fn entries(of: &[Vec<&ChainCause>], width: f64) -> Vec<Vec<Entry>> {
    of.iter().map(|causes| causes.iter().map(|cause| Entry::of(cause, width)).collect()).collect()
}
