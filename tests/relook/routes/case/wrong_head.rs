//! Wrong input in the first entry and in the forms of a case's head.

use super::wrong::{Field, Form, Kind, together};
use crate::support::{CaseBuilder, StatusCode, TestApp};

use Kind::{Chosen, Typed};

/// An application with a case that holds everything, and the address of the case.
async fn with_a_case() -> (TestApp, String) {
    let app = TestApp::init().await;
    let case = CaseBuilder::new("Edge dissection").complete().insert(&app).await;
    (app, format!("/cases/{}", case.code))
}

/// Sends a table of wrong input to a part of the head, as the form that was just opened.
async fn head_refuses(
    slug: &str,
    good: Vec<(&'static str, &'static str, Kind)>,
    table: Vec<super::wrong::Wrong>,
) {
    let (app, path) = with_a_case().await;
    let client = app.with_fellow().await;
    let opened = client.get(&format!("{path}/{slug}/edit")).await;
    opened.expect(StatusCode::OK);
    let form = Form { path: format!("{path}/{slug}"), good, hidden: vec![("base", opened.value("base"))] };
    form.refuses(&app, &client, table).await;
}

#[tokio::test]
async fn the_first_entry_refuses_what_is_wrong_and_keeps_what_was_typed() {
    let app = TestApp::init().await;
    let client = app.with_fellow().await;
    let form = Form {
        path: "/record".to_owned(),
        good: vec![
            ("month", "2026-01", Typed),
            ("mechanism", "flow-no-reflow", Chosen),
            ("situation", "After the stent the flow was gone.", Typed),
        ],
        hidden: Vec::new(),
    };
    let mechanism = Field("mechanism");
    let table = together([
        Field("month").month(),
        Field("month").missing("Say in which month it was."),
        Field("month").wrong("still to come", &["2100-12", "2099-01"]),
        mechanism.missing("Choose what happened"),
        mechanism.wrong("There is no mechanism", &["no-such-leaf", "wire", "flow", "drop-table-cases"]),
        mechanism
            .wrong("A slug is", &["No-reflow", "a", "flow--no", "-flow", "flow-", "no reflow", "<b>", "été"]),
        mechanism.wrong("only contributes to a harm", &["proc-plan", "pt-anatomy"]),
        mechanism.broken_bytes(),
        Field("situation").missing("Say in a sentence or two what happened."),
        Field("situation").text(600),
    ]);
    form.refuses(&app, &client, table).await;
}

#[tokio::test]
async fn the_situation_refuses_what_is_wrong_and_keeps_what_was_typed() {
    let good = vec![
        ("title", "Another title", Typed),
        ("month", "2025-11", Typed),
        ("situation", "Another situation.", Typed),
        ("time_zero", "first balloon", Typed),
    ];
    let table = together([
        Field("title").missing("Say in a line what happened."),
        Field("title").text(160),
        Field("month").month(),
        Field("month").missing("Say in which month it was."),
        Field("month").wrong("still to come", &["2100-12"]),
        Field("situation").text(600),
        Field("time_zero").text(120),
    ]);
    head_refuses("situation", good, table).await;
}

#[tokio::test]
async fn the_narrative_refuses_what_is_wrong_and_keeps_what_was_typed() {
    head_refuses("narrative", vec![("narrative", "Another story.", Typed)], Field("narrative").text(20_000))
        .await;
}

#[tokio::test]
async fn the_patient_refuses_what_is_wrong_and_keeps_what_was_typed() {
    let good = vec![
        ("age", "71", Typed),
        ("sex", "male", Chosen),
        ("presentation", "nstemi", Chosen),
        ("history", "diabetes\nearlier PCI of the RCA", Typed),
        ("egfr", "54", Typed),
        ("weight_kg", "81", Typed),
    ];
    let lines = |number: usize| "diabetes\n".repeat(number);
    let table = together([
        Field("age").whole_number("An age is"),
        Field("age").wrong("An age is", &["17", "0", "121", "-70", "ninety or older"]),
        Field("sex").word("a sex"),
        Field("presentation").word("a presentation"),
        Field("history").wrong("At most 20 lines", &[&lines(21), &lines(400)]),
        Field("history").text(120),
        Field("egfr").whole_number("An eGFR is"),
        Field("egfr").wrong("An eGFR is", &["0", "201"]),
        Field("weight_kg").whole_number("A weight is"),
        Field("weight_kg").wrong("A weight is", &["24", "301", "80kg"]),
    ]);
    head_refuses("patient", good, table).await;
}

#[tokio::test]
async fn the_procedure_refuses_what_is_wrong_and_keeps_what_was_typed() {
    let good = vec![
        ("access", "femoral", Chosen),
        ("urgency", "urgent", Chosen),
        ("strategy", "One stent, provisional.", Typed),
    ];
    let table = together([
        Field("access").word("an access"),
        Field("access").wrong("is not an access", &["jugular", "radial,femoral", "radial femoral"]),
        Field("urgency").word("an urgency"),
        Field("urgency").wrong("is not an urgency", &["soon", "stat"]),
        Field("strategy").text(600),
    ]);
    head_refuses("procedure", good, table).await;
}

#[tokio::test]
async fn the_outcome_refuses_what_is_wrong_and_keeps_what_was_typed() {
    let good = vec![("discharge", "Home after three days.", Typed), ("harm", "mild", Chosen)];
    let table = together([
        Field("discharge").text(600),
        Field("harm").word("a degree of harm"),
        Field("harm").wrong(
            "is not a degree of harm",
            &["5", "-1", "fatal", "Mild", "mild moderate", "0", "null", "undefined"],
        ),
        Field("harm").broken_bytes(),
        Field("harm").wrong("is not a degree of harm", &["mild\0", "mild\u{200b}", "１", "none none"]),
    ]);
    head_refuses("outcome", good, table).await;
}

#[tokio::test]
async fn a_form_of_the_head_that_arrives_empty_takes_nothing_away() {
    let (app, path) = with_a_case().await;
    let client = app.with_fellow().await;
    let before = client.get(&path).await.text;
    for (slug, status) in [
        ("situation", StatusCode::UNPROCESSABLE_ENTITY),
        ("narrative", StatusCode::CONFLICT),
        ("patient", StatusCode::CONFLICT),
        ("procedure", StatusCode::CONFLICT),
        ("outcome", StatusCode::CONFLICT),
    ] {
        client.post(&format!("{path}/{slug}"), &[]).await.expect(status);
    }
    assert_eq!(client.get(&path).await.text, before);
}

#[tokio::test]
async fn a_form_that_is_too_large_is_refused_with_a_sentence() {
    let (app, path) = with_a_case().await;
    let client = app.with_fellow().await;
    let story = "x".repeat(600 * 1024);
    for address in ["/record".to_owned(), format!("{path}/narrative"), format!("{path}/events")] {
        let page = client.post(&address, &[("narrative", &story)]).await;
        page.expect(StatusCode::BAD_REQUEST);
        assert!(page.text.contains("larger than half a megabyte"), "{page}");
    }
}

#[tokio::test]
async fn a_body_that_is_no_form_is_read_as_an_empty_one() {
    let (app, path) = with_a_case().await;
    let client = app.with_fellow().await;
    let bodies: [(&str, &[u8]); 4] = [
        ("application/json", b"{\"title\": \"x\"}"),
        (
            "multipart/form-data; boundary=b",
            b"--b\r\ncontent-disposition: form-data; name=title\r\n\r\nx\r\n--b--",
        ),
        ("application/x-www-form-urlencoded", b"&&&==%&%zz=%f&"),
        ("application/octet-stream", &[0, 255, 254, 1]),
    ];
    for (kind, body) in bodies {
        for address in [
            "/record".to_owned(),
            format!("{path}/situation"),
            format!("{path}/events"),
            format!("{path}/lessons"),
        ] {
            let page = client.post_body(&address, kind, body.to_vec()).await;
            page.expect(StatusCode::UNPROCESSABLE_ENTITY);
        }
    }
}

#[tokio::test]
async fn an_address_that_names_no_case_or_row_is_answered_with_a_page() {
    let (app, path) = with_a_case().await;
    let client = app.with_fellow().await;
    for (address, status) in [
        ("/cases/2026-999".to_owned(), StatusCode::NOT_FOUND),
        ("/cases/26-1".to_owned(), StatusCode::NOT_FOUND),
        ("/cases/2026-0001".to_owned(), StatusCode::NOT_FOUND),
        ("/cases/%3Cscript%3E".to_owned(), StatusCode::NOT_FOUND),
        ("/cases/2026-001%00".to_owned(), StatusCode::NOT_FOUND),
        ("/cases/%FF%FE".to_owned(), StatusCode::BAD_REQUEST),
        (format!("{path}/events/0/edit"), StatusCode::NOT_FOUND),
        (format!("{path}/events/-1/edit"), StatusCode::NOT_FOUND),
        (format!("{path}/events/abc/edit"), StatusCode::BAD_REQUEST),
        (format!("{path}/events/99999999999999999999/edit"), StatusCode::BAD_REQUEST),
        (format!("{path}/nothing/1/edit"), StatusCode::NOT_FOUND),
    ] {
        let page = client.get(&address).await;
        page.expect(status);
        assert!(
            page.has_heading("There is no page here") || page.has_heading("This request cannot be read"),
            "{page}"
        );
        assert!(page.links_to("/"), "{page}: leads nowhere");
    }
    let mistaken = client.post(&path, &[]).await;
    mistaken.expect(StatusCode::METHOD_NOT_ALLOWED);
    assert_eq!(mistaken.heading(), "This address is not used that way");
}
