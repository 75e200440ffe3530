//! Where one is signed in, and ending it.

use crate::support::{Client, PASSWORD, Page, Role, StatusCode, TestApp};

const FIREFOX: &str = "Mozilla/5.0 (X11; Linux x86_64; rv:140.0) Gecko/20100101 Firefox/140.0";
const PHONE: &str = "Mozilla/5.0 (iPhone; CPU iPhone OS 18_5 like Mac OS X) AppleWebKit/605.1.15 (KHTML, like Gecko) Version/18.5 Mobile/15E148 Safari/604.1";

async fn signed_in(house: &TestApp, agent: &'static str) -> Client {
    let client = house.signed_out().with_agent(agent);
    client.sign_in("Fay Fellow", PASSWORD).await.expect(StatusCode::SEE_OTHER);
    client
}

/// What the page calls the session of a browser.
fn handle(page: &Page, browser: &str) -> String {
    let row = page.texts("#sessions tbody th").iter().position(|name| name.starts_with(browser)).unwrap() + 1;
    page.attr(&format!("#sessions tbody tr:nth-child({row}) button"), "value").unwrap()
}

async fn three() -> (TestApp, Client, Client, Client) {
    let house = TestApp::init().await;
    house.set_password(Role::Fellow).await;
    let here = signed_in(&house, FIREFOX).await;
    let (phone, other) = (signed_in(&house, PHONE).await, signed_in(&house, "").await);
    (house, here, phone, other)
}

#[tokio::test]
async fn ones_own_sessions_are_listed_in_words_and_this_one_is_marked() {
    let (house, here, ..) = three().await;
    house.as_role(Role::Attending).await.get("/settings").await.expect(StatusCode::OK);
    let page = here.get("/account").await;
    let mut browsers = page.texts("#sessions tbody th");
    browsers.sort();
    assert_eq!(browsers, ["A browser", "Firefox on Linux this session", "Safari on an iPhone"]);
    assert_eq!(page.count("#sessions tbody button"), 2, "this one ends with Sign out");
    assert!(
        page.texts("#sessions td[data-label='Last used']").iter().all(|used| used == "just now"),
        "{page}"
    );
    assert!(!page.html.contains("Gecko"), "no more of the browser is kept");
}

#[tokio::test]
async fn one_session_is_ended_and_the_others_stay() {
    let (_house, here, phone, other) = three().await;
    let handle = handle(&here.get("/account").await, "Safari on an iPhone");
    let end = async |password: &str| {
        here.post("/account/sessions/end", &[("current_password", password), ("session", &handle)]).await
    };
    let wrong = end("not mine").await;
    wrong.expect(StatusCode::UNPROCESSABLE_ENTITY);
    assert!(wrong.text.contains("This is not your password."), "{wrong}");
    phone.get("/settings").await.expect(StatusCode::OK);
    end(PASSWORD).await.expect(StatusCode::SEE_OTHER);
    phone.get("/settings").await.expect(StatusCode::SEE_OTHER);
    other.get("/settings").await.expect(StatusCode::OK);
    here.get("/settings").await.expect(StatusCode::OK);
}

#[tokio::test]
async fn all_others_are_ended_at_once() {
    let (_house, here, phone, other) = three().await;
    let all = [("current_password", PASSWORD), ("session", "others")];
    here.post("/account/sessions/end", &all).await.expect(StatusCode::SEE_OTHER);
    here.get("/settings").await.expect(StatusCode::OK);
    for ended in [phone, other] {
        ended.get("/settings").await.expect(StatusCode::SEE_OTHER);
    }
}

#[tokio::test]
async fn nobody_ends_the_session_of_another_account() {
    let (house, here, ..) = three().await;
    let attending = house.as_role(Role::Attending).await;
    let id = house.user(Role::Fellow).await.id;
    let handle = handle(&here.get("/account").await, "Safari");
    attending.post("/account/sessions/end", &[("session", &handle)]).await.expect(StatusCode::SEE_OTHER);
    let path = format!("/settings/users/{id}/sessions/end");
    attending.post(&path, &[("session", "all")]).await.expect(StatusCode::FORBIDDEN);
    assert_eq!(here.get("/account").await.count("#sessions tbody tr"), 3);
}

#[tokio::test]
async fn the_quality_lead_ends_one_or_all_of_anothers() {
    let (house, here, phone, other) = three().await;
    let lead = house.with_quality_lead().await;
    let id = house.user(Role::Fellow).await.id;
    let page = lead.get(&format!("/settings/users/{id}")).await;
    assert_eq!(page.count("#sessions tbody tr"), 3);
    let path = format!("/settings/users/{id}/sessions/end");
    let handle = handle(&page, "Safari");
    lead.post(&path, &[("session", &handle)]).await.expect(StatusCode::SEE_OTHER);
    let mut open = 0;
    for client in [&here, &phone, &other] {
        open += usize::from(client.get("/settings").await.status == StatusCode::OK);
    }
    assert_eq!(open, 2);
    lead.post(&path, &[("session", "all")]).await.expect(StatusCode::SEE_OTHER);
    for client in [&here, &phone, &other] {
        client.get("/settings").await.expect(StatusCode::SEE_OTHER);
    }
    assert_eq!(lead.get(&format!("/settings/users/{id}")).await.count("#sessions"), 0);
}

#[tokio::test]
async fn signing_out_ends_the_session_and_takes_the_cookie() {
    let (_house, here, phone, _) = three().await;
    here.post("/sign-out", &[]).await.expect(StatusCode::SEE_OTHER);
    here.get("/settings").await.expect(StatusCode::SEE_OTHER);
    assert_eq!(phone.get("/account").await.count("#sessions tbody tr"), 2);
}
