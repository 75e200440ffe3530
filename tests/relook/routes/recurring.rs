//! Lessons that come back: joining them, what readers see of them, and how often they came.

use relook::case::{CaseCode, Stage};

use crate::support::{CaseBuilder, Client, Page, Role, StatusCode, TestApp};

const SHARED: &str = "Know where the wire tip is before you push.";

async fn case_of(app: &TestApp, month: &str, stage: Stage, lesson: &str) -> CaseCode {
    const NAMES: [&str; 12] = [
        "alpha", "beta", "gamma", "delta", "epsilon", "zeta", "eta", "theta", "iota", "kappa", "lambda", "mu",
    ];
    let name = NAMES[month[5..].parse::<usize>().unwrap() - 1];
    CaseBuilder::new(&format!("Branch lost, {name}"))
        .month(month)
        .stage(stage)
        .mechanism("wire-subintimal")
        .signed_lesson("prevent", lesson)
        .insert(app)
        .await
        .code
}

fn join_path(code: CaseCode, id: i64) -> String {
    format!("/cases/{code}/lessons/{id}/recurring")
}

async fn join(client: &Client, path: &str, answers: &[(&str, &str)]) -> Page {
    let form = client.get(path).await;
    client.submit(&form, path, answers).await
}

/// Three cases with one lesson each; the first two are joined, the last is not presented.
async fn with_lessons() -> (TestApp, [CaseCode; 3]) {
    let app = TestApp::init().await;
    let codes = [
        case_of(&app, "2025-02", Stage::Closed, "Show the tip of the wire twice.").await,
        case_of(&app, "2025-12", Stage::Presented, "A second view of the wire.").await,
        case_of(&app, "2025-07", Stage::Ready, "Nobody pushes the wire before its tip is seen.").await,
    ];
    let client = app.with_fellow().await;
    join(&client, &join_path(codes[0], 1), &[("recurring", "new"), ("shared", SHARED)])
        .await
        .expect(StatusCode::SEE_OTHER);
    join(&client, &join_path(codes[1], 2), &[("recurring", "1")]).await.expect(StatusCode::SEE_OTHER);
    (app, codes)
}

#[tokio::test]
async fn a_lesson_joins_others_and_keeps_its_words_and_its_signature() {
    let (app, codes) = with_lessons().await;
    let lesson = app.case(codes[0]).await.lessons[0].value.clone();
    assert_eq!(lesson.recurring.map(|text| text.to_string()).as_deref(), Some(SHARED));
    assert!(lesson.signed_by.is_some() && lesson.signed_on.is_some());
    assert_eq!(lesson.text.as_str(), "Show the tip of the wire twice.");
    let client = app.with_fellow().await;
    let page = client.get(&format!("/cases/{}", codes[0])).await;
    assert_eq!(page.link("One of two cases with this lesson").as_deref(), Some("/lessons/recurring/1"));
    assert_eq!(page.count("#lessons details"), 0, "no version was made");
    // The library leads there too, and finds it by the words that are shared.
    let library = client.get("/library?view=lessons&q=push").await;
    assert_eq!(library.texts(".lesson-text").len(), 2, "{library}");
    assert!(library.links_to("/lessons/recurring/1"));
    // It leaves again; nothing stays of a recurring lesson that no case has.
    for (code, id) in [(codes[0], 1), (codes[1], 2)] {
        join(&client, &join_path(code, id), &[("recurring", "alone")]).await.expect(StatusCode::SEE_OTHER);
    }
    assert_eq!(app.case(codes[0]).await.lessons[0].value.recurring, None);
    assert!(client.get("/lessons/recurring").await.has_heading("No lesson has come back yet"));
    client.get("/lessons/recurring/1").await.expect(StatusCode::NOT_FOUND);
}

#[tokio::test]
async fn the_one_that_a_lesson_is_likest_to_is_offered_first() {
    let (app, codes) = with_lessons().await;
    let far = CaseBuilder::new("Far")
        .mechanism("flow-no-reflow")
        .lesson("organise", "A tray of drugs in each room.")
        .insert(&app)
        .await
        .code;
    let client = app.with_fellow().await;
    let new = [("recurring", "new"), ("shared", "Drugs within reach.")];
    join(&client, &join_path(far, 4), &new).await.expect(StatusCode::SEE_OTHER);
    let page = client.get(&join_path(codes[2], 3)).await;
    let offered = page.texts("#recurring .choice");
    assert!(offered[0].starts_with(SHARED), "{offered:?}");
    assert!(
        offered[0]
            .contains("Twice in eleven months. In common: the same mechanism, the same kind and the word"),
        "{offered:?}"
    );
    assert!(offered[1].starts_with("Drugs within reach. Once, in January 2026."), "{offered:?}");
    assert_eq!(page.value("recurring"), "alone");
    assert!(page.text.contains("Prevent: Nobody pushes the wire before its tip is seen."), "{page}");
}

#[tokio::test]
async fn readers_see_presented_cases_and_how_many_others_there_are() {
    let (app, codes) = with_lessons().await;
    let fellow = app.with_fellow().await;
    join(&fellow, &join_path(codes[2], 3), &[("recurring", "1")]).await.expect(StatusCode::SEE_OTHER);
    let page = fellow.get("/lessons/recurring/1").await;
    assert!(page.text.contains("Three times in eleven months."), "{page}");
    assert!(page.text.contains("Branch lost, eta") && page.text.contains("· ready"), "{page}");
    assert!(page.links_to("/rates/mechanism/wire-subintimal"));
    let reader = app.with_reader().await;
    let page = reader.get("/lessons/recurring/1").await;
    assert!(
        page.text.contains("Twice in eleven months. One more case with it is not presented yet."),
        "{page}"
    );
    assert!(!page.html.contains("2025-07") && !page.html.contains("Nobody pushes"), "{page}");
    assert!(reader.get("/lessons/recurring").await.text.contains("Twice in eleven months."));
    // One that only cases that are not presented have is not there for a reader.
    for (code, id) in [(codes[0], 1), (codes[1], 2)] {
        join(&fellow, &join_path(code, id), &[("recurring", "alone")]).await.expect(StatusCode::SEE_OTHER);
    }
    fellow.get("/lessons/recurring/1").await.expect(StatusCode::OK);
    reader.get("/lessons/recurring/1").await.expect(StatusCode::NOT_FOUND);
    assert!(!reader.get("/lessons/recurring").await.html.contains(SHARED));
    for nothing in ["0", "999", "x"] {
        let page = reader.get(&format!("/lessons/recurring/{nothing}")).await;
        assert!(page.status.is_client_error(), "{page}");
    }
}

#[tokio::test]
async fn readers_do_not_join_lessons() {
    let (app, codes) = with_lessons().await;
    let reader = app.as_role(Role::Reader).await;
    reader.get(&join_path(codes[0], 1)).await.expect(StatusCode::FORBIDDEN);
    reader.post(&join_path(codes[0], 1), &[("recurring", "alone")]).await.expect(StatusCode::FORBIDDEN);
    let page = reader.get(&format!("/cases/{}", codes[0])).await;
    assert_eq!(page.link("Change what it is joined with"), None);
    assert!(page.links_to("/lessons/recurring/1"));
}

#[tokio::test]
async fn a_lesson_that_was_changed_meanwhile_is_not_joined_before_somebody_has_looked() {
    let (app, codes) = with_lessons().await;
    let client = app.with_attending().await;
    let path = join_path(codes[2], 3);
    let opened = client.get(&path).await;
    join(&client, &path, &[("recurring", "1")]).await.expect(StatusCode::SEE_OTHER);
    let typed = [("recurring", "new"), ("shared", "Words <b>of mine</b>.")];
    let stale = client.submit(&opened, &path, &typed).await;
    stale.expect(StatusCode::CONFLICT);
    assert!(stale.text.contains("Somebody saved this while you wrote"), "{stale}");
    assert!(stale.text.contains(SHARED) && stale.value("shared") == "Words <b>of mine</b>.", "{stale}");
    assert!(!stale.html.contains("<b>of mine"), "{stale}");
    assert_eq!(app.case(codes[2]).await.lessons[0].value.recurring.clone().unwrap().as_str(), SHARED);
    client.submit(&stale, &path, &[]).await.expect(StatusCode::SEE_OTHER);
    let held = app.case(codes[2]).await.lessons[0].value.recurring.clone().unwrap();
    assert_eq!(held.as_str(), "Words <b>of mine</b>.");
}

#[tokio::test]
async fn what_cannot_be_read_comes_back_with_what_was_typed() {
    let (app, codes) = with_lessons().await;
    let client = app.with_fellow().await;
    let path = join_path(codes[2], 3);
    let long = "x".repeat(601);
    for (answers, field) in [
        (vec![("recurring", "")], "recurring"),
        (vec![("recurring", "77")], "recurring"),
        (vec![("recurring", "<script>")], "recurring"),
        (vec![("recurring", "new"), ("shared", " ")], "shared"),
        (vec![("recurring", "new"), ("shared", long.as_str())], "shared"),
        (vec![("recurring", "alone"), ("shared", "Kept words.")], "shared"),
    ] {
        let page = join(&client, &path, &answers).await;
        page.expect(StatusCode::UNPROCESSABLE_ENTITY);
        assert!(page.error_of(field).is_some(), "{answers:?}: {page}");
        for (name, value) in answers.iter().filter(|(name, _)| *name == "shared") {
            assert_eq!(page.value(name), *value);
        }
        assert_eq!(app.case(codes[2]).await.lessons[0].value.recurring, None);
    }
    let page = client.get(&join_path(codes[2], 999)).await;
    page.expect(StatusCode::NOT_FOUND);
}
