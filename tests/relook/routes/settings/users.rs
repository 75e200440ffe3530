//! Accounts.

use relook::accounts::{Secret, User, store};

use super::reading::Reading as _;
use crate::support::{PASSWORD, Page, Role, StatusCode, TestApp};

async fn accounts(house: &TestApp) -> Vec<User> {
    store::list(&mut house.app.database.read().await.unwrap()).await.unwrap()
}

async fn account(house: &TestApp, role: Role) -> User {
    let id = house.user(role).await.id;
    accounts(house).await.into_iter().find(|user| user.id == id).unwrap()
}

/// The one-time link of a page.
fn link(page: &Page) -> String {
    let start = page.html.find("http://127.0.0.1:8080/sign-in/link/").expect("a link");
    page.html[start..].split(['"', '<']).next().unwrap().to_owned()
}

/// What is typed on the page of a link.
const CHOSEN: [(&str, &str); 2] = [("new_password", PASSWORD), ("again", PASSWORD)];

fn path_of(link: &str) -> &str {
    link.strip_prefix("http://127.0.0.1:8080").unwrap()
}

#[tokio::test]
async fn a_new_account_gets_a_link_once_that_opens_once() {
    let house = TestApp::init().await;
    let lead = house.with_quality_lead().await;
    let page = lead.post("/settings/users/new", &[("name", " Dr Ana Ito "), ("role", "attending")]).await;
    page.is(StatusCode::OK).says("Sign-in link for Dr Ana Ito").says("Works once, until");
    assert_eq!(page.headers["cache-control"], "no-store");
    let link = link(&page);
    assert!(Secret::from_text(link.rsplit('/').next().unwrap()).is_some());
    lead.get("/settings/users")
        .await
        .says("Dr Ana Ito")
        .lacks("/sign-in/link/")
        .has("by link, no password yet");

    let newcomer = house.signed_out();
    newcomer.get(path_of(&link)).await.is(StatusCode::OK).says("Choose a password, Dr Ana Ito");
    newcomer.post(path_of(&link), &CHOSEN).await.leads_to("/");
    newcomer.get("/settings").await.is(StatusCode::OK).says("Dr Ana Ito, attending");
    house.signed_out().get(path_of(&link)).await.is(StatusCode::NOT_FOUND);
}

#[tokio::test]
async fn wrong_new_accounts_go_back_with_what_was_typed() {
    let long = "a".repeat(61);
    let script = "<script>alert(1)</script>".repeat(4);
    let wrong: &[(&str, &str, &str)] = &[
        ("", "fellow", "Say whose account it is."),
        ("   ", "fellow", "Say whose account it is."),
        ("A", "fellow", "A name is 2 to 60 characters"),
        (&long, "fellow", "A name is 2 to 60 characters"),
        (&script, "fellow", "A name is 2 to 60 characters"),
        ("Ana\nIto", "fellow", "A name is 2 to 60 characters"),
        ("Ana\u{0}Ito", "fellow", "A name is 2 to 60 characters"),
        ("Ana \u{FFFD}", "fellow", "did not arrive whole"),
        ("Fay Fellow", "fellow", "There is an account of Fay Fellow already"),
        ("FAY FELLOW", "reader", "There is an account of Fay Fellow already"),
        ("Ana Ito", "", "Choose what the account may do."),
        ("Ana Ito", "owner", "“owner” is not a role"),
        ("Ana Ito", "Quality lead", "is not a role"),
    ];
    let house = TestApp::init().await;
    let lead = house.with_quality_lead().await;
    for (name, role, sentence) in wrong {
        let reply = lead.post("/settings/users/new", &[("name", name), ("role", role)]).await;
        reply
            .is(StatusCode::UNPROCESSABLE_ENTITY)
            .says(sentence)
            .says("Nothing is saved yet")
            .says(name.trim());
        reply.lacks("<script>alert").lacks("/sign-in/link/");
    }
    assert_eq!(accounts(&house).await.len(), 4);
}

#[tokio::test]
async fn the_name_of_an_ended_account_is_not_given_again() {
    let house = TestApp::init().await;
    let lead = house.with_quality_lead().await;
    let id = house.user(Role::Reader).await.id;
    lead.post(&format!("/settings/users/{id}/end"), &[]).await.leads_to("/settings/users");
    lead.post("/settings/users/new", &[("name", "rae reader"), ("role", "reader")])
        .await
        .is(StatusCode::UNPROCESSABLE_ENTITY)
        .says("There is an ended account of Rae Reader. Take that one up again");
}

#[tokio::test]
async fn a_changed_role_holds_at_the_next_request_and_can_be_undone() {
    let house = TestApp::init().await;
    let (lead, fellow) = (house.with_quality_lead().await, house.as_role(Role::Fellow).await);
    let id = house.user(Role::Fellow).await.id;
    fellow.get("/settings/users").await.is(StatusCode::FORBIDDEN);
    lead.post(&format!("/settings/users/{id}/role"), &[("role", "quality-lead")])
        .await
        .leads_to("/settings/users");
    fellow.get("/settings/users").await.is(StatusCode::OK);
    let page = lead.get("/settings/users").await;
    page.says("Fay Fellow is a quality lead now.");
    lead.post(&page.undo().unwrap(), &[]).await.leads_to("/settings/users");
    assert_eq!(account(&house, Role::Fellow).await.role, Role::Fellow);
    fellow.get("/settings/users").await.is(StatusCode::FORBIDDEN);
}

#[tokio::test]
async fn a_wrong_role_changes_nothing() {
    let house = TestApp::init().await;
    let lead = house.with_quality_lead().await;
    let id = house.user(Role::Fellow).await.id;
    for role in ["", "owner", "reader; drop table users", "\u{FFFD}", "<script>"] {
        let reply = lead.post(&format!("/settings/users/{id}/role"), &[("role", role)]).await;
        reply.is(StatusCode::UNPROCESSABLE_ENTITY).says("Nothing is saved yet").lacks("<script>\"");
    }
    lead.post(&format!("/settings/users/{id}/role?role=owner"), &[])
        .await
        .is(StatusCode::UNPROCESSABLE_ENTITY);
    assert_eq!(account(&house, Role::Fellow).await.role, Role::Fellow);
    for id in ["0", "-1", "999", "abc", "1e3", "99999999999999999999", "%00", "%F0%9F"] {
        for act in ["role", "end", "take-up", "link"] {
            let reply = lead.post(&format!("/settings/users/{id}/{act}"), &[("role", "reader")]).await;
            assert!(
                [StatusCode::NOT_FOUND, StatusCode::BAD_REQUEST].contains(&reply.status),
                "{id} {act}: {}",
                reply.status
            );
        }
        let status = lead.get(&format!("/settings/users/{id}")).await.status;
        assert!([StatusCode::NOT_FOUND, StatusCode::BAD_REQUEST].contains(&status), "{id}: {status}");
    }
    assert!(accounts(&house).await.iter().all(|user| user.active));
}

#[tokio::test]
async fn the_last_quality_lead_keeps_the_role_and_is_not_ended() {
    let house = TestApp::init().await;
    let lead = house.with_quality_lead().await;
    let id = house.user(Role::QualityLead).await.id;
    for role in ["fellow", "attending", "reader"] {
        lead.post(&format!("/settings/users/{id}/role"), &[("role", role)])
            .await
            .is(StatusCode::UNPROCESSABLE_ENTITY)
            .says("This is the only quality lead. Make another account quality lead first");
    }
    lead.post(&format!("/settings/users/{id}/end"), &[])
        .await
        .is(StatusCode::CONFLICT)
        .says("Nothing was changed")
        .says("This is the only quality lead.");
    lead.get(&format!("/settings/users/{id}")).await.lacks(&format!("/settings/users/{id}/end\""));
    let held = account(&house, Role::QualityLead).await;
    assert!(held.active && held.role == Role::QualityLead);
    lead.get("/settings/users").await.is(StatusCode::OK);
}

#[tokio::test]
async fn an_ended_lead_does_not_count_as_another() {
    let house = TestApp::init().await;
    let lead = house.with_quality_lead().await;
    let other = house.user(Role::Attending).await.id;
    let own = house.user(Role::QualityLead).await.id;
    lead.post(&format!("/settings/users/{other}/role"), &[("role", "quality-lead")])
        .await
        .is(StatusCode::SEE_OTHER);
    lead.post(&format!("/settings/users/{other}/end"), &[]).await.is(StatusCode::SEE_OTHER);
    lead.post(&format!("/settings/users/{own}/role"), &[("role", "reader")])
        .await
        .is(StatusCode::UNPROCESSABLE_ENTITY)
        .says("This is the only quality lead.");
}

#[tokio::test]
async fn with_a_second_lead_the_first_may_hand_over_and_is_shown_a_page_that_is_open_to_them() {
    let house = TestApp::init().await;
    let lead = house.with_quality_lead().await;
    let (own, other) = (house.user(Role::QualityLead).await.id, house.user(Role::Attending).await.id);
    lead.post(&format!("/settings/users/{other}/role"), &[("role", "quality-lead")])
        .await
        .is(StatusCode::SEE_OTHER);
    lead.post(&format!("/settings/users/{own}/end"), &[])
        .await
        .is(StatusCode::CONFLICT)
        .says("This is your own account. Another quality lead can end it.");
    lead.post(&format!("/settings/users/{own}/role"), &[("role", "attending")]).await.leads_to("/settings");
    lead.get("/settings").await.is(StatusCode::OK).says("You are an attending now.");
    lead.get("/settings/users").await.is(StatusCode::FORBIDDEN);
}

#[tokio::test]
async fn an_ended_account_is_signed_out_and_comes_back_when_taken_up() {
    let house = TestApp::init().await;
    let (lead, fellow) = (house.with_quality_lead().await, house.as_role(Role::Fellow).await);
    let id = house.user(Role::Fellow).await.id;
    fellow.get("/settings").await.is(StatusCode::OK);
    lead.post(&format!("/settings/users/{id}/end"), &[]).await.leads_to("/settings/users");
    fellow.get("/settings").await.leads_to("/sign-in?next=%2Fsettings");
    let page = lead.get("/settings/users").await;
    page.says("The account of Fay Fellow is ended.").has("<span class=\"missing\">ended</span>");
    lead.post(&format!("/settings/users/{id}/link"), &[])
        .await
        .is(StatusCode::CONFLICT)
        .says("This account is ended. Take it up again first.")
        .lacks("/sign-in/link/");
    lead.post(&page.undo().unwrap(), &[]).await.leads_to(&format!("/settings/users/{id}"));
    assert!(account(&house, Role::Fellow).await.active);
    // Its old session stays closed; a new link opens it.
    fellow.get("/settings").await.is(StatusCode::SEE_OTHER);
    let page = lead.post(&format!("/settings/users/{id}/link"), &[]).await;
    fellow.post(path_of(&link(&page)), &CHOSEN).await.is(StatusCode::SEE_OTHER);
    fellow.get("/settings").await.is(StatusCode::OK);
}

#[tokio::test]
async fn a_new_link_ends_open_sessions_and_the_link_before_it() {
    let house = TestApp::init().await;
    let (lead, fellow) = (house.with_quality_lead().await, house.as_role(Role::Fellow).await);
    let path = format!("/settings/users/{}/link", house.user(Role::Fellow).await.id);
    let first = link(&lead.post(&path, &[]).await);
    fellow.get("/settings").await.is(StatusCode::SEE_OTHER);
    let page = lead.post(&path, &[]).await;
    page.is(StatusCode::OK).says("Earlier links and open sessions of Fay Fellow have ended.");
    assert_eq!(page.headers["cache-control"], "no-store");
    let second = link(&page);
    assert_ne!(first, second);
    fellow.post(path_of(&first), &CHOSEN).await;
    fellow.get("/settings").await.is(StatusCode::SEE_OTHER);
    fellow.post(path_of(&second), &CHOSEN).await;
    fellow.get("/settings").await.is(StatusCode::OK);
}

#[tokio::test]
async fn one_makes_no_link_for_oneself() {
    let house = TestApp::init().await;
    let lead = house.with_quality_lead().await;
    let id = house.user(Role::QualityLead).await.id;
    lead.post(&format!("/settings/users/{id}/link"), &[])
        .await
        .is(StatusCode::CONFLICT)
        .says("This is your own account.")
        .lacks("/sign-in/link/");
    lead.get("/settings").await.is(StatusCode::OK);
}

#[tokio::test]
async fn a_name_that_looks_like_markup_is_shown_as_text() {
    let house = TestApp::init().await;
    let lead = house.with_quality_lead().await;
    let name = "<b onmouseover=\"x()\">Ana</b>";
    let page = lead.post("/settings/users/new", &[("name", name), ("role", "reader")]).await;
    page.is(StatusCode::OK).says(name).lacks("<b onmouseover");
    lead.get("/settings/users").await.says(name).lacks("<b onmouseover");
    let id = accounts(&house).await.iter().map(|user| user.id).max().unwrap();
    lead.get(&format!("/settings/users/{id}")).await.says(name).lacks("<b onmouseover");
    lead.post(&format!("/settings/users/{id}/end"), &[]).await.leads_to("/settings/users");
    lead.get("/settings/users")
        .await
        .says(&format!("The account of {name} is ended."))
        .lacks("<b onmouseover");
}
