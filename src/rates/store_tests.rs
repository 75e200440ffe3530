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
async fn every_count_goes_through_its_months_and_reads_complications_from_an_index_alone() {
    for sql in [WHOLE, BY_BRANCH, BY_MECHANISM, CASES_WITH] {
        let values = &["2024-01", "2024-12", "flow-no-reflow"][..if sql == CASES_WITH { 3 } else { 2 }];
        let steps = plan(sql, values).await;
        let of_complications = steps.iter().filter(|step| step.contains(" complications "));
        for step in of_complications.clone() {
            assert!(step.contains("USING COVERING INDEX complications_by_"), "{sql}\n{steps:#?}");
        }
        assert_eq!(of_complications.count(), 1, "{sql}\n{steps:#?}");
        assert!(steps[0].contains("COVERING INDEX cases_by_month (procedure_month>? AND"), "{steps:#?}");
        assert!(steps.iter().all(|step| !step.starts_with("SCAN")), "{steps:#?}");
    }
}
