//! The lessons booklet: what is in it and what is not, who chooses, two who choose at once, its files.

use relook::case::{CaseCode, Stage, store};

use crate::support::{CaseBuilder, Client, Page, Placed, Role, StatusCode, TestApp, of};

const PATH: &str = "/lessons/booklet";
const KEPT: &str = "Take a second view before the balloon.";

async fn case(app: &TestApp, title: &str, stage: Stage, lessons: &[&str]) -> Placed {
    let builder =
        CaseBuilder::new(title).complete().stage(stage).action("A second wire in the room", "2026-09-01");
    lessons.iter().fold(builder, |builder, text| builder.signed_lesson("recognise", text)).insert(app).await
}

/// A department with two presented cases and one that is ready.
async fn with_lessons() -> (TestApp, [Placed; 3]) {
    let app = TestApp::init().await;
    let cases = [
        case(&app, "Flow lost, alpha", Stage::Presented, &["Look at the wall twice."]).await,
        case(&app, "Flow lost, beta", Stage::Closed, &["Say aloud that flow is gone."]).await,
        case(&app, "Flow lost, gamma", Stage::Ready, &["Nobody knows this yet."]).await,
    ];
    (app, cases)
}

/// The fields of the form that chooses, as a page shows them.
fn form(page: &Page) -> Vec<(String, String)> {
    ["shown", "was", "lesson"]
        .into_iter()
        .flat_map(|name| page.values(name).into_iter().map(move |value| (name.to_owned(), value)))
        .collect()
}

/// Sends the form of a page with some ticks turned over.
async fn turn_over(client: &Client, page: &Page, ids: &[&str]) -> Page {
    let mut fields = form(page);
    for id in ids {
        let tick = ("lesson".to_owned(), (*id).to_owned());
        match fields.iter().position(|field| *field == tick) {
            Some(place) => {
                fields.remove(place);
            }
            None => fields.push(tick),
        }
    }
    fields.push(("year".to_owned(), "2026".to_owned()));
    let fields: Vec<(&str, &str)> =
        fields.iter().map(|(name, value)| (name.as_str(), value.as_str())).collect();
    client.post(PATH, &fields).await
}

/// The id of a lesson by its words.
async fn id_of(app: &TestApp, code: CaseCode, words: &str) -> String {
    let case = app.case(code).await;
    case.lessons.iter().find(|row| row.value.text.as_str() == words).unwrap().id.to_string()
}

#[tokio::test]
async fn signed_lessons_of_presented_cases_are_in_it_and_every_account_reads_it() {
    let (app, cases) = with_lessons().await;
    for role in [Role::Attending, Role::QualityLead, Role::Fellow, Role::Reader] {
        let page = app.as_role(role).await.get(PATH).await;
        page.expect(StatusCode::OK);
        assert_eq!(page.heading(), "Lessons of 2026");
        for part in [
            "Look at the wall twice.",
            "Say aloud that flow is gone.",
            "Four lessons from two cases.",
            "All 4 signed lessons are in it.",
            // Nothing of a case that was not presented, but that there is something.
            "Two signed lessons are held back: 2 whose case was not presented yet.",
            "After the stent the flow was gone.",
            "Home with normal pump function.",
            "Rests on",
            "Open, due in 2026",
            "local protocols",
        ] {
            assert!(page.text.contains(part), "{role:?}: {part}: {}", page.text);
        }
        assert!(!page.html.contains("Nobody knows this yet.") && !page.html.contains("gamma"), "{role:?}");
        assert!(!page.texts(".booklet").concat().contains("Ada Attending"), "who signed stays in the case");
        // Of the case once, of both lessons.
        assert_eq!(
            page.count(".booklet svg[id^='timeline-'], .booklet svg[aria-labelledby^='timeline-']"),
            2
        );
        assert_eq!(page.count(".booklet h3"), 4, "two cases, and two headings of the index");
        assert_eq!(page.count("[style], style, script:not([src])"), 0);
        let chooses = matches!(role, Role::Attending | Role::QualityLead);
        assert_eq!(page.count("#choice") == 1, chooses, "{role:?}");
        assert!(page.links_to(&format!("/cases/{}/summary", cases[0].code)));
    }
    assert!(app.with_reader().await.get("/library").await.links_to(PATH));
}

#[tokio::test]
async fn the_choice_is_kept_for_the_department() {
    let (app, cases) = with_lessons().await;
    let attending = app.with_attending().await;
    let page = attending.get(PATH).await;
    let out = id_of(&app, cases[0].code, "Look at the wall twice.").await;
    let saved = turn_over(&attending, &page, &[&out]).await;
    saved.expect(StatusCode::SEE_OTHER);
    assert_eq!(saved.location(), "/lessons/booklet?year=2026");
    let after = attending.follow(&saved).await;
    assert!(after.notice().unwrap().contains("Three of 4 signed lessons are in it"), "{after}");
    for role in [Role::QualityLead, Role::Reader] {
        let page = app.as_role(role).await.get(PATH).await;
        assert!(!page.texts(".booklet").concat().contains("Look at the wall twice."), "{role:?}");
        assert!(page.text.contains("Three of 4 signed lessons are in it."));
    }
    // The list of lessons still has it, without a tick; the history of the case tells of it.
    assert!(after.html.contains("Look at the wall twice."));
    assert!(!after.values("lesson").contains(&out) && after.values("shown").contains(&out));
    let history = attending.get(&format!("/cases/{}/history", cases[0].code)).await;
    assert!(history.text.contains("Lesson left out of the booklet"), "{}", history.text);
    turn_over(&attending, &after, &[&out]).await.expect(StatusCode::SEE_OTHER);
    assert!(attending.get(PATH).await.text.contains("All 4 signed lessons are in it."));
}

#[tokio::test]
async fn two_who_tick_at_once_do_not_undo_each_other() {
    let (app, cases) = with_lessons().await;
    let (attending, lead) = (app.with_attending().await, app.with_quality_lead().await);
    let one = id_of(&app, cases[0].code, "Look at the wall twice.").await;
    let other = id_of(&app, cases[1].code, "Say aloud that flow is gone.").await;
    let (theirs, mine) = (attending.get(PATH).await, lead.get(PATH).await);
    let (ones, others) = ([one.as_str()], [other.as_str()]);
    let (first, second) =
        tokio::join!(turn_over(&attending, &theirs, &ones), turn_over(&lead, &mine, &others));
    first.expect(StatusCode::SEE_OTHER);
    second.expect(StatusCode::SEE_OTHER);
    let now = lead.get(PATH).await.values("lesson");
    assert!(!now.contains(&one) && !now.contains(&other) && now.len() == 2, "{now:?}");
    // The same twice is the same once.
    turn_over(&attending, &theirs, &[&one]).await.expect(StatusCode::SEE_OTHER);
    assert_eq!(lead.get(PATH).await.values("lesson"), now);
}

#[tokio::test]
async fn who_may_not_choose_is_refused_and_changes_nothing() {
    let (app, cases) = with_lessons().await;
    let page = app.with_attending().await.get(PATH).await;
    let out = id_of(&app, cases[0].code, "Look at the wall twice.").await;
    for role in [Role::Fellow, Role::Reader] {
        turn_over(&app.as_role(role).await, &page, &[&out]).await.expect(StatusCode::FORBIDDEN);
    }
    assert_eq!(app.with_attending().await.get(PATH).await.values("lesson").len(), 4);
}

#[tokio::test]
async fn a_case_that_is_withdrawn_or_held_back_takes_its_lessons_with_it() {
    let (app, cases) = with_lessons().await;
    let lead = app.with_quality_lead().await;
    let shown = lead.get(PATH).await;
    // What may identify somebody is typed into a presented case.
    let mut tx = app.app.database.write().await.unwrap();
    let mut head = store::find(&mut tx, cases[0].code).await.unwrap().unwrap().head;
    head.situation = Some(of("Dr Marlow asked for a second view."));
    store::update_head(&mut tx, cases[0].id, &head, app.app.now()).await.unwrap();
    tx.commit().await.unwrap();
    assert!(app.case(cases[0].code).await.is_held());
    let path = format!("/cases/{}/withdraw", cases[1].code);
    let asked = lead.get(&path).await;
    lead.submit(&asked, &path, &[("because", "Recorded twice.")]).await.expect(StatusCode::SEE_OTHER);

    for role in [Role::QualityLead, Role::Attending, Role::Fellow, Role::Reader] {
        let client = app.as_role(role).await;
        let page = client.get("/lessons/booklet?year=2026").await;
        page.expect(StatusCode::OK);
        assert!(!page.html.contains("Marlow") && !page.html.contains("Look at the wall"), "{role:?}: {page}");
        assert!(!page.html.contains("Say aloud that flow"), "{role:?}");
        assert!(
            page.text.contains("Six signed lessons are held back: 2 whose case was not presented yet, 2 whose case may hold something that identifies somebody and 2 whose case was withdrawn."),
            "{}",
            page.text
        );
        assert!(page.has_heading("2026 has no lesson for it"), "{page}");
        client.get("/lessons/booklet/files/page?year=2026").await.expect(StatusCode::NOT_FOUND);
    }
    // A form that was opened before cannot choose them any more, and says so.
    let out = id_of(&app, cases[0].code, "Look at the wall twice.").await;
    let saved = turn_over(&lead, &shown, &[&out]).await;
    assert!(lead.follow(&saved).await.notice().unwrap().contains("no longer on offer"));
    let (left,): (i64,) = sqlx::query_as("select count(*) from booklet_left_out")
        .fetch_one(&mut *app.app.database.read().await.unwrap())
        .await
        .unwrap();
    assert_eq!(left, 0);
}

#[tokio::test]
async fn a_lesson_that_nobody_signed_is_not_offered_and_the_page_says_why() {
    let app = TestApp::init().await;
    let case = CaseBuilder::new("Flow lost")
        .complete()
        .stage(Stage::Presented)
        .lesson("respond", "Nobody stands behind this.")
        .insert(&app)
        .await;
    let attending = app.with_attending().await;
    let page = attending.get(PATH).await;
    assert!(!page.html.contains("Nobody stands behind this."));
    assert!(
        page.text.contains("One lesson of presented cases is not offered: nobody has signed it yet"),
        "{}",
        page.text
    );
    // Not even for who sends its number.
    let unsigned = id_of(&app, case.code, "Nobody stands behind this.").await;
    let sent = [("year", "2026"), ("shown", unsigned.as_str()), ("was", unsigned.as_str())];
    attending.post(PATH, &sent).await.expect(StatusCode::SEE_OTHER);
    let mut tx = app.app.database.write().await.unwrap();
    let signer = (app.user(Role::Attending).await.id, "Ada Attending");
    assert!(
        store::sign(&mut tx, case.id, unsigned.parse().unwrap(), signer, of("2026-02-10")).await.unwrap()
    );
    tx.commit().await.unwrap();
    assert!(attending.get(PATH).await.texts(".booklet").concat().contains("Nobody stands behind this."));
}

#[tokio::test]
async fn its_files_hold_what_the_page_shows() {
    let (app, cases) = with_lessons().await;
    let reader = app.with_reader().await;
    let page = reader.get(PATH).await;
    for (slug, extension, begins) in [
        ("page", "html", "<!doctype html>"),
        ("markdown", "md", "# Lessons of 2026\n"),
        ("word", "docx", "PK"),
    ] {
        let address = format!("/lessons/booklet/files/{slug}?year=2026");
        assert!(page.links_to(&address), "{slug}");
        let file = reader.get(&address).await;
        file.expect(StatusCode::OK);
        assert_eq!(
            file.headers["content-disposition"],
            format!("attachment; filename=\"lessons-2026.{extension}\"").as_str()
        );
        assert_eq!(file.headers["cache-control"], "no-store");
        assert!(file.html.starts_with(begins), "{slug}");
        if slug != "word" {
            assert!(file.html.contains("Look at the wall twice.") && file.html.contains("Confidential"));
            assert!(!file.html.contains("Nobody knows this yet."));
        }
    }
    let one_page = reader.get("/lessons/booklet/files/page").await;
    assert!(!one_page.links_to(&format!("/cases/{}/summary", cases[0].code)), "the app is not there");
    assert!(one_page.html.contains("The summary of 2026-001"));
    reader.get("/lessons/booklet/files/pdf-of-nothing?year=2026").await.expect(StatusCode::NOT_FOUND);
    reader.get("/lessons/booklet/files/page?year=1999").await.expect(StatusCode::NOT_FOUND);
}

#[tokio::test]
async fn words_that_stand_in_no_case_keep_it_back_too() {
    let (app, _) = with_lessons().await;
    let mut tx = app.app.database.write().await.unwrap();
    relook::conference::store::set_confidentiality(&mut tx, &"Dr Marlow keeps this.".parse().unwrap())
        .await
        .unwrap();
    tx.commit().await.unwrap();
    let lead = app.with_quality_lead().await;
    let page = lead.get(PATH).await;
    page.expect(StatusCode::OK);
    assert!(page.text.contains("Held back: it may identify somebody"), "{}", page.text);
    assert_eq!(page.count("main.held"), 1, "it does not print");
    for slug in ["page", "word", "markdown"] {
        let held = lead.get(&format!("/lessons/booklet/files/{slug}?year=2026")).await;
        held.expect(StatusCode::CONFLICT);
        assert!(held.html.contains("Dr Marlow"), "{slug}");
    }
}

#[tokio::test]
async fn an_empty_department_and_an_empty_choice_say_what_to_do() {
    let app = TestApp::init().await;
    let page = app.with_fellow().await.get(PATH).await;
    page.expect(StatusCode::OK);
    assert!(page.has_heading("No year has a lesson for it yet"), "{page}");
    let placed = case(&app, "Flow lost", Stage::Presented, &[]).await;
    let attending = app.with_attending().await;
    let page = attending.get(PATH).await;
    let only = id_of(&app, placed.code, KEPT).await;
    turn_over(&attending, &page, &[&only]).await.expect(StatusCode::SEE_OTHER);
    let empty = attending.get(PATH).await;
    assert!(empty.has_heading("No lesson is chosen for 2026"), "{empty}");
    assert!(empty.text.contains("None of 1 signed lesson is in it."));
    assert_eq!(empty.count("details#choice[open]"), 1);
    assert_eq!(empty.count("a[download]"), 0, "no file of nothing");
    let read = app.with_reader().await.get(PATH).await;
    assert!(read.text.contains("An attending or the quality lead chooses"), "{}", read.text);
    let other = app.with_reader().await.get("/lessons/booklet?year=2019").await;
    other.expect(StatusCode::OK);
    assert!(other.has_heading("2019 has no lesson for it") && other.value("year") == "2019");
}

#[tokio::test]
async fn what_cannot_be_read_comes_back_with_what_was_sent() {
    let (app, cases) = with_lessons().await;
    let attending = app.with_attending().await;
    for year in ["soon", "<b>", "99", "-1", "99999999999999999999"] {
        let query = form_urlencoded::Serializer::new(String::new()).append_pair("year", year).finish();
        let page = attending.get(&format!("{PATH}?{query}")).await;
        page.expect(StatusCode::UNPROCESSABLE_ENTITY);
        assert_eq!(page.value("year"), year);
        assert_eq!(page.errors().len(), 1, "{page}");
        assert!(page.errors()[0].contains("No case can be of this year. Choose one"), "{page}");
        assert!(!page.text.contains("has no lesson for it"), "nothing is known of such a year: {page}");
        let file = attending.get(&format!("/lessons/booklet/files/markdown?{query}")).await;
        file.expect(StatusCode::NOT_FOUND);
    }
    let kept = id_of(&app, cases[0].code, "Look at the wall twice.").await;
    let fields = [("year", "2026"), ("shown", kept.as_str()), ("lesson", "nine"), ("lesson", kept.as_str())];
    let page = attending.post(PATH, &fields).await;
    page.expect(StatusCode::UNPROCESSABLE_ENTITY);
    assert_eq!(page.values("lesson"), [kept], "the ticks as they were sent: {page}");
    assert!(page.errors()[0].contains("no lesson of the list"), "{page}");
    assert_eq!(attending.get(PATH).await.values("lesson").len(), 4, "nothing was saved");
    let page = attending.post(PATH, &[("shown", "1")]).await;
    page.expect(StatusCode::UNPROCESSABLE_ENTITY);
    assert!(page.errors()[0].contains("Say of which year."), "{page}");
}

#[tokio::test]
async fn minutes_report_and_summary_are_pages_in_one_file_too() {
    let (app, cases) = with_lessons().await;
    let lead = app.with_quality_lead().await;
    let answer = lead.post("/conferences", &[("held_on", "2099-06-30"), ("title", "To come")]).await;
    let minutes = format!("{}/minutes", answer.location());
    let summary = format!("/cases/{}/files", cases[0].code);
    for (shown, address) in [
        (minutes.clone(), format!("{minutes}/files/page")),
        ("/rates/report?quarter=2026-Q1".to_owned(), "/rates/report/files/page?quarter=2026-Q1".to_owned()),
        (summary.clone(), format!("{summary}/summary/page")),
        (
            format!("/cases/{}/summary?protect=yes", cases[0].code),
            format!("/cases/{}/files/summary/page?protect=yes", cases[0].code),
        ),
    ] {
        assert!(lead.get(&shown).await.links_to(&address), "{shown} does not lead to {address}");
        let file = lead.get(&address).await;
        file.expect(StatusCode::OK);
        assert!(file.headers["content-disposition"].to_str().unwrap().ends_with(".html\""), "{address}");
        assert_eq!(file.headers["content-type"], "text/html; charset=utf-8");
        assert!(file.count("p.confidential") == 1 && file.count("main article") == 1, "{address}");
    }
}

#[tokio::test]
async fn many_cases_are_read_as_each_one_is() {
    let (app, cases) = with_lessons().await;
    let mut conn = app.app.database.read().await.unwrap();
    let ids: Vec<i64> = cases.iter().rev().map(|case| case.id).chain([9_999]).collect();
    let together = store::find_some(&mut conn, &ids).await.unwrap();
    assert_eq!(together.iter().map(|case| case.code).collect::<Vec<_>>(), cases.map(|case| case.code));
    for case in together {
        let alone = store::find(&mut conn, case.code).await.unwrap().unwrap();
        assert_eq!(format!("{case:?}"), format!("{alone:?}"));
    }
    assert!(store::find_some(&mut conn, &[]).await.unwrap().is_empty());
}
