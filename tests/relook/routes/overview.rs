//! The overview, by the person who looks.

use relook::case::{CaseCode, Stage};

use crate::support::{CaseBuilder, Client, Page, Role, StatusCode, TestApp};

/// The words of the section with this heading.
fn part(page: &Page, heading: &str) -> Option<String> {
    let place = page.texts("main h2").iter().position(|found| found == heading)?;
    page.texts("main > section").into_iter().nth(place)
}

async fn conference(client: &Client, day: &str, codes: &[CaseCode]) -> String {
    let answer = client.post("/conferences", &[("held_on", day), ("title", "Complication conference")]).await;
    for code in codes {
        let added =
            client.post(&format!("{}/cases", answer.location()), &[("code", &code.to_string())]).await;
        added.expect(StatusCode::SEE_OTHER);
    }
    answer.location().to_owned()
}

fn no_reflow(title: &str) -> CaseBuilder {
    CaseBuilder::new(title).mechanism("flow-no-reflow")
}

#[tokio::test]
async fn a_fellow_sees_her_own_cases_until_they_are_ready_and_what_the_first_lack() {
    let app = TestApp::init().await;
    for (title, stage) in [
        ("Mine, recorded", Stage::Recorded),
        ("Mine, ready", Stage::Ready),
        ("Mine, presented", Stage::Presented),
        ("Mine, in preparation", Stage::InPreparation),
    ] {
        no_reflow(title).stage(stage).recorded_by(Role::Fellow).insert(&app).await;
    }
    no_reflow("Another's").stage(Stage::InPreparation).recorded_by(Role::Attending).insert(&app).await;
    no_reflow("Imported").stage(Stage::Recorded).imported().insert(&app).await;
    let page = app.with_fellow().await.get("/").await;
    page.expect(StatusCode::OK);
    assert_eq!(page.heading(), "What waits for you");
    assert!(page.text.contains("Two cases of yours are not ready yet."), "{page}");
    let mine = part(&page, "Your cases").unwrap();
    assert!(mine.contains("Mine, in preparation") && mine.contains("Mine, recorded"), "{mine}");
    for other in ["Mine, ready", "Mine, presented", "Another's", "Imported"] {
        assert!(!mine.contains(other), "{mine}");
    }
    assert!(mine.contains("missing before it is ready"), "{mine}");
    // Only the case she goes on with says what comes next.
    assert!(!mine.contains("Start preparing"), "{mine}");
    // The last changed is what she goes on with.
    assert_eq!(page.texts(".next a"), ["Go on with 2026-004", "Record a complication"]);
    assert!(page.links_to("/cases/2026-004"));
    for absent in
        ["Lessons to sign", "Ready to present", "Procedures at risk", "Cases by stage", "Presented cases"]
    {
        assert_eq!(part(&page, absent), None, "{absent}");
    }
}

#[tokio::test]
async fn of_many_cases_the_first_eight_stand_there() {
    let app = TestApp::init().await;
    for index in 0..11 {
        no_reflow(&format!("Case {index}")).recorded_by(Role::Fellow).insert(&app).await;
    }
    let page = app.with_fellow().await.get("/").await;
    assert!(page.text.contains("Eleven cases of yours are not ready yet."), "{page}");
    assert_eq!(page.count("section[aria-labelledby=mine] .items > li"), 8);
    assert!(page.link("More in the list of cases").is_some());
}

#[tokio::test]
async fn actions_stand_by_their_day_and_what_is_late_says_so() {
    let app = TestApp::init().await;
    let today = app.app.today();
    no_reflow("With actions")
        .stage(Stage::Presented)
        .action("Due in the far future", "2099-12-31")
        .action("Due long ago", "2001-03-01")
        .action("Due today", &today.to_string())
        .insert(&app)
        .await;
    for role in [Role::Fellow, Role::Attending, Role::QualityLead] {
        let page = app.as_role(role).await.get("/").await;
        let rows = page.texts("#actions tbody tr");
        assert_eq!(rows.len(), 3, "{role:?}");
        assert!(
            rows[0].starts_with("Due long ago") && rows[0].contains("Overdue since 1 March 2001"),
            "{rows:?}"
        );
        assert!(rows[1].starts_with("Due today") && !rows[1].contains("Overdue"), "{rows:?}");
        assert!(rows[2].contains("31 December 2099") && !rows[2].contains("Overdue"), "{rows:?}");
        assert!(page.links_to("/cases/2026-001#actions"));
        // An action has a role for an owner, and the overview shows no more of people.
        assert!(rows[0].contains("cath-lab lead nurse"), "{rows:?}");
    }
    let page = app.with_quality_lead().await.get("/").await;
    assert!(page.text.contains("one action is overdue."), "{page}");
    assert_eq!(part(&app.with_reader().await.get("/").await, "Actions"), None);
}

#[tokio::test]
async fn an_attending_sees_lessons_to_sign_case_by_case_and_cases_that_are_ready() {
    let app = TestApp::init().await;
    let first = no_reflow("The first")
        .stage(Stage::InPreparation)
        .lesson("prevent", "Take a second view.")
        .lesson("respond", "Adrenaline first.")
        .signed_lesson("recognise", "Already stood behind.")
        .insert(&app)
        .await;
    no_reflow("The second").stage(Stage::Ready).insert(&app).await;
    let client = app.with_attending().await;
    let page = client.get("/").await;
    assert!(
        page.text.contains("Two lessons wait for a signature; one case is ready to be presented."),
        "{page}"
    );
    let lessons = part(&page, "Lessons to sign").unwrap();
    assert!(
        lessons.contains("Prevent: Take a second view.") && lessons.contains("Respond: Adrenaline first."),
        "{lessons}"
    );
    assert!(!lessons.contains("Already stood behind."), "{lessons}");
    assert_eq!(lessons.matches("The first").count(), 1, "{lessons}");
    assert!(part(&page, "Ready to present").unwrap().contains("The second"), "{page}");
    assert_eq!(page.texts(".next a")[0], format!("Read the lessons of {}", first.code));
    // A signed lesson waits no more, and one that was taken out neither.
    app.execute("update lessons set signed_by = 'Ada Attending', signed_on = '2026-02-02' where text = 'Take a second view.'").await;
    app.execute("update lessons set removed_at = '2026-02-02T00:00:00Z' where text = 'Adrenaline first.'")
        .await;
    let page = client.get("/").await;
    assert!(
        page.text.contains("No lesson waits for a signature; one case is ready to be presented."),
        "{page}"
    );
    assert_eq!(page.texts(".next a")[0], "Set a conference");
}

#[tokio::test]
async fn the_quality_lead_sees_months_that_are_not_counted_and_how_far_cases_have_come() {
    let app = TestApp::init().await;
    let month = app.app.this_month();
    let (last, before) = (month.plus(-1), month.plus(-2));
    no_reflow("Since then").month(&before.to_string()).stage(Stage::Ready).insert(&app).await;
    no_reflow("Also").month(&last.to_string()).insert(&app).await;
    app.count_procedures(&before.to_string(), "all-pci", 100).await;
    app.count_procedures(&before.to_string(), "cto-pci", 7).await;
    let client = app.with_quality_lead().await;
    let page = client.get("/").await;
    assert!(
        page.text.contains("Procedures at risk are missing for two months; no action is overdue."),
        "{page}"
    );
    let missing = page.texts("section[aria-labelledby=missing] .items > li");
    assert_eq!(missing.len(), 2, "{missing:?}");
    assert!(
        missing[0].starts_with(&before.in_words()) && missing[0].contains("Bifurcation PCI"),
        "{missing:?}"
    );
    assert!(!missing[0].contains("All PCI") && !missing[0].contains("CTO PCI"), "{missing:?}");
    assert!(
        missing[1].starts_with(&last.in_words()) && missing[1].contains("nothing is counted"),
        "{missing:?}"
    );
    assert_eq!(page.texts(".next a")[0], format!("Count {}", before.in_words()));
    assert!(page.links_to(&format!("/settings/procedures-at-risk?year={}", before.year())));
    let stages = page.texts("section[aria-labelledby=stages] dl > div");
    assert_eq!(stages, ["Recorded 1", "In preparation 0", "Ready 1", "Presented 0", "Closed 0"]);
    assert!(page.links_to("/cases?stage=ready"));
}

#[tokio::test]
async fn months_in_a_row_that_lack_the_same_stand_in_one_line() {
    let app = TestApp::init().await;
    let month = app.app.this_month();
    no_reflow("Since then").month(&month.plus(-5).to_string()).insert(&app).await;
    let page = app.with_quality_lead().await.get("/").await;
    let rows = page.texts("section[aria-labelledby=missing] .items > li");
    assert_eq!(rows.len(), 1, "{rows:?}");
    let (first, last) = (month.plus(-5).in_words(), month.plus(-1).in_words());
    assert!(rows[0].starts_with(first.split(' ').next().unwrap()) && rows[0].contains(&last), "{rows:?}");
    assert!(
        page.text.contains("No action is open") && page.text.contains("Procedures at risk are missing for"),
        "{page}"
    );
}

#[tokio::test]
async fn what_moved_follows_every_change_at_once() {
    let app = TestApp::init().await;
    let month = app.app.this_month().to_string();
    let before = app.app.this_month().plus(-12).to_string();
    app.count_procedures(&month, "all-pci", 10).await;
    app.count_procedures(&before, "all-pci", 10).await;
    let client = app.with_reader().await;
    let moved = async || part(&client.get("/").await, "What moved");
    // Nothing is recorded, and the page has no such part; from the first case on it has.
    assert_eq!(moved().await, None);
    no_reflow("Before").month(&before).insert(&app).await;
    for _ in 0..9 {
        no_reflow("Now").month(&month).insert(&app).await;
    }
    assert!(moved().await.unwrap().contains("No-reflow rose from 100.0 to 900.0"));
    app.count_procedures(&month, "all-pci", 9).await;
    assert!(moved().await.unwrap().contains("from 100.0 to 1000.0"));
    app.count_procedures(&month, "all-pci", 10).await;
    app.execute("update complications set removed_at = '2026-02-02T00:00:00Z' where id = 10").await;
    assert!(moved().await.unwrap().contains("from 100.0 to 800.0"));
    app.execute("update complications set removed_at = null where id = 10").await;
    assert!(moved().await.unwrap().contains("from 100.0 to 900.0"));
    app.execute("update complications set mechanism = 'wire-subintimal' where id = 10").await;
    assert!(moved().await.unwrap().contains("from 100.0 to 800.0"));
    app.execute("update case_records set procedure_month = '2001-01' where id = 9").await;
    assert!(moved().await.unwrap().contains("from 100.0 to 700.0"));
    app.execute("delete from case_records where id = 1").await;
    assert!(moved().await.unwrap().contains("from 0 to 700.0"));
    app.execute("update mechanisms set label = 'Renamed' where slug = 'flow-no-reflow'").await;
    app.app.reload_vocabulary().await.unwrap();
    assert!(moved().await.unwrap().contains("Renamed rose"));
    app.execute("delete from procedures_at_risk").await;
    assert!(moved().await.unwrap().contains("There are no rates for"));
}

#[tokio::test]
async fn a_reader_sees_presented_cases_and_no_other_anywhere() {
    let app = TestApp::init().await;
    let mut codes = Vec::new();
    for (index, stage) in Stage::ALL.iter().copied().enumerate() {
        let title = format!("Zebra {}", stage.slug());
        let month = format!("2025-{:02}", index + 1);
        let placed = no_reflow(&title)
            .month(&month)
            .stage(stage)
            .action(&format!("Do {title}"), "2001-01-01")
            .insert(&app)
            .await;
        codes.push(placed.code);
    }
    conference(&app.with_attending().await, "2099-06-30", &codes).await;
    let page = app.with_reader().await.get("/").await;
    page.expect(StatusCode::OK);
    assert!(
        page.text.contains("Two cases have been presented. The next conference is on 30 June 2099"),
        "{page}"
    );
    assert_eq!(
        page.texts("section[aria-labelledby=presented] h3"),
        ["Zebra closed", "Zebra presented"],
        "newest first"
    );
    assert!(page.links_to(&format!("/cases/{}/summary", codes[4])));
    for hidden in ["Zebra recorded", "Zebra in-preparation", "Zebra ready"] {
        assert!(!page.html.contains(hidden), "{hidden}: {page}");
    }
}

#[tokio::test]
async fn the_next_conference_stands_there_with_its_cases_and_a_past_one_does_not() {
    let app = TestApp::init().await;
    let placed = no_reflow("For the room").stage(Stage::Ready).insert(&app).await;
    let attending = app.with_attending().await;
    conference(&attending, "2001-01-01", &[]).await;
    let page = attending.get("/").await;
    assert!(page.text.contains("No conference is set."), "{page}");
    assert!(page.links_to("/conferences/new"));
    let path = conference(&attending, "2099-01-01", &[placed.code]).await;
    for role in [Role::Fellow, Role::Attending, Role::QualityLead] {
        let page = app.as_role(role).await.get("/").await;
        assert!(page.links_to(&path), "{role:?}");
        assert!(page.text.contains("with one case on its agenda."), "{page}");
        assert!(part(&page, "Next conference").unwrap().contains("For the room"), "{page}");
    }
}

#[tokio::test]
async fn a_mechanism_that_moved_is_told_with_its_numbers() {
    let app = TestApp::init().await;
    let month = app.app.this_month();
    let before = month.plus(-12);
    // Newcombe, Stat Med 1998;17:873: 9/10 and 3/10 differ by 0.1705 to 0.8090, which leaves out 0.
    for (at, number) in [(month, 9), (before, 3)] {
        app.count_procedures(&at.to_string(), "all-pci", 10).await;
        for _ in 0..number {
            no_reflow("Counted").month(&at.to_string()).insert(&app).await;
        }
    }
    for role in Role::ALL.iter().copied() {
        let moved = part(&app.as_role(role).await.get("/").await, "What moved").unwrap();
        assert!(moved.contains("No-reflow rose from 300.0 to 900.0 per 1,000"), "{role:?}: {moved}");
        assert!(moved.contains("170.5 to 809.0"), "{moved}");
    }
}

#[tokio::test]
async fn an_empty_record_says_how_it_goes_to_every_role() {
    let app = TestApp::init().await;
    for (role, next) in [
        (Role::Fellow, "Record a complication"),
        (Role::Attending, "Record a complication"),
        (Role::QualityLead, "Enter procedures at risk"),
        (Role::Reader, "See the rates"),
    ] {
        let page = app.as_role(role).await.get("/").await;
        page.expect(StatusCode::OK);
        assert!(page.text.contains("Nothing is recorded yet."), "{page}");
        assert!(page.has_heading("How it goes"), "{page}");
        assert_eq!(page.count(".example"), 1);
        assert_eq!(page.texts(".next a")[0], next, "{role:?}");
        assert_eq!(page.links_to("/record"), role.writes(), "{role:?}");
    }
    app.signed_out().get("/").await.expect(StatusCode::SEE_OTHER);
}

#[tokio::test]
async fn a_part_without_rows_teaches_with_an_example() {
    let app = TestApp::init().await;
    no_reflow("Somebody's").stage(Stage::InPreparation).imported().insert(&app).await;
    for (role, headings) in [
        (Role::Fellow, vec!["Your cases", "Actions"]),
        (Role::Attending, vec!["Lessons to sign", "Actions"]),
        (Role::QualityLead, vec!["Actions"]),
        (Role::Reader, vec!["Presented cases"]),
    ] {
        let page = app.as_role(role).await.get("/").await;
        for heading in headings {
            let part = part(&page, heading).unwrap_or_else(|| panic!("{role:?} has no {heading}"));
            assert!(part.contains("For example:"), "{role:?}, {heading}: {part}");
        }
    }
}

#[tokio::test]
async fn a_script_in_the_record_is_text_on_the_overview() {
    let app = TestApp::init().await;
    let evil = "<script>alert(1)</script> \"'&";
    let placed = no_reflow(evil)
        .stage(Stage::InPreparation)
        .recorded_by(Role::Fellow)
        .lesson("prevent", evil)
        .action(evil, "2001-01-01")
        .insert(&app)
        .await;
    no_reflow(evil).stage(Stage::Presented).insert(&app).await;
    conference(&app.with_attending().await, "2099-06-30", &[placed.code]).await;
    for role in Role::ALL.iter().copied() {
        let page = app.as_role(role).await.get("/").await;
        assert!(page.text.contains(evil), "{role:?}: {page}");
        assert_eq!(page.count("script:not([src])") + page.count("[style]"), 0, "{role:?}");
    }
}
