//! The list of cases: filters in the address, words found and marked, order, pages.

use relook::case::Stage;
use relook::case::list::PAGE;

use crate::support::{CaseBuilder, Client, Page, StatusCode, TestApp};

async fn with_cases() -> (TestApp, Client) {
    let app = TestApp::init().await;
    CaseBuilder::new("Guide left the ostium")
        .month("2025-03")
        .mechanism("guide-left-main")
        .at_segment("left-main")
        .narrative("The **catheter** sat deep; perforated in the end.")
        .insert(&app)
        .await;
    CaseBuilder::new("No flow after the stent")
        .month("2025-07")
        .mechanism("flow-no-reflow")
        .at_segment("lad-mid")
        .event("+12", "flow", "The contrast stood still in the vessel")
        .stage(Stage::Ready)
        .insert(&app)
        .await;
    CaseBuilder::new("Diagonal lost, then no flow")
        .month("2026-01")
        .mechanism("branch-jailed")
        .consequence("flow-no-reflow")
        .lesion("diagonal-1")
        .lesson("prevent", "Wire the branch before the stent <now> & always")
        .stage(Stage::Presented)
        .insert(&app)
        .await;
    let client = app.with_fellow().await;
    (app, client)
}

fn codes(page: &Page) -> Vec<String> {
    page.texts("table td:first-child")
}

#[tokio::test]
async fn an_empty_list_teaches_what_goes_there() {
    let app = TestApp::init().await;
    let page = app.with_fellow().await.get("/cases").await;
    page.expect(StatusCode::OK);
    assert!(
        page.has_heading("No cases yet") && page.link("Record the first one").as_deref() == Some("/record"),
        "{page}"
    );
    let reader = app.with_reader().await.get("/cases").await;
    assert_eq!(reader.link("Record"), None);
}

#[tokio::test]
async fn each_question_in_the_address_narrows_the_list() {
    let (_app, client) = with_cases().await;
    let all = ["2026-001", "2025-002", "2025-001"];
    for (query, expected) in [
        ("", &all[..]),
        ("?sort=oldest", &["2025-001", "2025-002", "2026-001"]),
        ("?mechanism=flow-no-reflow", &["2026-001", "2025-002"]),
        ("?branch=flow", &["2026-001", "2025-002"]),
        ("?branch=guide", &["2025-001"]),
        ("?stage=ready", &["2025-002"]),
        ("?stage=recorded&stage=presented", &["2026-001", "2025-001"]),
        ("?from=2025-07", &["2026-001", "2025-002"]),
        ("?to=2025-07", &["2025-002", "2025-001"]),
        ("?from=2025-07&to=2025-07", &["2025-002"]),
        ("?segment=lad-mid", &["2025-002"]),
        ("?segment=diagonal-1", &["2026-001"]),
        ("?q=contrast", &["2025-002"]),
        ("?q=CONTR", &["2025-002"]),
        ("?q=flow+stent", &["2026-001", "2025-002"]),
        ("?q=nowhere", &[]),
        ("?mechanism=flow-no-reflow&stage=ready&from=2025-01&q=still&segment=lad-mid", &["2025-002"]),
        ("?mechanism=&stage=&from=&to=&segment=&q=&sort=", &all[..]),
        ("?unknown=1&q", &all[..]),
    ] {
        let page = client.get(&format!("/cases{query}")).await;
        page.expect(StatusCode::OK);
        assert_eq!(codes(&page), expected, "{query}");
    }
    let page = client.get("/cases?q=nowhere&stage=ready").await;
    assert!(page.has_heading("No case answers") && page.links_to("/cases"), "{page}");
    assert_eq!((page.value("q"), page.value("stage")), ("nowhere".to_owned(), "ready".to_owned()));
}

#[tokio::test]
async fn words_are_found_in_every_text_of_a_case_and_the_hits_are_marked() {
    let (_app, client) = with_cases().await;
    for (word, marks) in [
        ("perforated", &["perforated"][..]),
        ("perfor", &["perforated"]),
        ("contrast", &["contrast"]),
        ("branch", &["branch"]),
        ("guide", &["Guide"]),
        ("stood still", &["stood", "still"]),
    ] {
        let page = client.get(&format!("/cases?q={}", word.replace(' ', "+"))).await;
        let mut found: Vec<String> = page
            .texts("mark")
            .iter()
            .flat_map(|mark| mark.split(' ').map(str::to_owned).collect::<Vec<_>>())
            .collect();
        found.sort();
        let mut marks: Vec<String> = marks.iter().map(|mark| (*mark).to_owned()).collect();
        marks.sort();
        assert_eq!(found, marks, "{word}: {page}");
    }
    let page = client.get("/cases?q=always").await;
    assert!(
        page.html.contains("&lt;now&gt;") || page.html.contains("&#60;now&#62;"),
        "the excerpt is not escaped"
    );
    assert!(!page.html.contains(['\u{1}', '\u{2}']), "a mark of the search is left in the page");
}

#[tokio::test]
async fn the_search_follows_what_is_changed_and_taken_out() {
    let (_app, client) = with_cases().await;
    let path = "/cases/2025-001";
    let form = client.get(&format!("{path}/narrative/edit")).await;
    client.submit(&form, &format!("{path}/narrative"), &[("narrative", "Quite another story")]).await;
    assert_eq!(codes(&client.get("/cases?q=perforated").await), [""; 0]);
    assert_eq!(codes(&client.get("/cases?q=another").await), ["2025-001"]);
    let event =
        client.get("/cases/2025-002").await.attr("#event-1 a", "href").unwrap().replace("/edit", "/remove");
    client.post(&event, &[]).await.expect(StatusCode::SEE_OTHER);
    assert_eq!(codes(&client.get("/cases?q=contrast").await), [""; 0]);
    client.post(&event.replace("/remove", "/put-back"), &[]).await.expect(StatusCode::SEE_OTHER);
    assert_eq!(codes(&client.get("/cases?q=contrast").await), ["2025-002"]);
}

#[tokio::test]
async fn no_words_that_are_searched_for_break_the_search() {
    let (_app, client) = with_cases().await;
    for words in [
        "\"",
        "\"\"",
        "'",
        "*",
        "flow*",
        "NEAR(",
        "flow AND",
        "OR",
        "NOT flow",
        "title:flow",
        "^flow",
        "-flow",
        "(",
        "flow)",
        "{",
        ";--",
        "%",
        "_",
        "\\",
        "ß",
        "🫀",
        "٣",
        "²",
        "½",
        "\u{1e900}\u{1e901}",
        "\u{301}",
        "a\u{301}",
        "漢字",
        "\u{0}",
        "\u{1}\u{2}",
        "\u{200b}",
        &"x".repeat(5_000),
        &"a b ".repeat(400),
        "i̇stanbul",
        "＊",
        "“flow”",
        "NEAR",
        "AND",
        "rowid",
        "case_search",
    ] {
        let query = form_urlencoded::Serializer::new(String::new()).append_pair("q", words).finish();
        let page = client.get(&format!("/cases?{query}")).await;
        page.expect(StatusCode::OK);
        assert!(!page.html.contains('\u{1}') || words.contains('\u{1}'), "{words:?}");
    }
    for raw in ["q=%FF", "q=%C3%28", "q=%ED%A0%80", "q=%", "q=%zz", "&&&", "=", "q=1&q=2"] {
        client.get(&format!("/cases?{raw}")).await.expect(StatusCode::OK);
    }
}

#[tokio::test]
async fn a_question_that_cannot_be_read_is_told_and_stays_in_its_field() {
    let (_app, client) = with_cases().await;
    for (query, field, typed, says) in [
        ("from=March", "from", "March", "A month is a year and a month"),
        ("from=2025-13", "from", "2025-13", "A month is a year and a month"),
        ("to=2025", "to", "2025", "A month is a year and a month"),
        ("from=2026-01&to=2025-01", "to", "2025-01", "The last month is before the first"),
        ("mechanism=No+Flow", "", "", "A slug is"),
        ("stage=archived", "", "", "is not a stage"),
        ("segment=aorta", "", "", "is not a coronary segment"),
        ("sort=random", "", "", "is not an order"),
        ("after=nonsense", "", "", "This page address is not one that the list gives."),
        ("after=2025-01~x", "", "", "This page address is not one that the list gives."),
        ("from=%FF", "from", "\u{fffd}", "did not arrive whole"),
    ] {
        let page = client.get(&format!("/cases?{query}")).await;
        page.expect(StatusCode::UNPROCESSABLE_ENTITY);
        assert!(page.errors().join(" ").contains(says), "{query}: {:?}", page.errors());
        assert_eq!(codes(&page), [""; 0], "{query}");
        if !field.is_empty() {
            assert_eq!(page.value(field), typed, "{query}");
        }
    }
}

#[tokio::test]
async fn the_pages_of_a_long_list_hold_every_case_once_in_order() {
    let app = TestApp::init().await;
    let number = PAGE * 2 + 7;
    for index in 0..number {
        // Many cases of one month, so that a page ends among equals.
        let month = format!("2025-{:02}", 1 + index / 30);
        CaseBuilder::new(&format!("Case {index}"))
            .month(&month)
            .mechanism("flow-no-reflow")
            .insert(&app)
            .await;
    }
    let client = app.with_fellow().await;
    for sort in ["newest", "oldest", "changed"] {
        let mut path = format!("/cases?mechanism=flow-no-reflow&sort={sort}");
        let (mut seen, mut months, mut pages) = (Vec::new(), Vec::new(), 0);
        loop {
            let page = client.get(&path).await;
            page.expect(StatusCode::OK);
            assert!(page.text.contains(&format!("{number} cases that answer")), "{page}");
            seen.extend(codes(&page));
            months.extend(page.texts("td[data-label='Month']"));
            pages += 1;
            if pages > 1 {
                let first = page.link("First page").unwrap();
                assert_eq!(
                    codes(&client.get(&first).await)[0],
                    seen[0],
                    "{sort}: the first page of the same question"
                );
                assert!(first.contains("mechanism=flow-no-reflow"), "{first}: the question is lost");
            }
            let Some(next) = page.attr("a[rel='next']", "href") else { break };
            path = next;
        }
        assert_eq!((seen.len(), pages), (number, 3), "{sort}");
        let mut ordered = months.clone();
        ordered.sort();
        match sort {
            "oldest" => assert_eq!(months, ordered),
            "newest" => assert!(months.iter().eq(ordered.iter().rev()), "{months:?}"),
            _ => {}
        }
        seen.sort();
        seen.dedup();
        assert_eq!(seen.len(), number, "{sort}: a case stands twice");
    }
}

#[tokio::test]
async fn a_click_on_a_row_leads_to_its_case() {
    let (_app, client) = with_cases().await;
    let page = client.get("/cases?stage=ready").await;
    let link = page.link("No flow after the stent").unwrap();
    assert_eq!(client.get(&link).await.heading(), "No flow after the stent");
    let row = page.texts("tbody tr").join("");
    assert!(row.contains("2025-07") && row.contains("ready"), "{row}");
}
