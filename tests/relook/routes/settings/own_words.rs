//! The department's own names and numbers: found in every text, kept as digests, shown nowhere. Every name is
//! invented.

use axum::http::StatusCode;

use crate::support::{CaseBuilder, TestApp};

const PATH: &str = "/settings/own-words";

#[tokio::test]
async fn a_name_of_the_list_is_found_in_old_and_new_texts_and_stands_nowhere() {
    let app = TestApp::init().await;
    let old = CaseBuilder::new("Old").narrative("then osgood wired the branch").insert(&app).await;
    assert!(app.case(old.code).await.identifiers.is_empty());
    let lead = app.with_quality_lead().await;
    let added =
        lead.post(PATH, &[("sort", "person"), ("words", "Osgood\nIda Varnish-Pell\n\nOsgood\n")]).await;
    added.expect(StatusCode::SEE_OTHER);
    app.settled(|| async { app.case(old.code).await.identifiers.len() == 1 }).await;
    let new = CaseBuilder::new("New").situation("Held by ida varnish-pell.").insert(&app).await;
    assert_eq!(app.case(new.code).await.identifiers[0].words, "ida varnish-pell");
    lead.post(PATH, &[("sort", "number"), ("words", "QX-123456")]).await.expect(StatusCode::SEE_OTHER);
    let numbered = CaseBuilder::new("Numbered").situation("Listed as AB-998877.").insert(&app).await;
    assert_eq!(app.case(numbered.code).await.identifiers[0].words, "AB-998877");
    // A script is told as well while it is typed.
    let told = lead.post("/identifiers/check", &[("text", "osgood held it")]).await;
    assert!(told.html.contains("own list") && told.html.contains("a colleague"), "{told}");
    let page = lead.get(PATH).await;
    assert!(page.html.contains("On the list: 2 names, 1 form of a number."), "{page}");
    for word in ["Varnish", "QX-123456", "QX123456"] {
        assert!(!page.html.contains(word), "{word}");
        for path in ["/settings", "/drafts"] {
            assert!(!lead.get(path).await.html.contains(word));
        }
        let bytes = String::from_utf8_lossy(&app.file_bytes()).into_owned();
        assert!(!bytes.contains(word), "{word} is in the file");
    }
    // No history of it, which would outlive the list.
    let mut conn = app.app.database.read().await.unwrap();
    let (kept,): (i64,) =
        sqlx::query_as("select count(*) from history_changes where table_name like 'own_words%'")
            .fetch_one(&mut *conn)
            .await
            .unwrap();
    assert_eq!(kept, 0);
}

#[tokio::test]
async fn a_word_can_be_looked_up_and_taken_off_by_who_knows_it() {
    let app = TestApp::init().await;
    let lead = app.with_quality_lead().await;
    lead.post(PATH, &[("sort", "place"), ("words", "The Elms")]).await.expect(StatusCode::SEE_OTHER);
    let case = CaseBuilder::new("x").situation("Sent on to the elms.").insert(&app).await;
    assert!(app.case(case.code).await.is_held());
    let ask = async |how: &str, sort: &str, word: &str| {
        let page = lead.post(&format!("{PATH}/{how}"), &[("sort", sort), ("word", word)]).await;
        let page = if page.status == StatusCode::SEE_OTHER { lead.follow(&page).await } else { page };
        (page.status, page.html)
    };
    assert!(ask("look-up", "place", "the  elms").await.1.contains("It stands on the list, as a place."));
    assert!(ask("look-up", "person", "the elms").await.1.contains("does not stand on the list"));
    let (status, html) = ask("take-off", "place", "the oaks").await;
    assert_eq!(status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(html.contains("nothing was taken off") && html.contains("the oaks"));
    assert!(ask("take-off", "place", "THE ELMS").await.1.contains("Taken off the list"));
    app.settled(|| async { !app.case(case.code).await.is_held() }).await;
    lead.post(PATH, &[("sort", "person"), ("words", "Osgood")]).await.expect(StatusCode::SEE_OTHER);
    lead.post(&format!("{PATH}/empty"), &[("sort", "person")]).await.expect(StatusCode::SEE_OTHER);
    assert!(lead.get(PATH).await.html.contains("Nothing stands on the list."));
}

#[tokio::test]
async fn what_cannot_be_looked_for_comes_back_with_its_line() {
    let app = TestApp::init().await;
    let lead = app.with_quality_lead().await;
    for (sort, words, said) in [
        ("person", "  \n", "Write at least one"),
        ("person", "Osgood\nwire", "Line 2, “wire”: This is a word of the trade"),
        ("number", "A12", "at least four digits"),
        ("person", "one two three four five six seven", "at most 6 words"),
    ] {
        let page = lead.post(PATH, &[("sort", sort), ("words", words)]).await;
        page.expect(StatusCode::UNPROCESSABLE_ENTITY);
        assert!(page.html.contains(said), "{said}: {page}");
        assert!(page.html.contains(words.lines().last().unwrap_or_default()));
    }
    lead.post(PATH, &[("sort", "attic"), ("words", "Osgood")]).await.expect(StatusCode::BAD_REQUEST);
    assert!(lead.get(PATH).await.html.contains("Nothing stands on the list."), "all or nothing");
    // A fellow reads what it is for and what identifies nobody, and changes nothing.
    let fellow = app.with_fellow().await;
    let page = fellow.get(PATH).await;
    page.expect(StatusCode::OK);
    assert!(!page.html.contains("<textarea"), "{page}");
    app.with_reader().await.get(PATH).await.expect(StatusCode::FORBIDDEN);
}

#[tokio::test]
async fn the_last_look_at_a_document_finds_what_stands_in_no_case() {
    let app = TestApp::init().await;
    let attending = app.with_attending().await;
    let case = CaseBuilder::new("x").complete().insert(&app).await;
    // Notes that a presenter wrote beside a screen.
    let path = format!("/cases/{}/deck", case.code);
    let form = attending.get(&path).await;
    let fields = form.form(&path);
    let notes =
        fields.iter().map(|(name, _)| name.clone()).find(|name| name.starts_with("notes-")).expect("notes");
    attending.submit(&form, &path, &[(&notes, "Ask Dr Marlow first.")]).await.expect(StatusCode::SEE_OTHER);
    for window in ["present", "presenter"] {
        let held = attending.get(&format!("/cases/{}/{window}", case.code)).await;
        held.expect(StatusCode::CONFLICT);
        assert!(held.html.contains("“Dr Marlow” (name)") && held.html.contains(&path), "{held}");
    }
    attending.get(&format!("/cases/{}/summary.md", case.code)).await.expect(StatusCode::OK);
    let noted =
        attending.post(&format!("{PATH}/nobody"), &[("nobody", "Dr Marlow"), ("because", "A sign.")]).await;
    noted.expect(StatusCode::SEE_OTHER);
    attending.get(&format!("/cases/{}/present", case.code)).await.expect(StatusCode::OK);
    let refused =
        attending.post(&format!("{PATH}/nobody"), &[("nobody", "Dr Marlow"), ("because", "")]).await;
    refused.expect(StatusCode::UNPROCESSABLE_ENTITY);
    assert!(
        refused.html.contains("Say why these words identify nobody.") && refused.html.contains("Dr Marlow")
    );
}
