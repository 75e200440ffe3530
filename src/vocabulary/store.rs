//! The SQL of the vocabularies.

use sqlx::{FromRow, QueryBuilder, Sqlite, SqliteConnection};

use super::seed;
use super::slug::{CauseSlug, MechanismSlug};
use super::tree::{Branch, Cause, Mechanism, Stratum, Vocabulary};
use crate::database::{StoreError, read};

fn split_words(words: &str) -> Vec<String> {
    words.split(';').map(str::trim).filter(|word| !word.is_empty()).map(str::to_owned).collect()
}

/// Puts the shipped trees into the database: new leaves are added and shipped ones get the text of
/// this version; leaves of the department's own, and what it retired, stay as they are.
///
/// # Errors
/// What the database says.
pub async fn seed(conn: &mut SqliteConnection) -> Result<(), StoreError> {
    let (mechanisms, causes) = (seed::mechanisms(), seed::causes());
    QueryBuilder::<Sqlite>::new("insert into strata (slug, label, definition, position) ")
        .push_values((0_i64..).zip(&mechanisms.stratum), |mut row, (position, stratum)| {
            row.push_bind(stratum.slug.as_str()).push_bind(&stratum.label).push_bind(&stratum.definition);
            row.push_bind(position);
        })
        .push(
            " on conflict (slug) do update set label = excluded.label, definition = excluded.definition,
              position = excluded.position",
        )
        .build()
        .execute(&mut *conn)
        .await?;
    for (into, branches) in [
        ("insert into mechanism_branches (slug, label, definition, position) ", &mechanisms.branch),
        ("insert into cause_branches (slug, label, definition, position) ", &causes.branch),
    ] {
        QueryBuilder::<Sqlite>::new(into)
            .push_values((0_i64..).zip(branches), |mut row, (position, branch)| {
                row.push_bind(&branch.slug).push_bind(&branch.label).push_bind(&branch.definition);
                row.push_bind(position);
            })
            .push(
                " on conflict (slug) do update set label = excluded.label,
                  definition = excluded.definition, position = excluded.position",
            )
            .build()
            .execute(&mut *conn)
            .await?;
    }
    QueryBuilder::<Sqlite>::new(
        "insert into mechanisms (slug, branch, label, definition, example, words, at_risk, role, own,
                                 retired, position) ",
    )
    .push_values((0_i64..).zip(&mechanisms.leaf), |mut row, (position, leaf)| {
        row.push_bind(leaf.slug.as_str()).push_bind(&leaf.branch).push_bind(&leaf.label);
        row.push_bind(&leaf.definition).push_bind(&leaf.example).push_bind(leaf.words.join("; "));
        row.push_bind(leaf.at_risk.as_str()).push_bind(leaf.role.slug());
        row.push_bind(false).push_bind(false).push_bind(position);
    })
    .push(
        " on conflict (slug) do update set branch = excluded.branch, label = excluded.label,
          definition = excluded.definition, example = excluded.example, words = excluded.words,
          at_risk = excluded.at_risk, role = excluded.role, position = excluded.position
          where mechanisms.own = 0",
    )
    .build()
    .execute(&mut *conn)
    .await?;
    QueryBuilder::<Sqlite>::new(
        "insert into cause_leaves (slug, branch, label, definition, example, words, london_protocol,
                                   icps, own, retired, position) ",
    )
    .push_values((0_i64..).zip(&causes.leaf), |mut row, (position, leaf)| {
        row.push_bind(leaf.slug.as_str()).push_bind(&leaf.branch).push_bind(&leaf.label);
        row.push_bind(&leaf.definition).push_bind(&leaf.example).push_bind(leaf.words.join("; "));
        row.push_bind(&leaf.london_protocol).push_bind(&leaf.icps);
        row.push_bind(false).push_bind(false).push_bind(position);
    })
    .push(
        " on conflict (slug) do update set branch = excluded.branch, label = excluded.label,
          definition = excluded.definition, example = excluded.example, words = excluded.words,
          london_protocol = excluded.london_protocol, icps = excluded.icps,
          position = excluded.position
          where cause_leaves.own = 0",
    )
    .build()
    .execute(conn)
    .await?;
    Ok(())
}

#[derive(FromRow)]
struct MechanismRow {
    slug: String,
    branch: String,
    label: String,
    definition: String,
    example: String,
    words: String,
    at_risk: String,
    role: String,
    own: bool,
    retired: bool,
}

#[derive(FromRow)]
struct CauseRow {
    slug: String,
    branch: String,
    label: String,
    definition: String,
    example: String,
    words: String,
    london_protocol: String,
    icps: String,
    own: bool,
    retired: bool,
}

/// Both trees and the strata, as they are now.
///
/// # Errors
/// What the database says, or a value in it that cannot be read.
pub async fn load(conn: &mut SqliteConnection) -> Result<Vocabulary, StoreError> {
    let strata: Vec<(String, String, String)> =
        sqlx::query_as("select slug, label, definition from strata order by position")
            .fetch_all(&mut *conn)
            .await?;
    let mechanism_rows: Vec<MechanismRow> = sqlx::query_as(
        "select slug, branch, label, definition, example, words, at_risk, role, own, retired
         from mechanisms order by position, slug",
    )
    .fetch_all(&mut *conn)
    .await?;
    let cause_rows: Vec<CauseRow> = sqlx::query_as(
        "select slug, branch, label, definition, example, words, london_protocol, icps, own, retired
         from cause_leaves order by position, slug",
    )
    .fetch_all(&mut *conn)
    .await?;
    Ok(Vocabulary {
        strata: strata
            .into_iter()
            .map(|(slug, label, definition)| {
                Ok(Stratum { slug: read("strata", &slug, &slug)?, label, definition })
            })
            .collect::<Result<_, StoreError>>()?,
        mechanism_branches: branches(
            conn,
            "select slug, label, definition from mechanism_branches order by position",
        )
        .await?,
        mechanisms: mechanism_rows.into_iter().map(mechanism).collect::<Result<_, _>>()?,
        cause_branches: branches(
            conn,
            "select slug, label, definition from cause_branches order by position",
        )
        .await?,
        causes: cause_rows.into_iter().map(cause).collect::<Result<_, _>>()?,
    })
}

async fn branches(conn: &mut SqliteConnection, sql: &'static str) -> Result<Vec<Branch>, StoreError> {
    let rows: Vec<(String, String, String)> = sqlx::query_as(sql).fetch_all(conn).await?;
    Ok(rows.into_iter().map(|(slug, label, definition)| Branch { slug, label, definition }).collect())
}

fn mechanism(row: MechanismRow) -> Result<Mechanism, StoreError> {
    Ok(Mechanism {
        slug: read("mechanisms", &row.slug, &row.slug)?,
        at_risk: read("mechanisms", &row.slug, &row.at_risk)?,
        role: read("mechanisms", &row.slug, &row.role)?,
        words: split_words(&row.words),
        branch: row.branch,
        label: row.label,
        definition: row.definition,
        example: row.example,
        own: row.own,
        retired: row.retired,
    })
}

fn cause(row: CauseRow) -> Result<Cause, StoreError> {
    Ok(Cause {
        slug: read("cause_leaves", &row.slug, &row.slug)?,
        words: split_words(&row.words),
        branch: row.branch,
        label: row.label,
        definition: row.definition,
        example: row.example,
        london_protocol: row.london_protocol,
        icps: row.icps,
        own: row.own,
        retired: row.retired,
    })
}

/// Adds a mechanism of the department's own.
///
/// # Errors
/// The rule on `mechanisms.slug` when the slug is taken, or what else the database says.
pub async fn add_mechanism(conn: &mut SqliteConnection, leaf: &Mechanism) -> Result<(), StoreError> {
    sqlx::query(
        "insert into mechanisms (slug, branch, label, definition, example, words, at_risk, role, own,
                                 retired, position)
         values ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, 1000)",
    )
    .bind(leaf.slug.as_str())
    .bind(&leaf.branch)
    .bind(&leaf.label)
    .bind(&leaf.definition)
    .bind(&leaf.example)
    .bind(leaf.words.join("; "))
    .bind(leaf.at_risk.as_str())
    .bind(leaf.role.slug())
    .bind(true)
    .bind(false)
    .execute(conn)
    .await?;
    Ok(())
}

/// Adds a cause of the department's own.
///
/// # Errors
/// The rule on `cause_leaves.slug` when the slug is taken, or what else the database says.
pub async fn add_cause(conn: &mut SqliteConnection, leaf: &Cause) -> Result<(), StoreError> {
    sqlx::query(
        "insert into cause_leaves (slug, branch, label, definition, example, words, london_protocol,
                                   icps, own, retired, position)
         values ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, 1000)",
    )
    .bind(leaf.slug.as_str())
    .bind(&leaf.branch)
    .bind(&leaf.label)
    .bind(&leaf.definition)
    .bind(&leaf.example)
    .bind(leaf.words.join("; "))
    .bind(&leaf.london_protocol)
    .bind(&leaf.icps)
    .bind(true)
    .bind(false)
    .execute(conn)
    .await?;
    Ok(())
}

/// Retires a mechanism, or takes it up again. Cases that use it keep it. Says whether there is one.
///
/// # Errors
/// What the database says.
pub async fn retire_mechanism(
    conn: &mut SqliteConnection,
    slug: &MechanismSlug,
    retired: bool,
) -> Result<bool, StoreError> {
    let done = sqlx::query("update mechanisms set retired = $2 where slug = $1")
        .bind(slug.as_str())
        .bind(retired)
        .execute(conn)
        .await?;
    Ok(done.rows_affected() > 0)
}

/// Retires a cause, or takes it up again. Cases that use it keep it. Says whether there is one.
///
/// # Errors
/// What the database says.
pub async fn retire_cause(
    conn: &mut SqliteConnection,
    slug: &CauseSlug,
    retired: bool,
) -> Result<bool, StoreError> {
    let done = sqlx::query("update cause_leaves set retired = $2 where slug = $1")
        .bind(slug.as_str())
        .bind(retired)
        .execute(conn)
        .await?;
    Ok(done.rows_affected() > 0)
}

/// How many cases use each mechanism and each cause, by slug.
///
/// # Errors
/// What the database says.
pub async fn uses(conn: &mut SqliteConnection) -> Result<Vec<(String, i64)>, StoreError> {
    Ok(sqlx::query_as(
        "select mechanism, count(distinct case_id) from complications
         where removed_at is null and case_id not in (select id from withdrawn_cases) group by mechanism
         union all
         select cause, count(distinct case_id) from causes
         where removed_at is null and case_id not in (select id from withdrawn_cases) group by cause",
    )
    .fetch_all(conn)
    .await?)
}
