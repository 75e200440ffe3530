//! What a reader would ask about the causes and actions of a case. Questions, never a block.

use std::collections::BTreeMap;

use crate::case::reading::words::{join, lower_first};
use crate::case::{Action, ActionState, StoredCase, Strength, Weight};
use crate::vocabulary::{CauseSlug, Vocabulary};

/// What is asked about the actions of a case: root causes that nothing answers, and root causes that only
/// weaker actions answer (RCA², National Patient Safety Foundation, 2015; from memory), and actions that
/// nobody can tell the success of.
#[must_use]
pub fn about_actions(case: &StoredCase, vocabulary: &Vocabulary) -> Vec<String> {
    let mut strongest: BTreeMap<&CauseSlug, Strength> = BTreeMap::new();
    for action in standing(case) {
        if let Some(cause) = &action.for_cause {
            let held = strongest.entry(cause).or_insert(action.strength);
            *held = (*held).min(action.strength);
        }
    }
    let mut roots: Vec<&CauseSlug> = Vec::new();
    for row in case.causes.iter().filter(|row| row.value.weight == Weight::Root) {
        if !roots.contains(&&row.value.cause) {
            roots.push(&row.value.cause);
        }
    }
    let named = |those: &dyn Fn(Option<Strength>) -> bool| -> Vec<String> {
        roots
            .iter()
            .filter(|slug| those(strongest.get(*slug).copied()))
            .map(|slug| format!("“{}”", lower_first(&vocabulary.cause_label(slug))))
            .collect()
    };
    let mut questions = Vec::new();
    let open = named(&|strength| strength.is_none());
    if !open.is_empty() {
        questions.push(format!("What answers the root cause {}? No action is tied to it yet.", join(&open)));
    }
    let weak = named(&|strength| strength == Some(Strength::Weaker));
    if !weak.is_empty() {
        questions.push(format!(
            "Only weaker actions answer the root cause {}. What would work without anybody remembering it?",
            join(&weak)
        ));
    }
    let unmeasured = standing(case).filter(|action| action.measure.is_none()).count();
    if unmeasured > 0 {
        let (which, they) =
            if unmeasured == 1 { ("One action has", "it") } else { ("Some actions have", "they") };
        questions.push(format!("{which} no measure yet. By what number will you see that {they} worked?"));
    }
    questions
}

/// The actions that are open or done.
fn standing(case: &StoredCase) -> impl Iterator<Item = &Action> {
    case.actions.iter().map(|row| &row.value).filter(|action| action.state != ActionState::Dropped)
}
