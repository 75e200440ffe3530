//! A pasted log: read into offsets, looked over, saved as events; its clock is kept nowhere.

use std::fs;

use crate::support::{CaseBuilder, Client, Page, StatusCode, TestApp};

/// Clock times that nothing else on a page or in a database looks like.
const LOG: &str = "\
13:37 Guide engaged\n\
13:41\tWire advanced to the distal vessel\n\
13:52 Stent deployed, called at 13:47\n\
14:03:19 No flow past the stent\n  seen in two views\n\
14:19 TIMI 3 restored";
const CLOCKS: [&str; 8] = ["13:37", "13:41", "13:52", "13:47", "14:03:19", "14:03", "14:19", "13%3A37"];

async fn paste(client: &Client, path: &str, log: &str, zero: &str) -> Page {
    let form = client.get(&format!("{path}/timeline/log")).await;
    client.submit(&form, &format!("{path}/timeline/log"), &[("log", log), ("log_zero", zero)]).await
}

#[tokio::test]
async fn a_log_becomes_events_at_offsets_in_one_revision() {
    let app = TestApp::init().await;
    let case = CaseBuilder::new("A stent closed a vessel").time_zero("the stent goes in").insert(&app).await;
    let path = format!("/cases/{}", case.code);
    let fellow = app.with_fellow().await;
    assert!(fellow.get(&format!("{path}/timeline")).await.links_to(&format!("{path}/timeline/log")));
    let form = fellow.get(&format!("{path}/timeline/log")).await;
    assert!(form.html.contains("Time zero of this case: the stent goes in."), "{form}");
    let rows = paste(&fellow, &path, LOG, "13:52").await;
    rows.expect(StatusCode::OK);
    assert_eq!(rows.values("at-1"), ["−15:00"]);
    assert_eq!(rows.values("at-3"), ["+0:00"]);
    assert_eq!(rows.values("at-4"), ["+11:19"]);
    assert_eq!(rows.values("kind-3"), ["stent"]);
    assert!(rows.html.contains("Stent deployed, called at −5 min"), "{rows}");
    assert!(rows.html.contains("No flow past the stent seen in two views"), "{rows}");
    let revisions = |page: Page| page.count("main a[href*='/history/']");
    let before = revisions(fellow.get(&format!("{path}/history")).await);
    let saved = fellow
        .submit(
            &rows,
            &format!("{path}/timeline/log/events"),
            &[("kind-4", "flow"), ("text-1", "Guide in place")],
        )
        .await;
    saved.expect(StatusCode::SEE_OTHER);
    let page = fellow.follow(&saved).await;
    assert!(page.notice().unwrap().starts_with("Saved 5 events from the log"), "{:?}", page.notice());
    assert_eq!(page.undo(), None);
    let events = app.case(case.code).await.events;
    let at: Vec<i64> = events.iter().map(|row| row.value.at.seconds()).collect();
    assert_eq!(at, [-900, -660, 0, 679, 1620]);
    let keys: std::collections::BTreeSet<String> =
        events.iter().map(|row| row.value.key.to_string()).collect();
    assert_eq!(keys.len(), 5);
    assert_eq!(events[0].value.text.as_ref().unwrap().as_str(), "Guide in place");
    assert_eq!(revisions(fellow.get(&format!("{path}/history")).await), before + 1);
}

#[tokio::test]
async fn no_clock_time_of_the_log_is_kept_anywhere() {
    let app = TestApp::init().await;
    let case = CaseBuilder::new("A stent closed a vessel").insert(&app).await;
    let path = format!("/cases/{}", case.code);
    let fellow = app.with_fellow().await;
    // A mistake first, then a draft of it, then the whole way.
    paste(&fellow, &path, LOG, "25:99").await.expect(StatusCode::UNPROCESSABLE_ENTITY);
    let action = format!("{path}/timeline/log");
    for (action, fields) in [
        (action.clone(), "log=13%3A37+Guide&log_zero=13%3A52"),
        (format!("{path}/narrative"), "log=13%3A37+Guide"),
        (format!("{path}/events"), "at=13%3A41&clock_zero=13%3A37"),
    ] {
        let draft = [("action", action.as_str()), ("page", &path), ("title", "x"), ("fields", fields)];
        fellow.post("/drafts", &draft).await.expect(StatusCode::BAD_REQUEST);
    }
    let rows = paste(&fellow, &path, LOG, "13:52").await;
    for clock in CLOCKS {
        assert!(!rows.html.contains(clock), "{clock} is on the page of rows");
    }
    fellow
        .submit(&rows, &format!("{path}/timeline/log/events"), &[("kind-4", "flow")])
        .await
        .expect(StatusCode::SEE_OTHER);
    let database = app.database_file();
    let folder = database.parent().unwrap();
    let mut files = 0;
    for file in fs::read_dir(folder).unwrap() {
        let file = file.unwrap().path();
        let Ok(bytes) = fs::read(&file) else { continue };
        files += 1;
        for clock in CLOCKS {
            let held = bytes.windows(clock.len()).any(|window| window == clock.as_bytes());
            assert!(!held, "{clock} in {}", file.display());
        }
    }
    // The database and the log that it writes ahead; what was saved is in one of them.
    assert!(files >= 2, "{files} files beside {}", database.display());
    let held = |name: &str| {
        let bytes = fs::read(database.with_file_name(name)).unwrap_or_default();
        bytes.windows(15).any(|window| window == b"TIMI 3 restored")
    };
    let name = database.file_name().unwrap().to_str().unwrap();
    assert!(held(name) || held(&format!("{name}-wal")), "the events are found where the clocks are not");
}

#[tokio::test]
async fn a_mistake_comes_back_with_what_was_typed() {
    let app = TestApp::init().await;
    let case = CaseBuilder::new("A stent closed a vessel").insert(&app).await;
    let path = format!("/cases/{}", case.code);
    let fellow = app.with_fellow().await;
    for (log, zero, says) in [
        ("", "14:05", "Paste the log"),
        ("no times here", "14:05", "No line here has a clock time"),
        ("14:05 wire", "", "Name time zero by its clock time"),
        ("14:05 wire", "line 7", "Name another line"),
        ("14:05 wire", "2:05", "before or after noon"),
        ("14:05 </textarea><script>zq=1</script>", "\"><script>zq=1</script>", "Name time zero"),
    ] {
        let page = paste(&fellow, &path, log, zero).await;
        page.expect(StatusCode::UNPROCESSABLE_ENTITY);
        assert!(page.html.contains(says), "{says}: {page}");
        assert_eq!(page.values("log"), [log]);
        assert_eq!(page.values("log_zero"), [zero]);
        assert!(!page.html.contains("<script>zq"), "{page}");
        assert_eq!(page.attr("#log", "autocomplete").as_deref(), Some("off"));
        assert_eq!(page.count("form[data-edit] #log"), 0, "the form would be kept as a draft");
    }
    assert!(app.case(case.code).await.events.is_empty());
}

#[tokio::test]
async fn rows_that_cannot_be_saved_come_back_and_none_is_saved() {
    let app = TestApp::init().await;
    let case = CaseBuilder::new("A stent closed a vessel").insert(&app).await;
    let path = format!("/cases/{}", case.code);
    let action = format!("{path}/timeline/log/events");
    let fellow = app.with_fellow().await;
    let rows = paste(
        &fellow,
        &path,
        "Events of the day\n14:05 wire\n14:10 something with K.O.\n14:01 balloon",
        "14:05",
    )
    .await;
    // What has no time is not ticked; what looks like initials and what runs backwards is said.
    assert_eq!(rows.count("#take-1[checked]"), 0);
    assert_eq!(rows.count("#take-2[checked]"), 1);
    assert!(rows.html.contains("No time stands before it"), "{rows}");
    assert!(rows.html.contains("initials"), "{rows}");
    assert!(rows.html.contains("earlier than that of the line before"), "{rows}");
    let typed = [("at-2", "soon"), ("kind-3", ""), ("text-4", "balloon at 14:20")];
    let page = fellow.submit(&rows, &action, &typed).await;
    page.expect(StatusCode::UNPROCESSABLE_ENTITY);
    assert!(
        page.html.contains("is not a time from time zero") && page.html.contains("Choose a kind."),
        "{page}"
    );
    assert!(page.html.contains("A clock time stands in these words"), "{page}");
    assert_eq!(page.values("at-2"), ["soon"]);
    assert!(page.html.contains("earlier than that of the line before"), "the notes stay");
    let none = fellow.post(&action, &[("rows", "2"), ("text-1", "x")]).await;
    none.expect(StatusCode::UNPROCESSABLE_ENTITY);
    assert!(none.html.contains("Tick at least one row"), "{none}");
    for rows in ["", "0", "151", "x", "99999999999999999999"] {
        fellow.post(&action, &[("rows", rows)]).await.expect(StatusCode::BAD_REQUEST);
    }
    assert!(app.case(case.code).await.events.is_empty());
}

#[tokio::test]
async fn the_timeline_names_rows_whose_words_hold_a_clock_time() {
    let app = TestApp::init().await;
    let case = CaseBuilder::new("A stent closed a vessel")
        .event("+0:00", "stent", "Stent 3.0 x 28 mm at 14 atm")
        .event("+5:00", "help", "Surgeon called at 14:20")
        .insert(&app)
        .await;
    let page = app.with_fellow().await.get(&format!("/cases/{}/timeline", case.code)).await;
    assert!(page.html.contains("Row 2 holds a clock time in its words."), "{page}");
}
