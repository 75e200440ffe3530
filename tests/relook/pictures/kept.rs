//! From a file to a kept picture: what a person has to do, and what becomes of the rest.

use relook::case::store;
use relook::picture::pixels::BURNT;
use relook::picture::{Channels, Pixels, angiogram, encode, read};

use super::{brought, burn, holds, keep, new_path, newest, say};
use crate::support::{CaseBuilder, Role, StatusCode, TestApp};

fn still() -> Vec<u8> {
    encode(&angiogram(true)).unwrap()
}

/// The still with stripes at the top left, which look like writing.
fn with_stripes() -> Vec<u8> {
    let still = angiogram(true);
    let mut data = still.data().to_vec();
    for y in 8..24 {
        for x in 6..90 {
            data[y * 512 + x] = if x / 3 % 2 == 0 { 250 } else { 10 };
        }
    }
    encode(&Pixels::new(512, 512, Channels::Grey, data).unwrap()).unwrap()
}

#[tokio::test]
async fn what_is_burnt_out_is_gone_and_the_rest_stays() {
    let app = TestApp::init().await;
    let fellow = app.with_fellow().await;
    let code = CaseBuilder::new("Branch lost").complete().insert(&app).await.code;
    let editor = brought(&fellow, code, &still()).await;
    burn(&fellow, &editor, "", &[["10", "20", "25", "12,5"], ["", "", "", ""], ["90", "90", "10", "10"]])
        .await
        .expect(StatusCode::SEE_OTHER);
    let look = fellow.get(&format!("{editor}/look")).await;
    assert!(look.text.contains("2 rectangles were burnt out"), "{}", look.text);
    say(&fellow, &editor, &[]).await.expect(StatusCode::SEE_OTHER);
    let png = newest(&app, code).await;
    // Pillow, which knows nothing of rectangles.
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("kept.png");
    std::fs::write(&file, &png).unwrap();
    let seen = super::python(&["pixels", file.to_str().unwrap()]);
    let before = angiogram(true);
    for y in 0..512_usize {
        for x in 0..512_usize {
            // 10 % of 512 is 51.2: the pixel that is touched goes too.
            let burnt = ((51..180).contains(&x) && (102..167).contains(&y)) || (x >= 460 && y >= 460);
            let at = y * 512 + x;
            if burnt {
                assert_eq!(seen[at], BURNT, "{x}, {y}");
            } else {
                assert_eq!(seen[at], before.data()[at], "{x}, {y}");
            }
        }
    }
}

#[tokio::test]
async fn a_picture_is_kept_only_when_somebody_looked_at_exactly_that() {
    let app = TestApp::init().await;
    let fellow = app.with_fellow().await;
    let code = CaseBuilder::new("Branch lost").complete().insert(&app).await.code;
    let editor = brought(&fellow, code, &still()).await;
    // Nothing is burnt yet.
    fellow.get(&format!("{editor}/look")).await.expect(StatusCode::CONFLICT);
    burn(&fellow, &editor, "", &[]).await.expect(StatusCode::SEE_OTHER);
    let page = say(&fellow, &editor, &[("looked", "")]).await;
    page.expect(StatusCode::UNPROCESSABLE_ENTITY);
    assert!(page.error_of("looked").is_some());
    assert_eq!(page.value("shows"), "The branch ends early.", "what was typed stays");
    let page = say(&fellow, &editor, &[("base", "0000"), ("shows", "")]).await;
    page.expect(StatusCode::UNPROCESSABLE_ENTITY);
    assert!(page.error_of("looked").unwrap().contains("burnt anew") && page.error_of("shows").is_some());
    let page = say(&fellow, &editor, &[("view", "from the side")]).await;
    assert!(page.error_of("view").unwrap().contains("RAO 30 caudal 20"));
    assert!(app.case(code).await.pictures.is_empty());
    say(&fellow, &editor, &[("view", "lao40cran20"), ("caption", "Gone")])
        .await
        .expect(StatusCode::SEE_OTHER);
    let kept = app.case(code).await.pictures[0].value.clone();
    assert_eq!(kept.confirmed_by.as_str(), "Fay Fellow");
    assert_eq!(kept.view.unwrap().to_string(), "LAO 40 cranial 20");
    // It waits no longer.
    fellow.get(&editor).await.expect(StatusCode::NOT_FOUND);
}

#[tokio::test]
async fn what_looks_like_writing_is_offered_to_be_burnt_and_asked_about() {
    let app = TestApp::init().await;
    let fellow = app.with_fellow().await;
    let code = CaseBuilder::new("Branch lost").complete().insert(&app).await.code;
    let editor = brought(&fellow, code, &with_stripes()).await;
    let page = fellow.get(&editor).await;
    assert!(page.text.contains("Something looks like writing"), "{}", page.text);
    let offered: Vec<String> =
        ["left", "top", "width", "height"].iter().map(|name| page.values(name)[0].clone()).collect();
    assert!(offered.iter().all(|number| !number.is_empty()), "{offered:?}");
    // Left as it is, it has to be said that it is none.
    burn(&fellow, &editor, "", &[]).await.expect(StatusCode::SEE_OTHER);
    let page = say(&fellow, &editor, &[]).await;
    page.expect(StatusCode::UNPROCESSABLE_ENTITY);
    assert!(page.error_of("no-writing").is_some());
    // Burnt as offered, nothing is asked.
    let numbers: Vec<&str> = offered.iter().map(String::as_str).collect();
    burn(&fellow, &editor, "", &[numbers.try_into().unwrap()]).await.expect(StatusCode::SEE_OTHER);
    assert!(!fellow.get(&format!("{editor}/look")).await.text.contains("looks like writing"));
    say(&fellow, &editor, &[]).await.expect(StatusCode::SEE_OTHER);
}

#[tokio::test]
async fn numbers_that_are_no_rectangle_come_back_marked() {
    let app = TestApp::init().await;
    let fellow = app.with_fellow().await;
    let code = CaseBuilder::new("Branch lost").complete().insert(&app).await.code;
    let editor = brought(&fellow, code, &still()).await;
    for (rectangle, words) in [
        (["90", "0", "20", "10"], "beyond the picture"),
        (["a", "0", "20", "10"], "four numbers"),
        (["1", "", "20", "10"], "four numbers"),
        (["1", "1", "0", "10"], "a width and a height"),
        (["-1", "1", "5", "10"], "four numbers"),
        (["NaN", "1", "5", "10"], "four numbers"),
    ] {
        let page = burn(&fellow, &editor, "", &[rectangle]).await;
        page.expect(StatusCode::UNPROCESSABLE_ENTITY);
        assert!(page.text.contains(words), "{rectangle:?}: {}", page.text);
        assert_eq!(page.values("left")[0], rectangle[0], "what was typed stays");
    }
    burn(&fellow, &editor, "2", &[]).await.expect(StatusCode::UNPROCESSABLE_ENTITY);
}

#[tokio::test]
async fn a_picture_waits_for_who_brought_it_for_that_case_and_for_half_an_hour() {
    let app = TestApp::init().await;
    let (fellow, attending) = (app.with_fellow().await, app.with_attending().await);
    let code = CaseBuilder::new("Branch lost").complete().insert(&app).await.code;
    let other = CaseBuilder::new("Another").complete().insert(&app).await.code;
    let editor = brought(&fellow, code, &still()).await;
    let frame = fellow.get(&format!("{editor}/frame/1")).await;
    frame.expect(StatusCode::OK);
    assert_eq!(frame.headers["content-type"], "image/png");
    assert_eq!(frame.headers["cache-control"], "private, no-store");
    fellow.get(&format!("{editor}/frame/0")).await.expect(StatusCode::NOT_FOUND);
    fellow.get(&format!("{editor}/frame/2")).await.expect(StatusCode::NOT_FOUND);
    for path in
        [editor.clone(), format!("{editor}/frame/1"), format!("{editor}/look"), format!("{editor}/burnt.png")]
    {
        attending.get(&path).await.expect(StatusCode::NOT_FOUND);
        let elsewhere = path.replace(&code.to_string(), &other.to_string());
        fellow.get(&elsewhere).await.expect(StatusCode::NOT_FOUND);
    }
    // A third of one person lets the first go.
    let second = brought(&fellow, code, &still()).await;
    let third = brought(&fellow, code, &still()).await;
    fellow.get(&editor).await.expect(StatusCode::NOT_FOUND);
    fellow.get(&second).await.expect(StatusCode::OK);
    let fourth = brought(&fellow, code, &still()).await;
    fellow.post(&fourth, &[("do", "discard")]).await.expect(StatusCode::SEE_OTHER);
    fellow.get(&fourth).await.expect(StatusCode::NOT_FOUND);
    fellow.get(&third).await.expect(StatusCode::OK);
    // Last, and never back: a use that is noted ahead of the clock, which happens beside the request, ends a session.
    app.app.clock.set_ahead(31 * 60);
    fellow.get(&third).await.expect(StatusCode::NOT_FOUND);
    fellow.get(&new_path(code)).await.expect(StatusCode::OK);
    // None of it came near the database.
    assert_eq!(store::pixels_held(&mut app.app.database.read().await.unwrap()).await.unwrap(), 0);
    assert!(!holds(&app.file_bytes(), b"\x89PNG\r\n\x1a\n"));
}

#[tokio::test]
async fn a_file_of_who_was_signed_out_is_not_read_and_not_written_on_the_page() {
    let app = TestApp::init().await;
    let code = CaseBuilder::new("Branch lost").complete().insert(&app).await.code;
    let page = super::bring(&app.signed_out(), &new_path(code), &still()).await;
    page.expect(StatusCode::UNAUTHORIZED);
    assert!(page.text.contains("choose it again"), "{page}");
    assert!(
        !page.html.contains("IHDR") && !page.html.contains("TOLLAND") && page.count("form textarea") == 0
    );
}

#[tokio::test]
async fn taking_out_can_be_undone_and_erasing_cannot() {
    let app = TestApp::init().await;
    let fellow = app.with_fellow().await;
    let code = CaseBuilder::new("Branch lost").complete().insert(&app).await.code;
    let png = keep(&app, &fellow, code, &still(), "").await;
    let id = app.case(code).await.pictures[0].id;
    let path = format!("/cases/{code}/pictures/{id}");
    let gone = fellow.post(&format!("{path}/remove"), &[]).await;
    gone.expect(StatusCode::SEE_OTHER);
    fellow.get(&format!("{path}/still.png")).await.expect(StatusCode::NOT_FOUND);
    fellow.post(&format!("{path}/put-back"), &[]).await.expect(StatusCode::SEE_OTHER);
    fellow.get(&format!("{path}/still.png")).await.expect(StatusCode::OK);
    let some = &png[png.len() / 2..png.len() / 2 + 64];
    assert!(holds(&app.file_bytes(), some));
    fellow.post(&format!("{path}/erase"), &[]).await.expect(StatusCode::BAD_REQUEST);
    fellow.post(&format!("{path}/erase"), &[("sure", "yes")]).await.expect(StatusCode::SEE_OTHER);
    assert!(app.case(code).await.pictures.is_empty());
    fellow.post(&format!("{path}/put-back"), &[]).await;
    assert!(app.case(code).await.pictures.is_empty(), "the words came back without pixels");
    assert_eq!(store::pixels_held(&mut app.app.database.read().await.unwrap()).await.unwrap(), 0);
    assert!(!holds(&app.file_bytes(), some), "the database file still holds the pixels");
}

#[tokio::test]
async fn what_is_burnt_out_later_takes_the_place_of_what_was_kept() {
    let app = TestApp::init().await;
    let fellow = app.with_fellow().await;
    let code = CaseBuilder::new("Branch lost").complete().insert(&app).await.code;
    let before = keep(&app, &fellow, code, &still(), "").await;
    let id = app.case(code).await.pictures[0].id;
    let page = fellow.post(&format!("/cases/{code}/pictures/{id}/burn"), &[]).await;
    page.expect(StatusCode::SEE_OTHER);
    let editor = page.location().to_owned();
    burn(&fellow, &editor, "", &[["0", "0", "50", "50"]]).await.expect(StatusCode::SEE_OTHER);
    let look = fellow.get(&format!("{editor}/look")).await;
    assert_eq!(look.value("shows"), "The branch ends early.", "what was said stays");
    say(&fellow, &editor, &[]).await.expect(StatusCode::SEE_OTHER);
    let case = app.case(code).await;
    assert_eq!(case.pictures.len(), 1);
    assert_eq!(case.pictures[0].id, id);
    assert_ne!(newest(&app, code).await, before);
    assert_eq!(store::pixels_held(&mut app.app.database.read().await.unwrap()).await.unwrap(), 1);
}

#[tokio::test]
async fn pixels_go_with_a_purged_case_and_with_time() {
    let app = TestApp::init().await;
    let fellow = app.with_fellow().await;
    let code = CaseBuilder::new("Branch lost").complete().insert(&app).await.code;
    let other = CaseBuilder::new("Another").complete().insert(&app).await.code;
    keep(&app, &fellow, code, &still(), "").await;
    keep(&app, &fellow, other, &encode(&angiogram(false)).unwrap(), "").await;
    let (case, kept) = (app.case(code).await, app.case(other).await);
    let mut tx = app.app.database.write().await.unwrap();
    store::withdraw(&mut tx, case.id, ("Fay Fellow", "Recorded twice"), app.app.now()).await.unwrap();
    store::forget_pixels(&mut tx, app.app.now()).await.unwrap();
    assert_eq!(store::pixels_held(&mut tx).await.unwrap(), 2, "a withdrawn case keeps its pictures");
    let withdrawn = store::withdrawn(&mut tx).await.unwrap();
    store::purge(&mut tx, &withdrawn[0], app.app.today()).await.unwrap();
    assert_eq!(store::pixels_held(&mut tx).await.unwrap(), 1);
    // What was taken out keeps its pixels for 30 days.
    store::take_out(&mut tx, kept.id, store::Part::Picture, kept.pictures[0].id, app.app.now())
        .await
        .unwrap();
    let later = |days: i64| app.app.now() + jiff::SignedDuration::from_hours(24 * days);
    store::forget_pixels(&mut tx, later(29)).await.unwrap();
    assert_eq!(store::pixels_held(&mut tx).await.unwrap(), 1);
    store::forget_pixels(&mut tx, later(31)).await.unwrap();
    assert_eq!(store::pixels_held(&mut tx).await.unwrap(), 0);
}

#[tokio::test]
async fn a_case_holds_24_pictures() {
    let app = TestApp::init().await;
    let fellow = app.with_fellow().await;
    let placed = CaseBuilder::new("Branch lost").complete().recorded_by(Role::Fellow).insert(&app).await;
    keep(&app, &fellow, placed.code, &still(), "").await;
    let case = app.case(placed.code).await;
    let mut tx = app.app.database.write().await.unwrap();
    for _ in 1..24 {
        let row = store::RowValue::Picture(case.pictures[0].value.clone());
        store::insert_row(&mut tx, case.id, &row, app.app.now()).await.unwrap();
    }
    tx.commit().await.unwrap();
    let page = super::bring(&fellow, &new_path(placed.code), &still()).await;
    page.expect(StatusCode::UNPROCESSABLE_ENTITY);
    assert!(page.text.contains("at most 24 pictures"));
    // One can still take the place of another.
    let id = case.pictures[0].id;
    super::bring(&fellow, &format!("{}?replaces={id}", new_path(placed.code)), &still())
        .await
        .expect(StatusCode::SEE_OTHER);
}

#[test]
fn what_is_kept_reads_back_the_same() {
    let pixels = angiogram(false);
    assert_eq!(read(encode(&pixels).unwrap()).unwrap().source.frame(0).unwrap(), pixels);
}
