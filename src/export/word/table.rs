//! A table of WordprocessingML (ECMA-376-1, 17.4).

use std::fmt::Write as _;

use super::{TEXT_WIDTH, run};
use crate::export::office::columns::widths;
use crate::export::office::package::Relation;
use crate::export::office::text::{Cells, Run, words};
use crate::export::office::xml::is_right_to_left;

/// The size of its text, and what is free beside it in a cell, in points.
const SIZE: f64 = 10.0;
const BESIDE: f64 = 3.5;

/// The table, with its heads on each page that it goes over.
pub(super) fn write(cells: &Cells, relations: &mut Vec<Relation>) -> String {
    let (widths, _) = widths(cells, TEXT_WIDTH, SIZE, BESIDE);
    let twentieths: Vec<String> = widths.iter().map(|points| format!("{:.0}", points * 20.0)).collect();
    let flag = |on: bool| if on { "1" } else { "0" };
    let has_heads = !cells.heads.is_empty();
    let mut xml = "<w:tbl><w:tblPr><w:tblStyle w:val=\"RelookTable\"/><w:tblW w:w=\"5000\" w:type=\"pct\"/><w:tblLayout w:type=\"fixed\"/>".to_owned();
    let _ = write!(
        xml,
        "<w:tblLook w:val=\"0000\" w:firstRow=\"{}\" w:lastRow=\"0\" w:firstColumn=\"{}\" w:lastColumn=\"0\" w:noHBand=\"1\" w:noVBand=\"1\"/>",
        flag(has_heads),
        flag(cells.names_rows)
    );
    if !cells.caption.is_empty() {
        let _ = write!(xml, "<w:tblCaption w:val=\"{}\"/>", super::text_of(&cells.caption));
    }
    xml.push_str("</w:tblPr><w:tblGrid>");
    for width in &twentieths {
        let _ = write!(xml, "<w:gridCol w:w=\"{width}\"/>");
    }
    xml.push_str("</w:tblGrid>");
    if has_heads {
        xml.push_str("<w:tr><w:trPr><w:cantSplit/><w:tblHeader/></w:trPr>");
        xml.push_str(&row(&cells.heads, cells, &twentieths, relations));
        xml.push_str("</w:tr>");
    }
    for cells_of_row in &cells.rows {
        xml.push_str("<w:tr><w:trPr><w:cantSplit/></w:trPr>");
        xml.push_str(&row(cells_of_row, cells, &twentieths, relations));
        xml.push_str("</w:tr>");
    }
    xml + "</w:tbl>"
}

fn row(row: &[Vec<Run>], cells: &Cells, widths: &[String], relations: &mut Vec<Relation>) -> String {
    let mut xml = String::new();
    for ((cell, at_end), width) in row.iter().zip(&cells.ends).zip(widths) {
        let right = is_right_to_left(&words(cell));
        let direction = if right { "<w:bidi/>" } else { "" };
        let align = if *at_end { "<w:jc w:val=\"right\"/>" } else { "" };
        let _ = write!(
            xml,
            "<w:tc><w:tcPr><w:tcW w:w=\"{width}\" w:type=\"dxa\"/></w:tcPr><w:p><w:pPr><w:pStyle w:val=\"TableText\"/>{direction}{align}</w:pPr>{}</w:p></w:tc>",
            run::runs(cell, relations)
        );
    }
    xml
}
