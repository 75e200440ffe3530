//! Bounds: on the size of what is sent, on its depth, on the time that it takes, and on how often one
//! address asks.

use std::net::SocketAddr;
use std::pin::Pin;
use std::task::{Context, Poll};

use axum::body::{Body, Bytes};
use axum::extract::ConnectInfo;
use axum::http::{Method, Request};
use hyper::body::Frame;
use relook::web::{Rate, Settings};

use super::HOST;
use crate::support::{Client, Page, StatusCode, TestApp};

const KIND: (&str, &str) = ("content-type", "application/x-www-form-urlencoded");

async fn post(client: &Client, path: &str, body: String) -> Page {
    client.ask(&Method::POST, path, &[HOST, KIND], &body).await
}

#[tokio::test]
async fn a_form_that_is_too_large_or_has_too_many_fields_is_refused_with_a_sentence() {
    let app = TestApp::init().await;
    let lead = app.with_quality_lead().await;
    for (body, says) in [
        (format!("situation={}", "x".repeat(513 * 1024)), "larger than half a megabyte"),
        ("a=&".repeat(2_001), "more fields than any of ours"),
    ] {
        let page = post(&lead, "/record", body).await;
        page.expect(StatusCode::BAD_REQUEST);
        assert!(page.text.contains(says), "{page}");
    }
    // As many as are allowed are read, and found wanting by the form itself.
    post(&lead, "/record", "a=&".repeat(1_990)).await.expect(StatusCode::UNPROCESSABLE_ENTITY);
}

#[tokio::test]
async fn an_upload_is_bounded_in_size_and_in_parts() {
    let app = TestApp::init().await;
    let lead = app.with_quality_lead().await;
    let part = |name: &str, text: &str| {
        format!(
            "--b\r\nContent-Disposition: form-data; name=\"{name}\"; filename=\"../../x.csv\"\r\n\r\n{text}\r\n"
        )
    };
    let send = async |body: String| {
        let headers = [HOST, ("content-type", "multipart/form-data; boundary=b")];
        lead.ask(&Method::POST, "/settings/procedures-at-risk/import", &headers, &format!("{body}--b--\r\n"))
            .await
    };
    let too_large = send(part("file", &"1,2\n".repeat(300_000))).await;
    too_large.expect(StatusCode::UNPROCESSABLE_ENTITY);
    assert!(too_large.text.contains("larger than one megabyte"), "{too_large}");
    // Parts that nobody asked for are not kept, and together they meet the bound too.
    let many = send(part("other", &"x".repeat(1_000)).repeat(3_000)).await;
    many.expect(StatusCode::BAD_REQUEST);
    send(part("file", "month,all-pci\n2026-01,100\n")).await.expect(StatusCode::OK);
}

#[tokio::test]
async fn rows_without_number_and_texts_without_end_are_told_in_bounded_words() {
    let app = TestApp::init().await;
    let lead = app.with_quality_lead().await;
    let rows = format!("month,all-pci\n{}", "x,y\n".repeat(100_000));
    let body = form_urlencoded::Serializer::new(String::new()).append_pair("csv", &rows).finish();
    let page = post(&lead, "/settings/procedures-at-risk/import", body).await;
    page.expect(StatusCode::UNPROCESSABLE_ENTITY);
    assert!(page.texts("main li").len() < 200, "{} problems are listed", page.texts("main li").len());
}

#[tokio::test]
async fn a_list_that_is_nested_without_end_is_refused_and_nothing_breaks() {
    let app = TestApp::init().await;
    let lead = app.with_quality_lead().await;
    for text in [
        format!("steps = {}{}", "[".repeat(50_000), "]".repeat(50_000)),
        format!("steps = {}", "[".repeat(100_000)),
        format!("steps = {}1{}", "{a=".repeat(30_000), "}".repeat(30_000)),
        format!("{} = 1", vec!["a"; 50_000].join(".")),
        format!("[{}]", vec!["a"; 50_000].join(".")),
    ] {
        let body = form_urlencoded::Serializer::new(String::new()).append_pair("text", &text).finish();
        let page = post(&lead, "/settings/prompts", body).await;
        assert!(page.status.is_client_error(), "{}: {}", &text[..20], page.status);
    }
    lead.get("/settings/prompts").await.expect(StatusCode::OK);
}

/// A body that begins and does not go on.
struct Trickling(bool);

impl axum::body::HttpBody for Trickling {
    type Data = Bytes;
    type Error = std::convert::Infallible;
    fn poll_frame(
        mut self: Pin<&mut Self>,
        _: &mut Context<'_>,
    ) -> Poll<Option<Result<Frame<Bytes>, Self::Error>>> {
        if std::mem::take(&mut self.0) {
            return Poll::Ready(Some(Ok(Frame::data(Bytes::from_static(b"text=Half")))));
        }
        Poll::Pending
    }
}

#[tokio::test]
async fn a_body_that_trickles_in_is_cut_after_a_minute() {
    let app = TestApp::init().await;
    let visitor = app.signed_out();
    let request = Request::post("/record").header(HOST.0, HOST.1).header(KIND.0, KIND.1);
    let request = request.body(Body::new(Trickling(true))).unwrap();
    // The clock of the timers is set on as soon as there is nothing else to do.
    tokio::time::pause();
    let start = tokio::time::Instant::now();
    let page = visitor.send_as_it_is(request).await;
    page.expect(StatusCode::REQUEST_TIMEOUT);
    assert!(page.text.contains("did not arrive whole"), "{page}");
    assert_eq!(start.elapsed().as_secs(), 60);
}

async fn from(client: &Client, sender: &str) -> Page {
    let sender: SocketAddr = format!("{sender}:50000").parse().unwrap();
    let mut request = Request::get("/health").header(HOST.0, HOST.1).body(Body::empty()).unwrap();
    request.extensions_mut().insert(ConnectInfo(sender));
    client.send_as_it_is(request).await
}

#[tokio::test]
async fn an_address_that_asks_too_much_at_once_waits_and_the_others_do_not() {
    let settings = Settings { rate: Rate::per_second(1), ..Settings::default() };
    let app = TestApp::with_settings(settings).await;
    for client in [app.signed_out(), app.phone()] {
        let mut refused = None;
        for _ in 0..40 {
            let page = from(&client, "10.0.0.7").await;
            if page.status == StatusCode::TOO_MANY_REQUESTS {
                refused = Some(page);
            }
        }
        let refused = refused.expect("a refusal");
        let wait: u64 = refused.headers.get("retry-after").unwrap().to_str().unwrap().parse().unwrap();
        assert!((1..=2).contains(&wait), "{wait}");
        assert!(refused.html.starts_with("Too many requests came from your address"), "{refused}");
        assert_ne!(from(&client, "10.0.0.8").await.status, StatusCode::TOO_MANY_REQUESTS);
    }
}

#[tokio::test]
async fn a_ward_behind_one_address_that_comes_back_after_a_break_is_not_refused() {
    let app = TestApp::init().await;
    let client = app.signed_out();
    // Fifty people open a page with its files at once, and forty windows ask each second of a minute.
    for number in 0..50 * 12 + 40 * 30 {
        let page = from(&client, "10.0.0.7").await;
        assert_eq!(page.status, StatusCode::OK, "request {number}");
    }
}
