//! The cases of the meeting: what each was, what was said, its lessons and its actions.

use super::Writing;
use crate::case::reading::words::{join, lower_first, sentence, upper_first};
use crate::case::{Harm, Words};
use crate::conference::meeting::{ActionLine, Discussed, LessonLine, Written};
use crate::document::{Document, Fact, Phrase};

const HERE: &str = " Written in this meeting.";

impl Writing<'_> {
    pub(super) fn cases(&self, document: &mut Document) {
        for (number, case) in (1_u32..).zip(&self.meeting.cases) {
            self.case(document, number, case);
        }
    }

    fn case(&self, document: &mut Document, number: u32, case: &Discussed) {
        document.section(format!("Case {number}"));
        document.paragraph(Phrase::new().strong(case.case.title.as_str()));
        let plan = case.plan();
        let role = |role: &Option<Words>| role.as_ref().map(|role| role.as_str().to_owned());
        document.facts([
            Fact::new("Code", Phrase::new().mono(case.case.code.to_string())),
            Fact::or_missing("What it was", self.what_it_was(case)),
            Fact::new("Time box", plan.time_box.in_words()),
            Fact::or_missing("Presented by", role(&plan.presenter)),
            Fact::or_missing("Discussed by", role(&plan.discussant)),
            Fact::new("Stage", case.case.stage.label()),
        ]);
        match &case.notes {
            Some(notes) => document.part("What was said").markdown(notes.as_str()),
            None => document.missing("what was said"),
        };
        if !case.votes.is_empty() {
            document.part("How the room answered").bullets(case.votes.clone());
        }
        if case.lessons.is_empty() {
            document.missing("a lesson");
        } else {
            document.part("Lessons").numbered(case.lessons.iter().map(lesson));
        }
        if case.actions.is_empty() {
            document.missing("an action");
        } else {
            document.part("Actions").bullets(case.actions.iter().map(action));
        }
        if !case.case.is_ready() {
            document.note(if self.meeting.conference.is_ended() {
                "The case was not ready, so it was not presented."
            } else {
                "The case is not ready yet."
            });
        }
    }

    /// The mechanisms and the degree of harm; `None` when neither is recorded.
    fn what_it_was(&self, case: &Discussed) -> Option<String> {
        let labels: Vec<String> = (0_usize..)
            .zip(&case.mechanisms)
            .map(|(at, slug)| {
                let label = self.vocabulary.mechanism_label(slug);
                if at == 0 { label } else { lower_first(&label) }
            })
            .collect();
        let harm = case.harm.map(|harm| match harm {
            Harm::None => "no harm".to_owned(),
            Harm::Death => "death".to_owned(),
            other => format!("{} harm", other.label().to_lowercase()),
        });
        match (labels.is_empty(), harm) {
            (true, None) => None,
            (true, Some(harm)) => Some(upper_first(&harm)),
            (false, None) => Some(join(&labels)),
            (false, Some(harm)) => Some(format!("{}; {harm}", join(&labels))),
        }
    }
}

fn lesson(written: &Written<LessonLine>) -> Phrase {
    let lesson = &written.line;
    let phrase =
        Phrase::new().strong(format!("{}. ", lesson.kind.label())).text(sentence(lesson.text.as_str()));
    let signed = if lesson.signed { " Signed." } else { " Not signed yet." };
    phrase.quiet(format!("{signed}{}", if written.here { HERE } else { "" }))
}

fn action(written: &Written<ActionLine>) -> Phrase {
    let action = &written.line;
    let phrase = Phrase::new()
        .strong(format!("{}, by {}: ", upper_first(action.owner.as_str()), action.due.in_words()))
        .text(sentence(&lower_first(action.what.as_str())))
        .text(" ");
    let phrase = match &action.measure {
        Some(measure) => phrase.text(format!("Measure: {}", sentence(&lower_first(measure.as_str())))),
        None => phrase.missing("Measure not recorded."),
    };
    let here = if written.here { HERE } else { "" };
    phrase.quiet(format!(" {} action, {}.{here}", action.strength.label(), action.state_in_words()))
}
