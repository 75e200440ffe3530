//! One-time links: whoever follows one chooses a password.

use crate::support::{PASSWORD, Role, SESSION_COOKIE, StatusCode, TestApp};

const CHOSEN: [(&str, &str); 2] = [("new_password", PASSWORD), ("again", PASSWORD)];

#[tokio::test]
async fn who_follows_a_link_chooses_a_password_and_signs_in_with_it_from_then_on() {
    let house = TestApp::init().await;
    let client = house.sign_in_by_link(Role::Fellow).await;
    client.get("/cases").await.expect(StatusCode::OK);
    let later = house.signed_out();
    later.sign_in("Fay Fellow", PASSWORD).await.expect(StatusCode::SEE_OTHER);
    later.get("/cases").await.expect(StatusCode::OK);
}

#[tokio::test]
async fn a_password_that_the_rules_refuse_does_not_use_the_link_up() {
    let house = TestApp::init().await;
    let link = house.sign_in_link(Role::Fellow).await;
    let client = house.signed_out();
    for (new, again, said) in [
        ("", "", "at least 15 characters"),
        ("lamp and hat", "lamp and hat", "at least 15 characters"),
        (PASSWORD, "lamp river hat socks", "The two passwords differ."),
        ("passwordpassword", "passwordpassword", "Many people use this one"),
        ("qwertyuiopasdfgh", "qwertyuiopasdfgh", "runs along the keyboard"),
        ("Fay Fellow Fay Fellow", "Fay Fellow Fay Fellow", "This is your name"),
    ] {
        let page = client.post(&link, &[("new_password", new), ("again", again)]).await;
        page.expect(StatusCode::UNPROCESSABLE_ENTITY);
        assert!(page.text.contains(said), "{new}: {page}");
        assert!(new.is_empty() || !page.html.contains(&format!("value=\"{new}\"")), "{page}");
        assert_eq!(client.cookie(SESSION_COOKIE), None);
    }
    client.post(&link, &CHOSEN).await.expect(StatusCode::SEE_OTHER);
}

#[tokio::test]
async fn a_link_is_over_after_its_time_and_when_the_clock_was_put_back_far() {
    let house = TestApp::init().await;
    let link = house.sign_in_link(Role::Fellow).await;
    let hours = |hours: i64| house.app.clock.set_ahead(hours * 3600);
    for (ahead, open) in [(49, false), (47, true), (-1, false), (0, true)] {
        hours(ahead);
        let status = if open { StatusCode::OK } else { StatusCode::NOT_FOUND };
        house.signed_out().get(&link).await.expect(status);
    }
    hours(49);
    house.signed_out().post(&link, &CHOSEN).await.expect(StatusCode::NOT_FOUND);
}

#[tokio::test]
async fn a_new_link_voids_the_one_before() {
    let house = TestApp::init().await;
    let first = house.sign_in_link(Role::Fellow).await;
    let second = house.sign_in_link(Role::Fellow).await;
    let other = house.sign_in_link(Role::Reader).await;
    house.signed_out().post(&first, &CHOSEN).await.expect(StatusCode::NOT_FOUND);
    house.signed_out().get(&second).await.expect(StatusCode::OK);
    house.signed_out().get(&other).await.expect(StatusCode::OK);
}

#[tokio::test]
async fn a_new_password_by_link_ends_open_sessions_and_the_old_password() {
    let house = TestApp::init().await;
    house.set_password(Role::Fellow).await;
    let before = house.as_role(Role::Fellow).await;
    let link = house.sign_in_link(Role::Fellow).await;
    let page = house.signed_out().get(&link).await;
    assert!(page.text.contains("The password that you had before opens nothing any more"), "{page}");
    let other = "kettle argues with trains";
    house
        .signed_out()
        .post(&link, &[("new_password", other), ("again", other)])
        .await
        .expect(StatusCode::SEE_OTHER);
    before.get("/cases").await.expect(StatusCode::SEE_OTHER);
    house.signed_out().sign_in("Fay Fellow", PASSWORD).await.expect(StatusCode::UNPROCESSABLE_ENTITY);
    house.signed_out().sign_in("Fay Fellow", other).await.expect(StatusCode::SEE_OTHER);
}

#[tokio::test]
async fn a_link_does_not_go_round_the_second_factor() {
    let house = TestApp::init().await;
    let key = house.set_second_factor(Role::Fellow).await;
    let link = house.sign_in_link(Role::Fellow).await;
    let client = house.signed_out();
    let answer = client.post(&link, &CHOSEN).await;
    answer.expect(StatusCode::SEE_OTHER);
    assert!(answer.location().starts_with("/sign-in/code"), "{}", answer.location());
    client.get("/cases").await.expect(StatusCode::SEE_OTHER);
    client.post("/sign-in/code", &[("code", &house.code(&key, 0))]).await.expect(StatusCode::SEE_OTHER);
    client.get("/cases").await.expect(StatusCode::OK);
}
