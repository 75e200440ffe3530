//! A look for writing at the edges of a picture, where systems burn in names, dates and numbers.
//!
//! Writing is strokes: along a line of pixels it goes from dark to bright and back several times within a few pixels,
//! each time by much more than the grain of the picture, and it does so on several lines above each other. A vessel, a
//! catheter or the edge of the field does it once or twice. What is found is shown to a person, who decides; that
//! nothing is found proves nothing. The numbers below are our own, tried on invented pictures.

use std::ops::Range;

use super::pixels::{Pixels, Rectangle};

/// The least step from dark to bright that is a stroke, in 256ths of the whole; and how many times the grain.
const STEP: i32 = 44;
const GRAINS: i32 = 9;
/// At least so many turns in one go along a line of pixels are writing.
const TURNS: usize = 5;
/// A turn follows the one before within this share of the picture's shorter side, and at least so many pixels.
const TURN_SHARE: usize = 42;
const TURN_LEAST: usize = 9;
/// Tiles into which the picture is laid: so many on the shorter side, each at least so many pixels.
const TILES: usize = 64;
const TILE_LEAST: usize = 6;
/// A tile is writing when this share of its lines is, in percent.
const LINES: usize = 34;
/// Writing that is warned of reaches into the outer part of the picture, in percent of each side.
const EDGE: usize = 24;
/// A zone of fewer lines of writing than this is grain.
const ZONE_LINES: usize = 4;

/// A part of a picture that looks like writing.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Zone {
    /// Where.
    pub place: Rectangle,
    /// How sure, in percent: how many of its lines look like writing.
    pub confidence: u8,
}

impl Zone {
    /// Where it is, in words: `at the top left`.
    #[must_use]
    pub fn words(&self) -> &'static str {
        let [left, top, width, height] = self.place.numbers();
        let (x, y) = (left + width / 2, top + height / 2);
        match (x, y) {
            (0..=400, 0..=400) => "at the top left",
            (600.., 0..=400) => "at the top right",
            (_, 0..=400) => "at the top",
            (0..=400, 600..) => "at the bottom left",
            (600.., 600..) => "at the bottom right",
            (_, 600..) => "at the bottom",
            (0..=400, _) => "at the left edge",
            (600.., _) => "at the right edge",
            _ => "across the picture",
        }
    }
}

/// The parts near the edges that look like writing, from the top.
#[must_use]
pub fn burnt_in(pixels: &Pixels) -> Vec<Zone> {
    let (width, height) = (pixels.width() as usize, pixels.height() as usize);
    let shorter = width.min(height);
    let bright = pixels.brightness();
    let step = STEP.max(GRAINS * grain(&bright, width));
    let reach = (shorter / TURN_SHARE).max(TURN_LEAST);
    let tile = (shorter / TILES).max(TILE_LEAST);
    let (across, down) = (width.div_ceil(tile), height.div_ceil(tile));
    let mut lines = vec![0_usize; across * down];
    for (y, row) in bright.chunks_exact(width).enumerate() {
        let mut touched = vec![false; across];
        for go in writing(row, step, reach) {
            touched[go.start / tile..=(go.end - 1) / tile].fill(true);
        }
        let start = y / tile * across;
        touched.iter().enumerate().filter(|(_, touched)| **touched).for_each(|(x, _)| lines[start + x] += 1);
    }
    let is_writing: Vec<bool> = lines.iter().map(|count| count * 100 >= tile * LINES).collect();
    let mut zones: Vec<Zone> = groups(&is_writing, across)
        .into_iter()
        .filter_map(|group| zone(&group, &lines, (across, tile), (width, height)))
        .collect();
    zones.sort_by_key(|zone| {
        let [left, top, ..] = zone.place.numbers();
        (top, left)
    });
    zones
}

/// The grain of a picture: the median step between neighbours.
fn grain(bright: &[u8], width: usize) -> i32 {
    let mut steps = [0_usize; 256];
    for row in bright.chunks_exact(width) {
        for two in row.windows(2) {
            steps[usize::from(two[0].abs_diff(two[1]))] += 1;
        }
    }
    let half = steps.iter().sum::<usize>() / 2;
    let mut sum = 0;
    let median = steps.iter().position(|count| {
        sum += count;
        sum > half
    });
    median.and_then(|step| i32::try_from(step).ok()).unwrap_or(0)
}

/// The stretches of a line of pixels in which it turns from dark to bright and back often and quickly.
fn writing(row: &[u8], step: i32, reach: usize) -> Vec<Range<usize>> {
    let mut found = Vec::new();
    // Where brightness was highest and lowest since the last turn, and which way it goes now.
    let first = i32::from(row[0]);
    let (mut low, mut high) = ((0, first), (0, first));
    let mut rising: Option<bool> = None;
    let mut go: Vec<usize> = Vec::new();
    let mut turn = |go: &mut Vec<usize>, at: usize| {
        if go.last().is_some_and(|last| at - last > reach) {
            if go.len() >= TURNS {
                found.push(go[0]..go[go.len() - 1] + 1);
            }
            go.clear();
        }
        go.push(at);
    };
    for (x, value) in row.iter().map(|byte| i32::from(*byte)).enumerate() {
        if value >= high.1 {
            high = (x, value);
        }
        if value <= low.1 {
            low = (x, value);
        }
        if rising != Some(false) && high.1 - value >= step {
            turn(&mut go, high.0);
            (rising, low) = (Some(false), (x, value));
            high = low;
        } else if rising != Some(true) && value - low.1 >= step {
            turn(&mut go, low.0);
            (rising, high) = (Some(true), (x, value));
            low = high;
        }
    }
    if go.len() >= TURNS {
        found.push(go[0]..go[go.len() - 1] + 1);
    }
    found
}

/// Tiles of writing that hang together, also over a gap of one.
fn groups(is_writing: &[bool], across: usize) -> Vec<Vec<usize>> {
    let down = is_writing.len() / across;
    let mut left: Vec<bool> = is_writing.to_vec();
    let mut groups = Vec::new();
    for start in 0..left.len() {
        if !left[start] {
            continue;
        }
        let mut group = Vec::new();
        let mut next = vec![start];
        left[start] = false;
        while let Some(at) = next.pop() {
            group.push(at);
            let (x, y) = (at % across, at / across);
            for other_y in y.saturating_sub(1)..=(y + 1).min(down - 1) {
                for other_x in x.saturating_sub(2)..=(x + 2).min(across - 1) {
                    let other = other_y * across + other_x;
                    if left[other] {
                        left[other] = false;
                        next.push(other);
                    }
                }
            }
        }
        groups.push(group);
    }
    groups
}

/// The zone of a group, when it is large enough and reaches an edge; a tile wider on each side, so that it covers what
/// it is drawn over.
fn zone(
    group: &[usize],
    lines: &[usize],
    (across, tile): (usize, usize),
    (width, height): (usize, usize),
) -> Option<Zone> {
    let (x0, x1) = (group.iter().map(|at| at % across).min()?, group.iter().map(|at| at % across).max()?);
    let (y0, y1) = (group.iter().map(|at| at / across).min()?, group.iter().map(|at| at / across).max()?);
    let count: usize = group.iter().map(|at| lines[*at]).sum();
    if count < ZONE_LINES * (x1 - x0 + 1).min(3) {
        return None;
    }
    let near = |from: usize, to: usize, side: usize| {
        let edge = side * EDGE / 100;
        from * tile < edge || (to + 1) * tile > side - edge
    };
    if !near(x0, x1, width) && !near(y0, y1, height) {
        return None;
    }
    let columns = x0.saturating_sub(1) * tile..((x1 + 2) * tile).min(width);
    let rows = y0.saturating_sub(1) * tile..((y1 + 2) * tile).min(height);
    let sides = (u32::try_from(width).ok()?, u32::try_from(height).ok()?);
    Some(Zone {
        place: Rectangle::around(columns, rows, sides)?,
        confidence: u8::try_from((count * 100 / (group.len() * tile)).min(99)).ok()?,
    })
}
