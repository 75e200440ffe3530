//! The page of rates.

use relook::vocabulary::{Mechanism, MechanismRole, store as vocabulary};

use crate::support::{CaseBuilder, Page, Role, StatusCode, TestApp, of};

/// Stores so many cases of a mechanism in a month.
async fn cases(app: &TestApp, mechanism: &str, month: &str, number: usize) {
    for _ in 0..number {
        CaseBuilder::new("A case").month(month).mechanism(mechanism).insert(app).await;
    }
}

/// The cells of the line with this label, the label first.
fn line(page: &Page, label: &str) -> Vec<String> {
    let labels = page.texts(".rates tr.line > th > a");
    let place = labels.iter().position(|found| found.starts_with(label));
    let place = place.unwrap_or_else(|| panic!("no line {label} among {labels:?}"));
    let id = format!(".rates tbody:nth-of-type({}) tr.line", place + 1);
    page.texts(&format!("{id} > th, {id} > td.num"))
}

/// What opens under the line with this label, as term and text.
fn opened(page: &Page, label: &str) -> String {
    let labels = page.texts(".rates tr.line > th > a");
    let place = labels.iter().position(|found| found.starts_with(label)).unwrap();
    page.texts(&format!(".rates tbody:nth-of-type({}) tr.opened", place + 1)).concat()
}

#[tokio::test]
async fn a_rate_stands_with_its_published_intervals_inputs_rule_and_source() {
    let app = TestApp::init().await;
    app.count_procedures("2026-01", "all-pci", 100).await;
    app.count_procedures("2026-02", "all-pci", 48).await;
    cases(&app, "flow-no-reflow", "2026-01", 9).await;
    cases(&app, "flow-no-reflow", "2026-02", 6).await;
    let page = app.with_fellow().await.get("/rates?from=2026-01&to=2026-02").await;
    page.expect(StatusCode::OK);
    // Newcombe, Stat Med 1998;17:857: 15/148, Wilson 0.0624 to 0.1605, exact 0.0578 to 0.1617.
    assert_eq!(
        line(&page, "No-reflow"),
        ["No-reflow", "15", "148 All PCI", "101.4", "62.4 to 160.5", "no rate", "none"]
    );
    let opened = opened(&page, "No-reflow");
    for part in [
        "57.8 to 161.7 per 1,000 (Clopper–Pearson",
        "Wilson score interval",
        "Wilson, J Am Stat Assoc 1927;22:209",
    ] {
        assert!(opened.contains(part), "{part}: {opened}");
    }
    assert!(page.links_to("/cases?mechanism=flow-no-reflow&from=2026-01&to=2026-02"), "{page}");
    let first = &page.texts(".rates tr.line > th")[0];
    assert_eq!(first, "Any complication");
    assert!(page.links_to("/rates/mechanism/flow-no-reflow"), "{page}");
    assert!(page.links_to("/rates/whole/any"), "{page}");
    assert_eq!(line(&page, "Any complication")[1..5], ["15", "148 All PCI", "101.4", "62.4 to 160.5"]);
    assert!(page.links_to("/cases?from=2026-01&to=2026-02"), "{page}");
}

#[tokio::test]
async fn the_period_before_stands_beside_and_a_published_difference_is_told() {
    let app = TestApp::init().await;
    app.count_procedures("2025-12", "all-pci", 80).await;
    app.count_procedures("2026-01", "all-pci", 70).await;
    cases(&app, "flow-no-reflow", "2025-12", 48).await;
    cases(&app, "flow-no-reflow", "2026-01", 56).await;
    let page = app.with_attending().await.get("/rates?from=2026-01&to=2026-01").await;
    let line = line(&page, "No-reflow");
    assert_eq!((line[3].as_str(), line[5].as_str()), ("800.0", "600.0 48 of 80"));
    // Newcombe, Stat Med 1998;17:873, method 10: 56/70 and 48/80 differ by 0.0524 to 0.3339.
    let opened = opened(&page, "No-reflow");
    assert!(opened.contains("+200.0 per 1,000 since the period before"), "{opened}");
    assert!(opened.contains("+52.4 to +333.9 (Newcombe): more than chance explains"), "{opened}");
    let finding = page.texts("#results h2")[0].clone();
    assert!(finding.starts_with("No-reflow rose from 600.0 to 800.0 per 1,000"), "{finding}");
    assert_eq!(page.texts("figcaption strong"), [finding]);
}

#[tokio::test]
async fn no_event_shows_what_the_procedures_still_allow() {
    let app = TestApp::init().await;
    app.count_procedures("2026-01", "all-pci", 20).await;
    app.count_procedures("2025-12", "all-pci", 300).await;
    let client = app.with_reader().await;
    // Newcombe, Stat Med 1998;17:857: 0/20, exact upper limit 0.1684.
    let page = client.get("/rates?from=2026-01&to=2026-01").await;
    assert_eq!(line(&page, "Any complication")[1..5], ["0", "20 All PCI", "0", "at most 168.4"]);
    let without = page.texts(".none-of tbody tr");
    assert!(without.iter().any(|row| row == "No-reflow 20 All PCI at most 168.4"), "{without:?}");
    assert!(opened(&page, "Any complication").contains("1 − 0.025^(1/n)"));
    // The closed form of the exact limit: 1 − 0.025^(1/n) (Clopper and Pearson, Biometrika 1934;26:404).
    let upper = (1.0 - 0.025_f64.powf(1.0 / 300.0)) * 1_000.0;
    let page = client.get("/rates?from=2025-12&to=2025-12").await;
    assert_eq!(line(&page, "Any complication")[4], format!("at most {upper:.1}"));
}

#[tokio::test]
async fn a_month_without_procedures_at_risk_is_left_out_and_named() {
    let app = TestApp::init().await;
    app.count_procedures("2026-01", "all-pci", 100).await;
    app.count_procedures("2026-03", "all-pci", 100).await;
    for month in ["2026-01", "2026-02", "2026-03"] {
        cases(&app, "flow-no-reflow", month, 1).await;
    }
    let page = app.with_fellow().await.get("/rates?from=2026-01&to=2026-03").await;
    assert_eq!(line(&page, "No-reflow")[1..4], ["2", "200 All PCI", "10.0"]);
    let opened = opened(&page, "No-reflow");
    assert!(opened.contains("All PCI was not counted in February 2026; 1 event is left out."), "{opened}");
}

#[tokio::test]
async fn more_events_than_procedures_give_a_sentence_and_no_rate() {
    let app = TestApp::init().await;
    app.count_procedures("2026-01", "all-pci", 1).await;
    cases(&app, "flow-no-reflow", "2026-01", 2).await;
    let page = app.with_fellow().await.get("/rates?from=2026-01&to=2026-01").await;
    page.expect(StatusCode::OK);
    assert_eq!(line(&page, "No-reflow")[1..4], ["2", "1 All PCI", "no rate"]);
    assert!(opened(&page, "No-reflow").contains("January 2026 (2 events, 1 procedure)"), "{page}");
}

#[tokio::test]
async fn cases_without_any_procedures_at_risk_are_counted_and_the_page_says_what_is_missing() {
    let app = TestApp::init().await;
    cases(&app, "flow-no-reflow", "2026-01", 1).await;
    let path = "/rates?from=2026-01&to=2026-01";
    let page = app.with_quality_lead().await.get(path).await;
    assert_eq!(line(&page, "No-reflow")[1..4], ["1", "not counted All PCI", "no rate"]);
    assert!(page.text.contains("so there are cases and no rates"), "{page}");
    assert_eq!(page.link("Enter procedures at risk").as_deref(), Some("/settings/procedures-at-risk"));
    let page = app.with_fellow().await.get(path).await;
    assert_eq!(page.link("Enter procedures at risk"), None);
}

#[tokio::test]
async fn branches_are_lines_too() {
    let app = TestApp::init().await;
    app.count_procedures("2026-01", "all-pci", 100).await;
    CaseBuilder::new("Both")
        .month("2026-01")
        .mechanism("wire-subintimal")
        .consequence("flow-no-reflow")
        .insert(&app)
        .await;
    let page = app.with_fellow().await.get("/rates?from=2026-01&to=2026-01&by=branch").await;
    assert_eq!(page.texts(".rates tr.line > th > a"), ["Any complication", "Wire", "Flow"]);
    assert_eq!(line(&page, "Wire")[1..4], ["1", "100 All PCI", "10.0"]);
    assert!(page.links_to("/cases?branch=wire&from=2026-01&to=2026-01"));
    assert_eq!(page.value("by"), "branch");
}

#[tokio::test]
async fn the_drawing_has_a_title_a_table_of_its_values_and_its_words() {
    let app = TestApp::init().await;
    app.count_procedures("2026-01", "all-pci", 148).await;
    cases(&app, "flow-no-reflow", "2026-01", 15).await;
    let page = app.with_fellow().await.get("/rates?from=2026-01&to=2026-01").await;
    assert_eq!(page.attr(".figure-block svg", "role").as_deref(), Some("img"));
    let rows = page.texts(".figure-block tbody tr");
    assert_eq!(rows, ["No-reflow 15 of 148 101.4 (62.4 to 160.5) no rate"]);
    assert!(page.texts("figcaption")[0].contains("n is written at the right"), "{page}");
    assert!(
        page.texts(".figure-block details p")[0].contains("No-reflow: 101.4 (62.4 to 160.5), 15 of 148.")
    );
}

#[tokio::test]
async fn without_months_the_page_shows_the_year_to_the_last_counted_month() {
    let app = TestApp::init().await;
    app.count_procedures("2025-03", "all-pci", 100).await;
    let client = app.with_fellow().await;
    for path in ["/rates", "/rates?from=&to=&by=", "/rates?from=+&to="] {
        let page = client.get(path).await;
        page.expect(StatusCode::OK);
        assert_eq!(
            (page.value("from"), page.value("to")),
            ("2024-04".to_owned(), "2025-03".to_owned()),
            "{path}"
        );
    }
}

#[tokio::test]
async fn a_period_that_cannot_be_read_comes_back_with_the_field_marked_and_what_was_typed() {
    let app = TestApp::init().await;
    let client = app.with_fellow().await;
    for (query, field, says) in [
        ("from=2025-06&to=2025-01", "to", "The period ends before it begins"),
        ("from=2005-01&to=2025-01", "from", "A period has at most 240 months"),
        ("from=2025-13&to=2025-12", "from", "A month is a year and a month"),
        ("from=2025-00&to=2025-12", "from", "A month is a year and a month"),
        ("from=1989-12&to=1990-12", "from", "from 1990 to 2100"),
        ("from=2100-12&to=2101-01", "to", "from 1990 to 2100"),
        ("from=2025-1&to=2025-12", "from", "A month is a year and a month"),
        ("from=January&to=2025-12", "from", "A month is a year and a month"),
        ("from=2025-01-01&to=2025-12", "from", "A month is a year and a month"),
        ("from=-2025-01&to=2025-12", "from", "A month is a year and a month"),
        ("from=99999999999999999999-01&to=2025-12", "from", "A month is a year and a month"),
        ("from=2025-01&to=", "to", "Give both months"),
        ("to=2025-01", "from", "Give both months"),
        ("from=2025-01&to=%FF%FE", "to", "did not arrive whole"),
        ("from=2025-01&to=%07", "to", "A month is a year and a month"),
        ("from=2025-01&to=2025-02&by=surgeon", "by", "is not a way to group"),
        ("from=%22%3E%3Cscript%3Ealert(1)%3C/script%3E&to=2025-02", "from", "A month is a year and a month"),
    ] {
        let page = client.get(&format!("/rates?{query}")).await;
        page.expect(StatusCode::UNPROCESSABLE_ENTITY);
        let error = page.error_of(field).unwrap_or_else(|| panic!("{query}: {field} is not marked: {page}"));
        assert!(error.contains(says), "{query}: {error}");
        assert!(page.errors().iter().any(|each| each.contains(says)), "{query}: {:?}", page.errors());
        assert_eq!(page.count("#results"), 0, "{query}");
        let typed: Vec<(String, String)> = form_urlencoded::parse(query.as_bytes()).into_owned().collect();
        for (name, value) in typed.iter().filter(|(name, _)| name != "by") {
            assert_eq!(&page.value(name), value, "{query}");
            // A month input empties itself of what is no month.
            let kind = page.attr(&format!("#{name}"), "type").unwrap();
            let is_month = value.is_empty() || value.parse::<relook::case::Month>().is_ok();
            assert_eq!(kind, if is_month { "month" } else { "text" }, "{query}");
        }
        assert!(!page.html.contains("<script>alert"), "{query}");
    }
    client.get("/rates?from=2005-02&to=2025-01").await.expect(StatusCode::OK);
}

#[tokio::test]
async fn every_role_sees_the_rates_and_nobody_else_does() {
    let app = TestApp::init().await;
    app.count_procedures("2026-01", "all-pci", 100).await;
    cases(&app, "flow-no-reflow", "2026-01", 3).await;
    for role in Role::ALL.iter().copied() {
        let page = app.as_role(role).await.get("/rates?from=2026-01&to=2026-01").await;
        page.expect(StatusCode::OK);
        // Rates come from all recorded cases, whoever looks.
        assert_eq!(line(&page, "No-reflow")[1], "3", "{role:?}");
        assert_eq!(
            page.text.contains("the list of cases shows you those that were presented"),
            role == Role::Reader
        );
    }
    app.signed_out().get("/rates").await.expect(StatusCode::SEE_OTHER);
}

#[tokio::test]
async fn an_empty_record_teaches_what_a_rate_is_made_of() {
    let app = TestApp::init().await;
    let page = app.with_quality_lead().await.get("/rates").await;
    page.expect(StatusCode::OK);
    assert!(page.has_heading("No rate yet"), "{page}");
    assert_eq!(page.count(".example"), 1);
    assert_eq!(page.count("table"), 0);
    assert_eq!(page.link("Enter procedures at risk").as_deref(), Some("/settings/procedures-at-risk"));
    let page = app.with_reader().await.get("/rates").await;
    assert_eq!(page.link("Enter procedures at risk"), None);
    assert!(page.text.contains("The quality lead enters the procedures at risk."), "{page}");
}

#[tokio::test]
async fn a_script_in_a_mechanism_of_the_department_s_own_is_text_on_the_page_and_in_the_drawing() {
    let app = TestApp::init().await;
    let label = "<script>alert(1)</script>\"'&";
    let leaf = Mechanism {
        slug: of("own-leaf"),
        branch: "wire".to_owned(),
        label: label.to_owned(),
        definition: label.to_owned(),
        example: label.to_owned(),
        words: Vec::new(),
        at_risk: of("all-pci"),
        role: MechanismRole::Primary,
        own: true,
        retired: false,
    };
    let mut tx = app.app.database.write().await.unwrap();
    vocabulary::add_mechanism(&mut tx, &leaf).await.unwrap();
    tx.commit().await.unwrap();
    app.app.reload_vocabulary().await.unwrap();
    app.count_procedures("2026-01", "all-pci", 100).await;
    cases(&app, "own-leaf", "2026-01", 1).await;
    let page = app.with_fellow().await.get("/rates?from=2026-01&to=2026-01").await;
    assert_eq!(line(&page, label)[1..4], ["1", "100 All PCI", "10.0"]);
    assert!(!page.html.contains("<script>"), "{page}");
    assert_eq!(page.count("script:not([src])"), 0);
    assert_eq!(page.count("[style]") + page.count("style"), 0);
}
