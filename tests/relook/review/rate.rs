//! The department's rate in a teaching summary.

use relook::case::StoredCase;
use relook::department::Department;
use relook::document::Document;
use relook::export::markdown::document_to_markdown;
use relook::rates::{self, AtRisk, RateLine};
use relook::review::summary::{rate_mechanism, teaching_summary};

use super::summary::{assert_says, section};
use super::{Bench, FULL};

async fn with_rate(
    bench: &Bench,
    case: &StoredCase,
    cells: &[AtRisk],
    today: &str,
) -> (Document, Option<RateLine>) {
    let mechanism = rate_mechanism(case).unwrap();
    let mut tx = bench.database.write().await.unwrap();
    rates::store::set_at_risk(&mut tx, cells).await.unwrap();
    let line = rates::store::case_rate(&mut tx, &bench.vocabulary, &mechanism, today.parse().unwrap())
        .await
        .unwrap();
    (teaching_summary(case, &bench.vocabulary, &Department::default(), line.as_ref()), line)
}

fn counted(month: &str, procedures: u32) -> AtRisk {
    AtRisk {
        month: month.parse().unwrap(),
        stratum: "all-pci".parse().unwrap(),
        procedures: Some(procedures),
    }
}

#[tokio::test]
async fn the_rate_of_the_index_mechanism_stands_with_its_counts_and_interval() {
    let bench = Bench::new().await;
    let case = bench.store(FULL).await;
    let (summary, _) = with_rate(&bench, &case, &[counted("2025-03", 412)], "2025-03").await;
    let text = document_to_markdown(&summary);
    // 1 of 412: Wilson 95 % interval 0.43 to 13.6 per 1,000 (Wilson, J Am Stat Assoc 1927;22:209;
    // worked out by hand from its formula with z = 1.959964).
    assert_says(section(&text, "How often"), &["2.4 per 1,000", "1 of 412", "0.43 to 13.6", "Wilson"]);
    assert_says(&text, &["Wilson, J Am Stat Assoc 1927;22:209"]);
}

#[tokio::test]
async fn a_rate_without_denominators_is_missing_and_never_zero() {
    let bench = Bench::new().await;
    let case = bench.store(FULL).await;
    let (summary, line) = with_rate(&bench, &case, &[], "2025-03").await;
    assert!(line.is_some());
    let text = document_to_markdown(&summary);
    let often = section(&text, "How often");
    assert_says(often, &["Not recorded: a rate for “Wire dissection”", "No procedures at risk recorded"]);
    assert!(!often.contains("per 1,000"), "{often}");
}

#[tokio::test]
async fn a_case_outside_the_period_of_the_rate_says_so() {
    let bench = Bench::new().await;
    let case = bench.store(FULL).await;
    let (summary, _) = with_rate(&bench, &case, &[counted("2026-06", 100)], "2026-06").await;
    let text = document_to_markdown(&summary);
    assert_says(section(&text, "How often"), &["This case, of March 2025, is outside that period."]);
}
