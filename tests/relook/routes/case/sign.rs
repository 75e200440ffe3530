//! Signing a lesson, and what happens to a signature.

use crate::support::{CaseBuilder, Client, Page, StatusCode, TestApp, of};

async fn with_a_lesson() -> (TestApp, String) {
    let app = TestApp::init().await;
    let case = CaseBuilder::new("Signed")
        .event("+1", "wire", "Wire")
        .lesson("prevent", "Look twice.")
        .insert(&app)
        .await;
    let path = format!("/cases/{}", case.code);
    (app, path)
}

fn signature(page: &Page) -> String {
    page.texts("#lessons .signed").join(" ")
}

async fn sign(client: &Client, path: &str) -> Page {
    let answer = client.press(&client.get(path).await, "Sign it").await;
    answer.expect(StatusCode::SEE_OTHER);
    client.follow(&answer).await
}

#[tokio::test]
async fn an_attending_puts_a_name_and_a_day_under_a_lesson() {
    let (app, path) = with_a_lesson().await;
    let page = sign(&app.with_attending().await, &path).await;
    let today = app.app.today().in_words();
    assert_eq!(signature(&page), format!("Signed by Ada Attending, {today}."));
    assert_eq!(page.button("Sign it"), None);
    assert!(page.notice().unwrap().starts_with("Signed "), "{page}");
}

#[tokio::test]
async fn a_fellow_is_told_who_signs() {
    let (app, path) = with_a_lesson().await;
    let client = app.with_fellow().await;
    let page = client.get(&path).await;
    assert_eq!(signature(&page), "Not signed yet. An attending signs it.");
    assert_eq!(page.button("Sign it"), None);
}

#[tokio::test]
async fn a_signed_lesson_loses_its_signature_when_its_words_change_and_only_then() {
    for (changed, typed, keeps) in [
        ("the text", [("text", "Look three times.")], false),
        ("the kind", [("kind", "respond")], false),
        ("the event", [("event", "e1")], true),
        ("nothing", [("text", "Look twice.")], true),
    ] {
        let (app, path) = with_a_lesson().await;
        let client = app.with_attending().await;
        sign(&client, &path).await;
        let form = client.get(&format!("{path}/lessons/1/edit")).await;
        client.submit(&form, &format!("{path}/lessons/1"), &typed).await.expect(StatusCode::SEE_OTHER);
        let lesson = &app.case(of(path.trim_start_matches("/cases/"))).await.lessons[0].value;
        assert_eq!(
            (lesson.signed_by.is_some(), lesson.signed_on.is_some()),
            (keeps, keeps),
            "after a change of {changed}"
        );
    }
}

#[tokio::test]
async fn a_fellow_neither_changes_nor_takes_out_a_signed_lesson() {
    let (app, path) = with_a_lesson().await;
    sign(&app.with_attending().await, &path).await;
    let fellow = app.with_fellow().await;
    let page = fellow.get(&path).await;
    assert!(!page.links_to(&format!("{path}/lessons/1/edit")), "{page}");
    for answer in [
        fellow.get(&format!("{path}/lessons/1/edit")).await,
        fellow.post(&format!("{path}/lessons/1"), &[("kind", "prevent"), ("text", "Otherwise.")]).await,
        fellow.post(&format!("{path}/lessons/1/remove"), &[]).await,
    ] {
        answer.expect(StatusCode::FORBIDDEN);
        assert!(answer.text.contains("This lesson is signed. An attending changes it."), "{answer}");
    }
    assert!(signature(&fellow.get(&path).await).starts_with("Signed by Ada Attending"));
}

#[tokio::test]
async fn a_name_never_comes_under_words_that_were_not_read() {
    let (app, path) = with_a_lesson().await;
    let attending = app.with_attending().await;
    let opened = attending.get(&path).await;
    let fellow = app.with_fellow().await;
    let form = fellow.get(&format!("{path}/lessons/1/edit")).await;
    fellow
        .submit(&form, &format!("{path}/lessons/1"), &[("text", "Never look.")])
        .await
        .expect(StatusCode::SEE_OTHER);
    let late = attending.press(&opened, "Sign it").await;
    late.expect(StatusCode::CONFLICT);
    assert!(late.text.contains("read it again"), "{late}");
    assert!(signature(&attending.get(&path).await).starts_with("Not signed yet"));
    // Without what the page showed, nothing is signed either.
    attending.post(&format!("{path}/lessons/1/sign"), &[]).await.expect(StatusCode::CONFLICT);
    attending.post(&format!("{path}/lessons/99/sign"), &[]).await.expect(StatusCode::NOT_FOUND);
}

#[tokio::test]
async fn a_lesson_arrives_unsigned_whatever_its_form_claims() {
    let (app, path) = with_a_lesson().await;
    let fields = [
        ("kind", "prevent"),
        ("text", "Trust me."),
        ("signed_by", "Ada Attending"),
        ("signed_on", "2026-01-01"),
    ];
    app.with_fellow().await.post(&format!("{path}/lessons"), &fields).await.expect(StatusCode::SEE_OTHER);
    let case = app.case(of(path.trim_start_matches("/cases/"))).await;
    assert!(case.lessons.iter().all(|row| row.value.signed_by.is_none()), "{:?}", case.lessons);
}
