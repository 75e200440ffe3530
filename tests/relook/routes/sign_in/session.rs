//! Sessions: new secrets, limits, and rights that change.

use relook::accounts::{Secret, store};

use crate::support::{Client, PASSWORD, Role, SESSION_COOKIE, StatusCode, TestApp};

fn secret(client: &Client) -> String {
    client.cookie(SESSION_COOKIE).expect("a session")
}

async fn opens(house: &TestApp, secret: &str) -> bool {
    let page = house.signed_out().with_cookie(SESSION_COOKIE, secret).get("/settings").await;
    page.status == StatusCode::OK
}

/// Session fixation: somebody plants a cookie before a person signs in in that browser.
#[tokio::test]
async fn a_secret_from_before_signing_in_is_never_accepted() {
    let house = TestApp::init().await;
    house.set_password(Role::Fellow).await;
    let planted = "ab".repeat(32);
    let client = house.signed_out().with_cookie(SESSION_COOKIE, &planted);
    client.get("/sign-in").await.expect(StatusCode::OK);
    client.sign_in("Fay Fellow", PASSWORD).await.expect(StatusCode::SEE_OTHER);
    assert_ne!(secret(&client), planted);
    assert!(opens(&house, &secret(&client)).await);
    assert!(!opens(&house, &planted).await);
}

/// The same with a session that was somebody's: it ends, and the next one has another secret.
#[tokio::test]
async fn signing_in_again_ends_the_session_that_the_browser_had() {
    let house = TestApp::init().await;
    house.set_password(Role::Fellow).await;
    let client = house.as_role(Role::Attending).await;
    let before = secret(&client);
    client.sign_in("Fay Fellow", PASSWORD).await.expect(StatusCode::SEE_OTHER);
    assert_ne!(secret(&client), before);
    assert!(!opens(&house, &before).await);
}

#[tokio::test]
async fn signing_in_and_each_change_of_password_or_second_factor_give_a_new_secret() {
    let house = TestApp::init().await;
    let client = house.sign_in_by_link(Role::Fellow).await;
    let mut seen = vec![secret(&client)];
    let other = "kettle argues with trains";
    client
        .post(
            "/account/password",
            &[("current_password", PASSWORD), ("new_password", other), ("again", other)],
        )
        .await
        .expect(StatusCode::SEE_OTHER);
    seen.push(secret(&client));
    client.post("/account/second-factor/new", &[]).await.expect(StatusCode::SEE_OTHER);
    let key = client.get("/account/second-factor").await.texts(".key-text")[0].replace(' ', "");
    let code = house.code(&key.parse().unwrap(), 0);
    client
        .post("/account/second-factor", &[("current_password", other), ("code", &code)])
        .await
        .expect(StatusCode::OK);
    seen.push(secret(&client));
    let code = house.code(&key.parse().unwrap(), 1);
    client
        .post("/account/second-factor/off", &[("current_password", other), ("code", &code)])
        .await
        .expect(StatusCode::SEE_OTHER);
    let now = secret(&client);
    assert!(opens(&house, &now).await);
    for old in &seen {
        assert_ne!(*old, now);
        assert!(!opens(&house, old).await, "an old secret still opens");
    }
}

#[tokio::test]
async fn a_changed_role_holds_at_once_and_comes_with_a_new_secret() {
    let house = TestApp::init().await;
    let (lead, fellow) = (house.with_quality_lead().await, house.as_role(Role::Attending).await);
    let before = secret(&fellow);
    let id = house.user(Role::Attending).await.id;
    lead.post(&format!("/settings/users/{id}/role"), &[("role", "reader")])
        .await
        .expect(StatusCode::SEE_OTHER);
    // The old rights are gone for whatever is asked next, be it a form or a page.
    fellow.post("/record", &[("month", "2026-01")]).await.expect(StatusCode::FORBIDDEN);
    assert_eq!(
        secret(&fellow),
        before,
        "a form keeps its secret, so that others on their way are not cut off"
    );
    fellow.get("/record").await.expect(StatusCode::FORBIDDEN);
    let after = secret(&fellow);
    assert_ne!(after, before);
    assert!(!opens(&house, &before).await);
    fellow.get("/settings").await.expect(StatusCode::OK);
    assert_eq!(secret(&fellow), after, "once for one change");
}

#[tokio::test]
async fn a_session_that_lay_idle_for_an_hour_is_over_and_nothing_typed_is_lost() {
    let house = TestApp::init().await;
    let client = house.as_role(Role::Fellow).await;
    house.app.clock.set_ahead(59 * 60);
    client.get("/settings").await.expect(StatusCode::OK);
    noted(&house, &client, 59 * 60).await;
    house.app.clock.set_ahead((59 + 60) * 60);
    let page = client.post("/record", &[("situation", "Half a sentence")]).await;
    page.expect(StatusCode::UNAUTHORIZED);
    assert_eq!(page.form("/record"), [("situation".to_owned(), "Half a sentence".to_owned())]);
    client.get("/settings").await.expect(StatusCode::SEE_OTHER);
}

/// Waits until the use of a session, which is written beside the request, is there.
async fn noted(house: &TestApp, client: &Client, ahead: i64) {
    let began = house.app.now().as_second() - ahead;
    let secret = Secret::from_text(&secret(client)).unwrap();
    for _ in 0..200 {
        let mut conn = house.app.database.read().await.unwrap();
        let session = store::find_session(&mut conn, &secret, house.app.now()).await.unwrap().unwrap();
        if session.life.last_used.as_second() >= began + ahead - 5 {
            return;
        }
        drop(conn);
        tokio::time::sleep(std::time::Duration::from_millis(10)).await;
    }
    panic!("the use of the session was not written down");
}

#[tokio::test]
async fn a_busy_session_is_over_after_twelve_hours() {
    let house = TestApp::init().await;
    let client = house.as_role(Role::Fellow).await;
    for minutes in (50..720).step_by(50) {
        house.app.clock.set_ahead(minutes * 60);
        client.get("/settings").await.expect(StatusCode::OK);
        noted(&house, &client, minutes * 60).await;
    }
    house.app.clock.set_ahead(720 * 60);
    client.get("/settings").await.expect(StatusCode::SEE_OTHER);
}

#[tokio::test]
async fn a_clock_that_is_put_back_far_ends_what_began_under_the_wrong_time() {
    let house = TestApp::init().await;
    house.app.clock.set_ahead(24 * 3600);
    let client = house.as_role(Role::Fellow).await;
    client.get("/settings").await.expect(StatusCode::OK);
    house.app.clock.set_ahead(24 * 3600 - 120);
    client.get("/settings").await.expect(StatusCode::OK);
    house.app.clock.set_ahead(0);
    client.get("/settings").await.expect(StatusCode::SEE_OTHER);
}

#[tokio::test]
async fn requests_within_a_minute_write_nothing() {
    let house = TestApp::init().await;
    house.app.clock.stop();
    let client = house.as_role(Role::Fellow).await;
    let secret = Secret::from_text(&secret(&client)).unwrap();
    let last_used = async || {
        let mut conn = house.app.database.read().await.unwrap();
        store::find_session(&mut conn, &secret, house.app.now()).await.unwrap().unwrap().life.last_used
    };
    let before = last_used().await;
    for second in 0..10 {
        house.app.clock.set_ahead(second * 5);
        client.get("/settings").await.expect(StatusCode::OK);
    }
    tokio::time::sleep(std::time::Duration::from_millis(100)).await;
    assert_eq!(last_used().await, before);
}
