//! Lines, lists and quotes, and the rules by which they stay apart.

/// What stands between two blank lines.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Chunk {
    /// Lines that are written already: a paragraph, a heading, a table, a fenced block.
    Lines(String),
    /// A list, numbered from `start` or with bullets.
    List { start: Option<u64>, items: Vec<Vec<Chunk>> },
    /// A quote.
    Quote(Vec<Chunk>),
}

/// Chunks as one text, without a line break at the end.
///
/// Two lists of the same kind that follow each other would read as one; every second one takes
/// the other marker.
pub(super) fn render(chunks: &[Chunk]) -> String {
    let mut texts: Vec<String> = Vec::with_capacity(chunks.len());
    // The list just written, and whether it took the other marker.
    let mut list_before: Option<bool> = None;
    for chunk in chunks {
        let other_marker = list_before == Some(false);
        let (text, list_now) = match chunk {
            Chunk::Lines(lines) => (lines.clone(), None),
            Chunk::List { start, items } => (list(*start, items, other_marker), Some(other_marker)),
            Chunk::Quote(content) => (indent(&render(content), "> ", "> "), None),
        };
        if !text.is_empty() {
            texts.push(text);
            list_before = list_now;
        }
    }
    texts.join("\n\n")
}

fn list(start: Option<u64>, items: &[Vec<Chunk>], other_marker: bool) -> String {
    let mut number = start;
    let items: Vec<String> = items
        .iter()
        .map(|item| {
            let marker = match (number, other_marker) {
                (Some(n), false) => format!("{n}. "),
                (Some(n), true) => format!("{n}) "),
                (None, false) => "- ".to_owned(),
                (None, true) => "* ".to_owned(),
            };
            number = number.map(|n| n + 1);
            indent(&render(item), &marker, &" ".repeat(marker.len()))
        })
        .collect();
    items.join("\n")
}

/// The text with something before its first line, and something before every other one.
fn indent(text: &str, first: &str, other: &str) -> String {
    let mut indented = String::with_capacity(text.len() + first.len());
    for (index, line) in text.split('\n').enumerate() {
        if index > 0 {
            indented.push('\n');
        }
        let before = if index == 0 { first } else { other };
        if line.is_empty() {
            indented.push_str(before.trim_end());
        } else {
            indented.push_str(before);
            indented.push_str(line);
        }
    }
    indented
}

/// Cells that are written already; rows may be shorter than the heads.
pub(super) struct Cells {
    pub(super) heads: Vec<String>,
    /// For each column, whether it is aligned at its end.
    pub(super) ends: Vec<bool>,
    pub(super) rows: Vec<Vec<String>>,
}

/// A pipe table.
pub(super) fn table(cells: &Cells) -> Chunk {
    let line = |cells: &[String]| format!("| {} |", cells.join(" | "));
    let rule: Vec<String> =
        cells.ends.iter().map(|end| if *end { "---:" } else { "---" }.to_owned()).collect();
    let mut lines = vec![line(&cells.heads), line(&rule)];
    lines.extend(cells.rows.iter().map(|row| line(row)));
    Chunk::Lines(lines.join("\n"))
}
