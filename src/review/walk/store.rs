//! The SQL of walks: what a person chose, for that person alone.

use sqlx::{FromRow, SqliteConnection};

use super::{Answer, Answers};
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

/// Keeps what a person chose. Says whether it is the answer of this walk: on one walk a decision is
/// answered once.
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
) -> Result<bool, StoreError> {
    let done = sqlx::query(
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
    Ok(done.rows_affected() > 0)
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
