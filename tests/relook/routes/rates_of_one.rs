//! The page of one subject of the rates, its baseline and its files.

use relook::case::Stage;

use crate::support::{CaseBuilder, Page, StatusCode, TestApp};

const PATH: &str = "/rates/mechanism/flow-no-reflow";

/// So many brief cases of a mechanism in a month.
async fn cases(app: &TestApp, mechanism: &str, month: &str, count: usize) {
    for _ in 0..count {
        CaseBuilder::new("A case").month(month).mechanism(mechanism).insert(app).await;
    }
}

fn month(index: usize) -> String {
    format!("{}-{:02}", 2022 + index / 12, index % 12 + 1)
}

/// Thirty months with procedures; no-reflow twice a month, and nine times in one.
async fn department() -> TestApp {
    let app = TestApp::init().await;
    for index in 0..30 {
        app.count_procedures(&month(index), "all-pci", 120).await;
        cases(&app, "flow-no-reflow", &month(index), if index == 27 { 11 } else { 2 }).await;
    }
    app
}

fn of_page(page: &Page, selector: &str) -> String {
    page.texts(selector).join(" ")
}

#[tokio::test]
async fn a_mechanism_says_what_its_chart_and_its_watch_find() {
    let app = department().await;
    let page = app.with_fellow().await.get(&format!("{PATH}?from=2022-01&to=2024-06")).await;
    page.expect(StatusCode::OK);
    assert_eq!(of_page(&page, ".finding > h2"), "No-reflow: above its limit, April 2024");
    let text = of_page(&page, "main");
    for says in [
        "About 2.0 events are expected each time: too few for limits at 3 standard errors, so the limits are exact.",
        "April 2024: 11 of 120, 91.7 per 1,000, above the limit of",
        "Judged against January 2022 to August 2023: the first 20 points shown",
        "Only complicated cases carry features",
        "No cause is recorded in its 69 cases of the period.",
        "the sum for a rise reached its limit",
        "Anhøj and Olesen, PLoS One 2014;9:e113825",
        "Steiner et al., Biostatistics 2000;1:441",
    ] {
        assert!(text.contains(says), "{says}: {text}");
    }
    assert_eq!(page.count("figure svg[role=img]"), 2);
    assert!(page.links_to("/cases?mechanism=flow-no-reflow&from=2023-07&to=2024-06"));
    assert!(page.links_to("/rates/branch/flow"));
}

#[tokio::test]
async fn the_chart_can_be_switched_and_says_so_when_it_cannot_be_drawn() {
    let app = department().await;
    let client = app.with_fellow().await;
    for (query, says) in [
        ("chart=g", "Procedures between two events"),
        ("chart=p", "limits at 3 standard errors of the baseline"),
        ("chart=laney", "All points of the baseline are alike"),
        ("chart=u", "events by procedures and the rate are the same numbers"),
        ("chart=t", "Cases keep the month of their procedure and never its day"),
        ("every=quarter", "Q1"),
        ("rules=shift", "6 or more points on one side of the median"),
        ("rules=limits", "Rule that is on: a point beyond a limit."),
    ] {
        let page = client.get(&format!("{PATH}?from=2022-01&to=2024-06&{query}")).await;
        page.expect(StatusCode::OK);
        assert!(page.html.contains(says), "{query}: {says}: {page}");
    }
}

#[tokio::test]
async fn what_cannot_be_read_comes_back_marked_and_an_unknown_subject_is_not_there() {
    let app = TestApp::init().await;
    let client = app.with_fellow().await;
    for (query, field) in [
        ("chart=pie", "chart"),
        ("every=day", "every"),
        ("rules=all", "rules"),
        ("stratum=no-such", "stratum"),
        ("from=2024-05&to=2024-01", "to"),
    ] {
        let page = client.get(&format!("{PATH}?{query}")).await;
        page.expect(StatusCode::UNPROCESSABLE_ENTITY);
        assert!(page.error_of(field).is_some(), "{query}: {page}");
        assert_eq!(page.count("#results"), 0);
    }
    for path in ["/rates/mechanism/no-such", "/rates/branch/no-such", "/rates/whole/some", "/rates/tree/flow"]
    {
        client.get(path).await.expect(StatusCode::NOT_FOUND);
    }
}

#[tokio::test]
async fn an_empty_record_has_a_page_without_a_rate() {
    let app = TestApp::init().await;
    for path in [PATH, "/rates/branch/flow", "/rates/whole/any"] {
        let page = app.with_reader().await.get(path).await;
        page.expect(StatusCode::OK);
        assert!(of_page(&page, "main").contains("No month of the period has procedures at risk"), "{page}");
    }
}

#[tokio::test]
async fn a_stratum_counts_its_own_cases_over_its_own_procedures_and_names_what_it_leaves_out() {
    let app = TestApp::init().await;
    app.count_procedures("2026-01", "all-pci", 100).await;
    app.count_procedures("2026-01", "femoral-pci", 20).await;
    for access in [Some("femoral"), Some("radial"), None] {
        CaseBuilder::new("A case")
            .month("2026-01")
            .mechanism("flow-no-reflow")
            .with(|case| {
                case.procedure.access = access.map(|word| word.parse().unwrap()).into_iter().collect()
            })
            .insert(&app)
            .await;
    }
    let client = app.with_fellow().await;
    let all = client.get("/rates?from=2026-01&to=2026-01").await;
    let cells =
        |page: &Page| page.texts(".rates tbody.whole tr.line > td").into_iter().take(3).collect::<Vec<_>>();
    assert_eq!(cells(&all), ["3", "100 All PCI", "30.0"]);
    let femoral = client.get("/rates?from=2026-01&to=2026-01&stratum=femoral-pci").await;
    assert_eq!(cells(&femoral), ["1", "20 Femoral PCI", "50.0"]);
    assert!(
        femoral.html.contains("1 case of the period does not say whether the procedure was Femoral PCI"),
        "{femoral}"
    );
    let one = client.get(&format!("{PATH}?from=2026-01&to=2026-01&stratum=femoral-pci")).await;
    let finding = of_page(&one, ".finding");
    assert!(finding.contains("50.0 per 1,000 (1 of 20, Femoral PCI"), "{finding}");
}

#[tokio::test]
async fn actions_stand_at_their_day_with_the_rates_before_and_after() {
    let app = department().await;
    CaseBuilder::new("With an action")
        .month("2022-03")
        .stage(Stage::Closed)
        .mechanism("flow-no-reflow")
        .action("A tray in each laboratory", "2023-02-01")
        .with(|case| {
            let action = &mut case.actions[0];
            action.state = relook::case::ActionState::Done;
            action.done_on = Some("2023-01-20".parse().unwrap());
        })
        .insert(&app)
        .await;
    let page = app.with_fellow().await.get(&format!("{PATH}?from=2022-01&to=2024-06")).await;
    let text = of_page(&page, "main");
    assert!(text.contains("A1. A tray in each laboratory"), "{text}");
    assert!(
        text.contains("Before 17.4 per 1,000 (25 of 1,440, January 2022 to December 2022); after 16.7 per 1,000 (24 of 1,440, February 2023 to January 2024)"),
        "{text}"
    );
    assert!(text.contains("Probability that the rate fell: "), "{text}");
}

#[tokio::test]
async fn a_baseline_is_set_with_a_reason_by_the_quality_lead_alone_and_the_earlier_stay() {
    let app = department().await;
    let lead = app.with_quality_lead().await;
    let path = format!("{PATH}/baseline");
    app.with_attending().await.get(&path).await.expect(StatusCode::FORBIDDEN);
    let form = lead.get(&path).await;
    let base = form.value("base");
    let bad = lead
        .post(&path, &[("from", "2023-05"), ("to", "2023-01"), ("reason", "New pumps"), ("base", &base)])
        .await;
    bad.expect(StatusCode::UNPROCESSABLE_ENTITY);
    assert!(bad.error_of("to").is_some());
    assert_eq!(bad.value("from"), "2023-05");
    let fields = [
        ("from", "2022-06"),
        ("to", "2023-05"),
        ("reason", "New pumps since June."),
        ("base", base.as_str()),
    ];
    lead.post(&path, &fields).await.expect(StatusCode::SEE_OTHER);
    // A second form that was opened before is stale.
    let stale = lead
        .post(&path, &[("from", "2022-01"), ("to", "2022-12"), ("reason", "Mine"), ("base", &base)])
        .await;
    stale.expect(StatusCode::CONFLICT);
    let page = lead.get(&format!("{PATH}?from=2022-01&to=2024-06")).await;
    let text = of_page(&page, "main");
    assert!(text.contains("Judged against June 2022 to May 2023, set by hand."), "{text}");
    assert!(text.contains("New pumps since June."), "{text}");
}

#[tokio::test]
async fn drawings_are_files_and_small_counts_do_not_leave_in_them() {
    let app = department().await;
    let client = app.with_fellow().await;
    let file = |name: &str| format!("{PATH}/files/{name}?from=2022-01&to=2024-06");
    let csv = client.get(&file("rate.csv")).await;
    csv.expect(StatusCode::OK);
    let rows: Vec<&str> = csv.html.lines().collect();
    assert!(
        rows[0].starts_with(
            "from month,to month,No-reflow: cases,procedures at risk (All PCI),\"rate per 1,000"
        ),
        "{}",
        rows[0]
    );
    assert_eq!(rows.len(), 32);
    // Every month but one has 2 cases, which is below 5; the one with 11 cannot stand either way.
    // Nor can its limits, from which the baseline's events would follow.
    assert_eq!(rows[1], "2022-01,2022-01,hidden,120,,,,");
    assert!(!csv.html.contains(",2,120,"), "{}", csv.html);
    let sums = client.get(&file("cusum.csv")).await;
    assert!(sums.html.contains("the sums would give back monthly counts below 5"), "{}", sums.html);
    let svg = client.get(&file("rate.svg")).await;
    svg.expect(StatusCode::OK);
    assert!(
        svg.html.starts_with("<?xml") && svg.html.contains("For use inside the department"),
        "{}",
        svg.html
    );
    let png = client.get(&file("cusum.png")).await;
    png.expect(StatusCode::OK);
    assert!(png.html.contains("IHDR"), "no PNG");
    for missing in ["rate.pdf", "rate", "funnel.svg"] {
        client.get(&file(missing)).await.expect(StatusCode::NOT_FOUND);
    }
    client.get(&format!("{PATH}/files/rate.csv?from=x&to=y")).await.expect(StatusCode::BAD_REQUEST);
}

#[tokio::test]
async fn the_rates_leave_as_a_file_without_the_counts_that_are_too_small() {
    let app = TestApp::init().await;
    app.count_procedures("2026-01", "all-pci", 300).await;
    cases(&app, "flow-no-reflow", "2026-01", 30).await;
    cases(&app, "wire-subintimal", "2026-01", 3).await;
    cases(&app, "access-haematoma", "2026-01", 12).await;
    let client = app.with_fellow().await;
    let query = "from=2026-01&to=2026-01";
    let csv = client.get(&format!("/rates/files/rates.csv?{query}")).await;
    csv.expect(StatusCode::OK);
    let line = |name: &str| {
        csv.html
            .lines()
            .find(|line| line.starts_with(&format!("{name},")))
            .unwrap_or_else(|| panic!("{name}: {}", csv.html))
            .to_owned()
    };
    assert!(line("Wire dissection").contains(",hidden,hidden,,,,"), "{}", line("Wire dissection"));
    // The whole, less the other two, would give the three back, so more is hidden than the three.
    let shown = ["Any complication", "No-reflow", "Access-site bleed or haematoma"]
        .iter()
        .filter(|name| !line(name).contains(",hidden,"))
        .count();
    assert!(shown < 3, "{}", csv.html);
    for ending in ["svg", "png"] {
        client.get(&format!("/rates/files/rates.{ending}?{query}")).await.expect(StatusCode::OK);
    }
    client.get("/rates/files/rates.pdf").await.expect(StatusCode::NOT_FOUND);
    client.get("/rates/files/rates.csv?by=surgeon").await.expect(StatusCode::BAD_REQUEST);
}
