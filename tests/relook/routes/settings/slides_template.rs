//! The department's own slides.

use super::reading::{Reading as _, post_file};
use crate::files::readers::python_runs;
use crate::support::{CaseBuilder, Client, Page, StatusCode, TestApp};

const PATH: &str = "/settings/slides-template";

/// A presentation as a department might have one.
fn presentation() -> Vec<u8> {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("own.pptx");
    python_runs("make_template.py", &[path.to_str().unwrap(), "960", "540"]);
    std::fs::read(path).unwrap()
}

async fn send(visitor: &Client, file: &[u8]) -> Page {
    post_file(visitor, PATH, "file", file).await
}

#[tokio::test]
async fn slides_are_built_on_what_the_quality_lead_chose_until_it_is_forgotten() {
    let house = TestApp::init().await;
    let lead = house.with_quality_lead().await;
    let code = CaseBuilder::new("On our slides").complete().insert(&house).await.code;
    let deck = format!("/cases/{code}/files/deck/slides");
    lead.get(PATH).await.is(StatusCode::OK).says("Relook’s own master");
    let before = lead.get(&deck).await.html;
    let answer = send(&lead, &presentation()).await;
    assert_eq!(answer.status, StatusCode::SEE_OTHER, "{answer}");
    lead.get(PATH)
        .await
        .is(StatusCode::OK)
        .says("your department’s own master")
        .says("Title Slide")
        .says("Title Only");
    lead.get("/settings").await.says("Your own, since");
    let own = lead.get(&deck).await;
    own.expect(StatusCode::OK);
    assert_ne!(own.html, before);
    // What is kept is given back, and can be sent again.
    let kept = lead.get(&format!("{PATH}/template.pptx")).await;
    kept.expect(StatusCode::OK);
    // Another server over the same record reads it at its start.
    let again =
        relook::web::App::new(house.app.database.clone(), relook::web::Settings::default()).await.unwrap();
    drop(again);
    lead.post(&format!("{PATH}/forget"), &[]).await.expect(StatusCode::SEE_OTHER);
    assert_eq!(lead.get(&deck).await.html, before);
    // What is given then is ours, to begin with.
    assert_ne!(lead.get(&format!("{PATH}/template.pptx")).await.html, kept.html);
}

#[tokio::test]
async fn what_cannot_be_used_is_refused_with_a_sentence_and_changes_nothing() {
    let house = TestApp::init().await;
    let lead = house.with_quality_lead().await;
    for (file, sentence) in [
        (Vec::new(), "This file holds nothing."),
        (b"<html>".to_vec(), "This is no presentation."),
        (vec![0xD0, 0xCF, 0x11, 0xE0, 0xA1, 0xB1, 0x1A, 0xE1], "protected by a password"),
        (vec![7; 21 * 1024 * 1024], "larger than 20 MB"),
        (presentation()[..9_000].to_vec(), "This is no presentation."),
    ] {
        let page = send(&lead, &file).await;
        page.is(StatusCode::UNPROCESSABLE_ENTITY).says("Nothing was changed").says(sentence);
        assert_eq!(page.count("[role=alert]"), 1);
    }
    lead.get("/settings").await.says("Relook’s own: paper, ink and teal.");
}
