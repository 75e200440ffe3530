//! The first entry of a case.

use relook::case::Stage;

use crate::support::{CaseBuilder, Role, StatusCode, TestApp, of};

const SITUATION: &str = "After the LAD stent the first diagonal closed. It came back with a small balloon.";

#[tokio::test]
async fn three_answers_make_a_case() {
    let app = TestApp::init().await;
    let client = app.with_fellow().await;
    let form = client.get("/record").await;
    form.expect(StatusCode::OK);
    assert_eq!(form.heading(), "Record a complication");
    assert_eq!(form.value("month"), app.app.this_month().to_string());
    assert_eq!(form.field("What happened").unwrap().name, "mechanism");

    let typed = [("month", "2026-02"), ("mechanism", "branch-jailed"), ("situation", SITUATION)];
    let answer = client.submit(&form, "/record", &typed).await;
    answer.expect(StatusCode::SEE_OTHER);
    assert_eq!(answer.location(), "/cases/2026-001");
    let page = client.follow(&answer).await;
    page.expect(StatusCode::OK);
    assert_eq!(page.heading(), "After the LAD stent the first diagonal closed");
    let notice = page.notice().unwrap();
    assert!(
        notice.starts_with("Recorded as 2026-001 at ") && notice.contains("counts in the rates"),
        "{notice}"
    );
    assert_eq!(page.texts("#situation .lead"), [SITUATION]);
    // The notice is said once.
    assert_eq!(client.get("/cases/2026-001").await.notice(), None);

    let case = app.case(of("2026-001")).await;
    assert_eq!(case.head.stage, Stage::Recorded);
    assert_eq!(case.recorded_by, Some(app.user(Role::Fellow).await.id));
    assert_eq!(case.complications[0].value.mechanism.as_str(), "branch-jailed");
}

#[tokio::test]
async fn codes_count_up_in_each_year_of_the_procedure() {
    let app = TestApp::init().await;
    let client = app.with_attending().await;
    let mut codes = Vec::new();
    for month in ["2026-02", "2025-12", "2026-01", "2025-01"] {
        let answer = client
            .post("/record", &[("month", month), ("mechanism", "flow-no-reflow"), ("situation", SITUATION)])
            .await;
        codes.push(answer.location().to_owned());
    }
    assert_eq!(codes, ["/cases/2026-001", "/cases/2025-001", "/cases/2026-002", "/cases/2025-002"]);
}

#[tokio::test]
async fn a_case_counts_in_the_rates_from_its_first_entry() {
    let app = TestApp::init().await;
    let client = app.with_fellow().await;
    for month in ["2026-01", "2026-02"] {
        app.count_procedures(month, "all-pci", 100).await;
    }
    CaseBuilder::new("Earlier").month("2026-01").mechanism("flow-no-reflow").insert(&app).await;
    let rate = |text: String| text.split("The department's rate").nth(1).map(str::to_owned).unwrap();
    let before = rate(client.get("/cases/2026-001").await.text);
    client
        .post("/record", &[("month", "2026-02"), ("mechanism", "flow-no-reflow"), ("situation", SITUATION)])
        .await;
    let after = rate(client.get("/cases/2026-001").await.text);
    assert!(before.contains("1 in 200") || before.contains("1 of 200"), "{before}");
    assert!(after.contains("2 in 200") || after.contains("2 of 200"), "{after}");
}

#[tokio::test]
async fn a_first_sentence_that_is_too_long_for_a_title_gives_way_to_the_mechanism() {
    let app = TestApp::init().await;
    let client = app.with_fellow().await;
    let long = format!("{} and then it was over.", "It went on and on ".repeat(8));
    client
        .post("/record", &[("month", "2026-02"), ("mechanism", "flow-no-reflow"), ("situation", &long)])
        .await;
    let title = app.case(of("2026-001")).await.head.title.to_string();
    assert_eq!(title, app.app.vocabulary().mechanism_label(&of("flow-no-reflow")));
}

#[tokio::test]
async fn two_who_record_at_the_same_moment_get_two_codes() {
    let app = TestApp::init().await;
    let (one, other) = (app.with_fellow().await, app.with_attending().await);
    let fields = [("month", "2026-02"), ("mechanism", "flow-no-reflow"), ("situation", SITUATION)];
    let (first, second) = tokio::join!(one.post("/record", &fields), other.post("/record", &fields));
    let mut codes = [first.location(), second.location()];
    codes.sort_unstable();
    assert_eq!(codes, ["/cases/2026-001", "/cases/2026-002"]);
}
