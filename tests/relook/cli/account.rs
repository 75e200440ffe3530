//! `relook user`.

use super::{Answer, House};

/// The secret of the one link in an answer.
fn secret(answer: &Answer) -> String {
    let links: Vec<&str> = answer.out.split("/sign-in/link/").skip(1).collect();
    assert_eq!(links.len(), 1, "{answer:?}");
    let secret: String = links[0].chars().take_while(char::is_ascii_hexdigit).collect();
    assert_eq!(secret.len(), 64, "{answer:?}");
    secret
}

#[test]
fn an_account_is_added_listed_given_a_role_and_a_new_link() {
    let house = House::new();
    let added = house.run(&["user", "add", "Dr A", "--role", "attending"]).fine();
    assert!(added.out.contains("http://127.0.0.1:7350/sign-in/link/"), "{added:?}");
    assert!(added.out.contains("within 48 hours"), "{added:?}");
    let first = secret(&added);
    house.run(&["user", "list"]).fine().says("Dr A  attending     has no password yet");
    house.run(&["user", "role", "Dr A", "reader"]).fine().says("Dr A has the role reader");
    house.run(&["user", "list"]).fine().says("Dr A  reader ");
    let again = house.run(&["user", "reset", "Dr A", "--address", "review.example:80"]).fine();
    assert!(again.out.contains("http://review.example:80/sign-in/link/"), "{again:?}");
    assert_ne!(secret(&again), first);
}

#[test]
fn what_cannot_be_done_to_an_account_is_refused_with_a_sentence() {
    let house = House::new();
    house.run(&["user", "add", "Lead", "--role", "quality-lead"]).fine();
    house
        .run(&["user", "add", "Lead", "--role", "fellow"])
        .refused("There is an account called Lead already");
    house.run(&["user", "reset", "Nobody"]).refused("There is no account called Nobody");
    house.run(&["user", "role", "Nobody", "fellow"]).refused("There is no account called Nobody");
    house.run(&["user", "role", "Lead", "fellow"]).refused("Lead is the only quality lead");
    house.run(&["user", "list"]).fine().says("Lead  quality-lead");
    house.run(&["user", "add", "Other", "--role", "quality-lead"]).fine();
    house.run(&["user", "role", "Lead", "fellow"]).fine();
}

#[test]
fn an_empty_list_says_how_to_begin() {
    let house = House::new();
    house.write("case.toml", &super::case_file(None, "T"));
    house.run(&["import", "case.toml"]).fine();
    house.run(&["user", "list"]).fine().says("There is no account yet");
}
