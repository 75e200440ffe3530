//! The lines of a log as entries: each with its own time, the words of its lines, and the times in them.

use super::mark::{Mark, Stands, Style, marks};

/// A piece of the words of an entry.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Piece {
    Words(String),
    Time(Mark),
}

/// What one moment of a log says.
#[derive(Debug, Clone, Default)]
pub(super) struct Entry {
    /// The line where it begins, from 1.
    pub(super) line: usize,
    /// Its own time; none where the log names none before it.
    pub(super) lead: Option<Mark>,
    /// A day that a heading named, from which this entry on counts.
    pub(super) heading: Option<Mark>,
    /// Its time was taken from among its words, where it also stays as an offset.
    pub(super) inside: bool,
    pub(super) pieces: Vec<Piece>,
}

/// The entries of a log, in its order.
pub(super) fn entries(text: &str) -> Vec<Entry> {
    let colons = |line: &str| {
        marks(line, Style::default()).first().is_some_and(|mark| mark.stands == Stands::First && mark.plain)
    };
    let style = Style { colons: text.lines().any(colons) };
    let mut all: Vec<Entry> = Vec::new();
    let mut heading = None;
    for (number, line) in (1..).zip(text.lines()) {
        let line: String = line.chars().filter(|c| !c.is_control() || *c == '\t').collect();
        if !line.chars().any(char::is_alphanumeric) {
            continue;
        }
        let line = unquoted(&line);
        let found = marks(&line, style);
        if let [only] = found.as_slice()
            && only.clock.is_none()
            && is_all_of(&line, only)
        {
            heading = Some(only.clone());
            continue;
        }
        for (mut entry, own) in cut(&line, number, &found) {
            if !own && let Some(last) = all.last_mut() {
                last.pieces.push(Piece::Words(" ".to_owned()));
                last.pieces.append(&mut entry.pieces);
                continue;
            }
            entry.heading = heading.take();
            all.push(entry);
        }
    }
    all
}

/// Quotation marks of a table's cells say nothing.
fn unquoted(line: &str) -> String {
    let cells = line.contains('"') && line.contains([',', '\t', ';']);
    if cells { line.replace('"', "") } else { line.to_owned() }
}

/// Whether a line is a mark and nothing more.
fn is_all_of(line: &str, mark: &Mark) -> bool {
    let rest = |text: &str| !text.chars().any(char::is_alphanumeric);
    let word = line[..mark.span.start].trim().to_lowercase();
    (rest(&word) || matches!(word.trim_end_matches(':'), "date" | "day")) && rest(&line[mark.span.end..])
}

/// The entries of one line; with each whether it begins one of its own.
fn cut(line: &str, number: usize, found: &[Mark]) -> Vec<(Entry, bool)> {
    let clocked = |mark: &&Mark| mark.clock.is_some();
    let first = found.iter().filter(clocked).find(|mark| mark.stands == Stands::First);
    let lead = first.or_else(|| found.iter().filter(clocked).find(|mark| mark.stands == Stands::Apart));
    let inside = lead.is_none();
    let Some(lead) = lead.or_else(|| found.iter().find(clocked)) else {
        return vec![(
            Entry { line: number, pieces: pieces(line, 0, found, None), ..Entry::default() },
            false,
        )];
    };
    // A time behind the end of a clause begins an entry of its own, when words stand on both sides.
    let starts: Vec<usize> = found
        .iter()
        .filter(clocked)
        .filter(|mark| mark.span.start > lead.span.start && !inside && begins_clause(line, lead, mark))
        .map(|mark| mark.span.start)
        .collect();
    let mut parts = Vec::new();
    let mut from = 0;
    for end in starts.iter().copied().chain([line.len()]) {
        let here: Vec<Mark> =
            found.iter().filter(|mark| (from..end).contains(&mark.span.start)).cloned().collect();
        let own = if from == 0 { Some(lead) } else { here.first() };
        let entry = Entry {
            line: number,
            lead: own.cloned(),
            heading: None,
            inside,
            pieces: pieces(&line[..end], from, &here, own.filter(|_| !inside)),
        };
        parts.push((entry, true));
        from = end;
    }
    parts
}

fn begins_clause(line: &str, lead: &Mark, mark: &Mark) -> bool {
    let words = |text: &str| text.chars().any(char::is_alphabetic);
    let before = line[..mark.span.start].trim_end();
    let between = line.get(lead.span.end..mark.span.start).unwrap_or_default();
    before.ends_with([';', '.', ',', '|', '/', '\t']) && words(between) && words(&line[mark.span.end..])
}

/// The words of a part of a line and the marks in it, without its own time.
fn pieces(line: &str, mut from: usize, found: &[Mark], own: Option<&Mark>) -> Vec<Piece> {
    let mut pieces = Vec::new();
    if let Some(first) = own.filter(|mark| mark.stands == Stands::First) {
        // What stands before it are bullets, a number, a weekday, or that it is about.
        from = first.span.start;
    }
    for mark in found {
        pieces.push(Piece::Words(line[from..mark.span.start].to_owned()));
        if own != Some(mark) {
            pieces.push(Piece::Time(mark.clone()));
        }
        from = mark.span.end;
    }
    pieces.push(Piece::Words(line[from..].to_owned()));
    pieces
}
