//! The page of the files of a case, and its files.

use relook::export::format::{DECKS, DOCUMENTS, RECORDS, REFERENCES, SCREENS};

use crate::support::{CaseBuilder, Role, StatusCode, TestApp};

#[tokio::test]
async fn the_page_names_every_format_and_says_how_large_a_file_was() {
    let app = TestApp::init().await;
    let case = CaseBuilder::new("To take along")
        .complete()
        .with(|case| case.lessons[0].reference = Some("PMID 11466122".parse().unwrap()))
        .insert(&app)
        .await;
    let path = format!("/cases/{}", case.code);
    let fellow = app.with_fellow().await;
    for from in ["", "/summary"] {
        assert!(fellow.get(&format!("{path}{from}")).await.links_to(&format!("{path}/files")), "{from}");
    }
    let page = fellow.get(&format!("{path}/files")).await;
    page.expect(StatusCode::OK);
    let offered = DECKS.iter().map(|f| ("deck", f.slug, f.extension, f.media_type));
    let offered = offered.chain(DOCUMENTS.iter().map(|f| ("summary", f.slug, f.extension, f.media_type)));
    let offered = offered.chain(RECORDS.iter().map(|f| ("record", f.slug, f.extension, f.media_type)));
    let offered = offered.chain(REFERENCES.iter().map(|f| ("references", f.slug, f.extension, f.media_type)));
    let offered = offered.chain(SCREENS.iter().map(|f| ("screens", f.slug, f.extension, f.media_type)));
    let mut slugs = Vec::new();
    for (what, slug, extension, media_type) in offered {
        let address = format!("{path}/files/{what}/{slug}");
        assert!(page.links_to(&address), "{address}");
        let file = fellow.get(&address).await;
        file.expect(StatusCode::OK);
        assert_eq!(file.headers["content-type"], media_type);
        let named = file.headers["content-disposition"].to_str().unwrap().to_owned();
        assert!(named.starts_with("attachment; filename=\"2026-001"), "{named}");
        assert!(named.ends_with(&format!(".{extension}\"")), "{named}");
        assert_eq!(file.headers["cache-control"], "no-store");
        slugs.push(slug);
    }
    assert!(!page.text.contains("when it was last made"));
    let page = fellow.get(&format!("{path}/files")).await;
    assert_eq!(page.text.matches("when it was last made").count(), slugs.len());
    slugs.sort_unstable();
    slugs.dedup();
    let all = DECKS.len() + DOCUMENTS.len() + RECORDS.len() + REFERENCES.len() + SCREENS.len();
    assert_eq!(slugs.len(), all, "two formats have one name");
    assert!(page.links_to("/case.schema.json"));
    let schema = fellow.get("/case.schema.json").await;
    schema.expect(StatusCode::OK);
    assert_eq!(schema.headers["content-type"], "application/schema+json");
    assert_eq!(schema.html, relook::export::case_file::schema_file());
}

#[tokio::test]
async fn files_go_to_who_sees_the_case_and_the_deck_to_who_presents() {
    let app = TestApp::init().await;
    let hidden = CaseBuilder::new("Not presented").complete().recorded_by(Role::Attending).insert(&app).await;
    let shown =
        CaseBuilder::new("Presented").complete().stage(relook::case::Stage::Presented).insert(&app).await;
    let reader = app.with_reader().await;
    for file in ["", "/summary/word", "/record/json"] {
        reader.get(&format!("/cases/{}/files{file}", hidden.code)).await.expect(StatusCode::NOT_FOUND);
        reader.get(&format!("/cases/{}/files{file}", shown.code)).await.expect(StatusCode::OK);
    }
    reader.get(&format!("/cases/{}/files/deck/slides", shown.code)).await.expect(StatusCode::FORBIDDEN);
    let page = reader.get(&format!("/cases/{}/files", shown.code)).await;
    assert!(!page.links_to(&format!("/cases/{}/files/deck/slides", shown.code)));
    app.with_fellow()
        .await
        .get(&format!("/cases/{}/files/deck/slides", hidden.code))
        .await
        .expect(StatusCode::NOT_FOUND);
    app.with_fellow()
        .await
        .get(&format!("/cases/{}/files/deck/none", shown.code))
        .await
        .expect(StatusCode::NOT_FOUND);
}

#[tokio::test]
async fn a_case_without_publications_offers_no_file_of_them() {
    let app = TestApp::init().await;
    let case = CaseBuilder::new("Rests on nothing in print").complete().insert(&app).await;
    let fellow = app.with_fellow().await;
    let path = format!("/cases/{}/files", case.code);
    assert!(!fellow.get(&path).await.text.contains("The publications"));
    fellow.get(&format!("{path}/references/bibtex")).await.expect(StatusCode::NOT_FOUND);
}

#[tokio::test]
async fn pages_are_answered_while_many_files_are_made() {
    let app = TestApp::init().await;
    let case = CaseBuilder::new("Asked for by many").complete().insert(&app).await;
    let deck = format!("/cases/{}/files/deck/slides", case.code);
    let fellow = app.with_fellow().await;
    let files = async {
        let asked = (0..50).map(|_| fellow.get(&deck));
        let mut made = 0;
        for file in asked {
            file.await.expect(StatusCode::OK);
            made += 1;
        }
        made
    };
    let pages = async {
        let mut read = 0;
        for _ in 0..50 {
            fellow.get("/cases").await.expect(StatusCode::OK);
            read += 1;
        }
        read
    };
    assert_eq!(tokio::join!(files, pages), (50, 50));
}

#[tokio::test]
async fn minutes_and_report_are_word_files_too() {
    let app = TestApp::init().await;
    let lead = app.with_quality_lead().await;
    let answer = lead.post("/conferences", &[("held_on", "2099-06-30"), ("title", "To come")]).await;
    let conference = answer.location().to_owned();
    for address in
        [format!("{conference}/minutes/files/word"), "/rates/report/files/word?quarter=2026-Q1".to_owned()]
    {
        let file = lead.get(&address).await;
        file.expect(StatusCode::OK);
        assert!(file.headers["content-disposition"].to_str().unwrap().ends_with(".docx\""));
        assert!(file.html.starts_with("PK"), "{address}");
    }
}
