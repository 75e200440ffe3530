//! The lists of response prompts that ship, beside the true trees and words of the program.

use relook::case::{Device, EventKind, Key};
use relook::department::PromptWords;
use relook::response::{LISTS, PromptList, Slug, standard_lists};
use relook::vocabulary::MechanismRole;

use crate::support::TestApp;

/// The complications that the reference of the definitions gives prompts for (section 16), and the
/// mechanism of the tree that is the complication itself.
const COMPLICATIONS: [(&str, &str); 8] = [
    ("acute-vessel-closure", "stent-thrombosis"),
    ("perforation", "balloon-perforation"),
    ("no-reflow", "flow-no-reflow"),
    ("side-branch-loss", "branch-jailed"),
    ("device-entrapment-embolisation", "wire-entrapment"),
    ("access-bleeding", "access-retroperitoneal"),
    ("anaphylaxis", "drug-allergy"),
    ("coronary-air", "flow-air"),
];

#[tokio::test]
async fn the_lists_that_ship_are_read_with_the_words_of_a_department() {
    let house = TestApp::init().await;
    let vocabulary = house.app.vocabulary();
    let lists = standard_lists(&PromptWords::of(&vocabulary).allowed()).unwrap();
    assert_eq!(lists.len(), LISTS.len());
    assert_eq!(house.app.department().prompts, lists);
    for list in &lists {
        for mechanism in list.mechanisms() {
            let leaf = vocabulary
                .mechanism(&mechanism.as_str().parse().unwrap())
                .unwrap_or_else(|| panic!("{}: the tree has no {mechanism}", list.slug()));
            assert_eq!(
                leaf.role,
                MechanismRole::Primary,
                "{}: {mechanism} is no harm of its own",
                list.slug()
            );
            assert!(!leaf.own && !leaf.retired);
        }
    }
}

#[tokio::test]
async fn each_complication_of_the_reference_has_its_list() {
    let house = TestApp::init().await;
    let department = house.app.department();
    for (slug, mechanism) in COMPLICATIONS {
        let lists: Vec<&Slug> =
            department.prompts.iter().filter(|list| list.is_for(mechanism)).map(PromptList::slug).collect();
        assert!(lists.iter().any(|list| **list == *slug), "{mechanism} brings up {lists:?}, not {slug}");
    }
    assert_eq!(department.prompts.len(), COMPLICATIONS.len());
}

#[tokio::test]
async fn every_word_of_the_lists_that_ship_is_one_of_the_record() {
    let house = TestApp::init().await;
    for list in &house.app.department().prompts {
        let step_signs = list.steps().iter().flat_map(|step| step.signs.iter().chain(&step.suggests));
        let question_signs =
            list.questions().iter().flat_map(|question| question.yes_signs.iter().chain(&question.no_signs));
        for sign in step_signs.chain(question_signs) {
            for kind in &sign.kinds {
                assert!(kind.as_str().parse::<EventKind>().is_ok(), "{}: {kind}", list.slug());
            }
            for device in &sign.devices {
                assert!(device.as_str().parse::<Device>().is_ok(), "{}: {device}", list.slug());
            }
        }
        // What a person says of a step is kept under its name, which is a key of the case.
        let questions = list.questions().iter().map(|question| &question.slug);
        for name in questions.chain(list.steps().iter().map(|step| &step.slug)).chain([list.slug()]) {
            assert!(name.as_str().parse::<Key>().is_ok(), "{}: {name}", list.slug());
        }
    }
}
