//! Withdrawing a case, putting it back, and purging it.

use axum::http::StatusCode;
use relook::case::{Stage, store};

use super::{changes, expect_whole};
use crate::support::{CaseBuilder, Client, Placed, TestApp};

const MARK: &str = "Zwetschgenknoedel";

async fn marked(app: &TestApp, stage: Stage) -> Placed {
    CaseBuilder::new(&format!("{MARK} in the lumen"))
        .complete()
        .stage(stage)
        .situation(&format!("{MARK} situation."))
        .narrative(&format!("{MARK} narrative."))
        .signed_lesson("prevent", &format!("{MARK} lesson."))
        .action(&format!("{MARK} action"), "2026-12-01")
        .insert(app)
        .await
}

async fn withdraw(client: &Client, case: &Placed) {
    let path = format!("/cases/{}/withdraw", case.code);
    let form = client.get(&path).await;
    let answer = client.submit(&form, &path, &[("because", "Recorded twice.")]).await;
    assert_eq!(answer.status, StatusCode::SEE_OTHER, "{answer}");
}

/// Pages on which a case of this kind stands while it is not withdrawn.
const PAGES: [&str; 8] = [
    "/",
    "/cases",
    "/cases?q=zwetschgenknoedel",
    "/library",
    "/library?q=zwetschgenknoedel",
    "/actions",
    "/actions.csv?show=all",
    "/rates",
];

#[tokio::test]
async fn a_withdrawn_case_is_on_no_page_and_in_no_count_and_comes_back_whole() {
    let app = TestApp::init().await;
    CaseBuilder::new("Another").complete().insert(&app).await;
    let case = marked(&app, Stage::Presented).await;
    let lead = app.with_quality_lead().await;
    let whole = app.case(case.code).await;
    let mut before = Vec::new();
    for page in PAGES {
        before.push(lead.get(page).await.html);
    }
    assert!(before.iter().filter(|html| html.contains(MARK)).count() >= 4);
    withdraw(&lead, &case).await;
    for page in PAGES {
        assert!(!lead.get(page).await.html.contains(MARK), "{page}");
    }
    assert_eq!(app.count_cases().await, 1);
    for path in ["", "/summary", "/case.json", "/case.toml", "/history", "/present", "/walk", "/judgements"] {
        lead.get(&format!("/cases/{}{path}", case.code)).await.expect(StatusCode::NOT_FOUND);
    }
    let mut conn = app.app.database.write().await.unwrap();
    assert!(relook::rates::store::compare(&mut conn).await.unwrap().is_empty());
    assert!(store::kept_otherwise(&mut conn).await.unwrap().is_empty());
    drop(conn);
    let page = lead.get("/settings/withdrawn").await;
    assert!(page.html.contains("Recorded twice.") && page.html.contains("Quinn Lead"), "{page}");
    let answer = lead.press(&page, &format!("Put it back: {}", case.code)).await;
    assert_eq!(answer.status, StatusCode::SEE_OTHER, "{answer}");
    let back = app.case(case.code).await;
    assert_eq!(back.to_case(), whole.to_case());
    assert_eq!(back.id, whole.id);
    let mut conn = app.app.database.write().await.unwrap();
    assert!(relook::rates::store::compare(&mut conn).await.unwrap().is_empty());
    assert!(store::kept_otherwise(&mut conn).await.unwrap().is_empty());
    drop(conn);
    for (page, was) in PAGES.iter().zip(before) {
        assert_eq!(lead.get(page).await.html.contains(MARK), was.contains(MARK), "{page}");
    }
    expect_whole(&app).await;
}

#[tokio::test]
async fn a_reason_is_asked_for_and_a_presented_case_is_withdrawn_by_who_signs() {
    let app = TestApp::init().await;
    let shown = marked(&app, Stage::Presented).await;
    let fellow = app.with_fellow().await;
    let path = format!("/cases/{}/withdraw", shown.code);
    fellow.get(&path).await.expect(StatusCode::CONFLICT);
    let refused = fellow.post(&path, &[("because", "x")]).await;
    refused.expect(StatusCode::CONFLICT);
    assert!(refused.html.contains("an attending or the quality lead withdraws it"), "{refused}");
    let attending = app.with_attending().await;
    let answer = attending.post(&path, &[("because", "  ")]).await;
    answer.expect(StatusCode::UNPROCESSABLE_ENTITY);
    assert!(answer.error_of("because").unwrap().contains("Say why"), "{answer}");
    assert_eq!(app.count_cases().await, 1);
    let own = CaseBuilder::new("Own").insert(&app).await;
    withdraw(&app.with_fellow().await, &own).await;
    assert_eq!(app.count_cases().await, 1);
    fellow
        .post(&format!("/settings/withdrawn/{}/put-back", own.code), &[])
        .await
        .expect(StatusCode::FORBIDDEN);
}

#[tokio::test]
async fn a_case_is_purged_only_after_its_time_and_then_nothing_of_its_words_is_left() {
    let app = TestApp::init().await;
    let other = CaseBuilder::new("Another").complete().insert(&app).await;
    let case = marked(&app, Stage::Presented).await;
    let lead = app.with_quality_lead().await;
    withdraw(&lead, &case).await;
    let purge = format!("/settings/withdrawn/{}/purge", case.code);
    let early = lead.post(&purge, &[]).await;
    early.expect(StatusCode::CONFLICT);
    assert!(early.html.contains("is kept until"), "{early}");
    app.execute(
        "update case_records set withdrawn_at = '2020-01-01T00:00:00Z' where withdrawn_at is not null",
    )
    .await;
    let answer = lead.post(&purge, &[]).await;
    assert_eq!(answer.status, StatusCode::SEE_OTHER, "{answer}");
    let findings = expect_whole(&app).await;
    assert!(findings.revisions > 3);
    let erased: Vec<_> = changes(&app, "case_records").await;
    let of_case = |id: i64| erased.iter().filter(move |change| change.case_id == Some(id));
    assert!(of_case(case.id).all(|change| change.fields.is_none() && change.erased.is_some()));
    assert!(of_case(other.id).all(|change| change.fields.is_some()), "nothing of another case goes");
    let page = lead.get("/settings/withdrawn").await;
    assert!(page.html.contains(&case.code.to_string()) && !page.html.contains(MARK), "{page}");
    lead.post(&format!("/settings/withdrawn/{}/put-back", case.code), &[])
        .await
        .expect(StatusCode::NOT_FOUND);
    // Neither its code nor its number is given again.
    let next = CaseBuilder::new("The next one").insert(&app).await;
    assert!(next.code.to_string() > case.code.to_string() && next.id > case.id, "{}", next.code);
    app.app.database.close().await;
    let bytes = app.file_bytes();
    let held = bytes.windows(MARK.len()).filter(|part| *part == MARK.as_bytes()).count();
    assert_eq!(held, 0, "the words are still in the file");
}

#[tokio::test]
async fn how_long_withdrawn_cases_are_kept_can_be_set() {
    let app = TestApp::init().await;
    let lead = app.with_quality_lead().await;
    let form = lead.get("/settings/withdrawn/term").await;
    assert_eq!(form.value("days"), "365");
    let wrong = lead.submit(&form, "/settings/withdrawn/term", &[("days", "3")]).await;
    wrong.expect(StatusCode::UNPROCESSABLE_ENTITY);
    assert!(wrong.error_of("days").unwrap().contains("30 to 3650"), "{wrong}");
    let saved = lead.submit(&form, "/settings/withdrawn/term", &[("days", "90")]).await;
    assert!(lead.follow(&saved).await.html.contains("90 days"));
    let stale = lead.submit(&form, "/settings/withdrawn/term", &[("days", "120")]).await;
    stale.expect(StatusCode::CONFLICT);
    app.with_attending().await.get("/settings/withdrawn").await.expect(StatusCode::FORBIDDEN);
}
