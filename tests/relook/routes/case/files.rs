//! The summary of a case and its files.

use relook::case::Case;

use crate::support::{CaseBuilder, StatusCode, TestApp};

async fn with_a_case() -> (TestApp, String) {
    let app = TestApp::init().await;
    app.count_procedures("2026-01", "all-pci", 120).await;
    app.count_procedures("2026-01", "stent-pci", 110).await;
    let case = CaseBuilder::new("Edge dissection, then no flow")
        .complete()
        .action("A second wire in the room", "2026-09-01")
        .insert(&app)
        .await;
    let path = format!("/cases/{}", case.code);
    (app, path)
}

#[tokio::test]
async fn the_summary_reads_from_the_situation_to_the_rate() {
    let (app, path) = with_a_case().await;
    let page = app.with_fellow().await.get(&format!("{path}/summary")).await;
    page.expect(StatusCode::OK);
    assert_eq!(page.heading(), "Edge dissection, then no flow");
    for part in [
        "After the stent the flow was gone.",
        "64 years",
        "Stent deployed",
        "Because there was one plan",
        "Take a second view before the balloon.",
        "Ada Attending",
        "a second wire in the room",
        "Home with normal pump function.",
        // Flow was lost at +13:00 and was TIMI 3 again at +41:00.
        "28 min",
        "per 1,000",
        "licensed judgement",
    ] {
        assert!(page.text.contains(part), "{part}: {}", page.text);
    }
    assert!(page.count("article.summary svg") >= 1, "no drawing");
    assert_eq!(page.count("article.summary [style]"), 0);
}

#[tokio::test]
async fn a_summary_of_a_bare_case_names_what_is_missing() {
    let app = TestApp::init().await;
    let case = CaseBuilder::new("Bare").mechanism("flow-no-reflow").insert(&app).await;
    let page = app.with_fellow().await.get(&format!("/cases/{}/summary", case.code)).await;
    page.expect(StatusCode::OK);
    let missing = page.text.to_lowercase().matches("not recorded").count()
        + page.text.to_lowercase().matches("missing").count();
    assert!(missing >= 3, "{}", page.text);
}

#[tokio::test]
async fn the_summary_is_kept_as_markdown() {
    let (app, path) = with_a_case().await;
    let page = app.with_fellow().await.get(&format!("{path}/summary.md")).await;
    page.expect(StatusCode::OK);
    assert_eq!(page.headers["content-type"], "text/markdown; charset=utf-8");
    assert_eq!(page.headers["content-disposition"], "attachment; filename=\"2026-001-summary.md\"");
    assert!(page.html.contains("# Edge dissection, then no flow\n"), "{}", page.html);
    assert!(page.html.contains("| "), "the timeline is no table: {}", page.html);
}

#[tokio::test]
async fn a_case_file_holds_the_case() {
    let (app, path) = with_a_case().await;
    let client = app.with_reader().await;
    client.get(&format!("{path}/case.json")).await.expect(StatusCode::NOT_FOUND);
    let client = app.with_fellow().await;
    let expected: Case = app.case("2026-001".parse().unwrap()).await.to_case();

    let json = client.get(&format!("{path}/case.json")).await;
    json.expect(StatusCode::OK);
    assert_eq!(json.headers["content-type"], "application/json");
    assert_eq!(json.headers["content-disposition"], "attachment; filename=\"2026-001.json\"");
    assert_eq!(serde_json::from_str::<Case>(&json.html).unwrap(), expected);

    let toml = client.get(&format!("{path}/case.toml")).await;
    toml.expect(StatusCode::OK);
    assert_eq!(toml.headers["content-type"], "application/toml; charset=utf-8");
    assert_eq!(toml.headers["content-disposition"], "attachment; filename=\"2026-001.toml\"");
    assert_eq!(toml::from_str::<Case>(&toml.html).unwrap(), expected);
}

#[tokio::test]
async fn pages_are_kept_by_nothing_between_the_server_and_the_person() {
    let (app, path) = with_a_case().await;
    let client = app.with_fellow().await;
    for address in [path.clone(), format!("{path}/summary"), "/cases".to_owned(), "/record".to_owned()] {
        let page = client.get(&address).await;
        assert_eq!(page.headers["cache-control"], "no-store", "{address}");
        let policy = page.headers["content-security-policy"].to_str().unwrap();
        assert!(policy.contains("default-src 'none'") && !policy.contains("unsafe"), "{address}: {policy}");
        assert_eq!(page.headers["x-content-type-options"], "nosniff");
        assert_eq!(page.headers["referrer-policy"], "same-origin");
        for inline in ["script:not([src])", "style", "[style]"] {
            assert_eq!(page.count(inline), 0, "{address} has {inline}");
        }
    }
}

#[tokio::test]
async fn files_are_kept_by_nothing_either() {
    let (app, path) = with_a_case().await;
    let client = app.with_fellow().await;
    for file in ["summary.md", "case.toml", "case.json"] {
        let page = client.get(&format!("{path}/{file}")).await;
        assert_eq!(
            page.headers.get("cache-control").map(|value| value.to_str().unwrap()),
            Some("no-store"),
            "{file}"
        );
    }
}
