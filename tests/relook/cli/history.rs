//! `relook check --database`: whether the history is whole, and the record what it adds up to.

use sqlx::sqlite::SqliteConnectOptions;
use sqlx::{ConnectOptions as _, Connection as _};

use super::{House, demo_cases};

fn run_outside(house: &House, statements: &[&'static str]) {
    let runtime = tokio::runtime::Builder::new_current_thread().enable_all().build().expect("a runtime");
    let path = house.path("data").join("relook.sqlite");
    runtime.block_on(async {
        let mut conn = SqliteConnectOptions::new().filename(path).connect().await.expect("the database");
        for sql in statements {
            sqlx::query(*sql).execute(&mut conn).await.expect(sql);
        }
        conn.close().await.expect("an end");
    });
}

/// The line with which a check says where the history ends.
fn end_of(out: &str) -> String {
    let line = out.lines().find(|line| line.split_once(':').is_some_and(|(_, digest)| digest.len() == 64));
    line.unwrap_or_else(|| panic!("no end in {out}")).to_owned()
}

#[test]
fn a_whole_history_is_said_to_be_whole_and_its_end_can_be_written_down() {
    let house = House::new();
    house.run(&["import", &demo_cases()]).fine();
    let answer = house.run(&["check", "--database"]).fine().says("The history is whole: ");
    let end = end_of(&answer.out);
    house.run(&["user", "add", "Fay Fellow", "--role", "fellow"]).fine();
    house.run(&["check", "--database", "--known", &end]).fine();
    let other = end.replace(['a', 'b'], "c");
    house
        .run(&["check", "--database", "--known", &other])
        .refused("are not as they were written")
        .says("another digest than the one you gave");
    let later = format!("9999:{}", "0".repeat(64));
    house.run(&["check", "--database", "--known", &later]).says("history: revision 9999 is missing");
    assert_eq!(house.run(&["check", "--database", "--known", "12"]).code, 2);
}

#[test]
fn a_check_says_where_the_chain_breaks_and_which_row_differs() {
    let house = House::new();
    house.run(&["import", &demo_cases()]).fine();
    run_outside(
        &house,
        &[
            "drop trigger history_changes_are_only_erased",
            "drop trigger history_of_lesions_changed",
            "update history_changes set fields = '{}' where id = (select min(id) from history_changes
             where table_name = 'events')",
            "update lesions set segment = 'lad-mid' where id = 1 and segment <> 'lad-mid'",
            "update lesions set segment = 'rca-mid' where id = 2 and segment <> 'rca-mid'",
        ],
    );
    let answer = house.run(&["check", "--database"]).refused("are not as they were written");
    assert!(answer.out.contains("is not as it was sealed"), "{}", answer.out);
    assert!(answer.out.contains("lesions [1]: segment is not what the history says"), "{}", answer.out);
}

#[test]
fn what_was_changed_in_the_file_by_another_program_is_told() {
    let house = House::new();
    house.run(&["import", &demo_cases()]).fine();
    run_outside(&house, &["update case_records set title = 'Changed elsewhere' where id = 1"]);
    house.run(&["check", "--database"]).fine().says("was changed in the file, not through Relook");
}
