//! The SQL of one subject: the actions of its cases, their causes, how long its harms took, and the
//! months that its chart is judged against.

use std::collections::BTreeMap;

use sqlx::{FromRow, QueryBuilder, Sqlite, SqliteConnection};

use crate::case::store::{code_of, push_sight};
use crate::case::{CaseCode, Day, Month, Sight};
use crate::database::{StoreError, read};
use crate::rates::line::Subject;
use crate::rates::period::Period;
use crate::rates::took::Times;
use crate::vocabulary::CauseSlug;

/// The condition on `complications` that a harm is of the subject.
fn of_subject(sql: &mut QueryBuilder<Sqlite>, subject: &Subject) {
    match subject {
        Subject::Whole => {}
        Subject::Branch(slug) => {
            sql.push(" and complications.mechanism in (select slug from mechanisms where branch = ")
                .push_bind(slug.to_string())
                .push(")");
        }
        Subject::Mechanism(slug) => {
            sql.push(" and complications.mechanism = ").push_bind(slug.to_string());
        }
    }
}

/// An action that is in place, of a case with the subject.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DoneAction {
    /// The case.
    pub code: CaseCode,
    /// What is different.
    pub what: String,
    /// Since when.
    pub done_on: Day,
}

#[derive(FromRow)]
struct DoneRow {
    code_year: i64,
    code_number: i64,
    what: String,
    done_on: String,
}

/// The actions of cases in sight that are in place since a day of these months: those that are to make a mechanism of the
/// subject rarer, and those of cases with the subject that are tied to no mechanism; in order of that day.
///
/// # Errors
/// What the database says, or a value in it that cannot be read.
pub async fn done_actions(
    conn: &mut SqliteConnection,
    subject: &Subject,
    period: Period,
    sight: Sight,
) -> Result<Vec<DoneAction>, StoreError> {
    let mut sql = QueryBuilder::<Sqlite>::new(
        "select code_year, code_number, what, done_on from actions join cases on cases.id = actions.case_id
         where actions.state = 'done' and actions.removed_at is null and substr(done_on, 1, 7) between ",
    );
    sql.push_bind(period.from().to_string()).push(" and ").push_bind(period.to().to_string()).push(" and ");
    push_sight(&mut sql, sight);
    sql.push(
        " and ((for_mechanism is null and exists (
                    select 1 from complications where complications.case_id = actions.case_id
                    and complications.removed_at is null",
    );
    of_subject(&mut sql, subject);
    sql.push("))");
    match subject {
        Subject::Whole => sql.push(" or for_mechanism is not null"),
        Subject::Mechanism(slug) => sql.push(" or for_mechanism = ").push_bind(slug.to_string()),
        Subject::Branch(slug) => sql
            .push(" or for_mechanism in (select slug from mechanisms where branch = ")
            .push_bind(slug.to_string())
            .push(")"),
    };
    sql.push(") order by done_on, actions.id");
    let rows: Vec<DoneRow> = sql.build_query_as().fetch_all(conn).await?;
    rows.iter()
        .map(|row| {
            let code = code_of("actions", row.code_year, row.code_number)?;
            Ok(DoneAction { code, what: row.what.clone(), done_on: read("actions", code, &row.done_on)? })
        })
        .collect()
}

/// In how many cases with the subject each cause was found, the most frequent first; a case counts
/// once for a cause.
///
/// # Errors
/// What the database says, or a value in it that cannot be read.
pub async fn causes(
    conn: &mut SqliteConnection,
    subject: &Subject,
    period: Period,
) -> Result<Vec<(CauseSlug, u64)>, StoreError> {
    let mut sql = QueryBuilder::<Sqlite>::new(
        "select cause, count(distinct causes.case_id) as cases from causes
         where causes.removed_at is null and causes.case_id in
             (select complications.case_id from complications where complications.removed_at is null
                and complications.case_id not in (select id from withdrawn_cases)
                and complications.procedure_month between ",
    );
    sql.push_bind(period.from().to_string()).push(" and ").push_bind(period.to().to_string());
    of_subject(&mut sql, subject);
    sql.push(") group by cause order by cases desc, cause");
    let rows: Vec<(String, i64)> = sql.build_query_as().fetch_all(conn).await?;
    rows.iter()
        .map(|(cause, cases)| {
            Ok((read("causes", cause, cause)?, super::count("causes", cause, *cases)?.into()))
        })
        .collect()
}

/// How long the harms of the subject took.
///
/// # Errors
/// What the database says.
pub async fn times(
    conn: &mut SqliteConnection,
    subject: &Subject,
    period: Period,
) -> Result<Times, StoreError> {
    let mut sql = QueryBuilder::<Sqlite>::new(
        "select recognised_after, without_flow, restored from complications
         left join complication_times on complication_times.complication_id = complications.id
         where complications.removed_at is null and complications.case_id not in (select id from withdrawn_cases)
           and complications.procedure_month between ",
    );
    sql.push_bind(period.from().to_string()).push(" and ").push_bind(period.to().to_string());
    of_subject(&mut sql, subject);
    let rows: Vec<(Option<i64>, Option<i64>, Option<bool>)> = sql.build_query_as().fetch_all(conn).await?;
    #[expect(clippy::cast_precision_loss, reason = "seconds of a case")]
    let seconds = |whole: i64| whole as f64;
    let mut times = Times { harms: rows.len(), ..Times::default() };
    for (recognised, flow, restored) in rows {
        times.to_recognition.extend(recognised.map(seconds));
        times.without_flow.extend(flow.map(seconds).zip(restored));
    }
    Ok(times)
}

/// A baseline that somebody set.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SetBaseline {
    /// The months that fix the limits.
    pub period: Period,
    /// Why.
    pub reason: String,
    /// Who set it, as the account was called.
    pub set_by: String,
    /// When.
    pub set_on: Day,
}

#[derive(FromRow)]
struct BaselineRow {
    id: i64,
    from_month: String,
    to_month: String,
    reason: String,
    set_by: String,
    set_on: String,
}

/// The baselines of a subject, the one that holds first.
///
/// # Errors
/// What the database says, or a value in it that cannot be read.
pub async fn baselines(
    conn: &mut SqliteConnection,
    subject: &Subject,
) -> Result<Vec<SetBaseline>, StoreError> {
    const TABLE: &str = "baselines";
    let (kind, slug) = subject.key();
    let rows: Vec<BaselineRow> = sqlx::query_as(
        "select id, from_month, to_month, reason, set_by, set_on from baselines
         where kind = $1 and subject = $2 order by id desc",
    )
    .bind(kind)
    .bind(slug)
    .fetch_all(conn)
    .await?;
    rows.iter()
        .map(|row| {
            let month = |text: &str| read::<Month>(TABLE, row.id, text);
            let period = Period::new(month(&row.from_month)?, month(&row.to_month)?).map_err(|error| {
                StoreError::Corrupt { table: TABLE, key: row.id.to_string(), why: error.to_string() }
            })?;
            Ok(SetBaseline {
                period,
                reason: row.reason.clone(),
                set_by: row.set_by.clone(),
                set_on: read(TABLE, row.id, &row.set_on)?,
            })
        })
        .collect()
}

/// The baseline that holds for each subject that has one.
///
/// # Errors
/// What the database says, or a value in it that cannot be read.
pub async fn held_baselines(conn: &mut SqliteConnection) -> Result<BTreeMap<Subject, Period>, StoreError> {
    const TABLE: &str = "baselines";
    let corrupt = |key: &str, why: String| StoreError::Corrupt { table: TABLE, key: key.to_owned(), why };
    let rows: Vec<(String, String, String, String)> =
        sqlx::query_as("select kind, subject, from_month, to_month from baselines order by id")
            .fetch_all(conn)
            .await?;
    let mut held = BTreeMap::new();
    for (kind, slug, from, to) in &rows {
        let subject = Subject::of_key(kind, slug)
            .ok_or_else(|| corrupt(slug, format!("{kind} is no kind of subject")))?;
        let period = Period::new(read(TABLE, slug, from)?, read(TABLE, slug, to)?)
            .map_err(|error| corrupt(slug, error.to_string()))?;
        held.insert(subject, period);
    }
    Ok(held)
}

/// Sets the baseline of a subject. The earlier ones stay to be read.
///
/// # Errors
/// What the database says.
pub async fn set_baseline(
    conn: &mut SqliteConnection,
    subject: &Subject,
    baseline: &SetBaseline,
) -> Result<(), StoreError> {
    let (kind, slug) = subject.key();
    sqlx::query(
        "insert into baselines (kind, subject, from_month, to_month, reason, set_by, set_on)
         values ($1, $2, $3, $4, $5, $6, $7)",
    )
    .bind(kind)
    .bind(slug)
    .bind(baseline.period.from().to_string())
    .bind(baseline.period.to().to_string())
    .bind(&baseline.reason)
    .bind(&baseline.set_by)
    .bind(baseline.set_on.to_string())
    .execute(conn)
    .await?;
    Ok(())
}

const FIRST_COUNTED: &str = "select min(month) from procedures_at_risk where stratum = $1";

/// The first month in which a stratum was counted.
///
/// # Errors
/// What the database says, or a value in it that cannot be read.
pub async fn first_counted(
    conn: &mut SqliteConnection,
    stratum: &crate::vocabulary::StratumSlug,
) -> Result<Option<Month>, StoreError> {
    let (month,): (Option<String>,) =
        sqlx::query_as(FIRST_COUNTED).bind(stratum.as_str()).fetch_one(conn).await?;
    crate::database::read_opt("procedures_at_risk", "first month", month.as_ref())
}
