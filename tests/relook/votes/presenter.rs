//! What the presenter's screens are told.

use relook::web::Settings;
use serde_json::{Value, json};

use super::{OPTIONS, QUESTION, case, close, open};
use crate::support::{CaseBuilder, Page, StatusCode, TestApp};

#[track_caller]
fn read(page: &Page) -> Value {
    assert_eq!(page.headers.get("content-type").unwrap(), "application/json", "{page}");
    assert_eq!(page.headers.get("cache-control").unwrap(), "no-store", "{page}");
    serde_json::from_str(&page.html).unwrap_or_else(|error| panic!("{error}: {page}"))
}

#[tokio::test]
async fn a_poll_is_told_with_its_counts() {
    let app = TestApp::init().await;
    let code = open(&app).await;
    let phone = app.phone();
    phone.get(&format!("/vote/{code}")).await.expect(StatusCode::OK);
    phone.post(&format!("/vote/{code}"), &[("option", "2")]).await.expect(StatusCode::SEE_OTHER);
    let presenter = app.with_fellow().await;
    let hands = presenter.post(&format!("/polls/{code}/hands"), &[("1", "12"), ("2", "5")]).await;
    hands.expect(StatusCode::OK);
    let page = presenter.get(&format!("/polls/{code}")).await;
    page.expect(StatusCode::OK);
    let told = read(&page);
    assert_eq!(read(&hands), told);
    let option = |position: usize, hands: u32, phones: u32| json!({ "position": position, "text": OPTIONS[position - 1], "hands": hands, "phones": phones });
    assert_eq!(told["question"], QUESTION);
    assert_eq!(told["phase"], "before");
    assert_eq!(told["open"], true);
    assert_eq!(told["options"], json!([option(1, 12, 0), option(2, 5, 1), option(3, 0, 0)]));
    assert_eq!(told["total"], 18);
}

#[tokio::test]
async fn without_a_second_door_the_presenter_is_told_how_to_open_it() {
    let app = TestApp::init().await;
    let code = open(&app).await;
    let told = read(&app.with_fellow().await.get(&format!("/polls/{code}")).await);
    assert_eq!((&told["address"], &told["qr"]), (&Value::Null, &Value::Null));
    assert!(told["hands_only"].as_str().unwrap().contains("--votes-on HOST:PORT"), "{told}");

    let settings =
        Settings { votes_address: Some("http://10.0.0.7:7351".parse().unwrap()), ..Settings::default() };
    let app = TestApp::with_settings(settings).await;
    let code = open(&app).await;
    let told = read(&app.with_fellow().await.get(&format!("/polls/{code}")).await);
    assert_eq!(told["address"], format!("http://10.0.0.7:7351/vote/{code}"));
    assert!(told["qr"].as_str().is_some_and(|drawing| drawing.starts_with("<svg")), "{told}");
    assert_eq!(told["hands_only"], Value::Null);
}

#[tokio::test]
async fn hands_come_late_and_repeated_and_count_once() {
    let app = TestApp::init().await;
    let code = open(&app).await;
    let presenter = app.with_attending().await;
    let path = format!("/polls/{code}/hands");
    close(&app, &code).await;
    for _ in 0..3 {
        presenter.post(&path, &[("3", "9")]).await.expect(StatusCode::OK);
    }
    assert_eq!(read(&presenter.get(&format!("/polls/{code}")).await)["total"], 9);
    for wrong in [
        &[][..],
        &[("4", "1")],
        &[("0", "1")],
        &[("1", "1000")],
        &[("1", "-1")],
        &[("1", "many")],
        &[("1", "5"), ("text", "x")],
    ] {
        let page = presenter.post(&path, wrong).await;
        page.expect(StatusCode::UNPROCESSABLE_ENTITY);
        assert!(read(&page)["error"].as_str().unwrap().ends_with('.'), "{page}");
    }
    let told = read(&presenter.get(&format!("/polls/{code}")).await);
    assert_eq!(told["options"][0]["hands"], 0, "a refused show of hands was half taken");
    assert_eq!(told["total"], 9);
}

#[tokio::test]
async fn the_presenter_closes_and_closing_again_is_no_fault() {
    let app = TestApp::init().await;
    let code = open(&app).await;
    let presenter = app.with_quality_lead().await;
    for _ in 0..2 {
        let page = presenter.post(&format!("/polls/{code}/close"), &[]).await;
        page.expect(StatusCode::OK);
        assert_eq!(read(&page)["open"], false);
    }
    app.phone().get(&format!("/vote/{code}")).await.expect(StatusCode::GONE);
}

#[tokio::test]
async fn only_who_writes_cases_sees_the_count() {
    let app = TestApp::init().await;
    let code = open(&app).await;
    let path = format!("/polls/{code}");
    app.with_reader().await.get(&path).await.expect(StatusCode::FORBIDDEN);
    app.signed_out().get(&path).await.expect(StatusCode::SEE_OTHER);
    app.with_reader().await.post(&format!("{path}/close"), &[]).await.expect(StatusCode::FORBIDDEN);
    app.signed_out().post(&format!("{path}/close"), &[]).await.expect(StatusCode::UNAUTHORIZED);
    assert_eq!(read(&app.with_fellow().await.get(&path).await)["open"], true);
    app.with_fellow().await.get("/polls/zzzzzz").await.expect(StatusCode::NOT_FOUND);
}

#[tokio::test]
async fn opening_asks_for_a_case_a_decision_point_and_a_phase() {
    let app = TestApp::init().await;
    let placed = case(&app).await;
    let presenter = app.with_fellow().await;
    let ask = async |case: &str, key: &str, phase: &str| {
        presenter.post(&format!("/cases/{case}/points/{key}/polls"), &[("phase", phase)]).await
    };
    let code = placed.code.to_string();
    ask(&code, "d7", "before").await.expect(StatusCode::NOT_FOUND);
    ask("2026-999", "d1", "before").await.expect(StatusCode::NOT_FOUND);
    ask(&code, "no_key", "before").await.expect(StatusCode::NOT_FOUND);
    let page = ask(&code, "d1", "during").await;
    page.expect(StatusCode::UNPROCESSABLE_ENTITY);
    assert!(read(&page)["error"].as_str().unwrap().contains("before, after"), "{page}");
}

#[tokio::test]
async fn a_decision_point_of_the_record_is_opened_once_and_again_in_the_other_phase() {
    let app = TestApp::init().await;
    let placed = CaseBuilder::new("Asked")
        .decision("d1", "+3:00", "Flow is gone. What next?", &["A second wire", "A stent at once"])
        .decision("d2", "+4:00", "And now?", &["The only way"])
        .with(|case| {
            case.decisions[0].chosen = "2".parse().ok();
            case.decisions[0].followed = "Flow came back.".parse().ok();
        })
        .insert(&app)
        .await;
    let presenter = app.with_fellow().await;
    let ask = async |key: &str, phase: &str| {
        presenter.post(&format!("/cases/{}/points/{key}/polls", placed.code), &[("phase", phase)]).await
    };
    let first = ask("d1", "before").await;
    first.expect(StatusCode::CREATED);
    assert!(!first.html.contains("Flow came back"), "{first}");
    let poll = read(&first);
    assert_eq!(poll["question"], "Flow is gone. What next?");
    assert_eq!(poll["options"][1]["text"], "A stent at once");
    let same = ask("d1", "before").await;
    same.expect(StatusCode::OK);
    assert_eq!(read(&same)["code"], poll["code"]);
    let after = ask("d1", "after").await;
    after.expect(StatusCode::CREATED);
    assert_ne!(read(&after)["code"], poll["code"]);
    let one = ask("d2", "before").await;
    one.expect(StatusCode::CONFLICT);
    assert!(read(&one)["error"].as_str().unwrap().contains("two to six options"), "{one}");
}

#[tokio::test]
async fn a_question_that_may_identify_somebody_is_put_to_no_phone() {
    let app = TestApp::init().await;
    let named = CaseBuilder::new("x")
        .complete()
        .decision("d2", "+30:00", "Ask Dr Marlow, or go on?", &["Ask", "Go on"])
        .insert(&app)
        .await;
    let presenter = app.with_fellow().await;
    let put = async |key: &str| {
        presenter.post(&format!("/cases/{}/points/{key}/polls", named.code), &[("phase", "before")]).await
    };
    let refused = put("d2").await;
    refused.expect(StatusCode::CONFLICT);
    assert!(read(&refused)["error"].as_str().unwrap().contains("“Dr Marlow” in this question"), "{refused}");
    put("d1").await.expect(StatusCode::CREATED);
}
