//! A conference is held: what is typed stands in the record and in the minutes, and ending it moves its ready
//! cases.

use relook::case::{ActionState, CaseCode, Stage};

use crate::support::{CaseBuilder, Client, Page, StatusCode, TestApp, of};

/// A conference of today, and its address.
async fn conference(app: &TestApp, client: &Client, codes: &[CaseCode]) -> String {
    let day = app.app.today().to_string();
    let answer = client.post("/conferences", &[("held_on", &day), ("title", "Today’s conference")]).await;
    let path = answer.location().to_owned();
    for code in codes {
        client
            .post(&format!("{path}/cases"), &[("code", &code.to_string())])
            .await
            .expect(StatusCode::SEE_OTHER);
    }
    path
}

async fn case(app: &TestApp, title: &str, stage: Stage) -> CaseCode {
    CaseBuilder::new(title).mechanism("flow-no-reflow").stage(stage).insert(app).await.code
}

/// Sends the form of the meeting page for this address with some fields typed.
async fn send(client: &Client, path: &str, address: &str, typed: &[(&str, &str)]) -> Page {
    let page = client.get(&format!("{path}/meeting")).await;
    page.expect(StatusCode::OK);
    client.submit(&page, &format!("{path}/meeting/{address}"), typed).await
}

async fn end(client: &Client, path: &str) -> Page {
    let page = client.get(&format!("{path}/end")).await;
    client.submit(&page, &format!("{path}/end"), &[]).await
}

#[tokio::test]
async fn what_is_typed_in_a_meeting_stands_in_the_record_and_in_the_minutes() {
    let app = TestApp::init().await;
    let signer = app.with_attending().await;
    let fellow = app.with_fellow().await;
    let code = case(&app, "Flow lost after a stent", Stage::Ready).await;
    let path = conference(&app, &signer, &[code]).await;
    let page = fellow.get(&format!("{path}/meeting")).await;
    assert!(page.text.contains("The meeting is today."), "{page}");
    assert!(page.text.contains("Minutes 10 to 35: 25 minutes."), "{page}");
    assert!(page.links_to(&format!("/cases/{code}/present?minutes=25")));
    assert!(!page.links_to(&format!("{path}/end")), "an attending ends it");

    let answer =
        send(&fellow, &path, "attendance", &[("fellows", "4"), ("nurses", " 3 "), ("others", "0")]).await;
    assert_eq!(answer.location(), format!("{path}/meeting#attendance"));
    let page = fellow.follow(&answer).await;
    assert!(page.text.contains("7 people. Fellows and trainees: 4; Nurses: 3."), "{page}");

    let typed = [
        ("notes", "The room asked for a **second view**."),
        ("kind", "prevent"),
        ("lesson", "Take a second view before the balloon"),
        ("action", "A clock in the room"),
        ("owner", "Cath-lab lead nurse"),
        ("due", "2099-03-31"),
        ("strength", "stronger"),
    ];
    let answer = send(&fellow, &path, &format!("cases/{code}"), &typed).await;
    assert_eq!(answer.location(), format!("{path}/meeting#case-{code}"));
    let page = fellow.follow(&answer).await;
    let notice = page.notice().unwrap();
    assert!(notice.ends_with(&format!("the notes, a lesson and an action of {code}.")), "{notice}");
    assert!(page.text.contains("Not signed yet. Written in this meeting."), "{page}");
    // The form is empty again but for the notes.
    assert_eq!(page.values("notes")[0].trim_start_matches('\n'), typed[0].1);
    assert_eq!((page.value("lesson").trim(), page.value("owner").as_str()), ("", ""));
    send(&fellow, &path, "notes", &[("notes", "Room too small")]).await.expect(StatusCode::SEE_OTHER);

    let stored = app.case(code).await;
    assert_eq!(stored.lessons.len(), 1);
    assert_eq!(stored.lessons[0].value.signed_by, None);
    assert_eq!(stored.actions[0].value.owner.as_str(), "Cath-lab lead nurse");
    assert_eq!(stored.actions[0].value.state, ActionState::Open);

    let answer = end(&signer, &path).await;
    assert_eq!(answer.location(), format!("{path}/minutes"));
    let minutes = signer.follow(&answer).await;
    assert_eq!(minutes.notice().as_deref(), Some("The meeting is ended. One case is presented now."));
    for line in [
        "7 people met. One case was on the agenda. One lesson and one action were written in the meeting;",
        "Case 1 Flow lost after a stent",
        "The room asked for a second view.",
        "Prevent. Take a second view before the balloon. Not signed yet. Written in this meeting.",
        "Cath-lab lead nurse, by 31 March 2099: a clock in the room.",
        "Room too small",
        "None is set yet.",
        "For peer review and teaching.",
    ] {
        assert!(minutes.text.contains(line), "{line}: {}", minutes.text);
    }
    assert!(!minutes.text.contains("Draft"), "{minutes}");
    let file = signer.get(&format!("{path}/minutes/files/markdown")).await;
    assert!(file.html.starts_with("# Minutes: Today’s conference"), "{}", file.html);
    let kept = file.headers.get("content-disposition").unwrap().to_str().unwrap();
    assert!(kept.contains(&format!("minutes-{}.md", app.app.today())), "{kept}");
    assert_eq!(app.case(code).await.head.stage, Stage::Presented);
    app.with_reader().await.get(&format!("/cases/{code}")).await.expect(StatusCode::OK);
}

#[tokio::test]
async fn a_form_of_the_meeting_that_cannot_be_read_comes_back_as_it_was_typed() {
    let app = TestApp::init().await;
    let client = app.with_fellow().await;
    let code = case(&app, "One", Stage::Ready).await;
    let path = conference(&app, &app.with_attending().await, &[code]).await;
    let (long, of_case) = ("x".repeat(6_001), format!("cases/{code}"));
    let many = "x".repeat(2_001);
    for (address, typed, field, says) in [
        ("attendance", &[("fellows", "four"), ("nurses", "2")][..], "fellows", "whole number from 0 to 500"),
        ("attendance", &[("nurses", "501")], "nurses", "whole number from 0 to 500"),
        ("attendance", &[("nurses", "-1")], "nurses", "whole number from 0 to 500"),
        ("notes", &[("notes", long.as_str())], "notes", "At most 6000 characters fit here; this has 6001."),
        ("notes", &[("notes", "a \u{7} bell")], "notes", "invisible control character"),
        (&of_case, &[("notes", long.as_str())], "notes", "At most 6000 characters"),
        (&of_case, &[("lesson", "Only words")], "kind", "Say what the lesson helps to do."),
        (&of_case, &[("kind", "prevent")], "lesson", "Write the lesson"),
        (&of_case, &[("kind", "blame"), ("lesson", "x")], "kind", "is not a kind of lesson"),
        (&of_case, &[("kind", "prevent"), ("lesson", many.as_str())], "lesson", "At most 2000 characters"),
        (&of_case, &[("action", "A clock")], "owner", "Say which role owns it."),
        (&of_case, &[("owner", "lead nurse")], "action", "Say what will be different."),
        (&of_case, &[("action", "A clock"), ("due", "soon")], "due", "A day is year, month and day"),
        (&of_case, &[("action", "A clock"), ("due", "")], "due", "Say when it is due."),
        (&of_case, &[("action", "A clock"), ("strength", "very")], "strength", "is not a strength"),
        (&of_case, &[("measure", "Of 20 sets, all")], "strength", "Say how strong it is."),
    ] {
        let page = send(&client, &path, address, typed).await;
        page.expect(StatusCode::UNPROCESSABLE_ENTITY);
        let anchor = if address == of_case { format!("case-{code}") } else { address.to_owned() };
        let error =
            page.error_of(&format!("{anchor}-{field}")).unwrap_or_else(|| panic!("{typed:?}: {page}"));
        assert!(error.contains(says), "{typed:?}: {error}");
        for (name, value) in typed {
            let held = page.form(&format!("{path}/meeting/{address}"));
            // A choice that is none cannot stand in a list of choices.
            let is_foreign = ["kind", "strength"].contains(name) && error.contains("is not");
            let kept =
                held.iter().any(|(other, text)| other == name && text.trim_start_matches('\n') == *value);
            assert!(kept || is_foreign, "{name} of {typed:?} is lost: {held:?}");
        }
        assert_eq!(page.count(".error-summary"), 1, "{page}");
        // What is folded away stands open when it is marked.
        let is_folded = field != "notes";
        assert_eq!(page.count(&format!("#{anchor} details[open] .marked")) > 0, is_folded, "{typed:?}");
    }
    let stored = app.case(code).await;
    assert!(stored.lessons.is_empty() && stored.actions.is_empty());
    // A script that is typed stays text.
    let page = send(&client, &path, &of_case, &[("notes", "<script>alert(1)</script>")]).await;
    assert!(!client.follow(&page).await.html.contains("<script>alert"));
    assert!(!client.get(&format!("{path}/minutes")).await.html.contains("<script>alert"));
}

#[tokio::test]
async fn nothing_is_saved_of_a_case_when_one_part_of_its_form_is_wrong() {
    let app = TestApp::init().await;
    let client = app.with_fellow().await;
    let code = case(&app, "One", Stage::Ready).await;
    let path = conference(&app, &app.with_attending().await, &[code]).await;
    let typed = [("notes", "Said"), ("kind", "prevent"), ("lesson", "Look twice"), ("action", "No owner")];
    let page = send(&client, &path, &format!("cases/{code}"), &typed).await;
    page.expect(StatusCode::UNPROCESSABLE_ENTITY);
    assert!(app.case(code).await.lessons.is_empty());
    let page = client.get(&format!("{path}/meeting")).await;
    assert_eq!(page.values("notes")[0].trim(), "");
    // An empty form changes nothing and says so.
    let page = client.follow(&send(&client, &path, &format!("cases/{code}"), &[]).await).await;
    assert_eq!(page.notice(), Some(format!("Nothing of {code} was changed.")));
}

#[tokio::test]
async fn notes_that_somebody_saved_meanwhile_stand_beside_what_was_typed() {
    let app = TestApp::init().await;
    let (first, second) = (app.with_fellow().await, app.with_attending().await);
    let code = case(&app, "One", Stage::Ready).await;
    let path = conference(&app, &second, &[code]).await;
    for (address, field, theirs, mine) in [
        (format!("cases/{code}"), "notes", "Theirs of the case", "Mine of the case"),
        ("notes".to_owned(), "notes", "Theirs", "Mine"),
        ("attendance".to_owned(), "nurses", "3", "4"),
    ] {
        let action = format!("{path}/meeting/{address}");
        let open = first.get(&format!("{path}/meeting")).await;
        send(&second, &path, &address, &[(field, theirs)]).await.expect(StatusCode::SEE_OTHER);
        let page = first.submit(&open, &action, &[(field, mine)]).await;
        page.expect(StatusCode::CONFLICT);
        assert!(page.text.contains("Somebody saved this while you wrote."), "{page}");
        assert!(page.texts(".said").concat().contains(theirs), "{page}");
        assert!(page.form(&action).iter().any(|(name, text)| name == field && text.trim() == mine), "{page}");
        // Saved again, it is over what now stands there.
        first.submit(&page, &action, &[]).await.expect(StatusCode::SEE_OTHER);
        let page = first.get(&format!("{path}/meeting")).await;
        assert!(page.form(&action).iter().any(|(name, text)| name == field && text.trim() == mine));
    }
    // A lesson typed beside notes that nobody changed meanwhile meets nobody.
    let open = first.get(&format!("{path}/meeting")).await;
    send(&second, &path, "notes", &[("notes", "Elsewhere")]).await;
    let typed = [("kind", "respond"), ("lesson", "Say the time")];
    first.submit(&open, &format!("{path}/meeting/cases/{code}"), &typed).await.expect(StatusCode::SEE_OTHER);
}

#[tokio::test]
async fn carried_over_actions_are_marked_done_still_open_or_dropped() {
    let app = TestApp::init().await;
    let (fellow, signer) = (app.with_fellow().await, app.with_attending().await);
    let earlier = CaseBuilder::new("Earlier")
        .stage(Stage::Presented)
        .action("Due last", "2099-12-31")
        .action("Overdue", "2001-03-01")
        .action("To be dropped", "2098-01-01")
        .action("Nobody came to it", "2099-01-01")
        .insert(&app)
        .await
        .code;
    // Neither of a case that is not presented, nor of one on this agenda.
    CaseBuilder::new("Not yet").stage(Stage::Ready).action("Hidden", "2099-12-31").insert(&app).await;
    let again = CaseBuilder::new("Again")
        .stage(Stage::Presented)
        .action("Its own", "2099-12-31")
        .insert(&app)
        .await
        .code;
    let path = conference(&app, &signer, &[again]).await;
    let page = fellow.get(&format!("{path}/meeting")).await;
    assert_eq!(page.texts("#carried h3"), ["Overdue", "To be dropped", "Nobody came to it", "Due last"]);
    assert!(page.texts("#carried .item-meta")[0].contains("Overdue since 1 March 2001"), "{page}");
    assert!(fellow.get(&path).await.text.contains("four are open, one of them overdue by then"));

    let rows = app.case(earlier).await.actions;
    let id = |what: &str| rows.iter().find(|row| row.value.what.as_str() == what).unwrap().id;
    let today = app.app.today().to_string();
    let answer = send(
        &fellow,
        &path,
        &format!("actions/{}", id("Overdue")),
        &[("became", "done"), ("done-on", &today)],
    )
    .await;
    assert_eq!(answer.location(), format!("{path}/meeting#carried-{}", id("Overdue")));
    let typed = [("became", "still-open"), ("due", "2099-12-30"), ("why", "The bench is booked")];
    send(&fellow, &path, &format!("actions/{}", id("Due last")), &typed).await.expect(StatusCode::SEE_OTHER);
    let typed = [("became", "dropped"), ("why", "The device does it now")];
    send(&fellow, &path, &format!("actions/{}", id("To be dropped")), &typed)
        .await
        .expect(StatusCode::SEE_OTHER);
    let now = app.case(earlier).await.actions;
    let state = |what: &str| {
        let action = &now.iter().find(|row| row.value.what.as_str() == what).unwrap().value;
        (action.state, action.due.to_string(), action.done_on.map(|day| day.to_string()))
    };
    assert_eq!(state("Overdue"), (ActionState::Done, "2001-03-01".to_owned(), Some(today.clone())));
    assert_eq!(state("Due last"), (ActionState::Open, "2099-12-30".to_owned(), None));
    assert_eq!(state("To be dropped").0, ActionState::Dropped);

    // Said again, the last word holds, and the day that it had been due stays.
    let typed =
        [("became", "still-open"), ("due", "2099-05-05"), ("why", "Not in place after all"), ("done-on", "")];
    send(&fellow, &path, &format!("actions/{}", id("Overdue")), &typed).await.expect(StatusCode::SEE_OTHER);
    let page = fellow.get(&format!("{path}/meeting")).await;
    assert!(page.text.contains("Still open, now due 5 May 2099: not in place after all."), "{page}");
    assert!(page.texts("#carried .item-meta")[0].contains("Overdue since 1 March 2001"), "{page}");

    end(&signer, &path).await.expect(StatusCode::SEE_OTHER);
    let minutes = signer.get(&format!("{path}/minutes")).await;
    for line in [
        "Overdue. Still open, now due 5 May 2099: not in place after all.",
        "It was overdue since 1 March 2001.",
        "To be dropped. Dropped: the device does it now.",
        "Due last. Still open, now due 30 December 2099: the bench is booked.",
        "Nobody came to it. Not reached; it stays open.",
    ] {
        assert!(minutes.text.contains(line), "{line}: {}", minutes.text);
    }
    // What is opened later is not of this meeting, and what is done later changes its minutes in nothing.
    app.execute("update actions set state = 'done', done_on = '2099-01-01' where what = 'Nobody came to it'")
        .await;
    CaseBuilder::new("Later").stage(Stage::Presented).action("Of later", "2099-12-31").insert(&app).await;
    let minutes = signer.get(&format!("{path}/minutes")).await;
    assert!(minutes.text.contains("Nobody came to it. Not reached") && !minutes.text.contains("Of later"));
}

#[tokio::test]
async fn what_became_of_an_action_is_asked_for_whole() {
    let app = TestApp::init().await;
    let client = app.with_fellow().await;
    let earlier =
        CaseBuilder::new("Earlier").stage(Stage::Closed).action("A clock", "2001-03-01").insert(&app).await;
    let path = conference(&app, &app.with_attending().await, &[]).await;
    let id = app.case(earlier.code).await.actions[0].id;
    let (address, action) = (format!("actions/{id}"), format!("{path}/meeting/actions/{id}"));
    let long = "x".repeat(601);
    for (typed, field, says) in [
        (&[][..], "became", "Say what became of it"),
        (&[("became", "lost")], "became", "Say what became of it"),
        (&[("became", "done")], "done-on", "Say since when it is in place."),
        (&[("became", "done"), ("done-on", "2099-01-01")], "done-on", "This day is still to come."),
        (&[("became", "done"), ("done-on", "yesterday")], "done-on", "A day is year, month and day"),
        (&[("became", "done"), ("done-on", "2020-01-01"), ("why", "x")], "why", "needs no reason"),
        (
            &[("became", "done"), ("done-on", "2020-01-01"), ("due", "2099-01-01")],
            "due",
            "Only an action that is still open",
        ),
        (&[("became", "still-open"), ("why", "Busy")], "due", "Say when it is due now."),
        (&[("became", "still-open"), ("due", "2099-01-01")], "why", "why it is not done yet"),
        (&[("became", "still-open"), ("due", "2001-01-01"), ("why", "Busy")], "due", "before the conference"),
        (&[("became", "still-open"), ("due", "2099-01-01"), ("why", long.as_str())], "why", "At most 600"),
        (
            &[("became", "still-open"), ("due", "2099-01-01"), ("why", "x"), ("done-on", "2020-01-01")],
            "done-on",
            "Only an action that is done",
        ),
        (&[("became", "dropped")], "why", "Say why it will not be done."),
        (
            &[("became", "dropped"), ("why", "x"), ("due", "2099-01-01")],
            "due",
            "Only an action that is still open",
        ),
    ] {
        let page = send(&client, &path, &address, typed).await;
        page.expect(StatusCode::UNPROCESSABLE_ENTITY);
        let error =
            page.error_of(&format!("carried-{id}-{field}")).unwrap_or_else(|| panic!("{typed:?}: {page}"));
        assert!(error.contains(says), "{typed:?}: {error}");
        let held = page.form(&action);
        for (name, value) in typed.iter().filter(|(_, value)| *value != "lost") {
            assert!(
                held.iter().any(|(other, text)| other == name && text.trim_start_matches('\n') == *value),
                "{name} of {typed:?} is lost"
            );
        }
        assert_eq!(page.count(&format!("#carried-{id} > details[open]")), 1, "{page}");
    }
    assert_eq!(app.case(earlier.code).await.actions[0].value.state, ActionState::Open);
    // Somebody changes the action meanwhile.
    let open = client.get(&format!("{path}/meeting")).await;
    app.execute("update actions set due = '2055-05-05'").await;
    let page = client.submit(&open, &action, &[("became", "dropped"), ("why", "No longer used")]).await;
    page.expect(StatusCode::CONFLICT);
    assert!(page.text.contains("A clock. It is open, due 5 May 2055."), "{page}");
    client.submit(&page, &action, &[]).await.expect(StatusCode::SEE_OTHER);
    assert_eq!(app.case(earlier.code).await.actions[0].value.state, ActionState::Dropped);
    for bad in ["actions/999999", "actions/nonsense", "cases/1999-001", "cases/nonsense"] {
        client.post(&format!("{path}/meeting/{bad}"), &[]).await.expect(StatusCode::NOT_FOUND);
    }
}

#[tokio::test]
async fn what_another_said_of_an_action_meanwhile_is_not_written_over_unseen() {
    let app = TestApp::init().await;
    let (first, second) = (app.with_fellow().await, app.with_attending().await);
    let earlier =
        CaseBuilder::new("Earlier").stage(Stage::Closed).action("A clock", "2099-03-01").insert(&app).await;
    let path = conference(&app, &second, &[]).await;
    let id = app.case(earlier.code).await.actions[0].id;
    let (address, action) = (format!("actions/{id}"), format!("{path}/meeting/actions/{id}"));
    let said = |why| [("became", "still-open"), ("due", "2099-03-01"), ("why", why)];
    let open = first.get(&format!("{path}/meeting")).await;
    // The action itself stays as it was: only the reason is new.
    send(&second, &path, &address, &said("The bench is booked")).await.expect(StatusCode::SEE_OTHER);
    let page = first.submit(&open, &action, &said("Nobody ordered it")).await;
    page.expect(StatusCode::CONFLICT);
    assert!(page.texts(".said").concat().contains("now due 1 March 2099: the bench is booked."), "{page}");
    first.submit(&page, &action, &[]).await.expect(StatusCode::SEE_OTHER);
    let page = first.get(&format!("{path}/meeting")).await;
    assert!(page.text.contains("Still open, now due 1 March 2099: nobody ordered it."), "{page}");
}

#[tokio::test]
async fn the_plan_and_the_agenda_of_a_meeting_that_was_ended_stay_as_they_are() {
    let app = TestApp::init().await;
    let signer = app.with_attending().await;
    let mut codes = Vec::new();
    for title in ["One", "Two", "Three"] {
        codes.push(case(&app, title, Stage::Ready).await);
    }
    let path = conference(&app, &signer, &codes[..2]).await;
    let at = format!("{path}/cases/{}", codes[0]);
    let (plan, of_case) =
        (signer.get(&format!("{path}/edit")).await, signer.get(&format!("{at}/edit")).await);
    end(&signer, &path).await.expect(StatusCode::SEE_OTHER);
    let before = signer.get(&path).await;
    for act in ["down", "remove", "put-back?place=1"] {
        let page = signer.follow(&signer.post(&format!("{at}/{act}"), &[]).await).await;
        assert!(page.notice().unwrap().starts_with("The meeting was ended"), "{act}: {page}");
    }
    let added = signer.post(&format!("{path}/cases"), &[("code", &codes[2].to_string())]).await;
    added.expect(StatusCode::UNPROCESSABLE_ENTITY);
    let page = signer.submit(&plan, &path, &[("length", "90")]).await;
    page.expect(StatusCode::UNPROCESSABLE_ENTITY);
    assert_eq!(page.value("length"), "90");
    let page = signer.submit(&of_case, &at, &[("presenter", "fellow on call")]).await;
    page.expect(StatusCode::UNPROCESSABLE_ENTITY);
    assert!(page.text.contains("The meeting was ended, so its plan"), "{page}");
    assert_eq!(signer.get(&path).await.text, before.text);
}

#[tokio::test]
async fn ending_a_meeting_says_first_what_happens_and_does_that() {
    let app = TestApp::init().await;
    let signer = app.with_attending().await;
    let ready = case(&app, "Is ready", Stage::Ready).await;
    let waits = case(&app, "Is not ready", Stage::InPreparation).await;
    let shown = case(&app, "Was shown", Stage::Closed).await;
    let path = conference(&app, &signer, &[ready, waits, shown]).await;
    let page = signer.get(&format!("{path}/end")).await;
    let list = |page: &Page, heading: &str| page.texts(&format!("section[aria-labelledby={heading}] h3"));
    assert_eq!(list(&page, "presented-h"), ["Is ready"]);
    assert_eq!(list(&page, "stay-h"), ["Is not ready"]);
    assert_eq!(list(&page, "were-h"), ["Was shown"]);
    assert_eq!(app.case(ready).await.head.stage, Stage::Ready, "nothing is done by looking");
    // The agenda changes before the button is pressed: nothing happens, and the page says so.
    let preparing = [("to", "in-preparation")];
    signer.post(&format!("/cases/{ready}/stage"), &preparing).await.expect(StatusCode::SEE_OTHER);
    let again = signer.submit(&page, &format!("{path}/end"), &[]).await;
    again.expect(StatusCode::CONFLICT);
    assert!(again.text.contains("The agenda changed since you looked"), "{again}");
    assert_eq!(list(&again, "stay-h"), ["Is ready", "Is not ready"]);
    app.execute("update case_records set stage = 'ready' where title = 'Is ready'").await;

    let answer = end(&signer, &path).await;
    let minutes = signer.follow(&answer).await;
    assert_eq!(
        minutes.notice(),
        Some(format!(
            "The meeting is ended. One case is presented now. One stays as it is: {waits} (in preparation)."
        ))
    );
    let stages = async || {
        let mut found = Vec::new();
        for code in [ready, waits, shown] {
            found.push(app.case(code).await.head.stage);
        }
        found
    };
    assert_eq!(stages().await, [Stage::Presented, Stage::InPreparation, Stage::Closed]);
    // Ended once, it is not ended again; it stands among those that were held.
    end_again(&signer, &path).await;
    let page = signer.get("/conferences").await;
    assert_eq!(page.texts("main h2"), ["Held"]);
    let page = signer.get(&path).await;
    assert!(page.text.contains("Held on ") && !page.links_to(&format!("{path}/cases/new")), "{page}");

    let page = signer.get(&format!("{path}/meeting")).await;
    assert_eq!(page.count("form.small-form"), 0, "{page}");
    let page = signer.follow(&signer.press(&page, "Open the meeting again").await).await;
    assert!(page.notice().unwrap().contains("Cases that were presented stay presented."), "{page}");
    assert!(page.count("form.small-form") > 0);
    assert_eq!(stages().await, [Stage::Presented, Stage::InPreparation, Stage::Closed]);
    let page = signer.follow(&signer.post(&format!("{path}/reopen"), &[]).await).await;
    assert_eq!(page.notice().as_deref(), Some("The meeting is open."));
}

async fn end_again(client: &Client, path: &str) {
    let page = client.get(&format!("{path}/end")).await;
    assert!(page.text.contains("This meeting is ended already."), "{page}");
    client.post(&format!("{path}/end"), &[("base", "x")]).await.expect(StatusCode::CONFLICT);
}

#[tokio::test]
async fn a_meeting_that_is_still_to_come_is_not_ended() {
    let app = TestApp::init().await;
    let signer = app.with_attending().await;
    let answer = signer.post("/conferences", &[("held_on", "2099-06-30"), ("title", "To come")]).await;
    let path = answer.location().to_owned();
    let code = case(&app, "Is ready", Stage::Ready).await;
    signer.post(&format!("{path}/cases"), &[("code", &code.to_string())]).await;
    let page = signer.get(&format!("{path}/end")).await;
    assert!(page.text.contains("The conference is on 30 June 2099."), "{page}");
    assert_eq!(page.count("main form"), 0);
    signer.post(&format!("{path}/end"), &[("base", "x")]).await.expect(StatusCode::CONFLICT);
    assert_eq!(app.case(code).await.head.stage, Stage::Ready);
    let page = signer.get(&format!("{path}/meeting")).await;
    assert!(page.text.contains("The meeting is still to come"), "{page}");
}

#[tokio::test]
async fn what_is_sent_to_a_meeting_that_was_ended_meanwhile_comes_back_as_it_was_typed() {
    let app = TestApp::init().await;
    let (fellow, signer) = (app.with_fellow().await, app.with_attending().await);
    let code = case(&app, "One", Stage::Ready).await;
    let earlier =
        CaseBuilder::new("Earlier").stage(Stage::Closed).action("A clock", "2001-03-01").insert(&app).await;
    let id = app.case(earlier.code).await.actions[0].id;
    let path = conference(&app, &signer, &[code]).await;
    let open = fellow.get(&format!("{path}/meeting")).await;
    end(&signer, &path).await.expect(StatusCode::SEE_OTHER);
    for (address, field, typed) in [
        (format!("cases/{code}"), "notes", "Half a sentence"),
        ("notes".to_owned(), "notes", "Half a sentence"),
        ("attendance".to_owned(), "nurses", "4"),
        (format!("actions/{id}"), "why", "Half a sentence"),
    ] {
        let action = format!("{path}/meeting/{address}");
        let page = fellow.submit(&open, &action, &[(field, typed)]).await;
        page.expect(StatusCode::CONFLICT);
        assert!(page.text.contains("The meeting was ended meanwhile, so nothing is added to it."), "{page}");
        assert!(
            page.form(&action).iter().any(|(name, text)| name == field && text.trim() == typed),
            "{page}"
        );
        assert_eq!(page.count("form.small-form"), 1, "only what was typed can be sent again");
        // Once the meeting is open again, the same page saves it.
        signer.post(&format!("{path}/reopen"), &[]).await.expect(StatusCode::SEE_OTHER);
        if field != "why" {
            fellow.submit(&page, &action, &[]).await.expect(StatusCode::SEE_OTHER);
        }
        end(&signer, &path).await.expect(StatusCode::SEE_OTHER);
    }
    let minutes = signer.get(&format!("{path}/minutes")).await;
    assert!(minutes.text.contains("Half a sentence") && minutes.text.contains("4 people met."), "{minutes}");
}

#[tokio::test]
async fn an_empty_meeting_and_its_minutes_teach() {
    let app = TestApp::init().await;
    let signer = app.with_quality_lead().await;
    let path = conference(&app, &signer, &[]).await;
    let page = signer.get(&format!("{path}/meeting")).await;
    for line in
        ["Nobody is counted yet.", "No action of a presented case is open.", "No case is on the agenda."]
    {
        assert!(page.text.contains(line), "{line}: {page}");
    }
    let minutes = signer.get(&format!("{path}/minutes")).await;
    for line in [
        "Draft: the meeting is not ended.",
        "No cases were on the agenda.",
        "Not recorded: who came, by role",
    ] {
        assert!(minutes.text.contains(line), "{line}: {minutes}");
    }
    let reader = app.with_reader().await;
    for page in ["meeting", "minutes", "minutes/files/markdown", "end"] {
        reader.get(&format!("{path}/{page}")).await.expect(StatusCode::FORBIDDEN);
    }
    for id in ["0", "-1", "abc", "99999999999999999999"] {
        for page in ["meeting", "minutes", "minutes/files/markdown", "end", "edit"] {
            signer.get(&format!("/conferences/{id}/{page}")).await.expect(StatusCode::NOT_FOUND);
        }
    }
}

#[tokio::test]
async fn a_case_holds_no_more_lessons_from_a_meeting_than_its_page_would_take() {
    let app = TestApp::init().await;
    let client = app.with_fellow().await;
    let code = case(&app, "Many", Stage::Ready).await;
    let path = conference(&app, &app.with_attending().await, &[code]).await;
    let most = fill_with_lessons(&app, code).await;
    let typed = [("kind", "prevent"), ("lesson", "One more")];
    let page = send(&client, &path, &format!("cases/{code}"), &typed).await;
    page.expect(StatusCode::UNPROCESSABLE_ENTITY);
    assert_eq!(app.case(code).await.lessons.len(), most);
    assert!(!page.errors().is_empty(), "{page}");
}

/// Fills a case with as many lessons as it takes, and gives the number.
async fn fill_with_lessons(app: &TestApp, code: CaseCode) -> usize {
    use relook::case::store::{self, RowValue};
    use relook::case::{Lesson, check};
    let lesson = Lesson {
        kind: of("prevent"),
        text: of("Again"),
        event: None,
        decision: None,
        reference: None,
        recurring: None,
        signed_by: None,
        signed_on: None,
    };
    let mut full = app.case(code).await.to_case();
    let mut most = 0;
    loop {
        full.lessons.push(lesson.clone());
        if !check(&full, &app.app.vocabulary()).is_empty() {
            break;
        }
        most += 1;
        assert!(most < 1_000, "no limit of lessons was met");
    }
    let id = app.case(code).await.id;
    let mut tx = app.app.database.write().await.unwrap();
    for _ in 0..most {
        store::insert_row(&mut tx, id, &RowValue::Lesson(lesson.clone()), app.app.now()).await.unwrap();
    }
    tx.commit().await.unwrap();
    most
}

#[tokio::test]
async fn what_the_room_answered_stands_in_the_minutes() {
    let app = TestApp::init().await;
    let code = CaseBuilder::new("Asked").complete().stage(Stage::Ready).insert(&app).await.code;
    let attending = app.with_attending().await;
    let path = conference(&app, &attending, &[code]).await;
    for (phase, hands) in [("before", [3, 9]), ("after", [10, 2])] {
        let opened = attending.post(&format!("/cases/{code}/points/d1/polls"), &[("phase", phase)]).await;
        opened.expect(StatusCode::CREATED);
        let poll: serde_json::Value = serde_json::from_str(&opened.html).unwrap();
        let poll = poll["code"].as_str().unwrap();
        let [one, two] = hands.map(|count: i32| count.to_string());
        attending
            .post(&format!("/polls/{poll}/hands"), &[("1", &one), ("2", &two)])
            .await
            .expect(StatusCode::OK);
    }
    let text = attending.get(&format!("{path}/minutes/files/markdown")).await.html;
    let told = "Before: 3 of 12 “A drug”, 9 “A second wire”. After: 10 of 12 “A drug”, 2 “A second wire”.";
    assert!(text.contains(told), "{text}");
}
