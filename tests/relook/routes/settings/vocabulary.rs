//! Mechanisms and causes.

use relook::case::Stage;

use super::reading::Reading as _;
use crate::support::{CaseBuilder, Role, StatusCode, TestApp};

const GOOD: [(&str, &str); 8] = [
    ("branch", "wire"),
    ("label", "Wire knotted in the guide"),
    ("slug", ""),
    ("definition", "A wire tied itself into a knot that would not pass the guide."),
    ("example", "Two wires were turned in one direction for ten minutes, and neither came back."),
    ("words", "knot, tangle\nTwisted; tangle"),
    ("at_risk", "all-pci"),
    ("role", "primary"),
];

const GOOD_CAUSE: [(&str, &str); 8] = [
    ("branch", "team"),
    ("label", "Nobody had met before"),
    ("slug", "tm-first-meeting"),
    ("definition", "The people at the table worked together for the first time."),
    ("example", "Three of four had started that week, and nobody knew who would call for help."),
    ("words", "new team"),
    ("london_protocol", "team"),
    ("icps", ""),
];

fn with<'a>(good: &[(&'a str, &'a str)], field: &str, value: &'a str) -> Vec<(&'a str, &'a str)> {
    good.iter().map(|(name, held)| (*name, if *name == field { value } else { held })).collect()
}

#[tokio::test]
async fn the_handbook_shows_each_leaf_with_what_it_means() {
    let house = TestApp::init().await;
    let reader = house.as_role(Role::Reader).await;
    let held = house.app.vocabulary();
    let page = reader.get("/settings/mechanisms").await;
    page.is(StatusCode::OK)
        .says(&format!("{} mechanisms to choose from; 0 used so far.", held.mechanisms.len()));
    for leaf in &held.mechanisms {
        page.says(&leaf.label)
            .says(&leaf.definition)
            .says(&leaf.example)
            .has(&format!("id=\"leaf-{}\"", leaf.slug));
        page.says(&format!("at risk: {}", held.stratum(&leaf.at_risk).unwrap().label));
    }
    let page = reader.get("/settings/causes").await;
    for leaf in &held.causes {
        page.says(&leaf.label)
            .says(&leaf.definition)
            .says(&leaf.example)
            .says(&format!("London Protocol: {}", leaf.london_protocol));
    }
}

#[tokio::test]
async fn a_mechanism_of_the_departments_own_is_added_and_offered_at_once() {
    let house = TestApp::init().await;
    let lead = house.with_quality_lead().await;
    lead.get("/settings/mechanisms/new").await.is(StatusCode::OK).says("Add a mechanism of your own");
    lead.post("/settings/mechanisms/new", &GOOD)
        .await
        .leads_to("/settings/mechanisms#leaf-wire-knotted-in-the-guide");
    let held = house.app.vocabulary();
    let leaf = held.mechanism(&"wire-knotted-in-the-guide".parse().unwrap()).expect("the leaf");
    assert!(leaf.own && !leaf.retired);
    assert_eq!(leaf.words, ["knot", "tangle", "twisted"]);
    let page = lead.get("/settings/mechanisms").await;
    page.says("“Wire knotted in the guide” is added; its lasting name is wire-knotted-in-the-guide.");
    page.says("the department’s own").says("Found by: knot, tangle, twisted");
    // What was added is not removed: its undo retires it.
    lead.post(&page.undo().unwrap(), &[]).await.is(StatusCode::SEE_OTHER);
    assert!(house.app.vocabulary().mechanism(&leaf.slug).unwrap().retired);
}

#[tokio::test]
async fn a_cause_of_the_departments_own_is_added_with_its_mapping_left_open() {
    let house = TestApp::init().await;
    let lead = house.with_quality_lead().await;
    lead.post("/settings/causes/new", &GOOD_CAUSE).await.leads_to("/settings/causes#leaf-tm-first-meeting");
    let held = house.app.vocabulary();
    let leaf = held.cause(&"tm-first-meeting".parse().unwrap()).expect("the leaf");
    assert_eq!((leaf.london_protocol.as_str(), leaf.icps.as_str()), ("team", "not settled"));
}

#[tokio::test]
async fn wrong_mechanisms_go_back_with_what_was_typed() {
    let long_label = "x".repeat(81);
    let long_text = "long ".repeat(121);
    let huge = "h".repeat(300_000);
    let long_slug = "s".repeat(49);
    let long_word = "w".repeat(41);
    let many_words: String = (0..25).map(|number| format!("word{number}\n")).collect();
    let wrong: &[(&str, &str, &str)] = &[
        ("branch", "", "Choose a branch of the list."),
        ("branch", "team", "Choose a branch of the list."),
        ("branch", "wire' or 1=1", "Choose a branch of the list."),
        ("label", "", "Say what it is called."),
        ("label", " \t ", "Say what it is called."),
        ("label", &long_label, "At most 80 characters fit here; this has 81."),
        ("label", "Two\nlines", "Keep it to one line."),
        ("label", "a bell \u{7} rings", "invisible control character"),
        ("label", "half \u{FFFD}", "did not arrive whole"),
        ("label", "心", "No lasting name can be made from this label."),
        ("label", "7", "No lasting name can be made from this label."),
        ("label", "NO-REFLOW", "There is a mechanism of this label already."),
        ("slug", "Wire Knot", "A slug is 2 to 48 characters"),
        ("slug", "-knot", "A slug is 2 to 48 characters"),
        ("slug", "knot--two", "A slug is 2 to 48 characters"),
        ("slug", "k", "A slug is 2 to 48 characters"),
        ("slug", &long_slug, "A slug is 2 to 48 characters"),
        ("slug", "../../etc", "A slug is 2 to 48 characters"),
        ("slug", "flow-no-reflow", "“flow-no-reflow” is the lasting name of “No-reflow”."),
        ("slug", "pt-anatomy-hostile", "is the lasting name of “Hostile anatomy”."),
        ("definition", "", "Say in one line what it is."),
        ("definition", &long_text, "At most 600 characters fit here"),
        ("definition", &huge, "At most 600 characters fit here"),
        ("example", "   ", "Give one example"),
        ("example", "\u{1b}[31m red", "invisible control character"),
        ("words", &long_word, "At most 40 characters fit here"),
        ("words", &many_words, "At most 24 words; there are 25."),
        ("at_risk", "", "Choose the procedures in which it can happen."),
        ("at_risk", "no-such-kind", "Choose a kind of procedure of the list."),
        ("at_risk", "All PCI", "A slug is 2 to 48 characters"),
        ("role", "", "Choose what it can be."),
        ("role", "guilty", "“guilty” is not a role of a mechanism"),
    ];
    let house = TestApp::init().await;
    let lead = house.with_quality_lead().await;
    for (field, typed, sentence) in wrong {
        let reply = lead.post("/settings/mechanisms/new", &with(&GOOD, field, typed)).await;
        reply.is(StatusCode::UNPROCESSABLE_ENTITY).says("Nothing is saved yet").says(sentence).has(
            &format!("href=\"#{field}\"")
                .replace("#label", if sentence.starts_with("No lasting") { "#slug" } else { "#label" }),
        );
        if !["branch", "at_risk", "role"].contains(field) {
            reply.says(typed.trim_matches(|c: char| c == '\u{7}'));
        }
        // What was right stays where it was.
        let kept = if *field == "example" {
            "tied itself into a knot"
        } else {
            "Two wires were turned in one direction"
        };
        reply.says(kept);
    }
    assert!(house.app.vocabulary().mechanisms.iter().all(|leaf| !leaf.own));
}

#[tokio::test]
async fn wrong_causes_go_back_with_what_was_typed() {
    let wrong: &[(&str, &str, &str)] = &[
        ("branch", "wire", "Choose a branch of the list."),
        ("label", "hostile ANATOMY", "There is a cause of this label already."),
        ("slug", "tm_first", "A slug is 2 to 48 characters"),
        ("slug", "flow-no-reflow", "is the lasting name of “No-reflow”."),
        ("london_protocol", "fate", "Choose one of the list, or leave it not settled."),
        ("icps", "<script>", "Choose one of the list, or leave it not settled."),
    ];
    let house = TestApp::init().await;
    let lead = house.with_quality_lead().await;
    for (field, typed, sentence) in wrong {
        let reply = lead.post("/settings/causes/new", &with(&GOOD_CAUSE, field, typed)).await;
        reply.is(StatusCode::UNPROCESSABLE_ENTITY).says(sentence).says("Three of four had started that week");
    }
    assert!(house.app.vocabulary().causes.iter().all(|leaf| !leaf.own));
}

#[tokio::test]
async fn an_empty_or_broken_form_is_answered_field_by_field() {
    let house = TestApp::init().await;
    let lead = house.with_quality_lead().await;
    for path in ["/settings/mechanisms/new", "/settings/causes/new"] {
        lead.post(path, &[])
            .await
            .is(StatusCode::UNPROCESSABLE_ENTITY)
            .says("Say what it is called.")
            .says("Give one example");
        let kind = "application/x-www-form-urlencoded";
        lead.post_body(path, kind, b"label=%FF%FE&branch=%".to_vec())
            .await
            .is(StatusCode::UNPROCESSABLE_ENTITY);
        lead.post_body(path, "application/json", b"{\"label\":1}".to_vec())
            .await
            .is(StatusCode::UNPROCESSABLE_ENTITY);
        lead.post_body(path, kind, vec![b'a'; 600_000])
            .await
            .is(StatusCode::BAD_REQUEST)
            .says("larger than half a megabyte");
    }
}

#[tokio::test]
async fn a_retired_leaf_is_marked_kept_by_its_case_and_can_be_taken_up_again() {
    let house = TestApp::init().await;
    let (lead, fellow) = (house.with_quality_lead().await, house.as_role(Role::Fellow).await);
    let code = CaseBuilder::new("A case of these tests")
        .mechanism("flow-no-reflow")
        .cause("pt-anatomy-hostile", "Because the bend hid the tip, it was pushed on.")
        .stage(Stage::Presented)
        .insert(&house)
        .await
        .code;
    lead.get("/settings/mechanisms").await.has("href=\"/cases?mechanism=flow-no-reflow\">1 case</a> has it.");
    for (tree, slug, label) in
        [("mechanisms", "flow-no-reflow", "No-reflow"), ("causes", "pt-anatomy-hostile", "Hostile anatomy")]
    {
        let path = format!("/settings/{tree}");
        lead.post(&format!("{path}/{slug}/retire"), &[]).await.leads_to(&format!("{path}#leaf-{slug}"));
        let page = lead.get(&path).await;
        page.says(&format!("“{label}” is retired. Cases that have it keep it."));
        page.has(&format!("{label} <span class=\"muted\">(retired)</span>"))
            .has(&format!("{path}/{slug}/take-up\""))
            .says("One is retired");
        let page_of_case = fellow.get(&format!("/cases/{code}")).await;
        page_of_case.is(StatusCode::OK).says(label);
        lead.post(&page.undo().unwrap(), &[]).await.leads_to(&format!("{path}#leaf-{slug}"));
        lead.get(&path).await.says(&format!("“{label}” is offered again.")).lacks("(retired)");
    }
}

#[tokio::test]
async fn a_leaf_that_is_not_there_cannot_be_retired() {
    let house = TestApp::init().await;
    let lead = house.with_quality_lead().await;
    for slug in ["no-such-leaf", "X", "%2e%2e", "flow-no-reflow%00", "%FF"] {
        for tree in ["mechanisms", "causes"] {
            for act in ["retire", "take-up"] {
                let status = lead.post(&format!("/settings/{tree}/{slug}/{act}"), &[]).await.status;
                assert!(
                    [StatusCode::NOT_FOUND, StatusCode::BAD_REQUEST].contains(&status),
                    "{tree} {slug} {act}: {status}"
                );
            }
        }
    }
    // A mechanism is no cause.
    lead.post("/settings/causes/flow-no-reflow/retire", &[]).await.is(StatusCode::NOT_FOUND);
}

#[tokio::test]
async fn script_in_a_leaf_is_shown_as_text() {
    let house = TestApp::init().await;
    let lead = house.with_quality_lead().await;
    let script = "<script>alert('x')</script><img src=x onerror=alert(1)>";
    let mut fields = with(&GOOD, "definition", script);
    fields
        .iter_mut()
        .filter(|(name, _)| ["example", "words"].contains(name))
        .for_each(|field| field.1 = "\"><svg onload=x>");
    fields.iter_mut().filter(|(name, _)| *name == "label").for_each(|field| field.1 = "<i>Knot</i>");
    lead.post("/settings/mechanisms/new", &fields).await.leads_to("/settings/mechanisms#leaf-i-knot-i");
    let page = lead.get("/settings/mechanisms").await;
    page.says(script).says("<i>Knot</i>").lacks("<script>alert").lacks("<svg onload").lacks("<i>Knot");
}
