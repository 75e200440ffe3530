//! The SQL of judgements. What is closed to an account never leaves the database for it.

use std::collections::{BTreeMap, BTreeSet};

use sqlx::{FromRow, QueryBuilder, Sqlite, SqliteConnection};

use super::{Avoidability, Care, Judgement, Opened, OptionJudgement, Reviewer, Round, Seen, Step, disagree};
use crate::case::store::{code_of, push_sight};
use crate::case::{CaseCode, Day, Line, Sentences, Sight, Title};
use crate::database::{StoreError, read, read_opt};

const TABLE: &str = "case_judgements";

#[derive(FromRow)]
struct JudgementRow {
    case_id: i64,
    user_id: i64,
    round: String,
    avoidability: i64,
    care: i64,
    remark: Option<String>,
}

impl JudgementRow {
    fn judgement(&self) -> Result<Judgement, StoreError> {
        let corrupt = |why: &str| StoreError::Corrupt {
            table: TABLE,
            key: self.case_id.to_string(),
            why: why.to_owned(),
        };
        Ok(Judgement {
            avoidability: Avoidability::of_rank(self.avoidability).ok_or_else(|| corrupt("avoidability"))?,
            care: Care::of_rank(self.care).ok_or_else(|| corrupt("care"))?,
            remark: read_opt(TABLE, self.case_id, self.remark.as_ref())?,
        })
    }
}

fn rank(step: impl Step) -> i64 {
    i64::try_from(step.rank()).unwrap_or(0)
}

/// Keeps a reviewer's own judgement of a case. Says whether it was the first: the own one is given once.
///
/// # Errors
/// What the database says.
pub async fn give_own(
    conn: &mut SqliteConnection,
    case_id: i64,
    user_id: i64,
    judgement: &Judgement,
    on: Day,
) -> Result<bool, StoreError> {
    const OWN: &str =
        "insert into case_judgements (case_id, user_id, round, avoidability, care, remark, given_on)
         values ($1, $2, 'own', $3, $4, $5, $6) on conflict (case_id, user_id, round) do nothing";
    keep(conn, OWN, (case_id, user_id), judgement, on).await
}

/// Keeps what a reviewer thinks after the discussion, in place of what they gave there before. Says
/// whether they had given their own, without which there is no second.
///
/// # Errors
/// What the database says.
pub async fn give_after(
    conn: &mut SqliteConnection,
    case_id: i64,
    user_id: i64,
    judgement: &Judgement,
    on: Day,
) -> Result<bool, StoreError> {
    const AFTER: &str =
        "insert into case_judgements (case_id, user_id, round, avoidability, care, remark, given_on)
         select case_id, user_id, 'after', $3, $4, $5, $6 from case_judgements
         where case_id = $1 and user_id = $2 and round = 'own'
         on conflict (case_id, user_id, round) do update
         set avoidability = excluded.avoidability, care = excluded.care, remark = excluded.remark,
             given_on = excluded.given_on";
    keep(conn, AFTER, (case_id, user_id), judgement, on).await
}

/// Runs one of the two statements above. Says whether it wrote a row.
async fn keep(
    conn: &mut SqliteConnection,
    sql: &'static str,
    (case_id, user_id): (i64, i64),
    judgement: &Judgement,
    on: Day,
) -> Result<bool, StoreError> {
    let done = sqlx::query(sql)
        .bind(case_id)
        .bind(user_id)
        .bind(rank(judgement.avoidability))
        .bind(rank(judgement.care))
        .bind(judgement.remark.as_ref().map(Sentences::as_str))
        .bind(on.to_string())
        .execute(conn)
        .await?;
    Ok(done.rows_affected() > 0)
}

/// What an account may see of the judgements of a case.
///
/// # Errors
/// What the database says, or a value in it that cannot be read.
pub async fn seen(conn: &mut SqliteConnection, case_id: i64, user_id: i64) -> Result<Seen, StoreError> {
    let rows: Vec<JudgementRow> = sqlx::query_as(
        "select case_id, user_id, round, avoidability, care, remark from case_judgements
         where case_id = $1 and exists (
             select 1 from case_judgements as mine
             where mine.case_id = $1 and mine.user_id = $2 and mine.round = 'own')
         order by user_id <> $2, given_on, user_id, round desc",
    )
    .bind(case_id)
    .bind(user_id)
    .fetch_all(&mut *conn)
    .await?;
    if rows.is_empty() {
        let (given,): (i64,) =
            sqlx::query_as("select count(*) from case_judgements where case_id = $1 and round = 'own'")
                .bind(case_id)
                .fetch_one(conn)
                .await?;
        return Ok(Seen::Closed { given: usize::try_from(given).unwrap_or(0) });
    }
    let mut opened = Opened::default();
    let mut places: BTreeMap<i64, usize> = BTreeMap::new();
    for row in &rows {
        let judgement = row.judgement()?;
        if row.round == Round::Own.slug() {
            places.insert(row.user_id, opened.reviewers.len());
            opened.reviewers.push(Reviewer { mine: row.user_id == user_id, own: judgement, after: None });
        }
    }
    for row in rows.iter().filter(|row| row.round == Round::After.slug()) {
        let reviewer = places.get(&row.user_id).and_then(|place| opened.reviewers.get_mut(*place));
        if let Some(reviewer) = reviewer {
            reviewer.after = Some(row.judgement()?);
        }
    }
    Ok(Seen::Open(opened))
}

/// The own judgements of every case by its id, without a name: for what is said of all of them.
///
/// # Errors
/// What the database says, or a value in it that cannot be read.
pub async fn own_by_case(conn: &mut SqliteConnection) -> Result<BTreeMap<i64, Vec<Judgement>>, StoreError> {
    let rows: Vec<JudgementRow> = sqlx::query_as(
        "select case_id, user_id, round, avoidability, care, remark from case_judgements
         where round = 'own' and case_id not in (select id from withdrawn_cases)
         order by case_id, given_on, user_id",
    )
    .fetch_all(conn)
    .await?;
    let mut cases: BTreeMap<i64, Vec<Judgement>> = BTreeMap::new();
    for row in &rows {
        cases.entry(row.case_id).or_default().push(row.judgement()?);
    }
    Ok(cases)
}

/// The ids of the cases whose reviewers are far apart ([`disagree`]).
///
/// # Errors
/// What the database says, or a value in it that cannot be read.
pub async fn far_apart(conn: &mut SqliteConnection) -> Result<BTreeSet<i64>, StoreError> {
    let cases = own_by_case(conn).await?;
    Ok(cases.into_iter().filter(|(_, given)| disagree(given.iter())).map(|(id, _)| id).collect())
}

/// A case that waits for somebody's judgement.
#[derive(Debug, Clone, PartialEq)]
pub struct Waiting {
    /// Its code.
    pub code: CaseCode,
    /// Its title.
    pub title: Title,
}

/// The cases in preparation or ready that an account sees and has not judged yet, the last changed first; at
/// most `limit`.
///
/// # Errors
/// What the database says, or a value in it that cannot be read.
pub async fn waiting(
    conn: &mut SqliteConnection,
    (user_id, sight): (i64, Sight),
    limit: i64,
) -> Result<Vec<Waiting>, StoreError> {
    let mut sql = QueryBuilder::<Sqlite>::new(
        "select code_year, code_number, title from cases
         where stage in ('in-preparation', 'ready') and not exists (
             select 1 from case_judgements
             where case_judgements.case_id = cases.id and round = 'own' and user_id = ",
    );
    sql.push_bind(user_id).push(") and ");
    push_sight(&mut sql, sight);
    sql.push(" order by updated_at desc, id desc limit ").push_bind(limit);
    let rows: Vec<(i64, i64, String)> = sql.build_query_as().fetch_all(conn).await?;
    rows.iter()
        .map(|(year, number, title)| {
            let code = code_of("cases", *year, *number)?;
            Ok(Waiting { code, title: read("cases", code, title)? })
        })
        .collect()
}

/// Keeps what a reviewer would have chosen. Says whether it was the first: it is given once.
///
/// # Errors
/// What the database says.
pub async fn give_option(
    conn: &mut SqliteConnection,
    decision_id: i64,
    user_id: i64,
    option: &Line,
    reason: Option<&Sentences>,
    on: Day,
) -> Result<bool, StoreError> {
    let done = sqlx::query(
        "insert into option_judgements (decision_id, user_id, option_text, reason, given_on)
         values ($1, $2, $3, $4, $5) on conflict (decision_id, user_id) do nothing",
    )
    .bind(decision_id)
    .bind(user_id)
    .bind(option.as_str())
    .bind(reason.map(Sentences::as_str))
    .bind(on.to_string())
    .execute(conn)
    .await?;
    Ok(done.rows_affected() > 0)
}

/// What reviewers would have chosen, the viewer's first; empty until the viewer has given theirs.
///
/// # Errors
/// What the database says, or a value in it that cannot be read.
pub async fn options_seen(
    conn: &mut SqliteConnection,
    decision_id: i64,
    user_id: i64,
) -> Result<Vec<OptionJudgement>, StoreError> {
    let rows: Vec<(String, Option<String>, i64)> = sqlx::query_as(
        "select option_text, reason, user_id from option_judgements
         where decision_id = $1 and exists (
             select 1 from option_judgements as mine where mine.decision_id = $1 and mine.user_id = $2)
         order by user_id <> $2, given_on, user_id",
    )
    .bind(decision_id)
    .bind(user_id)
    .fetch_all(conn)
    .await?;
    rows.iter()
        .map(|(option, reason, user)| {
            let option = read("option_judgements", decision_id, option)?;
            let reason = read_opt("option_judgements", decision_id, reason.as_ref())?;
            Ok(OptionJudgement { option, reason, mine: *user == user_id })
        })
        .collect()
}
