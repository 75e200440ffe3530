//! What the store keeps: one open poll of a decision and phase, the latest counts, the former stay.

use std::collections::BTreeSet;

use relook::conference::votes::store::{self as votes, Cast};
use relook::conference::votes::{Device, HandCounts, Phase, that_counts};

use super::{OPTIONS, QUESTION, case, close, open, open_in, phones, poll};
use crate::support::{TestApp, of};

async fn cast(
    app: &TestApp,
    code: &relook::conference::votes::PollCode,
    device: &Device,
    place: &str,
) -> Cast {
    let mut tx = app.app.database.write().await.unwrap();
    let cast = votes::cast(&mut tx, code, &device.digest_in(code), of(place)).await.unwrap();
    tx.commit().await.unwrap();
    cast
}

#[tokio::test]
async fn a_poll_is_kept_as_the_room_saw_it() {
    let app = TestApp::init().await;
    let code = open(&app).await;
    let poll = poll(&app, &code).await;
    assert_eq!(poll.question, QUESTION);
    assert_eq!(poll.options.iter().map(|option| option.text.as_str()).collect::<Vec<_>>(), OPTIONS);
    assert_eq!((poll.decision.as_str(), poll.phase, poll.total()), ("d1", Phase::Before, 0));
    assert!(poll.is_open());
}

#[tokio::test]
async fn opening_again_waits_for_the_close_and_then_the_new_one_counts() {
    let app = TestApp::init().await;
    let case = case(&app).await;
    let first = open_in(&app, case, Phase::Before).await.unwrap();
    assert_eq!(open_in(&app, case, Phase::Before).await, None, "two are open");
    let after = open_in(&app, case, Phase::After).await.unwrap();
    let device = Device::generate().unwrap();
    assert_eq!(cast(&app, &first, &device, "1").await, Cast::Counted);
    close(&app, &first).await;
    let second = open_in(&app, case, Phase::Before).await.unwrap();
    assert_eq!(cast(&app, &second, &device, "2").await, Cast::Counted);
    assert_eq!(cast(&app, &after, &device, "3").await, Cast::Counted);

    let id = app.case(case.code).await.id;
    let polls = votes::list(&mut app.app.database.read().await.unwrap(), id).await.unwrap();
    assert_eq!(polls.iter().map(|poll| &poll.code).collect::<Vec<_>>(), [&first, &after, &second]);
    let counted = |phase| {
        let poll = that_counts(&polls, &of("d1"), phase).unwrap();
        (&poll.code, poll.options.iter().map(|option| option.phones).collect::<Vec<_>>())
    };
    assert_eq!(counted(Phase::Before), (&second, vec![0, 1, 0]));
    assert_eq!(counted(Phase::After), (&after, vec![0, 0, 1]));
    assert!(that_counts(&polls, &of("d2"), Phase::Before).is_none());
    // The former one is kept.
    assert_eq!(phones(&app, &first).await, [1, 0, 0]);
    assert!(polls[0].closed_at.is_some() && polls[2].closed_at.is_none());
}

#[tokio::test]
async fn a_vote_for_what_is_not_there_counts_nowhere() {
    let app = TestApp::init().await;
    let code = open(&app).await;
    let device = Device::generate().unwrap();
    assert_eq!(cast(&app, &code, &device, "4").await, Cast::NoSuchOption);
    assert_eq!(cast(&app, &of("zzzzzz"), &device, "1").await, Cast::NoSuchPoll);
    close(&app, &code).await;
    assert_eq!(cast(&app, &code, &device, "1").await, Cast::Closed);
    assert_eq!(phones(&app, &code).await, [0, 0, 0]);
}

#[tokio::test]
async fn a_device_has_another_digest_in_every_poll_and_its_cookie_is_kept_nowhere() {
    let app = TestApp::init().await;
    let case = case(&app).await;
    let device = Device::generate().unwrap();
    for phase in [Phase::Before, Phase::After] {
        let code = open_in(&app, case, phase).await.unwrap();
        assert_eq!(cast(&app, &code, &device, "1").await, Cast::Counted);
    }
    let digests: Vec<String> = sqlx::query_scalar("select device_digest from poll_votes")
        .fetch_all(&mut *app.app.database.read().await.unwrap())
        .await
        .unwrap();
    assert_eq!(digests.len(), 2);
    assert_eq!(digests.iter().collect::<BTreeSet<_>>().len(), 2, "{digests:?}");
    let bytes = app.file_bytes();
    let held = |text: &str| bytes.windows(text.len()).any(|part| part == text.as_bytes());
    assert!(digests.iter().all(|digest| held(digest)), "the walk over the file finds nothing");
    assert!(!held(device.expose()));
}

#[tokio::test]
async fn hands_are_set_not_added_and_what_was_not_counted_stays() {
    let app = TestApp::init().await;
    let code = open(&app).await;
    let set = async |pairs: &[(&str, &str)]| {
        let mut counts = HandCounts::default();
        pairs.iter().for_each(|(place, hands)| counts.set(of(place), of(hands)));
        let mut tx = app.app.database.write().await.unwrap();
        votes::set_hands(&mut tx, &code, &counts).await.unwrap();
        tx.commit().await.unwrap();
        poll(&app, &code).await.options.iter().map(|option| option.hands.count()).collect::<Vec<_>>()
    };
    assert_eq!(set(&[("1", "12"), ("3", "4")]).await, [12, 0, 4]);
    assert_eq!(set(&[("1", "12"), ("3", "4")]).await, [12, 0, 4]);
    assert_eq!(set(&[("2", "7"), ("3", "0")]).await, [12, 7, 0]);
    close(&app, &code).await;
    assert_eq!(set(&[("1", "11")]).await, [11, 7, 0]);
}

#[tokio::test]
async fn closing_twice_keeps_the_first_time() {
    let app = TestApp::init().await;
    let code = open(&app).await;
    close(&app, &code).await;
    let first = poll(&app, &code).await.closed_at;
    close(&app, &code).await;
    assert!(first.is_some());
    assert_eq!(poll(&app, &code).await.closed_at, first);
}

#[tokio::test]
async fn votes_go_with_their_case() {
    let app = TestApp::init().await;
    let code = open(&app).await;
    cast(&app, &code, &Device::generate().unwrap(), "1").await;
    app.execute("delete from case_records").await;
    for table in
        ["select count(*) from polls", "select count(*) from poll_options", "select count(*) from poll_votes"]
    {
        let count: i64 =
            sqlx::query_scalar(table).fetch_one(&mut *app.app.database.read().await.unwrap()).await.unwrap();
        assert_eq!(count, 0, "{table}");
    }
}

#[tokio::test]
async fn each_question_is_answered_by_an_index() {
    let app = TestApp::init().await;
    let plans = [
        "explain query plan select id from polls where case_id = 1 order by id",
        "explain query plan select id from polls where code = 'k7m3xq'",
        "explain query plan select id from polls
         where case_id = 1 and decision_key = 'd1' and phase = 'before' and closed_at is null",
        "explain query plan select count(*) from poll_votes where poll_id = 1 and position = 2",
        "explain query plan select position from poll_votes where poll_id = 1 and device_digest = 'a'",
    ];
    for plan in plans {
        let rows: Vec<(i64, i64, i64, String)> =
            sqlx::query_as(plan).fetch_all(&mut *app.app.database.read().await.unwrap()).await.unwrap();
        assert!(rows.iter().any(|row| row.3.starts_with("SEARCH")), "{plan}: {rows:?}");
        assert!(rows.iter().all(|row| !row.3.starts_with("SCAN")), "{plan}: {rows:?}");
    }
}
