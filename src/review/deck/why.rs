//! Why: each cause on a screen of its own, with its weight and the events that show it.

use super::{Head, Making, Purpose, fit};
use crate::case::reading::words::{lower_first, sentence, short_time, shorten};
use crate::case::{Cause, Key, Weight};
use crate::document::{Block, Phrase};

/// At most so many characters of an event that shows a cause.
const SHOWN: usize = 110;

impl Making<'_> {
    pub(super) fn why(&mut self) {
        for row in &self.material.case.causes {
            self.cause(row.id, &row.value);
        }
    }

    fn cause(&mut self, id: i64, cause: &Cause) {
        let vocabulary = self.material.vocabulary;
        let label = vocabulary.cause_label(&cause.cause);
        let class = vocabulary
            .cause(&cause.cause)
            .and_then(|leaf| vocabulary.cause_branches.iter().find(|branch| branch.slug == leaf.branch))
            .map(|branch| lower_first(&branch.label));
        let weight = match cause.weight {
            Weight::Root => "A root cause",
            Weight::Contributing => "A contributing cause",
            Weight::Incidental => "An incidental cause",
        };
        let class = class.map(|class| format!(" ({class})")).unwrap_or_default();
        let title = format!("{weight}: {}{class}", lower_first(&label));
        let mut items = vec![Phrase::from(sentence(cause.statement.as_str()))];
        items.extend(cause.shown_by.iter().filter_map(|key| self.event(key)));
        if cause.shown_by.is_empty() {
            items.push(Phrase::new().missing("No event is linked that shows it."));
        }
        let head = Head::new(format!("cause-{id}"), "Why", title)
            .saying("Ask what made it easy to miss, not who missed it.");
        let room = fit::room(&head.title, 0.0);
        let bodies = fit::pages(items, room, 6)
            .into_iter()
            .map(|page| page.into_iter().map(Block::Paragraph).collect())
            .collect();
        self.add_all(head, &Purpose::Tell, bodies);
    }

    /// `Event 7, +8:10: Puff of contrast…`
    fn event(&self, key: &Key) -> Option<Phrase> {
        let event =
            self.material.case.events.iter().find(|row| row.value.key == *key).map(|row| &row.value)?;
        let number = self.material.reading.number(key)?;
        let text = event.text.as_ref().map_or(event.kind.label(), |text| text.as_str());
        Some(
            Phrase::new()
                .quiet(format!("Event {number}, "))
                .mono(short_time(event.at, event.time))
                .quiet(format!(": {}", sentence(&shorten(text, SHOWN)))),
        )
    }
}
