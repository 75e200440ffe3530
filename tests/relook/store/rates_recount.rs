//! Counts by the database against a naive recount, after any sequence of entries and edits.

use std::collections::{BTreeMap, BTreeSet};

use proptest::prelude::*;
use relook::case::store::{Part, RowValue};
use relook::case::{self, CaseCode, Complication, Month, Stage};
use relook::rates::{ByMonth, Period, Subject, Tally, store};
use sqlx::SqliteConnection;

use super::{NOW, Store, for_any, insert, of};

/// Mechanisms of three branches, some of the same.
const MECHANISMS: [&str; 6] = [
    "wire-subintimal",
    "wire-distal-perforation",
    "branch-jailed",
    "branch-carina-shift",
    "flow-no-reflow",
    "access-occlusion",
];

/// What a person does to the record. Numbers choose among what there is.
#[derive(Debug, Clone)]
enum Act {
    Insert { month: i64, mechanisms: Vec<usize>, stage: usize },
    AddRow { case: usize, mechanism: usize },
    ChangeRow { case: usize, row: usize, mechanism: usize },
    TakeOut { case: usize, row: usize },
    PutBack { case: usize, row: usize },
    MoveMonth { case: usize, month: i64 },
    SetStage { case: usize, stage: usize },
}

fn acts() -> impl Strategy<Value = Vec<Act>> {
    let (any, mechanism) = (0_usize..100, 0..MECHANISMS.len());
    let act = prop_oneof![
        4 => (0_i64..6, prop::collection::vec(mechanism.clone(), 1..4), any.clone())
            .prop_map(|(month, mechanisms, stage)| Act::Insert { month, mechanisms, stage }),
        2 => (any.clone(), mechanism.clone()).prop_map(|(case, mechanism)| Act::AddRow { case, mechanism }),
        2 => (any.clone(), any.clone(), mechanism)
            .prop_map(|(case, row, mechanism)| Act::ChangeRow { case, row, mechanism }),
        3 => (any.clone(), any.clone()).prop_map(|(case, row)| Act::TakeOut { case, row }),
        1 => (any.clone(), any.clone()).prop_map(|(case, row)| Act::PutBack { case, row }),
        1 => (any.clone(), 0_i64..6).prop_map(|(case, month)| Act::MoveMonth { case, month }),
        1 => (any.clone(), any).prop_map(|(case, stage)| Act::SetStage { case, stage }),
    ];
    prop::collection::vec(act, 1..40)
}

/// What the record should hold: kept by the test alone, never read from the database.
struct Expected {
    id: i64,
    code: CaseCode,
    month: Month,
    /// Row id, mechanism, taken out.
    rows: Vec<(i64, usize, bool)>,
}

fn first() -> Month {
    of("2024-10")
}

fn complication(key: &str, mechanism: usize) -> Complication {
    Complication { key: of(key), ..Complication::of(of(MECHANISMS[mechanism])) }
}

async fn row_ids(conn: &mut SqliteConnection, code: CaseCode) -> Vec<i64> {
    let found = case::store::find(conn, code).await.unwrap().unwrap();
    found.complications.iter().map(|row| row.id).collect()
}

async fn perform(conn: &mut SqliteConnection, act: &Act, record: &mut Vec<Expected>) {
    let stage_of = |number: usize| Stage::ALL[number % Stage::ALL.len()];
    if let Act::Insert { month, mechanisms, stage } = act {
        let slugs: Vec<&str> = mechanisms.iter().map(|index| MECHANISMS[*index]).collect();
        let month = first().plus(*month);
        let (id, code) = insert(conn, month, &slugs, stage_of(*stage)).await;
        let ids = row_ids(conn, code).await;
        let rows = ids.into_iter().zip(mechanisms).map(|(id, mechanism)| (id, *mechanism, false)).collect();
        record.push(Expected { id, code, month, rows });
        return;
    }
    if record.is_empty() {
        return;
    }
    let cases = record.len();
    match *act {
        Act::Insert { .. } => unreachable!("done above"),
        Act::AddRow { case, mechanism } => {
            let of_case = &mut record[case % cases];
            let key = case::store::free_key(conn, of_case.id, Part::Complication).await.unwrap();
            let value = RowValue::Complication(complication(key.as_str(), mechanism));
            let row = case::store::insert_row(conn, of_case.id, &value, NOW).await.unwrap();
            of_case.rows.push((row, mechanism, false));
        }
        Act::ChangeRow { case, row, mechanism } => {
            let of_case = &mut record[case % cases];
            let index = row % of_case.rows.len();
            let value = RowValue::Complication(complication(&format!("c{index}"), mechanism));
            case::store::update_row(conn, of_case.id, of_case.rows[index].0, &value, NOW).await.unwrap();
            of_case.rows[index].1 = mechanism;
        }
        Act::TakeOut { case, row } => {
            let of_case = &mut record[case % cases];
            let index = row % of_case.rows.len();
            case::store::take_out(conn, of_case.id, Part::Complication, of_case.rows[index].0, NOW)
                .await
                .unwrap();
            of_case.rows[index].2 = true;
        }
        Act::PutBack { case, row } => {
            let of_case = &mut record[case % cases];
            let index = row % of_case.rows.len();
            case::store::put_back(conn, of_case.id, Part::Complication, of_case.rows[index].0, NOW)
                .await
                .unwrap();
            of_case.rows[index].2 = false;
        }
        Act::MoveMonth { case, month } => {
            let of_case = &mut record[case % cases];
            let mut head = case::store::find(conn, of_case.code).await.unwrap().unwrap().head;
            head.month = first().plus(month);
            case::store::update_head(conn, of_case.id, &head, NOW).await.unwrap();
            of_case.month = head.month;
        }
        Act::SetStage { case, stage } => {
            let id = record[case % cases].id;
            case::store::set_stage(conn, id, stage_of(stage), NOW).await.unwrap();
        }
    }
}

/// Counts cases one by one: those with a row that is there and that `wanted` takes.
fn recount(record: &[Expected], (from, to): (Month, Month), wanted: impl Fn(&str) -> bool) -> ByMonth {
    let mut months: BTreeMap<Month, BTreeSet<i64>> = BTreeMap::new();
    for case in record {
        for (_, mechanism, taken_out) in &case.rows {
            if !taken_out && wanted(MECHANISMS[*mechanism]) && from <= case.month && case.month <= to {
                months.entry(case.month).or_default().insert(case.id);
            }
        }
    }
    months.into_iter().map(|(month, cases)| (month, u32::try_from(cases.len()).unwrap())).collect()
}

fn by_month(tally: &Tally) -> ByMonth {
    tally.months.iter().filter(|m| m.events > 0).map(|m| (m.month, m.events)).collect()
}

async fn compare(store: &Store, conn: &mut SqliteConnection, record: &[Expected], reach: (Month, Month)) {
    let vocabulary = &store.vocabulary;
    let counts = store::counts(conn, reach.0, reach.1).await.unwrap();
    assert_eq!(counts.whole(), &recount(record, reach, |_| true));
    for branch in &vocabulary.mechanism_branches {
        let of_branch = |slug: &str| vocabulary.mechanism(&of(slug)).unwrap().branch == branch.slug;
        assert_eq!(counts.branch(&branch.slug), &recount(record, reach, of_branch), "{}", branch.slug);
    }
    for leaf in &vocabulary.mechanisms {
        let expected = recount(record, reach, |slug| slug == leaf.slug.as_str());
        assert_eq!(counts.mechanism(&leaf.slug), &expected, "{}", leaf.slug);
    }
    // The table holds the same counts, in this period and the one before.
    let period = Period::new(reach.0, reach.1).unwrap();
    let before = period.previous().unwrap();
    let table = store::table(conn, vocabulary, period).await.unwrap();
    assert_eq!(by_month(&table.whole.now), recount(record, reach, |_| true));
    for line in &table.with_events {
        let Subject::Mechanism(mechanism) = &line.subject else {
            panic!("{line:?}");
        };
        let wanted = |slug: &str| slug == mechanism.as_str();
        assert_eq!(by_month(&line.now), recount(record, reach, wanted));
        assert_eq!(
            by_month(line.previous.as_ref().unwrap()),
            recount(record, (before.from(), before.to()), wanted)
        );
    }
    // One mechanism is counted by a statement of its own.
    for slug in MECHANISMS {
        let line = store::case_rate(conn, vocabulary, &of(slug), reach.1).await.unwrap().unwrap();
        let usual = (reach.1.plus(-11), reach.1);
        assert_eq!(by_month(&line.now), recount(record, usual, |other| other == slug), "{slug}");
    }
}

#[test]
fn counts_are_those_of_a_naive_recount_after_any_entries_and_edits() {
    let reach = (-2_i64..6, 0_i64..8);
    for_any(20_250_102, 120, (acts(), reach), async |store, conn, (acts, (from, length))| {
        let mut record = Vec::new();
        for act in &acts {
            perform(conn, act, &mut record).await;
        }
        let from = first().plus(from);
        compare(store, conn, &record, (from, from.plus(length))).await;
    });
}

#[tokio::test]
async fn a_case_counts_at_every_stage_and_its_chain_once_for_each_mechanism() {
    let store = Store::new().await;
    let mut conn = store.database.write().await.unwrap();
    let month: Month = of("2025-01");
    for stage in Stage::ALL {
        insert(&mut conn, month, &["wire-subintimal", "wire-distal-perforation", "wire-subintimal"], *stage)
            .await;
    }
    let counts = store::counts(&mut conn, month, month).await.unwrap();
    let every_stage = ByMonth::from([(month, 5)]);
    assert_eq!(Stage::ALL.len(), 5);
    assert_eq!(counts.whole(), &every_stage);
    assert_eq!(counts.branch("wire"), &every_stage);
    assert_eq!(counts.mechanism(&of("wire-subintimal")), &every_stage);
    assert_eq!(counts.mechanism(&of("wire-distal-perforation")), &every_stage);
}
