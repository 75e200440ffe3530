//! Procedures at risk in and out, and the rates that stored cases give.

use std::collections::BTreeMap;

use proptest::prelude::*;
use relook::case::{Month, Stage};
use relook::rates::{AtRisk, Period, store};

use super::{Store, for_any, insert, of};

fn cell(month: &str, stratum: &str, procedures: Option<u32>) -> AtRisk {
    AtRisk { month: of(month), stratum: of(stratum), procedures }
}

#[tokio::test]
async fn cells_come_out_as_they_went_in_and_those_not_counted_are_gone() {
    let store = Store::new().await;
    let mut conn = store.database.write().await.unwrap();
    let cells = [
        cell("2024-12", "all-pci", Some(90)),
        cell("2025-01", "all-pci", Some(100)),
        cell("2025-01", "cto-pci", Some(0)),
        cell("2025-02", "all-pci", Some(AtRisk::MOST)),
    ];
    store::set_at_risk(&mut conn, &cells).await.unwrap();
    conn.commit().await.unwrap();

    let mut conn = store.database.write().await.unwrap();
    assert_eq!(store::at_risk(&mut conn, of("2024-12"), of("2025-02")).await.unwrap(), cells);
    assert_eq!(store::at_risk_year(&mut conn, 2025).await.unwrap(), cells[1..]);
    assert_eq!(store::at_risk_year(&mut conn, 3000).await.unwrap(), []);
    let changes = [
        cell("2025-01", "all-pci", None),
        cell("2025-03", "all-pci", None),
        cell("2025-02", "all-pci", Some(7)),
        cell("2025-02", "all-pci", Some(8)),
    ];
    store::set_at_risk(&mut conn, &changes).await.unwrap();
    assert_eq!(
        store::at_risk_year(&mut conn, 2025).await.unwrap(),
        [cell("2025-01", "cto-pci", Some(0)), cell("2025-02", "all-pci", Some(8))],
        "a cell named twice holds what was named last"
    );
    store::set_at_risk(&mut conn, &[]).await.unwrap();
}

#[tokio::test]
async fn the_rules_refuse_an_unknown_stratum_and_more_procedures_than_a_month_can_hold() {
    let store = Store::new().await;
    for (bad, rule) in [
        (cell("2025-01", "no-such-stratum", Some(5)), "FOREIGN KEY"),
        (cell("2025-01", "all-pci", Some(AtRisk::MOST + 1)), "procedures_at_risk_not_negative"),
    ] {
        let mut conn = store.database.write().await.unwrap();
        let cells = [cell("2025-02", "all-pci", Some(1)), bad];
        let error = store::set_at_risk(&mut conn, &cells).await.unwrap_err();
        assert!(error.is_constraint(rule), "{error}");
        drop(conn);
        let mut conn = store.database.read().await.unwrap();
        assert_eq!(store::at_risk_year(&mut conn, 2025).await.unwrap(), [], "nothing is half-written");
    }
}

#[tokio::test]
async fn a_grid_of_a_century_goes_in_and_out_whole() {
    let store = Store::new().await;
    let first: Month = of("1990-01");
    let mut cells: Vec<AtRisk> = (0..1_332_u32)
        .flat_map(|index| {
            let month = first.plus(index.into());
            store.vocabulary.strata.iter().map(move |stratum| AtRisk {
                month,
                stratum: stratum.slug.clone(),
                procedures: Some(index % 300),
            })
        })
        .collect();
    cells.sort_by(|a, b| (a.month, &a.stratum).cmp(&(b.month, &b.stratum)));
    assert_eq!(cells.len(), 1_332 * store.vocabulary.strata.len());
    let mut conn = store.database.write().await.unwrap();
    store::set_at_risk(&mut conn, &cells).await.unwrap();
    let all = (first, of("2100-12"));
    assert!(store::at_risk(&mut conn, all.0, all.1).await.unwrap() == cells);
    for cell in &mut cells {
        cell.procedures = None;
    }
    store::set_at_risk(&mut conn, &cells).await.unwrap();
    assert_eq!(store::at_risk(&mut conn, all.0, all.1).await.unwrap(), []);
}

#[tokio::test]
async fn the_usual_period_ends_with_the_last_counted_month_that_is_not_to_come() {
    let store = Store::new().await;
    let mut conn = store.database.write().await.unwrap();
    let today: Month = of("2025-06");
    assert_eq!(store::latest_counted_month(&mut conn, today).await.unwrap(), None);
    assert_eq!(store::default_period(&mut conn, today).await.unwrap().to(), today);
    let cells = [
        cell("2025-01", "all-pci", Some(9)),
        cell("2025-03", "cto-pci", Some(0)),
        cell("2052-04", "all-pci", Some(9)),
    ];
    store::set_at_risk(&mut conn, &cells).await.unwrap();
    assert_eq!(store::latest_counted_month(&mut conn, today).await.unwrap(), Some(of("2025-03")));
    assert_eq!(
        store::default_period(&mut conn, today).await.unwrap(),
        Period::new(of("2024-04"), of("2025-03")).unwrap()
    );
}

#[tokio::test]
async fn stored_cases_give_the_interval_that_newcombe_printed() {
    // Newcombe, Stat Med 1998;17:857: 15/148, Wilson 0.0624 to 0.1605, exact 0.0578 to 0.1617;
    // 0/20, exact upper limit 0.1684. From memory.
    let store = Store::new().await;
    let mut conn = store.database.write().await.unwrap();
    for (month, cases, bifurcations) in [("2025-01", 7, 60), ("2025-02", 0, 48), ("2025-03", 8, 40)] {
        for _ in 0..cases {
            insert(&mut conn, of(month), &["branch-jailed"], Stage::Recorded).await;
        }
        store::set_at_risk(&mut conn, &[cell(month, "bifurcation-pci", Some(bifurcations))]).await.unwrap();
    }
    store::set_at_risk(&mut conn, &[cell("2025-03", "atherectomy-pci", Some(20))]).await.unwrap();
    let table =
        store::table(&mut conn, &store.vocabulary, Period::new(of("2025-01"), of("2025-03")).unwrap())
            .await
            .unwrap();

    let rate = table.line(&of("branch-jailed")).unwrap().rate().unwrap();
    assert_eq!(rate.counts_in_words(), "15 of 148");
    assert_eq!(rate.interval_in_words(), "62.4 to 160.5");
    assert_eq!(rate.exact_in_words(), "57.8 to 161.7");
    let ablation =
        store.vocabulary.mechanisms.iter().find(|leaf| leaf.at_risk == of("atherectomy-pci")).unwrap();
    let none = table.line(&ablation.slug).unwrap();
    assert_eq!(none.rate().unwrap().interval_in_words(), "at most 168.4");
    assert_eq!(none.notes()[0], "Atherectomy PCI was not counted in January to February 2025.");
    assert_eq!(table.recorded_since, Some(of("2025-01")));
}

#[tokio::test]
async fn a_month_without_a_denominator_leaves_its_events_out_by_name() {
    let store = Store::new().await;
    let mut conn = store.database.write().await.unwrap();
    for month in ["2025-01", "2025-02", "2025-02", "2025-04"] {
        insert(&mut conn, of(month), &["flow-no-reflow"], Stage::Recorded).await;
    }
    let cells = [
        cell("2025-01", "all-pci", Some(50)),
        cell("2025-02", "cto-pci", Some(50)),
        cell("2025-03", "all-pci", Some(50)),
        cell("2025-04", "all-pci", Some(0)),
    ];
    store::set_at_risk(&mut conn, &cells).await.unwrap();
    let from_january_to = async |conn: &mut sqlx::SqliteConnection, to: &str| {
        let period = Period::new(of("2025-01"), of(to)).unwrap();
        let table = store::table(conn, &store.vocabulary, period).await.unwrap();
        table.line(&of("flow-no-reflow")).unwrap().clone()
    };
    let line = from_january_to(&mut conn, "2025-03").await;
    assert_eq!(line.rate().unwrap().counts_in_words(), "1 of 100");
    assert_eq!(line.now.not_counted(), [of::<Month>("2025-02")]);
    assert_eq!(line.now.events_not_counted(), 2);
    // An event in a month with no procedure is a contradiction, and not a rate.
    let line = from_january_to(&mut conn, "2025-04").await;
    assert_eq!(line.rate(), None);
    assert!(line.no_rate().unwrap().contains("April 2025 (1 event, 0 procedures)"), "{:?}", line.no_rate());
}

#[tokio::test]
async fn a_mechanism_that_the_tree_does_not_have_has_no_rate_line() {
    let store = Store::new().await;
    let mut conn = store.database.write().await.unwrap();
    let found =
        store::case_rate(&mut conn, &store.vocabulary, &of("no-such-thing"), of("2025-06")).await.unwrap();
    assert_eq!(found, None);
}

fn writes() -> impl Strategy<Value = Vec<Vec<(i64, usize, Option<u32>)>>> {
    let cell = (0_i64..6, 0_usize..3, prop::option::of(0_u32..500));
    prop::collection::vec(prop::collection::vec(cell, 0..12), 1..8)
}

#[test]
fn after_any_writes_the_grid_holds_the_last_of_each_cell() {
    for_any(20_250_101, 100, writes(), async |store, conn, writes| {
        let first: Month = of("2024-11");
        let mut expected: BTreeMap<(Month, &str), u32> = BTreeMap::new();
        for write in &writes {
            let mut cells = Vec::new();
            for &(month, stratum, procedures) in write {
                let stratum = store.vocabulary.strata[stratum].slug.as_str();
                let month = first.plus(month);
                cells.push(AtRisk { month, stratum: of(stratum), procedures });
                match procedures {
                    Some(procedures) => expected.insert((month, stratum), procedures),
                    None => expected.remove(&(month, stratum)),
                };
            }
            store::set_at_risk(conn, &cells).await.unwrap();
        }
        let found = store::at_risk(conn, first, first.plus(5)).await.unwrap();
        let expected: Vec<AtRisk> = expected
            .into_iter()
            .map(|((month, stratum), procedures)| AtRisk {
                month,
                stratum: of(stratum),
                procedures: Some(procedures),
            })
            .collect();
        assert_eq!(found, expected);
    });
}
