//! The SQL of carried-over actions: what is open of earlier cases, and what a meeting said of each.

use sqlx::{FromRow, QueryBuilder, Sqlite, SqliteConnection};

use super::meeting::{ActionRow, action_line};
use crate::case::store::{code_of, push_sight};
use crate::case::{Day, Sight};
use crate::conference::Conference;
use crate::conference::meeting::{Became, CarriedAction};
use crate::database::{StoreError, read, read_opt};

const TABLE: &str = "action_remarks";

/// At most so many actions open a meeting.
const MOST: i64 = 100;

#[derive(FromRow)]
struct CarriedRow {
    #[sqlx(flatten)]
    action: ActionRow,
    code_year: i64,
    code_number: i64,
    became: Option<String>,
    remark: Option<String>,
    due_before: Option<String>,
    due_after: Option<String>,
    remark_done_on: Option<String>,
}

fn became(row: &CarriedRow) -> Result<Option<Became>, StoreError> {
    let key = row.action.id;
    let missing = |what: &str| StoreError::Corrupt {
        table: TABLE,
        key: key.to_string(),
        why: format!("a remark without {what}"),
    };
    let why = || match &row.remark {
        Some(text) => read(TABLE, key, text),
        None => Err(missing("a reason")),
    };
    let day = |text: &Option<String>| -> Result<Day, StoreError> {
        read_opt(TABLE, key, text.as_ref())?.ok_or_else(|| missing("a day"))
    };
    Ok(match row.became.as_deref() {
        None => None,
        Some("done") => Some(Became::Done(day(&row.remark_done_on)?)),
        Some("still-open") => Some(Became::StillOpen { due: day(&row.due_after)?, why: why()? }),
        Some("dropped") => Some(Became::Dropped(why()?)),
        Some(_) => Some(Became::NotReached),
    })
}

fn carried_action(row: &CarriedRow) -> Result<CarriedAction, StoreError> {
    let action = action_line(&row.action)?;
    Ok(CarriedAction {
        code: code_of("cases", row.code_year, row.code_number)?,
        due_before: read_opt(TABLE, action.id, row.due_before.as_ref())?.unwrap_or(action.due),
        became: became(row)?,
        action,
    })
}

/// The actions that open a meeting, the one that was due first at the top: what it said something of and,
/// while it is not ended, what is open of presented cases that are not on its own agenda; of the cases in
/// sight alone.
///
/// # Errors
/// What the database says, or a value in it that cannot be read.
pub async fn carried(
    conn: &mut SqliteConnection,
    conference: &Conference,
    sight: Sight,
) -> Result<Vec<CarriedAction>, StoreError> {
    let mut sql = QueryBuilder::<Sqlite>::new(
        "select actions.id, actions.case_id, what, owner, due, strength, measure, actions.state, actions.done_on,
                code_year, code_number, became, action_remarks.text as remark, due_before, due_after,
                action_remarks.done_on as remark_done_on
         from actions join cases on cases.id = actions.case_id
         left join action_remarks
             on action_remarks.action_id = actions.id and action_remarks.conference_id = ",
    );
    sql.push_bind(conference.id).push(" where actions.removed_at is null and ");
    push_sight(&mut sql, sight);
    sql.push(" and (action_remarks.id is not null");
    if !conference.is_ended() {
        sql.push(
            " or (actions.state = 'open' and cases.stage in ('presented', 'closed')
                  and actions.case_id not in (select case_id from conference_cases
                                              where removed_at is null and conference_id = ",
        );
        sql.push_bind(conference.id).push("))");
    }
    sql.push(") order by coalesce(due_before, due), actions.id limit ").push_bind(MOST);
    let rows: Vec<CarriedRow> = sql.build_query_as().fetch_all(conn).await?;
    rows.iter().map(carried_action).collect()
}

/// Keeps what a meeting said of an action, over what it said of it before. `due_before` is when it was due
/// before the meeting; the first one that is kept stays. The action itself is changed by its own store.
///
/// # Errors
/// What the database says.
pub async fn remark(
    conn: &mut SqliteConnection,
    conference_id: i64,
    (action_id, due_before): (i64, Day),
    became: &Became,
    on: Day,
) -> Result<(), StoreError> {
    let (slug, text, due_after, done_on) = match became {
        Became::Done(day) => ("done", None, None, Some(*day)),
        Became::StillOpen { due, why } => ("still-open", Some(why.as_str()), Some(*due), None),
        Became::Dropped(why) => ("dropped", Some(why.as_str()), None, None),
        Became::NotReached => ("not-reached", None, None, None),
    };
    sqlx::query(
        "insert into action_remarks
             (action_id, conference_id, became, text, due_before, due_after, done_on, written_on)
         values ($1, $2, $3, $4, $5, $6, $7, $8)
         on conflict (action_id, conference_id) do update set became = excluded.became, text = excluded.text,
             due_after = excluded.due_after, done_on = excluded.done_on, written_on = excluded.written_on",
    )
    .bind(action_id)
    .bind(conference_id)
    .bind(slug)
    .bind(text)
    .bind(due_before.to_string())
    .bind(due_after.map(|day| day.to_string()))
    .bind(done_on.map(|day| day.to_string()))
    .bind(on.to_string())
    .execute(conn)
    .await?;
    Ok(())
}

/// Marks what the meeting did not come to, so that its minutes say so later too.
pub(super) async fn mark_not_reached(
    conn: &mut SqliteConnection,
    conference_id: i64,
    on: Day,
) -> Result<(), StoreError> {
    sqlx::query(
        "insert into action_remarks (action_id, conference_id, became, due_before, written_on)
         select actions.id, $1, 'not-reached', due, $2
         from actions join cases on cases.id = actions.case_id
         where actions.removed_at is null and actions.state = 'open' and cases.stage in ('presented', 'closed')
           and actions.case_id not in (select case_id from conference_cases
                                       where conference_id = $1 and removed_at is null)
           and actions.id not in (select action_id from action_remarks where conference_id = $1)",
    )
    .bind(conference_id)
    .bind(on.to_string())
    .execute(conn)
    .await?;
    Ok(())
}

/// Takes those marks away again.
pub(super) async fn unmark_not_reached(
    conn: &mut SqliteConnection,
    conference_id: i64,
) -> Result<(), StoreError> {
    sqlx::query("delete from action_remarks where conference_id = $1 and became = 'not-reached'")
        .bind(conference_id)
        .execute(conn)
        .await?;
    Ok(())
}
