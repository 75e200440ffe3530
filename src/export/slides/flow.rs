//! Slides laid out over pages: what does not fit goes on on the next, which says so.

use super::grid;
use super::look::{LayoutLook, Looks, Place, Slot, Want};
use super::page::{Page, Placed};
use super::title;
use crate::document::{Deck, Slide, SlideKind};
use crate::export::office::image::Image;
use crate::export::office::measure::wrap;
use crate::export::office::text::{Paragraph, Piece, Role, pieces, strong};

/// The smallest and the largest text, in points.
pub(super) const SMALLEST: f64 = 24.0;
const LARGEST: f64 = 28.0;
/// The space between a drawing or a table and what stands beside it.
const GAP: f64 = 10.0;
/// How much smaller a drawing may be so that its words fit on its page.
const SHRINK: f64 = 0.7;
/// What stands behind the title of a page that goes on.
const CONTINUED: &str = " (continued)";

/// The pages of a deck.
pub(super) fn pages<'a>(deck: &'a Deck, looks: &'a Looks) -> Vec<Page<'a>> {
    deck.slides.iter().flat_map(|slide| Flow::of(slide, looks).finish()).collect()
}

/// A slide that is being laid out.
struct Flow<'a> {
    slide: &'a Slide,
    looks: &'a Looks,
    /// The kind of layout for its text.
    want: Want,
    /// Where there is room on the first page, and on those that follow.
    first: Place,
    rest: Place,
    /// The size of its text.
    size: f64,
    body: &'a Slot,
    pages: Vec<Vec<Placed<'a>>>,
    /// Where the next thing stands on the last page.
    y: f64,
}

/// The size at which text stands: the layout's own, within what the last row reads and what leaves room.
pub(in crate::export) fn text_size(body: &Slot) -> f64 {
    body.text.size.clamp(SMALLEST, LARGEST)
}

impl<'a> Flow<'a> {
    fn of(slide: &'a Slide, looks: &'a Looks) -> Self {
        let want = match slide.kind {
            SlideKind::Opening => Want::Opening,
            SlideKind::Question(_) => Want::Question,
            SlideKind::Telling | SlideKind::Answer(_) => Want::Text,
        };
        let usual = body_of(looks.layout(Want::Text));
        let own = body_of(looks.layout(want)).or(usual);
        #[expect(clippy::expect_used, reason = "Looks::read gives none without a layout for text")]
        let (body, usual) = (own.expect("a layout for text"), usual.expect("a layout for text"));
        let mut flow = Self {
            slide,
            looks,
            want,
            first: body.place,
            rest: usual.place,
            size: text_size(body),
            body,
            pages: vec![Vec::new()],
            y: body.place.y,
        };
        if flow.title(0).is_short {
            let whole = Paragraph { role: Role::Body, runs: vec![strong(&slide.title)] };
            flow.text(whole);
        }
        flow.pieces(&pieces(&slide.blocks));
        flow
    }

    fn pieces(&mut self, pieces: &[Piece<'a>]) {
        for (at, piece) in pieces.iter().enumerate() {
            match piece {
                Piece::Paragraph(paragraph) => self.text(paragraph.clone()),
                Piece::Table(cells) => {
                    if !cells.caption.trim().is_empty() && cells.caption != self.slide.title {
                        self.text(Paragraph { role: Role::Caption, runs: vec![strong(&cells.caption)] });
                    }
                    let room = self.room().bottom() - self.after_gap();
                    let width = self.room().width;
                    for (number, grid) in
                        grid::pages(cells, width, room, self.rest.height).into_iter().enumerate()
                    {
                        if number > 0 || grid.height() > self.room().bottom() - self.after_gap() {
                            self.turn();
                        }
                        let (y, x) = (self.after_gap(), self.room().x);
                        let place = Place { x, y, width: grid.width(), height: grid.height() };
                        self.y = place.bottom();
                        self.put(Placed::Table { place, grid });
                    }
                }
                Piece::Image(image) => self.image(*image, self.words_after(&pieces[at + 1..])),
            }
        }
    }

    /// Where there is room on the page that is being filled.
    fn room(&self) -> Place {
        if self.pages.len() == 1 { self.first } else { self.rest }
    }

    fn page(&self) -> &[Placed<'a>] {
        self.pages.last().map_or(&[], Vec::as_slice)
    }

    fn put(&mut self, item: Placed<'a>) {
        if let Some(page) = self.pages.last_mut() {
            page.push(item);
        }
    }

    /// Turns to the next page, when there is something on this one.
    fn turn(&mut self) {
        if !self.page().is_empty() {
            self.pages.push(Vec::new());
            self.y = self.room().y;
        }
    }

    fn after_gap(&self) -> f64 {
        if self.page().is_empty() { self.y } else { self.y + GAP }
    }

    fn line(&self) -> f64 {
        self.body.text.line_height(self.size)
    }

    /// The lines of a paragraph.
    fn lines(&self, paragraph: &Paragraph) -> Vec<Vec<crate::export::office::text::Run>> {
        wrap(&paragraph.runs, self.size, self.room().width - self.indent(paragraph.role))
    }

    /// How far the lines of a paragraph stand in, at the most.
    fn indent(&self, role: Role) -> f64 {
        let depth = match role {
            Role::Item(item) if item.number.is_some() => return numbered_indent(item.depth),
            Role::Item(item) => f64::from(item.depth) + 1.0,
            Role::InItem(depth) => f64::from(depth) + 1.0,
            Role::Quote => 1.0,
            _ => 0.0,
        };
        depth * self.body.text.indent.max(INDENT)
    }

    fn height(&self, lines: usize) -> f64 {
        self.body.text.before + f64::from(u32::try_from(lines).unwrap_or(u32::MAX)) * self.line()
    }

    fn text(&mut self, paragraph: Paragraph) {
        let lines = self.lines(&paragraph);
        let needed = self.height(lines.len());
        let start = match self.page().last() {
            None | Some(Placed::Text { .. }) => self.y,
            Some(_) => self.y + GAP,
        };
        if start + needed <= self.room().bottom() {
            self.write(paragraph, start, needed);
        } else if needed <= self.rest.height {
            self.turn();
            if self.y + needed <= self.room().bottom() {
                self.write(paragraph, self.y, needed);
            } else {
                self.tear(paragraph.role, &lines);
            }
        } else {
            self.turn();
            self.tear(paragraph.role, &lines);
        }
    }

    /// A paragraph that is longer than a page, over several.
    fn tear(&mut self, role: Role, lines: &[Vec<crate::export::office::text::Run>]) {
        let mut left = lines;
        let mut role = role;
        while !left.is_empty() {
            let mut most = 1;
            while most < left.len() && self.y + self.height(most + 1) <= self.room().bottom() {
                most += 1;
            }
            let (now, later) = left.split_at(most);
            let needed = self.height(most);
            self.write(Paragraph { role, runs: now.concat() }, self.y, needed);
            if let Role::Item(item) = role {
                role = Role::InItem(item.depth);
            }
            left = later;
            if !left.is_empty() {
                self.turn();
            }
        }
    }

    fn write(&mut self, paragraph: Paragraph, start: f64, needed: f64) {
        self.y = start + needed;
        let room = self.room();
        if let Some(Placed::Text { place, paragraphs }) =
            self.pages.last_mut().and_then(|page| page.last_mut())
        {
            if let Some(place) = place {
                place.height += needed;
            }
            paragraphs.push(paragraph);
            return;
        }
        let place = Some(Place { y: start, height: needed, ..room });
        self.put(Placed::Text { place, paragraphs: vec![paragraph] });
    }

    /// How much room the words take that follow a drawing, up to the next drawing or table.
    fn words_after(&self, pieces: &[Piece<'_>]) -> f64 {
        let words = pieces.iter().map_while(|piece| match piece {
            Piece::Paragraph(paragraph) => Some(self.height(self.lines(paragraph).len())),
            _ => None,
        });
        let needed: f64 = words.sum();
        if needed > 0.0 { needed + GAP } else { 0.0 }
    }

    /// A drawing as wide as the page; narrower where its words then fit beside it, and on a page of its
    /// own where they do not.
    fn image(&mut self, image: Image<'a>, words: f64) {
        let (wide, high) = image.units();
        let room = self.rest;
        let full = (room.width * high / wide).min(room.height);
        let free = self.room().bottom() - self.after_gap();
        let height = if full + words <= free {
            full
        } else if free - words >= full * SHRINK {
            free - words
        } else if full <= free {
            full
        } else if free >= full * SHRINK {
            free
        } else {
            self.turn();
            let free = self.room().bottom() - self.y;
            if free - words >= full * SHRINK { (free - words).min(full) } else { full.min(free) }
        };
        let width = height * wide / high;
        let y = self.after_gap();
        let place = Place { x: room.x + (room.width - width) / 2.0, y, width, height };
        self.y = y + height;
        self.put(Placed::Picture { place, image });
    }

    fn title(&self, page: usize) -> title::Title {
        let want = if page == 0 { self.want } else { Want::Text };
        let behind = if page == 0 { "" } else { CONTINUED };
        match self.looks.layout(want).title() {
            Some(slot) => title::fit(&self.slide.title, behind, slot),
            None => {
                title::Title { text: format!("{}{behind}", self.slide.title), size: None, is_short: false }
            }
        }
    }

    fn finish(self) -> Vec<Page<'a>> {
        let titles: Vec<title::Title> = (0..self.pages.len()).map(|page| self.title(page)).collect();
        let (slide, want) = (self.slide, self.want);
        self.pages
            .into_iter()
            .zip(titles)
            .enumerate()
            .map(|(number, (mut items, title))| {
                // Text that has a page for itself stands where the layout has it.
                if let [Placed::Text { place, .. }] = items.as_mut_slice() {
                    *place = None;
                }
                Page {
                    want: wanted(if number == 0 { want } else { continued(want) }, &items),
                    part: slide.part.clone(),
                    title,
                    items,
                    notes: if number == 0 { slide.notes.clone() } else { String::new() },
                }
            })
            .collect()
    }
}

/// How far an item stands in where the layout does not say, in points.
pub(in crate::export) const INDENT: f64 = 22.0;
/// How far an item with a number of two digits stands in.
pub(in crate::export) const NUMBERED: f64 = 42.0;

/// How far an item with a number stands in at a depth.
pub(in crate::export) fn numbered_indent(depth: u8) -> f64 {
    NUMBERED * (f64::from(depth.min(8)) + 1.0)
}

fn body_of(layout: &LayoutLook) -> Option<&Slot> {
    layout.body()
}

/// The opening is one page; a question that goes on is still a question.
const fn continued(want: Want) -> Want {
    match want {
        Want::Question => Want::Question,
        _ => Want::Text,
    }
}

/// The layout that what stands on a page asks for.
fn wanted(want: Want, items: &[Placed<'_>]) -> Want {
    if want != Want::Text {
        return want;
    }
    match items {
        [] => Want::TitleOnly,
        [Placed::Picture { .. }] => Want::Figure,
        [Placed::Table { .. }] => Want::Table,
        items if items.iter().all(|item| matches!(item, Placed::Text { .. })) => Want::Text,
        items if items.iter().any(|item| matches!(item, Placed::Picture { .. })) => Want::FigureAndText,
        _ => Want::Text,
    }
}

#[cfg(test)]
mod tests;
