//! A room full of phones at once, over real connections to the second door.

use std::net::SocketAddr;
use std::time::Instant;

use axum::body::Body;
use axum::http::{Method, Request, StatusCode, header};
use hyper_util::client::legacy::Client;
use hyper_util::client::legacy::connect::HttpConnector;
use hyper_util::rt::TokioExecutor;
use relook::conference::votes::PollCode;
use relook::web::votes::phone_router;
use tokio::net::TcpListener;
use tokio::sync::watch;
use tokio::task::JoinSet;

use super::{close, open, phones, poll};
use crate::support::TestApp;

const ROOM: usize = 200;

/// A phone with the cookie that its page brought.
#[derive(Clone)]
struct Phone {
    client: Client<HttpConnector, Body>,
    url: String,
    cookie: String,
}

async fn door(app: &TestApp) -> SocketAddr {
    let listener = TcpListener::bind("127.0.0.1:0").await.unwrap();
    let address = listener.local_addr().unwrap();
    let router = phone_router(app.app.clone());
    tokio::spawn(async move { axum::serve(listener, router).await.unwrap() });
    address
}

impl Phone {
    async fn scan(url: String) -> Self {
        let client = Client::builder(TokioExecutor::new()).build_http();
        let answer = client.request(Request::get(&url).body(Body::empty()).unwrap()).await.unwrap();
        assert_eq!(answer.status(), StatusCode::OK);
        let cookie = answer.headers()[header::SET_COOKIE].to_str().unwrap();
        let cookie = cookie.split(';').next().unwrap().to_owned();
        Self { client, url, cookie }
    }

    async fn vote(&self, option: usize) -> StatusCode {
        let request = Request::builder()
            .method(Method::POST)
            .uri(&self.url)
            .header(header::CONTENT_TYPE, "application/x-www-form-urlencoded")
            .header(header::COOKIE, &self.cookie)
            .body(Body::from(format!("option={option}")))
            .unwrap();
        self.client.request(request).await.unwrap().status()
    }
}

async fn room(app: &TestApp, code: &PollCode) -> Vec<Phone> {
    let url = format!("http://{}/vote/{code}", door(app).await);
    let mut scans = JoinSet::new();
    for _ in 0..ROOM {
        scans.spawn(Phone::scan(url.clone()));
    }
    scans.join_all().await
}

#[tokio::test(flavor = "multi_thread")]
async fn two_hundred_votes_at_once_are_all_counted_once() {
    let app = TestApp::init().await;
    let code = open(&app).await;
    let room = room(&app, &code).await;
    let started = Instant::now();
    let mut votes = JoinSet::new();
    for (number, phone) in room.iter().cloned().enumerate() {
        votes.spawn(async move { phone.vote(number % 3 + 1).await });
    }
    let answers = votes.join_all().await;
    println!("{ROOM} votes in {} ms", started.elapsed().as_millis());
    assert_eq!(answers, [StatusCode::SEE_OTHER; ROOM]);
    assert_eq!(phones(&app, &code).await, [67, 67, 66]);

    // All change their mind at once; each is still one vote.
    let mut votes = JoinSet::new();
    for phone in room {
        votes.spawn(async move { phone.vote(2).await });
    }
    assert_eq!(votes.join_all().await, [StatusCode::SEE_OTHER; ROOM]);
    assert_eq!(phones(&app, &code).await, [0, 200, 0]);
}

#[tokio::test(flavor = "multi_thread")]
async fn one_device_that_sends_many_times_at_once_is_one_vote() {
    let app = TestApp::init().await;
    let code = open(&app).await;
    let phone = Phone::scan(format!("http://{}/vote/{code}", door(&app).await)).await;
    let mut votes = JoinSet::new();
    for number in 0..40 {
        let phone = phone.clone();
        votes.spawn(async move { phone.vote(number % 3 + 1).await });
    }
    assert_eq!(votes.join_all().await, [StatusCode::SEE_OTHER; 40]);
    assert_eq!(poll(&app, &code).await.total(), 1);
}

/// The whole room votes while the poll is closed.
async fn race(app: &TestApp, close: impl AsyncFnOnce(&PollCode)) {
    let code = open(app).await;
    let room = room(app, &code).await;
    let (told, mut counted) = watch::channel(0);
    let mut votes = JoinSet::new();
    for phone in &room {
        let (phone, told) = (phone.clone(), told.clone());
        votes.spawn(async move {
            let status = phone.vote(1).await;
            told.send_modify(|count| *count += 1);
            status
        });
    }
    // A part of the room is still sending.
    counted.wait_for(|count| *count >= 20).await.unwrap();
    close(&code).await;
    let at_the_close = poll(app, &code).await.total();
    let answers = votes.join_all().await;
    let accepted = answers.iter().filter(|status| **status == StatusCode::SEE_OTHER).count();
    let refused = answers.iter().filter(|status| **status == StatusCode::GONE).count();
    println!("{accepted} accepted, {refused} refused");
    assert_eq!(accepted + refused, ROOM, "{answers:?}");
    assert!(accepted >= 20, "{answers:?}");
    assert_eq!(at_the_close as usize, accepted);
    for phone in &room {
        assert_eq!(phone.vote(2).await, StatusCode::GONE);
    }
    assert_eq!(phones(app, &code).await, [at_the_close, 0, 0]);
}

#[tokio::test(flavor = "multi_thread")]
async fn of_votes_that_race_with_the_close_all_that_were_accepted_count_and_none_after() {
    let app = TestApp::init().await;
    race(&app, async |code| close(&app, code).await).await;
}

#[tokio::test(flavor = "multi_thread")]
async fn votes_that_race_with_the_presenters_button_are_counted_or_refused_too() {
    let app = TestApp::init().await;
    let presenter = app.with_attending().await;
    race(&app, async |code| {
        presenter.post(&format!("/polls/{code}/close"), &[]).await.expect(StatusCode::OK);
    })
    .await;
}
