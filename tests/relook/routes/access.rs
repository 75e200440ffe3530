//! Who may use which address: every rule of the table, with every role and with none.

use axum::http::Method;
use relook::case::Stage;
use relook::web::Allow;
use relook::web::router::{Rule, routes};

use crate::support::{CaseBuilder, Client, PASSWORD, Page, Role, StatusCode, TestApp};

/// What a visitor of a test typed; none of it may be lost or run.
const TYPED: &str = "Half a <b>sentence</b> & \"more\"";

/// The address of a rule, with something in the place of what varies.
fn address(rule: &Rule, code: &str) -> String {
    rule.path
        .replace("{code}", code)
        .replace("{*path}", "css/base.css")
        .replace("{secret}", &"0".repeat(64))
        .replace("{number}", "1")
        .replace("/deck/{format}", "/deck/slides")
        .replace("/summary/{format}", "/summary/markdown")
        .replace("/record/{format}", "/record/toml")
        .replace("/screens/{format}", "/screens/html")
        .replace("/references/{format}", "/references/bibtex")
        .replace("/files/{format}", "/files/markdown")
        .split('/')
        .map(|part| if part.starts_with('{') { "999999" } else { part })
        .collect::<Vec<_>>()
        .join("/")
}

async fn ask(client: &Client, rule: &Rule, code: &str) -> Page {
    let path = address(rule, code);
    assert!(!path.contains(['{', '}']), "{path}");
    match rule.method {
        Method::GET => client.get(&path).await,
        Method::POST => client.post(&path, &[("text", TYPED)]).await,
        ref other => panic!("{other} {path} is walked by no test"),
    }
}

fn rules() -> Vec<Rule> {
    let rules = routes().rules();
    assert!(rules.len() > 50, "the table has {} rules, so the walk would prove little", rules.len());
    rules
}

#[test]
fn no_two_rules_are_for_the_same_method_and_address() {
    let mut seen = std::collections::BTreeSet::new();
    for rule in rules() {
        assert!(
            seen.insert(format!("{} {}", rule.method, rule.path)),
            "{} {} stands twice",
            rule.method,
            rule.path
        );
    }
}

#[test]
fn a_rule_admits_the_roles_that_the_design_gives_it() {
    let all = [None, Some(Role::Reader), Some(Role::Fellow), Some(Role::Attending), Some(Role::QualityLead)];
    let admitted = |allow: Allow| all.map(|role| allow.admits(role));
    assert_eq!(admitted(Allow::Anyone), [true, true, true, true, true]);
    assert_eq!(admitted(Allow::SignedIn), [false, true, true, true, true]);
    assert_eq!(admitted(Allow::Writers), [false, false, true, true, true]);
    assert_eq!(admitted(Allow::Signers), [false, false, false, true, true]);
    assert_eq!(admitted(Allow::Keepers), [false, false, false, false, true]);
}

#[tokio::test]
async fn every_page_leads_a_visitor_who_is_not_signed_in_to_the_sign_in_page_and_back() {
    let app = TestApp::init().await;
    let code = CaseBuilder::new("Unseen").stage(Stage::Presented).insert(&app).await.code.to_string();
    for rule in rules().iter().filter(|rule| rule.method == Method::GET && rule.allow != Allow::Anyone) {
        let page = ask(&app.signed_out(), rule, &code).await;
        page.expect(StatusCode::SEE_OTHER);
        let path = address(rule, &code);
        let next = form_urlencoded::Serializer::new(String::new()).append_pair("next", &path).finish();
        let expected = if path == "/" { "/sign-in".to_owned() } else { format!("/sign-in?{next}") };
        assert_eq!(page.location(), expected);
        let sign_in = app.signed_out().follow(&page).await;
        sign_in.expect(StatusCode::OK);
        assert_eq!(sign_in.value("next"), path);
    }
}

#[tokio::test]
async fn every_form_that_is_sent_without_a_session_comes_back_with_what_was_typed() {
    let app = TestApp::init().await;
    let code = CaseBuilder::new("Unseen").insert(&app).await.code.to_string();
    let before = app.count_cases().await;
    for rule in rules().iter().filter(|rule| rule.method == Method::POST && rule.allow != Allow::Anyone) {
        let page = ask(&app.signed_out(), rule, &code).await;
        page.expect(StatusCode::UNAUTHORIZED);
        assert_eq!(page.form(&address(rule, &code)), [("text".to_owned(), TYPED.to_owned())]);
        assert!(!page.html.contains("<b>"), "{page}: what was typed is not escaped");
    }
    assert_eq!(app.count_cases().await, before);
}

#[tokio::test]
async fn a_password_that_was_sent_without_a_session_is_not_written_on_the_page() {
    let page = TestApp::init()
        .await
        .signed_out()
        .post(
            "/account/password",
            &["current_password", "new_password", "again", "code"].map(|name| (name, "a secret of mine")),
        )
        .await;
    page.expect(StatusCode::UNAUTHORIZED);
    assert!(!page.html.contains("a secret of mine"), "{page}");
}

#[tokio::test]
async fn a_reader_finds_no_page_and_no_file_of_a_case_before_it_is_presented() {
    let app = TestApp::init().await;
    let reader = app.with_reader().await;
    let of_a_case: Vec<Rule> = rules()
        .into_iter()
        .filter(|rule| rule.method == Method::GET && rule.allow.admits(Some(Role::Reader)))
        // This case has no pictures; those of others are asked for in `pictures::shown`.
        .filter(|rule| rule.path.starts_with("/cases/{code}") && !rule.path.contains("/pictures/"))
        .collect();
    assert!(of_a_case.len() >= 5, "{of_a_case:?}");
    for stage in Stage::ALL.iter().copied() {
        let presented = [Stage::Presented, Stage::Closed].contains(&stage);
        let case = CaseBuilder::new("Kept back").complete().in_print().stage(stage).insert(&app).await;
        for rule in &of_a_case {
            let page = ask(&reader, rule, &case.code.to_string()).await;
            page.expect(if presented { StatusCode::OK } else { StatusCode::NOT_FOUND });
            // A walk, and what was known, stand without the title, which gives away what followed; publications have none.
            let blind = ["/walk", "/known", "/references"].iter().any(|part| rule.path.contains(part));
            let titled = presented && !blind;
            assert_eq!(page.html.contains("Kept back"), titled, "{stage:?}: {page}");
        }
    }
}

#[tokio::test]
async fn a_reader_finds_only_presented_cases_in_the_list_and_by_searching() {
    let app = TestApp::init().await;
    for stage in Stage::ALL.iter().copied() {
        let title = format!("Zebra in stage {}", stage.slug());
        CaseBuilder::new(&title).stage(stage).insert(&app).await;
    }
    let reader = app.with_reader().await;
    for path in [
        "/cases",
        "/cases?q=zebra",
        "/cases?stage=presented&stage=ready&stage=closed",
        "/cases?q=zebra&sort=changed",
    ] {
        let mut titles = reader.get(path).await.texts("table th[scope=row] > a");
        titles.sort();
        assert_eq!(titles, ["Zebra in stage closed", "Zebra in stage presented"], "{path}");
    }
    let asked_for_more = reader.get("/cases?stage=recorded").await;
    asked_for_more.expect(StatusCode::FORBIDDEN);
    assert!(!asked_for_more.html.contains("Zebra"), "{asked_for_more}");
}

#[tokio::test]
async fn a_link_signs_in_once() {
    let app = TestApp::init().await;
    let link = app.sign_in_link(Role::Fellow).await;
    let first = app.signed_out();
    let page = first.get(&link).await;
    page.expect(StatusCode::OK);
    assert!(page.text.contains("Fay Fellow, fellow"), "{page}");
    // Looking at the page does not use the link up; choosing a password does.
    first.get(&link).await.expect(StatusCode::OK);
    let chosen = [("new_password", PASSWORD), ("again", PASSWORD)];
    let answer = first.submit(&page, &link, &chosen).await;
    answer.expect(StatusCode::SEE_OTHER);
    assert_eq!(answer.location(), "/");
    first.get("/cases").await.expect(StatusCode::OK);

    let second = app.signed_out();
    let used = second.open(&link).await;
    used.expect(StatusCode::NOT_FOUND);
    assert_eq!(used.heading(), "This link opens nothing any more");
    second.post(&link, &chosen).await.expect(StatusCode::NOT_FOUND);
    second.get("/cases").await.expect(StatusCode::SEE_OTHER);
}

#[tokio::test]
async fn a_session_ends_with_signing_out() {
    let app = TestApp::init().await;
    let client = app.sign_in_by_link(Role::Fellow).await;
    let secret = client.cookie("relook_session").unwrap();
    client.post("/sign-out", &[]).await.expect(StatusCode::SEE_OTHER);
    assert_eq!(client.cookie("relook_session"), None);
    let with_the_old_cookie = app.signed_out().with_cookie("relook_session", &secret);
    with_the_old_cookie.get("/cases").await.expect(StatusCode::SEE_OTHER);
}

#[tokio::test]
async fn the_cookie_of_a_session_is_out_of_reach_of_scripts_and_of_other_sites() {
    let app = TestApp::init().await;
    let link = app.sign_in_link(Role::Fellow).await;
    let answer = app.signed_out().post(&link, &[("new_password", PASSWORD), ("again", PASSWORD)]).await;
    let cookie = answer.headers.get("set-cookie").unwrap().to_str().unwrap().to_owned();
    assert!(
        cookie.contains("HttpOnly") && cookie.contains("SameSite=Strict") && cookie.contains("Path=/"),
        "{cookie}"
    );
}

#[tokio::test]
async fn a_form_that_another_site_sends_is_refused() {
    let app = TestApp::init().await;
    let client = app.with_quality_lead().await;
    let fields =
        [("month", "2026-01"), ("mechanism", "flow-no-reflow"), ("situation", "Sent from elsewhere.")];
    let page = client.post_from_another_site("/record", &fields).await;
    page.expect(StatusCode::FORBIDDEN);
    assert_eq!(page.heading(), "This request came from another site");
    assert_eq!(app.count_cases().await, 0);
}

#[tokio::test]
async fn signing_in_leads_only_to_pages_of_our_own() {
    let app = TestApp::init().await;
    let client = app.signed_out();
    for (next, kept) in [
        ("/cases?q=wire", "/cases?q=wire"),
        ("//elsewhere.example/", "/"),
        ("https://elsewhere.example/", "/"),
        ("/\\elsewhere.example", "/"),
        ("javascript:alert(1)", "/"),
        ("", "/"),
    ] {
        let query = form_urlencoded::Serializer::new(String::new()).append_pair("next", next).finish();
        assert_eq!(client.get(&format!("/sign-in?{query}")).await.value("next"), kept, "{next}");
    }
}
