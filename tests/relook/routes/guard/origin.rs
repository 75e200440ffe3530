//! What changes something comes from a page of ours.

use axum::http::Method;
use relook::web::router::Rule;
use relook::web::{Settings, Transport};

use super::HOST;
use crate::support::{CaseBuilder, Client, Role, StatusCode, TestApp};

/// What browsers send with a form of another site's page, each alone and together.
const FOREIGN: [&[(&str, &str)]; 9] = [
    &[("origin", "https://evil.example")],
    &[("origin", "http://evil.example:8080"), ("sec-fetch-site", "cross-site")],
    &[("sec-fetch-site", "cross-site")],
    &[("sec-fetch-site", "same-site")],
    &[("origin", "null")],
    &[("origin", "null"), ("sec-fetch-site", "same-origin")],
    // A host that the server is not known by, though a browser called it the same.
    &[("origin", "http://evil.example"), ("sec-fetch-site", "same-origin")],
    &[("origin", "https://127.0.0.1:8080"), ("sec-fetch-site", "same-origin")],
    &[("origin", "http://127.0.0.1:8080"), ("origin", "http://evil.example"), ("sec-fetch-site", "none")],
];

const KIND: (&str, &str) = ("content-type", "application/x-www-form-urlencoded");

async fn send(
    client: &Client,
    rule: &Rule,
    code: &str,
    method: &Method,
    headers: &[(&str, &str)],
) -> StatusCode {
    let headers = [&[HOST, KIND], headers].concat();
    client.ask(method, &super::address(rule, code), &headers, "text=x").await.status
}

#[tokio::test]
async fn no_form_of_the_table_is_taken_from_another_site() {
    let app = TestApp::init().await;
    let code = CaseBuilder::new("Not theirs").complete().insert(&app).await.code;
    let before = format!("{:?}", app.case(code).await);
    let mut asked = 0;
    for rule in super::posts() {
        for headers in FOREIGN {
            // A fresh session, so that signing out does not make the refusals easy.
            let client = app.as_role(Role::QualityLead).await;
            let status = send(&client, &rule, &code.to_string(), &Method::POST, headers).await;
            assert_eq!(status, StatusCode::FORBIDDEN, "{} {headers:?}", rule.path);
            asked += 1;
        }
    }
    assert_eq!(format!("{:?}", app.case(code).await), before);
    println!("{asked} forms refused");
}

#[tokio::test]
async fn every_form_of_the_table_is_taken_from_a_page_of_ours() {
    let app = TestApp::init().await;
    let code = CaseBuilder::new("Ours").complete().insert(&app).await.code.to_string();
    let ours: [&[(&str, &str)]; 3] = [
        &[("origin", "http://127.0.0.1:8080"), ("sec-fetch-site", "same-origin")],
        // A browser that sends no `Sec-Fetch-Site`, and a program that is no browser.
        &[("origin", "http://127.0.0.1:8080")],
        &[],
    ];
    for rule in super::posts() {
        for headers in ours {
            let client = app.as_role(Role::QualityLead).await;
            let status = send(&client, &rule, &code, &Method::POST, headers).await;
            assert_ne!(status, StatusCode::FORBIDDEN, "{} {headers:?}", rule.path);
        }
    }
}

#[tokio::test]
async fn other_methods_that_change_something_are_refused_too_and_reading_is_not() {
    let app = TestApp::init().await;
    let lead = app.with_quality_lead().await;
    let foreign = [HOST, ("origin", "https://evil.example"), ("sec-fetch-site", "cross-site")];
    for method in [Method::PUT, Method::PATCH, Method::DELETE] {
        lead.ask(&method, "/cases", &foreign, "").await.expect(StatusCode::FORBIDDEN);
    }
    lead.ask(&Method::GET, "/cases", &foreign, "").await.expect(StatusCode::OK);
}

#[tokio::test]
async fn over_tls_the_origin_is_one_over_tls() {
    let app = TestApp::with_settings(Settings { transport: Transport::Tls, ..Settings::default() }).await;
    for (origin, status) in
        [("https://localhost:8443", StatusCode::SEE_OTHER), ("http://localhost:8443", StatusCode::FORBIDDEN)]
    {
        let headers = [("host", "localhost:8443"), ("origin", origin), ("sec-fetch-site", "same-origin")];
        let page = app.signed_out().ask(&Method::POST, "/sign-out", &headers, "").await;
        page.expect(status);
    }
}

#[tokio::test]
async fn the_door_for_phones_looks_at_the_origin_as_well() {
    let app = TestApp::init().await;
    for headers in FOREIGN {
        let headers = [&[HOST, KIND], headers].concat();
        let page = app.phone().ask(&Method::POST, "/vote/k7m3xq", &headers, "option=1").await;
        page.expect(StatusCode::FORBIDDEN);
    }
}
