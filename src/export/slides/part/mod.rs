//! The parts of a presentation, and how they become one file.

mod notes;
mod presentation;
mod shape;
mod slide;
mod table;

pub(super) use presentation::add as add_presentation;

use std::collections::BTreeMap;
use std::thread;

use super::base::{self, Base};
use super::page::{Page, Placed};
use crate::document::Deck;
use crate::export::format::{ExportError, LANGUAGE};
use crate::export::office::image::Image;
use crate::export::office::package::{Relation, Target};
use crate::export::picture::Paper;

/// Dots of a picture for a point of its place: a slide on a screen of 1920 dots.
const DOTS: f64 = 2.0;

const SLIDE_TYPE: &str = "application/vnd.openxmlformats-officedocument.presentationml.slide+xml";
const NOTES_TYPE: &str = "application/vnd.openxmlformats-officedocument.presentationml.notesSlide+xml";
const NOTES_MASTER: &str = "ppt/notesMasters/notesMaster1.xml";

/// The name spaces of every part.
pub(super) const SPACES: &str = "xmlns:a=\"http://schemas.openxmlformats.org/drawingml/2006/main\" \
    xmlns:r=\"http://schemas.openxmlformats.org/officeDocument/2006/relationships\" \
    xmlns:p=\"http://schemas.openxmlformats.org/presentationml/2006/main\"";

/// The file.
pub(super) fn package(deck: &Deck, base: &Base, pages: &[Page<'_>]) -> Result<Vec<u8>, ExportError> {
    let mut package = base.parts().clone();
    let pictures = pictures(pages, if base.looks().is_ours { Paper::Clear } else { Paper::White })?;
    let mut named: BTreeMap<(usize, usize), String> = BTreeMap::new();
    for (number, (at, bytes)) in (1..).zip(pictures) {
        let name = format!("ppt/media/figure{number}.png");
        package.add(&name, "image/png", bytes, Vec::new());
        named.insert(at, name);
    }
    for (at, page) in pages.iter().enumerate() {
        let layout = base.looks().layout(page.want);
        let mut relations = vec![Relation::to(1, "slideLayout", base::layout_name(layout.number))];
        let pictures: Vec<String> =
            (0..page.items.len()).filter_map(|item| named.get(&(at, item)).cloned()).collect();
        let mut links = Links { relations: &mut relations };
        let pictures: Vec<String> = pictures.iter().map(|name| links.picture(name)).collect();
        let xml = slide::write(deck, page, layout, base.looks(), &pictures, &mut links);
        let name = format!("ppt/slides/slide{}.xml", at + 1);
        if !page.notes.trim().is_empty() {
            let notes = format!("ppt/notesSlides/notesSlide{}.xml", at + 1);
            relations.push(Relation::to(relations.len() + 1, "notesSlide", &notes));
            let back = vec![Relation::to(1, "notesMaster", NOTES_MASTER), Relation::to(2, "slide", &name)];
            package.add(notes, NOTES_TYPE, notes::write(&page.notes), back);
        }
        package.add(name, SLIDE_TYPE, xml, relations);
    }
    package.insert(NOTES_MASTER, base::notes_master());
    package.insert("ppt/theme/theme2.xml", base::notes_theme());
    presentation::add(&mut package, base.looks(), pages.len());
    package.describe(&deck.title, LANGUAGE);
    package.into_bytes()
}

/// The relations of a slide, as they are asked for.
pub(super) struct Links<'a> {
    relations: &'a mut Vec<Relation>,
}

impl Links<'_> {
    fn picture(&mut self, name: &str) -> String {
        let number = self.relations.len() + 1;
        self.relations.push(Relation::to(number, "image", name));
        format!("rId{number}")
    }

    /// The relation that leads to an address outside.
    pub(super) fn outside(&mut self, address: &str) -> String {
        let target = Target::Outside(address.to_owned());
        if let Some(known) = self.relations.iter().find(|relation| relation.target == target) {
            return known.id.clone();
        }
        let number = self.relations.len() + 1;
        self.relations.push(Relation { target, ..Relation::to(number, "hyperlink", "") });
        format!("rId{number}")
    }
}

/// The drawings of all pages as pictures, each with its page and its place on it; drawn side by side, as
/// they do not know of each other.
#[expect(clippy::type_complexity, reason = "a place and bytes")]
fn pictures(pages: &[Page<'_>], paper: Paper) -> Result<Vec<((usize, usize), Vec<u8>)>, ExportError> {
    let wanted: Vec<((usize, usize), Image<'_>, f64)> = pages
        .iter()
        .enumerate()
        .flat_map(|(at, page)| {
            page.items.iter().enumerate().filter_map(move |(item, placed)| match placed {
                Placed::Picture { place, image } => Some(((at, item), *image, place.width * DOTS)),
                _ => None,
            })
        })
        .collect();
    let draw = |part: &[((usize, usize), Image<'_>, f64)]| -> Result<Vec<_>, ExportError> {
        part.iter().map(|(at, image, dots)| Ok((*at, image.png(*dots, paper)?))).collect()
    };
    if wanted.len() < 2 {
        return draw(&wanted);
    }
    // Two threads: quicker for one person, and no flood of threads when many ask.
    let (one, other) = wanted.split_at(wanted.len() / 2);
    let (one, other) = thread::scope(|scope| {
        let first = scope.spawn(|| draw(one));
        let second = draw(other);
        (first.join(), second)
    });
    let one = one.map_err(|_| ExportError::Packing("a drawing could not be made".to_owned()))?;
    Ok([one?, other?].concat())
}
