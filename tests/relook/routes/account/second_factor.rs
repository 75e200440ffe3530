//! Setting a second factor up, and turning it off.

use relook::accounts::TotpKey;

use crate::support::{Client, PASSWORD, Role, StatusCode, TestApp};

const PAGE: &str = "/account/second-factor";

async fn key_of(client: &Client) -> TotpKey {
    let page = client.get(PAGE).await;
    page.texts(".key-text")[0].replace(' ', "").parse().unwrap()
}

async fn set_up() -> (TestApp, Client, TotpKey, Vec<String>) {
    let house = TestApp::init().await;
    let client = house.sign_in_by_link(Role::Fellow).await;
    let page = client.get(PAGE).await;
    client.press(&page, "Set it up").await.expect(StatusCode::SEE_OTHER);
    let key = key_of(&client).await;
    let code = house.code(&key, 0);
    let page = client.post(PAGE, &[("current_password", PASSWORD), ("code", &code)]).await;
    page.expect(StatusCode::OK);
    let codes = page.texts(".recovery-codes code");
    (house, client, key, codes)
}

#[tokio::test]
async fn it_is_on_once_a_first_code_was_right() {
    let house = TestApp::init().await;
    let client = house.sign_in_by_link(Role::Fellow).await;
    client.post(&format!("{PAGE}/new"), &[]).await.expect(StatusCode::SEE_OTHER);
    let page = client.get(PAGE).await;
    assert_eq!(page.count(".key-code svg"), 1);
    let key = key_of(&client).await;
    assert!(!house.user(Role::Fellow).await.second_factor);
    let (right, wrong) = (house.code(&key, 0), house.code(&key, 7));
    for (password, code, said) in [
        ("not mine", right.as_str(), "This is not your password."),
        (PASSWORD, wrong.as_str(), "This code is not right"),
        (PASSWORD, "", "This code is not right"),
    ] {
        let page = client.post(PAGE, &[("current_password", password), ("code", code)]).await;
        page.expect(StatusCode::UNPROCESSABLE_ENTITY);
        assert!(page.text.contains(said), "{page}");
        assert_eq!(page.count(".key-code svg"), 1, "the same key is still there to scan");
        assert!(!house.user(Role::Fellow).await.second_factor);
    }
    // While it is not confirmed, the password alone still opens the account.
    house.signed_out().sign_in("Fay Fellow", PASSWORD).await.expect(StatusCode::SEE_OTHER);
    let page = client.post(PAGE, &[("current_password", PASSWORD), ("code", &right)]).await;
    page.expect(StatusCode::OK);
    assert_eq!(page.texts(".recovery-codes code").len(), 10);
    assert!(house.user(Role::Fellow).await.second_factor);
}

#[tokio::test]
async fn turning_it_on_ends_sessions_that_passed_no_code_and_the_key_is_shown_no_more() {
    let house = TestApp::init().await;
    let client = house.sign_in_by_link(Role::Fellow).await;
    let other = house.as_role(Role::Fellow).await;
    client.post(&format!("{PAGE}/new"), &[]).await.expect(StatusCode::SEE_OTHER);
    let key = key_of(&client).await;
    let code = house.code(&key, 0);
    client.post(PAGE, &[("current_password", PASSWORD), ("code", &code)]).await.expect(StatusCode::OK);
    other.get("/settings").await.expect(StatusCode::SEE_OTHER);
    let page = client.get(PAGE).await;
    page.expect(StatusCode::OK);
    assert!(page.text.contains("On: a code is asked for") && page.text.contains("10 are left."), "{page}");
    assert!(page.count("svg") == 0 && page.count(".key-text") == 0, "{page}");
    // Asking for a new key changes nothing while it is on.
    client.post(&format!("{PAGE}/new"), &[]).await.expect(StatusCode::SEE_OTHER);
    let later = house.signed_out();
    later.sign_in("Fay Fellow", PASSWORD).await.expect(StatusCode::SEE_OTHER);
    later.post("/sign-in/code", &[("code", &house.code(&key, 1))]).await.expect(StatusCode::SEE_OTHER);
    later.get("/settings").await.expect(StatusCode::OK);
}

#[tokio::test]
async fn it_is_turned_off_with_password_and_code_alone() {
    let (house, client, key, codes) = set_up().await;
    let off = format!("{PAGE}/off");
    let code = house.code(&key, 1);
    for (password, code) in
        [("not mine", code.as_str()), (PASSWORD, "000000"), (PASSWORD, ""), ("", codes[0].as_str())]
    {
        client
            .post(&off, &[("current_password", password), ("code", code)])
            .await
            .expect(StatusCode::UNPROCESSABLE_ENTITY);
        assert!(house.user(Role::Fellow).await.second_factor);
    }
    client.post(&off, &[("current_password", PASSWORD), ("code", &code)]).await.expect(StatusCode::SEE_OTHER);
    assert!(!house.user(Role::Fellow).await.second_factor);
    let later = house.signed_out();
    assert_eq!(later.sign_in("Fay Fellow", PASSWORD).await.location(), "/cases");
}

#[tokio::test]
async fn a_short_password_is_not_left_alone() {
    let (house, client, key, codes) = set_up().await;
    let short = "lamp hat";
    let change = [("current_password", PASSWORD), ("new_password", short), ("again", short)];
    client.post("/account/password", &change).await.expect(StatusCode::SEE_OTHER);
    let proof = [("current_password", short), ("code", codes[0].as_str())];
    let page = client.post(&format!("{PAGE}/off"), &proof).await;
    page.expect(StatusCode::UNPROCESSABLE_ENTITY);
    assert!(page.text.contains("Alone, your password is not enough"), "{page}");
    assert!(house.user(Role::Fellow).await.second_factor);
    drop(key);
}

#[tokio::test]
async fn new_recovery_codes_take_the_place_of_the_old_ones() {
    let (house, client, key, old) = set_up().await;
    let path = format!("{PAGE}/codes");
    let code = house.code(&key, 1);
    let page = client.post(&path, &[("current_password", "not mine"), ("code", &code)]).await;
    page.expect(StatusCode::UNPROCESSABLE_ENTITY);
    let page = client.post(&path, &[("current_password", PASSWORD), ("code", &code)]).await;
    page.expect(StatusCode::OK);
    let new = page.texts(".recovery-codes code");
    assert!(new.len() == 10 && new.iter().all(|code| !old.contains(code)));
    let later = house.signed_out();
    later.sign_in("Fay Fellow", PASSWORD).await.expect(StatusCode::SEE_OTHER);
    later.post("/sign-in/code", &[("code", &old[5])]).await.expect(StatusCode::UNPROCESSABLE_ENTITY);
    later.post("/sign-in/code", &[("code", &new[5])]).await.expect(StatusCode::SEE_OTHER);
}

#[tokio::test]
async fn who_has_no_password_sets_none_up() {
    let house = TestApp::init().await;
    let client = house.as_role(Role::Reader).await;
    let page = client.get(PAGE).await;
    assert!(page.text.contains("Choose a password first."), "{page}");
    client.post(&format!("{PAGE}/new"), &[]).await.expect(StatusCode::SEE_OTHER);
    assert_eq!(client.get(PAGE).await.count(".key-text"), 0);
}

#[tokio::test]
async fn the_quality_lead_turns_anothers_off_and_that_person_is_signed_out() {
    let (house, client, _, codes) = set_up().await;
    let lead = house.with_quality_lead().await;
    let id = house.user(Role::Fellow).await.id;
    let page = lead.get(&format!("/settings/users/{id}")).await;
    lead.press(&page, "Turn the second factor off").await.expect(StatusCode::SEE_OTHER);
    let user = house.user(Role::Fellow).await;
    assert!(!user.second_factor && user.has_password, "{user:?}");
    client.get("/settings").await.expect(StatusCode::SEE_OTHER);
    let later = house.signed_out();
    assert_eq!(later.sign_in("Fay Fellow", PASSWORD).await.location(), "/cases");
    drop(codes);
    // Nobody turns their own off that way, and no other role turns off anybody's.
    let own = house.user(Role::QualityLead).await.id;
    lead.post(&format!("/settings/users/{own}/second-factor/off"), &[]).await.expect(StatusCode::CONFLICT);
    let attending = house.as_role(Role::Attending).await;
    attending
        .post(&format!("/settings/users/{id}/second-factor/off"), &[])
        .await
        .expect(StatusCode::FORBIDDEN);
}
