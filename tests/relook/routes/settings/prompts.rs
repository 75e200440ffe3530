//! Lists of response prompts: reading them, as pages and as files, and lists that cannot be read.

use relook::department::PromptWords;
use relook::response::{CAUTION, LISTS, PromptList, standard_lists};
use relook::web::{App, Settings};

use super::reading::Reading as _;
use crate::support::{Page, Role, StatusCode, TestApp};

const PATH: &str = "/settings/prompts";

/// The lists that ship, read with the words of a department.
fn shipped(house: &TestApp) -> Vec<PromptList> {
    standard_lists(&PromptWords::of(&house.app.vocabulary()).allowed()).unwrap()
}

fn label(house: &TestApp, mechanism: &str) -> String {
    house.app.vocabulary().mechanism_label(&mechanism.parse().unwrap())
}

/// Every link to a place of the same page finds it.
fn assert_links_meet(page: &Page) {
    let ids = page.attributes("id");
    for link in page.attributes("href") {
        if let Some(id) = link.strip_prefix('#') {
            assert!(ids.iter().any(|own| own == id), "{page}: nothing is at {link}");
        }
    }
}

/// One heading of the first level, then no level left out; every field with a label.
fn assert_can_be_found_by_ear(page: &Page) {
    assert_eq!(page.count("h1"), 1, "{page}");
    assert_eq!(page.count("main h4, main h5, main h6"), 0, "{page}");
    for section in page.attributes("aria-labelledby") {
        assert_eq!(page.count(&format!("[id='{section}']")), 1, "{page}: {section}");
    }
    for field in page.attributes("name").iter().filter(|name| *name == "text") {
        assert_eq!(page.count(&format!("label[for='{field}']")), 1, "{page}: {field}");
    }
    let ids = page.attributes("id");
    let mut once = ids.clone();
    once.sort();
    once.dedup();
    assert_eq!(ids.len(), once.len(), "{page}: an id stands twice");
}

#[tokio::test]
async fn everybody_finds_every_list_with_what_it_is_for() {
    let house = TestApp::init().await;
    for role in Role::ALL {
        let page = house.as_role(*role).await.get(PATH).await;
        page.is(StatusCode::OK).says("8 lists ship.").says(CAUTION);
        assert!(page.has_heading("What a list is"), "{page}");
        for list in shipped(&house) {
            let path = format!("{PATH}/{}", list.slug());
            assert_eq!(page.link(list.title()).as_deref(), Some(path.as_str()));
            for mechanism in list.mechanisms() {
                page.says(&label(&house, mechanism.as_str()));
            }
            page.says(&format!("{} steps, ", list.steps().len()));
        }
        assert_eq!(page.links_to("/settings/prompts/new"), role.keeps(), "{role}");
        assert_eq!(page.has_heading("Your department’s own"), role.keeps(), "{role}");
        assert!(!page.has_heading("Retired"));
        assert_can_be_found_by_ear(&page);
    }
}

#[tokio::test]
async fn the_settings_lead_to_the_lists() {
    let house = TestApp::init().await;
    for role in Role::ALL {
        let page = house.as_role(*role).await.get("/settings").await;
        assert_eq!(page.link("Response prompts").as_deref(), Some(PATH), "{role}");
        page.says("8 lists ship.");
    }
}

#[tokio::test]
async fn a_list_is_read_from_its_source_to_its_last_step() {
    let house = TestApp::init().await;
    let reader = house.with_reader().await;
    for list in shipped(&house) {
        let page = reader.get(&format!("{PATH}/{}", list.slug())).await;
        page.is(StatusCode::OK).says("This list ships with Relook.").says(list.source());
        assert_eq!(page.heading(), list.title());
        assert_eq!(page.html.matches(CAUTION).count(), 2, "on screen, and at the end on paper");
        for mechanism in list.mechanisms() {
            page.says(&label(&house, mechanism.as_str()))
                .has(&format!("href=\"/settings/mechanisms#leaf-{mechanism}\""));
        }
        for question in list.questions() {
            assert!(page.has_heading(&question.asks), "{page}: {}", question.asks);
        }
        let headings: Vec<String> =
            list.steps().iter().zip(1..).map(|(step, number)| format!("{number} {}", step.text)).collect();
        assert_eq!(page.texts("ol > li > h3"), headings);
        for step in list.steps() {
            page.says(&step.why);
        }
        assert!(page.links_to(&format!("{PATH}/{}/list.toml", list.slug())));
        page.lacks("/edit\"").lacks("/retire\"").lacks("/new");
        assert_links_meet(&page);
        assert_can_be_found_by_ear(&page);
    }
}

#[tokio::test]
async fn conditions_orders_and_signs_are_said_in_words() {
    let house = TestApp::init().await;
    let page = house.with_fellow().await.get(&format!("{PATH}/acute-vessel-closure")).await;
    let row = |id: &str| page.texts(&format!("[id='{id}']")).pop().unwrap_or_else(|| panic!("no {id}"));
    let has = |row: &str, part: &str| assert!(row.contains(part), "{row}\nlacks {part}");

    let dissection = row("question-dissection");
    has(&dissection, "Only when: Did a wire lie in the distal true lumen when the vessel closed? yes");
    has(&dissection, "Yes by the mechanism Balloon dissection; Stent edge dissection;");
    has(&row("question-wired-distally"), "No by the mechanism Wire dissection; Wire position lost");
    has(
        &row("question-not-restored"),
        "No by an event Flow change, imaging, contrast, finding, balloon, stent or outcome; with TIMI 3; in the same vessel; after it was recognised; after flow was lost there",
    );
    has(&row("question-large-territory"), "A person answers.");

    has(&row("step-help-called"), "Also counts when it was done before the complication began");
    has(&row("step-help-called"), "Shown by Call for help; at any time");
    let sealed = row("step-seal-with-stent");
    has(&sealed, "Only when: Is a dissection the cause? yes");
    has(&sealed, "Shown by Stent; in the same vessel; after it was recognised");
    has(
        &sealed,
        "Only suggested by Stent; upstream or downstream of the vessel, not in it; after it was recognised",
    );
    let confirmed = row("step-true-lumen-confirmed");
    has(&confirmed, "Only when: Did a wire lie in the distal true lumen when the vessel closed? no");
    has(&confirmed, "Comes before “Balloon or stent used in the vessel”");
    has(
        &confirmed,
        "Imaging; device: intravascular imaging; in the same vessel; after it was recognised; after “Distal true lumen regained with a wire” was done",
    );
    has(&row("step-wire-kept"), "Shown by no event alone: a person says so");
    has(&row("step-guide-checked"), "an event that says “damp…”, “undamped”");
    // The one source of all steps stands once.
    let source = "Common practice, from memory; verify before you rely on it.";
    assert_eq!(page.text.matches(source).count(), 1, "{page}");
}

#[tokio::test]
async fn a_list_can_be_kept_as_a_file_that_reads_back() {
    let house = TestApp::init().await;
    let reader = house.with_reader().await;
    for list in shipped(&house) {
        let file = reader.get(&format!("{PATH}/{}/list.toml", list.slug())).await;
        file.is(StatusCode::OK);
        assert_eq!(file.headers["content-type"], "application/toml; charset=utf-8");
        assert_eq!(
            file.headers["content-disposition"],
            format!("attachment; filename=\"{}.toml\"", list.slug())
        );
        let vocabulary = house.app.vocabulary();
        let read = PromptList::parse(&file.html, &PromptWords::of(&vocabulary).allowed());
        assert_eq!(read.as_ref(), Ok(&list));
    }
}

#[tokio::test]
async fn a_name_that_no_list_has_is_no_page() {
    let house = TestApp::init().await;
    let lead = house.with_quality_lead().await;
    for slug in ["no-such-list", "NO-REFLOW", "no-reflow'--", "%2e%2e", "%FF%FE", &"x".repeat(2000)] {
        for rest in ["", "/list.toml", "/edit"] {
            let page = lead.get(&format!("{PATH}/{slug}{rest}")).await;
            let expected = [StatusCode::NOT_FOUND, StatusCode::BAD_REQUEST];
            assert!(expected.contains(&page.status), "{page}");
        }
    }
    lead.get(&format!("{PATH}/new?from=no-such-list")).await.is(StatusCode::NOT_FOUND);
    // What ships can be read, not changed.
    for (slug, _) in LISTS {
        lead.get(&format!("{PATH}/{slug}/edit")).await.is(StatusCode::NOT_FOUND);
        for way in ["edit", "retire", "bring-back"] {
            lead.post(&format!("{PATH}/{slug}/{way}"), &[("text", "x")]).await.is(StatusCode::NOT_FOUND);
        }
    }
    assert_eq!(house.app.department().prompts.len(), LISTS.len());
}

/// A list with a mechanism that the tree has lost, one that is no list, and a sound one.
const BAD: &str = r#"insert into prompt_lists (slug, text, retired) values
    ('lost-leaf', 'slug = "lost-leaf"
title = "Lost"
source = "Ours"
mechanisms = ["flow-lost-leaf"]
[[steps]]
slug = "look"
text = "A <b>look</b>."
why = "To see."
', 0),
    ('no-list', '<b>bold</b> & "nothing"', 0),
    ('retired-no-list', '', 1),
    ('sound', 'slug = "sound"
title = "A sound list"
source = "Ours"
mechanisms = ["flow-slow"]
[[steps]]
slug = "look"
text = "A look."
why = "To see."
', 0)"#;

#[tokio::test]
async fn an_own_list_that_cannot_be_read_is_left_out_and_shown_with_the_reason() {
    let house = TestApp::init().await;
    house.execute(BAD).await;
    // The next start goes through, with what can be read.
    let app = App::new(house.app.database.clone(), Settings::default()).await.unwrap();
    let own: Vec<String> =
        app.department().prompts.iter().skip(LISTS.len()).map(|list| list.slug().to_string()).collect();
    assert_eq!(own, ["sound"]);

    house.app.reload_department().await.unwrap();
    for role in [Role::Reader, Role::QualityLead] {
        let visitor = house.as_role(role).await;
        let page = visitor.get(PATH).await;
        page.is(StatusCode::OK)
            .says("8 lists ship; 3 of the department’s own; 1 retired. Look here: 2 cannot be read.")
            .says("Cannot be read: Line 4, column 15: “flow-lost-leaf” is not a mechanism.")
            .says("A sound list");
        visitor.get("/settings").await.says("Look here: 2 cannot be read.");
        let lost = visitor.get(&format!("{PATH}/lost-leaf")).await;
        lost.is(StatusCode::OK)
            .says("Cannot be read: Line 4, column 15: “flow-lost-leaf” is not a mechanism.");
        lost.says("A <b>look</b>.").lacks("<b>look");
        assert_eq!(lost.links_to(&format!("{PATH}/lost-leaf/edit")), role.keeps());
        assert_can_be_found_by_ear(&lost);
        visitor.get(&format!("{PATH}/no-list")).await.is(StatusCode::OK).lacks("<b>bold");
        let file = visitor.get(&format!("{PATH}/no-list/list.toml")).await;
        assert_eq!(file.html, "<b>bold</b> & \"nothing\"");
    }

    // Mended, it is used.
    let lead = house.with_quality_lead().await;
    let path = format!("{PATH}/lost-leaf/edit");
    let form = lead.get(&path).await;
    let mended = form.value("text").replace("flow-lost-leaf", "flow-air");
    lead.submit(&form, &path, &[("text", &mended)]).await.leads_to(&format!("{PATH}/lost-leaf"));
    assert!(house.app.department().prompts.iter().any(|list| *list.slug() == *"lost-leaf"));
    lead.get(PATH).await.says("Look here: 1 cannot be read.");
}

#[tokio::test]
async fn an_own_list_whose_name_a_shipped_one_has_by_now_can_be_given_another() {
    let house = TestApp::init().await;
    house
        .execute(
            r#"insert into prompt_lists (slug, text, retired) values ('no-reflow', 'slug = "no-reflow"
title = "Ours of before"
source = "Ours"
mechanisms = ["flow-slow"]
[[steps]]
slug = "look"
text = "A look."
why = "To see."
', 0)"#,
        )
        .await;
    house.app.reload_department().await.unwrap();
    assert_eq!(house.app.department().prompts.len(), LISTS.len());
    let lead = house.with_quality_lead().await;
    let page = lead.get(PATH).await;
    page.says("Cannot be read: A list that ships has the same lasting name.");
    lead.get(&format!("{PATH}/no-reflow")).await.says("This list ships with Relook.");
    let form = lead.get(&page.link("Add it under another name").unwrap()).await;
    assert!(form.value("text").starts_with("slug = \"our-no-reflow\"\ntitle = \"Ours of before\"\n"));
    lead.submit(&form, PATH, &[]).await.leads_to(&format!("{PATH}/our-no-reflow"));
    // Under its old name it is not saved again.
    let edit = format!("{PATH}/no-reflow/edit");
    let form = lead.get(&edit).await;
    let changed = form.value("text").replace("To see.", "To look.");
    lead.submit(&form, &edit, &[("text", &changed)])
        .await
        .is(StatusCode::UNPROCESSABLE_ENTITY)
        .says("A list that ships has this lasting name by now.");
    lead.press(&lead.get(PATH).await, "Retire: no-reflow").await.is(StatusCode::SEE_OTHER);
    lead.get(PATH).await.says("8 lists ship; 1 of the department’s own; 1 retired.");
}
