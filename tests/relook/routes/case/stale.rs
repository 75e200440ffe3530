//! Two people at one form: neither loses anything.

use crate::support::{CaseBuilder, StatusCode, TestApp, of};

/// A form that two people have open at once.
struct Shared {
    form: &'static str,
    save: &'static str,
    field: &'static str,
    label: &'static str,
}

const FORMS: [Shared; 7] = [
    Shared { form: "situation/edit", save: "situation", field: "title", label: "Title" },
    Shared { form: "narrative/edit", save: "narrative", field: "narrative", label: "The story" },
    Shared { form: "procedure/edit", save: "procedure", field: "strategy", label: "Planned strategy" },
    Shared { form: "outcome/edit", save: "outcome", field: "discharge", label: "State at discharge" },
    Shared { form: "events/1/edit", save: "events/1", field: "text", label: "What happened" },
    Shared { form: "causes/1/edit", save: "causes/1", field: "statement", label: "Causal statement" },
    Shared { form: "actions/1/edit", save: "actions/1", field: "measure", label: "Measure" },
];

async fn with_a_case() -> (TestApp, String) {
    let app = TestApp::init().await;
    let case = CaseBuilder::new("Shared")
        .complete()
        .action("A second wire in the room", "2026-09-01")
        .insert(&app)
        .await;
    let path = format!("/cases/{}", case.code);
    (app, path)
}

#[tokio::test]
async fn a_second_save_shows_both_versions_and_can_be_saved_again() {
    for shared in &FORMS {
        let (app, path) = with_a_case().await;
        let (fay, ada) = (app.with_fellow().await, app.with_attending().await);
        let (form, save) = (format!("{path}/{}", shared.form), format!("{path}/{}", shared.save));
        let hers = ada.get(&form).await;
        let theirs = fay.get(&form).await;
        theirs.expect(StatusCode::OK);
        fay.submit(&theirs, &save, &[(shared.field, "What Fay wrote")]).await.expect(StatusCode::SEE_OTHER);

        let stale = ada.submit(&hers, &save, &[(shared.field, "What Ada wrote")]).await;
        stale.expect(StatusCode::CONFLICT);
        assert!(stale.has_heading("Somebody saved this while you wrote"), "{stale}");
        assert_eq!(
            stale.texts("[data-stale] h4"),
            [shared.label],
            "{save}: only what differs stands side by side"
        );
        assert_eq!(
            stale.texts(".stale-version"),
            ["Saved meanwhile What Fay wrote", "Yours, not saved What Ada wrote"],
            "{save}"
        );
        assert_eq!(stale.value(shared.field), "What Ada wrote");
        assert!(fay.get(&form).await.value(shared.field) == "What Fay wrote", "{save}: was overwritten");

        let again = ada.press(&stale, "Save yours over it").await;
        again.expect(StatusCode::SEE_OTHER);
        assert_eq!(fay.get(&form).await.value(shared.field), "What Ada wrote");
    }
}

#[tokio::test]
async fn a_third_save_meanwhile_is_seen_too() {
    let (app, path) = with_a_case().await;
    let (fay, ada) = (app.with_fellow().await, app.with_attending().await);
    let (form, save) = (format!("{path}/narrative/edit"), format!("{path}/narrative"));
    let hers = ada.get(&form).await;
    fay.submit(&fay.get(&form).await, &save, &[("narrative", "First")]).await.expect(StatusCode::SEE_OTHER);
    let stale = ada.submit(&hers, &save, &[("narrative", "Mine")]).await;
    stale.expect(StatusCode::CONFLICT);
    fay.submit(&fay.get(&form).await, &save, &[("narrative", "Second")]).await.expect(StatusCode::SEE_OTHER);
    let later = ada.press(&stale, "Save yours over it").await;
    later.expect(StatusCode::CONFLICT);
    assert_eq!(later.texts(".stale-version"), ["Saved meanwhile Second", "Yours, not saved Mine"]);
}

#[tokio::test]
async fn saving_what_is_already_saved_is_no_conflict() {
    let (app, path) = with_a_case().await;
    let (fay, ada) = (app.with_fellow().await, app.with_attending().await);
    let (form, save) = (format!("{path}/narrative/edit"), format!("{path}/narrative"));
    let (hers, theirs) = (ada.get(&form).await, fay.get(&form).await);
    fay.submit(&theirs, &save, &[("narrative", "The same")]).await.expect(StatusCode::SEE_OTHER);
    ada.submit(&hers, &save, &[("narrative", "The same")]).await.expect(StatusCode::SEE_OTHER);
}

#[tokio::test]
async fn parts_of_a_case_that_two_people_edit_do_not_hinder_each_other() {
    let (app, path) = with_a_case().await;
    let (fay, ada) = (app.with_fellow().await, app.with_attending().await);
    let (story, outcome) =
        (fay.get(&format!("{path}/narrative/edit")).await, ada.get(&format!("{path}/outcome/edit")).await);
    fay.submit(&story, &format!("{path}/narrative"), &[("narrative", "Fay's story")])
        .await
        .expect(StatusCode::SEE_OTHER);
    ada.submit(&outcome, &format!("{path}/outcome"), &[("harm", "mild")]).await.expect(StatusCode::SEE_OTHER);
    let case = app.case(of(path.trim_start_matches("/cases/"))).await;
    assert_eq!(case.head.narrative.unwrap().as_str(), "Fay's story");
    assert_eq!(case.head.outcome.harm.unwrap().slug(), "mild");
}

#[tokio::test]
async fn what_was_typed_wrong_and_late_meets_the_conflict_after_it_is_mended() {
    let (app, path) = with_a_case().await;
    let (fay, ada) = (app.with_fellow().await, app.with_attending().await);
    let (form, save) = (format!("{path}/outcome/edit"), format!("{path}/outcome"));
    let hers = ada.get(&form).await;
    let theirs = fay.get(&form).await;
    fay.submit(&theirs, &save, &[("discharge", "Fay's outcome")]).await.expect(StatusCode::SEE_OTHER);
    let wrong = ada.submit(&hers, &save, &[("discharge", "Ada's outcome"), ("harm", "dire")]).await;
    wrong.expect(StatusCode::UNPROCESSABLE_ENTITY);
    let mended = ada.submit(&wrong, &save, &[("harm", "mild")]).await;
    mended.expect(StatusCode::CONFLICT);
    assert!(
        mended.text.contains("Fay's outcome") && mended.value("discharge") == "Ada's outcome",
        "{mended}"
    );
}

#[tokio::test]
async fn a_row_that_was_taken_out_meanwhile_is_not_brought_back_by_a_save() {
    let (app, path) = with_a_case().await;
    let (fay, ada) = (app.with_fellow().await, app.with_attending().await);
    let form = ada.get(&format!("{path}/causes/1/edit")).await;
    fay.post(&format!("{path}/causes/1/remove"), &[]).await.expect(StatusCode::SEE_OTHER);
    let late = ada.submit(&form, &format!("{path}/causes/1"), &[("statement", "Late")]).await;
    late.expect(StatusCode::NOT_FOUND);
    assert!(app.case(of(path.trim_start_matches("/cases/"))).await.causes.is_empty());
}

#[tokio::test]
async fn two_people_who_changed_different_fields_are_merged_without_a_question() {
    let (app, path) = with_a_case().await;
    let (fay, ada) = (app.with_fellow().await, app.with_attending().await);
    let (form, save) = (format!("{path}/outcome/edit"), format!("{path}/outcome"));
    let hers = ada.get(&form).await;
    let theirs = fay.get(&form).await;
    fay.submit(&theirs, &save, &[("discharge", "Walked home on day two.")])
        .await
        .expect(StatusCode::SEE_OTHER);
    let stale = ada.submit(&hers, &save, &[("harm", "severe")]).await;
    stale.expect(StatusCode::CONFLICT);
    assert_eq!(stale.count(".stale-version"), 0, "nothing is asked: {stale}");
    assert_eq!(stale.value("discharge"), "Walked home on day two.");
    assert!(stale.texts(".stale-taken li")[0].contains("Walked home on day two."), "{stale}");
    ada.press(&stale, "Save both").await.expect(StatusCode::SEE_OTHER);
    let outcome = app.case(of(path.trim_start_matches("/cases/"))).await.head.outcome;
    assert_eq!(outcome.discharge.unwrap().as_str(), "Walked home on day two.");
    assert_eq!(outcome.harm.unwrap().slug(), "severe");
}

#[tokio::test]
async fn a_conflict_in_one_field_takes_over_what_was_not_touched_in_another() {
    let (app, path) = with_a_case().await;
    let (fay, ada) = (app.with_fellow().await, app.with_attending().await);
    let (form, save) = (format!("{path}/outcome/edit"), format!("{path}/outcome"));
    let hers = ada.get(&form).await;
    let theirs = fay.get(&form).await;
    let typed = [("discharge", "What Fay wrote"), ("harm", "mild")];
    fay.submit(&theirs, &save, &typed).await.expect(StatusCode::SEE_OTHER);
    let stale = ada.submit(&hers, &save, &[("discharge", "What Ada wrote")]).await;
    stale.expect(StatusCode::CONFLICT);
    assert_eq!(
        stale.texts(".stale-version"),
        ["Saved meanwhile What Fay wrote", "Yours, not saved What Ada wrote"]
    );
    ada.press(&stale, "Save yours over it").await.expect(StatusCode::SEE_OTHER);
    let outcome = app.case(of(path.trim_start_matches("/cases/"))).await.head.outcome;
    assert_eq!(outcome.discharge.unwrap().as_str(), "What Ada wrote");
    assert_eq!(outcome.harm.unwrap().slug(), "mild");
}
