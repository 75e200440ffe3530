//! `relook check --database`: whether the kept counts are those of the record.

use relook::database::Database;

use super::{House, demo_cases};

/// Spoils the kept counts behind the back of everything that keeps them right.
fn spoil(house: &House) {
    let runtime = tokio::runtime::Builder::new_current_thread().enable_all().build().expect("a runtime");
    runtime.block_on(async {
        let database = Database::open(&house.path("data").join("relook.sqlite")).await.expect("the database");
        let mut tx = database.write().await.expect("a transaction");
        sqlx::query("update kept_counts set cases = cases + 2 where trait = 'any' and kind = 'whole'")
            .execute(&mut *tx)
            .await
            .expect("the update");
        sqlx::query("delete from case_traits where trait = 'radial' and case_id = 1")
            .execute(&mut *tx)
            .await
            .expect("the deletion");
        tx.commit().await.expect("the commit");
        database.close().await;
    });
}

#[test]
fn kept_counts_are_compared_with_the_record_and_made_anew_when_told() {
    let house = House::new();
    house.run(&["import", &demo_cases()]).fine();
    house.run(&["check", "--database"]).fine().says("The kept counts are those of the record.");
    spoil(&house);
    let answer = house
        .run(&["check", "--database"])
        .refused("Nothing was changed; count anew with: relook check --database --rebuild");
    assert!(answer.out.contains(": other features are kept than the case has"), "{}", answer.out);
    assert!(answer.out.contains(", whole: kept 3, the record has 1"), "{}", answer.out);
    house.run(&["check", "--database", "--rebuild"]).fine().says("Counted anew from the record.");
    house.run(&["check", "--database"]).fine();
}

#[test]
fn there_is_nothing_to_compare_without_a_database_and_nothing_to_make_anew_without_asking_for_it() {
    let house = House::new();
    house.run(&["check", "--database"]).refused("There is no database in");
    assert_eq!(house.run(&["check", "--rebuild", "cases/"]).code, 2);
}
