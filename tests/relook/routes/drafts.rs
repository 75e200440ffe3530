//! What somebody typed and did not save.

use crate::support::{CaseBuilder, Client, Role, StatusCode, TestApp};

const FIELDS: &str = "base=abc&was=x%3A1&narrative=What+nobody+%3Cb%3Eelse%3C%2Fb%3E+sees";

async fn keep(client: &Client, action: &str, fields: &str) -> StatusCode {
    let typed = [
        ("action", action),
        ("page", action),
        ("title", "A wire left the lumen: Narrative"),
        ("fields", fields),
    ];
    client.post("/drafts", &typed).await.status
}

fn of_form(action: &str) -> String {
    format!("/drafts/form?action={action}")
}

#[tokio::test]
async fn a_draft_is_kept_for_its_author_alone_and_offered_again() {
    let app = TestApp::init().await;
    let fellow = app.with_fellow().await;
    let action = "/cases/2026-001/narrative";
    assert_eq!(keep(&fellow, action, FIELDS).await, StatusCode::NO_CONTENT);
    // Another session of the same account: after a closed browser, an ended session, a new start.
    let later = app.with_fellow().await;
    let answer = later.get(&of_form(action)).await;
    answer.expect(StatusCode::OK);
    assert!(answer.html.contains("narrative=What+nobody"), "{answer}");
    let page = later.get("/drafts").await;
    assert!(
        page.html.contains("What nobody &#60;b&#62;else") || page.html.contains("What nobody &lt;b&gt;else"),
        "{page}"
    );
    assert!(page.links_to(action) && page.html.contains("One text is not saved."), "{page}");
    assert!(!page.html.contains(">abc<"), "what nobody sees is not shown");
    assert!(later.get("/").await.links_to("/drafts"));
    for role in [Role::Attending, Role::QualityLead, Role::Reader] {
        let other = app.as_role(role).await;
        other.get(&of_form(action)).await.expect(StatusCode::NO_CONTENT);
        assert!(!other.get("/drafts").await.html.contains("What nobody"), "{role:?}");
    }
}

#[tokio::test]
async fn a_saved_form_has_no_draft_any_more_and_a_refused_one_still_has() {
    let app = TestApp::init().await;
    let case = CaseBuilder::new("A wire left the lumen").insert(&app).await;
    let fellow = app.with_fellow().await;
    let action = format!("/cases/{}/situation", case.code);
    keep(&fellow, &action, "situation=Half+a+sentence").await;
    let form = fellow.get(&format!("{action}/edit")).await;
    fellow.submit(&form, &action, &[("title", "")]).await.expect(StatusCode::UNPROCESSABLE_ENTITY);
    fellow.get(&of_form(&action)).await.expect(StatusCode::OK);
    fellow.submit(&form, &action, &[("situation", "A whole one.")]).await.expect(StatusCode::SEE_OTHER);
    fellow.get(&of_form(&action)).await.expect(StatusCode::NO_CONTENT);
    assert!(!fellow.get("/").await.links_to("/drafts"));
}

#[tokio::test]
async fn a_draft_can_be_discarded_and_the_last_one_counts() {
    let app = TestApp::init().await;
    let fellow = app.with_fellow().await;
    keep(&fellow, "/cases/2026-001/narrative", "narrative=First").await;
    keep(&fellow, "/cases/2026-001/narrative", "narrative=Second").await;
    let page = fellow.get("/drafts").await;
    assert!(page.html.contains("Second") && !page.html.contains("First"), "{page}");
    fellow.press(&page, "Discard it: A wire left the lumen: Narrative").await.expect(StatusCode::SEE_OTHER);
    assert!(fellow.get("/drafts").await.has_heading("Nothing waits"));
}

#[tokio::test]
async fn drafts_have_an_end() {
    let app = TestApp::init().await;
    let fellow = app.with_fellow().await;
    for number in 0..45 {
        keep(&fellow, &format!("/cases/2026-{number:03}/narrative"), "narrative=x").await;
    }
    assert_eq!(fellow.get("/drafts").await.count(".items > li"), 40);
    let long = format!("narrative={}", "x".repeat(300 * 1024));
    assert_eq!(keep(&fellow, "/cases/2026-001/narrative", &long).await, StatusCode::BAD_REQUEST);
    assert_eq!(keep(&fellow, "//elsewhere.example/", "x=y").await, StatusCode::BAD_REQUEST);
    app.execute("update drafts set written_at = '2020-01-01T00:00:00Z'").await;
    assert!(fellow.get("/drafts").await.has_heading("Nothing waits"));
}

#[tokio::test]
async fn who_is_not_signed_in_keeps_no_draft() {
    let app = TestApp::init().await;
    let visitor = app.signed_out();
    assert_eq!(keep(&visitor, "/cases/2026-001/narrative", FIELDS).await, StatusCode::UNAUTHORIZED);
    assert_eq!(visitor.get("/drafts").await.status, StatusCode::SEE_OTHER);
}

#[tokio::test]
async fn a_draft_is_in_no_history() {
    let app = TestApp::init().await;
    let fellow = app.with_fellow().await;
    let mut conn = app.app.database.read().await.unwrap();
    let before = relook::history::store::head(&mut conn).await.unwrap();
    keep(&fellow, "/cases/2026-001/narrative", FIELDS).await;
    assert_eq!(relook::history::store::head(&mut conn).await.unwrap(), before);
}
