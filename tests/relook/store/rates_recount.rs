//! Counts by the database against a naive recount, after any sequence of entries and edits.

use std::collections::{BTreeMap, BTreeSet};

use proptest::prelude::*;
use relook::case::store::{Part, RowValue};
use relook::case::traits::Trait;
use relook::case::{self, CaseCode, Complication, Month, Stage, Urgency};
use relook::rates::store::{self, Among};
use relook::rates::{AtRisk, ByMonth, Chosen, Every, Judged, Period, Rules, Subject, Tally};
use sqlx::{Connection as _, SqliteConnection};

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
    SetUrgency { case: usize, urgency: usize },
    AddLesion { case: usize, cto: bool },
    Purge { case: usize },
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
        1 => (any.clone(), any.clone()).prop_map(|(case, stage)| Act::SetStage { case, stage }),
        2 => (any.clone(), 0_usize..5).prop_map(|(case, urgency)| Act::SetUrgency { case, urgency }),
        2 => (any.clone(), prop::bool::ANY).prop_map(|(case, cto)| Act::AddLesion { case, cto }),
        1 => any.prop_map(|case| Act::Purge { case }),
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
    urgency: Option<Urgency>,
    lesions: usize,
    occlusion: bool,
}

impl Expected {
    /// Whether a feature holds, by the test's own reading.
    fn holds(&self, feature: Trait) -> Option<bool> {
        match feature {
            Trait::Emergency => {
                self.urgency.map(|urgency| matches!(urgency, Urgency::Emergency | Urgency::Salvage))
            }
            Trait::ChronicOcclusion => (self.lesions > 0).then_some(self.occlusion),
            other => panic!("{other} is not recounted here"),
        }
    }
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
        record.push(Expected { id, code, month, rows, urgency: None, lesions: 0, occlusion: false });
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
        Act::SetUrgency { case, urgency } => {
            let of_case = &mut record[case % cases];
            let mut head = case::store::find(conn, of_case.code).await.unwrap().unwrap().head;
            head.procedure.urgency = Urgency::ALL.get(urgency).copied();
            case::store::update_head(conn, of_case.id, &head, NOW).await.unwrap();
            of_case.urgency = head.procedure.urgency;
        }
        Act::AddLesion { case, cto } => {
            let of_case = &mut record[case % cases];
            let text = format!("segment = \"lad-mid\"\ncto = {cto}\n");
            let value = RowValue::Lesion(toml::from_str(&text).unwrap());
            case::store::insert_row(conn, of_case.id, &value, NOW).await.unwrap();
            of_case.lesions += 1;
            of_case.occlusion |= cto;
        }
        Act::Purge { case } => {
            let gone = record.remove(case % cases);
            sqlx::query("delete from case_records where id = $1")
                .bind(gone.id)
                .execute(&mut *conn)
                .await
                .unwrap();
        }
    }
}

/// Counts cases one by one: those with a row that is there and that `wanted` takes.
fn recount(record: &[Expected], reach: (Month, Month), wanted: impl Fn(&str) -> bool) -> ByMonth {
    recount_among(record, |_| true, reach, wanted)
}

/// The same among some of the cases.
fn recount_among(
    record: &[Expected],
    among: impl Fn(&Expected) -> bool,
    (from, to): (Month, Month),
    wanted: impl Fn(&str) -> bool,
) -> ByMonth {
    let mut months: BTreeMap<Month, BTreeSet<i64>> = BTreeMap::new();
    for case in record.iter().filter(|case| among(case)) {
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
    let counts = store::counts(conn, Among::All, reach.0, reach.1).await.unwrap();
    assert_eq!(counts.whole(), &recount(record, reach, |_| true));
    for branch in &vocabulary.mechanism_branches {
        let of_branch = |slug: &str| vocabulary.mechanism(&of(slug)).unwrap().branch == branch.slug;
        assert_eq!(counts.branch(&branch.slug), &recount(record, reach, of_branch), "{}", branch.slug);
    }
    for leaf in &vocabulary.mechanisms {
        let expected = recount(record, reach, |slug| slug == leaf.slug.as_str());
        assert_eq!(counts.mechanism(&leaf.slug), &expected, "{}", leaf.slug);
    }
    // The same among the cases of which a feature holds, and of which it does not.
    for feature in [Trait::Emergency, Trait::ChronicOcclusion] {
        for (among, holds) in [(Among::With(feature), true), (Among::Without(feature), false)] {
            let counts = store::counts(conn, among, reach.0, reach.1).await.unwrap();
            let chosen = |case: &Expected| case.holds(feature) == Some(holds);
            assert_eq!(counts.whole(), &recount_among(record, chosen, reach, |_| true), "{among:?}");
            for slug in MECHANISMS {
                let expected = recount_among(record, chosen, reach, |other| other == slug);
                assert_eq!(counts.mechanism(&of(slug)), &expected, "{slug} {among:?}");
            }
        }
    }
    // What is kept is what a count from scratch gives, under every feature there is.
    assert_eq!(store::compare(conn).await.unwrap(), []);
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
    let counts = store::counts(&mut conn, Among::All, month, month).await.unwrap();
    let every_stage = ByMonth::from([(month, 5)]);
    assert_eq!(Stage::ALL.len(), 5);
    assert_eq!(counts.whole(), &every_stage);
    assert_eq!(counts.branch("wire"), &every_stage);
    assert_eq!(counts.mechanism(&of("wire-subintimal")), &every_stage);
    assert_eq!(counts.mechanism(&of("wire-distal-perforation")), &every_stage);
}

#[tokio::test]
async fn counts_that_were_spoiled_are_found_and_made_anew() {
    let store = Store::new().await;
    let mut conn = store.database.write().await.unwrap();
    insert(&mut conn, of("2025-01"), &["wire-subintimal"], Stage::Recorded).await;
    assert_eq!(store::compare(&mut conn).await.unwrap(), []);
    sqlx::query("update kept_counts set cases = 5 where kind = 'whole'").execute(&mut *conn).await.unwrap();
    sqlx::query("delete from kept_counts where kind = 'branch'").execute(&mut *conn).await.unwrap();
    let found = store::compare(&mut conn).await.unwrap();
    let differs = |kind: &str| found.iter().find(|row| row.kind == kind && row.under == "any").unwrap();
    assert_eq!((differs("whole").kept, differs("whole").counted), (5, 1));
    assert_eq!((differs("branch").kept, differs("branch").counted), (0, 1));
    store::rebuild(&mut conn).await.unwrap();
    assert_eq!(store::compare(&mut conn).await.unwrap(), []);
}

#[tokio::test]
async fn a_mechanism_that_moves_to_another_branch_takes_its_cases_along() {
    let store = Store::new().await;
    let mut conn = store.database.write().await.unwrap();
    let month: Month = of("2025-01");
    insert(&mut conn, month, &["wire-subintimal", "flow-no-reflow"], Stage::Recorded).await;
    insert(&mut conn, month, &["wire-subintimal", "wire-distal-perforation"], Stage::Recorded).await;
    sqlx::query("update mechanisms set branch = 'flow' where slug = 'wire-subintimal'")
        .execute(&mut *conn)
        .await
        .unwrap();
    let counts = store::counts(&mut conn, Among::All, month, month).await.unwrap();
    assert_eq!(counts.branch("wire"), &ByMonth::from([(month, 1)]));
    assert_eq!(counts.branch("flow"), &ByMonth::from([(month, 2)]));
    assert_eq!(store::compare(&mut conn).await.unwrap(), []);
}

/// Everything that the page of one subject draws from: its course by month, and the chart of it.
async fn drawn(store: &Store, conn: &mut SqliteConnection, slug: &str) -> String {
    let period = Period::new(first(), first().plus(5)).unwrap();
    let subject = Subject::Mechanism(of(slug));
    let course = store::course(conn, &store.vocabulary, &subject, (period, Every::Month), None)
        .await
        .unwrap()
        .unwrap()
        .unwrap();
    let judged = Judged::of(&course, Chosen::Suited, None, Rules::Runs);
    format!("{course:?} {judged:?}")
}

#[test]
fn a_chart_is_the_same_whether_its_cases_come_in_one_import_or_in_two_and_in_another_order() {
    let cases = prop::collection::vec((0_i64..6, 0..MECHANISMS.len()), 1..24);
    for_any(20_250_103, 24, (cases, 0_usize..24), async |store, conn, (cases, at)| {
        let at_risk: Vec<AtRisk> = (0..6)
            .map(|month| AtRisk {
                month: first().plus(month),
                stratum: of("all-pci"),
                procedures: (month != 3).then_some(100),
            })
            .collect();
        store::set_at_risk(conn, &at_risk).await.unwrap();
        let (one, other) = cases.split_at(at.min(cases.len()));
        let mut pictures = Vec::new();
        for batches in [vec![cases.clone()], vec![other.to_vec(), one.to_vec()]] {
            let mut codes = Vec::new();
            for batch in batches {
                let mut import = conn.begin().await.unwrap();
                for (month, mechanism) in batch {
                    let slugs = [MECHANISMS[mechanism]];
                    codes.push(insert(&mut import, first().plus(month), &slugs, Stage::Recorded).await.0);
                }
                import.commit().await.unwrap();
            }
            let mut picture = String::new();
            for slug in MECHANISMS {
                picture += &drawn(store, conn, slug).await;
            }
            pictures.push(picture);
            for id in codes {
                sqlx::query("delete from case_records where id = $1")
                    .bind(id)
                    .execute(&mut *conn)
                    .await
                    .unwrap();
            }
        }
        assert_eq!(pictures[0], pictures[1]);
    });
}
