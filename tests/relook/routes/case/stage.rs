//! A case on its way from recorded to closed.

use relook::case::Stage;

use crate::support::{CaseBuilder, Client, Page, Placed, Role, StatusCode, TestApp};

async fn move_to(client: &Client, case: Placed, stage: Stage) -> Page {
    client.post(&format!("/cases/{}/stage", case.code), &[("to", stage.slug())]).await
}

#[tokio::test]
async fn a_complete_case_goes_all_the_way_by_the_button_that_comes_first() {
    let app = TestApp::init().await;
    let case = CaseBuilder::new("Whole").complete().insert(&app).await;
    let client = app.with_attending().await;
    let path = format!("/cases/{}", case.code);
    for (label, then) in [
        ("Start preparing", "In preparation"),
        ("Mark as ready", "Ready"),
        ("Mark as presented", "Presented"),
        ("Close the case", "Closed"),
    ] {
        let answer = client.press(&client.get(&path).await, label).await;
        answer.expect(StatusCode::SEE_OTHER);
        let page = client.follow(&answer).await;
        let notice = page.notice().unwrap();
        assert!(notice.starts_with(&format!("The case is {} since ", then.to_lowercase())), "{notice}");
        assert_eq!(page.texts("[aria-current='step']"), [then.to_lowercase()]);
        assert!(page.texts("#case-status")[0].starts_with(then), "{page}");
    }
}

#[tokio::test]
async fn a_case_that_lacks_something_is_not_ready_and_says_what_it_lacks() {
    let app = TestApp::init().await;
    let case = CaseBuilder::new("Short")
        .complete()
        .with(|case| case.patient.age = None)
        .stage(Stage::InPreparation)
        .insert(&app)
        .await;
    let client = app.with_fellow().await;
    let refused = move_to(&client, case, Stage::Ready).await;
    refused.expect(StatusCode::CONFLICT);
    assert!(refused.text.contains("age"), "{refused}");
    let page = client.get(&format!("/cases/{}", case.code)).await;
    assert_eq!(page.texts("#checks li.todo"), ["Missing: The patient's age"]);
    assert!(page.texts("#case-status")[0].contains("One thing is missing before it is ready"), "{page}");
    assert_eq!(page.button("Mark as ready"), None, "{page}");
}

#[tokio::test]
async fn a_case_goes_one_step_at_a_time() {
    let app = TestApp::init().await;
    let client = app.with_quality_lead().await;
    let at = |stage: Stage| Stage::ALL.iter().position(|each| *each == stage).unwrap();
    for from in Stage::ALL.iter().copied() {
        for to in Stage::ALL.iter().copied() {
            let case = CaseBuilder::new("Steps").complete().stage(from).insert(&app).await;
            let page = move_to(&client, case, to).await;
            let one_step = at(from).abs_diff(at(to)) == 1;
            page.expect(if one_step { StatusCode::SEE_OTHER } else { StatusCode::CONFLICT });
            let now = app.case(case.code).await.head.stage;
            assert_eq!(now, if one_step { to } else { from });
        }
    }
}

#[tokio::test]
async fn only_who_signs_closes_and_reopens_a_case() {
    let app = TestApp::init().await;
    for (role, status) in [
        (Role::Fellow, StatusCode::CONFLICT),
        (Role::Attending, StatusCode::SEE_OTHER),
        (Role::QualityLead, StatusCode::SEE_OTHER),
    ] {
        let client = app.as_role(role).await;
        for (from, to) in [(Stage::Presented, Stage::Closed), (Stage::Closed, Stage::Presented)] {
            let case = CaseBuilder::new("Closing").complete().stage(from).insert(&app).await;
            let page = move_to(&client, case, to).await;
            page.expect(status);
            if status == StatusCode::CONFLICT {
                assert!(page.text.contains("An attending"), "{page}");
            }
        }
    }
}

#[tokio::test]
async fn a_case_with_an_open_action_is_not_closed() {
    let app = TestApp::init().await;
    let case = CaseBuilder::new("Open")
        .complete()
        .action("A second wire", "2026-09-01")
        .stage(Stage::Presented)
        .insert(&app)
        .await;
    let client = app.with_attending().await;
    let refused = move_to(&client, case, Stage::Closed).await;
    refused.expect(StatusCode::CONFLICT);
    assert!(refused.text.contains("One action is still open."), "{refused}");
    let page = client.get(&format!("/cases/{}", case.code)).await;
    let done = client.press(&page, "Mark as done").await;
    done.expect(StatusCode::SEE_OTHER);
    let page = client.follow(&done).await;
    assert_eq!(page.notice().unwrap(), "The action is done.");
    move_to(&client, case, Stage::Closed).await.expect(StatusCode::SEE_OTHER);
}

#[tokio::test]
async fn a_stage_that_is_none_is_refused_with_a_sentence() {
    let app = TestApp::init().await;
    let case = CaseBuilder::new("Nowhere").insert(&app).await;
    let client = app.with_attending().await;
    for to in ["", "Ready", "archived", "ready; drop table cases", "\u{7}"] {
        let page = client.post(&format!("/cases/{}/stage", case.code), &[("to", to)]).await;
        page.expect(StatusCode::BAD_REQUEST);
        assert!(page.text.contains("There is no such stage."), "{page}");
    }
    assert_eq!(app.case(case.code).await.head.stage, Stage::Recorded);
}
