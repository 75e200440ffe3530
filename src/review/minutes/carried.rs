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
            .strong(became(carried.became.as_ref()))
            .quiet(format!(
                " Case {}. Owner: {owner}. It was {late} {}.",
                carried.code,
                carried.due_before.in_words()
            ))
    }
}

fn became(became: Option<&Became>) -> String {
    match became {
        None => "Not spoken of yet.".to_owned(),
        Some(Became::NotReached) => "Not reached; it stays open.".to_owned(),
        Some(Became::Done(day)) => format!("Done: in place since {}.", day.in_words()),
        Some(Became::StillOpen { due, why }) => {
            format!("Still open, now due {}: {}", due.in_words(), sentence(&lower_first(why.as_str())))
        }
        Some(Became::Dropped(why)) => format!("Dropped: {}", sentence(&lower_first(why.as_str()))),
    }
}
