//! The SQL of who sees which case: the same rule as [`Sight::sees`], as a condition over `cases`.

use sqlx::{QueryBuilder, Sqlite, SqliteConnection};

use super::super::sight::Sight;
use crate::database::StoreError;

/// What was shown to the department and is not held back.
const SHOWN: &str = "cases.stage in ('presented', 'closed')
    and not exists (select 1 from case_findings where case_findings.case_id = cases.id)";

/// Adds the condition that the row of `cases` is seen, as one term without a leading `and`. It is never
/// null, so that `not` before it gives the cases that are not seen.
pub fn push_sight(sql: &mut QueryBuilder<Sqlite>, sight: Sight) {
    match sight {
        Sight::All => {
            sql.push("true");
        }
        Sight::Presented => {
            sql.push("(").push(SHOWN).push(")");
        }
        Sight::OwnAndPresented(user) => {
            sql.push("((").push(SHOWN).push(") or (cases.recorded_by is not null and cases.recorded_by = ");
            sql.push_bind(user).push("))");
        }
    }
}

/// Whether the case of this id is there and is seen.
///
/// # Errors
/// What the database says.
pub async fn is_seen(conn: &mut SqliteConnection, sight: Sight, case_id: i64) -> Result<bool, StoreError> {
    let mut sql = QueryBuilder::<Sqlite>::new("select 1 from cases where id = ");
    sql.push_bind(case_id).push(" and ");
    push_sight(&mut sql, sight);
    Ok(sql.build().fetch_optional(conn).await?.is_some())
}
