//! The second door leads to votes and to nothing else.

use std::collections::BTreeMap;

use axum::http::Method;
use relook::accounts::Role;
use relook::web::router::routes;

use super::{case, open};
use crate::support::{StatusCode, TestApp};

#[tokio::test]
async fn every_address_of_the_application_but_votes_is_unknown_at_the_second_door() {
    let app = TestApp::init().await;
    let placed = case(&app).await;
    let poll = open(&app).await;
    // With a session of the quality lead too: the door looks for none.
    let lead = app.as_role(Role::QualityLead).await;
    let session = lead.cookie("relook_session").unwrap();
    let phone = app.phone().with_cookie("relook_session", &session);
    let mut answers: BTreeMap<&str, usize> = BTreeMap::new();
    for rule in routes().rules() {
        let path = rule
            .path
            .replace("{poll_code}", poll.as_str())
            .replace("{code}", if rule.path.starts_with("/vote/") { poll.as_str() } else { "2026-001" })
            .replace("{*path}", "css/vote.css")
            .split('/')
            .map(|part| if part.starts_with('{') { "1" } else { part })
            .collect::<Vec<_>>()
            .join("/")
            .replace("2026-001", &placed.code.to_string());
        let page = match rule.method {
            Method::GET => phone.get(&path).await,
            _ => phone.post(&path, &[("text", "x")]).await,
        };
        if rule.path.starts_with("/vote/") {
            assert_ne!(page.status, StatusCode::NOT_FOUND, "{page}");
            *answers.entry("votes").or_default() += 1;
        } else {
            page.expect(StatusCode::NOT_FOUND);
            assert!(!page.html.contains("href=\"/\"") && !page.html.contains("/sign-in"), "{}", page.html);
            *answers.entry("unknown").or_default() += 1;
        }
    }
    assert_eq!(answers["votes"], 3, "{answers:?}");
    assert!(answers["unknown"] > 60, "{answers:?}");
    for path in ["/", "/vote", "/vote/", "//cases", "/vote/../cases", "/static/css/base.css"] {
        phone.get(path).await.expect(StatusCode::NOT_FOUND);
    }
}

#[tokio::test]
async fn of_the_files_only_those_of_the_page_are_served_there() {
    let app = TestApp::init().await;
    let code = open(&app).await;
    let phone = app.phone();
    let page = phone.get(&format!("/vote/{code}")).await;
    let mut files: Vec<String> = page
        .html
        .split("=\"")
        .filter_map(|part| part.split('"').next())
        .filter(|part| part.contains('/') && part.contains('.'))
        .map(str::to_owned)
        .collect();
    files.sort();
    assert!(files.len() >= 5, "{files:?}");
    for file in &files {
        assert!(file.starts_with("/vote/static/"), "{file}");
        phone.get(file).await.expect(StatusCode::OK);
    }
    for other in ["css/print.css", "js/relook.js", "picture/case.png", "../Cargo.toml", "nothing"] {
        phone.get(&format!("/vote/static/{other}")).await.expect(StatusCode::NOT_FOUND);
    }
}

#[tokio::test]
async fn the_second_door_answers_with_the_headers_of_the_first() {
    let app = TestApp::init().await;
    let code = open(&app).await;
    let path = format!("/vote/{code}");
    let (first, second) = (app.signed_out().get(&path).await, app.phone().get(&path).await);
    for name in [
        "content-security-policy",
        "x-content-type-options",
        "referrer-policy",
        "permissions-policy",
        "cross-origin-opener-policy",
        "cache-control",
    ] {
        assert!(second.headers.contains_key(name), "{name}");
        assert_eq!(second.headers.get(name), first.headers.get(name), "{name}");
    }
    assert_eq!(second.headers.get("cache-control").unwrap(), "no-store");
    assert_eq!(first.html, second.html);
    assert!(app.phone().get("/cases").await.headers.contains_key("content-security-policy"));
}

#[tokio::test]
async fn a_vote_that_another_site_sends_is_refused() {
    let app = TestApp::init().await;
    let code = open(&app).await;
    let path = format!("/vote/{code}");
    let phone = app.phone();
    phone.get(&path).await.expect(StatusCode::OK);
    let page = phone.post_from_another_site(&path, &[("option", "1")]).await;
    page.expect(StatusCode::FORBIDDEN);
    assert_eq!(page.heading(), "This request came from another site");
    assert_eq!(super::phones(&app, &code).await, [0, 0, 0]);
}
