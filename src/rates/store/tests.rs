//! How the database answers the statements of rates: through its indexes, row by row of what the
//! months hold and not of all there is.

use crate::database::Database;

/// The steps of SQLite's plan for a statement.
async fn plan(sql: &str) -> Vec<String> {
    let folder = tempfile::tempdir().unwrap();
    let database = Database::open(&folder.path().join("relook.db")).await.unwrap();
    let mut conn = database.write().await.unwrap();
    let sql = format!("explain query plan {sql}");
    let steps: Vec<(i64, i64, i64, String)> =
        sqlx::query_as(sqlx::AssertSqlSafe(sql)).fetch_all(&mut *conn).await.unwrap();
    drop(conn);
    database.close().await;
    steps.into_iter().map(|(_, _, _, step)| step).collect()
}

#[tokio::test]
async fn every_count_reads_the_kept_months_asked_for_and_no_case() {
    for sql in super::counts::STATEMENTS.into_iter().chain([super::drawn_together_sqlite::EVERY]) {
        let steps = plan(sql).await;
        assert!(steps.iter().any(|step| step.starts_with("SEARCH kept_counts")), "{sql}: {steps:#?}");
        assert!(
            steps.iter().all(|step| !step.starts_with("SCAN") && !step.contains("complications")),
            "{steps:#?}"
        );
    }
}

#[tokio::test]
async fn what_a_case_adds_is_found_by_its_number() {
    let steps = plan("select trait from case_contributions where case_id = 5").await;
    assert!(steps.iter().any(|step| step.contains("complications_by_case (case_id=?)")), "{steps:#?}");
    assert!(steps.iter().all(|step| !step.contains("SCAN complications")), "{steps:#?}");
}
