//! The pages of conferences.

use relook::case::Stage;

use crate::support::{CaseBuilder, Client, Page, Placed, Role, StatusCode, TestApp};

const DAY: &str = "2099-06-30";

/// A conference of an attending, and its address.
async fn conference(client: &Client, day: &str) -> String {
    let answer = client.post("/conferences", &[("held_on", day), ("title", "Complication conference")]).await;
    answer.expect(StatusCode::SEE_OTHER);
    answer.location().to_owned()
}

async fn case(app: &TestApp, title: &str, stage: Stage) -> Placed {
    CaseBuilder::new(title).mechanism("flow-no-reflow").stage(stage).insert(app).await
}

async fn add(client: &Client, path: &str, code: impl ToString) -> Page {
    client.post(&format!("{path}/cases"), &[("code", &code.to_string())]).await
}

fn candidates(page: &Page) -> Vec<String> {
    page.texts(".candidates h3")
}

fn agenda(page: &Page) -> Vec<String> {
    page.texts("#agenda .items h3")
}

#[tokio::test]
async fn an_attending_sets_a_conference_and_its_agenda() {
    let app = TestApp::init().await;
    let client = app.with_attending().await;
    let list = client.get("/conferences").await;
    assert_eq!(list.link("Set a conference").as_deref(), Some("/conferences/new"));
    let form = client.get("/conferences/new").await;
    assert_eq!(form.value("title"), "Complication conference");
    let answer = client.submit(&form, "/conferences", &[("held_on", DAY)]).await;
    answer.expect(StatusCode::SEE_OTHER);
    let path = answer.location().to_owned();
    let page = client.follow(&answer).await;
    assert_eq!(page.heading(), "Complication conference");
    assert_eq!(page.notice().as_deref(), Some("The conference of 30 June 2099 is set."));
    assert!(page.text.contains("30 June 2099, in "), "{page}");

    let ready = case(&app, "A ready case", Stage::Ready).await;
    let preparing = case(&app, "A case in preparation", Stage::InPreparation).await;
    case(&app, "A recorded case", Stage::Recorded).await;
    let list = client.get(&format!("{path}/cases/new")).await;
    assert_eq!(candidates(&list), ["A ready case", "A case in preparation", "A recorded case"]);
    assert_eq!(list.texts("details .candidates h3"), ["A recorded case"], "recorded ones are folded away");
    let button = list.button(&format!("Put on the agenda {}", ready.code)).unwrap();
    assert_eq!(button.form, [("code".to_owned(), ready.code.to_string())]);
    let answer = client.post(&button.action, &[("code", &ready.code.to_string())]).await;
    assert_eq!(answer.location(), path);
    let by_code = add(&client, &path, format!(" {} ", preparing.code)).await;
    by_code.expect(StatusCode::SEE_OTHER);
    let page = client.follow(&by_code).await;
    assert_eq!(agenda(&page), ["A ready case", "A case in preparation"]);
    assert!(page.text.contains("Two cases on the agenda; one is not ready yet."), "{page}");
    assert!(page.text.contains("Confidential peer review"), "{page}");
    assert!(page.links_to(&format!("/cases/{}", ready.code)));
    assert!(page.links_to(&format!("/cases/{}/summary", ready.code)));
    // What is on the agenda is not offered again.
    let list = client.get(&format!("{path}/cases/new")).await;
    assert_eq!(candidates(&list), ["A recorded case"]);
    assert!(list.text.contains("No other case is in preparation or ready."), "{list}");
    // The list shows it.
    let list = client.get("/conferences").await;
    assert_eq!(list.texts(".items .item-meta"), ["30 June 2099 · two cases"]);
}

#[tokio::test]
async fn a_case_that_was_taken_off_goes_back_to_its_place() {
    let app = TestApp::init().await;
    let client = app.with_quality_lead().await;
    let path = conference(&client, DAY).await;
    let mut codes = Vec::new();
    for title in ["First", "Second", "Third"] {
        let placed = case(&app, title, Stage::Ready).await;
        add(&client, &path, placed.code).await.expect(StatusCode::SEE_OTHER);
        codes.push(placed.code);
    }
    for code in &codes {
        let page = client.get(&path).await;
        let before = agenda(&page);
        let button = page.button(&format!("Take off {code}")).unwrap();
        let page = client.follow(&client.post(&button.action, &[]).await).await;
        assert_eq!(agenda(&page).len(), 2);
        assert_eq!(page.notice(), Some(format!("{code} is off the agenda.")));
        let back = client.follow(&client.post(&page.undo().unwrap(), &[]).await).await;
        assert_eq!(agenda(&back), before);
    }
    // A place that is none is the end; a second Undo changes nothing.
    client.post(&format!("{path}/cases/{}/remove", codes[0]), &[]).await;
    client
        .post(&format!("{path}/cases/{}/put-back?place=-7", codes[0]), &[])
        .await
        .expect(StatusCode::SEE_OTHER);
    client
        .post(&format!("{path}/cases/{}/put-back?place=1", codes[0]), &[])
        .await
        .expect(StatusCode::SEE_OTHER);
    assert_eq!(agenda(&client.get(&path).await), ["Second", "Third", "First"]);
}

#[tokio::test]
async fn adding_is_undone_from_its_notice() {
    let app = TestApp::init().await;
    let client = app.with_attending().await;
    let path = conference(&client, DAY).await;
    let placed = case(&app, "Only", Stage::Ready).await;
    let page = client.follow(&add(&client, &path, placed.code).await).await;
    assert_eq!(agenda(&page), ["Only"]);
    let page = client.follow(&client.post(&page.undo().unwrap(), &[]).await).await;
    assert!(agenda(&page).is_empty(), "{page}");
}

#[tokio::test]
async fn a_conference_that_cannot_be_read_comes_back_with_what_was_typed() {
    let app = TestApp::init().await;
    let client = app.with_attending().await;
    let long = "x".repeat(161);
    for (day, title, field, says) in [
        ("", "Conference", "held_on", "Give the day of the conference."),
        ("  ", "Conference", "held_on", "Give the day of the conference."),
        ("tomorrow", "Conference", "held_on", "A day is year, month and day"),
        ("2026-02-30", "Conference", "held_on", "A day is year, month and day"),
        ("2026-13-01", "Conference", "held_on", "A day is year, month and day"),
        ("30.06.2026", "Conference", "held_on", "A day is year, month and day"),
        ("2026-06", "Conference", "held_on", "A day is year, month and day"),
        ("1989-12-31", "Conference", "held_on", "from 1990 to 2100"),
        ("9999-12-31", "Conference", "held_on", "from 1990 to 2100"),
        ("2026-06-30T10:00", "Conference", "held_on", "A day is year, month and day"),
        (DAY, "", "title", "Give the conference a name."),
        (DAY, " \n ", "title", "Give the conference a name."),
        (DAY, long.as_str(), "title", "At most 160 characters fit here; this has 161."),
        (DAY, "A \u{7} bell", "title", "invisible control character"),
        (DAY, "Broken \u{FFFD}", "title", "did not arrive whole"),
    ] {
        let page = client.post("/conferences", &[("held_on", day), ("title", title)]).await;
        page.expect(StatusCode::UNPROCESSABLE_ENTITY);
        let error = page.error_of(field).unwrap_or_else(|| panic!("{day} {title}: {page}"));
        assert!(error.contains(says), "{day} {title}: {error}");
        assert_eq!((page.value("held_on").as_str(), page.value("title").as_str()), (day, title));
    }
    assert!(client.get("/conferences").await.has_heading("No conference yet"));
}

#[tokio::test]
async fn a_day_has_one_conference() {
    let app = TestApp::init().await;
    let client = app.with_attending().await;
    conference(&client, DAY).await;
    let page = client.post("/conferences", &[("held_on", DAY), ("title", "A second one")]).await;
    page.expect(StatusCode::UNPROCESSABLE_ENTITY);
    assert_eq!(
        page.error_of("held_on").as_deref(),
        Some("There is a conference on 30 June 2099 already. Choose another day.")
    );
    assert_eq!(page.value("title"), "A second one");
}

#[tokio::test]
async fn a_case_that_cannot_go_on_the_agenda_comes_back_with_the_reason() {
    let app = TestApp::init().await;
    let client = app.with_attending().await;
    let path = conference(&client, DAY).await;
    let one = case(&app, "One", Stage::Ready).await;
    case(&app, "Two", Stage::Ready).await;
    add(&client, &path, one.code).await.expect(StatusCode::SEE_OTHER);
    let one = one.code.to_string();
    for (typed, says) in [
        ("", "Choose a case from the list, or write its code here."),
        (" ", "Choose a case from the list, or write its code here."),
        ("2026-14", "A case code is a year and a number"),
        ("case 7", "A case code is a year and a number"),
        ("<script>alert(1)</script>", "A case code is a year and a number"),
        ("1999-001", "There is no case 1999-001."),
        (&one, "is on this agenda already."),
    ] {
        let page = add(&client, &path, typed).await;
        page.expect(StatusCode::UNPROCESSABLE_ENTITY);
        let error = page.error_of("code").unwrap_or_else(|| panic!("{typed}: {page}"));
        assert!(error.contains(says), "{typed}: {error}");
        // The buttons of the list carry codes too; the field of the form is the last.
        assert_eq!(page.values("code").last().unwrap(), typed);
        assert!(!page.html.contains("<script>alert"), "{page}");
        assert_eq!(candidates(&page), ["Two"], "the list is there after a mistake too");
    }
    assert_eq!(agenda(&client.get(&path).await), ["One"]);
}

#[tokio::test]
async fn an_agenda_holds_twelve_cases() {
    let app = TestApp::init().await;
    let client = app.with_attending().await;
    let path = conference(&client, DAY).await;
    for _ in 0..12 {
        let placed = case(&app, "One of twelve", Stage::Ready).await;
        add(&client, &path, placed.code).await.expect(StatusCode::SEE_OTHER);
    }
    let thirteenth = case(&app, "The thirteenth", Stage::Ready).await;
    let page = add(&client, &path, thirteenth.code).await;
    page.expect(StatusCode::UNPROCESSABLE_ENTITY);
    assert!(page.error_of("code").unwrap().contains("at most 12 cases"), "{page}");
    let off = client.post(&format!("{path}/cases/2026-001/remove"), &[]).await;
    let undo = client.follow(&off).await.undo().unwrap();
    add(&client, &path, thirteenth.code).await.expect(StatusCode::SEE_OTHER);
    let page = client.follow(&client.post(&undo, &[]).await).await;
    assert_eq!(
        page.notice().as_deref(),
        Some("2026-001 is not back: the agenda is full now, with 12 cases.")
    );
}

#[tokio::test]
async fn what_another_took_off_meanwhile_is_said_and_not_an_error() {
    let app = TestApp::init().await;
    let (first, second) = (app.with_attending().await, app.with_quality_lead().await);
    let path = conference(&first, DAY).await;
    let placed = case(&app, "Once", Stage::Ready).await;
    add(&first, &path, placed.code).await.expect(StatusCode::SEE_OTHER);
    let remove = format!("{path}/cases/{}/remove", placed.code);
    first.post(&remove, &[]).await.expect(StatusCode::SEE_OTHER);
    let page = second.follow(&second.post(&remove, &[]).await).await;
    assert_eq!(page.notice(), Some(format!("{} was not on this agenda any more.", placed.code)));
    assert_eq!(page.undo(), None);
}

#[tokio::test]
async fn fellows_and_readers_look_and_change_nothing() {
    let app = TestApp::init().await;
    let attending = app.with_attending().await;
    let path = conference(&attending, DAY).await;
    let placed = case(&app, "Seen", Stage::Presented).await;
    add(&attending, &path, placed.code).await.expect(StatusCode::SEE_OTHER);
    for role in [Role::Fellow, Role::Reader] {
        let client = app.as_role(role).await;
        for page in [client.get("/conferences").await, client.get(&path).await] {
            page.expect(StatusCode::OK);
            assert_eq!(page.count("main form"), 0, "{role:?}: {page}");
            assert!(!page.html.contains("/new\""), "{role:?}: {page}");
        }
        let code = placed.code;
        for page in [
            "/conferences/new".to_owned(),
            format!("{path}/cases/new"),
            format!("{path}/edit"),
            format!("{path}/cases/{code}/edit"),
            format!("{path}/end"),
        ] {
            client.get(&page).await.expect(StatusCode::FORBIDDEN);
        }
        client
            .post("/conferences", &[("held_on", "2099-01-01"), ("title", "Mine")])
            .await
            .expect(StatusCode::FORBIDDEN);
        add(&client, &path, placed.code).await.expect(StatusCode::FORBIDDEN);
        for act in ["", "/edit", "/end", "/reopen"].map(|act| format!("{path}{act}")) {
            // An address that is only read refuses the method, to every role alike.
            let page = client.post(&act, &[("length", "30"), ("base", "x")]).await;
            assert!([StatusCode::FORBIDDEN, StatusCode::METHOD_NOT_ALLOWED].contains(&page.status), "{page}");
        }
        for act in ["remove", "put-back?place=1", "up", "down"] {
            let page = client.post(&format!("{path}/cases/{}/{act}", placed.code), &[]).await;
            page.expect(StatusCode::FORBIDDEN);
        }
    }
    for page in ["/conferences", &path] {
        app.signed_out().get(page).await.expect(StatusCode::SEE_OTHER);
    }
    assert_eq!(agenda(&attending.get(&path).await), ["Seen"]);
}

#[tokio::test]
async fn a_reader_sees_of_an_agenda_what_was_presented() {
    let app = TestApp::init().await;
    let attending = app.with_attending().await;
    let path = conference(&attending, DAY).await;
    for stage in Stage::ALL.iter().copied() {
        let placed = case(&app, &format!("A {} case", stage.slug()), stage).await;
        add(&attending, &path, placed.code).await.expect(StatusCode::SEE_OTHER);
    }
    let page = app.with_reader().await.get(&path).await;
    assert_eq!(agenda(&page), ["A presented case", "A closed case"]);
    assert!(page.text.contains("Three cases on the agenda are not presented yet."), "{page}");
    for hidden in ["A recorded case", "A in-preparation case", "A ready case"] {
        assert!(!page.html.contains(hidden), "{page}");
    }
}

#[tokio::test]
async fn a_conference_that_is_none_is_not_found() {
    let app = TestApp::init().await;
    let client = app.with_attending().await;
    let placed = case(&app, "Waiting", Stage::Ready).await;
    for id in ["1", "0", "-1", "abc", "99999999999999999999", "1%20or%201=1"] {
        client.get(&format!("/conferences/{id}")).await.expect(StatusCode::NOT_FOUND);
        client.get(&format!("/conferences/{id}/cases/new")).await.expect(StatusCode::NOT_FOUND);
        add(&client, &format!("/conferences/{id}"), placed.code).await.expect(StatusCode::NOT_FOUND);
        client
            .post(&format!("/conferences/{id}/cases/{}/remove", placed.code), &[])
            .await
            .expect(StatusCode::NOT_FOUND);
    }
    let path = conference(&client, DAY).await;
    client.post(&format!("{path}/cases/nonsense/remove"), &[]).await.expect(StatusCode::NOT_FOUND);
    client.post(&format!("{path}/cases/1999-001/put-back"), &[]).await.expect(StatusCode::NOT_FOUND);
}

#[tokio::test]
async fn an_empty_list_and_an_empty_agenda_teach() {
    let app = TestApp::init().await;
    for role in Role::ALL.iter().copied() {
        let page = app.as_role(role).await.get("/conferences").await;
        assert!(page.has_heading("No conference yet"), "{page}");
        assert_eq!(page.count(".example"), 1);
        assert_eq!(page.links_to("/conferences/new"), role.signs(), "{role:?}");
    }
    let path = conference(&app.with_attending().await, DAY).await;
    for role in Role::ALL.iter().copied() {
        let page = app.as_role(role).await.get(&path).await;
        assert!(page.text.contains("No case is on the agenda."), "{page}");
        assert_eq!(page.links_to(&format!("{path}/cases/new")), role.signs(), "{role:?}");
    }
}

#[tokio::test]
async fn past_conferences_stand_apart_from_those_to_come() {
    let app = TestApp::init().await;
    let client = app.with_attending().await;
    for day in ["2001-05-04", "2003-05-04", "2099-05-04", "2098-05-04"] {
        conference(&client, day).await;
    }
    let today = app.app.today().to_string();
    let path = conference(&client, &today).await;
    let page = client.get("/conferences").await;
    assert_eq!(page.texts("main h2"), ["To come", "Held"]);
    let days: Vec<String> =
        page.texts(".item-meta").iter().map(|meta| meta.split(" · ").next().unwrap().to_owned()).collect();
    let expected = [&app.app.today().in_words(), "4 May 2098", "4 May 2099", "4 May 2003", "4 May 2001"];
    assert_eq!(days, expected);
    assert!(client.get(&path).await.text.contains(", today."));
}

#[tokio::test]
async fn a_script_in_a_title_is_text() {
    let app = TestApp::init().await;
    let client = app.with_attending().await;
    let title = "<script>alert(1)</script> \"'&";
    let answer = client.post("/conferences", &[("held_on", DAY), ("title", title)]).await;
    let path = answer.location().to_owned();
    let placed = case(&app, title, Stage::Ready).await;
    let form = client.get(&format!("{path}/cases/new")).await;
    assert_eq!(candidates(&form), [title]);
    add(&client, &path, placed.code).await.expect(StatusCode::SEE_OTHER);
    let page = client.get(&path).await;
    assert_eq!((page.heading().as_str(), agenda(&page)[0].as_str()), (title, title));
    for page in [page, form, client.get("/conferences").await] {
        assert_eq!(page.count("script:not([src])") + page.count("[style]"), 0, "{page}");
    }
}
