//! Procedures at risk from CSV.

use super::at_risk::{cell, count, saved};
use super::reading::{Reading as _, post_file};
use crate::support::{Client, Page, StatusCode, TestApp};

const PATH: &str = "/settings/procedures-at-risk/import";
const CSV: &str = "month,all-pci,cto-pci\n2026-01,104,6\n2026-02,98,\n";

async fn paste(visitor: &Client, csv: &str) -> Page {
    visitor.post(PATH, &[("csv", csv)]).await
}

async fn confirm(visitor: &Client, csv: &str, base: &str) -> Page {
    visitor.post(PATH, &[("csv", csv), ("base", base), ("confirmed", "yes")]).await
}

#[tokio::test]
async fn the_page_shows_what_the_rows_look_like() {
    let house = TestApp::init().await;
    let page = house.with_quality_lead().await.get(PATH).await;
    page.is(StatusCode::OK).has("<pre class=\"mono small\">month,all-pci,bifurcation-pci");
    for stratum in &house.app.vocabulary().strata {
        page.says(&stratum.label).says(stratum.slug.as_str());
    }
}

#[tokio::test]
async fn the_example_of_the_page_can_be_imported() {
    let house = TestApp::init().await;
    let lead = house.with_quality_lead().await;
    let page = lead.get(PATH).await;
    let start = page.html.find("<pre class=\"mono small\">").unwrap() + "<pre class=\"mono small\">".len();
    let example = page.html[start..].split("</pre>").next().unwrap().to_owned();
    let preview = paste(&lead, &example).await;
    preview.is(StatusCode::OK).says("7 counts would be added");
    confirm(&lead, &example, &preview.value("base")).await.is(StatusCode::SEE_OTHER);
    assert_eq!(saved(&house).await.len(), 7);
}

#[tokio::test]
async fn pasted_rows_are_looked_over_before_they_are_saved() {
    let house = TestApp::init().await;
    let lead = house.with_quality_lead().await;
    count(&house, &[cell("2026-01", "all-pci", Some(100)), cell("2026-02", "all-pci", Some(98))]).await;
    let preview = paste(&lead, CSV).await;
    preview
        .is(StatusCode::OK)
        .says("1 count would be added and 1 count would change, over January to February 2026.");
    preview
        .says("Nothing is saved yet.")
        .says("January 2026, All PCI")
        .has("<td class=\"num\">100</td><td class=\"num\">104</td>");
    assert_eq!(saved(&house).await.len(), 2);
    confirm(&lead, CSV, &preview.value("base")).await.leads_to("/settings/procedures-at-risk?year=2026");
    lead.get("/settings/procedures-at-risk?year=2026").await.says("1 count added and 1 count changed");
    let held = saved(&house).await;
    assert!(held.contains(&("2026-01".to_owned(), "all-pci".to_owned(), 104)), "{held:?}");
    assert!(held.contains(&("2026-01".to_owned(), "cto-pci".to_owned(), 6)), "{held:?}");
    assert_eq!(held.len(), 3);
    paste(&lead, CSV).await.says("Nothing would change").lacks("name=\"confirmed\"");
}

#[tokio::test]
async fn a_file_is_looked_over_alike_whatever_its_line_ends_and_byte_order_mark() {
    let house = TestApp::init().await;
    let lead = house.with_quality_lead().await;
    let windows = format!("\u{FEFF}{}", CSV.replace('\n', "\r\n"));
    for file in [CSV.as_bytes(), windows.as_bytes()] {
        let preview = post_file(&lead, PATH, "file", file).await;
        preview.is(StatusCode::OK).says("3 counts would be added, over January to February 2026.");
    }
    assert!(saved(&house).await.is_empty());
    let preview = post_file(&lead, PATH, "file", windows.as_bytes()).await;
    confirm(&lead, &windows.replace('\u{FEFF}', ""), &preview.value("base")).await.is(StatusCode::SEE_OTHER);
    assert_eq!(saved(&house).await.len(), 3);
}

#[tokio::test]
async fn bad_rows_are_named_by_number_and_nothing_is_half_imported() {
    let house = TestApp::init().await;
    let lead = house.with_quality_lead().await;
    let wrong: &[(&str, &str)] = &[
        ("month,all-pci\n2026-01,104\n2026-02,fifty\n", "3"),
        ("month,all-pci\n2026-01,104\n2026-13,9\n", "3"),
        ("month,all-pci\n2026-01,-4\n", "2"),
        ("month,all-pci\n2026-01,4.5\n", "2"),
        ("month,all-pci\n2026-01,100001\n", "2"),
        ("month,all-pci\n2026-01,99999999999999999999\n", "2"),
        ("month,all-pci\nJanuary,4\n", "2"),
        ("month,all-pci\n01/2026,4\n", "2"),
        ("month,all-pci\n2026-01,4,5,6\n", "2"),
        ("month,all-pci\n2026-01,4\n2026-01,5\n", "3"),
        ("month,all-pci\n2026-01,<script>alert(1)</script>\n", "2"),
    ];
    for (csv, row) in wrong {
        let reply = paste(&lead, csv).await;
        reply
            .is(StatusCode::UNPROCESSABLE_ENTITY)
            .says("Nothing is imported")
            .says(csv.trim())
            .lacks("<script>alert");
        let list = reply.html.split("error-summary").nth(1).unwrap().split("</ul>").next().unwrap();
        assert!(list.contains(&format!("<li>Line {row}")), "{csv}: row {row} is not named in {list}");
        let reply = post_file(&lead, PATH, "file", csv.as_bytes()).await;
        reply.is(StatusCode::UNPROCESSABLE_ENTITY).says(csv.trim());
        confirm(&lead, csv, "x").await.is(StatusCode::UNPROCESSABLE_ENTITY);
    }
    assert!(saved(&house).await.is_empty());
}

#[tokio::test]
async fn what_is_no_table_of_counts_is_refused_with_a_sentence() {
    let house = TestApp::init().await;
    let lead = house.with_quality_lead().await;
    for csv in [
        "",
        "  \n ",
        "hello",
        "all-pci\n4\n",
        "month\n2026-01\n",
        "month,no-such-kind\n2026-01,4\n",
        "month,all-pci,all-pci\n2026-01,4,4\n",
        "\"month,all-pci\n2026-01,4",
        "month;all-pci\n2026-01;4\n",
        "month,all-pci\u{0}\n2026-01,4\n",
        "half \u{FFFD}",
    ] {
        let reply = paste(&lead, csv).await;
        reply.is(StatusCode::UNPROCESSABLE_ENTITY).says("Nothing is imported");
    }
    let large = "month,all-pci\n".to_owned() + &"2026-01,4\n".repeat(110_000);
    paste(&lead, &large).await.is(StatusCode::UNPROCESSABLE_ENTITY).says("larger than one megabyte");
    post_file(&lead, PATH, "file", large.as_bytes())
        .await
        .is(StatusCode::UNPROCESSABLE_ENTITY)
        .says("larger than one megabyte");
    paste(&lead, &"x,".repeat(3_000_000))
        .await
        .is(StatusCode::UNPROCESSABLE_ENTITY)
        .says("larger than one megabyte");
    assert!(saved(&house).await.is_empty());
}

#[tokio::test]
async fn files_that_are_no_text_are_refused_with_a_way_out() {
    let house = TestApp::init().await;
    let lead = house.with_quality_lead().await;
    post_file(&lead, PATH, "file", b"PK\x03\x04\xff\xfe\x00")
        .await
        .is(StatusCode::UNPROCESSABLE_ENTITY)
        .says("CSV UTF-8");
    post_file(
        &lead,
        PATH,
        "file",
        "month".encode_utf16().flat_map(u16::to_le_bytes).chain([0xFF]).collect::<Vec<u8>>().as_slice(),
    )
    .await
    .is(StatusCode::UNPROCESSABLE_ENTITY);
    post_file(&lead, PATH, "file", b"")
        .await
        .is(StatusCode::UNPROCESSABLE_ENTITY)
        .says("Choose a file first");
    post_file(&lead, PATH, "other", CSV.as_bytes())
        .await
        .is(StatusCode::UNPROCESSABLE_ENTITY)
        .says("Choose a file first.");
    lead.post_body(PATH, "multipart/form-data", b"x".to_vec())
        .await
        .is(StatusCode::BAD_REQUEST)
        .says("did not arrive whole");
    let broken = b"--frontier\r\nContent-Disposition: form-data; name=\"file\"\r\n\r\nmonth,all".to_vec();
    lead.post_body(PATH, "multipart/form-data; boundary=frontier", broken)
        .await
        .is(StatusCode::BAD_REQUEST)
        .says("did not arrive whole");
    assert!(saved(&house).await.is_empty());
}

#[tokio::test]
async fn what_changed_between_looking_and_confirming_is_shown_again() {
    let house = TestApp::init().await;
    let lead = house.with_quality_lead().await;
    let preview = paste(&lead, CSV).await;
    count(&house, &[cell("2026-01", "all-pci", Some(90))]).await;
    let again = confirm(&lead, CSV, &preview.value("base")).await;
    again
        .is(StatusCode::CONFLICT)
        .says("somebody saved counts while you looked")
        .has("<td class=\"num\">90</td><td class=\"num\">104</td>");
    assert_eq!(saved(&house).await, [("2026-01".to_owned(), "all-pci".to_owned(), 90)]);
    confirm(&lead, CSV, &again.value("base")).await.is(StatusCode::SEE_OTHER);
    assert_eq!(saved(&house).await.len(), 3);
}
