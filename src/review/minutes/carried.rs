//! Carried-over actions, and what became of each.

use super::Writing;
use crate::case::reading::words::{lower_first, sentence, upper_first};
use crate::conference::meeting::{Became, CarriedAction};
use crate::document::{Document, Phrase};

impl Writing<'_> {
    pub(super) fn carried(&self, document: &mut Document) {
        document.section("Carried-over actions");
        if self.meeting.carried.is_empty() {
            document.paragraph("No action of an earlier case was open.");
            return;
        }
        document.bullets(self.meeting.carried.iter().map(|one| self.carried_action(one)));
    }

    fn carried_action(&self, carried: &CarriedAction) -> Phrase {
        let late =
            if carried.was_overdue(self.meeting.conference.held_on()) { "overdue since" } else { "due" };
        let owner = lower_first(carried.action.owner.as_str());
        Phrase::new()
            .text(sentence(&upper_first(carried.action.what.as_str())))
            .text(" ")
            .strong(carried.became.as_ref().map_or_else(|| "Not spoken of yet.".to_owned(), Became::in_words))
            .quiet(format!(
                " Case {}. Owner: {owner}. It was {late} {}.",
                carried.code,
                carried.due_before.in_words()
            ))
    }
}
