//! The SQL of what people said about response prompts.

use sqlx::{FromRow, SqliteConnection};

use super::by_case::{ByCase, of_cases};
use super::keys::Keys;
use crate::case::code::Key;
use crate::case::remark::{PromptRemark, Says};
use crate::case::stored::Row;
use crate::database::{StoreError, read, read_opt};

const TABLE: &str = "prompt_remarks";

#[derive(FromRow)]
struct RemarkRow {
    case_id: i64,
    id: i64,
    complication_id: i64,
    list: String,
    step: String,
    event_id: Option<i64>,
    because: Option<String>,
    answer: Option<String>,
}

/// The remarks on complications that stand; one whose event was taken out says nothing, and is
/// there again when the event is put back.
pub(super) async fn list(
    conn: &mut SqliteConnection,
    cases: &[i64],
    events: &Keys,
    complications: &Keys,
) -> Result<ByCase<PromptRemark>, StoreError> {
    let mut sql = of_cases(
        "select case_id, id, complication_id, list, step, event_id, because, answer
         from prompt_remarks where case_id in ",
        cases,
        "order by complication_id, list, step",
    );
    let rows: Vec<RemarkRow> = sql.build_query_as().fetch_all(conn).await?;
    let mut found = Vec::with_capacity(rows.len());
    for row in rows {
        let Some(complication) = complications.get(Some(row.complication_id)) else {
            continue;
        };
        let says = Says::one_of(
            events.get(row.event_id),
            read_opt(TABLE, row.id, row.because.as_ref())?,
            read_opt(TABLE, row.id, row.answer.as_ref())?,
        );
        let Ok(says) = says else { continue };
        let value = PromptRemark {
            complication,
            list: read(TABLE, row.id, &row.list)?,
            step: read(TABLE, row.id, &row.step)?,
            says,
        };
        found.push(Ok((row.case_id, Row { id: row.id, value })));
    }
    ByCase::of(found)
}

/// Says something of a step, in the place of what was said of it before.
pub(super) async fn set(
    conn: &mut SqliteConnection,
    case_id: i64,
    remark: &PromptRemark,
) -> Result<(), StoreError> {
    clear(conn, case_id, (&remark.complication, &remark.list, &remark.step)).await?;
    sqlx::query(
        "insert into prompt_remarks (case_id, complication_id, list, step, event_id, because, answer)
         values ($1, (select id from complications where case_id = $1 and key = $2), $3, $4,
                 (select id from events where case_id = $1 and key = $5), $6, $7)",
    )
    .bind(case_id)
    .bind(remark.complication.as_str())
    .bind(remark.list.as_str())
    .bind(remark.step.as_str())
    .bind(remark.says.done_at().map(Key::as_str))
    .bind(remark.says.because().map(|text| text.as_str()))
    .bind(remark.says.answer().map(|answer| answer.slug()))
    .execute(conn)
    .await?;
    Ok(())
}

/// Takes back what was said of a step: of a complication, a list and a step.
pub(super) async fn clear(
    conn: &mut SqliteConnection,
    case_id: i64,
    (complication, list, step): (&Key, &Key, &Key),
) -> Result<(), StoreError> {
    sqlx::query(
        "delete from prompt_remarks
         where complication_id = (select id from complications where case_id = $1 and key = $2)
               and list = $3 and step = $4",
    )
    .bind(case_id)
    .bind(complication.as_str())
    .bind(list.as_str())
    .bind(step.as_str())
    .execute(conn)
    .await?;
    Ok(())
}

/// Says something of a step, or takes back what was said, and marks the case as changed.
///
/// # Errors
/// What the database says.
pub async fn say(
    conn: &mut SqliteConnection,
    case_id: i64,
    step: (&Key, &Key, &Key),
    says: Option<Says>,
    now: jiff::Timestamp,
) -> Result<(), StoreError> {
    match says {
        None => clear(conn, case_id, step).await?,
        Some(says) => {
            let (complication, list, step) = step;
            let remark = PromptRemark {
                complication: complication.clone(),
                list: list.clone(),
                step: step.clone(),
                says,
            };
            set(conn, case_id, &remark).await?;
        }
    }
    super::rows::touch(conn, case_id, now).await
}
