//! The SQL of the quarterly report: everything that it says, read with a handful of statements
//! whatever the number of mechanisms and cases.

use sqlx::{FromRow, QueryBuilder, Sqlite, SqliteConnection};

use super::{Inputs, Quarter, ReportedAction, SignedLesson, window};
use crate::case::Sight;
use crate::case::store::{code_of, push_sight};
use crate::database::{StoreError, read, read_opt};
use crate::rates::store::{self as rates, Among};
use crate::rates::{Inputs as RatesInputs, Period};

/// Everything that the report of a quarter is made from: counts of every case, words of those in sight.
///
/// # Errors
/// What the database says, or a value in it that cannot be read.
pub async fn gather(
    conn: &mut SqliteConnection,
    quarter: Quarter,
    sight: Sight,
) -> Result<Inputs, StoreError> {
    let (from, to) = (window(quarter).from(), window(quarter).to());
    Ok(Inputs {
        rates: RatesInputs {
            counts: rates::counts(conn, Among::All, from, to).await?,
            denominators: rates::denominators(conn, from, to).await?,
            recorded_since: rates::recorded_since(conn).await?,
            within: None,
        },
        settings: rates::settings(conn).await?,
        baselines: rates::held_baselines(conn).await?,
        lessons: signed_lessons(conn, quarter.period(), sight).await?,
        actions: actions(conn, quarter.period(), sight).await?,
    })
}

#[derive(FromRow)]
struct LessonRow {
    id: i64,
    code_year: i64,
    code_number: i64,
    kind: String,
    text: String,
}

/// The lessons that were signed in a period, without who signed them.
async fn signed_lessons(
    conn: &mut SqliteConnection,
    period: Period,
    sight: Sight,
) -> Result<Vec<SignedLesson>, StoreError> {
    const TABLE: &str = "lessons";
    let mut sql = QueryBuilder::<Sqlite>::new(
        "select lessons.id, code_year, code_number, kind, text
         from lessons join cases on cases.id = lessons.case_id
         where signed_by is not null and removed_at is null and substr(signed_on, 1, 7) between ",
    );
    sql.push_bind(period.from().to_string()).push(" and ").push_bind(period.to().to_string()).push(" and ");
    push_sight(&mut sql, sight);
    sql.push(" order by code_year, code_number, lessons.id");
    let rows: Vec<LessonRow> = sql.build_query_as().fetch_all(conn).await?;
    rows.iter()
        .map(|row| {
            Ok(SignedLesson {
                code: code_of(TABLE, row.code_year, row.code_number)?,
                kind: read(TABLE, row.id, &row.kind)?,
                text: read(TABLE, row.id, &row.text)?,
            })
        })
        .collect()
}

#[derive(FromRow)]
struct ActionRow {
    id: i64,
    code_year: i64,
    code_number: i64,
    what: String,
    owner: String,
    due: String,
    state: String,
    done_on: Option<String>,
}

const ACTIONS: &str = "select actions.id, code_year, code_number, what, owner, due, state, done_on
     from actions join cases on cases.id = actions.case_id
     where removed_at is null and state in ('open', 'done') and ";

const OF_ACTIONS: &str =
    "select distinct actions.id, coalesce(for_mechanism, complications.mechanism) as mechanism
     from actions left join complications
       on complications.case_id = actions.case_id and complications.removed_at is null
     where actions.removed_at is null and actions.state = 'done'
       and substr(actions.done_on, 1, 7) between $1 and $2
       and (for_mechanism is not null or complications.mechanism is not null)
     order by 1, 2";

/// The actions that were done in the twelve months to the end of the quarter, and those that were due
/// by then and not done by then; in the order in which they were due.
async fn actions(
    conn: &mut SqliteConnection,
    quarter: Period,
    sight: Sight,
) -> Result<Vec<ReportedAction>, StoreError> {
    const TABLE: &str = "actions";
    let reach = (quarter.to().plus(-11).to_string(), quarter.to().to_string());
    let mut sql = QueryBuilder::<Sqlite>::new(ACTIONS);
    push_sight(&mut sql, sight);
    sql.push(" and (substr(done_on, 1, 7) between ").push_bind(reach.0.clone());
    sql.push(" and ").push_bind(reach.1.clone());
    sql.push(" or (substr(due, 1, 7) <= ").push_bind(reach.1.clone());
    sql.push(" and (done_on is null or substr(done_on, 1, 7) > ").push_bind(reach.1.clone());
    sql.push("))) order by due, actions.id");
    let rows: Vec<ActionRow> = sql.build_query_as().fetch_all(&mut *conn).await?;
    let of_actions: Vec<(i64, String)> =
        sqlx::query_as(OF_ACTIONS).bind(&reach.0).bind(&reach.1).fetch_all(conn).await?;
    rows.iter()
        .map(|row| {
            let mechanisms = of_actions
                .iter()
                .filter(|(id, _)| *id == row.id)
                .map(|(_, slug)| read("complications", slug, slug))
                .collect::<Result<Vec<_>, _>>()?;
            Ok(ReportedAction {
                code: code_of(TABLE, row.code_year, row.code_number)?,
                what: read(TABLE, row.id, &row.what)?,
                owner: read(TABLE, row.id, &row.owner)?,
                due: read(TABLE, row.id, &row.due)?,
                state: read(TABLE, row.id, &row.state)?,
                done_on: read_opt(TABLE, row.id, row.done_on.as_ref())?,
                mechanisms,
            })
        })
        .collect()
}
