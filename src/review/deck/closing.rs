//! How a deck closes: the department's rate, the lessons, the actions, the cautions.

use super::meaning::picture;
use super::{Head, Making, Purpose, fit, notes};
use crate::case::reading::words::{count, sentence};
use crate::case::{ActionState, Lesson, LessonKind};
use crate::document::{Block, Phrase};
use crate::review::summary::{CAUTION, action_words};

/// At most so many actions on a screen.
const ACTIONS: usize = 3;

impl Making<'_> {
    pub(super) fn closing(&mut self) {
        self.rate();
        for row in &self.material.case.lessons {
            self.lesson(row.id, &row.value);
        }
        self.actions();
        self.end();
    }

    fn rate(&mut self) {
        let Some(rate) = self.material.rate else { return };
        let head = Head::new("rate", "How often here", rate.title.clone())
            .saying("Read the interval, not the dot alone.");
        let mut drawing = rate.figure.clone().map(picture);
        let taken = match &drawing {
            Some(Block::Figure(figure)) => fit::figure_lines(figure.svg.as_str()),
            _ => 0.0,
        };
        let room = fit::room(&head.title, taken);
        let items = rate.sentences.iter().map(|text| Phrase::from(text.as_str())).collect();
        let mut bodies: Vec<Vec<Block>> = fit::pages(items, room, 4)
            .into_iter()
            .map(|page| page.into_iter().map(Block::Paragraph).collect())
            .collect();
        match bodies.first_mut() {
            Some(first) => first.extend(drawing.take()),
            None => bodies.push(drawing.take().into_iter().collect()),
        }
        self.add_all(head, &Purpose::Tell, bodies);
    }

    fn lesson(&mut self, id: i64, lesson: &Lesson) {
        let (title, rest) = fit::headline(&sentence(lesson.text.as_str()));
        let part = match lesson.kind {
            LessonKind::Prevent => "Lesson: prevent",
            LessonKind::Recognise => "Lesson: recognise",
            LessonKind::Respond => "Lesson: respond",
            LessonKind::Organise => "Lesson: organise",
        };
        let mut items = Vec::new();
        if !rest.is_empty() {
            items.push(Phrase::from(rest));
        }
        if let Some(recurring) = &lesson.recurring {
            items.push(Phrase::new().strong("It recurs. ").text(sentence(recurring.as_str())));
        }
        if let Some(reference) = &lesson.reference {
            items.push(Phrase::new().quiet(format!("Rests on {reference}.")));
        }
        items.push(match (&lesson.signed_by, lesson.signed_on) {
            (Some(by), Some(on)) => Phrase::new().signed(format!("Signed: {by}, {}.", on.in_words())),
            _ => Phrase::new().missing("Not signed by an attending."),
        });
        let tied = [
            lesson
                .event
                .as_ref()
                .and_then(|key| self.material.reading.number(key))
                .map(|n| format!("Event {n} shows it")),
            lesson
                .decision
                .as_ref()
                .and_then(|key| self.question_of(key))
                .map(|q| format!("It answers: {q}")),
        ];
        let head = Head::new(format!("lesson-{id}"), part, title).saying(notes(tied.into_iter().flatten()));
        let room = fit::room(&head.title, 0.0);
        let bodies = fit::pages(items, room, 4)
            .into_iter()
            .map(|page| page.into_iter().map(Block::Paragraph).collect())
            .collect();
        self.add_all(head, &Purpose::Tell, bodies);
    }

    fn question_of(&self, key: &crate::case::Key) -> Option<String> {
        let row = self.material.case.decisions.iter().find(|row| row.value.key == *key)?;
        Some(row.value.question.to_string())
    }

    fn actions(&mut self) {
        let actions = &self.material.case.actions;
        if actions.is_empty() {
            return;
        }
        let done = actions.iter().filter(|row| row.value.state == ActionState::Done).count();
        let number = count(actions.len());
        let title = match (actions.len(), done) {
            (1, 0) => "One action, not done yet".to_owned(),
            (1, _) => "One action, done".to_owned(),
            (_, 0) => format!("{number} actions, none done yet"),
            (all, done) if all == done => format!("{number} actions, all done"),
            (_, done) => format!("{number} actions, {} done", count(done).to_lowercase()),
        };
        let items = actions.iter().map(|row| action_words(&row.value)).collect();
        self.list(Head::new("actions", "What changes", title), items, ACTIONS);
    }

    fn end(&mut self) {
        let case = self.material.case;
        let body = vec![
            Block::paragraph(self.material.confidential),
            Block::Caution(Phrase::from(CAUTION)),
            Block::paragraph(Phrase::new().quiet(format!("Case {}, made from the record.", case.code))),
        ];
        let title = "What will you do differently next time?";
        let head = Head::new("end", "To take along", title)
            .saying("Thank the team that brought the case. Say where the summary can be read.");
        self.add(head, Purpose::Tell, body);
    }
}
