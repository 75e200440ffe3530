//! Guessing is slowed down, a ward is not locked out.

use relook::web::Settings;

use crate::support::{Client, PASSWORD, Page, Role, StatusCode, TestApp};

const WARD: &str = "10.20.0.1";

async fn house() -> TestApp {
    let house = TestApp::init().await;
    // A slow machine must not let a wait pass unseen.
    house.app.clock.stop();
    house.set_password(Role::Fellow).await;
    house.set_password(Role::Attending).await;
    house
}

/// Guesses until it has to wait; how many guesses were compared, and the refusal.
async fn guess(client: &Client, name: &str) -> (usize, Page) {
    for count in 0..60 {
        let page = client.sign_in(name, "not the password").await;
        if page.status == StatusCode::TOO_MANY_REQUESTS {
            return (count, page);
        }
        page.expect(StatusCode::UNPROCESSABLE_ENTITY);
    }
    panic!("nothing stopped the guessing");
}

fn retry_after(page: &Page) -> i64 {
    page.headers["retry-after"].to_str().unwrap().parse().unwrap()
}

#[tokio::test]
async fn after_five_slips_one_waits_and_the_right_password_after_the_wait_opens() {
    let house = house().await;
    let client = house.signed_out().at_address(WARD);
    let (compared, page) = guess(&client, "Fay Fellow").await;
    assert_eq!(compared, 5);
    assert!(page.text.contains("There were too many tries. Wait"), "{page}");
    assert_eq!(page.value("name"), "Fay Fellow", "what was typed is still there");
    // Too early, even the right one is not compared.
    client.sign_in("Fay Fellow", PASSWORD).await.expect(StatusCode::TOO_MANY_REQUESTS);
    house.app.clock.set_ahead(retry_after(&page));
    client.sign_in("Fay Fellow", PASSWORD).await.expect(StatusCode::SEE_OTHER);
    client.get("/cases").await.expect(StatusCode::OK);
}

#[tokio::test]
async fn others_of_the_ward_sign_in_while_one_account_is_guessed_there() {
    let house = house().await;
    guess(&house.signed_out().at_address(WARD), "Fay Fellow").await;
    let other = house.signed_out().at_address(WARD);
    other.sign_in("Ada Attending", PASSWORD).await.expect(StatusCode::SEE_OTHER);
    // And the person whose account it is gets in from elsewhere.
    let elsewhere = house.signed_out().at_address("10.20.0.2");
    elsewhere.sign_in("Fay Fellow", PASSWORD).await.expect(StatusCode::SEE_OTHER);
}

#[tokio::test]
async fn guessing_from_many_addresses_stops_and_leaves_the_persons_own_address_open() {
    let house = house().await;
    house.signed_out().at_address(WARD).sign_in("Fay Fellow", PASSWORD).await.expect(StatusCode::SEE_OTHER);
    let mut compared = 0;
    for last in 1..14 {
        let client = house.signed_out().at_address(&format!("192.0.2.{last}"));
        compared += guess(&client, "Fay Fellow").await.0;
    }
    assert_eq!(compared, 50);
    let fresh = house.signed_out().at_address("198.51.100.7");
    fresh.sign_in("Fay Fellow", "not the password").await.expect(StatusCode::TOO_MANY_REQUESTS);
    house.signed_out().at_address(WARD).sign_in("Fay Fellow", PASSWORD).await.expect(StatusCode::SEE_OTHER);
}

#[tokio::test]
async fn what_a_visitor_says_of_their_address_counts_only_behind_a_trusted_proxy() {
    for (trust_proxy, compared) in [(false, 5), (true, 30)] {
        let house = TestApp::with_settings(Settings { trust_proxy, ..Settings::default() }).await;
        house.app.clock.stop();
        let mut count = 0;
        for last in 1..=30 {
            let client =
                house.signed_out().at_address(WARD).forwarded_for(&format!("1.2.3.4, 192.0.2.{last}"));
            let page = client.sign_in("Fay Fellow", "not the password").await;
            count += usize::from(page.status == StatusCode::UNPROCESSABLE_ENTITY);
        }
        assert_eq!(count, compared, "trusted: {trust_proxy}");
    }
}

#[tokio::test]
async fn a_name_that_nobody_has_waits_as_long_in_the_same_words() {
    let house = house().await;
    let (known_tries, known) = guess(&house.signed_out().at_address(WARD), "Fay Fellow").await;
    let (unknown_tries, unknown) = guess(&house.signed_out().at_address(WARD), "Nobody Here").await;
    assert_eq!((known_tries, retry_after(&known)), (unknown_tries, retry_after(&unknown)));
    assert_eq!(known.text, unknown.text);
}

#[tokio::test]
async fn a_clock_that_is_put_back_locks_nobody_out() {
    let house = house().await;
    let client = house.signed_out().at_address(WARD);
    guess(&client, "Fay Fellow").await;
    house.app.clock.set_ahead(-365 * 24 * 3600);
    let page = client.sign_in("Fay Fellow", PASSWORD).await;
    page.expect(StatusCode::TOO_MANY_REQUESTS);
    assert!(retry_after(&page) <= 2, "{}", retry_after(&page));
    house.app.clock.set_ahead(-365 * 24 * 3600 + 2);
    client.sign_in("Fay Fellow", PASSWORD).await.expect(StatusCode::SEE_OTHER);
}

#[tokio::test]
async fn codes_and_recovery_codes_are_guessed_five_times() {
    let house = house().await;
    let key = house.set_second_factor(Role::Fellow).await;
    let client = house.signed_out().at_address(WARD);
    client.sign_in("Fay Fellow", PASSWORD).await.expect(StatusCode::SEE_OTHER);
    for code in ["000000", "abcd-efgh-ijkl-mnop-qrst-uvwx", "", "12", "x"] {
        let wrong = client.post("/sign-in/code", &[("code", code)]).await;
        wrong.expect(StatusCode::UNPROCESSABLE_ENTITY);
    }
    let page = client.post("/sign-in/code", &[("code", &house.code(&key, 0))]).await;
    page.expect(StatusCode::TOO_MANY_REQUESTS);
    assert!(page.text.contains("There were too many tries."), "{page}");
    // The password again does not give new tries.
    client.sign_in("Fay Fellow", PASSWORD).await.expect(StatusCode::SEE_OTHER);
    client.post("/sign-in/code", &[("code", "000000")]).await.expect(StatusCode::TOO_MANY_REQUESTS);
    house.app.clock.set_ahead(retry_after(&page));
    client.post("/sign-in/code", &[("code", &house.code(&key, 0))]).await.expect(StatusCode::SEE_OTHER);
}

#[tokio::test]
async fn the_password_is_guessed_no_faster_from_within_a_session() {
    let house = house().await;
    let client = house.as_role(Role::Fellow).await.at_address(WARD);
    let other = "kettle argues with trains";
    let change = [("current_password", "a guess"), ("new_password", other), ("again", other)];
    for _ in 0..3 {
        client.post("/account/password", &change).await.expect(StatusCode::UNPROCESSABLE_ENTITY);
        let end = [("current_password", "a guess"), ("session", "others")];
        let page = client.post("/account/sessions/end", &end).await;
        assert!(
            [StatusCode::UNPROCESSABLE_ENTITY, StatusCode::TOO_MANY_REQUESTS].contains(&page.status),
            "{page}"
        );
    }
    let page = client.post("/account/password", &change).await;
    page.expect(StatusCode::TOO_MANY_REQUESTS);
    assert!(retry_after(&page) >= 1);
    assert!(page.text.contains("There were too many tries."), "{page}");
}

#[tokio::test]
async fn links_are_guessed_three_hundred_times_from_an_address_and_opened_by_others() {
    let house = house().await;
    let client = house.signed_out().at_address(WARD);
    for number in 0..300 {
        client.get(&format!("/sign-in/link/{number:064x}")).await.expect(StatusCode::NOT_FOUND);
    }
    let page = client.get(&format!("/sign-in/link/{:064x}", 300)).await;
    page.expect(StatusCode::TOO_MANY_REQUESTS);
    assert!(retry_after(&page) <= 2);
    let link = house.sign_in_link(Role::Reader).await;
    house.signed_out().at_address("10.20.0.2").get(&link).await.expect(StatusCode::OK);
    house.app.clock.set_ahead(2);
    client.get(&link).await.expect(StatusCode::OK);
}
