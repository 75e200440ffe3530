//! The SQL of pictures: what is said of them, and their pixels, which stand apart.

use sqlx::{FromRow, SqliteConnection};

use super::by_case::{ByCase, of_cases};
use super::keys::Keys;
use crate::case::picture::{Picture, PictureDigest, Still, View};
use crate::case::stored::Row;
use crate::database::{StoreError, read, read_opt};

const TABLE: &str = "pictures";
/// For how long a picture that was taken out keeps its pixels, so that it can be put back, in days.
const KEPT_DAYS: i64 = 30;

#[derive(FromRow)]
struct PictureRow {
    case_id: i64,
    id: i64,
    event_id: Option<i64>,
    caption: Option<String>,
    shows: String,
    rotation: Option<i64>,
    tilt: Option<i64>,
    width: i64,
    height: i64,
    digest: String,
    confirmed_by: String,
    confirmed_on: String,
}

fn picture(row: &PictureRow, events: &Keys) -> Result<Row<Picture>, StoreError> {
    let corrupt = |why: String| StoreError::Corrupt { table: TABLE, key: row.id.to_string(), why };
    let view = row.rotation.zip(row.tilt).map(|(rotation, tilt)| View::new(rotation, tilt)).transpose();
    let side = |length: i64| u32::try_from(length).map_err(|error| corrupt(error.to_string()));
    Ok(Row {
        id: row.id,
        value: Picture {
            event: events.get(row.event_id),
            caption: read_opt(TABLE, row.id, row.caption.as_ref())?,
            shows: read(TABLE, row.id, &row.shows)?,
            view: view.map_err(|error| corrupt(error.to_string()))?,
            still: Still {
                width: side(row.width)?,
                height: side(row.height)?,
                digest: read(TABLE, row.id, &row.digest)?,
            },
            confirmed_by: read(TABLE, row.id, &row.confirmed_by)?,
            confirmed_on: read(TABLE, row.id, &row.confirmed_on)?,
        },
    })
}

/// The pictures of some cases in the order of their events, those of no event last. One whose pixels were erased is none.
pub(super) async fn list(
    conn: &mut SqliteConnection,
    cases: &[i64],
    events: &Keys,
) -> Result<ByCase<Picture>, StoreError> {
    let mut sql = of_cases(
        "select pictures.case_id, pictures.id, pictures.event_id, caption, shows, rotation, tilt, width, height, pictures.digest,
                confirmed_by, confirmed_on
         from pictures
         join picture_bytes on picture_bytes.digest = pictures.digest
         left join events on events.id = pictures.event_id and events.removed_at is null
         where pictures.removed_at is null and pictures.case_id in ",
        cases,
        "order by events.id is null, events.offset_seconds, events.id, pictures.id",
    );
    let rows: Vec<PictureRow> = sql.build_query_as().fetch_all(conn).await?;
    ByCase::of(rows.iter().map(|row| Ok((row.case_id, picture(row, events)?))))
}

pub(super) async fn insert(
    conn: &mut SqliteConnection,
    case_id: i64,
    picture: &Picture,
) -> Result<i64, StoreError> {
    let (id,): (i64,) = sqlx::query_as(
        "insert into pictures (case_id, event_id, caption, shows, rotation, tilt, width, height, digest, confirmed_by,
                               confirmed_on)
         values ($1, (select id from events where case_id = $1 and key = $2), $3, $4, $5, $6, $7, $8, $9, $10, $11)
         returning id",
    )
    .bind(case_id)
    .bind(picture.event.as_ref().map(|key| key.as_str()))
    .bind(picture.caption.as_ref().map(|text| text.as_str()))
    .bind(picture.shows.as_str())
    .bind(picture.view.map(View::rotation))
    .bind(picture.view.map(View::tilt))
    .bind(picture.still.width)
    .bind(picture.still.height)
    .bind(picture.still.digest.as_str())
    .bind(picture.confirmed_by.as_str())
    .bind(picture.confirmed_on.to_string())
    .fetch_one(conn)
    .await?;
    Ok(id)
}

pub(super) async fn update(
    conn: &mut SqliteConnection,
    case_id: i64,
    id: i64,
    picture: &Picture,
) -> Result<(), StoreError> {
    sqlx::query(
        "update pictures set event_id = (select id from events where case_id = $1 and key = $3), caption = $4, shows = $5,
                rotation = $6, tilt = $7, width = $8, height = $9, digest = $10, confirmed_by = $11, confirmed_on = $12
         where case_id = $1 and id = $2",
    )
    .bind(case_id)
    .bind(id)
    .bind(picture.event.as_ref().map(|key| key.as_str()))
    .bind(picture.caption.as_ref().map(|text| text.as_str()))
    .bind(picture.shows.as_str())
    .bind(picture.view.map(View::rotation))
    .bind(picture.view.map(View::tilt))
    .bind(picture.still.width)
    .bind(picture.still.height)
    .bind(picture.still.digest.as_str())
    .bind(picture.confirmed_by.as_str())
    .bind(picture.confirmed_on.to_string())
    .execute(conn)
    .await?;
    Ok(())
}

/// Keeps the pixels of a picture: a PNG that this program wrote. Gives their digest.
///
/// # Errors
/// What the database says.
pub async fn keep_png(conn: &mut SqliteConnection, png: &[u8]) -> Result<PictureDigest, StoreError> {
    let digest = PictureDigest::of(png);
    sqlx::query("insert into picture_bytes (digest, png) values ($1, $2) on conflict do nothing")
        .bind(digest.as_str())
        .bind(png)
        .execute(conn)
        .await?;
    Ok(digest)
}

/// The PNG of a digest that a case's picture has; none when it was erased.
///
/// # Errors
/// What the database says.
pub async fn png(conn: &mut SqliteConnection, digest: &PictureDigest) -> Result<Option<Vec<u8>>, StoreError> {
    let row: Option<(Vec<u8>,)> = sqlx::query_as("select png from picture_bytes where digest = $1")
        .bind(digest.as_str())
        .fetch_optional(conn)
        .await?;
    Ok(row.map(|(png,)| png))
}

/// The PNGs of a case's pictures, by the ids of the pictures.
///
/// # Errors
/// What the database says.
pub async fn pngs(conn: &mut SqliteConnection, case_id: i64) -> Result<Vec<(i64, Vec<u8>)>, StoreError> {
    Ok(sqlx::query_as(
        "select pictures.id, png from pictures join picture_bytes on picture_bytes.digest = pictures.digest
         where case_id = $1 and removed_at is null",
    )
    .bind(case_id)
    .fetch_all(conn)
    .await?)
}

/// Erases the pixels that no picture has any more, and those of pictures that were taken out long ago.
///
/// # Errors
/// What the database says.
pub async fn forget_pixels(conn: &mut SqliteConnection, now: jiff::Timestamp) -> Result<(), StoreError> {
    let since = now.checked_sub(jiff::SignedDuration::from_hours(24 * KEPT_DAYS)).unwrap_or(now);
    sqlx::query(
        "delete from picture_bytes
         where digest not in (select digest from pictures where removed_at is null or removed_at > $1)",
    )
    .bind(since.to_string())
    .execute(conn)
    .await?;
    Ok(())
}

/// Takes a picture out and erases its pixels, unless another picture has the same. It cannot be put back.
///
/// # Errors
/// What the database says.
pub async fn erase_picture(
    conn: &mut SqliteConnection,
    case_id: i64,
    id: i64,
    now: jiff::Timestamp,
) -> Result<(), StoreError> {
    sqlx::query("update pictures set removed_at = $3 where case_id = $1 and id = $2")
        .bind(case_id)
        .bind(id)
        .bind(now.to_string())
        .execute(&mut *conn)
        .await?;
    sqlx::query(
        "delete from picture_bytes where digest = (select digest from pictures where id = $1)
         and digest not in (select digest from pictures where id <> $1 and removed_at is null)",
    )
    .bind(id)
    .execute(&mut *conn)
    .await?;
    super::rows::touch(conn, case_id, now).await
}

/// How many pictures the record holds with their pixels: a number for tests and checks.
///
/// # Errors
/// What the database says.
pub async fn pixels_held(conn: &mut SqliteConnection) -> Result<i64, StoreError> {
    let (count,): (i64,) = sqlx::query_as("select count(*) from picture_bytes").fetch_one(conn).await?;
    Ok(count)
}
