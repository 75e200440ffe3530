//! What the events show of the steps that common practice expects after a harm.

use super::Writing;
use crate::case::drawing;
use crate::case::reading::words::{lower_first, sentence, upper_first};
use crate::document::{Block, Document, Phrase};
use crate::response::{CAUTION, StepState};
use crate::review::response::{Response, Told, after_onset, responses};

impl Writing<'_> {
    /// Folded away: the summary tells what was done, this what could be asked.
    pub(super) fn responses(&self, document: &mut Document) {
        for found in responses(self.case, &self.reading, self.prompts) {
            let harm = drawing::complication_words(&found.complication.value, self.vocabulary);
            let title = format!("Response: {}, {}", lower_first(found.list.title()), lower_first(&harm));
            document.details(title, blocks(&found));
        }
    }
}

fn blocks(found: &Response) -> Vec<Block> {
    let applies = |told: &&Told| !matches!(told.state, StepState::OtherBranch { .. });
    vec![
        Block::paragraph(Phrase::new().quiet(CAUTION)),
        Block::bullets(found.steps.iter().filter(applies).map(step)),
        Block::paragraph(Phrase::new().quiet(format!("Source: {}", sentence(found.list.source())))),
    ]
}

fn step(told: &Told) -> Phrase {
    let phrase = Phrase::new().strong(told.step.text.clone()).text(" ");
    let event = told.state.place().map(|place| format!(", event {}", place + 1)).unwrap_or_default();
    let after = told.after.map(|after| format!(", {}", after_onset(after))).unwrap_or_default();
    match &told.state {
        StepState::NotRecorded { .. } => phrase.missing("Not recorded."),
        StepState::DoesNotApply { because } => {
            phrase.text(format!("Does not apply because {}", sentence(&lower_first(because))))
        }
        StepState::Waits { .. } => phrase.missing("Not decided whether it applies."),
        _ => phrase.text(sentence(&format!("{}{event}{after}", upper_first(told.word())))),
    }
}
