//! The SQL of walks: what a person chose, for that person alone.

use sqlx::{FromRow, QueryBuilder, SqliteConnection};

use super::{Answer, Answers, OPTIONS_TO_CHOOSE};
use crate::case::{Day, Key, Line, Sentences};
use crate::database::{StoreError, read, read_opt};

const TABLE: &str = "walk_answers";

#[derive(FromRow)]
struct AnswerRow {
    decision_key: String,
    option_text: String,
    reason: Option<String>,
    given_on: String,
    now: bool,
}

impl AnswerRow {
    fn answer(&self, case_id: i64) -> Result<Answer, StoreError> {
        Ok(Answer {
            decision: read(TABLE, case_id, &self.decision_key)?,
            option: read(TABLE, case_id, &self.option_text)?,
            reason: read_opt(TABLE, case_id, self.reason.as_ref())?,
            on: read(TABLE, case_id, &self.given_on)?,
        })
    }
}

/// What a person chose in a case, on the walk that they are on and before.
///
/// # Errors
/// What the database says, or a value in it that cannot be read.
pub async fn answers(conn: &mut SqliteConnection, user_id: i64, case_id: i64) -> Result<Answers, StoreError> {
    let rows: Vec<AnswerRow> = sqlx::query_as(
        "select decision_key, option_text, reason, given_on,
                walk = coalesce((select number from walks where user_id = $1 and case_id = $2), 1) as now
         from walk_answers where user_id = $1 and case_id = $2 order by decision_key, walk",
    )
    .bind(user_id)
    .bind(case_id)
    .fetch_all(conn)
    .await?;
    let mut answers = Answers::default();
    for row in &rows {
        let answer = row.answer(case_id)?;
        if row.now {
            answers.now.push(answer);
        } else if answers.first.iter().all(|first| first.decision != answer.decision) {
            answers.first.push(answer);
        }
    }
    Ok(answers)
}

/// Keeps what a person chose. On one walk a decision is answered once: a second answer changes nothing.
///
/// # Errors
/// What the database says.
pub async fn give(
    conn: &mut SqliteConnection,
    (user_id, case_id): (i64, i64),
    decision: &Key,
    option: &Line,
    reason: Option<&Sentences>,
    on: Day,
) -> Result<(), StoreError> {
    sqlx::query(
        "insert into walk_answers (user_id, case_id, decision_key, walk, option_text, reason, given_on)
         values ($1, $2, $3,
                 coalesce((select number from walks where user_id = $1 and case_id = $2), 1), $4, $5, $6)
         on conflict (user_id, case_id, decision_key, walk) do nothing",
    )
    .bind(user_id)
    .bind(case_id)
    .bind(decision.as_str())
    .bind(option.as_str())
    .bind(reason.map(Sentences::as_str))
    .bind(on.to_string())
    .execute(conn)
    .await?;
    Ok(())
}

/// Begins anew. The first answer to each decision stays; what was answered again makes room.
///
/// # Errors
/// What the database says.
pub async fn start_again(conn: &mut SqliteConnection, user_id: i64, case_id: i64) -> Result<(), StoreError> {
    for sql in [
        "delete from walk_answers where user_id = $1 and case_id = $2 and exists (
             select 1 from walk_answers as earlier
             where earlier.user_id = walk_answers.user_id and earlier.case_id = walk_answers.case_id
               and earlier.decision_key = walk_answers.decision_key and earlier.walk < walk_answers.walk)",
        "insert into walks (user_id, case_id, number) values ($1, $2, 2)
         on conflict (user_id, case_id) do update set number = walks.number + 1",
    ] {
        sqlx::query(sql).bind(user_id).bind(case_id).execute(&mut *conn).await?;
    }
    Ok(())
}

/// Those of some cases that have a decision with something to choose.
///
/// # Errors
/// What the database says.
pub async fn with_stops(conn: &mut SqliteConnection, case_ids: &[i64]) -> Result<Vec<i64>, StoreError> {
    if case_ids.is_empty() {
        return Ok(Vec::new());
    }
    let mut sql = QueryBuilder::new(
        "select distinct case_id from decisions where removed_at is null
           and exists (select 1 from decision_options where decision_id = decisions.id and position = ",
    );
    sql.push_bind(i64::try_from(OPTIONS_TO_CHOOSE).unwrap_or(i64::MAX)).push(") and case_id in (");
    let mut list = sql.separated(", ");
    for id in case_ids {
        list.push_bind(*id);
    }
    sql.push(") order by case_id");
    Ok(sql.build_query_scalar().fetch_all(conn).await?)
}
