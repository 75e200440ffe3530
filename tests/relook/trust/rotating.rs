//! The backups that the server keeps by itself, and the page that lists them.

use std::path::PathBuf;

use relook::backup::desk::Desk;
use relook::backup::folder::BackupFolder;
use relook::backup::name::{BackupName, Kind};

use super::asked;
use super::server::{Server, wait_for};
use crate::cli::House;
use crate::support::{Role, StatusCode, TestApp};

fn files(house: &House) -> Vec<PathBuf> {
    let Ok(entries) = std::fs::read_dir(house.path("data/backups")) else {
        return Vec::new();
    };
    let mut files: Vec<PathBuf> = entries.map(|entry| entry.unwrap().path()).collect();
    files.retain(|file| file.extension().is_some_and(|end| end == "sqlite"));
    files.sort();
    files
}

#[test]
fn the_server_takes_the_backup_of_the_day_once() {
    let house = House::new();
    let server = Server::start(&house);
    wait_for("the backup of the day", || files(&house).len() == 1);
    let file = files(&house).remove(0);
    assert!(file.to_string_lossy().ends_with("-daily.sqlite"), "{file:?}");
    assert_eq!(asked(&file, "pragma integrity_check"), "ok");
    wait_for("its line in the log", || server.log().contains("backup taken and verified"));
    server.stop();
    let again = Server::start(&house);
    std::thread::sleep(std::time::Duration::from_millis(300));
    again.stop();
    assert_eq!(files(&house), [file]);
}

#[test]
fn a_backup_is_kept_before_the_schema_changes() {
    let fresh = House::new();
    fresh.run(&["user", "add", "Somebody", "--role", "fellow"]).fine();
    assert_eq!(files(&fresh), Vec::<PathBuf>::new(), "a new database has nothing to keep");
    let house = House::new();
    std::fs::create_dir_all(house.path("data")).unwrap();
    let runtime = tokio::runtime::Builder::new_current_thread().enable_all().build().unwrap();
    runtime.block_on(crate::earlier::of_version(&house.path("data/relook.sqlite"), 12));
    let answer = house.run(&["user", "list"]);
    let kept = files(&house);
    assert_eq!(kept.len(), 1, "{answer:?}");
    assert!(kept[0].to_string_lossy().ends_with("-before-step-13.sqlite"), "{kept:?}");
    assert_eq!(asked(&kept[0], "select name from users where id = 2"), "Fay Fellow");
    assert_eq!(asked(&kept[0], "select cast(max(version) as text) from _sqlx_migrations"), "12");
}

#[tokio::test]
async fn the_quality_lead_sees_the_backups_and_makes_one() {
    let app = TestApp::init().await;
    // The desk stands over the file that is served.
    let desk = Desk::new(BackupFolder::of(app.app.database.file()));
    let app = app.with_backups(desk);
    let lead = app.with_quality_lead().await;
    let page = lead.get("/settings/backups").await;
    page.expect(StatusCode::OK);
    assert!(page.text.contains("There is no backup yet."), "{page}");
    let answer = lead.press(&page, "Make a backup now").await;
    answer.expect(StatusCode::SEE_OTHER);
    let page = lead.follow(&answer).await;
    assert!(page.notice().unwrap().starts_with("Backed up and verified"), "{page}");
    assert!(page.text.contains("asked for") && page.text.contains("SHA-256"), "{page}");
    assert!(lead.get("/settings").await.text.contains("The last backup is of"));
    for role in [Role::Fellow, Role::Attending, Role::Reader] {
        app.as_role(role).await.get("/settings/backups").await.expect(StatusCode::FORBIDDEN);
    }
}

#[tokio::test]
async fn a_backup_that_fails_is_told_on_the_page_until_one_succeeds() {
    let app = TestApp::init().await;
    let backups = BackupFolder::of(app.app.database.file());
    // A file stands where the folder should be.
    std::fs::write(backups.path(), "in the way").unwrap();
    let app = app.with_backups(Desk::new(backups.clone()));
    let lead = app.with_quality_lead().await;
    app.app.settings.backups.as_ref().unwrap().take_if_due(app.app.now()).await;
    let page = lead.get("/settings/backups").await;
    page.expect(StatusCode::OK);
    assert!(page.has_heading("The last try failed"), "{page}");
    assert!(lead.get("/settings").await.text.contains("failed"), "the settings say so too");
    std::fs::remove_file(backups.path()).unwrap();
    app.app.settings.backups.as_ref().unwrap().take_if_due(app.app.now()).await;
    let page = lead.get("/settings/backups").await;
    assert!(!page.has_heading("The last try failed"), "{page}");
    assert!(page.text.contains("of the day"), "{page}");
}

#[tokio::test]
async fn a_file_that_changed_after_it_was_verified_is_not_called_verified() {
    let app = TestApp::init().await;
    let backups = BackupFolder::of(app.app.database.file());
    let folder = backups.clone();
    let name = tokio::task::spawn_blocking(move || folder.take(Kind::Daily, jiff::Timestamp::now()).unwrap());
    let name: BackupName = name.await.unwrap();
    assert!(backups.list().unwrap()[0].proof.is_some());
    let file = backups.file(name);
    let bytes = std::fs::read(&file).unwrap();
    std::fs::write(&file, &bytes[..bytes.len() - 4096]).unwrap();
    assert_eq!(backups.list().unwrap()[0].proof, None);
    let app = app.with_backups(Desk::new(backups));
    let lead = app.with_quality_lead().await;
    assert!(lead.get("/settings/backups").await.text.contains("the file has changed"));
}

#[tokio::test]
async fn the_demo_has_nothing_to_back_up() {
    let app = TestApp::init().await;
    let lead = app.with_quality_lead().await;
    assert!(lead.get("/settings/backups").await.text.contains("nothing to back up"));
    lead.post("/settings/backups", &[]).await.expect(StatusCode::CONFLICT);
}

#[test]
fn two_backups_of_one_second_have_two_names() {
    let house = House::new();
    house.run(&["user", "add", "Somebody", "--role", "fellow"]).fine();
    let backups = BackupFolder::of(&house.path("data/relook.sqlite"));
    let now = "2026-11-29T02:45:00Z".parse().unwrap();
    let first = backups.take(Kind::Asked, now).unwrap();
    let second = backups.take(Kind::Asked, now).unwrap();
    assert_ne!(first, second);
    assert_eq!(backups.list().unwrap().len(), 2);
}
