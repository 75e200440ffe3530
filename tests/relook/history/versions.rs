//! Earlier versions: read and brought back as they were.

use relook::case::{Case, StoredCase, store};

use super::expect_whole;
use crate::support::{CaseBuilder, TestApp};

async fn last_revision(app: &TestApp, case_id: i64) -> i64 {
    let mut conn = app.app.database.read().await.unwrap();
    relook::history::store::revisions_of_case(&mut conn, case_id).await.unwrap()[0].id
}

/// What a version of a case is made of: all but what stays when it is brought back.
fn version(case: &StoredCase) -> Case {
    Case { lessons: Vec::new(), actions: Vec::new(), stage: relook::case::Stage::Recorded, ..case.to_case() }
}

async fn restore(app: &TestApp, case: &StoredCase, revision: i64) -> bool {
    let mut tx = app.app.database.write().await.unwrap();
    let changed = store::restore(&mut tx, case.id, revision, app.app.now()).await.unwrap();
    tx.commit().await.unwrap();
    changed
}

#[tokio::test]
async fn every_version_that_a_case_went_through_comes_back_as_it_was() {
    let app = TestApp::init().await;
    let placed = CaseBuilder::new("A wire left the lumen")
        .complete()
        .decision("d7", "5:00", "Stent now?", &["Stent", "Wait"])
        .insert(&app)
        .await;
    let code = placed.code;
    let attending = app.with_attending().await;
    let mut versions = vec![(last_revision(&app, placed.id).await, version(&app.case(code).await))];
    let first = app.case(code).await;
    let (event, complication) = (first.events[0].id, first.complications[0].id);
    let decision = first.decisions[0].id;
    let edits: Vec<(String, Vec<(&str, &str)>)> = vec![
        (format!("/cases/{code}/situation"), vec![("situation", "Another situation.")]),
        (format!("/cases/{code}/procedure"), vec![("access", "femoral")]),
        (format!("/cases/{code}/patient"), vec![("history", "diabetes\nhypertension"), ("age", "71")]),
        (format!("/cases/{code}/events/{event}"), vec![("text", "Something else was seen.")]),
        (format!("/cases/{code}/decisions/{decision}"), vec![("question", "Stent at once?")]),
        (format!("/cases/{code}/complications/{complication}/remove"), vec![]),
        (format!("/cases/{code}/events/{event}/remove"), vec![]),
        (format!("/cases/{code}/complications/{complication}/put-back"), vec![]),
        (format!("/cases/{code}/narrative"), vec![("narrative", "")]),
    ];
    for (action, typed) in edits {
        let answer = if typed.is_empty() {
            attending.post(&action, &[]).await
        } else {
            let edit = format!("{action}/edit");
            let form = attending.get(&edit).await;
            attending.submit(&form, &action, &typed).await
        };
        assert_eq!(answer.status, 303, "{answer}");
        versions.push((last_revision(&app, placed.id).await, version(&app.case(code).await)));
    }
    for pair in versions.windows(2) {
        assert_ne!(pair[0], pair[1], "each edit makes a version");
        assert_ne!(pair[0].1, pair[1].1, "each edit changes the case");
    }
    // Backwards, forwards, and criss-cross.
    let order: Vec<usize> =
        (0..versions.len()).rev().chain(0..versions.len()).chain([7, 2, 9, 0, 5]).collect();
    for place in order {
        let (revision, expected) = &versions[place];
        restore(&app, &first, *revision).await;
        assert_eq!(version(&app.case(code).await), *expected, "version {place}");
        assert!(!restore(&app, &first, *revision).await, "it is there already");
    }
    expect_whole(&app).await;
    let mut tx = app.app.database.write().await.unwrap();
    assert!(store::kept_otherwise(&mut tx).await.unwrap().is_empty());
    assert!(relook::rates::store::compare(&mut tx).await.unwrap().is_empty());
}

#[tokio::test]
async fn reading_a_version_changes_nothing_and_bringing_it_back_is_a_change_of_its_own() {
    let app = TestApp::init().await;
    let placed = CaseBuilder::new("A wire left the lumen").complete().situation("Before.").insert(&app).await;
    let code = placed.code;
    let first = last_revision(&app, placed.id).await;
    let fellow = app.with_fellow().await;
    let form = fellow.get(&format!("/cases/{code}/situation/edit")).await;
    fellow.submit(&form, &format!("/cases/{code}/situation"), &[("situation", "After.")]).await;
    let head = expect_whole(&app).await.head;
    let page = fellow.get(&format!("/cases/{code}/history/{first}")).await;
    page.expect(axum::http::StatusCode::OK);
    assert!(page.html.contains("Before.") && !page.html.contains("After."), "{page}");
    assert_eq!(expect_whole(&app).await.head, head, "reading changes nothing");
    assert_eq!(app.case(code).await.head.situation.unwrap().as_str(), "After.");
    let answer = fellow.press(&page, "Bring this version back").await;
    let history = fellow.follow(&answer).await;
    assert!(history.notice().unwrap().contains("again as it was"), "{history}");
    assert_eq!(app.case(code).await.head.situation.unwrap().as_str(), "Before.");
    assert!(history.html.contains(&format!("Brought back what revision {first} left.")), "{history}");
    assert!(history.html.contains("After."), "what stood meanwhile stays to be read");
    assert_eq!(expect_whole(&app).await.revisions, u64::try_from(head.unwrap().0).unwrap() + 1);
}

#[tokio::test]
async fn lessons_actions_and_the_stage_stay_when_a_version_comes_back() {
    let app = TestApp::init().await;
    let placed = CaseBuilder::new("A wire left the lumen").complete().insert(&app).await;
    let first = last_revision(&app, placed.id).await;
    let attending = app.with_attending().await;
    let case = app.case(placed.code).await;
    let lesson = case.lessons[0].id;
    let action = format!("/cases/{}/lessons/{lesson}", placed.code);
    let form = attending.get(&format!("{action}/edit")).await;
    let answer =
        attending.submit(&form, &action, &[("text", "Look at the wire’s tip before each push.")]).await;
    assert_eq!(answer.status, 303, "{answer}");
    app.execute("update case_records set stage = 'presented'").await;
    let form = attending.get(&format!("/cases/{}/situation/edit", placed.code)).await;
    attending.submit(&form, &format!("/cases/{}/situation", placed.code), &[("situation", "After.")]).await;
    assert!(restore(&app, &case, first).await);
    let now = app.case(placed.code).await;
    assert_eq!(now.head.stage, relook::case::Stage::Presented);
    assert!(now.lessons[0].value.text.as_str().contains("before each push"));
    assert_eq!(now.head.situation, case.head.situation);
}
