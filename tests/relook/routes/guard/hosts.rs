//! A server answers under the names that it is known by, and under no other.

use axum::http::Method;
use relook::web::{Hosts, Settings};

use super::HOST;
use crate::support::{CaseBuilder, Role, StatusCode, TestApp};

const FOREIGN: [&str; 6] =
    ["evil.example", "evil.example:8080", "localhost.evil.example:8080", "10.0.0.9:8080", "", "a b"];

#[tokio::test]
async fn no_address_answers_a_page_elsewhere_that_points_its_name_here() {
    let app = TestApp::init().await;
    let code = CaseBuilder::new("Of no business").insert(&app).await.code.to_string();
    let lead = app.as_role(Role::QualityLead).await;
    for rule in super::rules() {
        let path = super::address(&rule, &code);
        for foreign in ["evil.example:8080", "evil.example"] {
            let page = lead.ask(&rule.method, &path, &[("host", foreign)], "").await;
            page.expect(StatusCode::MISDIRECTED_REQUEST);
            assert!(page.html.contains("--host NAME"), "{page}");
            assert!(!page.html.contains("Quinn Lead") && page.headers.get("set-cookie").is_none(), "{page}");
        }
    }
}

#[tokio::test]
async fn every_other_form_of_a_foreign_name_is_refused_and_those_of_this_machine_are_not() {
    let app = TestApp::init().await;
    let visitor = app.signed_out();
    let get = async |path: &str, headers: &[(&str, &str)]| {
        visitor.ask(&Method::GET, path, headers, "").await.status
    };
    for foreign in FOREIGN {
        assert_eq!(get("/sign-in", &[("host", foreign)]).await, StatusCode::MISDIRECTED_REQUEST, "{foreign}");
    }
    for known in ["127.0.0.1:8080", "localhost:1", "[::1]:8080"] {
        assert_eq!(get("/sign-in", &[("host", known)]).await, StatusCode::OK, "{known}");
    }
    // None, two, and one in the address that is another than the header's.
    assert_eq!(get("/sign-in", &[]).await, StatusCode::MISDIRECTED_REQUEST);
    assert_eq!(get("/sign-in", &[HOST, HOST]).await, StatusCode::MISDIRECTED_REQUEST);
    assert_eq!(get("http://evil.example/sign-in", &[HOST]).await, StatusCode::MISDIRECTED_REQUEST);
    assert_eq!(
        get("http://127.0.0.1:8080/sign-in", &[("host", "evil.example")]).await,
        StatusCode::MISDIRECTED_REQUEST
    );
    assert_eq!(get("http://127.0.0.1:8080/sign-in", &[HOST]).await, StatusCode::OK);
    // What a proxy or a page says of the host is not looked at.
    let forwarded =
        [("host", "evil.example"), ("x-forwarded-host", "127.0.0.1:8080"), ("forwarded", "host=localhost")];
    assert_eq!(get("/sign-in", &forwarded).await, StatusCode::MISDIRECTED_REQUEST);
}

#[tokio::test]
async fn a_name_that_was_given_is_answered_and_the_door_for_phones_has_names_of_its_own() {
    let settings = Settings {
        hosts: Hosts::of_address("10.0.0.7", 7350).and(["review.example".parse().unwrap()]),
        phone_hosts: Hosts::of_address("10.0.0.7", 7351).and(["votes.example".parse().unwrap()]),
        ..Settings::default()
    };
    let app = TestApp::with_settings(settings).await;
    for (host, record, phones) in [
        ("review.example", StatusCode::OK, StatusCode::MISDIRECTED_REQUEST),
        ("review.example:8443", StatusCode::OK, StatusCode::MISDIRECTED_REQUEST),
        ("10.0.0.7:7350", StatusCode::OK, StatusCode::MISDIRECTED_REQUEST),
        ("10.0.0.7:7351", StatusCode::MISDIRECTED_REQUEST, StatusCode::OK),
        ("votes.example", StatusCode::MISDIRECTED_REQUEST, StatusCode::OK),
        ("localhost:7350", StatusCode::MISDIRECTED_REQUEST, StatusCode::MISDIRECTED_REQUEST),
    ] {
        let at_record = app.signed_out().ask(&Method::GET, "/sign-in", &[("host", host)], "").await;
        assert_eq!(at_record.status, record, "{host}");
        let at_phones =
            app.phone().ask(&Method::GET, "/vote/static/css/vote.css", &[("host", host)], "").await;
        assert_eq!(at_phones.status, phones, "{host}");
    }
}
