//! Runs and paragraphs of DrawingML (ECMA-376-1, 21.1.2).

use std::fmt::Write as _;

use super::super::flow::{INDENT, NUMBERED, text_size};
use super::super::look::{EMU, Place, Slot};
use super::Links;
use crate::export::format::LANGUAGE;
use crate::export::office::text::{Paragraph, Role, Run, words};
use crate::export::office::xml::{escape, in_line, is_right_to_left};

/// The group that every tree of shapes begins with.
pub(super) const GROUP: &str = "<p:nvGrpSpPr><p:cNvPr id=\"1\" name=\"\"/><p:cNvGrpSpPr/><p:nvPr/></p:nvGrpSpPr>\
    <p:grpSpPr><a:xfrm><a:off x=\"0\" y=\"0\"/><a:ext cx=\"0\" cy=\"0\"/><a:chOff x=\"0\" y=\"0\"/><a:chExt cx=\"0\" cy=\"0\"/></a:xfrm></p:grpSpPr>";

/// What all text of a page shares.
#[derive(Debug, Clone, Copy)]
pub(super) struct Ink {
    /// Whether text that weighs less may be in the second colour of text: only where it is known that it
    /// can be read there.
    pub(super) soft: bool,
}

/// The position and the size of a shape, as `a` or `p` has it.
pub(super) fn frame(space: char, place: Place) -> String {
    let emu = |points: f64| format!("{:.0}", points * EMU);
    format!(
        "<{space}:xfrm><a:off x=\"{}\" y=\"{}\"/><a:ext cx=\"{}\" cy=\"{}\"/></{space}:xfrm>",
        emu(place.x),
        emu(place.y),
        emu(place.width),
        emu(place.height)
    )
}

/// Hundredths of a point.
pub(super) fn hundredths(points: f64) -> String {
    format!("{:.0}", points * 100.0)
}

/// Runs; with a size where it is not that of their placeholder.
pub(super) fn runs(runs: &[Run], size: Option<f64>, ink: Ink, links: &mut Links<'_>) -> String {
    let mut xml = String::new();
    let line = is_right_to_left(&words(runs));
    for run in runs.iter().filter(|run| !run.text.is_empty()) {
        let mut attributes = format!(" lang=\"{LANGUAGE}\"");
        if let Some(size) = size {
            let _ = write!(attributes, " sz=\"{}\"", hundredths(size));
        }
        if run.look.bold {
            attributes.push_str(" b=\"1\"");
        }
        if run.look.italic {
            attributes.push_str(" i=\"1\"");
        }
        let mut inside = String::new();
        if run.look.quiet && ink.soft {
            inside.push_str("<a:solidFill><a:schemeClr val=\"tx2\"/></a:solidFill>");
        }
        if let Some(link) = &run.link {
            let _ = write!(inside, "<a:hlinkClick r:id=\"{}\"/>", links.outside(link.as_str()));
        }
        let text = escape(&in_line(&run.text, line));
        let _ = write!(xml, "<a:r><a:rPr{attributes}>{inside}</a:rPr><a:t>{text}</a:t></a:r>");
    }
    if xml.is_empty() {
        let _ = write!(xml, "<a:endParaRPr lang=\"{LANGUAGE}\"/>");
    }
    xml
}

/// Paragraphs in a place for text.
pub(super) fn paragraphs(paragraphs: &[Paragraph], slot: &Slot, ink: Ink, links: &mut Links<'_>) -> String {
    let usual = text_size(slot);
    let size = ((usual - slot.text.size).abs() > 0.05).then_some(usual);
    // A subtitle has no bullets, whatever stands in it.
    paragraphs.iter().map(|paragraph| one(paragraph, slot, size, ink, links)).collect()
}

fn one(paragraph: &Paragraph, slot: &Slot, size: Option<f64>, ink: Ink, links: &mut Links<'_>) -> String {
    let step = match paragraph.role {
        Role::Item(item) if item.number.is_some() => NUMBERED,
        _ => slot.text.indent.max(INDENT),
    } * EMU;
    let (mut attributes, mut inside) = (String::new(), String::new());
    if let Some(size) = size {
        // Room for a line was counted for this size.
        let _ = write!(
            inside,
            "<a:lnSpc><a:spcPts val=\"{}\"/></a:lnSpc>",
            hundredths(slot.text.line_height(size))
        );
    }
    let mut level = |depth: u8| {
        let depth = depth.min(8);
        if depth > 0 {
            let _ = write!(attributes, " lvl=\"{depth}\"");
        }
        let margin = step * (f64::from(depth) + 1.0);
        let _ = write!(attributes, " marL=\"{margin:.0}\"");
    };
    match paragraph.role {
        Role::Item(item) => {
            level(item.depth);
            let _ = write!(attributes, " indent=\"-{step:.0}\"");
            match item.number {
                Some(number) => {
                    let _ = write!(
                        inside,
                        "<a:buFont typeface=\"+mj-lt\"/><a:buAutoNum type=\"arabicPeriod\" startAt=\"{number}\"/>"
                    );
                }
                None if !slot.text.bullets || item.depth > 0 => {
                    inside.push_str("<a:buFont typeface=\"Arial\"/><a:buChar char=\"•\"/>");
                }
                None => {}
            }
        }
        Role::InItem(depth) => {
            level(depth);
            attributes.push_str(" indent=\"0\"");
            inside.push_str("<a:buNone/>");
        }
        Role::Quote => {
            level(0);
            attributes.push_str(" indent=\"0\"");
            inside.push_str("<a:buNone/>");
        }
        Role::Heading(_) | Role::Body | Role::Note | Role::Caution | Role::Caption => {
            attributes.push_str(" marL=\"0\" indent=\"0\"");
            inside.push_str("<a:buNone/>");
        }
    }
    if is_right_to_left(&words(&paragraph.runs)) {
        attributes.push_str(" algn=\"r\" rtl=\"1\"");
    }
    let bold = matches!(paragraph.role, Role::Heading(_));
    let quiet = matches!(paragraph.role, Role::Note | Role::Caution);
    let styled: Vec<Run> = paragraph
        .runs
        .iter()
        .map(|run| {
            let mut run = run.clone();
            run.look.bold |= bold;
            run.look.quiet |= quiet;
            run
        })
        .collect();
    format!("<a:p><a:pPr{attributes}>{inside}</a:pPr>{}</a:p>", runs(&styled, size, ink, links))
}
