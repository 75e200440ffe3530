//! Paragraphs, tables and drawings of WordprocessingML (ECMA-376-1, 17.3 and 20.4).

use std::collections::BTreeMap;
use std::fmt::Write as _;

use super::{TEXT_HEIGHT, TEXT_WIDTH, run, table, text_of};
use crate::document::Document;
use crate::export::format::ExportError;
use crate::export::office::image::Image;
use crate::export::office::package::{Package, Relation};
use crate::export::office::text::{Item, Paragraph, Piece, Role, Run, plain, words};
use crate::export::office::xml::is_right_to_left;
use crate::export::picture::Paper;

/// Dots of a picture for a point of its place: 288 to the inch, for print.
const DOTS: f64 = 4.0;
/// Units of a drawing's place in a point.
const EMU: f64 = 12_700.0;
/// The number of the list with bullets, and the first of those with numbers.
const BULLETS: usize = 1;
const FIRST_NUMBERED: usize = 3;

/// A list with numbers.
#[derive(Debug, Clone, Copy)]
pub(super) struct NumberedList {
    pub(super) id: usize,
    pub(super) depth: u8,
    pub(super) start: u32,
}

/// A body in the making.
pub(super) struct Body<'p> {
    package: &'p mut Package,
    relations: Vec<Relation>,
    xml: String,
    /// The lists with numbers, by their number in the document.
    lists: BTreeMap<usize, NumberedList>,
    figures: usize,
}

impl<'p> Body<'p> {
    pub(super) const fn new(package: &'p mut Package, relations: Vec<Relation>) -> Self {
        Self { package, relations, xml: String::new(), lists: BTreeMap::new(), figures: 0 }
    }

    /// The XML, the relations that it uses, and the lists with numbers.
    pub(super) fn finish(self) -> (String, Vec<Relation>, Vec<NumberedList>) {
        (self.xml, self.relations, self.lists.into_values().collect())
    }

    pub(super) fn title(&mut self, document: &Document) {
        if let Some(standing) = document.standing() {
            self.styled("Subtitle", "", &[plain(standing)]);
        }
        self.styled("Title", "", &[plain(document.title())]);
    }

    pub(super) fn pieces(&mut self, pieces: &[Piece<'_>]) -> Result<(), ExportError> {
        for piece in pieces {
            match piece {
                Piece::Paragraph(paragraph) => self.paragraph(paragraph),
                Piece::Table(cells) => {
                    if !cells.caption.trim().is_empty() {
                        self.styled("Caption", "", &[plain(&cells.caption)]);
                    }
                    self.xml.push_str(&table::write(cells, &mut self.relations));
                    // Two tables that touch would be one.
                    self.xml.push_str("<w:p><w:pPr><w:spacing w:after=\"0\" w:line=\"120\" w:lineRule=\"exact\"/></w:pPr></w:p>");
                }
                Piece::Image(image) => self.image(*image)?,
            }
        }
        Ok(())
    }

    /// A paragraph of a style, with more of its properties in the order of the schema.
    fn styled(&mut self, style: &str, more: &str, runs: &[Run]) {
        let direction = if is_right_to_left(&words(runs)) { "<w:bidi/>" } else { "" };
        let inside = run::runs(runs, &mut self.relations);
        let style = if style.is_empty() { String::new() } else { format!("<w:pStyle w:val=\"{style}\"/>") };
        // Numbers of a list stand before the direction, what stands in after it.
        let (numbers, indent) = more.split_at(more.find("<w:ind").unwrap_or(more.len()));
        let _ = write!(self.xml, "<w:p><w:pPr>{style}{numbers}{direction}{indent}</w:pPr>{inside}</w:p>");
    }

    fn paragraph(&mut self, paragraph: &Paragraph) {
        let runs = &paragraph.runs;
        match paragraph.role {
            // The document's title is the first level.
            Role::Heading(level) => {
                self.styled(&format!("Heading{}", level.saturating_sub(1).clamp(1, 6)), "", runs)
            }
            Role::Body => self.styled("", "", runs),
            Role::Item(item) => {
                let style = if item.number.is_some() { "ListNumber" } else { "ListBullet" };
                let numbers = format!(
                    "<w:numPr><w:ilvl w:val=\"{}\"/><w:numId w:val=\"{}\"/></w:numPr>",
                    item.depth,
                    self.list_of(item)
                );
                self.styled(style, &numbers, runs);
            }
            Role::InItem(depth) => {
                let left = 360 * (usize::from(depth) + 1);
                self.styled("ListContinue", &format!("<w:ind w:left=\"{left}\"/>"), runs);
            }
            Role::Quote => self.styled("Quote", "", runs),
            Role::Note => self.styled("Note", "", runs),
            Role::Caution => self.styled("Caution", "", runs),
            Role::Caption => self.styled("Caption", "", runs),
        }
    }

    /// The number of the list that an item stands in.
    fn list_of(&mut self, item: Item) -> usize {
        let Some(start) = item.number else { return BULLETS };
        let id = FIRST_NUMBERED + self.lists.len();
        self.lists.entry(item.list).or_insert(NumberedList { id, depth: item.depth, start }).id
    }

    /// A drawing under what it shows, with what it says and where it is from beneath.
    fn image(&mut self, image: Image<'_>) -> Result<(), ExportError> {
        let (wide, high) = image.units();
        let width = TEXT_WIDTH.min(TEXT_HEIGHT * wide / high);
        let height = width * high / wide;
        self.figures += 1;
        let number = self.figures;
        let name = format!("word/media/figure{number}.png");
        let picture = image.png(width * DOTS, Paper::White)?;
        self.package.add(&name, "image/png", picture, Vec::new());
        let relation = self.relations.len() + 1;
        self.relations.push(Relation::to(relation, "image", name));
        if let Image::Drawing(figure) = image {
            self.styled("Caption", "", &[plain(&figure.title)]);
        }
        let (cx, cy) = (format!("{:.0}", width * EMU), format!("{:.0}", height * EMU));
        let described = text_of(&image.alternative());
        let _ = write!(
            self.xml,
            "<w:p><w:pPr><w:pStyle w:val=\"Figure\"/></w:pPr><w:r><w:drawing><wp:inline distT=\"0\" distB=\"0\" distL=\"0\" distR=\"0\">\
             <wp:extent cx=\"{cx}\" cy=\"{cy}\"/><wp:docPr id=\"{number}\" name=\"Figure {number}\" descr=\"{described}\"/>\
             <wp:cNvGraphicFramePr><a:graphicFrameLocks noChangeAspect=\"1\"/></wp:cNvGraphicFramePr>\
             <a:graphic><a:graphicData uri=\"http://schemas.openxmlformats.org/drawingml/2006/picture\"><pic:pic>\
             <pic:nvPicPr><pic:cNvPr id=\"{number}\" name=\"Figure {number}\" descr=\"{described}\"/><pic:cNvPicPr/></pic:nvPicPr>\
             <pic:blipFill><a:blip r:embed=\"rId{relation}\"/><a:stretch><a:fillRect/></a:stretch></pic:blipFill>\
             <pic:spPr><a:xfrm><a:off x=\"0\" y=\"0\"/><a:ext cx=\"{cx}\" cy=\"{cy}\"/></a:xfrm><a:prstGeom prst=\"rect\"><a:avLst/></a:prstGeom></pic:spPr>\
             </pic:pic></a:graphicData></a:graphic></wp:inline></w:drawing></w:r></w:p>"
        );
        let Image::Drawing(figure) = image else { return Ok(()) };
        if !figure.summary.trim().is_empty() {
            self.styled("Note", "", &[plain(&figure.summary)]);
        }
        if !figure.source.trim().is_empty() {
            self.styled("Note", "", &[plain(format!("Source: {}", figure.source))]);
        }
        Ok(())
    }
}
