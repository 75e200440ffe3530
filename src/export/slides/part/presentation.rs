//! The main part, and the small ones that programs look for beside it.

use std::fmt::Write as _;

use super::super::base::{MASTER, THEME};
use super::super::look::{EMU, Looks};
use super::{NOTES_MASTER, SPACES};
use crate::export::office::package::{Package, Relation};
use crate::export::office::xml::DECLARATION;

fn media(kind: &str) -> String {
    format!("application/vnd.openxmlformats-officedocument.presentationml.{kind}+xml")
}

/// How large slides and notes are.
fn sizes(looks: &Looks) -> String {
    let (width, height) = (looks.size.0 * EMU, looks.size.1 * EMU);
    format!("<p:sldSz cx=\"{width:.0}\" cy=\"{height:.0}\"/><p:notesSz cx=\"6858000\" cy=\"9144000\"/>")
}

/// Adds the main part of a presentation of so many slides; of none, for its master alone.
pub(in super::super) fn add(package: &mut Package, looks: &Looks, slides: usize) {
    let mut relations = vec![
        Relation::to(1, "slideMaster", MASTER),
        Relation::to(2, "presProps", "ppt/presProps.xml"),
        Relation::to(3, "viewProps", "ppt/viewProps.xml"),
        Relation::to(4, "theme", THEME),
        Relation::to(5, "tableStyles", "ppt/tableStyles.xml"),
    ];
    let mut lists = String::new();
    if slides > 0 {
        relations.push(Relation::to(6, "notesMaster", NOTES_MASTER));
        lists.push_str(
            "<p:notesMasterIdLst><p:notesMasterId r:id=\"rId6\"/></p:notesMasterIdLst><p:sldIdLst>",
        );
        for number in 1..=slides {
            let relation = relations.len() + 1;
            relations.push(Relation::to(relation, "slide", format!("ppt/slides/slide{number}.xml")));
            // Numbers of slides begin at 256 (ECMA-376-1, 19.7.13).
            let _ = write!(lists, "<p:sldId id=\"{}\" r:id=\"rId{relation}\"/>", 255 + number);
        }
        lists.push_str("</p:sldIdLst>");
    }
    let main = format!(
        "{DECLARATION}<p:presentation {SPACES} saveSubsetFonts=\"1\">\
         <p:sldMasterIdLst><p:sldMasterId id=\"2147483648\" r:id=\"rId1\"/></p:sldMasterIdLst>\
         {lists}{}<p:defaultTextStyle><a:defPPr><a:defRPr lang=\"en-GB\"/></a:defPPr>\
         <a:lvl1pPr marL=\"0\" algn=\"l\" defTabSz=\"914400\" rtl=\"0\" eaLnBrk=\"1\" latinLnBrk=\"0\" hangingPunct=\"1\"><a:defRPr sz=\"1800\" kern=\"1200\"><a:solidFill><a:schemeClr val=\"tx1\"/></a:solidFill><a:latin typeface=\"+mn-lt\"/><a:ea typeface=\"+mn-ea\"/><a:cs typeface=\"+mn-cs\"/></a:defRPr></a:lvl1pPr></p:defaultTextStyle>\
         </p:presentation>",
        sizes(looks)
    );
    package.add("ppt/presentation.xml", media("presentation.main"), main, relations);
    let small = |name: &str, inside: &str| format!("{DECLARATION}<p:{name} {SPACES}>{inside}</p:{name}>");
    package.add("ppt/presProps.xml", media("presProps"), small("presentationPr", ""), Vec::new());
    package.add("ppt/viewProps.xml", media("viewProps"), small("viewPr", ""), Vec::new());
    let styles = format!(
        "{DECLARATION}<a:tblStyleLst xmlns:a=\"http://schemas.openxmlformats.org/drawingml/2006/main\" \
         def=\"{{5C22544A-7EE6-4342-B048-85BDC9FD1C3A}}\"/>"
    );
    package.add("ppt/tableStyles.xml", media("tableStyles"), styles, Vec::new());
    package.relate(Relation::to(1, "officeDocument", "ppt/presentation.xml"));
}
