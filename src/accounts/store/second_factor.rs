//! The SQL of second factors and of their recovery codes.

use jiff::Timestamp;
use sqlx::{QueryBuilder, Sqlite, SqliteConnection};

use crate::accounts::{RecoveryCode, TotpKey};
use crate::database::{StoreError, read};

/// An account's second factor.
#[derive(Debug, Clone)]
pub struct SecondFactor {
    /// The key that its codes are made of.
    pub key: TotpKey,
    /// Whether a first code has confirmed it, so that it is asked for.
    pub confirmed: bool,
    /// The step of the last code that was accepted; 0 for none.
    pub last_step: i64,
}

/// Keeps the key of a second factor that a first code is still to confirm. One that is on stays as it is;
/// says whether the key was kept.
///
/// # Errors
/// What the database says.
pub async fn begin_second_factor(
    conn: &mut SqliteConnection,
    user_id: i64,
    key: &TotpKey,
) -> Result<bool, StoreError> {
    let done = sqlx::query(
        "insert into second_factors (user_id, secret, last_step) values ($1, $2, 0)
         on conflict (user_id) do update set secret = excluded.secret where second_factors.confirmed_at is null",
    )
    .bind(user_id)
    .bind(key.expose())
    .execute(conn)
    .await?;
    Ok(done.rows_affected() == 1)
}

/// The second factor of an account, confirmed or not.
///
/// # Errors
/// What the database says.
pub async fn find_second_factor(
    conn: &mut SqliteConnection,
    user_id: i64,
) -> Result<Option<SecondFactor>, StoreError> {
    let row: Option<(String, Option<String>, i64)> =
        sqlx::query_as("select secret, confirmed_at, last_step from second_factors where user_id = $1")
            .bind(user_id)
            .fetch_optional(conn)
            .await?;
    row.map(|(key, confirmed_at, last_step)| {
        let key = read("second_factors", user_id, &key)?;
        Ok(SecondFactor { key, confirmed: confirmed_at.is_some(), last_step })
    })
    .transpose()
}

/// Keeps the step of an accepted code, so that it is accepted once. Says whether it was the first.
///
/// # Errors
/// What the database says.
pub async fn use_step(conn: &mut SqliteConnection, user_id: i64, step: i64) -> Result<bool, StoreError> {
    let done = sqlx::query("update second_factors set last_step = $2 where user_id = $1 and last_step < $2")
        .bind(user_id)
        .bind(step)
        .execute(conn)
        .await?;
    Ok(done.rows_affected() == 1)
}

/// Turns a second factor on, whose code has just been right.
///
/// # Errors
/// What the database says.
pub async fn confirm_second_factor(
    conn: &mut SqliteConnection,
    user_id: i64,
    now: Timestamp,
) -> Result<(), StoreError> {
    sqlx::query("update second_factors set confirmed_at = $2 where user_id = $1")
        .bind(user_id)
        .bind(now.to_string())
        .execute(conn)
        .await?;
    Ok(())
}

/// Turns a second factor off. Its recovery codes go with it.
///
/// # Errors
/// What the database says.
pub async fn remove_second_factor(conn: &mut SqliteConnection, user_id: i64) -> Result<(), StoreError> {
    sqlx::query("delete from recovery_codes where user_id = $1").bind(user_id).execute(&mut *conn).await?;
    sqlx::query("delete from second_factors where user_id = $1").bind(user_id).execute(conn).await?;
    Ok(())
}

/// Keeps the digests of a new set of recovery codes in the place of the one before.
///
/// # Errors
/// What the database says.
pub async fn set_recovery_codes(
    conn: &mut SqliteConnection,
    user_id: i64,
    codes: &[RecoveryCode],
) -> Result<(), StoreError> {
    sqlx::query("delete from recovery_codes where user_id = $1").bind(user_id).execute(&mut *conn).await?;
    QueryBuilder::<Sqlite>::new("insert into recovery_codes (code_digest, user_id) ")
        .push_values(codes, |mut row, code| {
            row.push_bind(code.digest()).push_bind(user_id);
        })
        .build()
        .execute(conn)
        .await?;
    Ok(())
}

/// Uses a recovery code up. Says whether it was one of the account's that had not been used.
///
/// # Errors
/// What the database says.
pub async fn use_recovery_code(
    conn: &mut SqliteConnection,
    user_id: i64,
    code: &RecoveryCode,
    now: Timestamp,
) -> Result<bool, StoreError> {
    let done = sqlx::query(
        "update recovery_codes set used_at = $3 where code_digest = $1 and user_id = $2 and used_at is null",
    )
    .bind(code.digest())
    .bind(user_id)
    .bind(now.to_string())
    .execute(conn)
    .await?;
    Ok(done.rows_affected() == 1)
}

/// How many recovery codes of an account have not been used.
///
/// # Errors
/// What the database says.
pub async fn count_recovery_codes(conn: &mut SqliteConnection, user_id: i64) -> Result<i64, StoreError> {
    let (count,): (i64,) =
        sqlx::query_as("select count(*) from recovery_codes where user_id = $1 and used_at is null")
            .bind(user_id)
            .fetch_one(conn)
            .await?;
    Ok(count)
}
