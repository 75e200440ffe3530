//! A slide (ECMA-376-1, 19.3.1.38).

use std::fmt::Write as _;

use super::super::look::{LayoutLook, Looks, Place, Slot, Want};
use super::super::page::{Page, Placed};
use super::super::title::Title;
use super::shape::{self, Ink, frame, hundredths};
use super::{Links, SPACES, table};
use crate::document::Deck;
use crate::export::format::LANGUAGE;
use crate::export::office::image::Image;
use crate::export::office::measure::{shorten, wrap};
use crate::export::office::text::{Look, Run, plain};
use crate::export::office::xml::{DECLARATION, escape, is_right_to_left};

/// The line at the foot where a layout has no place for it: its height, how far from the edge, its size.
const FOOT: (f64, f64, f64) = (30.0, 8.0, 12.0);
/// The smallest that it is set.
const SMALLEST_FOOT: f64 = 9.0;

/// The slide, with its pictures in the order in which they stand.
pub(super) fn write(
    deck: &Deck,
    page: &Page<'_>,
    layout: &LayoutLook,
    looks: &Looks,
    pictures: &[String],
    links: &mut Links<'_>,
) -> String {
    let soft = looks.is_ours && page.want != Want::Question;
    let mut slide = Slide {
        xml: String::new(),
        next: 2,
        layout,
        looks,
        ink: Ink { soft },
        links,
        pictures: pictures.iter(),
    };
    slide.part(page);
    slide.title(&page.title);
    slide.items(page);
    slide.foot(&deck.standing);
    format!(
        "{DECLARATION}<p:sld {SPACES}><p:cSld><p:spTree>{}{}</p:spTree></p:cSld>\
         <p:clrMapOvr><a:masterClrMapping/></p:clrMapOvr></p:sld>",
        shape::GROUP,
        slide.xml
    )
}

/// A slide in the making.
struct Slide<'a, 'l> {
    xml: String,
    /// The number of the next shape.
    next: usize,
    layout: &'a LayoutLook,
    looks: &'a Looks,
    ink: Ink,
    links: &'a mut Links<'l>,
    pictures: std::slice::Iter<'a, String>,
}

/// What says that a shape stands in a placeholder of the layout.
fn placeholder(slot: &Slot) -> String {
    let mut xml = "<p:ph".to_owned();
    if let Some(kind) = &slot.kind {
        let _ = write!(xml, " type=\"{}\"", escape(kind));
    }
    if let Some(index) = &slot.index {
        let _ = write!(xml, " idx=\"{}\"", escape(index));
    }
    xml + "/>"
}

impl Slide<'_, '_> {
    fn number(&mut self) -> usize {
        self.next += 1;
        self.next - 1
    }

    /// A shape with text: in a placeholder of the layout, at a place of its own, or both.
    fn text_shape(&mut self, name: &str, slot: Option<&Slot>, place: Option<Place>, text: &str) {
        let number = self.number();
        let holder = slot.map(placeholder).unwrap_or_default();
        let lock = if slot.is_some() { "<a:spLocks noGrp=\"1\"/>" } else { "" };
        let kind = if slot.is_some() { "<p:cNvSpPr>" } else { "<p:cNvSpPr txBox=\"1\">" };
        let shape = place.map_or_else(String::new, |place| {
            format!("{}<a:prstGeom prst=\"rect\"><a:avLst/></a:prstGeom>", frame('a', place))
        });
        // A place of its own is the place of its text: the margins were taken off.
        let body = if place.is_some() {
            "<a:bodyPr wrap=\"square\" lIns=\"0\" tIns=\"0\" rIns=\"0\" bIns=\"0\"><a:noAutofit/></a:bodyPr>"
        } else {
            "<a:bodyPr/>"
        };
        let _ = write!(
            self.xml,
            "<p:sp><p:nvSpPr><p:cNvPr id=\"{number}\" name=\"{name}\"/>{kind}{lock}</p:cNvSpPr><p:nvPr>{holder}</p:nvPr></p:nvSpPr>\
             <p:spPr>{shape}</p:spPr><p:txBody>{body}<a:lstStyle/>{text}</p:txBody></p:sp>"
        );
    }

    fn part(&mut self, page: &Page<'_>) {
        let Some(slot) = self.layout.part() else { return };
        if page.part.is_empty() {
            return;
        }
        let look = Look { bold: slot.text.bold, ..Look::default() };
        let run = shorten(Run { look, ..plain(&page.part) }, slot.text.size, slot.place.width, 1);
        let text = line(&run.text, None);
        self.text_shape("Part", Some(slot), None, &text);
    }

    fn title(&mut self, title: &Title) {
        let slot = self.layout.title();
        let spacing = title.size.zip(slot).map_or_else(String::new, |(size, slot)| {
            format!("<a:lnSpc><a:spcPts val=\"{}\"/></a:lnSpc>", hundredths(slot.text.line_height(size)))
        });
        let direction = if is_right_to_left(&title.text) { " algn=\"r\" rtl=\"1\"" } else { "" };
        let size = title.size.map_or_else(String::new, |size| format!(" sz=\"{}\"", hundredths(size)));
        let text = format!(
            "<a:p><a:pPr{direction}>{spacing}</a:pPr><a:r><a:rPr lang=\"{LANGUAGE}\"{size}/><a:t>{}</a:t></a:r></a:p>",
            escape(&title.text)
        );
        self.text_shape("Title", slot, None, &text);
    }

    fn items(&mut self, page: &Page<'_>) {
        let body = self.layout.body();
        let mut is_taken = false;
        for item in &page.items {
            match item {
                Placed::Text { place, paragraphs } => {
                    let slot = body.or_else(|| self.looks.layout(Want::Text).body());
                    let Some(slot) = slot else { continue };
                    let text = shape::paragraphs(paragraphs, slot, self.ink, self.links);
                    // A second text cannot stand in the same placeholder.
                    let holder = body.filter(|_| !is_taken);
                    let own = place.or_else(|| holder.is_none().then_some(slot.place));
                    is_taken = true;
                    self.text_shape("Text", holder, own, &text);
                }
                Placed::Table { place, grid } => {
                    let number = self.number();
                    let holder = self.layout.table().map(placeholder).unwrap_or_default();
                    let caption = escape(&grid.caption);
                    let description =
                        if caption.is_empty() { String::new() } else { format!(" descr=\"{caption}\"") };
                    let table = table::write(grid, self.ink, self.links);
                    let _ = write!(
                        self.xml,
                        "<p:graphicFrame><p:nvGraphicFramePr><p:cNvPr id=\"{number}\" name=\"Table\"{description}/>\
                         <p:cNvGraphicFramePr><a:graphicFrameLocks noGrp=\"1\"/></p:cNvGraphicFramePr><p:nvPr>{holder}</p:nvPr></p:nvGraphicFramePr>{}\
                         <a:graphic><a:graphicData uri=\"http://schemas.openxmlformats.org/drawingml/2006/table\">{table}</a:graphicData></a:graphic></p:graphicFrame>",
                        frame('p', *place)
                    );
                }
                Placed::Picture { place, image } => self.picture(*place, *image),
            }
        }
    }

    fn picture(&mut self, place: Place, image: Image<'_>) {
        let Some(relation) = self.pictures.next() else { return };
        let number = self.number();
        let holder = self.layout.picture().map(placeholder).unwrap_or_default();
        let _ = write!(
            self.xml,
            "<p:pic><p:nvPicPr><p:cNvPr id=\"{number}\" name=\"Figure\" descr=\"{}\"/>\
             <p:cNvPicPr><a:picLocks noGrp=\"1\" noChangeAspect=\"1\"/></p:cNvPicPr><p:nvPr>{holder}</p:nvPr></p:nvPicPr>\
             <p:blipFill><a:blip r:embed=\"{relation}\"/><a:stretch><a:fillRect/></a:stretch></p:blipFill>\
             <p:spPr>{}<a:prstGeom prst=\"rect\"><a:avLst/></a:prstGeom></p:spPr></p:pic>",
            escape(&image.alternative()),
            frame('a', place)
        );
    }

    /// The row of the foot, from where text begins to the number of the slide.
    fn foot_row(&self, slot: &Slot) -> Place {
        let body = self.looks.layout(Want::Text).body().map_or(slot.place, |body| body.place);
        let end = body.x + body.width;
        let number = self.layout.number().map(|number| number.place.x).filter(|x| *x > body.x + end / 3.0);
        let end = number.map_or(end, |x| (x - 8.0).min(end));
        // Room for two lines, which grows away from the edge of the slide.
        let height = slot.place.height.max(FOOT.0);
        let y = slot.place.bottom() - height;
        Place { x: body.x, y, width: (end - body.x).max(slot.place.width), height }
    }

    /// Who may see it, and the number of the slide.
    fn foot(&mut self, standing: &str) {
        match self.layout.footer() {
            Some(slot) => {
                let (mut text, mut size) = foot_line(standing, slot.place, slot.text.size);
                // Where the layout's own place is too narrow for all of it, it takes the row.
                let row = text.ends_with('…').then(|| self.foot_row(slot));
                if let Some(row) = row {
                    (text, size) = foot_line(standing, row, slot.text.size);
                }
                let size = ((size - slot.text.size).abs() > 0.05).then_some(size);
                self.text_shape("Footer", Some(slot), row, &line(&text, size));
            }
            None => {
                let (width, height) = self.looks.size;
                let body = self.looks.layout(Want::Text).body();
                let x = body.map_or(36.0, |body| body.place.x);
                let y = height - FOOT.0 - FOOT.1;
                let place = Place { x, y, width: (width - 2.0 * x).max(200.0), height: FOOT.0 };
                let (text, size) = foot_line(standing, place, FOOT.2);
                self.text_shape("Footer", None, Some(place), &line(&text, Some(size)));
            }
        }
        let Some(slot) = self.layout.number() else { return };
        let field = format!(
            "<a:p><a:fld id=\"{{B6F15528-21DE-4FAA-801E-634DDDAF4B2B}}\" type=\"slidenum\"><a:rPr lang=\"{LANGUAGE}\"/><a:t>‹#›</a:t></a:fld></a:p>"
        );
        self.text_shape("Slide number", Some(slot), None, &field);
    }
}

/// A paragraph of one run.
fn line(text: &str, size: Option<f64>) -> String {
    let direction = if is_right_to_left(text) { "<a:pPr algn=\"r\" rtl=\"1\"/>" } else { "" };
    let size = size.map_or_else(String::new, |size| format!(" sz=\"{}\"", hundredths(size)));
    format!("<a:p>{direction}<a:r><a:rPr lang=\"{LANGUAGE}\"{size}/><a:t>{}</a:t></a:r></a:p>", escape(text))
}

/// The line at the foot as it fits into its place, and its size.
fn foot_line(text: &str, place: Place, usual: f64) -> (String, f64) {
    let run = plain(text.split_whitespace().collect::<Vec<_>>().join(" "));
    let lines = |size: f64| {
        let mut lines = 1_usize;
        while f64::from(u32::try_from(lines).unwrap_or(u32::MAX) + 1) * size * 1.2 <= place.height {
            lines += 1;
        }
        lines
    };
    let mut size = usual.max(SMALLEST_FOOT);
    while wrap(std::slice::from_ref(&run), size, place.width).len() > lines(size)
        && size - 1.0 >= SMALLEST_FOOT
    {
        size -= 1.0;
    }
    (shorten(run, size, place.width, lines(size)).text, size)
}
