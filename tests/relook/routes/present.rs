//! The pages of a presentation: who may see them, what their sources hold, and the page on which the
//! screens are arranged.

use relook::case::Case;

use crate::support::{CaseBuilder, Page, StatusCode, TestApp, of};

const AFTER: [&str; 6] =
    ["Perforation seen", "zq-followed", "zq-outcome", "zq-lesson", "zq-situation", "Closed by the balloon"];

fn case() -> CaseBuilder {
    CaseBuilder::new("Closed by the balloon")
        .situation("It went zq-situation wrong.")
        .narrative("All of it, zq-narrative.")
        .event("-3:00", "access", "Sheath in")
        .flow("+2:00", "lad-mid", 3)
        .event("+8:00", "finding", "A lucent line")
        .event("+11:00", "balloon", "Perforation seen")
        .event("+15:00", "drug", "Protamine given")
        .signed_lesson("prevent", "Look twice, zq-lesson.")
        .with(|case: &mut Case| {
            case.outcome.discharge = Some(of("Home on day 3, zq-outcome."));
            let decisions = r#"
                [[decisions]]
                key = "d1"
                at = "+9:00"
                question = "Inflate or prove the lumen?"
                chosen = 1
                chosen_by = "first operator"
                followed = "The contrast stayed, zq-followed."
                [[decisions.options]]
                text = "Inflate <b>now</b>"
                for = ["The wire went far"]
                [[decisions.options]]
                text = "Prove it"
                [[decisions]]
                key = "d2"
                at = "+12:00"
                question = "Seal it how?"
                chosen = 2
                [[decisions.options]]
                text = "Balloon"
                [[decisions.options]]
                text = "Covered stent"
            "#;
            let parsed: Decisions = toml::from_str(decisions).unwrap();
            case.decisions = parsed.decisions;
        })
}

#[derive(serde::Deserialize)]
struct Decisions {
    decisions: Vec<relook::case::Decision>,
}

fn shown(page: &Page) -> Vec<String> {
    page.attributes("data-key")
}

#[tokio::test]
async fn no_source_holds_what_came_after_a_stop_point_before_it_is_passed() {
    let app = TestApp::init().await;
    let code = case().insert(&app).await.code;
    let client = app.with_fellow().await;
    for window in ["present", "presenter"] {
        let page = client.get(&format!("/cases/{code}/{window}")).await;
        page.expect(StatusCode::OK);
        for known in
            ["Sheath in", "A lucent line", "Inflate or prove the lumen?", "Inflate &lt;b&gt;now&lt;/b&gt;"]
        {
            assert!(page.html.contains(known), "{known}: {page}");
        }
        for later in
            AFTER.iter().chain(&["Seal it how?", "zq-narrative", "Option 1 was chosen", "first operator"])
        {
            assert!(!page.html.contains(later), "{window} tells {later}");
        }
        assert!(!page.html.contains("<b>now") && page.handlers().is_empty());
        assert_eq!(shown(&page).last().map(String::as_str), Some("stop-d1_answer"));
    }
    let second = client.get(&format!("/cases/{code}/present/segments/1")).await;
    assert_eq!(shown(&second).first().map(String::as_str), Some("after-d1"));
    for told in ["zq-followed", "Perforation seen", "Seal it how?"] {
        assert!(second.html.contains(told), "{told}: {second}");
    }
    for later in ["Protamine given", "zq-outcome", "zq-lesson", "zq-situation", "Option 2 was chosen"] {
        assert!(!second.html.contains(later), "the second part tells {later}");
    }
    let third = client.get(&format!("/cases/{code}/present/segments/2")).await;
    for told in ["Protamine given", "zq-outcome", "zq-lesson", "zq-situation", "Closed by the balloon"] {
        assert!(third.html.contains(told), "{told}: {third}");
    }
    for nothing in ["3", "-1", "x", "99999999999999999999"] {
        client.get(&format!("/cases/{code}/present/segments/{nothing}")).await.expect(StatusCode::NOT_FOUND);
    }
    // Who has no script follows a link from stop to stop.
    let page = client.get(&format!("/cases/{code}/present")).await;
    assert!(page.links_to(&format!("/cases/{code}/present?to=1#after-stop")), "{page}");
    let page = client.get(&format!("/cases/{code}/present?to=1")).await;
    assert!(page.html.contains("zq-followed") && !page.html.contains("zq-lesson"));
    let all = client.get(&format!("/cases/{code}/present?to=77&minutes=12")).await;
    assert_eq!(all.attr("[data-minutes]", "data-minutes").as_deref(), Some("12"));
    assert!(all.html.contains("zq-lesson"));
}

#[tokio::test]
async fn a_reader_sees_no_page_of_a_presentation() {
    let app = TestApp::init().await;
    let code = case().stage(relook::case::Stage::Presented).insert(&app).await.code;
    let reader = app.with_reader().await;
    for path in ["deck", "present", "presenter", "present/segments/0"] {
        reader.get(&format!("/cases/{code}/{path}")).await.expect(StatusCode::FORBIDDEN);
    }
    let page = reader.get(&format!("/cases/{code}")).await;
    assert!(!page.links_to(&format!("/cases/{code}/present")));
    let fellow = app.with_fellow().await;
    assert!(fellow.get(&format!("/cases/{code}")).await.links_to(&format!("/cases/{code}/present")));
    fellow.get("/cases/2026-999/present").await.expect(StatusCode::NOT_FOUND);
}

/// The form as a page has it, with a button pressed and fields typed anew.
async fn send(app: &TestApp, page: &Page, path: &str, button: (&str, &str), typed: &[(&str, &str)]) -> Page {
    let client = app.with_fellow().await;
    let mut fields = page.form(path);
    for (name, value) in typed {
        fields.retain(|(other, _)| other != name);
        fields.push(((*name).to_owned(), (*value).to_owned()));
    }
    fields.push((button.0.to_owned(), button.1.to_owned()));
    let fields: Vec<(&str, &str)> = fields.iter().map(|(n, v)| (n.as_str(), v.as_str())).collect();
    client.post(path, &fields).await
}

#[tokio::test]
async fn a_fellow_gives_the_screens_an_order_hides_one_and_writes_notes() {
    let app = TestApp::init().await;
    let code = case().insert(&app).await.code;
    let (path, client) = (format!("/cases/{code}/deck"), app.with_fellow().await);
    let page = client.get(&path).await;
    let before = page.values("screen");
    assert!(page.text.contains("two stop points") || page.text.contains("2 stop points"), "{page}");
    let saved = send(
        &app,
        &page,
        &path,
        ("move", "up end"),
        &[("hidden", "outcome"), ("notes-title", "Good <i>morning</i>")],
    )
    .await;
    saved.expect(StatusCode::SEE_OTHER);
    assert!(saved.location().ends_with("#line-end"));
    let page = client.get(&path).await;
    let after = page.values("screen");
    assert_eq!(
        after.iter().position(|key| key == "end"),
        before.iter().position(|key| key == "end").map(|at| at - 1)
    );
    assert_eq!(page.value("notes-title"), "Good <i>morning</i>");
    let all = client.get(&format!("/cases/{code}/present?to=9")).await;
    assert!(
        all.html.contains("Good &#60;i&#62;morning") || all.html.contains("Good &lt;i&gt;morning"),
        "{all}"
    );
    assert!(!shown(&all).contains(&"outcome".to_owned()));

    // What would tell too early is refused, with the reason; what was typed stays.
    let early = send(&app, &page, &path, ("move", "up after-d1"), &[("notes-end", "Typed meanwhile")]).await;
    // The answer screen stands between: it may change places with what follows.
    let mut refused = early;
    let mut tries = 0;
    while refused.status == StatusCode::SEE_OTHER && tries < 6 {
        let page = client.get(&path).await;
        refused =
            send(&app, &page, &path, ("move", "up after-d1"), &[("notes-end", "Typed meanwhile")]).await;
        tries += 1;
    }
    refused.expect(StatusCode::UNPROCESSABLE_ENTITY);
    assert!(
        refused.text.contains("tells what came after the question “Inflate or prove the lumen?”"),
        "{refused}"
    );
    assert_eq!(refused.value("notes-end"), "Typed meanwhile");

    let long = "x".repeat(2_001);
    let page = client.get(&path).await;
    let refused = send(&app, &page, &path, ("save", "all"), &[("notes-end", &long)]).await;
    refused.expect(StatusCode::UNPROCESSABLE_ENTITY);
    assert!(refused.text.contains("At most 2000 characters"), "{refused}");
    assert_eq!(refused.attr("#notes-end", "aria-invalid").as_deref(), Some("true"));

    let last = [("notes-end", "Typed before the order was given back")];
    let reset = send(&app, &client.get(&path).await, &path, ("reset", "order"), &last).await;
    reset.expect(StatusCode::SEE_OTHER);
    let page = client.get(&path).await;
    assert_eq!(page.value("notes-end"), last[0].1);
    assert_eq!(page.values("screen"), before);
    assert_eq!(page.value("notes-title"), "Good <i>morning</i>");
}

#[tokio::test]
async fn two_people_who_arrange_the_same_screens_see_both_versions() {
    let app = TestApp::init().await;
    let code = case().insert(&app).await.code;
    let path = format!("/cases/{code}/deck");
    let page = app.with_fellow().await.get(&path).await;
    send(&app, &page, &path, ("save", "all"), &[("notes-end", "Theirs")]).await.expect(StatusCode::SEE_OTHER);
    let stale = send(&app, &page, &path, ("save", "all"), &[("notes-end", "Mine")]).await;
    stale.expect(StatusCode::CONFLICT);
    assert_eq!(stale.value("notes-end"), "Mine");
    assert!(stale.text.contains("Notes: Theirs"), "{stale}");
    send(&app, &stale, &path, ("save", "all"), &[]).await.expect(StatusCode::SEE_OTHER);
    assert_eq!(app.with_fellow().await.get(&path).await.value("notes-end"), "Mine");
}
