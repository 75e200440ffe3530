//! The quarterly report, as a page and as Markdown.

mod hidden;

use relook::case::{ActionState, Day, Month};
use relook::rates::{self, Settings, suppress::SmallestCount};
use relook::review::report::Quarter;

use crate::support::{CaseBuilder, Page, Role, StatusCode, TestApp, of};

/// Stores so many cases of a mechanism in a month.
async fn cases(app: &TestApp, mechanism: &str, month: &str, number: usize) {
    for _ in 0..number {
        CaseBuilder::new("A case").month(month).mechanism(mechanism).insert(app).await;
    }
}

/// Sets the smallest count that leaves the department.
async fn leaves(app: &TestApp, smallest: u64) {
    let settings = Settings { smallest: SmallestCount::try_from(smallest).unwrap(), ..Settings::default() };
    let mut tx = app.app.database.write().await.unwrap();
    rates::store::set_settings(&mut tx, &settings).await.unwrap();
    tx.commit().await.unwrap();
}

/// The text of a section of the page, its heading left out.
fn section(page: &Page, heading: &str) -> String {
    let heads = page.texts("article > section > h2");
    let place = heads.iter().position(|head| head == heading);
    let place = place.unwrap_or_else(|| panic!("no section {heading} among {heads:?}"));
    page.texts("article > section")[place].strip_prefix(heading).unwrap_or_default().trim().to_owned()
}

/// 48 of 80 in the last quarter of 2025, then 56 of 70: Newcombe, Stat Med 1998;17:873, method 10.
async fn published(app: &TestApp) {
    for (month, procedures, events) in [
        ("2025-10", 30, 18),
        ("2025-11", 30, 18),
        ("2025-12", 20, 12),
        ("2026-01", 30, 24),
        ("2026-02", 20, 16),
    ] {
        app.count_procedures(month, "all-pci", procedures).await;
        cases(app, "flow-no-reflow", month, events).await;
    }
    app.count_procedures("2026-03", "all-pci", 20).await;
    cases(app, "flow-no-reflow", "2026-03", 16).await;
}

#[tokio::test]
async fn a_quarter_stands_beside_the_one_before_with_published_intervals_lessons_and_actions() {
    let app = TestApp::init().await;
    published(&app).await;
    app.count_procedures("2026-01", "bifurcation-pci", 12).await;
    let done = CaseBuilder::new("The one that taught")
        .month("2026-04")
        .mechanism("flow-no-reflow")
        .signed_lesson("prevent", "Take a second view before the balloon.")
        .action("vasodilator drawn up before each stent", "2026-03-01")
        .with(|case| {
            case.actions[0].state = ActionState::Done;
            case.actions[0].done_on = Some(of("2026-01-20"));
        })
        .action("A card on the wall", "2026-03-31")
        .insert(&app)
        .await
        .code;
    let page = app.with_fellow().await.get("/rates/report?quarter=2026-Q1").await;
    page.expect(StatusCode::OK);
    assert_eq!(page.heading(), "Quarterly report, January to March 2026");
    assert_eq!(
        page.texts("article > section > h2"),
        [
            "Volumes",
            "Rates",
            "Signals",
            "Mechanisms that moved",
            "Lessons signed",
            "Actions",
            "After finished actions",
            "Cautions"
        ]
    );
    assert_eq!(
        page.texts(".confidential"),
        ["Confidential. Peer review and teaching. 2026-Q1, made from the record."]
    );
    let lead = &page.texts(".lead")[0];
    assert!(
        lead.starts_with("In January to March 2026, 56 of 70 PCI had a complication: 800.0 per 1,000"),
        "{lead}"
    );
    assert!(lead.contains("No-reflow rose from 600.0 to 800.0 per 1,000"), "{lead}");
    assert!(lead.ends_with("1 lesson signed, 1 action done, 1 overdue."), "{lead}");

    let volumes = section(&page, "Volumes");
    assert!(volumes.contains("All PCI 70 80 Bifurcation PCI 12 not counted"), "{volumes}");
    assert!(
        volumes.contains("Not counted in February 2026 and March 2026, and left out: Bifurcation PCI."),
        "{volumes}"
    );
    let rates = section(&page, "Rates");
    for part in [
        "Any complication: +200.0 per 1,000 against October to December 2025, 95 % interval +52.4 to +333.9: more than chance explains.",
        ", 56 of 70",
        ", 48 of 80",
        "+200.0 (+52.4 to +333.9)",
    ] {
        assert!(rates.contains(part), "{part}: {rates}");
    }
    assert_eq!(page.attr("article .figure-block svg", "role").as_deref(), Some("img"));
    let moved = section(&page, "Mechanisms that moved");
    assert!(
        moved.starts_with("No-reflow rose from 600.0 to 800.0 per 1,000 (48 of 80, then 56 of 70;"),
        "{moved}"
    );
    let lessons = section(&page, "Lessons signed");
    assert_eq!(lessons, format!("Prevent. Take a second view before the balloon. Case {done}."));
    let actions = section(&page, "Actions");
    assert!(
        actions
            .contains("Vasodilator drawn up before each stent. Owner: cath-lab lead nurse. Due 1 March 2026"),
        "{actions}"
    );
    assert!(actions.contains("Overdue at its end A card on the wall."), "{actions}");
    let effects = section(&page, "After finished actions");
    // 40 procedures after January are fewer than are compared.
    assert!(effects.contains("No-reflow: too few procedures"), "{effects}");
    assert!(!page.text.contains("Ada Attending"), "the report names who signed: {}", page.text);
}

#[tokio::test]
async fn the_markdown_says_what_the_page_says() {
    let app = TestApp::init().await;
    published(&app).await;
    let client = app.with_attending().await;
    let page = client.get("/rates/report?quarter=2026-Q1").await;
    let link = page.link("Markdown").unwrap();
    assert_eq!(link, "/rates/report/files/markdown?quarter=2026-Q1");
    let file = client.get(&link).await;
    file.expect(StatusCode::OK);
    assert_eq!(file.headers["content-type"], "text/markdown; charset=utf-8");
    assert!(file.headers["content-disposition"].to_str().unwrap().contains("report-2026-Q1.md"));
    assert!(file.html.starts_with("# Quarterly report, January to March 2026\n"), "{}", file.html);
    for part in ["## Volumes", "## Cautions", "+200.0 (+52.4 to +333.9)", "56 of 70", "Confidential"] {
        assert!(file.html.replace('\u{a0}', " ").contains(part), "{part}: {}", file.html);
    }
}

/// Two a month for 24 months, then fourteen.
async fn a_peak_in_may(app: &TestApp) {
    for index in 0..26 {
        let month = of::<Month>("2024-04").plus(index).to_string();
        app.count_procedures(&month, "all-pci", 150).await;
        cases(app, "flow-no-reflow", &month, if month == "2026-05" { 14 } else { 2 }).await;
    }
    app.count_procedures("2026-06", "all-pci", 150).await;
}

#[tokio::test]
async fn a_signal_is_told_without_its_numbers_unless_nothing_is_hidden() {
    let app = TestApp::init().await;
    a_peak_in_may(&app).await;
    CaseBuilder::new("Acted")
        .month("2026-06")
        .mechanism("flow-no-reflow")
        .action("a new card", "2025-09-01")
        .with(|case| {
            case.actions[0].state = ActionState::Done;
            case.actions[0].done_on = Some(of("2025-09-03"));
        })
        .insert(&app)
        .await;
    let client = app.with_quality_lead().await;
    let page = client.get("/rates/report?quarter=2026-Q2").await;
    let signals = section(&page, "Signals");
    assert!(
        signals.contains("No-reflow. May 2026: beyond a limit of its chart, which speaks for more events."),
        "{signals}"
    );
    assert!(signals.contains("May 2026: the watch for a rise reached its limit."), "{signals}");
    assert!(
        page.texts(".lead")[0].contains("Signals speak for more events of any complication and no-reflow"),
        "{page}"
    );
    let effects = section(&page, "After finished actions");
    assert!(effects.contains("No-reflow: more events per procedure after it"), "{effects}");
    assert!(effects.contains("Compared: October 2025 to June 2026 with"), "{effects}");
    assert!(!page.text.contains("14 of 150") && !effects.contains(" of 1,"), "{}", page.text);
    // The quarter before holds the steady rate, and no signal of it is told again.
    let before = client.get("/rates/report?quarter=2026-Q1").await;
    assert!(!section(&before, "Signals").contains("May 2026"), "{before}");

    leaves(&app, 1).await;
    let page = client.get("/rates/report?quarter=2026-Q2").await;
    let signals = section(&page, "Signals");
    assert!(signals.contains("May 2026: 14 of 150, 93.3 per 1,000, above the limit of"), "{signals}");
    let effects = section(&page, "After finished actions");
    assert!(effects.contains("before ") && effects.contains("Probability that the rate fell"), "{effects}");
}

#[tokio::test]
async fn cases_without_denominators_are_counted_and_have_no_rate() {
    let app = TestApp::init().await;
    cases(&app, "flow-no-reflow", "2026-02", 6).await;
    let page = app.with_fellow().await.get("/rates/report?quarter=2026-Q1").await;
    let lead = &page.texts(".lead")[0];
    assert!(
        lead.starts_with(
            "6 cases of January to March 2026 were recorded; there is no rate, because no month's procedures"
        ),
        "{lead}"
    );
    assert!(section(&page, "Volumes").starts_with("Not recorded: procedures at risk"), "{page}");
    assert!(section(&page, "Rates").contains("No-reflow 6 events, no rate"), "{page}");
    assert_eq!(page.count("article svg"), 0);
}

#[tokio::test]
async fn a_month_that_cannot_be_right_is_told_without_its_numbers() {
    let app = TestApp::init().await;
    app.count_procedures("2026-02", "all-pci", 2).await;
    app.count_procedures("2026-03", "all-pci", 90).await;
    cases(&app, "flow-no-reflow", "2026-02", 3).await;
    cases(&app, "flow-no-reflow", "2026-03", 6).await;
    let page = app.with_fellow().await.get("/rates/report?quarter=2026-Q1").await;
    assert!(page.texts(".lead")[0].contains("a month has more events than procedures"), "{page}");
    assert!(section(&page, "Signals").contains("Not followed, because a month has more events"), "{page}");
    assert!(!page.text.contains("3 events") && !page.text.contains("2 procedures"), "{}", page.text);
}

#[tokio::test]
async fn an_empty_record_gives_a_report_that_says_so() {
    let app = TestApp::init().await;
    let page = app.with_fellow().await.get("/rates/report").await;
    page.expect(StatusCode::OK);
    assert!(page.texts(".lead")[0].starts_with("No case is recorded yet"), "{page}");
    assert_eq!(page.value("quarter"), Quarter::containing(app.app.this_month()).to_string());
    app.with_fellow().await.get("/rates/report/files/markdown").await.expect(StatusCode::OK);
}

#[tokio::test]
async fn without_a_choice_it_is_the_last_quarter_that_is_counted_whole() {
    let app = TestApp::init().await;
    for month in ["2025-04", "2025-05", "2025-06", "2025-07", "2025-09"] {
        app.count_procedures(month, "all-pci", 90).await;
    }
    let client = app.with_fellow().await;
    for path in ["/rates/report", "/rates/report?quarter=", "/rates/report?quarter=+"] {
        let page = client.get(path).await;
        page.expect(StatusCode::OK);
        assert_eq!(page.value("quarter"), "2025-Q2", "{path}");
    }
    let page = client.get("/rates/report").await;
    let offered = page.texts("#quarter option");
    assert_eq!(offered.last().unwrap(), "April to June 2025");
    let running = Quarter::containing(app.app.this_month());
    assert_eq!(offered[0], running.period().to_string());
}

#[tokio::test]
async fn a_quarter_that_cannot_be_read_comes_back_marked_with_what_was_typed() {
    let app = TestApp::init().await;
    let client = app.with_fellow().await;
    let next = of::<Day>("2100-01-01").month().map(Quarter::containing).unwrap().to_string();
    for (typed, says) in [
        ("2026-Q5", "A quarter is a year and its quarter"),
        ("2026", "A quarter is a year and its quarter"),
        ("1989-Q4", "from 1990 to 2100"),
        ("%3Cscript%3Ealert(1)%3C/script%3E", "A quarter is a year and its quarter"),
        ("%FF", "did not arrive whole"),
        (next.as_str(), "This quarter has not begun."),
    ] {
        for path in ["/rates/report", "/rates/report/files/markdown"] {
            let page = client.get(&format!("{path}?quarter={typed}")).await;
            page.expect(StatusCode::UNPROCESSABLE_ENTITY);
            assert!(page.error_of("quarter").unwrap().contains(says), "{typed}: {page}");
            assert!(page.errors().iter().any(|error| error.contains(says)), "{typed}: {page}");
            assert_eq!(page.count("article"), 0);
            assert!(!page.html.contains("<script>alert"), "{typed}");
        }
    }
    let page = client.get("/rates/report?quarter=2026-Q5").await;
    assert_eq!(page.value("quarter"), "2026-Q5");
    client.get("/rates/report?quarter=1990-Q1").await.expect(StatusCode::OK);
}

#[tokio::test]
async fn who_writes_may_read_it_and_a_reader_may_not() {
    let app = TestApp::init().await;
    for role in Role::ALL.iter().copied() {
        let expected = if role == Role::Reader { StatusCode::FORBIDDEN } else { StatusCode::OK };
        let client = app.as_role(role).await;
        client.get("/rates/report?quarter=2026-Q1").await.expect(expected);
        client.get("/rates/report/files/markdown?quarter=2026-Q1").await.expect(expected);
        let links = client.get("/rates").await.links_to("/rates/report");
        assert_eq!(links, role != Role::Reader, "{role:?}");
    }
    app.signed_out().get("/rates/report").await.expect(StatusCode::SEE_OTHER);
}
