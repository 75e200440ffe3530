//! Lists of response prompts: adding one, changing it, retiring it and bringing it back.

use relook::response::{LISTS, PromptList};
use relook::web::{App, Settings};

use super::reading::Reading as _;
use crate::support::{Client, Page, StatusCode, TestApp};

pub const PATH: &str = "/settings/prompts";
pub const OWN: &str = "/settings/prompts/our-slow-flow";

/// A list as a person writes one, with a remark of their own.
pub const GOOD: &str = r#"# Agreed on paper first.
slug = "our-slow-flow"
title = "Slow flow, as we do it"
source = "Our protocol of May 2026"
mechanisms = ["flow-slow"]

[[questions]]
slug = "low-pressure"
asks = "Is the pressure low?"

[[steps]]
slug = "help-called"
text = "Help called."
why = "Two more hands are there before they are needed."
signs = [{ kinds = ["help"] }]

[[steps]]
slug = "pressure-raised"
text = "Pressure raised."
why = "Drugs that widen vessels need a pressure to spend."
only_if = { question = "low-pressure", answer = "yes" }
"#;

pub async fn add(client: &Client, text: &str) -> Page {
    client.post(PATH, &[("text", text)]).await
}

/// The department's own lists, as cases have them.
pub fn own(house: &TestApp) -> Vec<PromptList> {
    house.app.department().prompts.iter().skip(LISTS.len()).cloned().collect()
}

fn titles(house: &TestApp) -> Vec<String> {
    own(house).iter().map(|list| list.title().to_owned()).collect()
}

#[tokio::test]
async fn a_list_of_the_departments_own_is_added_with_its_source_and_used_at_once() {
    let house = TestApp::init().await;
    let lead = house.with_quality_lead().await;
    let form = lead.get(&lead.get(PATH).await.link("Add a list of your own").unwrap()).await;
    form.is(StatusCode::OK);
    assert_eq!(
        form.field("The list").map(|field| (field.name, field.value)),
        Some(("text".to_owned(), String::new()))
    );
    lead.submit(&form, PATH, &[("text", GOOD)]).await.leads_to(OWN);
    assert_eq!(titles(&house), ["Slow flow, as we do it"]);

    let page = lead.get(OWN).await;
    assert_eq!(page.notice().as_deref(), Some("“Slow flow, as we do it” is added."));
    page.says("Your department’s own list.").says("Our protocol of May 2026");
    page.says("Two more hands are there before they are needed.");
    lead.get(PATH).await.says("8 lists ship; 1 of the department’s own.").says("Slow flow, as we do it");
    lead.get("/settings").await.says("8 lists ship; 1 of the department’s own.");
    // Others read it too, and the file is what was written, remarks and all.
    let reader = house.with_reader().await;
    reader.get(OWN).await.is(StatusCode::OK).says("Our protocol of May 2026").lacks("/edit\"");
    assert_eq!(reader.get(&format!("{OWN}/list.toml")).await.html, GOOD);
    // What was added is not removed: its undo retires it.
    lead.post(&page.undo().unwrap(), &[]).await.is(StatusCode::SEE_OTHER);
    assert!(own(&house).is_empty());
}

#[tokio::test]
async fn a_list_that_ships_is_a_pattern_under_a_new_name() {
    let house = TestApp::init().await;
    let lead = house.with_quality_lead().await;
    for (slug, _) in LISTS {
        let form = lead.get(&format!("{PATH}/new?from={slug}")).await;
        let text = form.value("text");
        let file = lead.get(&format!("{PATH}/{slug}/list.toml")).await.html;
        assert_eq!(text.split_once('\n').unwrap().1, file.split_once('\n').unwrap().1);
        assert!(text.starts_with(&format!("slug = \"our-{slug}\"\n")), "{text}");
        lead.submit(&form, PATH, &[]).await.leads_to(&format!("{PATH}/our-{slug}"));
    }
    assert_eq!(own(&house).len(), LISTS.len());
    // From one of the department's own, too.
    let again = lead.get(&format!("{PATH}/new?from=our-no-reflow")).await;
    assert!(again.value("text").starts_with("slug = \"our-no-reflow-2\"\n"));
}

#[tokio::test]
async fn a_name_is_given_once_also_while_its_list_is_retired() {
    let house = TestApp::init().await;
    let lead = house.with_quality_lead().await;
    add(&lead, GOOD).await.leads_to(OWN);
    let other = GOOD.replace("Slow flow, as we do it", "Another");
    let page = add(&lead, &other).await;
    page.is(StatusCode::UNPROCESSABLE_ENTITY)
        .says("Line 2, column 8: “our-slow-flow” is the lasting name of “Slow flow, as we do it” already.");
    lead.post(&format!("{OWN}/retire"), &[]).await.is(StatusCode::SEE_OTHER);
    add(&lead, &other).await.is(StatusCode::UNPROCESSABLE_ENTITY).says("already, which is retired.");
    let file = lead.get(&format!("{OWN}/list.toml")).await.html;
    assert_eq!(file, GOOD);
}

#[tokio::test]
async fn a_list_is_changed_and_keeps_its_name() {
    let house = TestApp::init().await;
    let lead = house.with_quality_lead().await;
    add(&lead, GOOD).await.leads_to(OWN);
    let path = lead.get(OWN).await.link("Change this list").unwrap();
    let form = lead.get(&path).await;
    assert_eq!(form.value("text"), GOOD);

    lead.submit(&form, &path, &[]).await.leads_to(OWN);
    assert_eq!(lead.get(OWN).await.notice().as_deref(), Some("Nothing in this list was changed."));

    let changed = GOOD.replace("May 2026", "June 2026");
    lead.submit(&form, &path, &[("text", &changed.replace('\n', "\r\n"))]).await.leads_to(OWN);
    let page = lead.get(OWN).await;
    page.says("Our protocol of June 2026");
    assert!(page.notice().unwrap().starts_with("Saved "), "{page}");
    assert_eq!(own(&house)[0].source(), "Our protocol of June 2026");
    assert_eq!(lead.get(&format!("{OWN}/list.toml")).await.html, changed);

    let form = lead.get(&path).await;
    let renamed = changed.replace("\"our-slow-flow\"", "\"our-slower-flow\"");
    let page = lead.submit(&form, &path, &[("text", &renamed)]).await;
    page.is(StatusCode::UNPROCESSABLE_ENTITY)
        .says("Line 2, column 8: The lasting name of this list is “our-slow-flow” and stays");
    assert_eq!((page.value("text"), page.value("base")), (renamed, form.value("base")));

    // A name of a step that goes takes what cases said of it out of sight, and that is said.
    let without = changed.replace("help-called", "second-operator-called");
    lead.submit(&form, &path, &[("text", &without)]).await.leads_to(OWN);
    let notice = lead.get(OWN).await.notice().unwrap();
    assert!(
        notice.ends_with("“help-called” is gone: what cases said of it is not shown any more."),
        "{notice}"
    );
}

#[tokio::test]
async fn two_who_change_one_list_both_see_what_differs() {
    let house = TestApp::init().await;
    let lead = house.with_quality_lead().await;
    add(&lead, GOOD).await.leads_to(OWN);
    let path = format!("{OWN}/edit");
    let form = lead.get(&path).await;
    let (theirs, mine) =
        (GOOD.replace("May 2026", "June 2026"), GOOD.replace("May 2026", "July <b>2026</b>"));
    lead.submit(&form, &path, &[("text", &theirs)]).await.leads_to(OWN);

    let page = lead.submit(&form, &path, &[("text", &mine)]).await;
    page.is(StatusCode::CONFLICT).says("Somebody saved this list while you wrote").lacks("<b>2026");
    assert_eq!(
        page.texts(".stale-version pre"),
        ["source = \"Our protocol of June 2026\"", "source = \"Our protocol of July <b>2026</b>\""]
    );
    assert_eq!(page.value("text"), mine);
    assert_eq!(lead.get(&format!("{OWN}/list.toml")).await.html, theirs);
    // What is wrong is told first, and the question comes again.
    let wrong = lead.submit(&form, &path, &[("text", &mine.replace("title", "titel"))]).await;
    wrong.is(StatusCode::UNPROCESSABLE_ENTITY);
    lead.submit(&wrong, &path, &[("text", &mine)]).await.is(StatusCode::CONFLICT);
    // Asked and decided, mine is saved over it.
    lead.submit(&page, &path, &[]).await.leads_to(OWN);
    assert_eq!(lead.get(&format!("{OWN}/list.toml")).await.html, mine);
    // Who wants what is there already is not asked.
    lead.submit(&form, &path, &[("text", &mine)]).await.leads_to(OWN);
    // A form that carries no fingerprint never saves over anything.
    lead.post(&path, &[("text", &theirs)]).await.is(StatusCode::CONFLICT);
}

#[tokio::test]
async fn a_list_is_retired_and_brought_back() {
    let house = TestApp::init().await;
    let lead = house.with_quality_lead().await;
    add(&lead, GOOD).await.leads_to(OWN);
    let page = lead.get(OWN).await;
    lead.press(&page, "Retire: Slow flow, as we do it")
        .await
        .leads_to("/settings/prompts#list-our-slow-flow");
    assert!(own(&house).is_empty());
    let page = lead.get(PATH).await;
    page.says("8 lists ship; 1 retired.").has("id=\"list-our-slow-flow\"");
    assert!(page.has_heading("Retired"), "{page}");
    let undo = page.undo().unwrap();
    assert_eq!(undo, format!("{OWN}/bring-back"));
    house
        .with_reader()
        .await
        .get(OWN)
        .await
        .is(StatusCode::OK)
        .says("This list is retired: no case shows it.");

    // It can be changed while it is retired, and stays so.
    let path = format!("{OWN}/edit");
    let changed = GOOD.replace("May 2026", "June 2026");
    lead.submit(&lead.get(&path).await, &path, &[("text", &changed)]).await.leads_to(OWN);
    assert!(own(&house).is_empty());

    lead.post(&undo, &[]).await.is(StatusCode::SEE_OTHER);
    assert_eq!(titles(&house), ["Slow flow, as we do it"]);
    assert_eq!(own(&house)[0].source(), "Our protocol of June 2026");
    lead.get(PATH).await.says("“Slow flow, as we do it” is shown beside cases again.");
}

#[tokio::test]
async fn what_was_added_and_what_was_retired_is_there_after_a_restart() {
    let house = TestApp::init().await;
    let lead = house.with_quality_lead().await;
    add(&lead, GOOD).await.leads_to(OWN);
    add(&lead, &GOOD.replace("our-slow-flow", "our-other-list")).await.is(StatusCode::SEE_OTHER);
    lead.post("/settings/prompts/our-other-list/retire", &[]).await.is(StatusCode::SEE_OTHER);
    let app = App::new(house.app.database.clone(), Settings::default()).await.unwrap();
    assert_eq!(app.department().prompts, house.app.department().prompts);
    assert_eq!(app.department().prompts.len(), LISTS.len() + 1);
}

#[tokio::test]
async fn a_list_for_a_mechanism_that_only_contributes_says_that_it_never_comes_up() {
    let house = TestApp::init().await;
    let held = house.app.vocabulary();
    let leaf = held.mechanisms.iter().find(|leaf| leaf.role.slug() == "contributory").expect("such a leaf");
    let lead = house.with_quality_lead().await;
    let text = GOOD.replace("[\"flow-slow\"]", &format!("[\"flow-slow\", \"{}\"]", leaf.slug));
    add(&lead, &text).await.leads_to(OWN);
    let page = lead.get(OWN).await;
    assert_eq!(page.count(".for-mechanisms .look-here"), 1, "{page}");
    page.says("it only contributes to another harm");
}
