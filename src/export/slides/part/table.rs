//! A table of DrawingML (ECMA-376-1, 21.1.3).

use std::fmt::Write as _;

use super::super::grid::{ABOVE, BESIDE, Grid, LINE};
use super::super::look::EMU;
use super::Links;
use super::shape::{self, Ink, hundredths};
use crate::export::office::text::words;
use crate::export::office::xml::is_right_to_left;

/// The style without lines and fills, which every program knows.
const PLAIN: &str = "{2D5ABB26-0587-4C30-8999-92F81FD0307C}";

/// The table.
pub(super) fn write(grid: &Grid, ink: Ink, links: &mut Links<'_>) -> String {
    let flag = |name: &str, on: bool| if on { format!(" {name}=\"1\"") } else { String::new() };
    let mut xml = format!(
        "<a:tbl><a:tblPr{}{}><a:tableStyleId>{PLAIN}</a:tableStyleId></a:tblPr><a:tblGrid>",
        flag("firstRow", grid.has_heads),
        flag("firstCol", grid.names_rows)
    );
    for (width, _) in &grid.columns {
        let _ = write!(xml, "<a:gridCol w=\"{:.0}\"/>", width * EMU);
    }
    xml.push_str("</a:tblGrid>");
    for (number, row) in grid.rows.iter().enumerate() {
        let is_head = number == 0 && grid.has_heads;
        let _ = write!(xml, "<a:tr h=\"{:.0}\">", row.height * EMU);
        for (cell, (_, at_end)) in row.cells.iter().zip(&grid.columns) {
            let right = is_right_to_left(&words(cell));
            let align = match (right, at_end) {
                (true, _) => " algn=\"r\" rtl=\"1\"",
                (false, true) => " algn=\"r\"",
                (false, false) => "",
            };
            let _ = write!(
                xml,
                "<a:tc><a:txBody><a:bodyPr/><a:lstStyle/><a:p><a:pPr{align}><a:lnSpc><a:spcPts val=\"{}\"/></a:lnSpc><a:spcBef><a:spcPts val=\"0\"/></a:spcBef></a:pPr>{}</a:p></a:txBody>{}</a:tc>",
                hundredths(grid.size * LINE),
                cell_runs(cell, grid.size, ink, links),
                properties(is_head)
            );
        }
        xml.push_str("</a:tr>");
    }
    xml + "</a:tbl>"
}

/// The runs of a cell; an empty one is as high as its font says, so it has one too.
fn cell_runs(
    cell: &[crate::export::office::text::Run],
    size: f64,
    ink: Ink,
    links: &mut Links<'_>,
) -> String {
    if words(cell).is_empty() {
        return format!(
            "<a:endParaRPr lang=\"{}\" sz=\"{}\"/>",
            crate::export::format::LANGUAGE,
            hundredths(size)
        );
    }
    shape::runs(cell, Some(size), ink, links)
}

/// The margins of a cell, and the line beneath it: strong under the heads, fine under a row.
fn properties(is_head: bool) -> String {
    let none = |side: &str| format!("<a:{side} w=\"0\"><a:noFill/></a:{side}>");
    let (width, colour) = if is_head {
        (19_050, "<a:schemeClr val=\"accent1\"/>")
    } else {
        (9_525, "<a:schemeClr val=\"tx1\"><a:alpha val=\"30000\"/></a:schemeClr>")
    };
    format!(
        "<a:tcPr marL=\"{beside:.0}\" marR=\"{beside:.0}\" marT=\"{above:.0}\" marB=\"{above:.0}\">{}{}{}\
         <a:lnB w=\"{width}\"><a:solidFill>{colour}</a:solidFill></a:lnB><a:noFill/></a:tcPr>",
        none("lnL"),
        none("lnR"),
        none("lnT"),
        beside = BESIDE * EMU,
        above = ABOVE * EMU
    )
}
