//! The SQL of complications.

use std::collections::BTreeMap;

use sqlx::{FromRow, SqliteConnection};

use super::by_case::{ByCase, of_cases};
use super::keys::Keys;
use crate::case::code::Key;
use crate::case::record::Complication;
use crate::case::stored::Row;
use crate::database::{StoreError, number_opt, read, read_opt};

const TABLE: &str = "complications";

#[derive(FromRow)]
struct ComplicationRow {
    case_id: i64,
    id: i64,
    key: String,
    mechanism: String,
    segment: Option<String>,
    began_event: Option<i64>,
    recognised_event: Option<i64>,
    responded_event: Option<i64>,
    controlled_event: Option<i64>,
    dissection: Option<String>,
    perforation: Option<String>,
    worst_flow: Option<i64>,
    consequence_of: Option<i64>,
}

pub(super) async fn list(
    conn: &mut SqliteConnection,
    cases: &[i64],
    events: &Keys,
) -> Result<ByCase<Complication>, StoreError> {
    let mut sql = of_cases(
        "select case_id, id, key, mechanism, segment, began_event, recognised_event, responded_event,
                controlled_event, dissection, perforation, worst_flow, consequence_of
         from complications where removed_at is null and case_id in ",
        cases,
        "order by id",
    );
    let rows: Vec<ComplicationRow> = sql.build_query_as().fetch_all(conn).await?;
    let keys: BTreeMap<i64, Key> = rows
        .iter()
        .map(|row| Ok((row.id, read(TABLE, row.id, &row.key)?)))
        .collect::<Result<_, StoreError>>()?;
    ByCase::of(rows.iter().map(|row| {
        let value = Complication {
            key: read(TABLE, row.id, &row.key)?,
            mechanism: read(TABLE, row.id, &row.mechanism)?,
            segment: read_opt(TABLE, row.id, row.segment.as_ref())?,
            began: events.get(row.began_event),
            recognised: events.get(row.recognised_event),
            responded: events.get(row.responded_event),
            controlled: events.get(row.controlled_event),
            dissection: read_opt(TABLE, row.id, row.dissection.as_ref())?,
            perforation: read_opt(TABLE, row.id, row.perforation.as_ref())?,
            worst_flow: number_opt(TABLE, row.id, row.worst_flow)?,
            consequence_of: row.consequence_of.and_then(|id| keys.get(&id).cloned()),
        };
        Ok((row.case_id, Row { id: row.id, value }))
    }))
}

pub(super) async fn insert(
    conn: &mut SqliteConnection,
    case_id: i64,
    complication: &Complication,
) -> Result<i64, StoreError> {
    let (id,): (i64,) = sqlx::query_as(
        "insert into complications (case_id, procedure_month, key, mechanism, segment, began_event,
                                    recognised_event, controlled_event, dissection, perforation,
                                    worst_flow, responded_event)
         values ($1, (select procedure_month from cases where id = $1), $2, $3, $4,
                 (select id from events where case_id = $1 and key = $5),
                 (select id from events where case_id = $1 and key = $6),
                 (select id from events where case_id = $1 and key = $7),
                 $8, $9, $10, (select id from events where case_id = $1 and key = $11)) returning id",
    )
    .bind(case_id)
    .bind(complication.key.as_str())
    .bind(complication.mechanism.as_str())
    .bind(complication.segment.map(|word| word.slug()))
    .bind(complication.began.as_ref().map(Key::as_str))
    .bind(complication.recognised.as_ref().map(Key::as_str))
    .bind(complication.controlled.as_ref().map(Key::as_str))
    .bind(complication.dissection.map(|word| word.slug()))
    .bind(complication.perforation.map(|word| word.slug()))
    .bind(complication.worst_flow.map(i64::from))
    .bind(complication.responded.as_ref().map(Key::as_str))
    .fetch_one(conn)
    .await?;
    Ok(id)
}

pub(super) async fn update(
    conn: &mut SqliteConnection,
    case_id: i64,
    id: i64,
    complication: &Complication,
) -> Result<(), StoreError> {
    sqlx::query(
        "update complications set mechanism = $3, segment = $4,
                began_event = (select id from events where case_id = $1 and key = $5),
                recognised_event = (select id from events where case_id = $1 and key = $6),
                controlled_event = (select id from events where case_id = $1 and key = $7),
                dissection = $8, perforation = $9, worst_flow = $10,
                responded_event = (select id from events where case_id = $1 and key = $11)
         where case_id = $1 and id = $2",
    )
    .bind(case_id)
    .bind(id)
    .bind(complication.mechanism.as_str())
    .bind(complication.segment.map(|word| word.slug()))
    .bind(complication.began.as_ref().map(Key::as_str))
    .bind(complication.recognised.as_ref().map(Key::as_str))
    .bind(complication.controlled.as_ref().map(Key::as_str))
    .bind(complication.dissection.map(|word| word.slug()))
    .bind(complication.perforation.map(|word| word.slug()))
    .bind(complication.worst_flow.map(i64::from))
    .bind(complication.responded.as_ref().map(Key::as_str))
    .execute(conn)
    .await?;
    Ok(())
}

/// Ties a complication to the one it followed from, once both rows are there.
pub(super) async fn link_parent(
    conn: &mut SqliteConnection,
    case_id: i64,
    complication: &Complication,
) -> Result<(), StoreError> {
    sqlx::query(
        "update complications
         set consequence_of = (select id from complications where case_id = $1 and key = $3)
         where case_id = $1 and key = $2",
    )
    .bind(case_id)
    .bind(complication.key.as_str())
    .bind(complication.consequence_of.as_ref().map(Key::as_str))
    .execute(conn)
    .await?;
    Ok(())
}
