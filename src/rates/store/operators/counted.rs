//! How many cases of a subject each operator had, beside the procedures.

use std::collections::BTreeMap;

use sqlx::SqliteConnection;

use super::{list, procedures};
use crate::database::{StoreError, read};
use crate::rates::counts::ByMonth;
use crate::rates::line::Subject;
use crate::rates::operators::{Operator, OperatorTally};
use crate::rates::period::Period;
use crate::rates::store::count;
use crate::rates::store::counts::{Among, cases_of};

const OF_WHOLE: &str = "select case_operators.operator_id, complications.procedure_month,
            count(distinct complications.case_id)
     from case_operators join complications on complications.case_id = case_operators.case_id
     where complications.removed_at is null and complications.procedure_month between $1 and $2
       and complications.case_id not in (select id from withdrawn_cases)
     group by case_operators.operator_id, complications.procedure_month";
const OF_BRANCH: &str = "select case_operators.operator_id, complications.procedure_month,
            count(distinct complications.case_id)
     from case_operators join complications on complications.case_id = case_operators.case_id
     join mechanisms on mechanisms.slug = complications.mechanism
     where complications.removed_at is null and complications.procedure_month between $1 and $2
       and complications.case_id not in (select id from withdrawn_cases)
       and mechanisms.branch = $3
     group by case_operators.operator_id, complications.procedure_month";
const OF_MECHANISM: &str = "select case_operators.operator_id, complications.procedure_month,
            count(distinct complications.case_id)
     from case_operators join complications on complications.case_id = case_operators.case_id
     where complications.removed_at is null and complications.procedure_month between $1 and $2
       and complications.case_id not in (select id from withdrawn_cases)
       and complications.mechanism = $3
     group by case_operators.operator_id, complications.procedure_month";

/// What operators have of a subject in a period.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ByOperator {
    /// Every operator's months, in the order of the pseudonyms.
    pub tallies: Vec<OperatorTally>,
    /// Cases of the subject without an operator.
    pub without: u64,
}

/// Counts a subject's cases and the procedures by operator and month. A case counts once.
///
/// # Errors
/// What the database says, or a value in it that cannot be read.
pub async fn by_operator(
    conn: &mut SqliteConnection,
    subject: &Subject,
    period: Period,
) -> Result<ByOperator, StoreError> {
    let statement = match subject {
        Subject::Whole => OF_WHOLE,
        Subject::Branch(_) => OF_BRANCH,
        Subject::Mechanism(_) => OF_MECHANISM,
    };
    let reach = (period.from(), period.to());
    let mut query = sqlx::query_as(statement).bind(reach.0.to_string()).bind(reach.1.to_string());
    if *subject != Subject::Whole {
        query = query.bind(subject.key().1);
    }
    let rows: Vec<(i64, String, i64)> = query.fetch_all(&mut *conn).await?;
    let mut events: BTreeMap<i64, ByMonth> = BTreeMap::new();
    for (operator, month, cases) in &rows {
        let month = read("complications", month, month)?;
        events.entry(*operator).or_default().insert(month, count("case_operators", "cases", *cases)?);
    }
    let mut done: BTreeMap<i64, ByMonth> = BTreeMap::new();
    for cell in procedures(conn, reach).await? {
        if let Some(procedures) = cell.procedures {
            done.entry(cell.operator).or_default().insert(cell.month, procedures);
        }
    }
    let sum = |months: &ByMonth| months.values().copied().map(u64::from).sum::<u64>();
    let all = sum(&cases_of(conn, subject, Among::All, reach).await?);
    let with: u64 = events.values().map(sum).sum();
    let mut tally = |operator: Operator| {
        let events = events.remove(&operator.id).unwrap_or_default();
        let done = done.remove(&operator.id).unwrap_or_default();
        OperatorTally::of(operator.pseudonym, period, &events, &done)
    };
    let tallies = list(conn).await?.into_iter().map(&mut tally).collect();
    Ok(ByOperator { tallies, without: all.saturating_sub(with) })
}
