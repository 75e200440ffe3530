//! The screens of a case as slides for a file: each idea whole again, for an exporter to lay out, and
//! each stop point as two slides, the question and what was chosen.

use super::{Purpose, Screen, Seat, segments};
use crate::document::{Block, Deck, Slide, SlideKind};

/// The screens that are shown, as a deck.
///
/// Before a stop point the room sees the question and its options; what speaks for and against them is in
/// the notes, for the presenter to bring up.
#[must_use]
pub fn slides(seats: &[Seat], confidential: &str) -> Deck {
    let mut making = Making::default();
    for (segment, seats) in segments(seats).into_iter().enumerate() {
        for seat in seats {
            making.take(seat, segment);
        }
    }
    deck(making.slides, confidential)
}

/// The same with a slide for each screen, as they are presented, and without notes: for a file that is shown
/// as the app shows it.
#[must_use]
pub fn screens_as_slides(seats: &[Seat], confidential: &str) -> Deck {
    let each = |(segment, seats): (usize, Vec<&Seat>)| {
        seats.into_iter().map(|seat| one_screen(&seat.screen, segment)).collect::<Vec<Slide>>()
    };
    deck(segments(seats).into_iter().enumerate().flat_map(each).collect(), confidential)
}

fn one_screen(screen: &Screen, segment: usize) -> Slide {
    let kind = match &screen.purpose {
        Purpose::Tell if screen.key.as_str() == "title" => SlideKind::Opening,
        Purpose::Tell | Purpose::Reasons(_) => SlideKind::Telling,
        Purpose::Question(stop) | Purpose::Answer(stop) => SlideKind::Question(stop.decision.to_string()),
        Purpose::Revealed(stop) => SlideKind::Answer(stop.decision.to_string()),
    };
    Slide {
        name: screen.key.to_string(),
        kind,
        part: screen.part.to_owned(),
        title: screen.title.clone(),
        blocks: screen.body.clone(),
        segment,
        notes: String::new(),
    }
}

fn deck(slides: Vec<Slide>, confidential: &str) -> Deck {
    let title = slides.first().map(|slide| slide.title.clone()).unwrap_or_default();
    Deck { title, standing: confidential.to_owned(), slides }
}

#[derive(Default)]
struct Making {
    slides: Vec<Slide>,
}

impl Making {
    fn take(&mut self, seat: &Seat, segment: usize) {
        let screen = &seat.screen;
        let name = screen.key.begun_by();
        // What goes on from the slide before belongs to it.
        if let Some(last) = self.slides.last_mut().filter(|last| last.name == name) {
            last.blocks.extend(screen.body.iter().cloned());
            add_notes(last, seat.notes());
            return;
        }
        let kind = match &screen.purpose {
            Purpose::Tell if name == "title" => SlideKind::Opening,
            Purpose::Tell => SlideKind::Telling,
            Purpose::Question(stop) => SlideKind::Question(stop.decision.to_string()),
            Purpose::Revealed(stop) => SlideKind::Answer(stop.decision.to_string()),
            Purpose::Reasons(stop) => match self.asked(stop.decision.as_str()) {
                Some(question) => {
                    add_notes(question, &reasons(screen));
                    add_notes(question, seat.notes());
                    return;
                }
                None => SlideKind::Telling,
            },
            Purpose::Answer(stop) => match self.asked(stop.decision.as_str()) {
                Some(question) => {
                    add_notes(question, seat.notes());
                    return;
                }
                None => SlideKind::Question(stop.decision.to_string()),
            },
        };
        self.slides.push(Slide {
            name: name.to_owned(),
            kind,
            part: screen.part.to_owned(),
            title: screen.title.clone(),
            blocks: screen.body.clone(),
            segment,
            notes: seat.notes().to_owned(),
        });
    }

    /// The slide that asks at a decision.
    fn asked(&mut self, decision: &str) -> Option<&mut Slide> {
        self.slides
            .iter_mut()
            .find(|slide| matches!(&slide.kind, SlideKind::Question(asked) if asked == decision))
    }
}

fn add_notes(slide: &mut Slide, notes: &str) {
    if notes.trim().is_empty() {
        return;
    }
    if !slide.notes.is_empty() {
        slide.notes.push('\n');
    }
    slide.notes.push_str(notes);
}

/// The words of a screen of reasons, a line each.
fn reasons(screen: &Screen) -> String {
    let mut lines = vec![screen.title.clone()];
    for block in &screen.body {
        match block {
            Block::List { items, .. } => lines.extend(items.iter().map(|item| item.to_text())),
            Block::Paragraph(phrase) => lines.push(phrase.to_text()),
            _ => {}
        }
    }
    lines.join("\n")
}
