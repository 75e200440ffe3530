//! The walk: nothing of what came after an unanswered stop stands on any of its pages, for anybody, at
//! any address; answers are kept for each account alone.

use relook::case::{Case, CaseCode, Decision, DecisionOption, Lesson, LessonKind, Stage};

use crate::support::{CaseBuilder, Client, Page, Role, StatusCode, TestApp, of};

/// What is written in hindsight and shown only at the end.
const AT_THE_END: [&str; 12] = [
    "Marktitle",
    "Marksituation",
    "Markstory",
    "Markdischarge",
    "Markcause",
    "Markaction",
    "Marklesson",
    "Markzero",
    "Markobservation",
    "Severe",
    "Between two and the end",
    "Jailed branch",
];
/// What is shown once the first stop is answered.
const AFTER_ONE: [&str; 4] = ["Chooserone", "Followedone", "Lessonone", "Between one and two"];
/// What is shown once the second stop is answered.
const AFTER_TWO: [&str; 3] = ["Choosertwo", "Followedtwo", "Lessontwo"];

fn decision(key: &str, at: &str, number: &str) -> Decision {
    let option = |text: &str| DecisionOption {
        text: of(text),
        reasons_for: vec![of("Quick")],
        reasons_against: vec![of("Blind")],
    };
    Decision {
        key: of(key),
        at: of(at),
        question: of(&format!("Question {number}: what next?")),
        options: vec![option("Look again"), option("Go on")],
        chosen: Some(of("2")),
        chosen_by: Some(of(&format!("Chooser{number}"))),
        followed: Some(of(&format!("Followed{number}."))),
    }
}

fn lesson(text: &str, decision: Option<&str>) -> Lesson {
    Lesson {
        kind: LessonKind::Prevent,
        text: of(text),
        event: None,
        decision: decision.map(of),
        reference: None,
        recurring: None,
        signed_by: None,
        signed_on: None,
    }
}

fn with_stops(case: &mut Case) {
    case.decisions = vec![decision("d1", "+9:59", "one"), decision("d2", "+19:59", "two")];
    let one_option = vec![case.decisions[0].options[0].clone()];
    case.decisions.push(Decision { options: one_option, chosen: None, ..decision("d3", "+25:00", "none") });
    case.lessons =
        vec![lesson("Lessonone.", Some("d1")), lesson("Lessontwo.", Some("d2")), lesson("Marklesson.", None)];
    case.outcome.discharge = Some(of("Markdischarge."));
    case.outcome.harm = Some(of("severe"));
    case.procedure.strategy = Some(of("Planned: one stent."));
    case.procedure.access = vec![of("radial"), of("femoral")];
}

async fn marked_case(app: &TestApp, stage: Stage) -> CaseCode {
    CaseBuilder::new("Marktitle")
        .stage(stage)
        .situation("Marksituation.")
        .narrative("Markstory.")
        .time_zero("Markzero")
        .event("-5:00", "access", "Before all of it")
        .flow("+5:00", "lad-mid", 3)
        .event("+10:00", "balloon", "Between one and two")
        .flow("+12:00", "lad-mid", 0)
        .event("+20:00", "stent", "Between two and the end")
        .flow("+30:00", "diagonal-1", 0)
        .mechanism("branch-jailed")
        .at_segment("diagonal-1")
        .linked("e5", "e6", "e6")
        .cause("tm-voice", "Markcause.")
        .action("Markaction", "2026-09-01")
        .lesson("prevent", "to be replaced")
        .with(with_stops)
        .insert(app)
        .await
        .code
}

/// Every address of the walk, and some that are none.
fn addresses(code: CaseCode) -> Vec<String> {
    let walk = format!("/cases/{code}/walk");
    let numbers = ["0", "1", "2", "3", "4", "5", "999999", "x", "again", "-1"];
    std::iter::once(walk.clone())
        .chain(numbers.iter().map(|number| format!("{walk}/{number}")))
        .chain(["/1?after=1", "/1?q=Marktitle", "/3?option=1"].iter().map(|end| format!("{walk}{end}")))
        .collect()
}

/// Fails when an answer holds, anywhere, what is not to be seen yet.
#[track_caller]
fn check_blind(page: &Page, closed: &[&str]) {
    let headers = format!("{:?}", page.headers);
    for mark in closed {
        assert!(!page.html.contains(mark) && !headers.contains(mark), "“{mark}” is on {page}");
    }
}

async fn answer(client: &Client, code: CaseCode, number: usize, option: &str) -> Page {
    let path = format!("/cases/{code}/walk/{number}");
    let form = client.get(&path).await;
    client.submit(&form, &path, &[("option", option), ("reason", "My reason.")]).await
}

/// Looks at every address, and sends every one of them something wrong.
async fn look_everywhere(client: &Client, code: CaseCode, closed: &[&str]) {
    for path in addresses(code) {
        check_blind(&client.get(&path).await, closed);
        if path.ends_with("/again") || path.contains('?') {
            continue;
        }
        for fields in [&[][..], &[("option", "9")], &[("option", "1"), ("base", "old")], &[("reason", "<b>")]]
        {
            check_blind(&client.post(&path, fields).await, closed);
        }
    }
}

#[tokio::test]
async fn nothing_that_came_after_an_unanswered_stop_is_on_any_page_for_anybody() {
    for role in Role::ALL.iter().copied() {
        let app = TestApp::init().await;
        let code = marked_case(&app, Stage::Presented).await;
        let client = app.as_role(role).await;
        let closed = [&AT_THE_END[..], &AFTER_ONE, &AFTER_TWO].concat();
        look_everywhere(&client, code, &closed).await;
        let asked = client.get(&format!("/cases/{code}/walk/1")).await;
        for shown in
            ["Before all of it", "Planned: one stent.", "Question one", "Look again", "Go on", "TIMI 3"]
        {
            assert!(asked.text.contains(shown), "{shown}: {asked}");
        }
        assert!(!asked.html.contains("TIMI 0") && !asked.html.contains("emoral"), "{asked}");

        answer(&client, code, 1, "1").await.expect(StatusCode::SEE_OTHER);
        let closed = [&AT_THE_END[..], &AFTER_TWO].concat();
        look_everywhere(&client, code, &closed).await;
        let told = client.get(&format!("/cases/{code}/walk/1")).await;
        for shown in ["Look again", "My reason.", "Followedone.", "Lessonone.", "Chosen by: Chooserone."] {
            assert!(told.text.contains(shown), "{shown}: {told}");
        }
        assert!(client.get(&format!("/cases/{code}/walk/2")).await.text.contains("Between one and two"));

        answer(&client, code, 2, "2").await.expect(StatusCode::SEE_OTHER);
        let told = client.get(&format!("/cases/{code}/walk/2")).await;
        assert!(told.text.contains("Followedtwo.") && told.text.contains("Lessontwo."), "{told}");
        let end = client.get(&format!("/cases/{code}/walk/3")).await;
        end.expect(StatusCode::OK);
        for shown in ["Marktitle", "Marksituation", "Markdischarge", "Marklesson", "Jailed branch", "Severe"]
        {
            assert!(end.html.contains(shown), "{shown}: {end}");
        }
        assert!(end.text.contains("At one of two stops you chose what was chosen then."), "{end}");
        assert!(end.links_to(&format!("/cases/{code}/summary")));
    }
}

#[tokio::test]
async fn an_address_ahead_leads_to_the_first_stop_that_waits() {
    let app = TestApp::init().await;
    let code = marked_case(&app, Stage::Closed).await;
    let client = app.with_reader().await;
    for number in [2, 3] {
        let page = client.get(&format!("/cases/{code}/walk/{number}")).await;
        page.expect(StatusCode::SEE_OTHER);
        assert_eq!(page.location(), format!("/cases/{code}/walk/1"));
        // What is sent ahead is not kept.
        let page = client.post(&format!("/cases/{code}/walk/{number}"), &[("option", "1")]).await;
        assert_eq!(page.location(), format!("/cases/{code}/walk/1"));
    }
    client.get(&format!("/cases/{code}/walk/4")).await.expect(StatusCode::NOT_FOUND);
    client.get(&format!("/cases/{code}/walk/0")).await.expect(StatusCode::NOT_FOUND);
    answer(&client, code, 1, "2").await.expect(StatusCode::SEE_OTHER);
    let page = client.get(&format!("/cases/{code}/walk")).await;
    assert_eq!(page.link("Go on at stop 2").as_deref(), Some(format!("/cases/{code}/walk/2").as_str()));
}

#[tokio::test]
async fn an_answer_is_given_once_and_kept_for_the_account_alone() {
    let app = TestApp::init().await;
    let code = marked_case(&app, Stage::Presented).await;
    let (reader, fellow) = (app.with_reader().await, app.with_fellow().await);
    let opened = reader.get(&format!("/cases/{code}/walk/1")).await;
    answer(&reader, code, 1, "1").await.expect(StatusCode::SEE_OTHER);
    let path = format!("/cases/{code}/walk/1");
    let again = reader.submit(&opened, &path, &[("option", "2")]).await;
    let page = reader.follow(&again).await;
    assert!(page.notice().unwrap().contains("it stays as it was"), "{page}");
    assert_eq!(page.texts(".part-body p")[0], "Look again");
    // Nobody else has answered by that, and nobody sees it.
    let other = fellow.get(&path).await;
    assert!(other.button("Choose, and see what followed").is_some() && !other.html.contains("My reason."));
    check_blind(&other, &AFTER_ONE);
    // Signed in again, it is there.
    let later = app.with_reader().await;
    assert!(later.get(&path).await.text.contains("My reason."));
}

#[tokio::test]
async fn starting_again_closes_what_came_later_and_keeps_the_first_answers() {
    let app = TestApp::init().await;
    let code = marked_case(&app, Stage::Presented).await;
    let client = app.with_reader().await;
    let walk = format!("/cases/{code}/walk");
    for (first, second) in [("1", "1"), ("2", "1"), ("2", "2")] {
        for (number, option) in [(1, first), (2, second)] {
            answer(&client, code, number, option).await.expect(StatusCode::SEE_OTHER);
        }
        let end = client.get(&format!("{walk}/3")).await;
        let compared = end.texts(".compared dl");
        let expected = |option: &str| {
            let own = if option == "1" { "Look again" } else { "Go on" };
            let first = if option == "1" { "" } else { " You, the first time Look again" };
            format!("You {own}{first} Chosen then Go on")
        };
        assert_eq!(compared, [expected(first), expected(second)]);
        let began = client.press(&end, "Start again").await;
        let page = client.follow(&began).await;
        assert!(page.notice().unwrap().contains("kept as your first answer"), "{page}");
        let closed = [&AT_THE_END[..], &AFTER_ONE, &AFTER_TWO].concat();
        for path in addresses(code) {
            check_blind(&client.get(&path).await, &closed);
        }
    }
    // Again without an answer changes nothing.
    client.post(&format!("{walk}/again"), &[]).await.expect(StatusCode::SEE_OTHER);
    assert!(client.get(&walk).await.link("Begin").is_some());
}

#[tokio::test]
async fn a_choice_that_cannot_be_read_comes_back_with_what_was_typed() {
    let app = TestApp::init().await;
    let code = marked_case(&app, Stage::Presented).await;
    let client = app.with_reader().await;
    let path = format!("/cases/{code}/walk/1");
    let form = client.get(&path).await;
    let long = "x".repeat(601);
    for (typed, field) in [
        (vec![("reason", "Because <b>of</b> it")], "option"),
        (vec![("option", "3"), ("reason", "Because <b>of</b> it")], "option"),
        (vec![("option", "two")], "option"),
        (vec![("option", "1"), ("reason", long.as_str())], "reason"),
    ] {
        let page = client.submit(&form, &path, &typed).await;
        page.expect(StatusCode::UNPROCESSABLE_ENTITY);
        assert!(page.error_of(field).is_some(), "{typed:?}: {page}");
        for (name, value) in typed.iter().filter(|(name, _)| *name == "reason") {
            assert_eq!(page.value(name), *value);
        }
        assert!(!page.html.contains("<b>"), "{page}");
        check_blind(&page, &AFTER_ONE);
    }
}

#[tokio::test]
async fn options_that_were_written_anew_meanwhile_are_shown_before_a_choice_counts() {
    let app = TestApp::init().await;
    let code = marked_case(&app, Stage::Presented).await;
    let (reader, fellow) = (app.with_reader().await, app.with_fellow().await);
    let path = format!("/cases/{code}/walk/1");
    let opened = reader.get(&path).await;
    let edit = format!("/cases/{code}/decisions/1");
    let form = fellow.get(&format!("{edit}/edit")).await;
    fellow.submit(&form, &edit, &[("option-1", "Stop at once")]).await.expect(StatusCode::SEE_OTHER);
    let page = reader.submit(&opened, &path, &[("option", "1"), ("reason", "Kept")]).await;
    page.expect(StatusCode::CONFLICT);
    assert!(page.text.contains("Stop at once") && page.value("reason") == "Kept", "{page}");
    check_blind(&page, &AFTER_ONE);
    // What was chosen may change without the person noticing: it is no part of what they saw.
    let form = fellow.get(&format!("{edit}/edit")).await;
    fellow
        .submit(&form, &edit, &[("chosen", "1"), ("followed", "Otherwise.")])
        .await
        .expect(StatusCode::SEE_OTHER);
    reader.submit(&page, &path, &[("option", "1")]).await.expect(StatusCode::SEE_OTHER);
    assert!(reader.get(&path).await.text.contains("Otherwise."));
}

#[tokio::test]
async fn readers_walk_through_presented_cases_and_writers_through_any() {
    let app = TestApp::init().await;
    for stage in Stage::ALL.iter().copied() {
        let code = marked_case(&app, stage).await;
        let presented = [Stage::Presented, Stage::Closed].contains(&stage);
        let reader = app.with_reader().await;
        for path in [format!("/cases/{code}/walk"), format!("/cases/{code}/walk/1")] {
            let expected = if presented { StatusCode::OK } else { StatusCode::NOT_FOUND };
            reader.get(&path).await.expect(expected);
            app.with_fellow().await.get(&path).await.expect(StatusCode::OK);
        }
        let sent = reader.post(&format!("/cases/{code}/walk/1"), &[("option", "1")]).await;
        assert_eq!(sent.status == StatusCode::NOT_FOUND, !presented, "{sent}");
    }
}

#[tokio::test]
async fn the_way_to_the_walk_gives_nothing_away() {
    let app = TestApp::init().await;
    let code = marked_case(&app, Stage::Presented).await;
    CaseBuilder::new("Without a stop").stage(Stage::Presented).insert(&app).await;
    let page = app.with_reader().await.get("/library").await;
    let links: Vec<String> = page.texts("a[href$='/walk']").into_iter().collect();
    assert_eq!(links, [format!("Walk through {code}")]);
    let alone = app.with_reader().await.get("/cases/2026-002/walk").await;
    assert!(alone.text.contains("nothing to choose on the way") && alone.text.contains("Without a stop"));
}
