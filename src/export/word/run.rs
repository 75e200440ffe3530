//! Runs of WordprocessingML (ECMA-376-1, 17.3.2).

use std::fmt::Write as _;

use super::text_of;
use crate::export::office::package::{Relation, Target};
use crate::export::office::text::{Run, words};
use crate::export::office::xml::{in_line, is_right_to_left};

/// Plain words as a run.
pub(super) fn text(text: &str) -> String {
    if text.is_empty() {
        return String::new();
    }
    let direction = if is_right_to_left(text) { "<w:rPr><w:rtl/></w:rPr>" } else { "" };
    format!("<w:r>{direction}<w:t xml:space=\"preserve\">{}</w:t></w:r>", text_of(text))
}

/// Runs with how they look; links get their relation.
pub(super) fn runs(runs: &[Run], relations: &mut Vec<Relation>) -> String {
    let mut xml = String::new();
    let line = is_right_to_left(&words(runs));
    for run in runs.iter().filter(|run| !run.text.is_empty()) {
        // In the order of the schema: style, weight, slant, colour, direction.
        let mut look = String::new();
        let style = match (&run.link, run.look.mono, run.look.quiet) {
            (Some(_), _, _) => Some("Hyperlink"),
            (None, true, _) => Some("Offset"),
            (None, false, true) => Some("Quiet"),
            (None, false, false) => None,
        };
        if let Some(style) = style {
            let _ = write!(look, "<w:rStyle w:val=\"{style}\"/>");
        }
        if run.look.bold {
            look.push_str("<w:b/><w:bCs/>");
        }
        if run.look.italic {
            look.push_str("<w:i/><w:iCs/>");
        }
        if is_right_to_left(&run.text) {
            look.push_str("<w:rtl/>");
        }
        let look = if look.is_empty() { look } else { format!("<w:rPr>{look}</w:rPr>") };
        let inside = format!(
            "<w:r>{look}<w:t xml:space=\"preserve\">{}</w:t></w:r>",
            text_of(&in_line(&run.text, line))
        );
        match &run.link {
            Some(link) => {
                let id = outside(link.as_str(), relations);
                let _ = write!(xml, "<w:hyperlink r:id=\"{id}\">{inside}</w:hyperlink>");
            }
            None => xml.push_str(&inside),
        }
    }
    xml
}

/// The relation that leads to an address outside.
fn outside(address: &str, relations: &mut Vec<Relation>) -> String {
    let target = Target::Outside(address.to_owned());
    if let Some(known) = relations.iter().find(|relation| relation.target == target) {
        return known.id.clone();
    }
    let number = relations.len() + 1;
    relations.push(Relation { target, ..Relation::to(number, "hyperlink", "") });
    format!("rId{number}")
}
