//! A small builder of SVG: it escapes all text, writes only finite numbers, and knows no `style`.
//!
//! Elements carry class names for the stylesheet, and plain presentation attributes in ink on
//! white beside them, so that a figure is legible where no stylesheet goes with it. A stylesheet
//! outranks presentation attributes.

use std::fmt::Write as _;

pub(super) use super::measure::mono_width;
pub use super::measure::{fit, text_width, wrap};

/// Ink, where no stylesheet says otherwise.
pub const INK: &str = "#1b1b1b";
/// Paper, where no stylesheet says otherwise.
pub const PAPER: &str = "#ffffff";
/// Ink at its second weight.
pub const INK_SOFT: &str = "#5a5a5a";
/// Ink at its third weight, for grids.
pub const INK_FAINT: &str = "#c9c9c9";

/// The page's font for words, with what stands in for it elsewhere.
pub const SANS: &str = "'Atkinson Hyperlegible Next', 'Atkinson Hyperlegible', sans-serif";
/// The same for numbers.
pub const MONO: &str = "'Atkinson Hyperlegible Mono', monospace";

/// An element with its attributes and children.
#[derive(Debug, Clone)]
pub struct Element {
    name: &'static str,
    attributes: Vec<(&'static str, String)>,
    children: Vec<Child>,
}

#[derive(Debug, Clone)]
enum Child {
    Element(Element),
    Text(String),
}

impl Element {
    /// An element without attributes.
    #[must_use]
    pub const fn new(name: &'static str) -> Self {
        Self { name, attributes: Vec::new(), children: Vec::new() }
    }

    /// With an attribute. Names are constants of the code; `style` and handlers are not used.
    #[must_use]
    pub fn set(mut self, name: &'static str, value: impl Into<String>) -> Self {
        debug_assert!(name != "style" && !name.starts_with("on"), "{name}");
        // An attribute that stands twice is no XML: the later value replaces the earlier.
        self.attributes.retain(|(earlier, _)| *earlier != name);
        self.attributes.push((name, value.into()));
        self
    }

    /// With a number as attribute, to a hundredth.
    #[must_use]
    pub fn num(self, name: &'static str, value: f64) -> Self {
        self.set(name, number(value))
    }

    /// With class names.
    #[must_use]
    pub fn class(self, names: &str) -> Self {
        self.set("class", names)
    }

    /// With a stroke in this colour and width, and no fill unless one is set.
    #[must_use]
    pub fn stroke(self, colour: &'static str, width: f64) -> Self {
        self.set("stroke", colour).num("stroke-width", width)
    }

    /// With a fill.
    #[must_use]
    pub fn fill(self, colour: &'static str) -> Self {
        self.set("fill", colour)
    }

    /// With text as a child.
    #[must_use]
    pub fn text(mut self, text: &str) -> Self {
        self.children.push(Child::Text(text.to_owned()));
        self
    }

    /// With another element as a child.
    #[must_use]
    pub fn with(mut self, child: Self) -> Self {
        self.add(child);
        self
    }

    /// Adds another element as the last child.
    pub fn add(&mut self, child: Self) {
        self.children.push(Child::Element(child));
    }

    /// The element as text.
    #[must_use]
    pub fn write(&self) -> String {
        let mut out = String::new();
        self.write_into(&mut out);
        out
    }

    fn write_into(&self, out: &mut String) {
        out.push('<');
        out.push_str(self.name);
        for (name, value) in &self.attributes {
            let _ = write!(out, " {name}=\"");
            escape_into(out, value);
            out.push('"');
        }
        if self.children.is_empty() {
            out.push_str("/>");
            return;
        }
        out.push('>');
        for child in &self.children {
            match child {
                Child::Element(element) => element.write_into(out),
                Child::Text(text) => escape_into(out, text),
            }
        }
        let _ = write!(out, "</{}>", self.name);
    }
}

/// Escapes for XML text and attributes; characters that XML does not allow become U+FFFD.
fn escape_into(out: &mut String, text: &str) {
    for character in text.chars() {
        match character {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\'' => out.push_str("&#39;"),
            '\t' | '\n' | '\r' => out.push(' '),
            c if c.is_control() || matches!(c, '\u{fffe}' | '\u{ffff}') => out.push('\u{fffd}'),
            c => out.push(c),
        }
    }
}

/// A coordinate, to a hundredth, without trailing zeros. What is not finite becomes 0.
fn number(value: f64) -> String {
    if !value.is_finite() {
        return "0".to_owned();
    }
    let text = format!("{value:.2}");
    let short = text.trim_end_matches('0').trim_end_matches('.');
    if short == "-0" { "0" } else { short }.to_owned()
}

/// A path of absolute points.
#[derive(Debug, Clone, Default)]
pub struct Path(String);

impl Path {
    /// A path that starts at a point.
    #[must_use]
    pub fn from(x: f64, y: f64) -> Self {
        Self::default().go('M', &[x, y])
    }

    /// On from another point, leaving a gap.
    #[must_use]
    pub fn hop(self, x: f64, y: f64) -> Self {
        self.go('M', &[x, y])
    }

    /// A straight line.
    #[must_use]
    pub fn line(self, x: f64, y: f64) -> Self {
        self.go('L', &[x, y])
    }

    /// A cubic curve by its two control points and its end.
    #[must_use]
    pub fn curve(self, c1: (f64, f64), c2: (f64, f64), to: (f64, f64)) -> Self {
        self.go('C', &[c1.0, c1.1, c2.0, c2.1, to.0, to.1])
    }

    /// Back to the start.
    #[must_use]
    pub fn close(mut self) -> Self {
        self.0.push('Z');
        self
    }

    fn go(mut self, command: char, numbers: &[f64]) -> Self {
        self.0.push(command);
        for (index, value) in numbers.iter().enumerate() {
            if index > 0 {
                self.0.push(' ');
            }
            self.0.push_str(&number(*value));
        }
        self
    }

    /// The path as an element.
    #[must_use]
    pub fn element(self) -> Element {
        Element::new("path").set("d", self.0)
    }
}

/// A straight line.
#[must_use]
pub fn line(x1: f64, y1: f64, x2: f64, y2: f64) -> Element {
    Element::new("line").num("x1", x1).num("y1", y1).num("x2", x2).num("y2", y2)
}

/// A rectangle by its left, top, width and height.
#[must_use]
pub fn rect(x: f64, y: f64, width: f64, height: f64) -> Element {
    Element::new("rect").num("x", x).num("y", y).num("width", width.max(0.0)).num("height", height.max(0.0))
}

/// Where a text stands to its point.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Anchor {
    /// The text begins there.
    Start,
    /// The text is centred there.
    Middle,
    /// The text ends there.
    End,
}

/// A text on its baseline, in ink.
#[must_use]
pub fn text(x: f64, y: f64, size: f64, anchor: Anchor, content: &str) -> Element {
    let anchor = match anchor {
        Anchor::Start => "start",
        Anchor::Middle => "middle",
        Anchor::End => "end",
    };
    Element::new("text")
        .num("x", x)
        .num("y", y)
        .num("font-size", size)
        .set("text-anchor", anchor)
        .fill(INK)
        .text(content)
}

/// The root of a figure: named for screen readers, scaled by its class.
///
/// `prefix` makes its ids unique on the page; other characters than letters, digits and hyphens
/// are left out of it.
#[must_use]
pub fn root(prefix: &str, title: &str, description: &str, width: f64, height: f64) -> Element {
    let prefix: String = prefix.chars().filter(|c| c.is_ascii_alphanumeric() || *c == '-').collect();
    let (title_id, description_id) = (format!("{prefix}-title"), format!("{prefix}-desc"));
    Element::new("svg")
        .set("xmlns", "http://www.w3.org/2000/svg")
        .class("fig fig-wide")
        .set("viewBox", format!("0 0 {} {}", number(width), number(height)))
        .set("role", "img")
        .set("aria-labelledby", format!("{title_id} {description_id}"))
        .num("width", width)
        .num("height", height)
        .set("font-family", SANS)
        .with(Element::new("title").set("id", title_id).text(title))
        .with(Element::new("desc").set("id", description_id).text(description))
}

#[cfg(test)]
mod tests;
