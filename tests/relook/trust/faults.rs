//! What goes wrong below the program: a full disk, a file that cannot be written, a lock, damage. Each
//! says so on the page and at the terminal, and nothing that was acknowledged is lost.

use std::os::unix::fs::{FileExt as _, PermissionsExt as _, chown};
use std::os::unix::process::CommandExt as _;
use std::path::Path;
use std::process::Command;

use relook::accounts::Role;
use sqlx::sqlite::SqliteConnectOptions;
use sqlx::{ConnectOptions as _, Connection as _};

use super::server::{Server, get, now, person, record, wait_for};
use super::{asked, situations};
use crate::cli::{Answer, House};
use crate::support::{StatusCode, TestApp};

/// Saves until one is refused; gives what was acknowledged, and the page of the refusal.
fn save_until_refused(server: &Server, cookie: &str) -> (Vec<String>, String) {
    let mut saved = Vec::new();
    for number in 0..3_000 {
        let situation = format!("Saved as number {number:05} of all. {}", "x".repeat(400));
        match record(server.address(), cookie, &situation) {
            Ok(_) => saved.push(situation),
            Err(reply) => {
                let reply = reply.expect("an answer");
                assert_eq!(reply.status, 503, "{reply:?}");
                return (saved, reply.body);
            }
        }
    }
    panic!("3,000 saves and none was refused");
}

#[track_caller]
fn no_panic(server: &Server) {
    assert!(!server.log().contains("panicked"), "{}", server.log());
}

/// A small disk of its own. `None`, with the reason told, where the system lets nobody make one.
struct SmallDisk(std::path::PathBuf);

impl SmallDisk {
    fn mount(at: &Path) -> Option<Self> {
        std::fs::create_dir_all(at).unwrap();
        let mounted =
            Command::new("mount").args(["-t", "tmpfs", "-o", "size=3m", "none"]).arg(at).output().ok()?;
        if !mounted.status.success() {
            eprintln!("no small disk here: {}", String::from_utf8_lossy(&mounted.stderr).trim());
            return None;
        }
        Some(Self(at.to_owned()))
    }

    fn enlarge(&self) {
        let done = Command::new("mount").args(["-o", "remount,size=60m"]).arg(&self.0).status().unwrap();
        assert!(done.success());
    }
}

impl Drop for SmallDisk {
    fn drop(&mut self) {
        let _ = Command::new("umount").arg("-l").arg(&self.0).status();
    }
}

/// Where no small disk can be mounted, the two tests below this one fill what stands for one.
#[test]
fn a_full_disk_is_told_and_saving_goes_on_when_there_is_room() {
    let house = House::new();
    let Some(disk) = SmallDisk::mount(&house.path("data")) else {
        return;
    };
    let cookie = person(&house.path("data"), "Quinn Lead", Role::QualityLead);
    let server = Server::start(&house);
    let (saved, page) = save_until_refused(&server, &cookie);
    assert!(page.contains("The disk is full. Nothing was saved; make room and try again."), "{page}");
    // What is there can still be read.
    assert_eq!(get(server.address(), &cookie, "/cases").unwrap().status, 200);
    let backup = super::server::post(server.address(), &cookie, "/settings/backups", &[]).unwrap();
    assert_eq!(backup.status, 303);
    let backups = get(server.address(), &cookie, "/settings/backups").unwrap();
    assert!(backups.body.contains("The last try failed") && backups.body.contains("the disk is full"));
    house.run(&["backup", "data/copy.sqlite"]).refused("the disk is full");
    assert!(!house.path("data/copy.sqlite").exists() && !house.path("data/.copy.sqlite.part").exists());
    disk.enlarge();
    let again = record(server.address(), &cookie, "Saved once there was room.");
    assert!(again.is_ok(), "{}", server.log());
    no_panic(&server);
    server.kill();
    let again = Server::start(&house);
    let held = situations(&house.path("data/relook.sqlite"));
    assert_eq!(held[..held.len() - 1], saved);
    assert_eq!(held.last().unwrap(), "Saved once there was room.");
    assert_eq!(asked(&house.path("data/relook.sqlite"), "pragma integrity_check"), "ok");
    again.stop();
}

#[test]
fn a_disk_that_takes_no_more_of_a_file_is_told_and_nothing_acknowledged_is_lost() {
    let house = House::new();
    let cookie = person(&house.path("data"), "Fay Fellow", Role::Fellow);
    // A limit on the size of files needs no rights; a write beyond it fails, as on a broken disk.
    let size = std::fs::metadata(house.path("data/relook.sqlite")).unwrap().len();
    let blocks = (size + 600_000) / 512;
    let mut shell = Command::new("sh");
    shell.arg("-c").arg(format!("trap '' XFSZ; ulimit -f {blocks}; exec \"$0\" serve --address 127.0.0.1:0"));
    shell.arg(env!("CARGO_BIN_EXE_relook")).env("RELOOK_DATA", house.path("data"));
    let server = Server::start_program(shell).unwrap();
    let (saved, page) = save_until_refused(&server, &cookie);
    assert!(
        page.contains("The disk does not take what is written") || page.contains("The disk is full"),
        "{page}"
    );
    assert_eq!(get(server.address(), &cookie, "/cases").unwrap().status, 200);
    no_panic(&server);
    server.kill();
    let again = Server::start(&house);
    assert_eq!(situations(&house.path("data/relook.sqlite")), saved);
    assert_eq!(asked(&house.path("data/relook.sqlite"), "pragma integrity_check"), "ok");
    again.stop();
}

#[tokio::test]
async fn a_database_that_may_not_grow_or_be_written_says_so_on_the_page_and_keeps_what_was_typed() {
    for (pragma, says, goes_on) in [
        ("pragma max_page_count = 1", "The disk is full. Nothing was saved", true),
        ("pragma query_only = on", "The data folder is read-only. Nothing was saved", false),
    ] {
        let app = TestApp::init().await;
        let client = app.with_fellow().await;
        app.execute(pragma).await;
        let long = format!("What was typed. {}", "x".repeat(400));
        let mut refused = None;
        for _ in 0..200 {
            let fields =
                [("month", "2026-02"), ("mechanism", "flow-no-reflow"), ("situation", long.as_str())];
            let page = client.post("/record", &fields).await;
            if page.status != StatusCode::SEE_OTHER {
                refused = Some(page);
                break;
            }
        }
        let page = refused.expect("a refusal");
        page.expect(StatusCode::SERVICE_UNAVAILABLE);
        assert!(page.text.contains(says), "{page}");
        // The record can still be read.
        client.get("/cases").await.expect(StatusCode::OK);
        if goes_on {
            // The limit was the connection's, which is given up: the next save has another.
            let fields =
                [("month", "2026-02"), ("mechanism", "flow-no-reflow"), ("situation", "Room again.")];
            client.post("/record", &fields).await.expect(StatusCode::SEE_OTHER);
        }
    }
}

/// The program as somebody to whom rights apply, also where the tests run as root.
fn without_rights(house: &House) -> Command {
    let mut program = house.program();
    let is_root =
        std::fs::metadata("/proc/self").is_ok_and(|own| std::os::unix::fs::MetadataExt::uid(&own) == 0);
    if is_root {
        const NOBODY: u32 = 65_534;
        let own = house.path("relook");
        if !own.exists() {
            std::fs::copy(env!("CARGO_BIN_EXE_relook"), &own).unwrap();
        }
        for (path, _) in house.all_files() {
            if path != own {
                chown(path, Some(NOBODY), Some(NOBODY)).unwrap();
            }
        }
        for folder in ["", "data"] {
            chown(house.path(folder), Some(NOBODY), Some(NOBODY)).unwrap();
        }
        program = Command::new(own);
        program.current_dir(house.path("")).env("RELOOK_DATA", house.path("data")).uid(NOBODY).gid(NOBODY);
    }
    program
}

fn mode(path: &Path, mode: u32) {
    std::fs::set_permissions(path, std::fs::Permissions::from_mode(mode)).unwrap();
}

#[test]
fn a_file_or_folder_that_cannot_be_written_is_told_at_the_terminal() {
    let house = House::new();
    house.run(&["user", "add", "Somebody", "--role", "fellow"]).fine();
    house.run(&["backup", "copy.sqlite"]).fine();
    let run = |arguments: &[&str]| Answer::from(without_rights(&house).args(arguments).output().unwrap());
    run(&["user", "list"]).fine().says("Somebody");
    let (file, folder) = (house.path("data/relook.sqlite"), house.path("data"));
    mode(&file, 0o444);
    for arguments in
        [&["serve", "--address", "127.0.0.1:0"][..], &["user", "add", "Other", "--role", "fellow"]]
    {
        run(arguments).refused("read-only");
    }
    mode(&file, 0o000);
    run(&["user", "list"]).refused("look at the rights of the file");
    run(&["backup", "other.sqlite"]).refused("look at the rights of the file");
    mode(&file, 0o600);
    mode(&folder, 0o500);
    for arguments in [&["serve", "--address", "127.0.0.1:0"][..], &["restore", "copy.sqlite", "--replace"]] {
        run(arguments).refused("Relook the right to write there");
    }
    mode(&folder, 0o700);
    // SQLite gives its side files the rights of the file, so they were made read-only too.
    for end in ["-wal", "-shm"] {
        let side = house.path(&format!("data/relook.sqlite{end}"));
        if side.exists() {
            mode(&side, 0o600);
        }
    }
    run(&["user", "list"]).fine().says("Somebody");
}

#[test]
fn a_lock_of_another_program_is_waited_for_and_then_told() {
    let house = House::new();
    let cookie = person(&house.path("data"), "Fay Fellow", Role::Fellow);
    let server = Server::start(&house);
    record(server.address(), &cookie, "Saved before.").expect("a save");
    now(async {
        let options = SqliteConnectOptions::new().filename(house.path("data/relook.sqlite"));
        let mut other = options.connect().await.unwrap();
        sqlx::raw_sql("begin immediate").execute(&mut other).await.unwrap();
        let reply = record(server.address(), &cookie, "Saved meanwhile.").unwrap_err().expect("an answer");
        assert_eq!(reply.status, 503);
        assert!(reply.body.contains("The database is busy. Nothing was saved; try again in a moment."));
        assert_eq!(get(server.address(), &cookie, "/cases").unwrap().status, 200, "reading goes on");
        house
            .run(&["user", "add", "Somebody", "--role", "fellow"])
            .refused("another program holds it locked");
        sqlx::raw_sql("rollback").execute(&mut other).await.unwrap();
        other.close().await.unwrap();
    });
    record(server.address(), &cookie, "Saved after.").expect("a save");
    no_panic(&server);
    assert_eq!(situations(&house.path("data/relook.sqlite")), ["Saved after.", "Saved before."]);
}

/// A house whose server was killed after these saves, so that they still lie in the write-ahead log.
fn killed_after(saves: usize) -> (House, Vec<String>) {
    let house = House::new();
    let cookie = person(&house.path("data"), "Fay Fellow", Role::Fellow);
    let server = Server::start(&house);
    let backups = house.path("data/backups");
    // The backup of the day reads along, and would keep the log from being folded in.
    wait_for("the backup of the day", || std::fs::read_dir(&backups).is_ok_and(|dir| dir.count() == 2));
    let saved: Vec<String> = (0..saves).map(|number| format!("Saved as number {number:03}.")).collect();
    for situation in &saved {
        record(server.address(), &cookie, situation).expect("a save");
    }
    server.kill();
    (house, saved)
}

#[test]
fn what_a_cut_write_leaves_in_the_log_is_ignored_and_every_save_is_there() {
    let (house, saved) = killed_after(12);
    let log = house.path("data/relook.sqlite-wal");
    let mut bytes = std::fs::read(&log).unwrap();
    // Half a frame of a save that was never acknowledged.
    bytes.extend(std::iter::repeat_n(0x5a, 2_072));
    std::fs::write(&log, &bytes).unwrap();
    let server = Server::start(&house);
    assert_eq!(situations(&house.path("data/relook.sqlite")), saved);
    server.stop();
    house.run(&["check", "--database"]).fine().says("The file is sound");
}

#[test]
fn a_log_that_lost_its_end_opens_at_the_last_whole_save() {
    let (house, saved) = killed_after(12);
    let log = house.path("data/relook.sqlite-wal");
    let bytes = std::fs::read(&log).unwrap();
    std::fs::write(&log, &bytes[..bytes.len() / 2 + 1_000]).unwrap();
    let server = Server::start(&house);
    let held = situations(&house.path("data/relook.sqlite"));
    assert_eq!(held[..], saved[..held.len()], "whole saves, in their order, and no half one");
    assert!(!held.is_empty() && held.len() < saved.len(), "{held:?}");
    server.stop();
    house.run(&["check", "--database"]).fine().says("The file is sound");
}

/// Overwrites the first pages of a table and its indexes, as asked for, with what means nothing.
fn damage(file: &Path, roots: &'static str) {
    let roots = asked(file, roots);
    let size: u64 = asked(file, "select cast(page_size as text) from pragma_page_size").parse().unwrap();
    let open = std::fs::OpenOptions::new().write(true).open(file).unwrap();
    for root in roots.split(',') {
        let page: u64 = root.parse().unwrap();
        open.write_all_at(&vec![0xa5; usize::try_from(size).unwrap()], (page - 1) * size).unwrap();
    }
}

#[test]
fn a_damaged_page_is_told_on_the_page_and_at_the_terminal_and_a_backup_mends_it() {
    let house = House::new();
    let cookie = person(&house.path("data"), "Quinn Lead", Role::QualityLead);
    house.run(&["backup", "copy.sqlite"]).fine();
    let file = house.path("data/relook.sqlite");
    damage(
        &file,
        "select group_concat(rootpage) from sqlite_schema where rootpage > 0 and tbl_name = 'conferences'",
    );
    let server = Server::start(&house);
    let reply = get(server.address(), &cookie, "/conferences").unwrap();
    assert_eq!(reply.status, 503, "{reply:?}");
    assert!(reply.body.contains("The database file is damaged."), "{}", reply.body);
    let backups = || get(server.address(), &cookie, "/settings/backups").unwrap().body;
    wait_for("the failed backup of the day", || backups().contains("The last try failed"));
    assert!(backups().contains("damaged"), "{}", backups());
    no_panic(&server);
    server.stop();
    house.run(&["check", "--database"]).refused("is not sound: it is damaged");
    house.run(&["backup", "copy.sqlite", "--replace"]).refused("damaged");
    assert_eq!(asked(&house.path("copy.sqlite"), "pragma integrity_check"), "ok");
    house.run(&["restore", "copy.sqlite", "--replace"]).fine();
    house.run(&["check", "--database"]).fine();
    let server = Server::start(&house);
    assert_eq!(get(server.address(), &cookie, "/conferences").unwrap().status, 200);
}

#[test]
fn a_database_that_is_damaged_where_the_start_reads_it_is_refused_with_what_to_do() {
    let house = House::new();
    house.run(&["user", "add", "Somebody", "--role", "fellow"]).fine();
    damage(
        &house.path("data/relook.sqlite"),
        "select group_concat(rootpage) from sqlite_schema where rootpage > 0 and tbl_name = 'mechanisms'",
    );
    house
        .run(&["serve", "--address", "127.0.0.1:0"])
        .refused("put a backup in place with: relook restore FILE --replace");
}
