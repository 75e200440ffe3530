//! No page, list, search or file tells a fellow or a reader of a case that they do not see.

use axum::http::Method;
use relook::case::{CaseCode, Stage};

use super::HOST;
use crate::support::{CaseBuilder, Client, Role, StatusCode, TestApp, of};

/// Stands in every text of the cases that are not seen, and nowhere else.
const MARK: &str = "Zqhidden";
/// What two lessons share, so that one of a seen case leads to one of a case that is not.
const SHARED: &str = "Look at the wire before each balloon.";

/// A case full of the mark.
fn marked(stage: Stage, by: Role) -> CaseBuilder {
    CaseBuilder::new(&format!("{MARK} title"))
        .month("2026-02")
        .stage(stage)
        .recorded_by(by)
        .situation(&format!("{MARK} situation."))
        .narrative(&format!("{MARK} story."))
        .time_zero("guide engaged")
        .event("+1:00", "symptom", &format!("{MARK} event"))
        .mechanism("flow-no-reflow")
        .signed_lesson("prevent", &format!("{MARK} signed lesson."))
        .lesson("respond", &format!("{MARK} lesson."))
        .action(&format!("{MARK} action"), "2026-03-01")
        .decision("d1", "+0:30", &format!("{MARK} question?"), &["One", "Two"])
        .with(|case| {
            case.lessons[0].recurring = Some(of(SHARED));
            let mut done = case.actions[0].clone();
            done.what = of(&format!("{MARK} done action"));
            done.state = of("done");
            done.done_on = Some(of("2026-02-20"));
            case.actions.push(done);
        })
}

struct House {
    app: TestApp,
    /// Cases that neither the fellow nor a reader sees.
    hidden: Vec<CaseCode>,
    poll: String,
}

/// A department with cases of another's that are not presented, on an agenda with one that the fellow
/// recorded; months are counted, so that every page of rates has something to say.
async fn house() -> House {
    let app = TestApp::init().await;
    let mut hidden = Vec::new();
    for stage in [Stage::Recorded, Stage::InPreparation, Stage::Ready] {
        hidden.push(marked(stage, Role::Attending).insert(&app).await.code);
    }
    hidden.push(marked(Stage::Ready, Role::Attending).imported().insert(&app).await.code);
    let own = CaseBuilder::new("My own").month("2026-02").mechanism("flow-no-reflow").stage(Stage::Ready);
    let own = own.signed_lesson("prevent", "Mine.").with(|case| case.lessons[0].recurring = Some(of(SHARED)));
    let own = own.insert(&app).await.code;
    let shown =
        CaseBuilder::new("Shown").month("2026-02").mechanism("flow-no-reflow").stage(Stage::Presented);
    let shown =
        shown.signed_lesson("prevent", "Seen.").with(|case| case.lessons[0].recurring = Some(of(SHARED)));
    let shown = shown.insert(&app).await.code;
    for month in ["2026-01", "2026-02", "2026-03"] {
        for stratum in ["all-pci"] {
            app.count_procedures(month, stratum, 400).await;
        }
    }
    let lead = app.with_quality_lead().await;
    let answer = lead.post("/conferences", &[("held_on", "2099-06-30"), ("title", "To come")]).await;
    let path = answer.location().to_owned();
    for code in hidden.iter().chain([&own, &shown]) {
        let code = code.to_string();
        lead.post(&format!("{path}/cases"), &[("code", &code), ("case", &code)]).await;
    }
    let opened = lead.post(&format!("/cases/{}/points/d1/polls", hidden[2]), &[("phase", "before")]).await;
    opened.expect(StatusCode::CREATED);
    let poll: serde_json::Value = serde_json::from_str(&opened.html).unwrap();
    House { app, hidden, poll: poll["code"].as_str().unwrap().to_owned() }
}

/// Every address of the table that is about no one case, with what leads to something there; and more to ask.
fn addresses() -> Vec<String> {
    let mut all: Vec<String> = super::rules()
        .into_iter()
        .filter(|rule| rule.method == Method::GET && !rule.path.contains("{code}"))
        .filter(|rule| {
            !["/static", "/sign-in", "/vote", "/polls"].iter().any(|start| rule.path.starts_with(start))
        })
        .map(|rule| {
            let path = super::with_formats(rule.path);
            path.replace("{kind}", "mechanism").replace("{slug}", "flow-no-reflow").replace("{id}", "1")
        })
        .collect();
    for asked in [
        "/cases?q=zqhidden",
        "/cases?q=zqhidden&sort=changed",
        "/cases?mechanism=flow-no-reflow&from=2026-02&to=2026-02",
        "/cases?stage=in-preparation&stage=ready&stage=recorded&stage=presented",
        "/library?q=zqhidden",
        "/library?view=lessons&q=zqhidden",
        "/actions?show=all",
        "/actions?show=done",
        "/actions.csv?show=all",
        "/rates/report?quarter=2026-Q1",
        "/rates/report/files/markdown?quarter=2026-Q1",
    ] {
        all.push(asked.to_owned());
    }
    all
}

async fn get(client: &Client, path: &str) -> crate::support::Page {
    client.ask(&Method::GET, path, &[HOST], "").await
}

#[tokio::test]
async fn nothing_of_a_case_that_is_not_seen_stands_anywhere() {
    let house = house().await;
    let lead = house.app.with_quality_lead().await;
    let addresses = addresses();
    let mut tells = Vec::new();
    for path in &addresses {
        if get(&lead, path).await.html.contains(MARK) {
            tells.push(path.as_str());
        }
    }
    // The pages do tell who sees them, so that silence below means something.
    for expected in [
        "/",
        "/cases",
        "/actions",
        "/judgements",
        "/lessons/recurring/1",
        "/conferences/1",
        "/conferences/1/meeting",
        "/conferences/1/minutes",
        "/conferences/1/minutes/files/markdown",
        "/cases?q=zqhidden",
        "/rates/report?quarter=2026-Q1",
        "/rates/report/files/markdown?quarter=2026-Q1",
    ] {
        assert!(tells.contains(&expected), "{expected} tells the quality lead nothing: {tells:?}");
    }
    for role in [Role::Fellow, Role::Reader] {
        let client = house.app.as_role(role).await;
        for path in &addresses {
            let page = get(&client, path).await;
            assert!(!page.status.is_server_error(), "{page}");
            assert!(!page.html.contains(MARK), "{role:?}: {page}");
        }
    }
    println!("{} addresses, {} of which tell the quality lead", addresses.len(), tells.len());
}

#[tokio::test]
async fn a_fellow_is_told_that_there_is_more_on_an_agenda_and_cannot_write_to_it() {
    let house = house().await;
    let fellow = house.app.with_fellow().await;
    let agenda = fellow.get("/conferences/1").await;
    assert!(agenda.text.contains("Four cases on the agenda are not presented yet."), "{agenda}");
    assert!(agenda.text.contains("My own") && agenda.text.contains("Shown"), "{agenda}");
    let meeting = fellow.get("/conferences/1/meeting").await;
    assert!(meeting.text.contains("Four cases on the agenda are not presented yet."), "{meeting}");
    // What is seen keeps its number: the case is the fifth that is discussed.
    assert!(meeting.text.contains("Case 5"), "{meeting}");
    let minutes = fellow.get("/conferences/1/minutes").await;
    assert!(minutes.text.contains("Six cases were on the agenda."), "{minutes}");
    assert!(minutes.text.contains("Four cases are not presented yet and are left out here."), "{minutes}");
    let notes = [("notes", "Mine"), ("base", "")];
    let path = format!("/conferences/1/meeting/cases/{}", house.hidden[0]);
    fellow.post(&path, &notes).await.expect(StatusCode::NOT_FOUND);
}

#[tokio::test]
async fn a_poll_of_a_case_that_is_not_seen_is_nobodys_else_to_read_or_close() {
    let house = house().await;
    let (fellow, attending) = (house.app.with_fellow().await, house.app.with_attending().await);
    let path = format!("/polls/{}", house.poll);
    fellow.get(&path).await.expect(StatusCode::NOT_FOUND);
    fellow.post(&format!("{path}/hands"), &[("1", "3")]).await.expect(StatusCode::NOT_FOUND);
    fellow.post(&format!("{path}/close"), &[]).await.expect(StatusCode::NOT_FOUND);
    let held = attending.get(&path).await;
    held.expect(StatusCode::OK);
    assert!(held.html.contains("\"open\":true") && held.html.contains("\"hands\":0"), "{held}");
}

#[tokio::test]
async fn rates_count_every_case_for_everybody() {
    let house = house().await;
    let lead = house.app.with_quality_lead().await.get("/rates").await;
    let fellow = house.app.with_fellow().await.get("/rates").await;
    assert_eq!(fellow.texts("main table td"), lead.texts("main table td"));
    assert!(!lead.texts("main table td").is_empty(), "{lead}");
}
