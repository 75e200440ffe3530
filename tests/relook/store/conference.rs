//! Conferences and their agendas.

use proptest::prelude::*;
use relook::case::{Day, Stage};
use relook::conference::{Added, Conference, MOST_CASES, store};
use sqlx::SqliteConnection;

use super::{Store, for_any, insert, of};

async fn some_cases(conn: &mut SqliteConnection, number: usize) -> Vec<i64> {
    let mut ids = Vec::new();
    for _ in 0..number {
        ids.push(insert(conn, of("2025-01"), &["flow-no-reflow"], Stage::Ready).await.0);
    }
    ids
}

fn agenda(conference: &Conference) -> Vec<i64> {
    conference.cases.iter().map(|case| case.id).collect()
}

#[tokio::test]
async fn a_conference_comes_out_with_its_cases_in_the_order_of_the_agenda() {
    let store = Store::new().await;
    let mut conn = store.database.write().await.unwrap();
    let (first, code) = insert(&mut conn, of("2025-01"), &["flow-no-reflow"], Stage::Ready).await;
    let (second, _) = insert(&mut conn, of("2025-02"), &["wire-subintimal"], Stage::Recorded).await;
    let id = store::insert(&mut conn, of("2025-06-12"), &of("June conference")).await.unwrap();
    assert_eq!(store::add_case(&mut conn, id, second).await.unwrap(), Added::Added);
    assert_eq!(store::add_case(&mut conn, id, first).await.unwrap(), Added::Added);
    conn.commit().await.unwrap();

    let mut conn = store.database.read().await.unwrap();
    let found = store::find(&mut conn, id).await.unwrap().unwrap();
    assert_eq!((found.id, found.held_on, found.title.as_str()), (id, of("2025-06-12"), "June conference"));
    assert_eq!(agenda(&found), [second, first]);
    assert_eq!((found.cases[1].code, found.cases[1].stage), (code, Stage::Ready));
    assert_eq!(found.cases[1].title.as_str(), "A case");
    assert_eq!(store::find(&mut conn, id + 1).await.unwrap(), None);
}

#[tokio::test]
async fn a_day_has_one_conference() {
    let store = Store::new().await;
    let mut conn = store.database.write().await.unwrap();
    store::insert(&mut conn, of("2025-06-12"), &of("First")).await.unwrap();
    let error = store::insert(&mut conn, of("2025-06-12"), &of("Second")).await.unwrap_err();
    assert!(error.is_constraint("conferences.held_on"), "{error}");
}

#[tokio::test]
async fn the_list_has_the_soonest_first_and_then_the_past_latest_first() {
    let store = Store::new().await;
    let mut conn = store.database.write().await.unwrap();
    let case = some_cases(&mut conn, 1).await[0];
    for day in ["2025-03-01", "2025-12-01", "2025-06-12", "2024-01-01", "2025-07-01"] {
        let id = store::insert(&mut conn, of(day), &of(day)).await.unwrap();
        store::add_case(&mut conn, id, case).await.unwrap();
    }
    let list = store::list(&mut conn, of("2025-06-12")).await.unwrap();
    let days = |some: &[Conference]| some.iter().map(|one| one.held_on.to_string()).collect::<Vec<_>>();
    assert_eq!(days(&list.coming), ["2025-06-12", "2025-07-01", "2025-12-01"]);
    assert_eq!(days(&list.past), ["2025-03-01", "2024-01-01"]);
    assert!(list.coming.iter().chain(&list.past).all(|one| agenda(one) == [case]));
}

async fn next_day(conn: &mut SqliteConnection, today: &str) -> Option<Day> {
    store::next(conn, of(today)).await.unwrap().map(|one| one.held_on)
}

#[tokio::test]
async fn the_next_conference_is_todays_or_the_soonest_after() {
    let store = Store::new().await;
    let mut conn = store.database.write().await.unwrap();
    assert_eq!(next_day(&mut conn, "2025-01-01").await, None);
    for day in ["2025-07-01", "2025-06-12"] {
        store::insert(&mut conn, of(day), &of("Conference")).await.unwrap();
    }
    let (june, july): (Day, Day) = (of("2025-06-12"), of("2025-07-01"));
    assert_eq!(next_day(&mut conn, "2025-01-01").await, Some(june));
    assert_eq!(next_day(&mut conn, "2025-06-12").await, Some(june));
    assert_eq!(next_day(&mut conn, "2025-06-13").await, Some(july));
    assert_eq!(next_day(&mut conn, "2025-07-02").await, None);
}

#[tokio::test]
async fn an_agenda_holds_twelve_cases_and_each_once() {
    let store = Store::new().await;
    let mut conn = store.database.write().await.unwrap();
    let cases = some_cases(&mut conn, 13).await;
    let id = store::insert(&mut conn, of("2025-06-12"), &of("Conference")).await.unwrap();
    for case in &cases[..12] {
        assert_eq!(store::add_case(&mut conn, id, *case).await.unwrap(), Added::Added);
    }
    assert_eq!(MOST_CASES, 12);
    assert_eq!(store::add_case(&mut conn, id, cases[12]).await.unwrap(), Added::Full);
    assert_eq!(store::add_case(&mut conn, id, cases[3]).await.unwrap(), Added::AlreadyThere);
    assert_eq!(agenda(&store::find(&mut conn, id).await.unwrap().unwrap()), cases[..12]);
    assert!(store::remove_case(&mut conn, id, cases[0]).await.unwrap());
    assert_eq!(store::add_case(&mut conn, id, cases[12]).await.unwrap(), Added::Added);
    assert_eq!(agenda(&store::find(&mut conn, id).await.unwrap().unwrap()), cases[1..]);
}

#[tokio::test]
async fn what_does_not_exist_is_refused_and_what_is_not_there_is_told() {
    let store = Store::new().await;
    let mut conn = store.database.write().await.unwrap();
    let case = some_cases(&mut conn, 1).await[0];
    let id = store::insert(&mut conn, of("2025-06-12"), &of("Conference")).await.unwrap();
    for (conference, case) in [(id, case + 1), (id + 1, case)] {
        let error = store::add_case(&mut conn, conference, case).await.unwrap_err();
        assert!(error.is_constraint("FOREIGN KEY"), "{error}");
    }
    assert!(!store::remove_case(&mut conn, id, case).await.unwrap());
}

#[test]
fn after_any_adding_and_removing_the_agenda_keeps_the_order_of_a_list() {
    let acts = prop::collection::vec((any::<bool>(), 0_usize..16, 0_usize..2), 1..60);
    for_any(20_250_103, 100, acts, async |_, conn, acts| {
        let cases = some_cases(conn, 16).await;
        let mut ids = Vec::new();
        for day in ["2025-06-12", "2025-07-10"] {
            ids.push(store::insert(conn, of(day), &of("Conference")).await.unwrap());
        }
        let mut expected: [Vec<i64>; 2] = [Vec::new(), Vec::new()];
        for (add, case, which) in acts {
            let (case, list) = (cases[case], &mut expected[which]);
            let there = list.contains(&case);
            if !add {
                list.retain(|other| *other != case);
                assert_eq!(store::remove_case(conn, ids[which], case).await.unwrap(), there);
                continue;
            }
            let outcome = match (there, list.len()) {
                (true, _) => Added::AlreadyThere,
                (false, 12) => Added::Full,
                _ => Added::Added,
            };
            if outcome == Added::Added {
                list.push(case);
            }
            assert_eq!(store::add_case(conn, ids[which], case).await.unwrap(), outcome);
        }
        for (id, expected) in ids.iter().zip(&expected) {
            assert_eq!(&agenda(&store::find(conn, *id).await.unwrap().unwrap()), expected);
        }
    });
}
