//! Name and password.

use argon2::password_hash::{PasswordHasher as _, SaltString};
use argon2::{Algorithm, Argon2, Params, Version};

use crate::support::{PASSWORD, Role, SESSION_COOKIE, StatusCode, TestApp};

async fn kept_hash(house: &TestApp, role: Role) -> String {
    let name = house.user(role).await.name;
    let mut conn = house.app.database.read().await.unwrap();
    let kept = relook::accounts::store::password_hash(&mut conn, name.as_str()).await.unwrap();
    kept.unwrap().1.unwrap()
}

#[tokio::test]
async fn the_right_password_leads_on_and_a_wrong_one_says_no_more_than_that() {
    let house = TestApp::init().await;
    house.set_password(Role::Fellow).await;
    let client = house.signed_out();
    let wrong = client.sign_in("Fay Fellow", "lamp river hat sack").await;
    wrong.expect(StatusCode::UNPROCESSABLE_ENTITY);
    assert_eq!(client.cookie(SESSION_COOKIE), None);
    // A name that nobody has, and one without a password, are answered in the same words.
    for name in ["Nobody Here", "Ada Attending"] {
        let unknown = client.sign_in(name, PASSWORD).await;
        unknown.expect(StatusCode::UNPROCESSABLE_ENTITY);
        assert_eq!(unknown.text, wrong.text);
    }
    let right = client.sign_in(" Fay Fellow ", PASSWORD).await;
    right.expect(StatusCode::SEE_OTHER);
    assert_eq!(right.location(), "/cases");
    client.get("/cases").await.expect(StatusCode::OK);
}

#[tokio::test]
async fn an_ended_account_is_not_let_in() {
    let house = TestApp::init().await;
    house.set_password(Role::Fellow).await;
    house.execute("update users set ended_at = '2026-01-01T00:00:00Z' where name = 'Fay Fellow'").await;
    house.signed_out().sign_in("Fay Fellow", PASSWORD).await.expect(StatusCode::UNPROCESSABLE_ENTITY);
}

#[tokio::test]
async fn a_hash_of_other_work_is_made_anew_at_sign_in_and_only_then() {
    let house = TestApp::init().await;
    let params = Params::new(8 * 1024, 1, 1, None).unwrap();
    let salt = SaltString::from_b64("c29tZXNvbWVzb21lc2FsdA").unwrap();
    let old = Argon2::new(Algorithm::Argon2id, Version::V0x13, params)
        .hash_password(PASSWORD.as_bytes(), &salt)
        .unwrap()
        .to_string();
    house.set_hash(Role::Fellow, &old).await;
    let client = house.signed_out();
    client.sign_in("Fay Fellow", "something else").await.expect(StatusCode::UNPROCESSABLE_ENTITY);
    assert_eq!(kept_hash(&house, Role::Fellow).await, old);
    client.sign_in("Fay Fellow", PASSWORD).await.expect(StatusCode::SEE_OTHER);
    let new = kept_hash(&house, Role::Fellow).await;
    assert!(new.starts_with("$argon2id$v=19$m=19456,t=2,p=1$"), "{new}");
    client.get("/cases").await.expect(StatusCode::OK);
    // And it stays from then on.
    house.signed_out().sign_in("Fay Fellow", PASSWORD).await.expect(StatusCode::SEE_OTHER);
    assert_eq!(kept_hash(&house, Role::Fellow).await, new);
}

#[tokio::test]
async fn a_password_of_earlier_rules_still_opens_and_is_asked_to_be_changed() {
    let house = TestApp::init().await;
    // Thirteen characters: enough before, and not now.
    let old = relook::accounts::hash_again("lamp and hats").unwrap();
    house.set_hash(Role::Fellow, &old).await;
    let client = house.signed_out();
    client.sign_in("Fay Fellow", "lamp and hats").await.expect(StatusCode::SEE_OTHER);
    let page = client.get("/cases").await;
    page.expect(StatusCode::OK);
    assert!(page.texts("#notice")[0].contains("A password has at least 15 characters"), "{page}");
    // A good one is not spoken of.
    house.set_password(Role::Fellow).await;
    let client = house.signed_out();
    client.sign_in("Fay Fellow", PASSWORD).await.expect(StatusCode::SEE_OTHER);
    assert_eq!(client.get("/cases").await.texts("#notice"), [""]);
}

#[tokio::test]
async fn fields_let_passwords_be_pasted_and_kept_and_hide_them() {
    let house = TestApp::init().await;
    let page = house.signed_out().get("/sign-in").await;
    assert_eq!(page.attr("#password", "type").as_deref(), Some("password"));
    assert_eq!(page.attr("#password", "autocomplete").as_deref(), Some("current-password"));
    assert_eq!(page.attr("#name", "autocomplete").as_deref(), Some("username"));
    let link = house.sign_in_link(Role::Fellow).await;
    let page = house.signed_out().get(&link).await;
    for field in ["#new_password", "#again"] {
        assert_eq!(page.attr(field, "type").as_deref(), Some("password"));
        assert_eq!(page.attr(field, "autocomplete").as_deref(), Some("new-password"));
        assert_eq!(page.attr(field, "maxlength"), None, "nothing is cut off");
    }
}
