//! What a phone sees and sends.

use relook::conference::votes::Phase;

use super::{OPTIONS, QUESTION, case, close, open, open_in, phones};
use crate::support::{Client, Page, StatusCode, TestApp};

const DEVICE: &str = "relook_device";

async fn answer(phone: &Client, path: &str, option: &str) -> Page {
    let sent = phone.post(path, &[("option", option)]).await;
    sent.expect(StatusCode::SEE_OTHER);
    assert_eq!(sent.location(), path);
    let page = phone.follow(&sent).await;
    page.expect(StatusCode::OK);
    page
}

#[tokio::test]
async fn a_device_has_one_vote_and_may_change_its_mind_until_the_close() {
    let app = TestApp::init().await;
    let code = open(&app).await;
    let path = format!("/vote/{code}");
    let (one, other) = (app.phone(), app.phone());
    let page = one.get(&path).await;
    page.expect(StatusCode::OK);
    assert_eq!(page.heading(), QUESTION);
    assert!(!page.text.contains("Your answer is in"), "{page}");
    other.get(&path).await.expect(StatusCode::OK);

    let page = answer(&one, &path, "1").await;
    assert!(
        page.text.contains("Your answer is in: Advance it; you can change it until the presenter closes"),
        "{page}"
    );
    answer(&one, &path, "1").await;
    answer(&other, &path, "2").await;
    assert_eq!(phones(&app, &code).await, [1, 1, 0]);
    let page = answer(&one, &path, "3").await;
    assert!(page.text.contains("Your answer is in: Pull it back & wait;"), "{page}");
    assert_eq!(phones(&app, &code).await, [0, 1, 1]);

    close(&app, &code).await;
    for page in [one.post(&path, &[("option", "1")]).await, one.get(&path).await] {
        page.expect(StatusCode::GONE);
        assert_eq!(page.heading(), "This vote is closed");
    }
    assert_eq!(phones(&app, &code).await, [0, 1, 1]);
}

#[tokio::test]
async fn the_cookie_of_a_device_goes_to_votes_alone_and_for_half_a_day() {
    let app = TestApp::init().await;
    let code = open(&app).await;
    let phone = app.phone();
    let page = phone.get(&format!("/vote/{code}")).await;
    let cookies: Vec<&str> =
        page.headers.get_all("set-cookie").iter().map(|value| value.to_str().unwrap()).collect();
    let [cookie] = cookies[..] else { panic!("{cookies:?}") };
    let (value, rest) = cookie.split_once("; ").unwrap();
    assert_eq!(value, format!("{DEVICE}={}", phone.cookie(DEVICE).unwrap()));
    assert_eq!(rest, "HttpOnly; SameSite=Strict; Path=/vote; Max-Age=43200");
    // A device that has it keeps it.
    let again = phone.get(&format!("/vote/{code}")).await;
    assert!(again.headers.get("set-cookie").is_none());
}

#[tokio::test]
async fn a_vote_without_the_cookie_is_not_counted_and_says_what_to_do() {
    let app = TestApp::init().await;
    let code = open(&app).await;
    let path = format!("/vote/{code}");
    for made_up in [None, Some("short"), Some("zz")] {
        let phone = match made_up {
            None => app.phone(),
            Some(value) => app.phone().with_cookie(DEVICE, value),
        };
        let page = phone.post(&path, &[("option", "2")]).await;
        page.expect(StatusCode::UNPROCESSABLE_ENTITY);
        assert!(page.text.contains("Allow cookies for this page"), "{page}");
        assert_eq!(page.form(&path), [("option".to_owned(), "2".to_owned())], "what was chosen is lost");
        assert_eq!(phones(&app, &code).await, [0, 0, 0]);
    }
    // The page brought the cookie along, so the same again is counted.
    let phone = app.phone();
    phone.post(&path, &[("option", "2")]).await.expect(StatusCode::UNPROCESSABLE_ENTITY);
    answer(&phone, &path, "2").await;
    assert_eq!(phones(&app, &code).await, [0, 1, 0]);
}

#[tokio::test]
async fn an_answer_that_is_none_of_the_options_is_asked_for_again() {
    let app = TestApp::init().await;
    let code = open(&app).await;
    let path = format!("/vote/{code}");
    let phone = app.phone();
    phone.get(&path).await.expect(StatusCode::OK);
    answer(&phone, &path, "1").await;
    for wrong in ["", "0", "4", "7", "-1", "1.5", "Advance it"] {
        let page = phone.post(&path, &[("option", wrong)]).await;
        page.expect(StatusCode::UNPROCESSABLE_ENTITY);
        assert!(page.text.contains("Choose one of the options"), "{wrong}: {page}");
        assert!(page.text.contains("Your answer is in: Advance it"), "{wrong}: {page}");
    }
    phone.post(&path, &[]).await.expect(StatusCode::UNPROCESSABLE_ENTITY);
    assert_eq!(phones(&app, &code).await, [1, 0, 0]);
}

#[tokio::test]
async fn a_large_body_is_refused() {
    let app = TestApp::init().await;
    let code = open(&app).await;
    let path = format!("/vote/{code}");
    let phone = app.phone();
    phone.get(&path).await.expect(StatusCode::OK);
    let padding = "x".repeat(2000);
    let page = phone.post(&path, &[("option", "1"), ("more", &padding)]).await;
    page.expect(StatusCode::PAYLOAD_TOO_LARGE);
    assert_eq!(page.heading(), "This is too large for a vote");
    assert_eq!(phones(&app, &code).await, [0, 0, 0]);
}

#[tokio::test]
async fn a_guessed_code_finds_nothing() {
    let app = TestApp::init().await;
    let code = open(&app).await;
    let phone = app.phone();
    let near: Vec<String> = "23456789bcdfghjkmnpqrstvwxyz"
        .chars()
        .map(|sign| format!("{}{sign}", &code.as_str()[..5]))
        .filter(|near| near != code.as_str())
        .collect();
    let odd = ["1", "2026-001", "k7m3x", "%27%20or%201%3d1", "..%2f..%2fcases"].map(str::to_owned);
    for guess in near.iter().chain(&odd) {
        for page in [
            phone.get(&format!("/vote/{guess}")).await,
            phone.post(&format!("/vote/{guess}"), &[("option", "1")]).await,
        ] {
            page.expect(StatusCode::NOT_FOUND);
            assert_eq!(page.heading(), "There is no vote here");
            assert!(page.headers.get("set-cookie").is_none(), "{page}");
        }
    }
    // A phone that writes large letters finds the same poll.
    phone.get(&format!("/vote/{}", code.as_str().to_uppercase())).await.expect(StatusCode::OK);
}

/// The source with all that it may hold taken out: what is left is the same for every poll.
fn without_the_slip(page: &Page, code: &str) -> String {
    let mut rest = page.html.replace(code, "");
    for words in OPTIONS.iter().chain([&QUESTION]) {
        rest = rest.replace(&words.replace('&', "&#38;"), "");
    }
    rest
}

#[tokio::test]
async fn the_page_holds_the_question_and_the_options_and_nothing_of_the_case_or_the_count() {
    let app = TestApp::init().await;
    let placed = case(&app).await;
    let code = open_in(&app, placed, Phase::Before).await.unwrap();
    let path = format!("/vote/{code}");
    let [one, two, three] = [app.phone(), app.phone(), app.phone()];
    let empty = without_the_slip(&one.get(&path).await, code.as_str());
    for (phone, option) in [(&one, "1"), (&two, "1"), (&three, "2")] {
        phone.get(&path).await.expect(StatusCode::OK);
        answer(phone, &path, option).await;
    }
    // Who has not voted sees the page of a poll without votes, to the letter.
    let seen = app.phone().get(&path).await;
    assert_eq!(without_the_slip(&seen, code.as_str()), empty);
    // One, two or three votes for the option: whoever voted sees the same.
    let after_one = one.get(&path).await.html;
    for phone in [&two, &three] {
        answer(phone, &path, "1").await;
    }
    assert_eq!(one.get(&path).await.html, after_one);

    let stored = app.case(placed.code).await;
    let secrets = [
        placed.code.to_string(),
        stored.head.title.to_string(),
        "d1".to_owned(),
        "Guide engaged".to_owned(),
        "dissection".to_owned(),
        "/cases".to_owned(),
        "<script".to_owned(),
    ];
    for secret in &secrets {
        assert!(
            !after_one.contains(secret.as_str()) && !seen.html.contains(secret.as_str()),
            "{secret}: {seen}"
        );
    }
    for said in ["Anonymous", "One vote a device", "not a record of care", "First answer"] {
        assert!(seen.text.contains(said), "{said}: {seen}");
    }
    close(&app, &code).await;
    let closed = one.get(&path).await;
    assert!(!closed.html.contains(QUESTION) && !closed.html.contains(OPTIONS[0]), "{closed}");
}

#[tokio::test]
async fn what_is_written_in_a_question_is_shown_and_never_run() {
    let app = TestApp::init().await;
    let code = open(&app).await;
    app.execute("update polls set question = '<b>Bold</b> & sure?'").await;
    app.execute("update poll_options set text = '<script>alert(1)</script>' where position = 1").await;
    let page = app.phone().get(&format!("/vote/{code}")).await;
    assert_eq!(page.heading(), "<b>Bold</b> & sure?");
    assert!(!page.html.contains("<b>") && !page.html.contains("<script"), "{}", page.html);
}

#[tokio::test]
async fn the_same_page_is_there_on_the_presenters_own_laptop() {
    let app = TestApp::init().await;
    let code = open(&app).await;
    let path = format!("/vote/{code}");
    let visitor = app.signed_out();
    visitor.get(&path).await.expect(StatusCode::OK);
    answer(&visitor, &path, "3").await;
    assert_eq!(phones(&app, &code).await, [0, 0, 1]);
    visitor.get("/vote/zzzzzz").await.expect(StatusCode::NOT_FOUND);
}
