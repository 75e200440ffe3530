//! Which cases the plain facts tell apart, and what may leave of them.

use relook::case::{Age, Sex};

use crate::support::{CaseBuilder, Client, Role, StatusCode, TestApp};

const PATH: &str = "/export/combinations";

/// Seven women with one mechanism: six of one quarter in their seventies, one of another year.
async fn seven(app: &TestApp) -> Vec<String> {
    let mut codes = Vec::new();
    for (month, age) in [
        ("2025-01", 70),
        ("2025-01", 70),
        ("2025-02", 72),
        ("2025-02", 74),
        ("2025-03", 77),
        ("2025-03", 79),
        ("2022-08", 44),
    ] {
        let case = CaseBuilder::new("A vessel closed")
            .month(month)
            .mechanism("flow-no-reflow")
            .with(|case| {
                case.patient.age = Some(Age::from_years(age).unwrap());
                case.patient.sex = Some(Sex::Female);
            })
            .insert(app)
            .await;
        codes.push(case.code.to_string());
    }
    codes
}

async fn set_group(lead: &Client, group: &str) -> StatusCode {
    let form = lead.get("/settings/rates").await;
    lead.submit(&form, "/settings/rates", &[("group", group)]).await.status
}

#[tokio::test]
async fn the_page_says_how_many_stand_alone_and_lists_them() {
    let app = TestApp::init().await;
    let codes = seven(&app).await;
    let attending = app.with_attending().await;
    let page = attending.get(PATH).await;
    page.expect(StatusCode::OK);
    let state = page.texts(".state").join(" ");
    assert!(state.contains("5 of 7 cases stand alone by month, age, sex and mechanism."), "{state}");
    assert!(state.contains("None of them is one of 5 or more."), "{state}");
    assert_eq!(page.count("#results table tbody tr"), 6);
    for code in &codes {
        assert!(page.links_to(&format!("/cases/{code}/combination")), "{code}");
    }
    // By month alone: 2, 2, 2 and 1.
    let page = attending.get(&format!("{PATH}?age=hidden&sex=hidden&mechanism=hidden")).await;
    let state = page.texts(".state").join(" ");
    assert!(state.contains("1 of 7 cases stands alone by month."), "{state}");
    assert_eq!(page.texts("table tbody tr:first-child td").first().map(String::as_str), Some("August 2022"));
}

#[tokio::test]
async fn the_proposal_is_a_link_that_reaches_what_it_says() {
    let app = TestApp::init().await;
    seven(&app).await;
    let lead = app.with_quality_lead().await;
    let page = lead.get(&format!("{PATH}?left-out=none")).await;
    let taken = page.link("Take the proposal").unwrap();
    let after = lead.get(&taken).await;
    let state = after.texts(".state").join(" ");
    assert!(
        state.contains("No case stands alone") && state.contains("Every case is one of 5 or more."),
        "{state}"
    );
    assert!(after.html.contains("nothing has to change"), "{after}");
    // With one case of seven left out, a quarter and a band of ten years do: at 5 in 100 none may be.
    assert_eq!(set_group(&lead, "7").await, StatusCode::SEE_OTHER);
    let page = lead.get(PATH).await;
    assert!(page.html.contains("every case is one of 7 or more"), "{page}");
    assert_eq!(set_group(&lead, "8").await, StatusCode::SEE_OTHER);
    assert!(lead.get(PATH).await.html.contains("not even with every fact hidden"));
    for wrong in ["1", "21", "", "x", "5.5"] {
        assert_eq!(set_group(&lead, wrong).await, StatusCode::UNPROCESSABLE_ENTITY, "{wrong}");
    }
}

#[tokio::test]
async fn the_table_that_leaves_holds_groups_of_k_alone() {
    let app = TestApp::init().await;
    let codes = seven(&app).await;
    let lead = app.with_quality_lead().await;
    let file = lead.get("/export/combinations.csv?month=quarter&age=band10&place=hidden").await;
    file.expect(StatusCode::OK);
    assert_eq!(file.headers["content-disposition"], "attachment; filename=\"cases-one-of-5.csv\"");
    let mut table = csv::Reader::from_reader(file.html.as_bytes());
    assert_eq!(table.headers().unwrap(), vec!["Month", "Age", "Sex", "Mechanism", "Degree of harm"]);
    let rows: Vec<Vec<String>> =
        table.records().map(|row| row.unwrap().iter().map(str::to_owned).collect()).collect();
    assert_eq!(rows.len(), 6);
    for row in &rows {
        assert_eq!(row[..3], ["2025, first quarter", "70 to 79 years", "female"]);
    }
    for code in &codes {
        assert!(!file.html.contains(code.as_str()), "{code}");
    }
    let exact = lead.get("/export/combinations.csv").await;
    assert_eq!(exact.html.lines().count(), 1, "{}", exact.html);
    lead.get("/export/combinations.csv?month=band5").await.expect(StatusCode::BAD_REQUEST);
}

#[tokio::test]
async fn a_way_that_is_none_comes_back_marked() {
    let app = TestApp::init().await;
    seven(&app).await;
    let attending = app.with_attending().await;
    for (query, field) in [("month=band5", "month"), ("age=never", "age"), ("left-out=all", "left-out")] {
        let page = attending.get(&format!("{PATH}?{query}")).await;
        page.expect(StatusCode::UNPROCESSABLE_ENTITY);
        assert!(page.links_to(&format!("#{field}")), "{query}: {page}");
        assert_eq!(page.count("table"), 0);
    }
}

#[tokio::test]
async fn without_cases_the_page_says_what_it_will_do() {
    let app = TestApp::init().await;
    let page = app.with_attending().await.get(PATH).await;
    page.expect(StatusCode::OK);
    assert!(page.html.contains("No case is recorded yet") && page.links_to("/record"), "{page}");
}

#[tokio::test]
async fn only_those_who_sign_look() {
    let app = TestApp::init().await;
    let codes = seven(&app).await;
    let own = format!("/cases/{}/combination", codes[0]);
    for (role, may) in
        [(Role::Reader, false), (Role::Fellow, false), (Role::Attending, true), (Role::QualityLead, true)]
    {
        let client = app.as_role(role).await;
        let status = if may { StatusCode::OK } else { StatusCode::FORBIDDEN };
        for path in [PATH, "/export/combinations.csv", own.as_str()] {
            assert_eq!(client.get(path).await.status, status, "{role:?} {path}");
        }
        assert_eq!(client.get("/settings").await.links_to(PATH), may, "{role:?}");
    }
}

#[tokio::test]
async fn one_case_says_what_makes_it_rare_and_how_to_tell_it() {
    let app = TestApp::init().await;
    let codes = seven(&app).await;
    let attending = app.with_attending().await;
    let page = attending.get(&format!("/cases/{}/combination", codes[2])).await;
    page.expect(StatusCode::OK);
    let state = page.texts(".state").join(" ");
    assert!(state.contains("This case stands alone by month, age, sex and mechanism."), "{state}");
    assert!(state.contains("The age does most of it: without it, 2 cases look like this one."), "{state}");
    assert!(page.html.contains("2025, first quarter (quarter)"), "{page}");
    assert!(page.html.contains("70 to 79 years (bands of 10 years)"), "{page}");
    assert!(page.html.contains("In the protected summary it is one of 6."), "{page}");
    let summary = attending.get(&format!("/cases/{}/summary", codes[0])).await;
    assert!(summary.html.contains("This case is one of 2 by month, age, sex and mechanism."), "{summary}");
    attending.get("/cases/2031-999/combination").await.expect(StatusCode::NOT_FOUND);
}

#[tokio::test]
async fn the_protected_summary_tells_month_and_age_generally_and_no_code() {
    let app = TestApp::init().await;
    let codes = seven(&app).await;
    let fellow = app.with_fellow().await;
    let path = format!("/cases/{}", codes[2]);
    let plain = fellow.get(&format!("{path}/summary.md")).await;
    assert!(plain.html.contains("February 2025") && plain.html.contains("72 years"), "{}", plain.html);
    assert!(fellow.get(&format!("{path}/summary")).await.links_to(&format!("{path}/summary?protect=yes")));
    let text = fellow.get(&format!("{path}/summary.md?protect=yes")).await;
    assert_eq!(text.headers["content-disposition"], "attachment; filename=\"case-summary.md\"");
    assert!(text.html.contains("A case of 2025, first quarter"), "{}", text.html);
    assert!(text.html.contains("70 to 79 years"), "{}", text.html);
    for told in ["February", "72 years", codes[2].as_str()] {
        assert!(!text.html.contains(told), "{told}: {}", text.html);
    }
    let page = fellow.get(&format!("{path}/summary?protect=yes")).await;
    assert!(page.html.contains("one of 6 cases"), "{page}");
    // The one of another year is told without month and age; with all seven alike that is enough.
    let alone = fellow.get(&format!("/cases/{}/summary.md?protect=yes", codes[6])).await;
    assert!(!alone.html.contains("2022") && !alone.html.contains("44 years"), "{}", alone.html);
    assert!(
        fellow.get(&format!("{path}/case.toml")).await.html.contains("2025-02"),
        "the case file stays exact"
    );
}
