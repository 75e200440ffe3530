//! What whoever supervises the process is told.

use relook::web::Settings;

use crate::support::{StatusCode, TestApp};

#[tokio::test]
async fn a_server_that_can_do_its_work_says_so_to_anybody_and_nothing_else() {
    let folder = tempfile::tempdir().unwrap();
    let settings = Settings { data_folder: Some(folder.path().to_owned()), ..Settings::default() };
    let app = TestApp::with_settings(settings).await;
    for (path, says) in [("/health", "ok\n"), ("/ready", "ready\n")] {
        let page = app.signed_out().get(path).await;
        page.expect(StatusCode::OK);
        assert_eq!(page.html, says);
        assert_eq!(page.headers.get("cache-control").unwrap(), "no-store");
        assert!(page.headers.get("set-cookie").is_none());
    }
    assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), 0, "the trial file stays behind");
}

async fn not_ready(app: &TestApp) {
    let page = app.signed_out().get("/ready").await;
    page.expect(StatusCode::SERVICE_UNAVAILABLE);
    assert_eq!(page.html, "not ready\n");
    app.signed_out().get("/health").await.expect(StatusCode::OK);
}

#[tokio::test]
async fn a_folder_that_cannot_be_written_is_not_ready() {
    let folder = tempfile::tempdir().unwrap();
    let gone = folder.path().join("gone");
    not_ready(&TestApp::with_settings(Settings { data_folder: Some(gone), ..Settings::default() }).await)
        .await;
}

#[tokio::test]
async fn a_database_of_another_version_is_not_ready() {
    for change in [
        "delete from _sqlx_migrations where version = 2",
        "update _sqlx_migrations set success = false where version = 2",
        "update _sqlx_migrations set version = 9999 where version = (select max(version) from _sqlx_migrations)",
    ] {
        let app = TestApp::init().await;
        app.execute(change).await;
        not_ready(&app).await;
    }
}

#[tokio::test]
async fn a_database_that_does_not_answer_is_not_ready() {
    let app = TestApp::init().await;
    app.app.database.close().await;
    not_ready(&app).await;
}
