//! The SQL of events.

use sqlx::{FromRow, SqliteConnection};

use super::by_case::{ByCase, of_cases};
use crate::case::measure::{MeasureError, Pressure};
use crate::case::record::Event;
use crate::case::stored::Row;
use crate::database::{StoreError, number_opt, read, read_opt};
use crate::quantity::{Certainty, Offset, QuantityError};

const TABLE: &str = "events";

#[derive(FromRow)]
struct EventRow {
    case_id: i64,
    id: i64,
    key: String,
    offset_seconds: i64,
    certainty: String,
    within_minutes: Option<i64>,
    kind: String,
    segment: Option<String>,
    flow: Option<i64>,
    systolic: Option<i64>,
    diastolic: Option<i64>,
    heart_rate: Option<i64>,
    contrast_so_far: Option<String>,
    air_kerma_so_far: Option<String>,
    device: Option<String>,
    text: Option<String>,
}

fn certainty_parts(certainty: Certainty) -> (&'static str, Option<i64>) {
    match certainty {
        Certainty::Exact => ("exact", None),
        Certainty::Within(minutes) => ("within", Some(i64::from(minutes))),
        Certainty::OrderOnly => ("order", None),
    }
}

fn event(row: &EventRow) -> Result<Row<Event>, StoreError> {
    let corrupt = |why: String| StoreError::Corrupt { table: TABLE, key: row.id.to_string(), why };
    let time = match (row.certainty.as_str(), row.within_minutes) {
        ("exact", _) => Certainty::Exact,
        ("order", _) => Certainty::OrderOnly,
        (_, minutes) => Certainty::within(minutes.unwrap_or_default())
            .map_err(|error: QuantityError| corrupt(error.to_string()))?,
    };
    let pressure = match (row.systolic, row.diastolic) {
        (Some(systolic), Some(diastolic)) => Some(
            Pressure::new(systolic, diastolic).map_err(|error: MeasureError| corrupt(error.to_string()))?,
        ),
        _ => None,
    };
    Ok(Row {
        id: row.id,
        value: Event {
            key: read(TABLE, row.id, &row.key)?,
            at: Offset::from_seconds(row.offset_seconds).map_err(|error| corrupt(error.to_string()))?,
            time,
            kind: read(TABLE, row.id, &row.kind)?,
            segment: read_opt(TABLE, row.id, row.segment.as_ref())?,
            flow: number_opt(TABLE, row.id, row.flow)?,
            pressure,
            heart_rate: number_opt(TABLE, row.id, row.heart_rate)?,
            contrast: read_opt(TABLE, row.id, row.contrast_so_far.as_ref())?,
            air_kerma: read_opt(TABLE, row.id, row.air_kerma_so_far.as_ref())?,
            device: read_opt(TABLE, row.id, row.device.as_ref())?,
            text: read_opt(TABLE, row.id, row.text.as_ref())?,
        },
    })
}

pub(super) async fn list(conn: &mut SqliteConnection, cases: &[i64]) -> Result<ByCase<Event>, StoreError> {
    let mut sql = of_cases(
        "select case_id, id, key, offset_seconds, certainty, within_minutes, kind, segment, flow, systolic,
                diastolic, heart_rate, contrast_so_far, air_kerma_so_far, device, text
         from events where removed_at is null and case_id in ",
        cases,
        "order by offset_seconds, id",
    );
    let rows: Vec<EventRow> = sql.build_query_as().fetch_all(conn).await?;
    ByCase::of(rows.iter().map(|row| Ok((row.case_id, event(row)?))))
}

pub(super) async fn insert(
    conn: &mut SqliteConnection,
    case_id: i64,
    event: &Event,
) -> Result<i64, StoreError> {
    let (certainty, within) = certainty_parts(event.time);
    let (id,): (i64,) = sqlx::query_as(
        "insert into events (case_id, key, offset_seconds, certainty, within_minutes, kind, segment,
                             flow, systolic, diastolic, heart_rate, device, text, contrast_so_far,
                             air_kerma_so_far)
         values ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12, $13, $14, $15) returning id",
    )
    .bind(case_id)
    .bind(event.key.as_str())
    .bind(event.at.seconds())
    .bind(certainty)
    .bind(within)
    .bind(event.kind.slug())
    .bind(event.segment.map(|word| word.slug()))
    .bind(event.flow.map(i64::from))
    .bind(event.pressure.map(Pressure::systolic))
    .bind(event.pressure.map(Pressure::diastolic))
    .bind(event.heart_rate.map(|rate| rate.get()))
    .bind(event.device.map(|word| word.slug()))
    .bind(event.text.as_ref().map(|text| text.as_str()))
    .bind(event.contrast.map(|volume| volume.to_string()))
    .bind(event.air_kerma.map(|dose| dose.to_string()))
    .fetch_one(conn)
    .await?;
    Ok(id)
}

pub(super) async fn update(
    conn: &mut SqliteConnection,
    case_id: i64,
    id: i64,
    event: &Event,
) -> Result<(), StoreError> {
    let (certainty, within) = certainty_parts(event.time);
    sqlx::query(
        "update events set offset_seconds = $3, certainty = $4, within_minutes = $5, kind = $6,
                segment = $7, flow = $8, systolic = $9, diastolic = $10, heart_rate = $11,
                device = $12, text = $13, contrast_so_far = $14, air_kerma_so_far = $15
         where case_id = $1 and id = $2",
    )
    .bind(case_id)
    .bind(id)
    .bind(event.at.seconds())
    .bind(certainty)
    .bind(within)
    .bind(event.kind.slug())
    .bind(event.segment.map(|word| word.slug()))
    .bind(event.flow.map(i64::from))
    .bind(event.pressure.map(Pressure::systolic))
    .bind(event.pressure.map(Pressure::diastolic))
    .bind(event.heart_rate.map(|rate| rate.get()))
    .bind(event.device.map(|word| word.slug()))
    .bind(event.text.as_ref().map(|text| text.as_str()))
    .bind(event.contrast.map(|volume| volume.to_string()))
    .bind(event.air_kerma.map(|dose| dose.to_string()))
    .execute(conn)
    .await?;
    Ok(())
}
