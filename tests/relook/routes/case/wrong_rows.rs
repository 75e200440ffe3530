//! Wrong input in the forms of a case's lists, as a new row and over a row that is there.

use super::wrong::{Field, Form, Kind, Wrong, together};
use crate::support::{CaseBuilder, Client, StatusCode, TestApp};

use Kind::{Chosen, Typed};

type Good = Vec<(&'static str, &'static str, Kind)>;

/// The address of the first row's form in a list, from the page of the case.
pub async fn first_edit(client: &Client, path: &str, list: &str) -> String {
    let page = client.get(path).await;
    let start = format!("{path}/{list}/");
    page.attr(&format!("a[href^='{start}'][href$='/edit']"), "href")
        .unwrap_or_else(|| panic!("{page}: nothing to edit under {list}"))
}

/// Sends a table of wrong input as a new row and over the first row that is there.
async fn list_refuses(list: &str, good: Good, table: fn() -> Vec<Wrong>) {
    let app = TestApp::init().await;
    let case = CaseBuilder::new("Edge dissection")
        .complete()
        .action("A second wire in the room", "2026-09-01")
        .insert(&app)
        .await;
    let client = app.with_attending().await;
    let path = format!("/cases/{}", case.code);
    let new = Form { path: format!("{path}/{list}"), good: good.clone(), hidden: Vec::new() };
    new.refuses(&app, &client, table()).await;

    let edit = first_edit(&client, &path, list).await;
    let opened = client.get(&edit).await;
    opened.expect(StatusCode::OK);
    let over = Form {
        path: edit.trim_end_matches("/edit").to_owned(),
        good,
        hidden: vec![("base", opened.value("base"))],
    };
    over.refuses(&app, &client, table()).await;
}

#[tokio::test]
async fn an_event_refuses_what_is_wrong_and_keeps_what_was_typed() {
    let good = vec![
        ("at", "+12:30", Typed),
        ("sure", "within 5 min", Chosen),
        ("kind", "flow", Chosen),
        ("text", "No flow past the bend", Typed),
        ("segment", "lad-mid", Chosen),
        ("flow", "0", Chosen),
        ("pressure", "92/54", Typed),
        ("heart_rate", "104", Typed),
        ("device", "microcatheter", Chosen),
    ];
    list_refuses("events", good, || {
        let pressures = [
            "92",
            "92/",
            "/54",
            "54/92",
            "301/50",
            "-1/0",
            "a/b",
            "92/54/30",
            "92\\54",
            "9,2/5,4",
            "92 over 54",
            "٩٢/٥٤",
            "//",
            "65536/0",
            "99999999999/1",
            "<b>92/54</b>",
        ];
        together([
            times(),
            Field("sure").wrong(
                "does not say how sure a time is",
                &["quite", "within", "within x min", "within 5", "WITHIN 5 MIN"],
            ),
            Field("sure").wrong(
                "An estimate is within 1 to 240 minutes",
                &["within 0 min", "within 241 min", "within 999 min"],
            ),
            Field("kind").missing("Choose a kind."),
            Field("kind").word("a kind of event"),
            Field("text").text(2_000),
            Field("segment").word("a coronary segment"),
            Field("segment").missing("Say where the flow was seen."),
            Field("flow")
                .wrong("A TIMI flow grade is", &["4", "-1", "TIMI", "x", "3.5", "TIMI 4", "33", "٣", "<0>"]),
            Field("pressure").wrong("A pressure is", &pressures),
            Field("heart_rate").whole_number("A heart rate is"),
            Field("heart_rate").wrong("A heart rate is", &["301", "60/min"]),
            Field("device").word("a device class"),
        ])
    })
    .await;
}

/// What the time of an event cannot be: other forms, and more than 14 days away.
fn times() -> Vec<Wrong> {
    let long = "1".repeat(300);
    let unread = [
        "soon",
        "12:75",
        "1h90",
        "12:5",
        "1:2:3",
        "--3",
        "+",
        "-",
        "+-3",
        "12;30",
        "½",
        "12 parsecs",
        "1:60:00",
        "12:30:61",
        "h",
        "1h 1h",
        "5 min 1 h",
        "12.5",
        "1,5",
        "0x10",
        "NaN",
        "٣",
        "12:30 pm",
        "<i>12</i>",
        "12\0",
        "1:2:3:4",
        "999999",
        &long,
    ];
    let beyond = ["15 d", "20161", "-20161", "337:00:00", "400h", "99999"];
    together([
        Field("at").wrong("is not a time from time zero", &unread),
        Field("at").wrong("within 14 days of time zero", &beyond),
        Field("at").wrong("is not a time from time zero", &["12\u{fffd}"]),
    ])
}

#[tokio::test]
async fn a_lesion_refuses_what_is_wrong_and_keeps_what_was_typed() {
    let good = vec![
        ("segment", "lcx-distal", Chosen),
        ("calcification", "severe", Chosen),
        ("tortuosity", "mild", Chosen),
        ("medina", "1,1,1", Chosen),
        ("length_mm", "24", Typed),
        ("reference_mm", "2.75", Typed),
    ];
    list_refuses("lesions", good, || {
        let lengths = [
            "0", "0.4", "200.01", "201", "-3", "3.005", "long", "1e1", "3..5", "3.5.5", ".5", "3 mm", "٣",
            "99999", "NaN", "½", "<b>",
        ];
        together([
            Field("segment").missing("Say in which segment the lesion is."),
            Field("segment").word("a coronary segment"),
            Field("calcification").word("an extent"),
            Field("tortuosity").word("an extent"),
            Field("medina").wrong(
                "A Medina class is",
                &["0,0,0", "1,1", "1,1,2", "111", "1;1;1", "yes", "1,1,1,1", "-1,1,1"],
            ),
            Field("length_mm").wrong("A length is", &lengths),
            Field("length_mm").wrong("A lesion's length is 1 to 200 mm", &["0.5", "0.99"]),
            Field("reference_mm").wrong("A length is", &lengths),
            Field("reference_mm").wrong("A reference diameter is 0.5 to 8 mm", &["8.01", "24", "200"]),
        ])
    })
    .await;
}

#[tokio::test]
async fn a_complication_refuses_what_is_wrong_and_keeps_what_was_typed() {
    let good = vec![
        ("mechanism", "branch-jailed", Chosen),
        ("segment", "diagonal-1", Chosen),
        ("began", "e4", Chosen),
        ("recognised", "e5", Chosen),
        ("controlled", "e8", Chosen),
        ("dissection", "C", Chosen),
        ("perforation", "II", Chosen),
        ("worst_flow", "1", Chosen),
        ("consequence_of", "", Chosen),
    ];
    list_refuses("complications", good, || {
        let mechanism = Field("mechanism");
        together([
            mechanism.missing("Choose a mechanism"),
            mechanism.wrong("There is no mechanism", &["no-such-leaf", "wire", "stent-edge-disection"]),
            mechanism.wrong("Did you mean “stent-edge-dissection”?", &["stent-edge-disection"]),
            mechanism.wrong("A slug is", &["Flow", "x", "a--b", "flow no reflow"]),
            mechanism.wrong("only contributes to a harm", &["proc-plan", "pt-anatomy"]),
            Field("segment").word("a coronary segment"),
            Field("began").event_key(),
            Field("recognised").event_key(),
            Field("controlled").event_key(),
            Field("dissection").word("a dissection type"),
            Field("perforation").word("a perforation grade"),
            Field("worst_flow").wrong("A TIMI flow grade is", &["4", "-1", "none", "0.5"]),
            Field("consequence_of").wrong("No complication of this case has the key", &["c9", "e1"]),
            Field("consequence_of").wrong("A key is", &["C1", "the first one"]),
        ])
    })
    .await;
}

#[tokio::test]
async fn a_cause_refuses_what_is_wrong_and_keeps_what_was_typed() {
    let good = vec![
        ("cause", "th-fixation", Chosen),
        ("statement", "Because all looked at the wire, nobody looked at the pressure.", Typed),
        ("shown_by", "e5", Chosen),
    ];
    list_refuses("causes", good, || {
        let cause = Field("cause");
        together([
            cause.missing("Choose a contributing factor."),
            cause.wrong("There is no cause", &["no-such-leaf", "thinking", "th-fixatoin"]),
            cause.wrong("Did you mean “th-fixation”?", &["th-fixatoin"]),
            cause.wrong(
                "A slug is",
                &["Fixation", "x", "a--b", "th fixation", "<script>alert(1)</script>", "ünd", "a-"],
            ),
            cause.broken_bytes(),
            Field("statement").missing("Say in a sentence how it led to what happened."),
            Field("statement").text(2_000),
            Field("shown_by").event_key(),
        ])
    })
    .await;
}

#[tokio::test]
async fn a_lesson_refuses_what_is_wrong_and_keeps_what_was_typed() {
    let good = vec![
        ("kind", "recognise", Chosen),
        ("text", "Look at the pressure after every balloon.", Typed),
        ("event", "e5", Chosen),
    ];
    list_refuses("lessons", good, || {
        together([
            Field("kind").missing("Say what the lesson helps to do."),
            Field("kind").word("a kind of lesson"),
            Field("text").missing("Write the lesson."),
            Field("text").text(2_000),
            Field("event").event_key(),
        ])
    })
    .await;
}

#[tokio::test]
async fn a_decision_refuses_what_is_wrong_and_keeps_what_was_typed() {
    let good = vec![
        ("at", "+2:30", Typed),
        ("question", "Flow is gone and the wire is in. What next?", Typed),
        ("option-1", "A second wire", Typed),
        ("for-1", "The branch is still there.\nThe wire is open on the table.", Typed),
        ("against-1", "It takes minutes.", Typed),
        ("option-2", "A balloon at once", Typed),
        ("chosen", "2", Chosen),
        ("chosen_by", "first operator", Typed),
        ("followed", "Flow came back at four minutes.", Typed),
    ];
    list_refuses("decisions", good, || {
        together([
            Field("at").missing("Say when it was: what was known by then depends on it."),
            Field("question").missing("Write the question as it stood."),
            Field("question").text(600),
            Field("option-1").text(300),
            Field("chosen").wrong("Option 3 is empty.", &["3"]),
            Field("chosen").wrong("The number of an option is 1 to 6.", &["0", "7", "two"]),
            Field("chosen_by").text(120),
            Field("followed").text(2_000),
        ])
    })
    .await;
}

#[tokio::test]
async fn an_action_refuses_what_is_wrong_and_keeps_what_was_typed() {
    let good = vec![
        ("what", "A dual-lumen catheter in every bifurcation set", Typed),
        ("owner", "cath-lab lead nurse", Typed),
        ("due", "2026-12-01", Typed),
        ("kind", "forcing-function", Chosen),
        ("target", "20 of 20", Typed),
        ("measure", "Of 20 sets opened in a month, all hold one.", Typed),
        ("state", "open", Chosen),
    ];
    list_refuses("actions", good, || {
        let days = [
            "2026-02-30",
            "2026-6-1",
            "30.06.2026",
            "2026-13-01",
            "1989-12-31",
            "2101-01-01",
            "tomorrow",
            "2026-06-30T00:00",
            "20260630",
            "2026-06-3x",
            "２０２６-06-30",
            "2025-02-29",
            "0000-00-00",
            "-026-06-30",
            "2026/06/30",
            "2026-06",
        ];
        together([
            Field("what").missing("Say what will be different."),
            Field("what").text(600),
            Field("owner").missing("Say which role owns it."),
            Field("owner").text(120),
            Field("due").missing("Say when it is due."),
            Field("due").wrong("A day is", &days),
            Field("due").broken_bytes(),
            Field("kind").missing("Say what sort of change it is."),
            Field("target").text(120),
            Field("kind").word("a kind of action"),
            Field("measure").text(600),
            Field("state").word("a state of an action"),
        ])
    })
    .await;
}
