//! The second step: a code from the phone, or a recovery code.

use relook::accounts::{RecoveryCode, TotpKey, store};

use crate::support::{Client, PASSWORD, Page, Role, SESSION_COOKIE, StatusCode, TestApp};

async fn with_key() -> (TestApp, TotpKey) {
    let house = TestApp::init().await;
    // Else a test may slip from one step of half a minute into the next.
    house.app.clock.stop();
    house.set_password(Role::Fellow).await;
    let key = house.set_second_factor(Role::Fellow).await;
    (house, key)
}

async fn to_the_code(house: &TestApp) -> Client {
    let client = house.signed_out();
    let answer = client.sign_in("Fay Fellow", PASSWORD).await;
    answer.expect(StatusCode::SEE_OTHER);
    assert_eq!(answer.location(), "/sign-in/code?next=%2Fcases");
    client
}

async fn give(client: &Client, code: &str) -> Page {
    client.post("/sign-in/code", &[("code", code), ("next", "/cases")]).await
}

#[tokio::test]
async fn the_password_alone_opens_nothing_and_with_the_code_it_does() {
    let (house, key) = with_key().await;
    let client = to_the_code(&house).await;
    assert_eq!(client.cookie(SESSION_COOKIE), None, "no session before the code");
    client.get("/cases").await.expect(StatusCode::SEE_OTHER);
    let page = client.get("/sign-in/code?next=%2Fcases").await;
    page.expect(StatusCode::OK);
    assert_eq!(page.heading(), "Your code, Fay Fellow");
    assert_eq!(page.attr("#code", "autocomplete").as_deref(), Some("one-time-code"));
    let answer = give(&client, &house.code(&key, 0)).await;
    answer.expect(StatusCode::SEE_OTHER);
    assert_eq!(answer.location(), "/cases");
    client.get("/cases").await.expect(StatusCode::OK);
}

#[tokio::test]
async fn the_cookie_of_the_step_is_no_session() {
    let (house, _) = with_key().await;
    let client = to_the_code(&house).await;
    let step = client.cookie("relook_step").unwrap();
    house.signed_out().with_cookie(SESSION_COOKIE, &step).get("/cases").await.expect(StatusCode::SEE_OTHER);
}

#[tokio::test]
async fn a_code_one_step_off_is_taken_and_two_steps_off_is_not() {
    for (steps, taken) in [(-2, false), (-1, true), (1, true), (2, false)] {
        let (house, key) = with_key().await;
        let client = to_the_code(&house).await;
        let status = if taken { StatusCode::SEE_OTHER } else { StatusCode::UNPROCESSABLE_ENTITY };
        give(&client, &house.code(&key, steps)).await.expect(status);
    }
}

#[tokio::test]
async fn a_code_is_taken_once() {
    let (house, key) = with_key().await;
    let (first, second) = (to_the_code(&house).await, house.code(&key, 0));
    give(&first, &second).await.expect(StatusCode::SEE_OTHER);
    let again = to_the_code(&house).await;
    let page = give(&again, &second).await;
    page.expect(StatusCode::UNPROCESSABLE_ENTITY);
    assert!(page.text.contains("not right, or was used already"), "{page}");
    again.get("/cases").await.expect(StatusCode::SEE_OTHER);
    give(&again, &house.code(&key, 1)).await.expect(StatusCode::SEE_OTHER);
}

#[tokio::test]
async fn two_who_send_the_same_code_at_once_are_not_both_let_in() {
    let (house, key) = with_key().await;
    let user = house.user(Role::Fellow).await;
    let step = TotpKey::step(house.app.now());
    let mut tx = house.app.database.write().await.unwrap();
    assert!(store::use_step(&mut tx, user.id, step).await.unwrap());
    assert!(!store::use_step(&mut tx, user.id, step).await.unwrap());
    assert!(!store::use_step(&mut tx, user.id, step - 1).await.unwrap());
    drop((tx, key));
}

#[tokio::test]
async fn a_recovery_code_lets_in_once() {
    let (house, _) = with_key().await;
    let user = house.user(Role::Fellow).await;
    let codes = RecoveryCode::generate_set().unwrap();
    let mut tx = house.app.database.write().await.unwrap();
    store::set_recovery_codes(&mut tx, user.id, &codes).await.unwrap();
    tx.commit().await.unwrap();
    let client = to_the_code(&house).await;
    give(&client, &codes[3].expose().to_uppercase().replace('-', " ")).await.expect(StatusCode::SEE_OTHER);
    client.get("/cases").await.expect(StatusCode::OK);
    let page = client.get("/account").await;
    assert!(page.text.contains("9 recovery codes are left."), "{page}");
    let again = to_the_code(&house).await;
    give(&again, &codes[3].expose()).await.expect(StatusCode::UNPROCESSABLE_ENTITY);
    give(&again, &codes[4].expose()).await.expect(StatusCode::SEE_OTHER);
    // Another's codes are not one's own.
    house.set_password(Role::Attending).await;
    house.set_second_factor(Role::Attending).await;
    let other = house.signed_out();
    other.sign_in("Ada Attending", PASSWORD).await.expect(StatusCode::SEE_OTHER);
    give(&other, &codes[5].expose()).await.expect(StatusCode::UNPROCESSABLE_ENTITY);
}

#[tokio::test]
async fn the_code_is_waited_for_ten_minutes_and_only_where_the_password_was_right() {
    let (house, key) = with_key().await;
    let stranger = house.signed_out();
    let answer = give(&stranger, &house.code(&key, 0)).await;
    answer.expect(StatusCode::SEE_OTHER);
    assert_eq!(answer.location(), "/sign-in");
    assert_eq!(stranger.cookie(SESSION_COOKIE), None);
    stranger.get("/sign-in/code").await.expect(StatusCode::SEE_OTHER);
    let client = to_the_code(&house).await;
    for minutes in [10, -6] {
        house.app.clock.set_ahead(minutes * 60);
        let answer = give(&client, &house.code(&key, 0)).await;
        assert_eq!(answer.location(), "/sign-in", "{minutes}");
        assert_eq!(client.cookie(SESSION_COOKIE), None);
        house.app.clock.set_ahead(0);
        client.sign_in("Fay Fellow", PASSWORD).await.expect(StatusCode::SEE_OTHER);
    }
}

#[tokio::test]
async fn a_new_password_ends_a_wait_for_the_code() {
    let (house, key) = with_key().await;
    let client = to_the_code(&house).await;
    house.set_password(Role::Fellow).await;
    let answer = give(&client, &house.code(&key, 0)).await;
    assert_eq!(answer.location(), "/sign-in");
    assert_eq!(client.cookie(SESSION_COOKIE), None);
}
