//! A figure as a picture in a file.

use crate::document::Figure;

/// The size of a drawing in its own units, from its root; a drawing of ours always says it.
#[must_use]
pub fn units(figure: &Figure) -> (f64, f64) {
    let svg = figure.svg.as_str();
    let numbers = svg.split_once("viewBox=\"").and_then(|(_, rest)| rest.split('"').next()).map(|numbers| {
        numbers.split_whitespace().filter_map(|number| number.parse().ok()).collect::<Vec<f64>>()
    });
    match numbers.as_deref() {
        Some([_, _, width, height]) if *width > 0.0 && *height > 0.0 => (*width, *height),
        _ => (960.0, 400.0),
    }
}

/// What a reader hears who does not see the figure: what it shows, what is drawn, what it says.
#[must_use]
pub fn alternative(figure: &Figure) -> String {
    let mut parts: Vec<&str> = Vec::new();
    for part in [&figure.title, &figure.description, &figure.summary] {
        let part = part.trim();
        if !part.is_empty() && !parts.contains(&part) {
            parts.push(part);
        }
    }
    let mut text = String::new();
    for part in parts {
        if !text.is_empty() {
            text.push_str(if text.ends_with(['.', '?', '!']) { " " } else { ". " });
        }
        text.push_str(part);
    }
    text
}
