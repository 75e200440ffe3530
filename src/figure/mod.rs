//! Numbers in, pictures out: SVG with a table and a few sentences that say the same.
//!
//! - [`timeline`]: a case's events over its vessels, which fill and empty with their flow;
//! - [`cause_effect`]: causes by their class, on ribs of a spine that leads to what happened;
//! - [`chain`]: complications that led to one another;
//! - [`series`]: laboratory values over time, against the limits that decide;
//! - [`interval`]: rates with their intervals on one scale;
//! - [`chart`]: counts and rates: over time, ranked, by size, by feature;
//! - [`votes`]: the room's answer at a stop point;
//! - [`ratings`]: judgements of several reviewers on an ordered scale;
//! - [`qr`]: an address as a code to scan;
//! - [`svg`], [`scale`]: what these are drawn with.

pub mod cause;
pub mod cause_effect;
pub mod chain;
pub mod chart;
mod count_word;
pub mod interval;
mod line_end;
mod log;
mod measure;
mod number;
mod pack;
mod place;
pub mod qr;
pub mod ratings;
mod rows;
pub mod scale;
mod sentence;
pub mod series;
mod standalone;
pub mod svg;
pub mod timeline;
pub mod votes;

/// From how far a picture is looked at.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Distance {
    /// On a page, at arm's length.
    Desk,
    /// On a wall, from the last row: narrower in its own units, so that all words in it are larger.
    Room,
}

impl Distance {
    /// The width of a drawing in its own units.
    const fn width(self) -> f64 {
        match self {
            Self::Desk => 960.0,
            Self::Room => 600.0,
        }
    }
}

/// A picture, and the same in a table and in words.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Figure {
    /// What it shows, in one line.
    pub title: String,
    /// How to read it, for who cannot see it.
    pub description: String,
    /// The picture: an `svg` element with classes, without scripts or styles.
    pub svg: String,
    /// The same as a table.
    pub table: FigureTable,
    /// The same in a few sentences.
    pub summary: String,
}

/// A table of plain text.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct FigureTable {
    /// The column heads.
    pub columns: Vec<String>,
    /// The rows, each as long as there are columns.
    pub rows: Vec<Vec<String>>,
}

impl FigureTable {
    /// A table without rows.
    fn with_columns(columns: &[&str]) -> Self {
        Self { columns: columns.iter().map(|&column| column.to_owned()).collect(), rows: Vec::new() }
    }
}

#[cfg(test)]
mod testing;
