//! The SQL of what could go on an agenda, and of what speaks for it.

use std::collections::{BTreeMap, BTreeSet};

use sqlx::{FromRow, SqliteConnection};

use super::of_ids;
use crate::case::store::code_of;
use crate::case::{Day, Month};
use crate::conference::worth::signals::{recent, window};
use crate::conference::worth::{Candidate, Surroundings, Worth, weigh};
use crate::database::{StoreError, read, read_opt};
use crate::rates::Inputs;
use crate::rates::store::{self as rates, Among};
use crate::vocabulary::{MechanismSlug, Vocabulary};

/// At most so many cases in preparation or ready are weighed, those that wait longest.
pub const MOST_WEIGHED: i64 = 150;
/// At most so many recorded cases are weighed, the latest.
pub const MOST_RECORDED: i64 = 40;

/// What could go on an agenda, each with its reasons, in the order of their rule.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Candidates {
    /// Cases that are being prepared or are ready.
    pub waiting: Vec<Worth>,
    /// Cases that are recorded and not prepared yet.
    pub recorded: Vec<Worth>,
}

/// What could go on an agenda and is not on it, weighed against the whole record with the same few
/// statements however many cases there are.
///
/// `far_apart` are the ids of the cases whose reviewers judge them differently: that they do, and never how.
///
/// # Errors
/// What the database says, or a value in it that cannot be read.
pub async fn candidates(
    conn: &mut SqliteConnection,
    vocabulary: &Vocabulary,
    conference_id: i64,
    (today, month): (Day, Month),
    far_apart: &BTreeSet<i64>,
) -> Result<Candidates, StoreError> {
    let mut waiting = cases(conn, WAITING, conference_id, MOST_WEIGHED).await?;
    let mut recorded = cases(conn, RECORDED, conference_id, MOST_RECORDED).await?;
    let ids: Vec<i64> = waiting.iter().chain(&recorded).map(|(id, _)| *id).collect();
    let mechanisms = mechanisms(conn, &ids).await?;
    for (id, candidate) in waiting.iter_mut().chain(&mut recorded) {
        candidate.mechanisms = mechanisms.get(id).cloned().unwrap_or_default();
    }
    let open = with_open_question(conn, &ids).await?;
    for (id, candidate) in waiting.iter_mut().chain(&mut recorded) {
        candidate.open_question = open.contains(id);
        candidate.judgements_differ = far_apart.contains(id);
    }
    let wanted: BTreeSet<MechanismSlug> = mechanisms.into_values().flatten().collect();
    let months = window(month);
    let inputs = Inputs {
        counts: rates::counts(conn, Among::All, months.from(), months.to()).await?,
        denominators: rates::denominators(conn, months.from(), months.to()).await?,
        recorded_since: rates::recorded_since(conn).await?,
        within: None,
    };
    let baselines = rates::held_baselines(conn).await?;
    let around = Surroundings {
        today: month,
        counts: &inputs.counts,
        shown: &last_shown(conn, today).await?,
        signals: &recent(vocabulary, &inputs, &baselines, month, &wanted),
    };
    let weighed =
        |list: Vec<(i64, Candidate)>| weigh(list.into_iter().map(|(_, case)| case).collect(), &around);
    Ok(Candidates { waiting: weighed(waiting), recorded: weighed(recorded) })
}

const WAITING: &str = "select id, code_year, code_number, title, stage, procedure_month, harm from cases
     where stage in ('in-preparation', 'ready') and id not in
         (select case_id from conference_cases where conference_id = $1 and removed_at is null)
     order by procedure_month, id limit $2";
const RECORDED: &str = "select id, code_year, code_number, title, stage, procedure_month, harm from cases
     where stage = 'recorded' and id not in
         (select case_id from conference_cases where conference_id = $1 and removed_at is null)
     order by procedure_month desc, id desc limit $2";

/// Those of some cases with a decision point of which nobody could say what was chosen.
async fn with_open_question(conn: &mut SqliteConnection, ids: &[i64]) -> Result<BTreeSet<i64>, StoreError> {
    if ids.is_empty() {
        return Ok(BTreeSet::new());
    }
    let start = "select distinct case_id from decisions
         where removed_at is null and chosen is null and case_id in (";
    let rows: Vec<(i64,)> = of_ids(start, ids).build_query_as().fetch_all(conn).await?;
    Ok(rows.into_iter().map(|(id,)| id).collect())
}

#[derive(FromRow)]
struct CandidateRow {
    id: i64,
    code_year: i64,
    code_number: i64,
    title: String,
    stage: String,
    procedure_month: String,
    harm: Option<String>,
}

async fn cases(
    conn: &mut SqliteConnection,
    sql: &'static str,
    conference_id: i64,
    at_most: i64,
) -> Result<Vec<(i64, Candidate)>, StoreError> {
    const TABLE: &str = "cases";
    let rows: Vec<CandidateRow> =
        sqlx::query_as(sql).bind(conference_id).bind(at_most).fetch_all(conn).await?;
    rows.iter()
        .map(|row| {
            let candidate = Candidate {
                code: code_of(TABLE, row.code_year, row.code_number)?,
                title: read(TABLE, row.id, &row.title)?,
                stage: read(TABLE, row.id, &row.stage)?,
                month: read(TABLE, row.id, &row.procedure_month)?,
                harm: read_opt(TABLE, row.id, row.harm.as_ref())?,
                mechanisms: Vec::new(),
                open_question: false,
                judgements_differ: false,
            };
            Ok((row.id, candidate))
        })
        .collect()
}

/// The mechanisms of some cases by the case's id, the index harm first, each once.
pub(super) async fn mechanisms(
    conn: &mut SqliteConnection,
    ids: &[i64],
) -> Result<BTreeMap<i64, Vec<MechanismSlug>>, StoreError> {
    let mut found: BTreeMap<i64, Vec<MechanismSlug>> = BTreeMap::new();
    if ids.is_empty() {
        return Ok(found);
    }
    let start = "select case_id, mechanism from complications where removed_at is null and case_id in (";
    let mut sql = of_ids(start, ids);
    sql.push(" order by case_id, consequence_of is not null, id");
    let rows: Vec<(i64, String)> = sql.build_query_as().fetch_all(conn).await?;
    for (id, slug) in &rows {
        let slug = read("complications", id, slug)?;
        let own = found.entry(*id).or_default();
        if !own.contains(&slug) {
            own.push(slug);
        }
    }
    Ok(found)
}

/// The last month in which a case with each mechanism was presented. Of a case that no conference of the
/// record shows it is the month of its procedure, the earliest that it can have been.
async fn last_shown(
    conn: &mut SqliteConnection,
    today: Day,
) -> Result<BTreeMap<MechanismSlug, Month>, StoreError> {
    let rows: Vec<(String, String)> = sqlx::query_as(
        "select mechanism, max(coalesce(shown.month, cases.procedure_month))
         from complications
         join cases on cases.id = complications.case_id and cases.stage in ('presented', 'closed')
         left join (select case_id, max(substr(held_on, 1, 7)) as month
                    from conference_cases join conferences on conferences.id = conference_cases.conference_id
                    where removed_at is null and held_on <= $1 group by case_id) shown
             on shown.case_id = cases.id
         where complications.removed_at is null group by mechanism",
    )
    .bind(today.to_string())
    .fetch_all(conn)
    .await?;
    rows.iter()
        .map(|(slug, month)| Ok((read("complications", slug, slug)?, read("complications", slug, month)?)))
        .collect()
}
