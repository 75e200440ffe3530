//! `relook backup` and `relook restore`, as the built program.

use std::os::unix::fs::PermissionsExt as _;
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::Duration;

use relook::accounts::Role;

use super::server::{Server, person, record};
use super::{asked, edited, situations};
use crate::cli::House;

const PHRASE: &str = "five words that nobody guesses\n";

/// A house with a record of two cases.
fn with_cases() -> House {
    let house = House::new();
    house.write("a.toml", &crate::cli::case_file(Some("2025-001"), "First of two"));
    house.write("b.toml", &crate::cli::case_file(Some("2025-002"), "Second of two"));
    house.run(&["import", "a.toml", "b.toml"]).fine();
    house
}

fn titles(house: &House, file: &str) -> String {
    asked(&house.path(file), "select group_concat(title, ', ') from (select title from cases order by title)")
}

#[test]
fn a_backup_is_proven_for_its_owner_alone_and_one_file() {
    let house = with_cases();
    let answer = house.run(&["backup", "copy.sqlite"]).fine().says("Wrote and verified copy.sqlite: ");
    let sum = std::process::Command::new("sha256sum").arg(house.path("copy.sqlite")).output().unwrap();
    let sum = String::from_utf8(sum.stdout).unwrap();
    assert!(answer.out.contains(sum.split(' ').next().unwrap()), "{answer:?} {sum}");
    assert_eq!(titles(&house, "copy.sqlite"), "First of two, Second of two");
    assert_eq!(asked(&house.path("copy.sqlite"), "pragma integrity_check"), "ok");
    let mode = std::fs::metadata(house.path("copy.sqlite")).unwrap().permissions().mode() & 0o777;
    assert_eq!(mode, 0o600);
    // It can be read where nothing can be written, so it has no log beside it.
    assert_eq!(asked(&house.path("copy.sqlite"), "pragma journal_mode"), "delete");
    assert!(!house.path(".copy.sqlite.part").exists());
}

#[test]
fn a_file_that_is_there_is_written_over_only_when_asked() {
    let house = with_cases();
    house.write("copy.sqlite", "the former backup");
    house.run(&["backup", "copy.sqlite"]).refused("Write over it with --replace");
    assert_eq!(std::fs::read_to_string(house.path("copy.sqlite")).unwrap(), "the former backup");
    house.run(&["backup", "copy.sqlite", "--replace"]).fine();
    assert_eq!(titles(&house, "copy.sqlite"), "First of two, Second of two");
    house.run(&["backup", "data/relook.sqlite", "--replace"]).refused("is the database itself");
    assert_eq!(titles(&house, "data/relook.sqlite"), "First of two, Second of two");
    house.run(&["backup", "nowhere/copy.sqlite"]).refused("its folder is not");
}

#[test]
fn a_backup_taken_while_people_write_is_of_one_moment() {
    let house = House::new();
    let cookie = person(&house.path("data"), "Fay Fellow", Role::Fellow);
    let server = Server::start(&house);
    let writing = AtomicBool::new(true);
    std::thread::scope(|scope| {
        let saved = scope.spawn(|| {
            let mut saved = Vec::new();
            while writing.load(Ordering::Relaxed) {
                let situation = format!("Saved as number {:05} of all.", saved.len());
                record(server.address(), &cookie, &situation).expect("a save");
                saved.push(situation);
            }
            saved
        });
        let mut counts = Vec::new();
        for turn in 0..4 {
            std::thread::sleep(Duration::from_millis(150));
            let name = format!("copy-{turn}.sqlite");
            house.run(&["backup", &name]).fine().says("Wrote and verified");
            counts.push(situations(&house.path(&name)));
        }
        writing.store(false, Ordering::Relaxed);
        let saved = saved.join().unwrap();
        // Each copy holds the saves up to its moment, without a gap, and the later ones hold more.
        for copy in &counts {
            assert_eq!(copy[..], saved[..copy.len()]);
        }
        assert!(counts[0].len() < counts[3].len(), "nothing was saved between the copies");
    });
    assert!(!server.log().contains("ERROR"), "{}", server.log());
}

#[test]
fn a_sealed_backup_opens_with_its_passphrase_alone() {
    let house = with_cases();
    house.write("phrase", PHRASE);
    house.write("other", "five other words that nobody guesses");
    house.write("short", "short");
    let by = |file: &'static str| ["--passphrase-file", file];
    house.run(&[&["backup", "copy.sqlite.age"][..], &by("phrase")].concat()).fine().says("It is sealed");
    let bytes = std::fs::read(house.path("copy.sqlite.age")).unwrap();
    assert!(bytes.starts_with(b"age-encryption.org/v1\n-> scrypt "), "not the age format");
    assert!(!bytes.windows(12).any(|part| part == b"First of two"));
    let left: Vec<_> = house
        .all_files()
        .into_iter()
        .filter(|(path, _)| {
            path.to_string_lossy().contains("seal") || path.to_string_lossy().contains(".part")
        })
        .collect();
    assert!(left.is_empty(), "{left:?}");

    for (arguments, says) in [
        (&["backup", "plain.sqlite", "--passphrase-file", "phrase"][..], "a name that ends in .age"),
        (&["backup", "short.age", "--passphrase-file", "short"], "at least 15 characters"),
        (&["backup", "none.age"], "--passphrase-file FILE"),
        (&["backup", "none.age", "--passphrase-file", "absent"], "cannot be read"),
    ] {
        house.run(arguments).refused(says);
    }

    let restore = |file: &str, phrase: &str| {
        house.run(&["restore", file, "--data", "fresh", "--passphrase-file", phrase])
    };
    restore("copy.sqlite.age", "other").refused("the passphrase is not the one it was sealed with");
    house.write("letter.age", "This is a letter.");
    restore("letter.age", "phrase").refused("it is not a sealed backup");
    assert!(!house.path("fresh/relook.sqlite").exists());
    restore("copy.sqlite.age", "phrase").fine().says("Restored");
    assert_eq!(titles(&house, "fresh/relook.sqlite"), "First of two, Second of two");
}

#[test]
fn a_restore_puts_the_backup_in_place_and_keeps_the_former_database() {
    let house = with_cases();
    house.run(&["backup", "copy.sqlite"]).fine();
    house.write("c.toml", &crate::cli::case_file(Some("2025-003"), "Third, later"));
    house.run(&["import", "c.toml"]).fine();
    house.run(&["restore", "copy.sqlite"]).refused("Put the backup in its place with --replace");
    assert_eq!(titles(&house, "data/relook.sqlite"), "First of two, Second of two, Third, later");
    let answer =
        house.run(&["restore", "copy.sqlite", "--replace"]).fine().says("The former database is kept as ");
    assert_eq!(titles(&house, "data/relook.sqlite"), "First of two, Second of two");
    let former = answer.out.split("kept as ").nth(1).unwrap().trim().trim_end_matches('.').to_owned();
    assert!(former.contains("relook-replaced-20"), "{former}");
    assert_eq!(titles(&house, &former), "First of two, Second of two, Third, later");
    assert!(!house.path("data/restoring").exists());
    let mode = std::fs::metadata(house.path("data/relook.sqlite")).unwrap().permissions().mode() & 0o777;
    assert_eq!(mode, 0o600);
    house.run(&["check", "--database"]).fine();
    // And back again.
    house.run(&["restore", &former, "--replace"]).fine();
    assert_eq!(titles(&house, "data/relook.sqlite"), "First of two, Second of two, Third, later");
}

#[test]
fn what_is_no_sound_record_is_not_restored_and_nothing_changes() {
    let house = with_cases();
    house.run(&["backup", "copy.sqlite"]).fine();
    house.write("letter.sqlite", &"This is a letter, not a database. ".repeat(200));
    house.write("empty.sqlite", "");
    let bytes = std::fs::read(house.path("copy.sqlite")).unwrap();
    std::fs::write(house.path("cut.sqlite"), &bytes[..bytes.len() / 2]).unwrap();
    std::fs::copy(house.path("copy.sqlite"), house.path("newer.sqlite")).unwrap();
    edited(
        &house.path("newer.sqlite"),
        "insert into _sqlx_migrations (version, description, success, checksum, execution_time)
         values (9999, 'of the future', true, x'00', 0)",
    );
    std::fs::copy(house.path("copy.sqlite"), house.path("dangling.sqlite")).unwrap();
    edited(
        &house.path("dangling.sqlite"),
        "pragma foreign_keys = off; update case_records set recorded_by = 77",
    );
    std::fs::copy(house.path("copy.sqlite"), house.path("other.sqlite")).unwrap();
    edited(&house.path("other.sqlite"), "drop table _sqlx_migrations");
    let before = std::fs::read(house.path("data/relook.sqlite")).unwrap();
    for (file, says) in [
        ("absent.sqlite", "it is not there"),
        ("letter.sqlite", "it is not a database"),
        ("empty.sqlite", "it is not a database of Relook"),
        ("cut.sqlite", "damaged"),
        ("newer.sqlite", "a newer Relook wrote it (it has step 9999"),
        ("dangling.sqlite", "name rows that are not there"),
        ("other.sqlite", "it is not a database of Relook"),
        ("data", "it is not there"),
    ] {
        house.run(&["restore", file, "--replace"]).refused(says);
        assert_eq!(std::fs::read(house.path("data/relook.sqlite")).unwrap(), before, "{file}");
        assert!(!house.path("data/restoring").exists(), "{file}");
    }
}

#[test]
fn nothing_is_restored_into_a_folder_that_is_served_and_no_two_servers_share_one() {
    let house = with_cases();
    house.run(&["backup", "copy.sqlite"]).fine();
    let server = Server::start(&house);
    house.run(&["restore", "copy.sqlite", "--replace"]).refused("A server runs on");
    house.run(&["serve", "--address", "127.0.0.1:0"]).refused("A server runs on");
    // Other commands work beside it.
    house.run(&["user", "add", "Somebody", "--role", "fellow"]).fine();
    house.run(&["backup", "second.sqlite"]).fine();
    // A lock is the system's: it does not outlive who held it.
    server.kill();
    house.run(&["restore", "copy.sqlite", "--replace"]).fine();
}

#[test]
fn a_backup_that_is_killed_leaves_the_former_one_and_the_next_clears_up() {
    let house = with_cases();
    house.run(&["backup", "copy.sqlite"]).fine();
    let former = std::fs::read(house.path("copy.sqlite")).unwrap();
    edited(
        &house.path("data/relook.sqlite"),
        "create table ballast (bytes blob); insert into ballast values (zeroblob(90000000))",
    );
    let part = house.path(".copy.sqlite.part");
    let interrupted = (0..40).any(|wait| {
        let mut child = house.program().args(["backup", "copy.sqlite", "--replace"]).spawn().unwrap();
        super::server::wait_for("the copy begins", || part.exists());
        std::thread::sleep(Duration::from_millis(wait % 8));
        child.kill().unwrap();
        let ended = child.wait().unwrap();
        let whole = std::fs::read(house.path("copy.sqlite")).unwrap() != former;
        assert!(!whole || ended.success() || !part.exists(), "a name was given to what is not whole");
        !ended.success() && part.exists()
    });
    assert!(interrupted, "no backup was caught in the middle");
    assert_eq!(std::fs::read(house.path("copy.sqlite")).unwrap(), former);
    house.run(&["backup", "copy.sqlite", "--replace"]).fine();
    assert!(!part.exists());
    assert_eq!(asked(&house.path("copy.sqlite"), "pragma integrity_check"), "ok");
    assert_eq!(
        asked(&house.path("copy.sqlite"), "select cast(length(bytes) as text) from ballast"),
        "90000000"
    );
}
