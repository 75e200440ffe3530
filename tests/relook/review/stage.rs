//! Which stage a case may move to, and what to do next.

use relook::case::{Stage, StoredCase};
use relook::review::stage::{self, next_step};

use super::{Bench, FIRST_ENTRY, FULL, with};

async fn at(stage: &str, text: &str) -> StoredCase {
    let text = with(text, "stage = \"in-preparation\"", &format!("stage = \"{stage}\""));
    Bench::new().await.store(&text).await
}

const SIGNS: bool = true;
const DOES_NOT_SIGN: bool = false;

fn moves(case: &StoredCase, signs: bool) -> Vec<(Stage, bool, bool)> {
    stage::moves(case, signs).into_iter().map(|step| (step.to, step.back, step.allowed.is_ok())).collect()
}

#[tokio::test]
async fn a_full_case_walks_from_recorded_to_closed_one_step_at_a_time() {
    use Stage::{Closed, InPreparation, Presented, Ready, Recorded};
    let full = &with(FULL, "state = \"open\"", "state = \"done\"");
    let recorded = at("recorded", full).await;
    assert_eq!(moves(&recorded, DOES_NOT_SIGN), [(InPreparation, false, true)]);
    let prepared = at("in-preparation", full).await;
    assert_eq!(moves(&prepared, DOES_NOT_SIGN), [(Ready, false, true), (Recorded, true, true)]);
    let ready = at("ready", full).await;
    assert_eq!(moves(&ready, DOES_NOT_SIGN), [(Presented, false, true), (InPreparation, true, true)]);
    let presented = at("presented", full).await;
    assert_eq!(moves(&presented, SIGNS), [(Closed, false, true), (Ready, true, true)]);
    let closed = at("closed", full).await;
    assert_eq!(moves(&closed, SIGNS), [(Presented, true, true)]);
}

#[tokio::test]
async fn no_stage_is_jumped_over() {
    let case = at("in-preparation", FULL).await;
    for to in [Stage::Presented, Stage::Closed, Stage::InPreparation] {
        let refused = stage::allowed(&case, to, SIGNS).unwrap_err();
        assert!(refused.contains("one step at a time"), "{refused}");
    }
    assert_eq!(stage::allowed(&case, Stage::Ready, DOES_NOT_SIGN), Ok(()));
}

#[tokio::test]
async fn a_case_with_something_missing_does_not_become_ready_and_says_what() {
    let case = at("in-preparation", &with(FULL, "harm = \"moderate\"\n", "")).await;
    assert_eq!(
        stage::allowed(&case, Stage::Ready, SIGNS),
        Err("One thing is missing first: the degree of harm.".to_owned())
    );
}

#[tokio::test]
async fn a_ready_case_that_lost_something_is_not_presented() {
    let case = at("ready", &with(FULL, "harm = \"moderate\"\n", "")).await;
    assert!(stage::allowed(&case, Stage::Presented, SIGNS).is_err());
    assert_eq!(
        next_step(&case, SIGNS).sentence,
        "Ready, but no longer complete. One thing is missing before it is presented: the degree of harm."
    );
}

#[tokio::test]
async fn a_case_closes_when_no_action_is_open_and_only_by_who_signs() {
    let open = at("presented", FULL).await;
    assert_eq!(
        stage::allowed(&open, Stage::Closed, SIGNS),
        Err("One action is still open. A case is closed when its actions are done.".to_owned())
    );
    for settled in ["done", "dropped"] {
        let case = at("presented", &with(FULL, "state = \"open\"", &format!("state = \"{settled}\""))).await;
        assert_eq!(stage::allowed(&case, Stage::Closed, SIGNS), Ok(()));
        assert!(stage::allowed(&case, Stage::Closed, DOES_NOT_SIGN).is_err());
    }
}

#[tokio::test]
async fn only_who_signs_reopens_a_closed_case() {
    let case = at("closed", FULL).await;
    assert_eq!(stage::allowed(&case, Stage::Presented, SIGNS), Ok(()));
    assert!(stage::allowed(&case, Stage::Presented, DOES_NOT_SIGN).is_err());
}

#[tokio::test]
async fn the_next_step_of_a_new_case_is_to_prepare_it() {
    let case = Bench::new().await.store(FIRST_ENTRY).await;
    let step = next_step(&case, DOES_NOT_SIGN);
    assert!(step.sentence.contains("counts in the rates"));
    assert_eq!((step.label.as_str(), step.moves_to), ("Start preparing", Some(Stage::InPreparation)));
}

#[tokio::test]
async fn the_next_step_leads_to_the_first_missing_thing_and_counts_the_rest() {
    let case = Bench::new().await.store(&with(FIRST_ENTRY, "\"recorded\"", "\"in-preparation\"")).await;
    let step = next_step(&case, DOES_NOT_SIGN);
    assert_eq!(
        step.sentence,
        "In preparation. Eleven things are missing before it is ready: the situation in two sentences; the patient's age, sex and presentation; the procedure's access and urgency; eight more."
    );
    assert_eq!(
        (step.label.as_str(), step.href.as_str(), step.moves_to),
        ("Write the situation", "#situation", None)
    );
}

#[tokio::test]
async fn a_missing_signature_is_asked_of_who_can_give_it() {
    let unsigned = with(FULL, "signed_by = \"Interventional attending\"\nsigned_on = \"2025-04-10\"\n", "");
    let case = at("in-preparation", &unsigned).await;
    let attending = next_step(&case, SIGNS);
    assert_eq!((attending.label.as_str(), attending.href.as_str()), ("Sign the lessons", "#lessons"));
    let fellow = next_step(&case, DOES_NOT_SIGN);
    assert_eq!(fellow.href, "/summary");
    assert!(fellow.sentence.ends_with("The rest is an attending's to do."), "{}", fellow.sentence);
}

#[tokio::test]
async fn the_next_step_after_the_conference_is_the_actions_and_then_to_close() {
    let open = next_step(&at("presented", FULL).await, SIGNS);
    assert_eq!(open.sentence, "Presented. One action is open; the first is due on 30 June 2025.");
    assert_eq!(open.href, "#actions");
    let done = with(FULL, "state = \"open\"", "state = \"done\"");
    let case = at("presented", &done).await;
    assert_eq!(next_step(&case, SIGNS).moves_to, Some(Stage::Closed));
    assert_eq!(next_step(&case, DOES_NOT_SIGN).moves_to, None);
    assert_eq!(next_step(&at("closed", &done).await, SIGNS).href, "/summary");
}

#[tokio::test]
async fn a_step_that_is_a_move_is_always_a_move_that_is_allowed() {
    for stage in ["recorded", "in-preparation", "ready", "presented", "closed"] {
        for text in [FULL.to_owned(), with(FULL, "state = \"open\"", "state = \"done\"")] {
            for signs in [SIGNS, DOES_NOT_SIGN] {
                let case = at(stage, &text).await;
                if let Some(to) = next_step(&case, signs).moves_to {
                    assert_eq!(stage::allowed(&case, to, signs), Ok(()), "{stage}");
                }
            }
        }
    }
}
