//! How the database answers the statements of rates: through its indexes, row by row of what the
//! months hold and not of all there is.

use super::*;
use crate::database::Database;
use crate::vocabulary;

/// The steps of SQLite's plan for a statement.
async fn plan(sql: &str, values: &[&str]) -> Vec<String> {
    let folder = tempfile::tempdir().unwrap();
    let database = Database::open(&folder.path().join("relook.db")).await.unwrap();
    let mut conn = database.write().await.unwrap();
    vocabulary::store::seed(&mut conn).await.unwrap();
    let sql = format!("explain query plan {sql}");
    let mut query = sqlx::query_as::<_, (i64, i64, i64, String)>(sqlx::AssertSqlSafe(sql));
    for value in values {
        query = query.bind(*value);
    }
    let steps = query.fetch_all(&mut *conn).await.unwrap();
    drop(conn);
    database.close().await;
    steps.into_iter().map(|(_, _, _, step)| step).collect()
}

#[tokio::test]
async fn every_count_reads_the_months_asked_for_from_one_index_of_complications() {
    for (sql, index) in [
        (WHOLE, "complications_by_month (removed_at=? AND procedure_month>? AND procedure_month<?)"),
        (BY_BRANCH, "complications_by_month (removed_at=? AND procedure_month>? AND procedure_month<?)"),
        (BY_MECHANISM, "complications_by_month (removed_at=? AND procedure_month>? AND procedure_month<?)"),
        (
            CASES_WITH,
            "complications_by_mechanism (mechanism=? AND removed_at=? AND procedure_month>? AND procedure_month<?)",
        ),
    ] {
        let values = &["2024-01", "2024-12", "flow-no-reflow"][..if sql == CASES_WITH { 3 } else { 2 }];
        let steps = plan(sql, values).await;
        assert_eq!(steps[0], format!("SEARCH complications USING COVERING INDEX {index}"), "{steps:#?}");
        assert!(steps.iter().all(|step| !step.starts_with("SCAN")), "{steps:#?}");
    }
}
