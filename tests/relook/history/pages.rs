//! The page of a case's history: what it tells, and what it keeps to itself.

use axum::http::StatusCode;
use relook::accounts::Role;
use relook::case::Stage;

use crate::support::{CaseBuilder, TestApp};

#[tokio::test]
async fn the_page_tells_who_changed_what_from_what_to_what() {
    let app = TestApp::init().await;
    let placed = CaseBuilder::new("A wire left the lumen").situation("Before.").insert(&app).await;
    let fellow = app.with_fellow().await;
    let form = fellow.get(&format!("/cases/{}/situation/edit", placed.code)).await;
    fellow.submit(&form, &format!("/cases/{}/situation", placed.code), &[("situation", "After.")]).await;
    let case = fellow.get(&format!("/cases/{}", placed.code)).await;
    assert!(case.links_to(&format!("/cases/{}/history", placed.code)));
    let page = fellow.get(&format!("/cases/{}/history", placed.code)).await;
    page.expect(StatusCode::OK);
    let first = &page.texts(".revision")[0];
    for word in ["Fay Fellow", "Case", "situation", "Before.", "After.", "as the case is now"] {
        assert!(first.contains(word), "{word}: {first}");
    }
    assert!(!first.contains("updated"), "{first}");
}

#[tokio::test]
async fn a_long_history_comes_in_pages() {
    let app = TestApp::init().await;
    let placed = CaseBuilder::new("A wire left the lumen").insert(&app).await;
    for _ in 0..35 {
        app.execute("update case_records set title = title || 'x'").await;
    }
    let fellow = app.with_fellow().await;
    let page = fellow.get(&format!("/cases/{}/history", placed.code)).await;
    assert_eq!(page.count(".revision"), 30);
    let older = page.link("Earlier changes").unwrap();
    let page = fellow.get(&older).await;
    assert_eq!(page.count(".revision"), 6);
    assert!(page.link("Earlier changes").is_none());
    assert!(page.link("The latest changes").is_some());
}

#[tokio::test]
async fn what_is_closed_stands_on_no_page_of_history() {
    let app = TestApp::init().await;
    let placed = CaseBuilder::new("A wire left the lumen").complete().insert(&app).await;
    let attending = app.with_attending().await;
    let path = format!("/cases/{}/judgements", placed.code);
    let typed = [("avoidability", "probably"), ("care", "as-most"), ("remark", "Only mine so far.")];
    let answer = attending.post(&path, &typed).await;
    assert_eq!(answer.status, StatusCode::SEE_OTHER, "{answer}");
    for role in [Role::Fellow, Role::Attending, Role::QualityLead] {
        let page = app.as_role(role).await.get(&format!("/cases/{}/history", placed.code)).await;
        assert!(!page.html.contains("Only mine so far."), "{role:?}");
        assert!(!page.html.contains("avoidability"), "{role:?}");
    }
}

#[tokio::test]
async fn readers_see_no_history_not_even_of_a_presented_case() {
    let app = TestApp::init().await;
    let placed = CaseBuilder::new("Shown").complete().stage(Stage::Presented).insert(&app).await;
    let reader = app.with_reader().await;
    reader.get(&format!("/cases/{}", placed.code)).await.expect(StatusCode::OK);
    reader.get(&format!("/cases/{}/history", placed.code)).await.expect(StatusCode::FORBIDDEN);
    reader.get(&format!("/cases/{}/history/1", placed.code)).await.expect(StatusCode::FORBIDDEN);
}

#[tokio::test]
async fn a_revision_of_another_case_is_no_version_of_this_one() {
    let app = TestApp::init().await;
    let one = CaseBuilder::new("One").insert(&app).await;
    let other = CaseBuilder::new("Another").insert(&app).await;
    let mut conn = app.app.database.read().await.unwrap();
    let of_other = relook::history::store::revisions_of_case(&mut conn, other.id).await.unwrap()[0].id;
    drop(conn);
    let fellow = app.with_fellow().await;
    for path in [of_other.to_string(), "0".to_owned(), "999999".to_owned()] {
        fellow.get(&format!("/cases/{}/history/{path}", one.code)).await.expect(StatusCode::NOT_FOUND);
        let restore = format!("/cases/{}/history/{path}/restore", one.code);
        fellow.post(&restore, &[]).await.expect(StatusCode::NOT_FOUND);
    }
}
