//! What may identify somebody holds a case back until it is settled. The strings are those of the review
//! method's table after Safe Harbor, 45 CFR 164.514(b)(2); nobody in them is real.

use axum::http::StatusCode;
use relook::case::Stage;

use crate::support::{CaseBuilder, Client, Page, Placed, TestApp};

const NAMED: &str = "Dr Marlow asked for a second view. Judkins left 4 guide, TIMI 3 at the end.";

async fn named(app: &TestApp, stage: Stage) -> Placed {
    CaseBuilder::new("Vessel closed")
        .complete()
        .stage(stage)
        .narrative(NAMED)
        .action("A second screen in each room", "2026-12-01")
        .insert(app)
        .await
}

fn about<'a>(words: &'a str, starts: &'a str, ends: &'a str) -> Vec<(&'a str, &'a str)> {
    vec![("place", "narrative"), ("starts", starts), ("ends", ends), ("words", words)]
}

async fn settle(client: &Client, case: &Placed, how: &str, more: &[(&str, &str)]) -> Page {
    let mut fields = about("Dr Marlow", "0", "9");
    fields.extend_from_slice(more);
    client.post(&format!("/cases/{}/identifiers/{how}", case.code), &fields).await
}

#[tokio::test]
async fn a_case_that_may_identify_somebody_is_saved_and_marked_and_cannot_become_ready() {
    let app = TestApp::init().await;
    let case = CaseBuilder::new("Vessel closed").complete().stage(Stage::InPreparation).insert(&app).await;
    let lead = app.with_quality_lead().await;
    let path = format!("/cases/{}/narrative/edit", case.code);
    let form = lead.get(&path).await;
    let saved = lead.submit(&form, &format!("/cases/{}/narrative", case.code), &[("narrative", NAMED)]).await;
    saved.expect(StatusCode::SEE_OTHER);
    assert!(app.case(case.code).await.head.narrative.unwrap().as_str().starts_with("Dr Marlow"));
    let page = lead.get(&format!("/cases/{}", case.code)).await;
    assert!(page.html.contains("Held back: it may identify somebody."), "{page}");
    assert!(page.html.contains(&format!("/cases/{}/identifiers", case.code)), "{page}");
    assert!(lead.get("/cases").await.html.contains("holds identifiers?</a>"));
    assert!(lead.get("/cases?held=yes").await.html.contains("Vessel closed"));
    let refused = lead.post(&format!("/cases/{}/stage", case.code), &[("to", "ready")]).await;
    refused.expect(StatusCode::CONFLICT);
    assert!(refused.html.contains("“Dr Marlow” may be a name"), "{refused}");
    settle(&lead, &case, "replace", &[("with", "The operator")]).await.expect(StatusCode::SEE_OTHER);
    lead.post(&format!("/cases/{}/stage", case.code), &[("to", "ready")]).await.expect(StatusCode::SEE_OTHER);
    assert!(!lead.get("/cases?held=yes").await.html.contains("Vessel closed"));
    let text = app.case(case.code).await.head.narrative.unwrap().to_string();
    assert_eq!(text, NAMED.replace("Dr Marlow", "The operator"));
}

/// Ways by which a case leaves.
const LEAVE: [&str; 8] = [
    "/summary.md",
    "/case.json",
    "/case.toml",
    "/present",
    "/presenter",
    "/present/segments/0",
    "/files/record/fhir",
    "/files/screens/html",
];

#[tokio::test]
async fn nothing_made_from_a_held_case_leaves_and_who_cannot_settle_it_does_not_see_it() {
    let app = TestApp::init().await;
    let case = named(&app, Stage::Presented).await;
    let (lead, reader) = (app.with_quality_lead().await, app.with_reader().await);
    let other = app.with_fellow().await;
    app.execute("update case_records set recorded_by = null").await;
    let of_case = |path: &str| format!("/cases/{}{path}", case.code);
    for path in ["", "/summary", "/case.json", "/walk"] {
        reader.get(&of_case(path)).await.expect(StatusCode::NOT_FOUND);
        other.get(&of_case(path)).await.expect(StatusCode::NOT_FOUND);
    }
    for page in ["/cases", "/library", "/library?q=second", "/"] {
        assert!(!reader.get(page).await.html.contains("Vessel closed"), "{page}");
    }
    for path in LEAVE {
        let held = lead.get(&of_case(path)).await;
        held.expect(StatusCode::CONFLICT);
        assert!(held.html.contains(&of_case("/identifiers")), "{path}: {held}");
        assert!(!held.html.contains("Marlow"), "{path}");
    }
    let actions = lead.get("/actions.csv?show=all").await;
    actions.expect(StatusCode::OK);
    assert_eq!(actions.html.lines().count(), 1, "the actions of a held case stay: {}", actions.html);
    // It is shown to who prepares it, and paper gets the reason alone (`browser::print`).
    let summary = lead.get(&of_case("/summary")).await;
    assert!(summary.html.contains("site-main held") && summary.html.contains("Held back"), "{summary}");
    settle(&lead, &case, "dismiss", &[("because", "Nobody of that name exists.")])
        .await
        .expect(StatusCode::SEE_OTHER);
    for path in LEAVE {
        lead.get(&of_case(path)).await.expect(StatusCode::OK);
    }
    assert!(lead.get("/actions.csv?show=all").await.html.lines().count() > 1);
    for path in ["", "/summary", "/case.json"] {
        reader.get(&of_case(path)).await.expect(StatusCode::OK);
    }
    assert!(reader.get("/cases").await.html.contains("Vessel closed"));
}

#[tokio::test]
async fn a_dismissal_needs_a_reason_is_on_the_page_and_in_the_history_and_can_be_taken_back() {
    let app = TestApp::init().await;
    let case = named(&app, Stage::InPreparation).await;
    let fellow = app.with_fellow().await;
    let page = settle(&fellow, &case, "dismiss", &[("because", " ")]).await;
    page.expect(StatusCode::UNPROCESSABLE_ENTITY);
    assert!(page.html.contains("Say why these words identify nobody."), "{page}");
    settle(&fellow, &case, "dismiss", &[("because", "It is the name of a sign.")])
        .await
        .expect(StatusCode::SEE_OTHER);
    let page = fellow.get(&format!("/cases/{}/identifiers", case.code)).await;
    assert!(page.html.contains("It is the name of a sign."), "{page}");
    assert!(app.case(case.code).await.identifiers.is_empty());
    assert!(
        fellow.get(&format!("/cases/{}/history", case.code)).await.html.contains("It is the name of a sign.")
    );
    // The words stand in the case; what was said of them is kept without them.
    let mut conn = app.app.database.read().await.unwrap();
    let digests: Vec<(String,)> =
        sqlx::query_as("select words_digest || kind || because from dismissed_identifiers")
            .fetch_all(&mut *conn)
            .await
            .unwrap();
    assert_eq!(digests.len(), 1);
    assert!(!digests[0].0.to_lowercase().contains("marlow"));
    drop(conn);
    let answer = fellow.press(&page, "Take it back: “Dr Marlow”").await;
    answer.expect(StatusCode::SEE_OTHER);
    assert_eq!(app.case(case.code).await.identifiers.len(), 1);
}

#[tokio::test]
async fn the_same_words_are_replaced_everywhere_at_once_and_a_text_that_no_longer_fits_comes_back() {
    let app = TestApp::init().await;
    let case = CaseBuilder::new("Closed while Dr Marlow wired")
        .complete()
        .narrative(NAMED)
        .event("+20:00", "decision", "Dr Marlow stopped; then Dr Marlow went on")
        .insert(&app)
        .await;
    let lead = app.with_quality_lead().await;
    assert_eq!(app.case(case.code).await.identifiers.len(), 4);
    let path = format!("/cases/{}/identifiers", case.code);
    let page = lead.get(&path).await;
    assert!(page.html.contains("in all 4 places of this case"), "{page}");
    let long = "x".repeat(170);
    let refused = settle(&lead, &case, "replace", &[("with", &long), ("all", "yes")]).await;
    refused.expect(StatusCode::UNPROCESSABLE_ENTITY);
    assert!(refused.html.contains("With these words the text does not fit") && refused.html.contains(&long));
    assert_eq!(app.case(case.code).await.identifiers.len(), 4, "nothing was written");
    settle(&lead, &case, "replace", &[("with", "the operator"), ("all", "yes")])
        .await
        .expect(StatusCode::SEE_OTHER);
    let now = app.case(case.code).await;
    assert!(now.identifiers.is_empty());
    assert_eq!(now.head.title.as_str(), "Closed while the operator wired");
    let events: Vec<_> =
        now.events.iter().filter_map(|row| row.value.text.as_ref()).map(|t| t.to_string()).collect();
    assert!(events.contains(&"the operator stopped; then the operator went on".to_owned()), "{events:?}");
}

#[tokio::test]
async fn what_was_changed_meanwhile_is_not_settled_blindly() {
    let app = TestApp::init().await;
    let case = named(&app, Stage::InPreparation).await;
    let lead = app.with_quality_lead().await;
    for (how, fields) in [
        ("replace", about("Dr Marlowe", "0", "9")),
        ("dismiss", about("Dr Marlow", "1", "10")),
        ("replace", about("Dr Marlow", "0", "90000")),
    ] {
        let path = format!("/cases/{}/identifiers/{how}", case.code);
        lead.post(&path, &fields).await.expect(StatusCode::CONFLICT);
    }
    for fields in [vec![("place", "attic"), ("starts", "0"), ("ends", "9")], vec![("place", "narrative")]] {
        let path = format!("/cases/{}/identifiers/replace", case.code);
        lead.post(&path, &fields).await.expect(StatusCode::BAD_REQUEST);
    }
    assert!(app.case(case.code).await.head.narrative.unwrap().as_str() == NAMED);
}

#[tokio::test]
async fn a_text_is_looked_through_while_it_is_typed_and_nothing_is_stored() {
    let app = TestApp::init().await;
    let case = named(&app, Stage::InPreparation).await;
    let fellow = app.with_fellow().await;
    let code = case.code.to_string();
    // An astral character before it: a browser counts two units for it.
    let text = "🫀 Imogen, the patient's daughter, and Dr Marlow; TIMI 3.";
    let asked = fellow.post("/identifiers/check", &[("text", text), ("code", &code)]).await;
    asked.expect(StatusCode::OK);
    let found: serde_json::Value = serde_json::from_str(&asked.html).unwrap();
    let units: Vec<u16> = text.encode_utf16().collect();
    let words: Vec<String> = found
        .as_array()
        .unwrap()
        .iter()
        .map(|one| {
            let at = |name: &str| usize::try_from(one[name].as_u64().unwrap()).unwrap();
            String::from_utf16(&units[at("start")..at("end")]).unwrap()
        })
        .collect();
    assert_eq!(words, ["Imogen, the patient's daughter", "Dr Marlow"]);
    settle(&fellow, &case, "dismiss", &[("because", "A sign.")]).await.expect(StatusCode::SEE_OTHER);
    let again = fellow.post("/identifiers/check", &[("text", text), ("code", &code)]).await;
    assert!(!again.html.contains("Dr Marlow") && again.html.contains("Name"), "{again}");
    app.with_reader().await.post("/identifiers/check", &[("text", text)]).await.expect(StatusCode::FORBIDDEN);
    assert!(!String::from_utf8_lossy(&app.file_bytes()).contains("Imogen"));
}

#[tokio::test]
async fn what_is_said_for_every_case_holds_in_every_case() {
    let app = TestApp::init().await;
    let (one, other) = (named(&app, Stage::InPreparation).await, named(&app, Stage::Ready).await);
    let attending = app.with_attending().await;
    let everywhere = [("because", "A sign."), ("everywhere", "yes")];
    // A fellow may say it for the case alone.
    settle(&app.with_fellow().await, &one, "dismiss", &everywhere).await.expect(StatusCode::SEE_OTHER);
    assert_eq!(app.case(other.code).await.identifiers.len(), 1);
    settle(&attending, &one, "dismiss", &everywhere).await.expect(StatusCode::SEE_OTHER);
    app.settled(|| async { app.case(other.code).await.identifiers.is_empty() }).await;
    let page = attending.get("/settings/own-words").await;
    assert!(page.html.contains("A sign."), "{page}");
    let answer = attending.press(&page, "Take it back: A sign.").await;
    answer.expect(StatusCode::SEE_OTHER);
    app.settled(|| async { app.case(other.code).await.identifiers.len() == 1 }).await;
}

/// Every text that a form of a case can hold is looked through.
#[tokio::test]
async fn each_list_of_a_case_is_looked_through() {
    let app = TestApp::init().await;
    for (part, case) in [
        ("title", CaseBuilder::new("Seen by Dr Marlow")),
        ("situation", CaseBuilder::new("x").situation("Seen by Dr Marlow")),
        ("time_zero", CaseBuilder::new("x").time_zero("when Dr Marlow came")),
        ("event", CaseBuilder::new("x").event("+1:00", "decision", "Dr Marlow came")),
        (
            "cause",
            CaseBuilder::new("x").cause("tk-plan-single", "Because Dr Marlow left, no second plan was made."),
        ),
        ("decision", CaseBuilder::new("x").decision("d1", "+1:00", "Ask Dr Marlow?", &["yes", "no"])),
        ("lesson", CaseBuilder::new("x").lesson("respond", "Ask Dr Marlow.")),
        ("action", CaseBuilder::new("x").action("Dr Marlow writes a list", "2026-12-01")),
    ] {
        let placed = case.insert(&app).await;
        let held = app.case(placed.code).await.identifiers;
        assert_eq!(held.len(), 1, "{part}: {held:?}");
        assert!(held[0].place.to_string().starts_with(part), "{part}: {held:?}");
    }
}
