//! What a conference is planned with: reasons for its cases, their order, time boxes, roles, the
//! confidentiality line.

use relook::case::{Harm, Stage};

use crate::support::{CaseBuilder, Client, Page, Placed, Role, StatusCode, TestApp};

const DAY: &str = "2099-06-30";

async fn conference(client: &Client) -> String {
    let answer = client.post("/conferences", &[("held_on", DAY), ("title", "Complication conference")]).await;
    answer.expect(StatusCode::SEE_OTHER);
    answer.location().to_owned()
}

async fn ready(app: &TestApp, title: &str) -> Placed {
    CaseBuilder::new(title).mechanism("flow-no-reflow").stage(Stage::Ready).insert(app).await
}

async fn add(client: &Client, path: &str, placed: Placed) {
    client
        .post(&format!("{path}/cases"), &[("code", &placed.code.to_string())])
        .await
        .expect(StatusCode::SEE_OTHER);
}

/// Saves a form as it stands with some fields typed anew.
async fn edit(client: &Client, page: &str, action: &str, typed: &[(&str, &str)]) -> Page {
    let form = client.get(page).await;
    form.expect(StatusCode::OK);
    client.submit(&form, action, typed).await
}

#[tokio::test]
async fn boxes_must_fit_before_a_conference_is_ready_to_be_held() {
    let app = TestApp::init().await;
    let client = app.with_attending().await;
    let path = conference(&client).await;
    let page = client.get(&path).await;
    assert!(page.text.contains("Before it can be held: put a case on the agenda;"), "{page}");
    let cases = [ready(&app, "One").await, ready(&app, "Two").await];
    for placed in cases {
        add(&client, &path, placed).await;
    }
    let page = client.get(&path).await;
    assert!(
        page.text
            .contains("Of 60 minutes: 10 for carried-over actions and 50 for two cases. It fits exactly."),
        "{page}"
    );
    for placed in cases {
        let at = format!("{path}/cases/{}", placed.code);
        let typed = [("presenter", "fellow on call"), ("discussant", "visiting surgeon")];
        let answer = edit(&client, &format!("{at}/edit"), &at, &typed).await;
        assert_eq!(answer.location(), format!("{path}#case-{}", placed.code));
    }
    let page = client.get(&path).await;
    assert!(page.text.contains("Before it can be held: name the moderator’s role."), "{page}");
    edit(&client, &format!("{path}/edit"), &path, &[("moderator", "head of the laboratory")]).await;
    let page = client.get(&path).await;
    assert!(page.text.contains("Ready to be held."), "{page}");
    assert!(
        page.text.contains("25 minutes. Presented by fellow on call, discussed by visiting surgeon."),
        "{page}"
    );
    assert!(page.text.contains("5 situation and background, 5 timeline with stop points, 10 discussion"));
    // A longer box does not fit, and the page says by how much.
    let at = format!("{path}/cases/{}", cases[0].code);
    edit(&client, &format!("{at}/edit"), &at, &[("box", "40")]).await.expect(StatusCode::SEE_OTHER);
    let page = client.get(&path).await;
    assert!(page.text.contains("Before it can be held: take 15 minutes out of its boxes."), "{page}");
    assert!(page.text.contains("It does not fit: 15 minutes too much."), "{page}");
    assert!(!page.text.contains("Ready to be held."), "{page}");
    // The overview says the same of the next conference.
    let overview = client.get("/").await;
    assert!(overview.text.contains("take 15 minutes out of its boxes"), "{overview}");
    // Without a box for carried-over actions, and five minutes longer, it fits again.
    edit(&client, &format!("{path}/edit"), &path, &[("carried", ""), ("length", "65")]).await;
    let page = client.get(&path).await;
    assert!(page.text.contains("Of 65 minutes: 65 for two cases. It fits exactly."), "{page}");
    assert!(page.text.contains("Ready to be held."), "{page}");
}

#[tokio::test]
async fn a_plan_that_cannot_be_read_comes_back_with_what_was_typed() {
    let app = TestApp::init().await;
    let client = app.with_quality_lead().await;
    let path = conference(&client).await;
    let placed = ready(&app, "One").await;
    add(&client, &path, placed).await;
    client.post("/conferences", &[("held_on", "2099-01-01"), ("title", "Another")]).await;
    let long = "x".repeat(121);
    for (field, typed, says) in [
        ("length", "", "Say how long it is; 60 minutes are usual."),
        ("length", "0", "Minutes are a whole number from 1 to 240."),
        ("length", "241", "Minutes are a whole number from 1 to 240."),
        ("length", "an hour", "Minutes are a whole number from 1 to 240."),
        ("length", "<b>60</b>", "Minutes are a whole number from 1 to 240."),
        ("carried", "2.5", "Minutes are a whole number from 1 to 240."),
        ("carried", "-10", "Minutes are a whole number from 1 to 240."),
        ("held_on", "", "Give the day of the conference."),
        ("held_on", "next week", "A day is year, month and day"),
        ("held_on", "2099-01-01", "There is a conference on 1 January 2099 already."),
        ("title", " ", "Give the conference a name."),
        ("moderator", long.as_str(), "At most 120 characters fit here; this has 121."),
        ("moderator", "head\u{7}", "invisible control character"),
    ] {
        let page = edit(&client, &format!("{path}/edit"), &path, &[(field, typed)]).await;
        page.expect(StatusCode::UNPROCESSABLE_ENTITY);
        let error = page.error_of(field).unwrap_or_else(|| panic!("{field} {typed}: {page}"));
        assert!(error.contains(says), "{field} {typed}: {error}");
        assert_eq!(page.value(field), typed);
        assert!(!page.html.contains("<b>60"), "{page}");
    }
    let at = format!("{path}/cases/{}", placed.code);
    for (field, typed, says) in [
        ("box", "", "Say how long the case has; 25 minutes are usual."),
        ("box", "0", "Minutes are a whole number from 1 to 240."),
        ("box", "999", "Minutes are a whole number from 1 to 240."),
        ("presenter", long.as_str(), "At most 120 characters fit here; this has 121."),
        ("discussant", "a\u{FFFD}", "did not arrive whole"),
    ] {
        let page = edit(&client, &format!("{at}/edit"), &at, &[(field, typed)]).await;
        page.expect(StatusCode::UNPROCESSABLE_ENTITY);
        assert!(page.error_of(field).unwrap().contains(says), "{field} {typed}: {page}");
        assert_eq!(page.value(field), typed);
    }
    let page = client.get(&path).await;
    assert!(page.text.contains("Of 60 minutes"), "nothing was saved: {page}");
    for bad in [format!("{path}/cases/1999-001/edit"), format!("{path}/cases/nonsense/edit")] {
        client.get(&bad).await.expect(StatusCode::NOT_FOUND);
    }
}

#[tokio::test]
async fn a_plan_that_somebody_saved_meanwhile_is_set_beside_what_was_typed() {
    let app = TestApp::init().await;
    let (first, second) = (app.with_attending().await, app.with_quality_lead().await);
    let path = conference(&first).await;
    let placed = ready(&app, "One").await;
    add(&first, &path, placed).await;
    let at = format!("{path}/cases/{}", placed.code);
    let (plan, case) = (first.get(&format!("{path}/edit")).await, first.get(&format!("{at}/edit")).await);
    edit(&second, &format!("{path}/edit"), &path, &[("length", "90")]).await;
    edit(&second, &format!("{at}/edit"), &at, &[("box", "50")]).await;
    let page = first.submit(&plan, &path, &[("moderator", "attending of the week")]).await;
    page.expect(StatusCode::CONFLICT);
    assert!(page.text.contains("90") && page.value("moderator") == "attending of the week", "{page}");
    let page = first.submit(&case, &at, &[("presenter", "fellow on call")]).await;
    page.expect(StatusCode::CONFLICT);
    assert!(page.text.contains("50") && page.value("presenter") == "fellow on call", "{page}");
    // They changed other fields than was typed here: saved, both are kept.
    first.submit(&page, &at, &[]).await.expect(StatusCode::SEE_OTHER);
    let page = first.get(&path).await;
    assert!(page.text.contains("50 minutes. Presented by fellow on call."), "{page}");
    assert!(page.text.contains("Of 90 minutes"), "{page}");
}

#[tokio::test]
async fn the_order_of_an_agenda_is_changed_by_buttons() {
    let app = TestApp::init().await;
    let client = app.with_attending().await;
    let path = conference(&client).await;
    let mut codes = Vec::new();
    for title in ["First", "Second", "Third"] {
        let placed = ready(&app, title).await;
        add(&client, &path, placed).await;
        codes.push(placed.code);
    }
    let order = async || client.get(&path).await.texts("#agenda .items h3");
    let page = client.get(&path).await;
    assert_eq!(page.button(&format!("Move up {}", codes[0])), None, "the first goes no further up");
    assert_eq!(page.button(&format!("Move down {}", codes[2])), None);
    let answer = client.press(&page, &format!("Move up {}", codes[2])).await;
    assert_eq!(answer.location(), format!("{path}#case-{}", codes[2]));
    assert_eq!(order().await, ["First", "Third", "Second"]);
    client.press(&client.get(&path).await, &format!("Move down {}", codes[0])).await;
    assert_eq!(order().await, ["Third", "First", "Second"]);
    // Pressed on a page that is old, the first stays the first and the last the last.
    let page = client.follow(&client.post(&format!("{path}/cases/{}/up", codes[2]), &[]).await).await;
    assert_eq!(page.notice(), Some(format!("{} is the first already.", codes[2])));
    let page = client.follow(&client.post(&format!("{path}/cases/{}/down", codes[1]), &[]).await).await;
    assert_eq!(page.notice(), Some(format!("{} is the last already.", codes[1])));
    assert_eq!(order().await, ["Third", "First", "Second"]);
    client.post(&format!("{path}/cases/1999-001/up"), &[]).await.expect(StatusCode::NOT_FOUND);
}

#[tokio::test]
async fn the_list_of_candidates_says_why_each_is_worth_the_time() {
    let app = TestApp::init().await;
    let client = app.with_attending().await;
    let path = conference(&client).await;
    let month = app.app.this_month();
    let (now, long_ago) = (month.to_string(), month.plus(-14).to_string());
    let case = |title: &str, mechanism: &str, month: &str| {
        CaseBuilder::new(title).mechanism(mechanism).month(month).stage(Stage::Ready)
    };
    case("Nothing speaks for it", "access-haematoma", &now).insert(&app).await;
    case("Shown lately", "access-haematoma", &long_ago).stage(Stage::Presented).insert(&app).await;
    let shown = conference_today(&app, &client).await;
    client.post(&format!("{shown}/cases"), &[("code", &format!("{}-001", month.plus(-14).year()))]).await;
    let died = case("Died", "access-haematoma", &now)
        .with(|case| case.outcome.harm = Some(Harm::Death))
        .insert(&app)
        .await;
    case("Waits and was never shown", "flow-air", &long_ago).insert(&app).await;
    let recorded = case("Only recorded", "flow-no-reflow", &now).stage(Stage::Recorded).insert(&app).await;
    let page = client.get(&format!("{path}/cases/new")).await;
    assert_eq!(
        page.texts(".candidates h3"),
        ["Died", "Nothing speaks for it", "Waits and was never shown", "Only recorded"]
    );
    let reasons = page.texts(".reasons li");
    assert!(reasons[0].starts_with("The patient died. How it ended"), "{reasons:?}");
    assert!(reasons[1].contains("again: one other case within six months has it."), "{reasons:?}");
    assert!(reasons[2].contains("again: one other case within six months has it."), "{reasons:?}");
    assert!(reasons[3].contains("was never shown."), "{reasons:?}");
    assert!(reasons[4].starts_with("It waits: the procedure was 14 months ago."), "{reasons:?}");
    // Each reason leads to what it rests on.
    assert!(page.links_to(&format!("/cases/{}#outcome", died.code)));
    let (from, to) = (month.plus(-6), month.plus(6));
    assert!(
        page.links_to(&format!("/cases?mechanism=access-haematoma&from={from}&to={to}")),
        "{}",
        page.html
    );
    assert!(page.links_to("/cases?mechanism=flow-air"));
    assert!(page.text.contains("How the list is ordered"), "{page}");
    assert_eq!(page.texts("details .candidates h3"), ["Only recorded"]);
    // The list of cases that a reason leads to is there.
    client.get("/cases?mechanism=flow-air").await.expect(StatusCode::OK);
    add(&client, &path, recorded).await;
    let page = client.get(&format!("{path}/cases/new")).await;
    assert_eq!(page.count(".candidates li h3"), 3, "{page}");
}

async fn conference_today(app: &TestApp, client: &Client) -> String {
    let day = app.app.today().to_string();
    let answer = client.post("/conferences", &[("held_on", &day), ("title", "Today")]).await;
    answer.location().to_owned()
}

#[tokio::test]
async fn a_signal_in_the_rates_is_a_reason_and_leads_to_them() {
    let app = TestApp::init().await;
    let client = app.with_attending().await;
    let path = conference(&client).await;
    let month = app.app.this_month();
    // Two years with one event in a hundred procedures a month, then twelve in the last month.
    for back in 1..=24 {
        let month = month.plus(-back).to_string();
        app.count_procedures(&month, "all-pci", 100).await;
        for _ in 0..if back == 1 { 12 } else { 1 } {
            CaseBuilder::new("Counted").mechanism("flow-no-reflow").month(&month).insert(&app).await;
        }
    }
    CaseBuilder::new("Seen now")
        .mechanism("flow-no-reflow")
        .month(&month.to_string())
        .stage(Stage::Ready)
        .insert(&app)
        .await;
    let page = client.get(&format!("{path}/cases/new")).await;
    let reasons = page.texts(".candidates li:first-child .reasons li");
    assert!(
        reasons
            .iter()
            .any(|reason| reason.starts_with("A signal in the rates of no-reflow: above its limit")),
        "{reasons:?}"
    );
    assert!(page.links_to("/rates/mechanism/flow-no-reflow"));
    client.get("/rates/mechanism/flow-no-reflow").await.expect(StatusCode::OK);
}

#[tokio::test]
async fn the_quality_lead_sets_the_confidentiality_line_that_stands_everywhere() {
    let app = TestApp::init().await;
    let lead = app.with_quality_lead().await;
    let path = conference(&lead).await;
    let settings = lead.get("/settings").await;
    assert!(settings.text.contains("The usual line stands there"), "{settings}");
    let at = "/settings/conference";
    for (typed, says) in [
        ("", "Write the line that stands over your conferences."),
        ("  \n ", "Write the line that stands over your conferences."),
        (&"x".repeat(601), "At most 600 characters fit here; this has 601."),
        ("a \u{7} bell", "invisible control character"),
    ] {
        let page = edit(&lead, at, at, &[("line", typed)]).await;
        page.expect(StatusCode::UNPROCESSABLE_ENTITY);
        assert!(page.error_of("line").unwrap().contains(says), "{page}");
        assert_eq!(page.value("line").trim_start_matches('\n'), typed.trim_start_matches('\n'));
    }
    let stale = lead.get(at).await;
    let own = "Protected under our <b>local</b> law.";
    edit(&lead, at, at, &[("line", own)]).await.expect(StatusCode::SEE_OTHER);
    lead.submit(&stale, at, &[("line", "Another")]).await.expect(StatusCode::CONFLICT);
    for page in [&path, &format!("{path}/meeting"), &format!("{path}/minutes")] {
        let page = lead.get(page).await;
        assert!(page.text.contains(own), "{page}");
        assert!(!page.html.contains("<b>local"), "{page}");
    }
    assert!(lead.get(&format!("{path}/minutes/files/markdown")).await.html.contains("Protected under our"));
    assert!(lead.get("/settings").await.text.contains("Your department’s own line stands there."));
    for role in [Role::Fellow, Role::Attending, Role::Reader] {
        app.as_role(role).await.get(at).await.expect(StatusCode::FORBIDDEN);
    }
}
