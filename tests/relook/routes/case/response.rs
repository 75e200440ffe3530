//! Response prompts on the case page, and what a person says of them.

use relook::case::CaseCode;

use crate::support::{CaseBuilder, Page, StatusCode, TestApp};

async fn closure(app: &TestApp) -> CaseCode {
    CaseBuilder::new("Closure")
        .mechanism("balloon-dissection")
        .at_segment("lad-mid")
        .event("-20:00", "help", "Second operator in the room")
        .flow("-5:00", "lad-mid", 3)
        .event("+0:00", "balloon", "2.5 mm")
        .flow("+1:00", "lad-mid", 0)
        .event("+3:00", "decision", "Marker wire stays where it is")
        .event("+6:00", "imaging", "Ultrasound")
        .flow("+20:00", "lad-mid", 3)
        .linked("e3", "e4", "e7")
        .insert(app)
        .await
        .code
}

/// The line of a step.
fn step(page: &Page, text: &str) -> String {
    page.texts(".prompts > li")
        .into_iter()
        .find(|line| line.contains(text))
        .unwrap_or_else(|| panic!("{text}: {page}"))
}

#[tokio::test]
async fn steps_are_shown_as_the_events_show_them_with_the_caution_and_the_source() {
    let app = TestApp::init().await;
    let case = closure(&app).await;
    let page = app.with_fellow().await.get(&format!("/cases/{case}")).await;
    assert!(page.text.contains("Common practice; a teaching aid, not a protocol."), "{page}");
    assert!(step(&page, "Help called").contains("done before, event 1, before the onset"));
    let restored = step(&page, "Time of restoration");
    assert!(restored.contains("done, event 7, 20 min after the onset"), "{restored}");
    assert!(step(&page, "Pressure and rhythm").contains("not recorded"));
}

#[tokio::test]
async fn an_event_that_may_show_a_step_is_confirmed_with_one_press() {
    let app = TestApp::init().await;
    let case = closure(&app).await;
    let client = app.with_fellow().await;
    let page = client.get(&format!("/cases/{case}")).await;
    assert!(step(&page, "Wire kept in place").contains("not recorded"));
    let answer = client.press(&page, "It was event 5: Wire kept in place.").await;
    answer.expect(StatusCode::SEE_OTHER);
    let page = client.get(&format!("/cases/{case}")).await;
    let kept = step(&page, "Wire kept in place");
    assert!(kept.contains("done, event 5, 3 min after the onset; as a person said"), "{kept}");
    // It is in the file, and comes back from it.
    let file = client.get(&format!("/cases/{case}/case.toml")).await;
    assert!(file.html.contains("[[prompts]]") && file.html.contains("done_at = \"e5\""), "{file}");
}

#[tokio::test]
async fn a_step_that_does_not_apply_says_why_and_a_match_can_be_refused() {
    let app = TestApp::init().await;
    let case = closure(&app).await;
    let client = app.with_fellow().await;
    let spot = |step: &str| format!("/cases/{case}/prompts/c1/acute-vessel-closure/{step}");
    let form = client.get(&spot("circulation-supported")).await;
    let refused = client.submit(&form, &spot("circulation-supported"), &[("how", "aside")]).await;
    refused.expect(StatusCode::UNPROCESSABLE_ENTITY);
    assert!(refused.error_of("because").unwrap().contains("Say why"), "{refused}");
    let typed = [("how", "aside"), ("because", "Pressure and rhythm stayed normal.")];
    client.submit(&refused, &spot("circulation-supported"), &typed).await.expect(StatusCode::SEE_OTHER);
    let form = client.get(&spot("help-called")).await;
    client.submit(&form, &spot("help-called"), &[("how", "no")]).await.expect(StatusCode::SEE_OTHER);
    let page = client.get(&format!("/cases/{case}")).await;
    assert!(
        step(&page, "Pressure and rhythm")
            .contains("does not apply, because pressure and rhythm stayed normal;")
    );
    assert!(step(&page, "Help called").contains("not recorded"));
    // Taken back, the events speak again.
    let form = client.get(&spot("help-called")).await;
    client.submit(&form, &spot("help-called"), &[("how", "")]).await.expect(StatusCode::SEE_OTHER);
    let page = client.get(&format!("/cases/{case}")).await;
    assert!(step(&page, "Help called").contains("done before"));
}

#[tokio::test]
async fn the_answer_to_a_question_decides_which_branch_is_followed() {
    let app = TestApp::init().await;
    let case = closure(&app).await;
    let client = app.with_fellow().await;
    let spot = format!("/cases/{case}/prompts/c1/acute-vessel-closure/wired-distally");
    let answer = async |word: &str| {
        let form = client.get(&spot).await;
        client.submit(&form, &spot, &[("answer", word)]).await.expect(StatusCode::SEE_OTHER);
        client.get(&format!("/cases/{case}")).await.texts(".prompts > li").join("\n")
    };
    let wired = answer("yes").await;
    let lost = answer("no").await;
    assert!(
        lost.contains("Distal true lumen regained") && !wired.contains("Distal true lumen regained"),
        "{wired}"
    );
    assert!(lost.contains("True lumen confirmed"), "{lost}");
}

#[tokio::test]
async fn what_somebody_said_meanwhile_is_not_written_over() {
    let app = TestApp::init().await;
    let case = closure(&app).await;
    let client = app.with_fellow().await;
    let spot = format!("/cases/{case}/prompts/c1/acute-vessel-closure/clotting-time-checked");
    let (mine, theirs) = (client.get(&spot).await, client.get(&spot).await);
    mine.expect(StatusCode::OK);
    client.submit(&theirs, &spot, &[("how", "done"), ("done_at", "e5")]).await.expect(StatusCode::SEE_OTHER);
    let typed = [("how", "aside"), ("because", "None was to be had.")];
    let stale = client.submit(&mine, &spot, &typed).await;
    stale.expect(StatusCode::CONFLICT);
    assert!(stale.text.contains("None was to be had."), "{stale}");
    for nowhere in [
        "c9/acute-vessel-closure/help-called",
        "c1/no-such-list/help-called",
        "c1/acute-vessel-closure/nothing",
    ] {
        client.get(&format!("/cases/{case}/prompts/{nowhere}")).await.expect(StatusCode::NOT_FOUND);
    }
}
