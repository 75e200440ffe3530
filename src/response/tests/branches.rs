//! Questions, and the branch that a case takes.

use super::{COURSE, done, event, list, perhaps, question, said, state};
use crate::response::{Answer, Course, PromptList, QuestionState, Set, SettledBy, StepState};

/// Still leaking? Then: a large vessel? Flow-slow says no to that by what it is.
fn nested() -> PromptList {
    list(
        "[[questions]]\nslug = \"leaking\"\nasks = \"Q\"\nyes_signs = [{ kinds = [\"finding\"] }]\nno_signs = [{ kinds = [\"outcome\"] }]\n\
         [[questions]]\nslug = \"large\"\nasks = \"Q\"\nonly_if = { question = \"leaking\", answer = \"yes\" }\nno_mechanisms = [\"flow-slow\"]\n\
         [[steps]]\nslug = \"stent\"\ntext = \"T\"\nwhy = \"W\"\nonly_if = { question = \"large\", answer = \"yes\" }\nsigns = [{ kinds = [\"stent\"] }]\n\
         [[steps]]\nslug = \"coil\"\ntext = \"T\"\nwhy = \"W\"\nonly_if = { question = \"large\", answer = \"no\" }\n\
         [[steps]]\nslug = \"always\"\ntext = \"T\"\nwhy = \"W\"\n",
    )
}

fn other(question: &str, answer: Answer) -> StepState {
    StepState::OtherBranch { question: question.parse().unwrap(), answer }
}

fn waits(question: &str) -> StepState {
    StepState::Waits { question: question.parse().unwrap() }
}

#[test]
fn answers_decide_which_steps_apply() {
    use Answer::{No, Yes};
    let list = nested();
    let stent = event(30, "stent", "", None, "");
    for (leaking, large, stent_state, coil_state) in [
        (None, None, waits("leaking"), waits("leaking")),
        (Some(Set::Yes), None, waits("large"), waits("large")),
        (Some(Set::No), None, other("leaking", No), other("leaking", No)),
        (Some(Set::Yes), Some(Set::Yes), done(30), other("large", Yes)),
        (Some(Set::Yes), Some(Set::No), other("large", No), perhaps(&[])),
        // One answer against a step decides, although the question before is open.
        (None, Some(Set::No), other("large", No), waits("leaking")),
        (Some(Set::No), Some(Set::Yes), other("leaking", No), other("leaking", No)),
    ] {
        let answers = [("leaking", &leaking), ("large", &large)];
        let set: Vec<_> =
            answers.iter().filter_map(|(q, set)| (*set).clone().map(|set| said(q, set))).collect();
        assert_eq!(state(&list, COURSE, &[stent], &set, "stent"), stent_state, "{set:?}");
        assert_eq!(state(&list, COURSE, &[stent], &set, "coil"), coil_state, "{set:?}");
        assert_eq!(state(&list, COURSE, &[stent], &set, "always"), perhaps(&[]));
    }
}

#[test]
fn what_a_person_set_for_a_step_wins_over_its_branch() {
    let set = [said("leaking", Set::No), said("coil", Set::DoneAt(25))];
    assert_eq!(state(&nested(), COURSE, &[], &set, "coil"), done(25));
}

#[test]
fn events_answer_only_when_they_agree() {
    let list = nested();
    let (yes, no) = (|at| event(at, "finding", "", None, ""), event(40, "outcome", "", None, ""));
    let settled = |answer, at| QuestionState::Settled { answer, by: SettledBy::Event { at } };
    for (events, expected) in [
        (vec![], QuestionState::Open),
        (vec![yes(35), yes(30)], settled(Answer::Yes, 30)),
        (vec![no], settled(Answer::No, 40)),
        (vec![yes(30), no], QuestionState::Open),
        (vec![yes(5)], QuestionState::Open),
    ] {
        assert_eq!(question(&list, COURSE, &events, &[], "leaking"), expected, "{events:?}");
    }
    let person = QuestionState::Settled { answer: Answer::No, by: SettledBy::Person };
    assert_eq!(question(&list, COURSE, &[yes(30)], &[said("leaking", Set::No)], "leaking"), person);
    let unknown = Course { onset: None, recognised: None, ..COURSE };
    assert_eq!(question(&list, unknown, &[yes(30)], &[], "leaking"), QuestionState::Open);
}

#[test]
fn the_mechanism_can_answer_and_a_question_waits_for_the_one_before_it() {
    let list = nested();
    let slow = Course { mechanism: "flow-slow", ..COURSE };
    let leaking: crate::response::Slug = "leaking".parse().unwrap();
    let by_mechanism = QuestionState::Settled { answer: Answer::No, by: SettledBy::Mechanism };
    assert_eq!(question(&list, slow, &[], &[], "large"), by_mechanism);
    let not_yet = QuestionState::NotYet { question: leaking.clone() };
    assert_eq!(question(&list, COURSE, &[], &[], "large"), not_yet);
    let not_asked = QuestionState::NotAsked { question: leaking, answer: Answer::No };
    assert_eq!(question(&list, slow, &[], &[said("leaking", Set::No)], "large"), not_asked);
    assert_eq!(question(&list, COURSE, &[], &[said("leaking", Set::Yes)], "large"), QuestionState::Open);
    // What is no answer answers nothing.
    let odd = [said("leaking", Set::DoneAt(3))];
    assert_eq!(question(&list, COURSE, &[], &odd, "leaking"), QuestionState::Open);
}
