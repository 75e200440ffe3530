//! The SQL of cases on and off an agenda, and of their order.

use sqlx::SqliteConnection;

use crate::conference::{Added, MOST_CASES, Way};
use crate::database::StoreError;

/// Puts a case at the end of an agenda. One that was there before comes back with its box, its roles
/// and its notes. Run it in a write transaction.
///
/// # Errors
/// A conference or a case that does not exist is refused by a rule of the schema; or what else the
/// database says.
pub async fn add_case(
    conn: &mut SqliteConnection,
    conference_id: i64,
    case_id: i64,
) -> Result<Added, StoreError> {
    let (there, last, already): (i64, i64, i64) = sqlx::query_as(
        "select count(*), coalesce(max(position), 0), coalesce(sum(case when case_id = $2 then 1 else 0 end), 0)
         from conference_cases where conference_id = $1 and removed_at is null",
    )
    .bind(conference_id)
    .bind(case_id)
    .fetch_one(&mut *conn)
    .await?;
    if already > 0 {
        return Ok(Added::AlreadyThere);
    }
    if there >= MOST_CASES {
        return Ok(Added::Full);
    }
    sqlx::query(
        "insert into conference_cases (conference_id, case_id, position) values ($1, $2, $3)
         on conflict (conference_id, case_id) do update set removed_at = null, position = excluded.position",
    )
    .bind(conference_id)
    .bind(case_id)
    .bind(last + 1)
    .execute(conn)
    .await?;
    Ok(Added::Added)
}

/// Takes a case off an agenda; the others move up and keep their order. It can be put back. Says
/// whether it was there. Run it in a write transaction.
///
/// # Errors
/// What the database says.
pub async fn remove_case(
    conn: &mut SqliteConnection,
    conference_id: i64,
    case_id: i64,
    now: jiff::Timestamp,
) -> Result<bool, StoreError> {
    let place: Option<(i64,)> = sqlx::query_as(
        "update conference_cases set removed_at = $3
         where conference_id = $1 and case_id = $2 and removed_at is null returning position",
    )
    .bind(conference_id)
    .bind(case_id)
    .bind(now.to_string())
    .fetch_optional(&mut *conn)
    .await?;
    let Some((place,)) = place else {
        return Ok(false);
    };
    sqlx::query(
        "update conference_cases set position = position - 1
         where conference_id = $1 and position > $2 and removed_at is null",
    )
    .bind(conference_id)
    .bind(place)
    .execute(conn)
    .await?;
    Ok(true)
}

/// Puts a case on an agenda at a place, 1 for the first; those from there on move down. A place
/// beyond the end is the end. Run it in a write transaction.
///
/// # Errors
/// As [`add_case`].
pub async fn put_back(
    conn: &mut SqliteConnection,
    conference_id: i64,
    case_id: i64,
    place: i64,
) -> Result<Added, StoreError> {
    let added = add_case(conn, conference_id, case_id).await?;
    if added == Added::Added {
        sqlx::query(
            "update conference_cases
             set position = case when case_id = $2 then $3 else position + 1 end
             where conference_id = $1 and removed_at is null and (position >= $3 or case_id = $2)
               and $3 between 1 and
                   (select count(*) from conference_cases where conference_id = $1 and removed_at is null)",
        )
        .bind(conference_id)
        .bind(case_id)
        .bind(place)
        .execute(conn)
        .await?;
    }
    Ok(added)
}

/// Moves a case one place on its agenda, and its neighbour into its place. Says whether it moved: the
/// first goes no further up, and the last no further down. Run it in a write transaction.
///
/// # Errors
/// What the database says.
pub async fn move_case(
    conn: &mut SqliteConnection,
    conference_id: i64,
    case_id: i64,
    way: Way,
) -> Result<bool, StoreError> {
    let step = match way {
        Way::Up => -1_i64,
        Way::Down => 1,
    };
    let place: Option<(i64,)> = sqlx::query_as(
        "select own.position from conference_cases own
         join conference_cases other on other.conference_id = own.conference_id
          and other.position = own.position + $3 and other.removed_at is null
         where own.conference_id = $1 and own.case_id = $2 and own.removed_at is null",
    )
    .bind(conference_id)
    .bind(case_id)
    .bind(step)
    .fetch_optional(&mut *conn)
    .await?;
    let Some((place,)) = place else {
        return Ok(false);
    };
    sqlx::query(
        "update conference_cases set position = case when case_id = $2 then $3 + $4 else $3 end
         where conference_id = $1 and removed_at is null and position in ($3, $3 + $4)",
    )
    .bind(conference_id)
    .bind(case_id)
    .bind(place)
    .bind(step)
    .execute(conn)
    .await?;
    Ok(true)
}
