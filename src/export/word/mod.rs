//! A document as a file of WordprocessingML (ECMA-376-1), `.docx`: headings and lists by their styles,
//! real tables whose heads repeat, figures as pictures with alternative text.
//!
//! The pipeline: blocks → pieces (`office::text`) → `body` writes them → the parts become one file.

mod body;
mod run;
mod table;

use super::format::{ExportError, Format, LANGUAGE, Options};
use super::office::package::{Package, Relation};
use super::office::text::pieces;
use super::office::xml::{DECLARATION, escape};
use super::slides::base;
use crate::document::Document;
use body::Body;

/// The format.
pub const FORMAT: Format<Document> = Format {
    slug: "word",
    name: "Word",
    extension: "docx",
    media_type: "application/vnd.openxmlformats-officedocument.wordprocessingml.document",
    use_for: "A text to edit and to keep in the department’s own files, with all tables and drawings.",
    render,
};

const MAIN: &str = "word/document.xml";
const SPACES: &str = "xmlns:w=\"http://schemas.openxmlformats.org/wordprocessingml/2006/main\" \
    xmlns:r=\"http://schemas.openxmlformats.org/officeDocument/2006/relationships\" \
    xmlns:wp=\"http://schemas.openxmlformats.org/drawingml/2006/wordprocessingDrawing\" \
    xmlns:a=\"http://schemas.openxmlformats.org/drawingml/2006/main\" \
    xmlns:pic=\"http://schemas.openxmlformats.org/drawingml/2006/picture\"";

/// A page of A4 with its margins, in twentieths of a point.
const SECTION: &str = "<w:sectPr><w:headerReference w:type=\"default\" r:id=\"rId5\"/><w:footerReference w:type=\"default\" r:id=\"rId6\"/>\
    <w:pgSz w:w=\"11906\" w:h=\"16838\"/><w:pgMar w:top=\"1304\" w:right=\"1304\" w:bottom=\"1304\" w:left=\"1304\" w:header=\"624\" w:footer=\"624\" w:gutter=\"0\"/></w:sectPr>";

/// What is left for text on a page, in points.
const TEXT_WIDTH: f64 = 464.9;
const TEXT_HEIGHT: f64 = 640.0;

fn render(document: &Document, _: &Options) -> Result<Vec<u8>, ExportError> {
    let media =
        |kind: &str| format!("application/vnd.openxmlformats-officedocument.wordprocessingml.{kind}+xml");
    let mut package = Package::new();
    let relations = vec![
        Relation::to(1, "styles", "word/styles.xml"),
        Relation::to(2, "numbering", "word/numbering.xml"),
        Relation::to(3, "settings", "word/settings.xml"),
        Relation::to(4, "fontTable", "word/fontTable.xml"),
        Relation::to(5, "header", "word/header1.xml"),
        Relation::to(6, "footer", "word/footer1.xml"),
        Relation::to(7, "theme", "word/theme/theme1.xml"),
    ];
    let mut body = Body::new(&mut package, relations);
    body.title(document);
    body.pieces(&pieces(document.blocks()))?;
    let (xml, relations, lists) = body.finish();
    let main = format!("{DECLARATION}<w:document {SPACES}><w:body>{xml}{SECTION}</w:body></w:document>");
    package.add(MAIN, media("document.main"), main, relations);
    package.add("word/styles.xml", media("styles"), include_str!("base/styles.xml"), Vec::new());
    package.add("word/settings.xml", media("settings"), include_str!("base/settings.xml"), Vec::new());
    package.add("word/fontTable.xml", media("fontTable"), include_str!("base/fonts.xml"), Vec::new());
    package.add("word/theme/theme1.xml", base::THEME_TYPE, base::THEME_XML, Vec::new());
    package.add("word/numbering.xml", media("numbering"), numbering(&lists), Vec::new());
    let standing = document.standing().unwrap_or_default();
    package.add("word/header1.xml", media("header"), header(standing), Vec::new());
    package.add("word/footer1.xml", media("footer"), footer(document.title()), Vec::new());
    package.relate(Relation::to(1, "officeDocument", MAIN));
    package.describe(document.title(), LANGUAGE);
    package.into_bytes()
}

/// The lists: all with bullets are one, each with numbers begins anew at its first.
fn numbering(lists: &[body::NumberedList]) -> String {
    let mut xml = format!("{DECLARATION}<w:numbering {SPACES}>{}", include_str!("base/abstract-lists.xml"));
    xml.push_str("<w:num w:numId=\"1\"><w:abstractNumId w:val=\"0\"/></w:num>");
    xml.push_str("<w:num w:numId=\"2\"><w:abstractNumId w:val=\"1\"/></w:num>");
    for list in lists {
        xml.push_str(&format!(
            "<w:num w:numId=\"{}\"><w:abstractNumId w:val=\"1\"/><w:lvlOverride w:ilvl=\"{}\"><w:startOverride w:val=\"{}\"/></w:lvlOverride></w:num>",
            list.id, list.depth, list.start
        ));
    }
    xml + "</w:numbering>"
}

/// Who may read it, on each page.
fn header(standing: &str) -> String {
    format!(
        "{DECLARATION}<w:hdr {SPACES}><w:p><w:pPr><w:pStyle w:val=\"Header\"/></w:pPr>{}</w:p></w:hdr>",
        run::text(standing)
    )
}

/// What it is, and the number of the page.
fn footer(title: &str) -> String {
    let field = |name: &str| {
        format!(
            "<w:r><w:fldChar w:fldCharType=\"begin\"/></w:r><w:r><w:instrText xml:space=\"preserve\"> {name} </w:instrText></w:r>\
             <w:r><w:fldChar w:fldCharType=\"separate\"/></w:r><w:r><w:t>1</w:t></w:r><w:r><w:fldChar w:fldCharType=\"end\"/></w:r>"
        )
    };
    // A line: the page's number stays at its end.
    let title = crate::figure::svg::fit(title, 8.5, TEXT_WIDTH - 90.0);
    format!(
        "{DECLARATION}<w:ftr {SPACES}><w:p><w:pPr><w:pStyle w:val=\"Footer\"/></w:pPr>{}<w:r><w:tab/></w:r>\
         <w:r><w:t xml:space=\"preserve\">Page </w:t></w:r>{}<w:r><w:t xml:space=\"preserve\"> of </w:t></w:r>{}</w:p></w:ftr>",
        run::text(&title),
        field("PAGE"),
        field("NUMPAGES")
    )
}

/// A text for an element of text.
fn text_of(text: &str) -> String {
    escape(text)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::document::Block;

    #[test]
    fn the_same_document_is_the_same_bytes() {
        let mut document = Document::new("Flow lost & restored");
        document
            .stands_as("Confidential.")
            .section("Why")
            .paragraph("x")
            .push(Block::Markdown("1. a\n2. b".to_owned()));
        let bytes = || render(&document, &Options::default()).unwrap();
        assert_eq!(bytes(), bytes());
    }
}
