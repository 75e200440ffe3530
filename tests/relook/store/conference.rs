//! Conferences and their agendas.

use proptest::prelude::*;
use relook::case::{Day, Sight, Stage};
use relook::conference::{Added, CasePlan, Conference, MOST_CASES, Way, store};
use sqlx::SqliteConnection;

use super::{NOW, Store, for_any, insert, of};

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
    assert_eq!(
        (found.id, found.held_on(), found.plan.title.as_str()),
        (id, of("2025-06-12"), "June conference")
    );
    // An hour, ten minutes for carried-over actions, 25 for each case: common practice.
    assert_eq!((found.plan.length, found.plan.carried), (of("60"), Some(of("10"))));
    assert!(found.cases.iter().all(|case| case.plan.time_box == of("25")));
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
    let days = |some: &[Conference]| some.iter().map(|one| one.held_on().to_string()).collect::<Vec<_>>();
    assert_eq!(days(&list.coming), ["2025-06-12", "2025-07-01", "2025-12-01"]);
    assert_eq!(days(&list.past), ["2025-03-01", "2024-01-01"]);
    assert!(list.coming.iter().chain(&list.past).all(|one| agenda(one) == [case]));
}

async fn next_day(conn: &mut SqliteConnection, today: &str) -> Option<Day> {
    store::next(conn, of(today)).await.unwrap().map(|one| one.held_on())
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
    assert!(store::remove_case(&mut conn, id, cases[0], NOW).await.unwrap());
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
    assert!(!store::remove_case(&mut conn, id, case, NOW).await.unwrap());
}

#[test]
fn after_any_adding_removing_and_moving_the_agenda_keeps_the_order_of_a_list() {
    let acts = prop::collection::vec((0_u8..4, 0_usize..16, 0_usize..2), 1..60);
    for_any(20_250_103, 100, acts, async |_, conn, acts| {
        let cases = some_cases(conn, 16).await;
        let mut ids = Vec::new();
        for day in ["2025-06-12", "2025-07-10"] {
            ids.push(store::insert(conn, of(day), &of("Conference")).await.unwrap());
        }
        let mut expected: [Vec<i64>; 2] = [Vec::new(), Vec::new()];
        for (act, case, which) in acts {
            let (case, list) = (cases[case], &mut expected[which]);
            let there = list.contains(&case);
            if act >= 2 {
                let way = if act == 2 { Way::Up } else { Way::Down };
                let from = list.iter().position(|other| *other == case);
                let to = from.and_then(|from| match way {
                    Way::Up => from.checked_sub(1),
                    Way::Down => (from + 1 < list.len()).then_some(from + 1),
                });
                if let (Some(from), Some(to)) = (from, to) {
                    list.swap(from, to);
                }
                assert_eq!(store::move_case(conn, ids[which], case, way).await.unwrap(), to.is_some());
                continue;
            }
            if act == 1 {
                list.retain(|other| *other != case);
                assert_eq!(store::remove_case(conn, ids[which], case, NOW).await.unwrap(), there);
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

#[tokio::test]
async fn a_case_that_comes_back_has_its_box_its_roles_and_its_notes() {
    let store = Store::new().await;
    let mut conn = store.database.write().await.unwrap();
    let cases = some_cases(&mut conn, 2).await;
    let id = store::insert(&mut conn, of("2025-06-12"), &of("Conference")).await.unwrap();
    for case in &cases {
        store::add_case(&mut conn, id, *case).await.unwrap();
    }
    let plan = CasePlan { time_box: of("40"), presenter: Some(of("fellow on call")), discussant: None };
    store::set_case_plan(&mut conn, id, cases[0], &plan).await.unwrap();
    store::set_case_notes(&mut conn, id, cases[0], Some(&of("Said in the room."))).await.unwrap();
    store::remove_case(&mut conn, id, cases[0], NOW).await.unwrap();
    let off = store::find(&mut conn, id).await.unwrap().unwrap();
    assert_eq!(agenda(&off), [cases[1]]);
    store::put_back(&mut conn, id, cases[0], 1).await.unwrap();
    let back = store::find(&mut conn, id).await.unwrap().unwrap();
    assert_eq!(agenda(&back), cases);
    assert_eq!(back.cases[0].plan, plan);
    let meeting = store::meeting(&mut conn, back, Sight::All).await.unwrap();
    assert_eq!(meeting.cases[0].notes.as_ref().map(|notes| notes.as_str()), Some("Said in the room."));
}

#[tokio::test]
async fn a_conference_that_was_ended_is_past_also_on_its_day() {
    let store = Store::new().await;
    let mut conn = store.database.write().await.unwrap();
    let today: Day = of("2025-06-12");
    let id = store::insert(&mut conn, today, &of("Today")).await.unwrap();
    store::insert(&mut conn, of("2025-07-01"), &of("Next")).await.unwrap();
    assert_eq!(next_day(&mut conn, "2025-06-12").await, Some(today));
    store::end(&mut conn, id, (NOW, today)).await.unwrap();
    assert_eq!(next_day(&mut conn, "2025-06-12").await, Some(of("2025-07-01")));
    let list = store::list(&mut conn, today).await.unwrap();
    assert_eq!((list.coming.len(), list.past.len()), (1, 1));
    store::reopen(&mut conn, id).await.unwrap();
    assert_eq!(next_day(&mut conn, "2025-06-12").await, Some(today));
    assert_eq!(store::next_after(&mut conn, today).await.unwrap(), Some((of("2025-07-01"), of("Next"))));
    assert_eq!(store::next_after(&mut conn, of("2025-07-01")).await.unwrap(), None);
}

#[tokio::test]
async fn ending_a_meeting_moves_its_ready_cases_and_no_other() {
    let store = Store::new().await;
    let mut conn = store.database.write().await.unwrap();
    let id = store::insert(&mut conn, of("2025-06-12"), &of("Conference")).await.unwrap();
    let mut cases = Vec::new();
    for stage in Stage::ALL {
        let (case, code) = insert(&mut conn, of("2025-01"), &["flow-no-reflow"], *stage).await;
        store::add_case(&mut conn, id, case).await.unwrap();
        cases.push((case, code));
    }
    let (_, elsewhere) = insert(&mut conn, of("2025-01"), &["flow-no-reflow"], Stage::Ready).await;
    // Taken off before the end, so not of this meeting.
    let (off, off_code) = insert(&mut conn, of("2025-01"), &["flow-no-reflow"], Stage::Ready).await;
    store::add_case(&mut conn, id, off).await.unwrap();
    store::remove_case(&mut conn, id, off, NOW).await.unwrap();
    store::end(&mut conn, id, (NOW, of("2025-06-12"))).await.unwrap();
    let found = store::find(&mut conn, id).await.unwrap().unwrap();
    let stages: Vec<Stage> = found.cases.iter().map(|case| case.stage).collect();
    use Stage::{Closed, InPreparation, Presented, Ready, Recorded};
    assert_eq!(stages, [Recorded, InPreparation, Presented, Presented, Closed]);
    assert!(found.is_ended());
    for code in [elsewhere, off_code] {
        let case = relook::case::store::find(&mut conn, code).await.unwrap().unwrap();
        assert_eq!(case.head.stage, Ready);
    }
}
