//! Laboratory values and observations: how they are typed, what the definitions make of them, and
//! where each input can be recorded.

use relook::case::CaseCode;

use crate::support::{CaseBuilder, Client, Page, StatusCode, TestApp};

async fn bare(app: &TestApp) -> (CaseCode, Client) {
    let case = CaseBuilder::new("Measured")
        .mechanism("flow-thrombus")
        .at_segment("lad-mid")
        .lesion("lad-mid")
        .event("-10:00", "access", "Sheath")
        .flow("-5:00", "lad-mid", 3)
        .flow("+12:00", "lad-mid", 0)
        .flow("+30:00", "lad-mid", 3)
        .linked("e3", "e3", "e4")
        .insert(app)
        .await
        .code;
    (case, app.with_fellow().await)
}

fn path(code: CaseCode, rest: &str) -> String {
    format!("/cases/{code}{rest}")
}

/// The headlines of what is met.
fn grades(page: &Page) -> Vec<String> {
    page.texts(".findings .grade h4")
}

async fn add_lab(client: &Client, code: CaseCode, fields: &[(&str, &str)]) -> Page {
    client.post(&path(code, "/labs"), fields).await
}

#[tokio::test]
async fn a_value_is_typed_in_the_hospitals_unit_which_is_offered_again() {
    let app = TestApp::init().await;
    let (code, client) = bare(&app).await;
    let form = client.get(&path(code, "/labs/new?test=creatinine")).await;
    assert_eq!(form.heading(), "Creatinine");
    // Nothing was used yet: the first unit on offer stands there.
    assert_eq!(form.value("value_unit"), "µmol/L");
    let typed = [("drawn", "-2h"), ("returned", "-1h"), ("value", "1,1"), ("value_unit", "mg/dL")];
    let answer = client.submit(&form, &path(code, "/labs"), &typed).await;
    answer.expect(StatusCode::SEE_OTHER);
    let page = client.follow(&answer).await;
    let row = page.texts("#labs tbody tr[id^=lab-]").remove(0);
    for part in ["Creatinine", "−2:00:00", "−1:00:00", "1.1 mg/dL"] {
        assert!(row.contains(part), "{part}: {row}");
    }
    // In any case of the department.
    let other = CaseBuilder::new("Another").mechanism("flow-thrombus").insert(&app).await.code;
    let form = client.get(&path(other, "/labs/new?test=creatinine")).await;
    assert_eq!(form.value("value_unit"), "mg/dL");
    // A unit typed with the number counts before the one beside it.
    let answer =
        client.submit(&form, &path(other, "/labs"), &[("drawn", "+1 d"), ("value", "120 µmol/L")]).await;
    assert!(client.follow(&answer).await.text.contains("120 µmol/L"));
}

#[tokio::test]
async fn a_biomarker_asks_for_the_limit_of_its_assay_and_offers_it_for_the_next_value() {
    let app = TestApp::init().await;
    let (code, client) = bare(&app).await;
    let form = client.get(&path(code, "/labs/new?test=troponin")).await;
    let refused = client.submit(&form, &path(code, "/labs"), &[("drawn", "-1h"), ("value", "9")]).await;
    refused.expect(StatusCode::UNPROCESSABLE_ENTITY);
    assert!(refused.error_of("limit").unwrap().contains("99th percentile"), "{refused}");
    assert_eq!(refused.value("value"), "9");
    assert_eq!(refused.value("test"), "troponin");
    let answer =
        client.submit(&refused, &path(code, "/labs"), &[("limit", "14"), ("limit_unit", "ng/L")]).await;
    answer.expect(StatusCode::SEE_OTHER);
    let next = client.get(&path(code, "/labs/new?test=troponin")).await;
    assert_eq!((next.value("limit"), next.value("limit_unit")), ("14".into(), "ng/L".into()));
}

#[tokio::test]
async fn what_is_wrong_with_a_value_goes_back_marked() {
    let app = TestApp::init().await;
    let (code, client) = bare(&app).await;
    for (fields, field, says) in [
        (
            &[("test", "creatinine"), ("value", "99"), ("value_unit", "µmol/L")][..],
            "drawn",
            "Say when it was drawn",
        ),
        (&[("test", "creatinine"), ("drawn", "-1h")], "value", "Type the value"),
        (&[("test", "creatinine"), ("drawn", "-1h"), ("value", "many")], "value", "number"),
        (
            &[("test", "creatinine"), ("drawn", "-1h"), ("value", "99"), ("value_unit", "stone")],
            "value",
            "µmol/L",
        ),
        (
            &[("test", "creatinine"), ("drawn", "-1h"), ("value", "9000"), ("value_unit", "mg/dL")],
            "value",
            "outside",
        ),
        (
            &[("test", "creatinine"), ("drawn", "15 d"), ("value", "99"), ("value_unit", "µmol/L")],
            "drawn",
            "14 days",
        ),
        (
            &[
                ("test", "creatinine"),
                ("drawn", "+2h"),
                ("returned", "+1h"),
                ("value", "99"),
                ("value_unit", "µmol/L"),
            ],
            "returned",
            "after",
        ),
        (&[("test", "urine"), ("drawn", "+2h"), ("value", "99")], "test", "troponin"),
    ] {
        let page = add_lab(&client, code, fields).await;
        page.expect(StatusCode::UNPROCESSABLE_ENTITY);
        let error = page.error_of(field).unwrap_or_else(|| panic!("{field}: {page}"));
        assert!(error.contains(says), "{field}: {error}");
        for (name, value) in fields.iter().filter(|(name, _)| ["drawn", "value", "returned"].contains(name)) {
            if *name != "value" || !page.value("value").is_empty() {
                assert_eq!(page.value(name), *value, "{page}");
            }
        }
    }
    let page = client.get(&path(code, "")).await;
    assert_eq!(page.count("tr[id^=lab-]"), 0);
}

#[tokio::test]
async fn a_value_that_was_changed_meanwhile_shows_both_versions() {
    let app = TestApp::init().await;
    let (code, client) = bare(&app).await;
    let new = [("test", "platelets"), ("drawn", "-1h"), ("value", "200"), ("value_unit", "×10⁹/L")];
    add_lab(&client, code, &new).await.expect(StatusCode::SEE_OTHER);
    let edit = client.get(&path(code, "")).await.attr("tr[id^=lab-] .c-edit a", "href").unwrap();
    let (mine, theirs) = (client.get(&edit).await, client.get(&edit).await);
    let action = edit.trim_end_matches("/edit");
    client.submit(&theirs, action, &[("value", "210")]).await.expect(StatusCode::SEE_OTHER);
    let stale = client.submit(&mine, action, &[("value", "190")]).await;
    stale.expect(StatusCode::CONFLICT);
    assert!(stale.text.contains("210 ×10⁹/L") && stale.value("value") == "190", "{stale}");
}

#[tokio::test]
async fn serial_values_are_drawn_against_their_limits() {
    let app = TestApp::init().await;
    let (code, client) = bare(&app).await;
    for (drawn, value) in [("-1h", "9"), ("+6h", "600"), ("+20h", "400")] {
        let fields = [
            ("test", "troponin"),
            ("drawn", drawn),
            ("value", value),
            ("value_unit", "ng/L"),
            ("limit", "14"),
            ("limit_unit", "ng/L"),
        ];
        add_lab(&client, code, &fields).await.expect(StatusCode::SEE_OTHER);
    }
    let page = client.get(&path(code, "")).await;
    let figure = page.texts("#labs figure").remove(0);
    assert!(
        figure.contains("Troponin rose from 9 ng/L to 600 ng/L, above 35 × the 99th percentile"),
        "{figure}"
    );
    assert_eq!(page.count("#labs figure table tbody tr"), 3);
}

#[tokio::test]
async fn observations_make_grades_and_what_is_missing_leads_to_its_field() {
    let app = TestApp::init().await;
    let (code, client) = bare(&app).await;
    let page = client.get(&path(code, "")).await;
    assert!(grades(&page).contains(&"Vessel closure, transient".to_owned()), "{:?}", grades(&page));
    assert!(!grades(&page).iter().any(|grade| grade.starts_with("BARC")));
    let form = client.get(&path(code, "/observations/new?family=bleeding")).await;
    assert_eq!(form.heading(), "Bleeding");
    let typed = [("overt", "yes"), ("intervention", "yes")];
    client.submit(&form, &path(code, "/observations"), &typed).await.expect(StatusCode::SEE_OTHER);
    // What is open names its gaps, and each leads to the form where it can be recorded.
    let page = client.get(&path(code, "")).await;
    let open = page.texts("#complications .items.tight > li").join("\n");
    assert!(open.contains("BARC"), "{open}");
    let gap = page.link("tamponade").unwrap_or_else(|| panic!("{page}"));
    let form = client.open(gap.split('#').next().unwrap()).await;
    assert_eq!((form.heading(), form.value("overt")), ("Bleeding".into(), "yes".into()));
    assert!(gap.ends_with("#tamponade"), "{gap}");
    for (drawn, value) in [("-2h", "13"), ("+8h", "12.4")] {
        let fields = [("test", "haemoglobin"), ("drawn", drawn), ("value", value), ("value_unit", "g/dL")];
        add_lab(&client, code, &fields).await.expect(StatusCode::SEE_OTHER);
    }
    // A person says that it was no to all the rest: then there is a grade.
    let action = gap.split("/edit").next().unwrap();
    let answer = client.submit(&form, action, &[("rest_no", "yes"), ("units_before_nadir", "0")]).await;
    let page = client.follow(&answer).await;
    assert!(grades(&page).contains(&"BARC 2".to_owned()), "{:?}", grades(&page));
}

#[tokio::test]
async fn one_observation_of_what_is_about_the_whole_case_is_edited_and_not_doubled() {
    let app = TestApp::init().await;
    let (code, client) = bare(&app).await;
    let new = [("family", "kidney"), ("contrast", "245"), ("contrast_unit", "mL")];
    client.post(&path(code, "/observations"), &new).await.expect(StatusCode::SEE_OTHER);
    let again = client.get(&path(code, "/observations/new?family=kidney")).await;
    again.expect(StatusCode::SEE_OTHER);
    assert!(again.location().ends_with("/edit"), "{}", again.location());
    // Sent all the same, it is refused with a reason.
    let refused = client.post(&path(code, "/observations"), &new).await;
    refused.expect(StatusCode::UNPROCESSABLE_ENTITY);
    assert!(refused.text.contains("a case has one"), "{refused}");
}

#[tokio::test]
async fn an_observation_without_an_answer_is_not_kept() {
    let app = TestApp::init().await;
    let (code, client) = bare(&app).await;
    let refused = client.post(&path(code, "/observations"), &[("family", "bleeding")]).await;
    refused.expect(StatusCode::UNPROCESSABLE_ENTITY);
    assert!(refused.errors().join(" ").contains("Nothing is answered yet"), "{refused}");
    let unknown = client.post(&path(code, "/observations"), &[("family", "weather")]).await;
    unknown.expect(StatusCode::UNPROCESSABLE_ENTITY);
    // What the record holds elsewhere has no form here.
    let patient = client.post(&path(code, "/observations"), &[("family", "patient"), ("age", "60")]).await;
    patient.expect(StatusCode::UNPROCESSABLE_ENTITY);
}

#[tokio::test]
async fn a_grade_opens_to_its_clause_inputs_rule_and_source_with_links_that_lead_somewhere() {
    let app = TestApp::init().await;
    let (code, client) = bare(&app).await;
    let page = client.get(&path(code, "")).await;
    let rule = page.texts(".findings details.rule").remove(0);
    for part in ["Decided by", "Inputs", "Rule", "Source", "In the handbook"] {
        assert!(rule.contains(part), "{part}: {rule}");
    }
    let ids = page.attributes("id");
    for target in page.attributes("href").iter().filter_map(|href| href.strip_prefix('#')) {
        assert!(ids.iter().any(|id| id == target), "nothing on the page is called {target}");
    }
}

#[tokio::test]
async fn a_reader_sees_grades_and_no_way_to_change_them() {
    let app = TestApp::init().await;
    let case = CaseBuilder::new("Presented")
        .complete()
        .stage(relook::case::Stage::Presented)
        .insert(&app)
        .await
        .code;
    let page = app.with_reader().await.get(&path(case, "")).await;
    assert!(page.text.contains("By the trade's definitions"), "{page}");
    for href in page.attributes("href") {
        assert!(!href.contains("/edit") && !href.contains("/new"), "{href}");
    }
}

#[tokio::test]
async fn the_rule_that_the_department_takes_decides_and_is_printed_with_the_grade() {
    let app = TestApp::init().await;
    let case = CaseBuilder::new("Branch")
        .mechanism("branch-jailed")
        .at_segment("diagonal-1")
        .flow("+0:00", "diagonal-1", 3)
        .flow("+9:00", "diagonal-1", 1)
        .flow("+20:00", "diagonal-1", 3)
        .insert(&app)
        .await
        .code;
    let lead = app.with_quality_lead().await;
    let before = lead.get(&path(case, "")).await;
    assert!(grades(&before).contains(&"Side-branch occlusion".to_owned()));
    assert!(before.text.contains("R2: TIMI 0 to 1 afterwards (usual clinical rule)"), "{before}");
    let form = lead.get("/settings/rules").await;
    lead.submit(&form, "/settings/rules", &[("side-branch", "r1")]).await.expect(StatusCode::SEE_OTHER);
    let after = lead.get(&path(case, "")).await;
    assert!(!grades(&after).contains(&"Side-branch occlusion".to_owned()));
    assert!(after.text.contains("R1: TIMI 0 afterwards (strict rule)"), "{after}");
    // The handbook says so as well, and the summary prints it.
    let handbook = lead.get("/definitions").await;
    assert!(handbook.text.contains("your department takes R1: TIMI 0 afterwards"), "{handbook}");
}

#[tokio::test]
async fn a_rule_that_somebody_changed_meanwhile_is_not_written_over() {
    let app = TestApp::init().await;
    let lead = app.with_quality_lead().await;
    let (mine, theirs) = (lead.get("/settings/rules").await, lead.get("/settings/rules").await);
    lead.submit(&theirs, "/settings/rules", &[("medina", "more-than-50")])
        .await
        .expect(StatusCode::SEE_OTHER);
    lead.submit(&mine, "/settings/rules", &[("stroke", "72-h")]).await.expect(StatusCode::CONFLICT);
    let refused = lead.submit(&mine, "/settings/rules", &[("stroke", "a week")]).await;
    refused.expect(StatusCode::UNPROCESSABLE_ENTITY);
    assert!(refused.error_of("stroke").unwrap().contains("Allowed"), "{refused}");
}

#[tokio::test]
async fn contrast_and_air_kerma_so_far_are_typed_with_an_event() {
    let app = TestApp::init().await;
    let (code, client) = bare(&app).await;
    let edit = client.get(&path(code, "")).await.attr("#event-2 a", "href").unwrap();
    let form = client.get(&edit).await;
    let typed = [("contrast", "40"), ("air_kerma", "900"), ("air_kerma_unit", "mGy")];
    let answer = client.submit(&form, edit.trim_end_matches("/edit"), &typed).await;
    answer.expect(StatusCode::SEE_OTHER);
    let page = client.get(&path(code, "")).await;
    assert!(page.texts("#event-2").remove(0).contains("40 mL contrast so far, 900 mGy air kerma so far"));
    // A later reading that is lower is named with a link to its row.
    let edit = page.attr("#event-3 a", "href").unwrap();
    let form = client.get(&edit).await;
    assert_eq!(form.value("air_kerma_unit"), "mGy");
    client
        .submit(&form, edit.trim_end_matches("/edit"), &[("contrast", "30")])
        .await
        .expect(StatusCode::SEE_OTHER);
    let page = client.get(&path(code, "")).await;
    assert!(page.texts(".look-here").join(" ").contains("Event 3 gives less contrast so far than event 2"));
    assert!(page.links_to("#event-3"));
}
