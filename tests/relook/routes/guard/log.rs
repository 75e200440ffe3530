//! The log holds nothing that somebody typed, and no secret.

use std::io::Write;
use std::sync::{Arc, Mutex};

use axum::http::Method;
use tracing_subscriber::EnvFilter;

use super::HOST;
use crate::support::{CaseBuilder, PASSWORD, Role, StatusCode, TestApp};

/// Stands in every text and secret that is sent.
const MARK: &str = "zqtyped";

#[derive(Clone, Default)]
struct Held(Arc<Mutex<Vec<u8>>>);

impl Write for Held {
    fn write(&mut self, bytes: &[u8]) -> std::io::Result<usize> {
        self.0.lock().unwrap().extend_from_slice(bytes);
        Ok(bytes.len())
    }
    fn flush(&mut self) -> std::io::Result<()> {
        Ok(())
    }
}

impl Held {
    fn text(&self) -> String {
        String::from_utf8(self.0.lock().unwrap().clone()).unwrap()
    }
}

/// Listens on this thread, on which the test's application runs, to more than the program logs by itself.
fn listen() -> (Held, tracing::subscriber::DefaultGuard) {
    let held = Held::default();
    let writer = held.clone();
    let log = tracing_subscriber::fmt()
        .json()
        .with_env_filter(EnvFilter::new("relook=trace,tower_http=debug,axum=trace,sqlx=debug,warn"))
        .with_writer(move || writer.clone())
        .finish();
    let guard = tracing::subscriber::set_default(log);
    (held, guard)
}

#[tokio::test]
async fn what_is_typed_and_what_is_secret_stands_in_no_line() {
    let (held, _guard) = listen();
    let app = TestApp::init().await;
    let code = CaseBuilder::new("Zqtyped title").complete().insert(&app).await.code;
    let link = app.sign_in_link(Role::QualityLead).await;
    let secret = link.rsplit('/').next().unwrap().to_owned();
    let visitor = app.signed_out();
    visitor.get(&link).await.expect(StatusCode::OK);
    visitor
        .post(&link, &[("new_password", PASSWORD), ("again", PASSWORD)])
        .await
        .expect(StatusCode::SEE_OTHER);
    let session = visitor.cookie("relook_session").unwrap();
    let mut statuses = Vec::new();
    for (path, fields) in [
        ("/sign-in", vec![("name", "zqtyped name"), ("password", "zqtyped password")]),
        ("/record", vec![("month", "zqtyped"), ("mechanism", "zqtyped"), ("situation", "zqtyped situation")]),
        (
            "/record",
            vec![("month", "2026-01"), ("mechanism", "flow-no-reflow"), ("situation", "Zqtyped, it was.")],
        ),
        ("/account/password", vec![("new_password", "zqtyped"), ("again", "zqtyped2")]),
        ("/settings/users/new", vec![("name", "Zqtyped Person"), ("role", "fellow")]),
        ("/no/zqtyped/page", vec![("text", "zqtyped")]),
        ("/settings/procedures-at-risk/import", vec![("csv", "zqtyped,zqtyped\n1,2")]),
    ] {
        statuses.push(visitor.post(path, &fields).await.status.as_u16());
    }
    for path in [
        "/cases?q=zqtyped",
        "/zqtyped?zqtyped=zqtyped",
        "/cases/zqtyped",
        "/cases?from=zqtyped",
        "/sign-in?next=/zqtyped",
    ] {
        statuses.push(visitor.get(path).await.status.as_u16());
    }
    let told = [
        ("x-request-id", MARK),
        ("user-agent", MARK),
        ("referer", "http://127.0.0.1:8080/zqtyped"),
        ("x-forwarded-for", MARK),
        HOST,
    ];
    let own = Method::from_bytes(b"ZQTYPED").unwrap();
    for method in [&Method::GET, &Method::POST, &own] {
        statuses.push(visitor.ask(method, "/cases", &told, MARK).await.status.as_u16());
    }
    let foreign = [HOST, ("origin", "https://zqtyped.example")];
    statuses.push(visitor.ask(&Method::POST, "/cases", &foreign, "").await.status.as_u16());
    statuses.push(visitor.ask(&Method::GET, "/", &[("host", "zqtyped.example")], "").await.status.as_u16());
    // A stored value that cannot be read: the log names its place, and not the value.
    app.execute("pragma ignore_check_constraints = on").await;
    app.execute("update case_records set title = '' || char(10) || 'zqtyped' || char(0)").await;
    let broken = visitor.get(&format!("/cases/{code}")).await;
    broken.expect(StatusCode::INTERNAL_SERVER_ERROR);
    let text = held.text();
    assert!(text.contains("that cannot be read"), "{text}");
    for (kind, secret) in [
        ("a text", MARK),
        ("a text", "Zqtyped"),
        ("the link's secret", secret.as_str()),
        ("the session's secret", &session),
    ] {
        let line = text.lines().find(|line| line.contains(secret));
        assert_eq!(line, None, "{kind} stands in the log");
    }
    for seen in [200, 303, 403, 404, 405, 421, 422, 500] {
        let said = format!("\"status\":{seen},");
        assert!(text.contains(&said), "no line with {said} after {statuses:?}");
    }
    assert!(text.contains("\"route\":\"/sign-in/link/{secret}\""), "{text}");
}

#[tokio::test]
async fn a_line_of_the_log_an_answer_and_its_error_page_carry_the_same_number() {
    let (held, _guard) = listen();
    let app = TestApp::init().await;
    let visitor = app.with_fellow().await;
    let mut numbers = std::collections::BTreeSet::new();
    for (path, is_error) in [("/cases", false), ("/no/such/page", true), ("/settings/users", true)] {
        let page = visitor.ask(&Method::GET, path, &[HOST, ("x-request-id", "mine")], "").await;
        let number = page.headers.get("x-request-id").unwrap().to_str().unwrap().to_owned();
        assert!(held.text().contains(&format!("\"request\":\"{number}\"")), "{number}: {}", held.text());
        assert_eq!(page.text.contains(&number), is_error, "{page}");
        assert!(numbers.insert(number), "{numbers:?}");
    }
    app.execute("drop view cases").await;
    let broken = visitor.get("/cases").await;
    broken.expect(StatusCode::INTERNAL_SERVER_ERROR);
    let number = broken.headers.get("x-request-id").unwrap().to_str().unwrap();
    let text = held.text();
    let refused = text.lines().find(|line| line.contains("\"status\":403")).unwrap();
    let account = format!("\"account\":{},", app.user(Role::Fellow).await.id);
    assert!(refused.contains(&account), "{refused}");
    let failed = text.lines().find(|line| line.contains("request failed")).unwrap();
    assert!(failed.contains(number), "{failed}");
}

#[tokio::test]
async fn who_watches_the_server_fills_no_log() {
    let (held, _guard) = listen();
    let app = TestApp::init().await;
    app.signed_out().get("/health").await.expect(StatusCode::OK);
    let text = held.text();
    let line = text.lines().find(|line| line.contains("\"/health\"")).unwrap();
    assert!(line.contains("\"level\":\"DEBUG\""), "{line}");
}
