//! The year grid of procedures at risk.

use relook::case::Month;
use relook::rates::{AtRisk, store};

use super::reading::Reading as _;
use crate::support::{Client, Page, Role, StatusCode, TestApp};

const PATH: &str = "/settings/procedures-at-risk";
const YEAR: &str = "/settings/procedures-at-risk?year=2026";

pub fn cell(month: &str, stratum: &str, procedures: Option<u32>) -> AtRisk {
    AtRisk { month: month.parse().unwrap(), stratum: stratum.parse().unwrap(), procedures }
}

pub async fn count(house: &TestApp, cells: &[AtRisk]) {
    let mut tx = house.app.database.write().await.unwrap();
    store::set_at_risk(&mut tx, cells).await.unwrap();
    tx.commit().await.unwrap();
}

pub async fn saved(house: &TestApp) -> Vec<(String, String, u32)> {
    let (from, to) = (Month::new(1990, 1).unwrap(), Month::new(2100, 12).unwrap());
    let cells = store::at_risk(&mut house.app.database.read().await.unwrap(), from, to).await.unwrap();
    cells
        .into_iter()
        .map(|cell| (cell.month.to_string(), cell.stratum.to_string(), cell.procedures.unwrap()))
        .collect()
}

fn row(month: &str, stratum: &str, procedures: u32) -> (String, String, u32) {
    (month.to_owned(), stratum.to_owned(), procedures)
}

/// Sends the form of a page with some cells typed over.
async fn send(visitor: &Client, form: &Page, typed: &[(&str, &str)]) -> Page {
    let mut fields: Vec<(String, String)> =
        ["year", "base", "was"].iter().map(|name| ((*name).to_owned(), form.value(name))).collect();
    for part in form.html.split("name=\"n-").skip(1) {
        let name = format!("n-{}", part.split('"').next().unwrap());
        let text = typed
            .iter()
            .find(|(cell, _)| *cell == name)
            .map_or_else(|| form.value(&name), |(_, text)| (*text).to_owned());
        fields.push((name, text));
    }
    let fields: Vec<(&str, &str)> =
        fields.iter().map(|(name, text)| (name.as_str(), text.as_str())).collect();
    visitor.post(PATH, &fields).await
}

#[tokio::test]
async fn a_year_without_counts_teaches_and_every_cell_has_a_name() {
    let house = TestApp::init().await;
    let page = house.with_quality_lead().await.get(YEAR).await;
    page.is(StatusCode::OK).says("Nothing is counted for 2026 yet.").says("For example:");
    page.has("rel=\"prev\" href=\"/settings/procedures-at-risk?year=2025\"").has("rel=\"next\"");
    let held = house.app.vocabulary();
    for stratum in &held.strata {
        page.says(&stratum.definition).has(&format!("id=\"s-{}\"", stratum.slug));
        for month in ["2026-01", "2026-12"] {
            page.has(&format!("aria-labelledby=\"m-{month} s-{}\"", stratum.slug));
        }
    }
    assert_eq!(page.html.matches("name=\"n-").count(), 12 * held.strata.len());
}

#[tokio::test]
async fn counts_are_saved_at_once_and_an_emptied_cell_is_not_counted() {
    let house = TestApp::init().await;
    let lead = house.with_quality_lead().await;
    count(&house, &[cell("2026-01", "all-pci", Some(104)), cell("2025-12", "all-pci", Some(99))]).await;
    let form = lead.get(YEAR).await;
    form.says("Counted for January 2026.");
    let typed = [("n-2026-01-all-pci", ""), ("n-2026-02-all-pci", "0"), ("n-2026-02-cto-pci", " 6 ")];
    send(&lead, &form, &typed).await.leads_to(YEAR);
    let expected =
        [row("2025-12", "all-pci", 99), row("2026-02", "all-pci", 0), row("2026-02", "cto-pci", 6)];
    assert_eq!(saved(&house).await, expected);
    let page = lead.get(YEAR).await;
    page.says("3 counts of 2026 changed.").says("Counted for February 2026.");
    assert_eq!(page.value("n-2026-02-all-pci"), "0");
    assert_eq!(page.value("n-2026-01-all-pci"), "");
    page.says("February 2026: CTO PCI has more procedures (6) than all PCI (0).");
}

#[tokio::test]
async fn nothing_typed_changes_nothing() {
    let house = TestApp::init().await;
    let lead = house.with_quality_lead().await;
    count(&house, &[cell("2026-01", "all-pci", Some(104))]).await;
    send(&lead, &lead.get(YEAR).await, &[]).await.leads_to(YEAR);
    lead.get(YEAR).await.says("Nothing in 2026 was changed.");
    assert_eq!(saved(&house).await, [row("2026-01", "all-pci", 104)]);
}

#[tokio::test]
async fn bad_cells_are_marked_and_every_typed_value_comes_back() {
    let house = TestApp::init().await;
    let lead = house.with_quality_lead().await;
    count(&house, &[cell("2026-01", "all-pci", Some(104))]).await;
    let form = lead.get(YEAR).await;
    let not_whole = "is not a whole number. Write digits only";
    let wrong: &[(&str, &str)] = &[
        ("-1", not_whole),
        ("12.5", not_whole),
        ("1,200", not_whole),
        ("1 200", not_whole),
        ("fifty", not_whole),
        ("1e3", not_whole),
        ("NaN", not_whole),
        ("+7", not_whole),
        ("0x1F", not_whole),
        ("٣", not_whole),
        ("\u{FFFD}", not_whole),
        ("<script>alert(1)</script>", not_whole),
        ("'; delete from procedures_at_risk; --", not_whole),
        ("100001", "is too many. A month holds at most 100000 procedures."),
        ("99999999999999999999999999", "is too many"),
    ];
    for (typed, sentence) in wrong {
        let reply = send(&lead, &form, &[("n-2026-03-cto-pci", typed), ("n-2026-04-all-pci", "88")]).await;
        reply.is(StatusCode::UNPROCESSABLE_ENTITY).says(sentence).says("March 2026, CTO PCI").says(typed);
        reply
            .has("href=\"#n-2026-03-cto-pci\"")
            .has("aria-describedby=\"n-2026-03-cto-pci-error\"")
            .lacks("<script>alert");
        assert_eq!(reply.value("n-2026-04-all-pci"), "88");
        assert_eq!(reply.html.matches("aria-invalid").count(), 1);
        // Mended and sent again, it is saved as if nothing had been wrong.
        assert_eq!((reply.value("base"), reply.value("was")), (form.value("base"), form.value("was")));
    }
    let reply = send(&lead, &form, &[("n-2026-01-all-pci", "x"), ("n-2026-12-all-pci", "-3")]).await;
    reply.says("two cells need another look".replace("two", "2").as_str());
    assert_eq!(saved(&house).await, [row("2026-01", "all-pci", 104)]);
}

#[tokio::test]
async fn a_huge_cell_is_answered_with_a_sentence() {
    let house = TestApp::init().await;
    let lead = house.with_quality_lead().await;
    let form = lead.get(YEAR).await;
    send(&lead, &form, &[("n-2026-01-all-pci", &"9".repeat(100_000))])
        .await
        .is(StatusCode::UNPROCESSABLE_ENTITY)
        .says("is too many");
    send(&lead, &form, &[("n-2026-01-all-pci", &"9".repeat(600_000))])
        .await
        .is(StatusCode::BAD_REQUEST)
        .says("larger than half a megabyte");
}

#[tokio::test]
async fn a_year_outside_the_calendar_is_answered_with_a_sentence() {
    let house = TestApp::init().await;
    let lead = house.with_quality_lead().await;
    for year in ["", "26", "1989", "2101", "20266", "abcd", "-2026", "2026-01", "%3Cscript%3E", "%FF"] {
        let page = lead.get(&format!("{PATH}?year={year}")).await;
        page.is(StatusCode::BAD_REQUEST).says("A year has four digits, from 1990 to 2100.").lacks("<script>");
        lead.post(PATH, &[("year", year), ("n-2026-01-all-pci", "4")]).await.is(StatusCode::BAD_REQUEST);
    }
    lead.post(PATH, &[("n-2026-01-all-pci", "4")]).await.is(StatusCode::BAD_REQUEST);
    lead.get(&format!("{PATH}?year=1990")).await.is(StatusCode::OK).lacks("rel=\"prev\"");
    lead.get(&format!("{PATH}?year=2100")).await.is(StatusCode::OK).lacks("rel=\"next\"");
    assert!(saved(&house).await.is_empty());
}

#[tokio::test]
async fn a_form_that_breaks_off_takes_no_count_away() {
    let house = TestApp::init().await;
    let lead = house.with_quality_lead().await;
    count(&house, &[cell("2026-01", "all-pci", Some(104)), cell("2026-02", "all-pci", Some(98))]).await;
    let form = lead.get(YEAR).await;
    let (base, was) = (form.value("base"), form.value("was"));
    let fields =
        [("year", "2026"), ("base", base.as_str()), ("was", was.as_str()), ("n-2026-01-all-pci", "105")];
    lead.post(PATH, &fields).await.leads_to(YEAR);
    assert_eq!(saved(&house).await, [row("2026-01", "all-pci", 105), row("2026-02", "all-pci", 98)]);
}

#[tokio::test]
async fn two_who_fill_in_one_year_both_see_what_differs() {
    let house = TestApp::init().await;
    let lead = house.with_quality_lead().await;
    count(&house, &[cell("2026-01", "all-pci", Some(100)), cell("2026-02", "all-pci", Some(90))]).await;
    let form = lead.get(YEAR).await;
    // Meanwhile: January corrected, March added.
    count(&house, &[cell("2026-01", "all-pci", Some(104)), cell("2026-03", "all-pci", Some(95))]).await;
    let reply = send(&lead, &form, &[("n-2026-01-all-pci", "110"), ("n-2026-04-all-pci", "88")]).await;
    reply.is(StatusCode::CONFLICT).says("Somebody saved 2026 while you wrote");
    reply
        .has("<a href=\"#n-2026-01-all-pci\">January 2026, All PCI</a>")
        .has("<td class=\"num\">104</td>")
        .has("<td class=\"num\">110</td>");
    reply.says("One count that only the other person changed is in the grid already");
    let grid: Vec<String> = ["01", "02", "03", "04"]
        .iter()
        .map(|month| reply.value(&format!("n-2026-{month}-all-pci")))
        .collect();
    assert_eq!(grid, ["110", "90", "95", "88"]);
    let unchanged =
        [row("2026-01", "all-pci", 104), row("2026-02", "all-pci", 90), row("2026-03", "all-pci", 95)];
    assert_eq!(saved(&house).await, unchanged);

    send(&lead, &reply, &[]).await.leads_to(YEAR);
    let both = [
        row("2026-01", "all-pci", 110),
        row("2026-02", "all-pci", 90),
        row("2026-03", "all-pci", 95),
        row("2026-04", "all-pci", 88),
    ];
    assert_eq!(saved(&house).await, both);
}

#[tokio::test]
async fn a_forged_or_missing_base_asks_instead_of_writing() {
    let house = TestApp::init().await;
    let lead = house.with_quality_lead().await;
    count(&house, &[cell("2026-01", "all-pci", Some(104))]).await;
    for (base, was) in [("", ""), ("0", "1,2,3"), ("ffffffffffffffffffffffff", "<script>")] {
        let fields = [("year", "2026"), ("base", base), ("was", was), ("n-2026-01-all-pci", "7")];
        let reply = lead.post(PATH, &fields).await;
        reply
            .is(StatusCode::CONFLICT)
            .has("<td class=\"num\">104</td>")
            .has("<td class=\"num\">7</td>")
            .lacks("<script>");
    }
    assert_eq!(saved(&house).await, [row("2026-01", "all-pci", 104)]);
}

#[tokio::test]
async fn who_does_not_keep_the_counts_reads_them_as_text() {
    let house = TestApp::init().await;
    count(&house, &[cell("2026-01", "all-pci", Some(104)), cell("2026-02", "all-pci", Some(98))]).await;
    for role in [Role::Reader, Role::Fellow, Role::Attending] {
        let page = house.as_role(role).await.get(YEAR).await;
        page.is(StatusCode::OK)
            .has("<td class=\"num\">104</td>")
            .lacks("<input")
            .says("not counted")
            .says("The quality lead keeps these counts.");
        page.has("202<small>2 months</small>");
    }
}
