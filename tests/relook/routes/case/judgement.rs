//! Judgements of a case and of a decision: nobody sees another's before they have given their own.

use axum::http::Method;
use relook::case::Stage;
use relook::web::router::routes;

use crate::support::{CaseBuilder, Client, Role, StatusCode, TestApp};

/// Words of other reviewers that no page may hold for somebody who has not judged.
const REMARK: &str = "Zygomorphic remark of another reviewer";
const REASON: &str = "Xylographic reason of another reviewer";

async fn with_a_decision() -> (TestApp, String) {
    let app = TestApp::init().await;
    let case = CaseBuilder::new("Judged")
        .event("+1:00", "wire", "Wire down the LAD")
        .flow("+2:00", "lad-mid", 0)
        .flow("+9:00", "lad-mid", 3)
        .decision("d1", "+3:00", "Flow is gone. What next?", &["A second wire", "A stent at once"])
        .insert(&app)
        .await;
    (app, format!("/cases/{}", case.code))
}

async fn judge(client: &Client, path: &str, avoidability: &str, care: &str, remark: &str) {
    let fields = [("avoidability", avoidability), ("care", care), ("remark", remark)];
    client.post(&format!("{path}/judgements"), &fields).await.expect(StatusCode::SEE_OTHER);
}

async fn choose(client: &Client, path: &str, option: &str, reason: &str) {
    let fields = [("option", option), ("reason", reason)];
    client.post(&format!("{path}/points/d1/judgement"), &fields).await.expect(StatusCode::SEE_OTHER);
}

/// Every page and file of the house for this case, as a role sees it.
async fn everything(app: &TestApp, client: &Client, path: &str) -> Vec<(String, String)> {
    let code = path.trim_start_matches("/cases/");
    let id = app.case(code.parse().unwrap()).await.decisions[0].id.to_string();
    let mut seen = Vec::new();
    for rule in routes().rules().iter().filter(|rule| rule.method == Method::GET) {
        let address = rule
            .path
            .replace("{code}", code)
            .replace("{key}", "d1")
            .replace("{*path}", "css/base.css")
            .replace("{number}", "1")
            .replace("{id}", &id)
            .split('/')
            .map(|part| if part.starts_with('{') { "1" } else { part })
            .collect::<Vec<_>>()
            .join("/");
        seen.push((address.clone(), client.get(&address).await.html));
    }
    assert!(seen.len() > 50, "the walk would prove little");
    seen
}

#[tokio::test]
async fn no_route_gives_anothers_judgement_before_ones_own_to_any_role() {
    let (app, path) = with_a_decision().await;
    let attending = app.with_attending().await;
    judge(&attending, &path, "strong-evidence", "most-differently", REMARK).await;
    choose(&attending, &path, "2", REASON).await;
    // The walk can fail: who has judged is shown the words.
    let own = everything(&app, &attending, &path).await;
    assert!(own.iter().any(|(_, html)| html.contains(REMARK)));
    assert!(own.iter().any(|(_, html)| html.contains(REASON)));
    for role in [Role::Fellow, Role::QualityLead, Role::Reader] {
        for (address, html) in everything(&app, &app.as_role(role).await, &path).await {
            assert!(!html.contains(REMARK) && !html.contains(REASON), "{role:?} at {address}");
        }
    }
    // A judgement of the case opens those of the case, and not those of its decision.
    let fellow = app.with_fellow().await;
    judge(&fellow, &path, "possibly", "as-most", "Mine").await;
    let seen = everything(&app, &fellow, &path).await;
    assert!(seen.iter().any(|(_, html)| html.contains(REMARK)));
    assert!(seen.iter().all(|(_, html)| !html.contains(REASON)));
    choose(&fellow, &path, "1", "Mine").await;
    assert!(everything(&app, &fellow, &path).await.iter().any(|(_, html)| html.contains(REASON)));
}

#[tokio::test]
async fn the_own_judgement_is_given_once_and_the_one_after_the_discussion_stands_beside_it() {
    let (app, path) = with_a_decision().await;
    let (fellow, attending) = (app.with_fellow().await, app.with_attending().await);
    let address = format!("{path}/judgements");
    let closed = fellow.get(&address).await;
    closed.expect(StatusCode::OK);
    assert!(closed.texts(".state")[0].contains("Nobody has judged"), "{closed}");
    judge(&attending, &path, "definitely", "as-most", "").await;
    assert!(fellow.get(&address).await.texts(".state")[0].contains("One reviewer has judged"));
    judge(&fellow, &path, "slight-evidence", "as-most", "").await;
    let open = fellow.get(&address).await;
    let text = open.texts("#judged .part-body").join(" ");
    assert!(
        text.contains("the middle between “Slight evidence that it was” and “Definitely avoidable”"),
        "{text}"
    );
    assert!(text.contains("far apart"), "four steps lie between them: {text}");
    // Given again it is the second one, and the first stays.
    judge(&fellow, &path, "strong-evidence", "some-differently", "I heard why").await;
    let again = fellow.get(&address).await;
    let text = again.texts("#judged .part-body").join(" ");
    assert!(text.contains("Slight evidence that it was") && text.contains("I heard why"), "{text}");
    assert_eq!(again.texts("#judged h3"), ["Each on their own", "After the discussion"]);
}

#[tokio::test]
async fn a_judgement_without_a_step_comes_back_as_it_was_typed() {
    let (app, path) = with_a_decision().await;
    let fellow = app.with_fellow().await;
    let address = format!("{path}/judgements");
    let fields = [("avoidability", ""), ("care", "as-most"), ("remark", "Half a <b>sentence</b>")];
    let page = fellow.post(&address, &fields).await;
    page.expect(StatusCode::UNPROCESSABLE_ENTITY);
    assert_eq!(page.error_of("avoidability").as_deref(), Some("Choose one of the six steps."));
    assert_eq!(
        (page.value("care").as_str(), page.value("remark").as_str()),
        ("as-most", "Half a <b>sentence</b>")
    );
    let page =
        fellow.post(&format!("{path}/points/d1/judgement"), &[("option", "5"), ("reason", "kept")]).await;
    page.expect(StatusCode::UNPROCESSABLE_ENTITY);
    assert!(page.error_of("option").unwrap().contains("no option 5"), "{page}");
    assert_eq!(page.value("reason"), "kept");
    fellow.get(&format!("{path}/points/d9")).await.expect(StatusCode::NOT_FOUND);
}

#[tokio::test]
async fn a_decision_stands_beside_what_was_known_and_hindsight_is_folded_away() {
    let (app, path) = with_a_decision().await;
    let page = app.with_fellow().await.get(&format!("{path}/points/d1")).await;
    page.expect(StatusCode::OK);
    assert_eq!(page.heading(), "Flow is gone. What next?");
    let then = page.texts("table.entry tbody tr").join(" ");
    assert!(then.contains("+2:00") && !then.contains("+9:00"), "{then}");
    let later = page.texts("#later details").join(" ");
    assert!(later.contains("+9:00"), "{later}");
    assert_eq!(page.count("#later details[open]"), 0);
    assert_eq!(page.texts(".options .option-text"), ["A second wire", "A stent at once"]);
}

#[tokio::test]
async fn agreement_is_told_of_five_cases_and_of_no_fewer() {
    let app = TestApp::init().await;
    let (fellow, attending) = (app.with_fellow().await, app.with_attending().await);
    let mut paths = Vec::new();
    for number in 0..5 {
        let case = CaseBuilder::new(&format!("Case {number}")).insert(&app).await;
        paths.push(format!("/cases/{}", case.code));
    }
    let steps = ["definitely-not", "slight-evidence", "possibly", "probably", "definitely"];
    for (path, step) in paths.iter().zip(steps).take(4) {
        judge(&fellow, path, step, "as-most", "").await;
        judge(&attending, path, step, "as-most", "").await;
    }
    let few = fellow.get("/judgements").await;
    few.expect(StatusCode::OK);
    assert!(few.texts(".state")[0].contains("too few"), "{few}");
    judge(&fellow, &paths[4], steps[4], "as-most", "").await;
    judge(&attending, &paths[4], steps[4], "as-most", "").await;
    let told = fellow.get("/judgements").await;
    let text = told.texts("dl.facts").join(" ");
    assert!(text.contains("1.00"), "{text}");
    assert!(text.contains("no meaning"), "all chose one step of care: {text}");
}

#[tokio::test]
async fn an_agenda_is_told_that_judgements_differ_and_that_a_question_is_open() {
    let app = TestApp::init().await;
    let case = CaseBuilder::new("Argued")
        .stage(Stage::InPreparation)
        .decision("d1", "+3:00", "Flow is gone. What next?", &["A second wire", "A stent at once"])
        .insert(&app)
        .await;
    let path = format!("/cases/{}", case.code);
    let (fellow, attending) = (app.with_fellow().await, app.with_attending().await);
    attending
        .post(
            "/conferences",
            &[("held_on", "2090-01-01"), ("title", "To come"), ("length", "60"), ("carried", "10")],
        )
        .await
        .expect(StatusCode::SEE_OTHER);
    let reasons = async || attending.get("/conferences/1/cases/new").await.texts("main li").join(" ");
    judge(&fellow, &path, "slight-evidence", "as-most", "").await;
    let before = reasons().await;
    assert!(before.contains("Argued") && !before.contains("judge it differently"), "{before}");
    assert!(before.contains("question"), "nobody recorded what was chosen: {before}");
    judge(&attending, &path, "definitely", "as-most", "").await;
    assert!(reasons().await.contains("Its reviewers judge it differently."));
}

#[tokio::test]
async fn what_the_room_answered_is_kept_with_the_decision_before_and_after() {
    let (app, path) = with_a_decision().await;
    let client = app.with_fellow().await;
    let address = format!("{path}/points/d1");
    assert_eq!(client.get(&address).await.count("#later svg"), 0, "nobody was asked");
    for (phase, hands) in [("before", ["4", "8"]), ("after", ["11", "1"])] {
        let opened = client.post(&format!("{address}/polls"), &[("phase", phase)]).await;
        let poll: serde_json::Value = serde_json::from_str(&opened.html).unwrap();
        let counted = format!("/polls/{}/hands", poll["code"].as_str().unwrap());
        client.post(&counted, &[("1", hands[0]), ("2", hands[1])]).await.expect(StatusCode::OK);
    }
    let page = client.get(&address).await;
    assert_eq!(page.count("#later svg"), 1);
    let told = page.texts("#later figcaption").join(" ");
    assert!(told.contains("leven of twelve") && told.contains("A second wire"), "{told}");
    // It stands behind the fold with the rest of what was learned later.
    assert_eq!(page.count("#later details:not([open]) svg"), 1);
}
