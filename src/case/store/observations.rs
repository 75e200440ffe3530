//! The SQL of observations and their answers.

use std::collections::BTreeMap;

use sqlx::{FromRow, SqliteConnection};

use super::by_case::{ByCase, of_cases};
use super::keys::Keys;
use crate::case::code::Key;
use crate::case::observation::Observation;
use crate::case::stored::Row;
use crate::database::{StoreError, read, read_opt};

const TABLE: &str = "observations";

#[derive(FromRow)]
struct ObservationRow {
    case_id: i64,
    id: i64,
    family: String,
    complication_id: Option<i64>,
    segment: Option<String>,
    label: Option<String>,
}

#[derive(FromRow)]
struct AnswerRow {
    observation_id: i64,
    input: String,
    value: String,
}

pub(super) async fn list(
    conn: &mut SqliteConnection,
    cases: &[i64],
    complications: &Keys,
) -> Result<ByCase<Observation>, StoreError> {
    let mut sql = of_cases(
        "select case_id, id, family, complication_id, segment, label
         from observations where removed_at is null and case_id in ",
        cases,
        "order by id",
    );
    let rows: Vec<ObservationRow> = sql.build_query_as().fetch_all(&mut *conn).await?;
    let mut answers: BTreeMap<i64, Vec<AnswerRow>> = BTreeMap::new();
    if !rows.is_empty() {
        let mut sql = of_cases(
            "select observation_id, input, value from observation_answers
             where observation_id in (select id from observations where removed_at is null and case_id in ",
            cases,
            ")",
        );
        let found: Vec<AnswerRow> = sql.build_query_as().fetch_all(conn).await?;
        for answer in found {
            answers.entry(answer.observation_id).or_default().push(answer);
        }
    }
    ByCase::of(rows.iter().map(|row| {
        let mut value = Observation::of(read(TABLE, row.id, &row.family)?);
        value.complication = complications.get(row.complication_id);
        value.segment = read_opt(TABLE, row.id, row.segment.as_ref())?;
        value.label = read_opt(TABLE, row.id, row.label.as_ref())?;
        for answer in answers.get(&row.id).into_iter().flatten() {
            value.answer(&answer.input, &answer.value).map_err(|error| StoreError::Corrupt {
                table: TABLE,
                key: row.id.to_string(),
                why: error.to_string(),
            })?;
        }
        Ok((row.case_id, Row { id: row.id, value }))
    }))
}

pub(super) async fn insert(
    conn: &mut SqliteConnection,
    case_id: i64,
    observation: &Observation,
) -> Result<i64, StoreError> {
    let (id,): (i64,) = sqlx::query_as(
        "insert into observations (case_id, family, complication_id, segment, label)
         values ($1, $2, (select id from complications where case_id = $1 and key = $3), $4, $5)
         returning id",
    )
    .bind(case_id)
    .bind(observation.family().slug())
    .bind(observation.complication.as_ref().map(Key::as_str))
    .bind(observation.segment.map(|word| word.slug()))
    .bind(observation.label.as_ref().map(|label| label.as_str()))
    .fetch_one(&mut *conn)
    .await?;
    write_answers(conn, id, observation).await?;
    Ok(id)
}

pub(super) async fn update(
    conn: &mut SqliteConnection,
    case_id: i64,
    id: i64,
    observation: &Observation,
) -> Result<(), StoreError> {
    sqlx::query(
        "update observations
         set complication_id = (select id from complications where case_id = $1 and key = $3),
             segment = $4, label = $5
         where case_id = $1 and id = $2",
    )
    .bind(case_id)
    .bind(id)
    .bind(observation.complication.as_ref().map(Key::as_str))
    .bind(observation.segment.map(|word| word.slug()))
    .bind(observation.label.as_ref().map(|label| label.as_str()))
    .execute(&mut *conn)
    .await?;
    sqlx::query(
        "delete from observation_answers
         where observation_id in (select id from observations where case_id = $1 and id = $2)",
    )
    .bind(case_id)
    .bind(id)
    .execute(&mut *conn)
    .await?;
    write_answers(conn, id, observation).await
}

/// All answers in one statement.
async fn write_answers(
    conn: &mut SqliteConnection,
    id: i64,
    observation: &Observation,
) -> Result<(), StoreError> {
    if observation.answers().is_empty() {
        return Ok(());
    }
    let mut sql = sqlx::QueryBuilder::new("insert into observation_answers (observation_id, input, value) ");
    sql.push_values(observation.answers(), |mut row, (input, text)| {
        row.push_bind(id).push_bind(input.slug).push_bind(text.as_str());
    });
    sql.build().execute(conn).await?;
    Ok(())
}
