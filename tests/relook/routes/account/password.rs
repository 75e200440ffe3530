//! Changing one's password.

use crate::support::{PASSWORD, Role, StatusCode, TestApp};

const OTHER: &str = "kettle argues with trains";

#[tokio::test]
async fn a_change_asks_for_the_password_of_now_and_ends_other_sessions() {
    let house = TestApp::init().await;
    house.set_password(Role::Fellow).await;
    let (here, there) = (house.as_role(Role::Fellow).await, house.as_role(Role::Fellow).await);
    let page = here.get("/account").await;
    assert_eq!(page.attr("#current_password", "autocomplete").as_deref(), Some("current-password"));
    for wrong in ["", "lamp river hat sack"] {
        let change = [("current_password", wrong), ("new_password", OTHER), ("again", OTHER)];
        let page = here.post("/account/password", &change).await;
        page.expect(StatusCode::UNPROCESSABLE_ENTITY);
        assert!(page.text.contains("This is not the password that you have now."), "{page}");
        assert!(!page.html.contains(OTHER), "{page}");
    }
    there.get("/settings").await.expect(StatusCode::OK);
    let change = [("current_password", PASSWORD), ("new_password", OTHER), ("again", OTHER)];
    let answer = here.post("/account/password", &change).await;
    answer.expect(StatusCode::SEE_OTHER);
    here.get("/settings").await.expect(StatusCode::OK);
    there.get("/settings").await.expect(StatusCode::SEE_OTHER);
    house.signed_out().sign_in("Fay Fellow", PASSWORD).await.expect(StatusCode::UNPROCESSABLE_ENTITY);
    house.signed_out().sign_in("Fay Fellow", OTHER).await.expect(StatusCode::SEE_OTHER);
}

#[tokio::test]
async fn who_has_no_password_yet_chooses_one() {
    let house = TestApp::init().await;
    let client = house.as_role(Role::Fellow).await;
    let page = client.get("/account").await;
    assert!(page.text.contains("You have no password yet."), "{page}");
    assert_eq!(page.count("#current_password"), 0);
    let chosen = [("new_password", PASSWORD), ("again", PASSWORD)];
    client.post("/account/password", &chosen).await.expect(StatusCode::SEE_OTHER);
    assert!(house.user(Role::Fellow).await.has_password);
}

#[tokio::test]
async fn every_script_spaces_and_length_are_taken_and_nothing_is_cut_off() {
    let house = TestApp::init().await;
    let long = "ランプ и река, kettle 🧢 ".repeat(8);
    assert!(long.chars().count() > 64);
    let client = house.as_role(Role::Fellow).await;
    let chosen = [("new_password", long.as_str()), ("again", long.as_str())];
    client.post("/account/password", &chosen).await.expect(StatusCode::SEE_OTHER);
    let cut: String = long.chars().take(long.chars().count() - 1).collect();
    house.signed_out().sign_in("Fay Fellow", &cut).await.expect(StatusCode::UNPROCESSABLE_ENTITY);
    house.signed_out().sign_in("Fay Fellow", &long).await.expect(StatusCode::SEE_OTHER);
}

#[tokio::test]
async fn beside_a_second_factor_eight_characters_are_enough() {
    let house = TestApp::init().await;
    house.set_password(Role::Fellow).await;
    house.set_second_factor(Role::Fellow).await;
    let client = house.as_role(Role::Fellow).await;
    for (new, status) in [("lamphat", StatusCode::UNPROCESSABLE_ENTITY), ("lamp hat", StatusCode::SEE_OTHER)]
    {
        let change = [("current_password", PASSWORD), ("new_password", new), ("again", new)];
        client.post("/account/password", &change).await.expect(status);
    }
}
