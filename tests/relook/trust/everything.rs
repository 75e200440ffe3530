//! `relook export --all`: nobody is locked in, and what is closed stays.

use std::collections::BTreeSet;

use relook::accounts::Role;
use relook::export::everything::{Leaves, TABLES};
use relook::import::case_file::{Language, read};

use super::edited;
use super::server::{now, person};
use crate::cli::{House, demo_cases};

/// A house with the cases of the demo, and what a person's account holds.
fn filled() -> (House, String) {
    let house = House::new();
    let cookie = person(&house.path("data"), "Quinn Lead", Role::QualityLead);
    let at_risk = format!("{}/procedures-at-risk.csv", demo_cases());
    house.run(&["import", &demo_cases(), "--at-risk", &at_risk]).fine();
    edited(
        &house.path("data/relook.sqlite"),
        "update users set password_hash = 'argon2-secret-hash';
         insert into conferences (held_on, title) values ('2026-06-30', 'June');
         insert into case_judgements values (1, 1, 'own', 3, 2, 'A closed remark', '2026-01-01')",
    );
    (house, cookie)
}

#[test]
fn each_table_of_the_schema_leaves_or_has_a_reason_to_stay() {
    let house = House::new();
    house.run(&["user", "add", "Somebody", "--role", "fellow"]).fine();
    let schema: BTreeSet<String> = now(async {
        let database =
            relook::database::Database::open_to_read(&house.path("data/relook.sqlite")).await.unwrap();
        let names =
            relook::database::tables_sqlite::names(&mut database.read().await.unwrap()).await.unwrap();
        database.close().await;
        names.into_iter().collect()
    });
    let told: BTreeSet<String> = TABLES.iter().map(|(name, _)| (*name).to_owned()).collect();
    assert_eq!(
        schema.difference(&told).collect::<Vec<_>>(),
        [] as [&String; 0],
        "say in src/export/everything.rs what leaves of these tables, or why nothing does"
    );
    assert_eq!(told.difference(&schema).collect::<Vec<_>>(), [] as [&String; 0], "these tables are gone");
    assert_eq!(told.len(), TABLES.len(), "a table is named twice");
}

#[test]
fn everything_leaves_as_open_files_that_can_be_read_again() {
    let (house, _) = filled();
    house.run(&["export", "--all", "--to", "all"]).fine().says("README.md says what each file is");
    let index = std::fs::read_to_string(house.path("all/README.md")).unwrap();
    for (name, leaves) in TABLES {
        let there = house.path(&format!("all/tables/{name}.json")).exists();
        assert_eq!(there, !matches!(leaves, Leaves::Nothing(_)), "{name}");
        assert!(index.contains(&format!("| `{name}` |")), "{name} is not on the first page");
    }
    assert!(index.contains("Closed: what a reviewer judged"), "{index}");
    let accounts = std::fs::read_to_string(house.path("all/tables/users.json")).unwrap();
    assert!(accounts.contains("Quinn Lead") && accounts.contains("quality-lead"), "{accounts}");
    assert!(house.path("all/conferences/2026-06-30-1-minutes.md").exists());
    assert!(std::fs::read_to_string(house.path("all/rates.csv")).unwrap().contains("Any complication"));

    // Each case meets the schema's reader, and both forms are the same case.
    let vocabulary = now(async {
        let database =
            relook::database::Database::open_to_read(&house.path("data/relook.sqlite")).await.unwrap();
        let vocabulary = relook::vocabulary::store::load(&mut database.read().await.unwrap()).await.unwrap();
        database.close().await;
        vocabulary
    });
    let mut cases = 0;
    for entry in std::fs::read_dir(house.path("all/cases")).unwrap() {
        let path = entry.unwrap().path();
        let name = path.file_name().unwrap().to_string_lossy().into_owned();
        if !name.ends_with(".json") || name == "case.schema.json" {
            continue;
        }
        cases += 1;
        let json = read(&std::fs::read(&path).unwrap(), Language::Json, &vocabulary).unwrap();
        let toml = std::fs::read(path.with_extension("toml")).unwrap();
        assert_eq!(json, read(&toml, Language::Toml, &vocabulary).unwrap(), "{name}");
        let summary =
            std::fs::read_to_string(house.path("all/cases").join(name.replace(".json", "-summary.md")));
        assert!(summary.unwrap().starts_with("# "), "{name}");
    }
    assert!(cases > 5, "{cases} cases");

    // And the whole goes into an empty record again.
    let again = ["import", "all/cases", "--at-risk", "all/procedures-at-risk.csv", "--data", "again"];
    std::fs::remove_file(house.path("all/cases/case.schema.json")).unwrap();
    for entry in std::fs::read_dir(house.path("all/cases")).unwrap() {
        let path = entry.unwrap().path();
        if path.extension().is_some_and(|end| end == "toml") {
            std::fs::remove_file(path).unwrap();
        }
    }
    house.run(&again).fine().says("Imported procedures at risk");
    house.run(&["export", "--all", "--to", "twice", "--data", "again"]).fine();
    for table in ["procedures_at_risk", "kept_counts"] {
        let of = |folder: &str| {
            std::fs::read_to_string(house.path(&format!("{folder}/tables/{table}.csv"))).unwrap()
        };
        assert_eq!(of("all"), of("twice"), "{table}");
    }
}

#[test]
fn what_opens_an_account_and_what_is_closed_is_in_no_file() {
    let (house, cookie) = filled();
    house.run(&["export", "--all", "--to", "all"]).fine();
    let secret = cookie.split('=').nth(1).unwrap().to_owned();
    let digest = super::asked(&house.path("data/relook.sqlite"), "select token_digest from sessions");
    for (path, bytes) in house.all_files() {
        if !path.starts_with(house.path("all")) {
            continue;
        }
        let text = String::from_utf8(bytes).unwrap();
        for stays in ["argon2-secret-hash", "A closed remark", &secret, &digest] {
            assert!(!text.contains(stays), "{} holds {stays}", path.display());
        }
    }
    house.run(&["export", "--all", "--to", "all"]).refused("Write over what is in it with --force");
    house.run(&["export", "--all", "--to", "all", "--force"]).fine();
}
