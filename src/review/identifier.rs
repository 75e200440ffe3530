//! What in the words of a case may identify somebody, section by section.

use super::readiness::Section;
use crate::case::StoredCase;
use crate::deidentify::{Confidence, Suspicion, suspect};

/// Words that may identify a patient, a colleague or a hospital.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Suspected {
    /// Where on the case page they stand.
    pub section: Section,
    /// The words.
    pub words: String,
    /// What they may be.
    pub suspicion: Suspicion,
}

/// Everything in a case's own words that surely looks like an identifier, in the order of the page. What
/// only may be one is left to the person who writes.
#[must_use]
pub fn suspected(case: &StoredCase) -> Vec<Suspected> {
    texts(case)
        .into_iter()
        .flat_map(|(section, text)| {
            suspect(text).into_iter().filter(|suspicion| suspicion.confidence == Confidence::High).filter_map(
                move |suspicion| {
                    let words = text.get(suspicion.span.clone())?.to_owned();
                    Some(Suspected { section, words, suspicion })
                },
            )
        })
        .collect()
}

/// The free texts of a case with their sections. Names under lessons are accounts, and not looked at.
fn texts(case: &StoredCase) -> Vec<(Section, &str)> {
    let head = &case.head;
    let mut texts = vec![(Section::Situation, head.title.as_str())];
    texts.extend(head.situation.iter().map(|text| (Section::Situation, text.as_str())));
    texts.extend(head.patient.history.iter().map(|text| (Section::Patient, text.as_str())));
    texts.extend(head.procedure.strategy.iter().map(|text| (Section::Procedure, text.as_str())));
    texts.extend(head.time_zero.iter().map(|text| (Section::Timeline, text.as_str())));
    let events = case.events.iter().filter_map(|row| row.value.text.as_ref());
    texts.extend(events.map(|text| (Section::Timeline, text.as_str())));
    for picture in case.pictures.iter().map(|row| &row.value) {
        texts.extend(picture.caption.iter().map(|text| (Section::Pictures, text.as_str())));
        texts.push((Section::Pictures, picture.shows.as_str()));
    }
    texts.extend(case.causes.iter().map(|row| (Section::Causes, row.value.statement.as_str())));
    for decision in case.decisions.iter().map(|row| &row.value) {
        texts.push((Section::Decisions, decision.question.as_str()));
        texts.extend(decision.chosen_by.iter().map(|text| (Section::Decisions, text.as_str())));
        texts.extend(decision.followed.iter().map(|text| (Section::Decisions, text.as_str())));
        for option in &decision.options {
            let lines = [&option.text].into_iter().chain(&option.reasons_for).chain(&option.reasons_against);
            texts.extend(lines.map(|line| (Section::Decisions, line.as_str())));
        }
    }
    texts.extend(case.lessons.iter().map(|row| (Section::Lessons, row.value.text.as_str())));
    for action in case.actions.iter().map(|row| &row.value) {
        texts.extend([action.what.as_str(), action.owner.as_str()].map(|text| (Section::Actions, text)));
        texts.extend(action.measure.iter().map(|text| (Section::Actions, text.as_str())));
        texts.extend(action.target.iter().map(|text| (Section::Actions, text.as_str())));
    }
    texts.extend(head.outcome.discharge.iter().map(|text| (Section::Outcome, text.as_str())));
    texts.extend(head.narrative.iter().map(|text| (Section::Narrative, text.as_str())));
    texts
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::case::{Case, CaseCode};

    /// Review-method, the strings of de-identification after 45 CFR 164.514(b)(2).
    #[test]
    fn a_name_is_found_where_it_stands_and_the_trades_words_are_left_alone() {
        let case: Case = toml::from_str(
            r#"
format = 1
title = "Vessel closed after a Judkins left 4 guide"
month = "2025-03"
stage = "recorded"
narrative = "Dr Marlow asked for a second view. TIMI 3 after a 3.0 x 28 mm stent at 14 atm."
[[lessons]]
kind = "respond"
text = "Take a second view."
signed_by = "Dr Attending"
signed_on = "2025-04-01"
"#,
        )
        .unwrap();
        let case = StoredCase::of_file(case, CaseCode::new(2025, 1).unwrap());
        let found = suspected(&case);
        let told: Vec<_> = found.iter().map(|one| (one.section, one.words.as_str())).collect();
        assert_eq!(told.len(), 1, "{told:?}");
        assert_eq!(told[0].0, Section::Narrative);
        assert!(told[0].1.contains("Marlow"), "{told:?}");
    }
}
