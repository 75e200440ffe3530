//! The headers of every answer, and the cookies.

use axum::http::Method;
use relook::web::{Settings, Transport};

use super::HOST;
use crate::support::{CaseBuilder, PASSWORD, Page, Role, StatusCode, TestApp};

fn header<'p>(page: &'p Page, name: &str) -> &'p str {
    page.headers.get(name).map_or("", |value| value.to_str().unwrap())
}

fn check_headers(page: &Page) {
    let policy = header(page, "content-security-policy");
    for part in [
        "default-src 'none'",
        "script-src 'self';",
        "object-src 'none'",
        "frame-ancestors 'none'",
        "base-uri 'none'",
        "form-action 'self'",
    ] {
        assert!(policy.contains(part), "{page}: {policy}");
    }
    assert!(!policy.contains("unsafe") && !policy.contains('*') && !policy.contains("http"), "{policy}");
    assert_eq!(header(page, "x-content-type-options"), "nosniff", "{page}");
    assert_eq!(header(page, "referrer-policy"), "same-origin", "{page}");
    assert_eq!(header(page, "cross-origin-opener-policy"), "same-origin", "{page}");
    assert_eq!(header(page, "cross-origin-resource-policy"), "same-origin", "{page}");
    assert!(header(page, "permissions-policy").contains("camera=()"), "{page}");
    assert!(!header(page, "x-request-id").is_empty(), "{page}");
    for told in ["server", "x-powered-by", "access-control-allow-origin"] {
        assert_eq!(header(page, told), "", "{page}");
    }
}

#[tokio::test]
async fn every_answer_of_every_route_carries_the_headers() {
    let app = TestApp::init().await;
    let code = CaseBuilder::new("With headers").complete().insert(&app).await.code.to_string();
    for rule in super::rules() {
        let client = app.as_role(Role::QualityLead).await;
        let page = client.ask(&rule.method, &super::address(&rule, &code), &[HOST], "").await;
        check_headers(&page);
        assert_eq!(header(&page, "strict-transport-security"), "", "{page}");
    }
    let stray = app.signed_out();
    check_headers(&stray.get("/no/such/page").await);
    check_headers(&stray.ask(&Method::GET, "/", &[("host", "evil.example")], "").await);
    check_headers(&stray.ask(&Method::PUT, "/cases", &[HOST], "").await);
    check_headers(&app.phone().get("/vote/k7m3xq").await);
}

#[tokio::test]
async fn a_file_to_keep_is_offered_as_a_file_with_its_kind() {
    let app = TestApp::init().await;
    let code = CaseBuilder::new("To keep")
        .complete()
        .in_print()
        .stage(relook::case::Stage::Presented)
        .insert(&app)
        .await
        .code;
    for (path, kind) in [
        (format!("/cases/{code}/case.json"), "application/json"),
        (format!("/cases/{code}/case.toml"), "application/toml"),
        (format!("/cases/{code}/summary.md"), "text/markdown; charset=utf-8"),
        (format!("/cases/{code}/files/summary/word"), "application/vnd.openxmlformats"),
    ] {
        let page = app.with_reader().await.get(&path).await;
        page.expect(StatusCode::OK);
        assert!(header(&page, "content-type").starts_with(kind), "{path}: {}", header(&page, "content-type"));
        assert!(header(&page, "content-disposition").starts_with("attachment; filename=\""), "{path}");
        assert_eq!(header(&page, "cache-control"), "no-store", "{path}");
    }
}

fn over_tls() -> Settings {
    Settings { transport: Transport::Tls, ..Settings::default() }
}

#[tokio::test]
async fn over_tls_the_browser_is_held_to_it() {
    let app = TestApp::with_settings(over_tls()).await;
    let page = app.signed_out().get("/sign-in").await;
    assert_eq!(header(&page, "strict-transport-security"), "max-age=31536000; includeSubDomains");
}

/// Every cookie that an answer sets.
fn cookies(page: &Page) -> Vec<String> {
    page.headers.get_all("set-cookie").iter().map(|value| value.to_str().unwrap().to_owned()).collect()
}

/// Goes through what sets a cookie: signing in by a link, a notice, its going, signing out.
async fn all_cookies(app: &TestApp) -> Vec<String> {
    let client = app.signed_out();
    let link = app.sign_in_link(Role::Fellow).await;
    let mut found = cookies(&client.post(&link, &[("new_password", PASSWORD), ("again", PASSWORD)]).await);
    let fields = [("month", "2026-01"), ("mechanism", "flow-no-reflow"), ("situation", "The flow was gone.")];
    let recorded = client.post("/record", &fields).await;
    recorded.expect(StatusCode::SEE_OTHER);
    found.extend(cookies(&recorded));
    let case = client.follow(&recorded).await;
    case.expect(StatusCode::OK);
    found.extend(cookies(&case));
    found.extend(cookies(&client.post("/sign-out", &[]).await));
    found
}

#[tokio::test]
async fn every_cookie_is_strict_and_out_of_reach_of_scripts_and_over_tls_secure_and_bound_to_the_host() {
    for (settings, secure) in [(Settings::default(), false), (over_tls(), true)] {
        let app = TestApp::with_settings(settings).await;
        let all = all_cookies(&app).await;
        let set: Vec<&str> = all.iter().map(|cookie| cookie.split('=').next().unwrap()).collect();
        let prefix = if secure { "__Host-" } else { "" };
        let (session, notice) = (format!("{prefix}relook_session"), format!("{prefix}relook_notice"));
        assert_eq!(set, [session.as_str(), &notice, &notice, &session], "{all:?}");
        for cookie in &all {
            assert!(cookie.contains("HttpOnly") && cookie.contains("SameSite=Strict"), "{cookie}");
            assert!(cookie.contains("Path=/") && !cookie.contains("Domain"), "{cookie}");
            assert_eq!(cookie.contains("Secure"), secure, "{cookie}");
        }
    }
}

#[tokio::test]
async fn over_tls_a_cookie_without_the_prefix_opens_nothing() {
    let app = TestApp::with_settings(over_tls()).await;
    let client = app.sign_in_by_link_named(Role::Fellow, "__Host-relook_session").await;
    let secret = client.cookie("__Host-relook_session").unwrap();
    client.get("/cases").await.expect(StatusCode::OK);
    let planted = app.signed_out().with_cookie("relook_session", &secret);
    planted.get("/cases").await.expect(StatusCode::SEE_OTHER);
}
