//! What may be said to a slide.

use std::fmt::Write as _;

use super::SPACES;
use crate::export::format::LANGUAGE;
use crate::export::office::xml::{DECLARATION, escape, is_right_to_left};

/// The notes of a slide, a paragraph a line.
pub(super) fn write(notes: &str) -> String {
    let mut paragraphs = String::new();
    for line in notes.lines().map(str::trim).filter(|line| !line.is_empty()) {
        let direction = if is_right_to_left(line) { "<a:pPr algn=\"r\" rtl=\"1\"/>" } else { "" };
        let _ = write!(
            paragraphs,
            "<a:p>{direction}<a:r><a:rPr lang=\"{LANGUAGE}\"/><a:t>{}</a:t></a:r></a:p>",
            escape(line)
        );
    }
    format!(
        "{DECLARATION}<p:notes {SPACES}><p:cSld><p:spTree>{}\
         <p:sp><p:nvSpPr><p:cNvPr id=\"2\" name=\"Slide\"/><p:cNvSpPr><a:spLocks noGrp=\"1\" noRot=\"1\" noChangeAspect=\"1\"/></p:cNvSpPr>\
         <p:nvPr><p:ph type=\"sldImg\"/></p:nvPr></p:nvSpPr><p:spPr/></p:sp>\
         <p:sp><p:nvSpPr><p:cNvPr id=\"3\" name=\"Notes\"/><p:cNvSpPr><a:spLocks noGrp=\"1\"/></p:cNvSpPr>\
         <p:nvPr><p:ph type=\"body\" idx=\"1\"/></p:nvPr></p:nvSpPr><p:spPr/>\
         <p:txBody><a:bodyPr/><a:lstStyle/>{paragraphs}</p:txBody></p:sp>\
         </p:spTree></p:cSld><p:clrMapOvr><a:masterClrMapping/></p:clrMapOvr></p:notes>",
        super::shape::GROUP
    )
}
