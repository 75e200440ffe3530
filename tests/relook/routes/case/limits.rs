//! What a case as a whole refuses: a chain of harms without a beginning, a list without an end.

use super::wrong_rows::first_edit;
use crate::support::{CaseBuilder, StatusCode, TestApp};

#[tokio::test]
async fn a_harm_that_would_follow_from_itself_is_told_once() {
    let app = TestApp::init().await;
    let case = CaseBuilder::new("Chain").complete().insert(&app).await;
    let client = app.with_fellow().await;
    let path = format!("/cases/{}", case.code);
    let edit = first_edit(&client, &path, "complications").await;
    let opened = client.get(&edit).await;
    let page = client.submit(&opened, edit.trim_end_matches("/edit"), &[("consequence_of", "c2")]).await;
    page.expect(StatusCode::UNPROCESSABLE_ENTITY);
    assert_eq!(
        page.errors(),
        ["It followed from: This harm would follow from itself. A chain of harms has a beginning."]
    );
    let of_itself = client.submit(&opened, edit.trim_end_matches("/edit"), &[("consequence_of", "c1")]).await;
    of_itself.expect(StatusCode::UNPROCESSABLE_ENTITY);
}

#[tokio::test]
async fn a_list_that_is_full_takes_no_more_rows() {
    let app = TestApp::init().await;
    let mut builder = CaseBuilder::new("Long");
    for second in 0..400 {
        builder = builder.event(&format!("+{}:{:02}", second / 60, second % 60), "finding", "Seen");
    }
    for _ in 0..60 {
        builder = builder.lesion("lad-mid");
    }
    let case = builder.insert(&app).await;
    let client = app.with_fellow().await;
    let path = format!("/cases/{}", case.code);
    let page = client
        .post(&format!("{path}/events"), &[("at", "+9:00"), ("kind", "finding"), ("text", "One more")])
        .await;
    page.expect(StatusCode::UNPROCESSABLE_ENTITY);
    assert!(page.text.contains("A case holds at most 400 events; this one has 401."), "{page}");
    assert_eq!(page.value("text"), "One more");
    let page = client.post(&format!("{path}/lesions"), &[("segment", "lad-mid")]).await;
    page.expect(StatusCode::UNPROCESSABLE_ENTITY);
    assert_eq!(page.errors(), ["This form: A case holds at most 60 lesions; this one has 61."]);
}
