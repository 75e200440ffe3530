//! How the time of an event is typed: from time zero, or on the clock when that of time zero is
//! given, which is kept nowhere.

use crate::support::{CaseBuilder, Client, Page, Placed, StatusCode, TestApp};

async fn bare_case() -> (TestApp, Placed, Client) {
    let app = TestApp::init().await;
    let case = CaseBuilder::new("Timed").insert(&app).await;
    let client = app.with_fellow().await;
    (app, case, client)
}

async fn add(client: &Client, case: Placed, fields: &[(&str, &str)]) -> Page {
    let all: Vec<(&str, &str)> = fields.iter().copied().chain([("kind", "finding")]).collect();
    client.post(&format!("/cases/{}/events", case.code), &all).await
}

/// The offset in seconds of the only event, when this is typed.
async fn seconds(fields: &[(&str, &str)]) -> i64 {
    let (app, case, client) = bare_case().await;
    let answer = add(&client, case, fields).await;
    answer.expect(StatusCode::SEE_OTHER);
    app.case(case.code).await.events[0].value.at.seconds()
}

#[tokio::test]
async fn a_time_is_typed_as_it_is_said() {
    for (typed, expected) in [
        ("+12", 720),
        ("12", 720),
        ("12:30", 750),
        ("+12:30", 750),
        ("1h05", 3_900),
        ("1:05:00", 3_900),
        ("1 h 5 min", 3_900),
        ("-3", -180),
        ("−3:00", -180),
        ("–3", -180),
        ("45 s", 45),
        ("2 d", 172_800),
        ("0", 0),
        (" 90 ", 5_400),
    ] {
        assert_eq!(seconds(&[("at", typed)]).await, expected, "{typed}");
    }
}

#[tokio::test]
async fn with_the_clock_time_of_time_zero_a_time_is_read_on_the_clock() {
    for (zero, typed, expected) in [
        ("14:05", "14:17", 720),
        ("14:05", "14:05:30", 30),
        ("14:05", "13:50", -900),
        ("14:05", "14.17", 720),
        // Across midnight, either way.
        ("23:50", "00:10", 1_200),
        ("23:50", "3:20", 12_600),
        ("00:10", "23:50", -1_200),
        // A sign, or a number without a colon, is still counted from time zero.
        ("14:05", "+12:30", 750),
        ("14:05", "-3:00", -180),
        ("14:05", "12", 720),
        ("14:05", "1h05", 3_900),
    ] {
        assert_eq!(
            seconds(&[("clock_zero", zero), ("at", typed)]).await,
            expected,
            "{typed} with time zero at {zero}"
        );
    }
}

#[tokio::test]
async fn a_clock_time_that_is_none_is_told_and_not_read_as_minutes() {
    let (app, case, client) = bare_case().await;
    for (zero, typed, field) in [
        ("14:05", "25:10", "at"),
        ("14:05", "24:00", "at"),
        ("14:65", "14:10", "clock_zero"),
        ("noon", "12:10", "clock_zero"),
    ] {
        let page = add(&client, case, &[("clock_zero", zero), ("at", typed)]).await;
        page.expect(StatusCode::UNPROCESSABLE_ENTITY);
        assert!(page.text.contains("is not a time of day"), "{typed} with {zero}: {page}");
        assert_eq!((page.value("clock_zero"), page.value("at")), (zero.to_owned(), typed.to_owned()));
        assert!(page.count(&format!("[name='{field}'][aria-invalid='true']")) == 1, "{field} is not marked");
    }
    assert!(app.case(case.code).await.events.is_empty());
}

/// A text without moments, as `2026-11-29T04:57:13.5Z`, and digests: when a row was written, and what it was sealed
/// with, may hold the digits of any clock time.
fn without_moments_and_digests(text: &str) -> String {
    let is_digit = |c: char| c.is_ascii_digit();
    let is_hex = |c: char| c.is_ascii_digit() || ('a'..='f').contains(&c);
    let mut kept = String::new();
    let mut rest = text;
    while let Some(first) = rest.chars().next() {
        let hex = rest.find(|c| !is_hex(c)).unwrap_or(rest.len());
        let clock = rest.strip_prefix('T').filter(|_| kept.ends_with(is_digit));
        let after = clock.map(|clock| clock.trim_start_matches(|c| is_digit(c) || ":.".contains(c)));
        if let Some(after) = after.filter(|after| after.starts_with('Z')) {
            rest = after;
        } else if hex >= 32 {
            rest = &rest[hex..];
        } else {
            let end = if hex > 0 { hex } else { first.len_utf8() };
            kept.push_str(&rest[..end]);
            rest = &rest[end..];
        }
    }
    kept
}

#[test]
fn moments_and_digests_are_left_out_of_what_is_searched_and_a_clock_time_is_not() {
    let digest = "17833".repeat(7);
    let kept =
        without_moments_and_digests(&format!("é 2026-11-29T04:57:13.5Z{digest}, T 04:57 5T05:09; 17833"));
    assert_eq!(kept, "é 2026-11-29Z, T 04:57 5T05:09; 17833");
}

#[tokio::test]
async fn the_clock_time_is_stored_nowhere() {
    let (app, case, client) = bare_case().await;
    for (zero, typed) in [("04:57:13", "05:09:43"), ("04:57:13", "04:31:02")] {
        let fields = [("clock_zero", zero), ("at", typed), ("text", "Perlmutter gap seen")];
        add(&client, case, &fields).await.expect(StatusCode::SEE_OTHER);
    }
    let offsets: Vec<i64> =
        app.case(case.code).await.events.iter().map(|row| row.value.at.seconds()).collect();
    assert_eq!(offsets, [-1_571, 750]);

    let kept = without_moments_and_digests(&String::from_utf8_lossy(&app.file_bytes()));
    // The search can find what is stored: the text of the event is there.
    assert!(kept.contains("Perlmutter gap seen"));
    for clock in ["04:57", "4:57:13", "045713", "05:09", "04:31", "17833"] {
        assert!(!kept.contains(clock), "{clock} stands in the database file");
    }
    let page = client.get(&format!("/cases/{}/timeline", case.code)).await;
    assert!(!page.html.contains("04:57") && !page.html.contains("05:09"), "a page shows the clock");
}

#[tokio::test]
async fn an_empty_time_means_that_only_the_order_is_known() {
    let (app, case, client) = bare_case().await;
    add(&client, case, &[("at", "+12:30"), ("text", "first")]).await.expect(StatusCode::SEE_OTHER);
    add(&client, case, &[("at", ""), ("text", "then")]).await.expect(StatusCode::SEE_OTHER);
    let stored = app.case(case.code).await;
    assert_eq!(stored.events[1].value.time.to_string(), "order only");
    let page = client.get(&format!("/cases/{}/timeline", case.code)).await;
    assert!(page.texts("#event-2 .c-time")[0].contains("order only"), "{page}");
}

#[tokio::test]
async fn an_uncertain_time_shows_how_uncertain_it_is() {
    let (_app, case, client) = bare_case().await;
    let fields = [("at", "+12:30"), ("sure", "within 5 min"), ("text", "Pain")];
    let answer = add(&client, case, &fields).await;
    let page = client.follow(&answer).await;
    let time = &page.texts("#event-1 .c-time")[0];
    assert!(time.contains('≈') && time.contains("+12:30") && time.contains("5 min"), "{time}");
}

#[tokio::test]
async fn rows_stand_in_order_of_time_whatever_the_order_of_typing() {
    let (_app, case, client) = bare_case().await;
    for (at, text) in [("+30", "third"), ("-2", "first"), ("+12:30", "second"), ("1h05", "fourth")] {
        add(&client, case, &[("at", at), ("text", text)]).await.expect(StatusCode::SEE_OTHER);
    }
    let page = client.get(&format!("/cases/{}/timeline", case.code)).await;
    assert_eq!(page.texts("tr[id^='event-'] .c-text"), ["first", "second", "third", "fourth"]);
    assert_eq!(page.texts("tr[id^='event-'] .c-time"), ["−2:00", "+12:30", "+30:00", "+1:05:00"]);
    assert_eq!(page.count("svg"), 2, "the drawing and the shapes of its marks");
}

#[tokio::test]
async fn a_row_that_was_added_leads_back_to_the_next_one() {
    let (_app, case, client) = bare_case().await;
    let answer = add(&client, case, &[("at", "+1")]).await;
    assert_eq!(answer.location(), format!("/cases/{}/timeline#add-event", case.code));
    let page = client.follow(&answer).await;
    assert_eq!(page.count("input[name='at'][autofocus]"), 1);
    assert_eq!(page.texts("#add-event .c-number"), ["2"]);
}
