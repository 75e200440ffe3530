//! Who sees a picture, and where it is shown.

use relook::case::Stage;
use relook::picture::{angiogram, encode};

use super::{brought, burn, keep, say};
use crate::support::{CaseBuilder, StatusCode, TestApp};

fn still() -> Vec<u8> {
    encode(&angiogram(true)).unwrap()
}

#[tokio::test]
async fn a_picture_is_seen_by_who_sees_its_case() {
    let app = TestApp::init().await;
    let (fellow, reader) = (app.with_fellow().await, app.with_reader().await);
    let hidden = CaseBuilder::new("In the making").complete().insert(&app).await.code;
    let presented = CaseBuilder::new("Presented").complete().stage(Stage::Presented).insert(&app).await.code;
    for code in [hidden, presented] {
        keep(&app, &fellow, code, &still(), "").await;
    }
    for (code, status) in [(hidden, StatusCode::NOT_FOUND), (presented, StatusCode::OK)] {
        let id = app.case(code).await.pictures[0].id;
        let path = format!("/cases/{code}/pictures/{id}");
        reader.get(&path).await.expect(status);
        let png = reader.get(&format!("{path}/still.png")).await;
        png.expect(status);
        if status == StatusCode::OK {
            assert_eq!(png.headers["content-type"], "image/png");
            assert_eq!(png.headers["x-content-type-options"], "nosniff");
            assert_eq!(png.headers["cache-control"], "private, no-store");
        }
        app.signed_out().get(&format!("{path}/still.png")).await.expect(StatusCode::SEE_OTHER);
        reader.get(&format!("{path}/edit")).await.expect(StatusCode::FORBIDDEN);
    }
    // By another case's address there is none.
    let id = app.case(hidden).await.pictures[0].id;
    reader.get(&format!("/cases/{presented}/pictures/{id}/still.png")).await.expect(StatusCode::NOT_FOUND);
}

#[tokio::test]
async fn pictures_stand_in_the_order_of_their_events_on_page_summary_and_in_the_deck_behind_their_stop() {
    let app = TestApp::init().await;
    let fellow = app.with_fellow().await;
    let code = CaseBuilder::new("Branch lost")
        .flow("0", "obtuse-marginal", 3)
        .decision("d1", "5", "Wire the branch?", &["Yes", "No"])
        .flow("10", "obtuse-marginal", 0)
        .insert(&app)
        .await
        .code;
    let keys: Vec<String> = app.case(code).await.events.iter().map(|row| row.value.key.to_string()).collect();
    for (event, shows) in [("", "ZQNONE"), (keys[1].as_str(), "ZQAFTER"), (keys[0].as_str(), "ZQBEFORE")] {
        let editor = brought(&fellow, code, &still()).await;
        burn(&fellow, &editor, "", &[]).await.expect(StatusCode::SEE_OTHER);
        let said = [("event", event), ("shows", shows), ("caption", shows), ("view", "RAO 30 caudal 20")];
        say(&fellow, &editor, &said).await.expect(StatusCode::SEE_OTHER);
    }
    let order = |text: &str| ["ZQBEFORE", "ZQAFTER", "ZQNONE"].map(|mark| text.find(mark));
    for path in
        [format!("/cases/{code}"), format!("/cases/{code}/summary"), format!("/cases/{code}/summary.md")]
    {
        let page = fellow.get(&path).await;
        let places = order(&page.html).map(|place| place.unwrap_or_else(|| panic!("{path} lacks one")));
        assert!(places.is_sorted(), "{path}: {places:?}");
        assert!(page.html.contains("RAO 30 caudal 20"), "{path}");
    }
    let page = fellow.get(&format!("/cases/{code}")).await;
    assert_eq!(page.count("#pictures img[alt=\"ZQAFTER\"]"), 1);
    assert!(page.text.contains("Event 2, +10:00"), "{}", page.text);
    // The source of the window ends at the stop: no picture of what came after it, not even its address.
    let case = app.case(code).await;
    let window = fellow.get(&format!("/cases/{code}/present")).await;
    assert!(
        window.html.contains("ZQBEFORE")
            && !window.html.contains("ZQAFTER")
            && !window.html.contains("ZQNONE")
    );
    let address = |mark: &str| {
        let row = case.pictures.iter().find(|row| row.value.shows.as_str() == mark).unwrap();
        format!("/pictures/{}/still.png", row.id)
    };
    assert!(window.html.contains(&address("ZQBEFORE")) && !window.html.contains(&address("ZQAFTER")));
    let after = fellow.get(&format!("/cases/{code}/present/segments/1")).await;
    assert!(
        after.html.contains(&address("ZQAFTER")) && after.html.contains(&address("ZQNONE")),
        "{}",
        after.html
    );
}

#[tokio::test]
async fn what_is_said_of_a_picture_is_edited_like_any_other_row() {
    let app = TestApp::init().await;
    let (fellow, attending) = (app.with_fellow().await, app.with_attending().await);
    let code = CaseBuilder::new("Branch lost").complete().insert(&app).await.code;
    keep(&app, &fellow, code, &still(), "").await;
    let id = app.case(code).await.pictures[0].id;
    let path = format!("/cases/{code}/pictures/{id}");
    let form = fellow.get(&format!("{path}/edit")).await;
    let other = attending.get(&format!("{path}/edit")).await;
    fellow.submit(&form, &path, &[("caption", "Gone")]).await.expect(StatusCode::SEE_OTHER);
    attending.submit(&other, &path, &[("caption", "Lost")]).await.expect(StatusCode::CONFLICT);
    let form = fellow.get(&format!("{path}/edit")).await;
    fellow.submit(&form, &path, &[("shows", "")]).await.expect(StatusCode::UNPROCESSABLE_ENTITY);
    let picture = app.case(code).await.pictures[0].value.clone();
    assert_eq!(picture.caption.unwrap().as_str(), "Gone");
    let history = fellow.get(&format!("/cases/{code}/history")).await;
    assert!(history.text.contains("Picture") && history.text.contains("Gone"), "{}", history.text);
}
