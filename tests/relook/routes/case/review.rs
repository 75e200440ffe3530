//! Causes, actions and the questions about them, as a reviewer meets them.

use crate::support::{CaseBuilder, StatusCode, TestApp};

#[tokio::test]
async fn a_statement_is_put_together_from_its_three_parts() {
    let app = TestApp::init().await;
    let case = CaseBuilder::new("Parts").event("+1:00", "wire", "Wire down the LAD").insert(&app).await;
    let (client, path) = (app.with_fellow().await, format!("/cases/{}", case.code));
    let parts = [
        ("cause", "tk-plan-single"),
        ("weight", "root"),
        ("because", "Because the tip was out of view."),
        ("effect", "Its exit was not visible"),
        ("event", "so advancing it lengthened the dissection."),
    ];
    client.post(&format!("{path}/causes"), &parts).await.expect(StatusCode::SEE_OTHER);
    let cause = &app.case(case.code).await.causes[0].value;
    assert_eq!(
        cause.statement.as_str(),
        "Because the tip was out of view, its exit was not visible, so advancing it lengthened the dissection."
    );
    // Two of three, or parts beside a whole: nothing is lost and nothing is guessed.
    let two = [("cause", "tk-plan-single"), ("because", "the tip was out of view"), ("effect", "x")];
    let page = client.post(&format!("{path}/causes"), &two).await;
    page.expect(StatusCode::UNPROCESSABLE_ENTITY);
    assert!(page.error_of("event").unwrap().contains("all three parts"), "{page}");
    assert_eq!(page.value("because"), "the tip was out of view");
    let both = [("cause", "tk-plan-single"), ("statement", "As a whole."), ("because", "in part")];
    let page = client.post(&format!("{path}/causes"), &both).await;
    page.expect(StatusCode::UNPROCESSABLE_ENTITY);
    assert_eq!(
        (page.value("statement").as_str(), page.value("because").as_str()),
        ("As a whole.", "in part")
    );
    assert!(page.error_of("statement").is_some());
}

#[tokio::test]
async fn advice_stands_beside_a_cause_and_under_the_one_that_is_written_and_blocks_nothing() {
    let app = TestApp::init().await;
    let case = CaseBuilder::new("Advice")
        .cause("tm-voice", "The operator was careless with the wire.")
        .cause("tk-no-protocol", "Because the branch was not wired before stenting, rewiring through struts took 14 min, during which the branch had no flow.")
        .insert(&app)
        .await;
    let client = app.with_fellow().await;
    let page = client.get(&format!("/cases/{}", case.code)).await;
    assert_eq!(page.count("#causes .advice"), 1, "{page}");
    assert!(page.texts("#causes .advice").join(" ").contains("careless"));
    let part = client.post("/causes/advice", &[("statement", "Inadequate <b>training</b>.")]).await;
    part.expect(StatusCode::OK);
    assert!(part.html.contains("class=\"advice\"") && !part.html.contains("<b>training"), "{}", part.html);
    let good = "No number for the on-call surgeon was on the wall, so the call went through the switchboard and took eleven minutes.";
    assert!(client.post("/causes/advice", &[("statement", good)]).await.html.contains("advice-none"));
}

#[tokio::test]
async fn a_root_cause_with_weaker_actions_alone_is_asked_about() {
    let app = TestApp::init().await;
    let case = CaseBuilder::new("Root")
        .cause("eq-missing", "The second catheter was kept in another room, so recrossing began late.")
        .insert(&app)
        .await;
    let (client, path) = (app.with_fellow().await, format!("/cases/{}", case.code));
    let page = client.get(&path).await;
    let edit = page.attr("#causes .item-head a.edit", "href").unwrap();
    let form = client.get(&edit).await;
    client
        .submit(&form, edit.trim_end_matches("/edit"), &[("weight", "root")])
        .await
        .expect(StatusCode::SEE_OTHER);
    let asked = client.get(&path).await.texts("#actions .question").join(" ");
    assert!(asked.contains("No action is tied to it yet"), "{asked}");
    let mut action = vec![
        ("what", "A sign on the door"),
        ("owner", "cath-lab lead nurse"),
        ("due", "2030-01-01"),
        ("kind", "warning"),
        ("for_cause", "eq-missing"),
        ("measure", "Signs in place."),
    ];
    client.post(&format!("{path}/actions"), &action).await.expect(StatusCode::SEE_OTHER);
    let asked = client.get(&path).await.texts("#actions .question").join(" ");
    assert!(asked.contains("Only weaker actions"), "{asked}");
    action[0] = ("what", "A catheter in every set");
    action[3] = ("kind", "standard-equipment");
    client.post(&format!("{path}/actions"), &action).await.expect(StatusCode::SEE_OTHER);
    assert_eq!(client.get(&path).await.count("#actions .question"), 0);
}

#[tokio::test]
async fn actions_are_listed_by_what_became_of_them_and_their_history_is_kept() {
    let app = TestApp::init().await;
    let case = CaseBuilder::new("Actions")
        .action("A late one", "2020-01-01")
        .action("One to come", "2090-01-01")
        .insert(&app)
        .await;
    let (client, path) = (app.with_fellow().await, format!("/cases/{}", case.code));
    let shown = async |which: &str| {
        let page = client.get(&format!("/actions?show={which}")).await;
        page.expect(StatusCode::OK);
        page.texts("tbody th").join(" ")
    };
    assert_eq!(shown("open").await, "A late one One to come");
    assert_eq!(shown("overdue").await, "A late one");
    assert_eq!(shown("nonsense").await, "A late one One to come");
    let page = client.get(&path).await;
    client.press(&page, "Mark as done").await.expect(StatusCode::SEE_OTHER);
    assert_eq!((shown("overdue").await.as_str(), shown("done").await.as_str()), ("", "A late one"));
    let went = client.get(&path).await.texts("#actions details").join(" ");
    assert!(went.contains("open, due 1 January 2020") && went.contains(": done"), "{went}");
}

#[tokio::test]
async fn actions_are_a_table_for_a_spreadsheet_as_well() {
    let app = TestApp::init().await;
    let case = CaseBuilder::new("Actions")
        .action("One to come", "2090-01-01")
        .action("=SUM(1;2), \"quoted\"", "2020-01-01")
        .insert(&app)
        .await;
    let client = app.with_fellow().await;
    let page = client.get("/actions?show=all").await;
    assert!(page.links_to("/actions.csv?show=all"));
    let file = client.get("/actions.csv?show=all").await;
    file.expect(StatusCode::OK);
    assert_eq!(file.headers["content-type"], "text/csv; charset=utf-8");
    let mut read = csv::Reader::from_reader(file.html.as_bytes());
    let heads: Vec<String> = read.headers().unwrap().iter().map(str::to_owned).collect();
    assert_eq!(heads[0], "Action (all)");
    assert_eq!(heads[2], "Due (year-month-day; 2020-01-01 to 2090-01-01)");
    let rows: Vec<Vec<String>> =
        read.records().map(|row| row.unwrap().iter().map(str::to_owned).collect()).collect();
    assert_eq!(rows.len(), 2);
    assert_eq!(rows[0][0], "'=SUM(1;2), \"quoted\"", "due first, and no formula");
    assert_eq!((rows[1][0].as_str(), rows[1][2].as_str()), ("One to come", "2090-01-01"));
    assert_eq!((rows[1][3].as_str(), rows[1][11].as_str()), ("Open", case.code.to_string().as_str()));
    assert!(rows.iter().all(|row| row.len() == heads.len() && !row[1].is_empty() && !row[5].is_empty()));
    let done = client.get("/actions.csv?show=done").await;
    assert_eq!(done.html.lines().count(), 1, "{}", done.html);
    app.with_reader().await.get("/actions.csv").await.expect(StatusCode::FORBIDDEN);
}

#[tokio::test]
async fn a_signed_lesson_that_changes_keeps_its_signed_words() {
    let app = TestApp::init().await;
    let case =
        CaseBuilder::new("Versions").signed_lesson("respond", "Take a second view.").insert(&app).await;
    let (client, path) = (app.with_attending().await, format!("/cases/{}", case.code));
    let edit = client.get(&path).await.attr("#lessons .item-head a.edit", "href").unwrap();
    let form = client.get(&edit).await;
    let change = [("text", "Take a second view before the balloon."), ("reference", "PMID 11466122")];
    client.submit(&form, edit.trim_end_matches("/edit"), &change).await.expect(StatusCode::SEE_OTHER);
    let mut conn = app.app.database.read().await.unwrap();
    let stored = app.case(case.code).await;
    assert_eq!(
        stored.lessons[0].value.signed_by, None,
        "a signature stands under the words that were signed"
    );
    let earlier = relook::case::store::earlier_lessons(&mut conn, stored.id).await.unwrap();
    assert_eq!(earlier.len(), 1);
    assert_eq!((earlier[0].version, earlier[0].text.as_str()), (1, "Take a second view."));
}

#[tokio::test]
async fn a_case_with_one_option_or_an_endless_story_is_not_ready() {
    let app = TestApp::init().await;
    let case = CaseBuilder::new("Ready?")
        .complete()
        .decision("d9", "+3:00", "What next?", &["The only way"])
        .insert(&app)
        .await;
    let client = app.with_fellow().await;
    let path = format!("/cases/{}", case.code);
    let missing = client.get(&path).await.texts("#checks li.todo").join(" ");
    assert!(missing.contains("A second option at decision point 1"), "{missing}");
    let story = "word ".repeat(1_300);
    let form = client.get(&format!("{path}/narrative/edit")).await;
    client
        .submit(&form, &format!("{path}/narrative"), &[("narrative", &story)])
        .await
        .expect(StatusCode::SEE_OTHER);
    let missing = client.get(&path).await.texts("#checks li.todo").join(" ");
    assert!(missing.contains("A narrative of at most 1200 words (1300 so far)"), "{missing}");
}
