//! Accounts: what a reset takes away, and what ends with an account.

use relook::accounts::{Role, Secret, store};

use crate::support::TestApp;

#[tokio::test]
async fn a_reset_leaves_no_password_no_session_and_no_link() {
    let house = TestApp::init().await;
    let now = house.app.now();
    let mut tx = house.app.database.write().await.unwrap();
    let id = store::insert(&mut tx, &"Somebody".parse().unwrap(), Role::Fellow, now).await.unwrap();
    store::set_password_hash(&mut tx, id, "kept").await.unwrap();
    let (session, link) = (Secret::generate().unwrap(), Secret::generate().unwrap());
    store::start_session(&mut tx, id, &session, "", now).await.unwrap();
    store::insert_link(&mut tx, id, &link, false, 48, now).await.unwrap();
    assert!(store::find_session(&mut tx, &session, now).await.unwrap().is_some());
    assert!(store::find_link(&mut tx, &link, now).await.unwrap().is_some());

    store::reset(&mut tx, id).await.unwrap();

    let user = store::find(&mut tx, id).await.unwrap().unwrap();
    assert!(user.active && !user.has_password);
    assert!(store::find_session(&mut tx, &session, now).await.unwrap().is_none());
    assert!(store::find_link(&mut tx, &link, now).await.unwrap().is_none());
}

#[tokio::test]
async fn a_link_opens_once_and_not_after_its_time() {
    let house = TestApp::init().await;
    let now = house.app.now();
    let later = now + jiff::Span::new().hours(49);
    let mut tx = house.app.database.write().await.unwrap();
    let id = store::insert(&mut tx, &"Somebody".parse().unwrap(), Role::Fellow, now).await.unwrap();
    let link = Secret::generate().unwrap();
    store::insert_link(&mut tx, id, &link, false, 48, now).await.unwrap();
    assert!(store::find_link(&mut tx, &link, later).await.unwrap().is_none());
    store::use_link(&mut tx, &link, now).await.unwrap();
    assert!(store::find_link(&mut tx, &link, now).await.unwrap().is_none());
}
