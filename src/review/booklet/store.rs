//! The SQL of the booklet: what is on offer for a year, what is left out of it, what cannot be in it. A lesson is
//! in its year's booklet unless somebody left it out; the year is that of its case's code.

use sqlx::{FromRow, QueryBuilder, Sqlite, SqliteConnection};

use crate::case::store::{code_of, push_sight};
use crate::case::{CaseCode, LessonKind, Paragraph, Sight, Title};
use crate::database::{StoreError, read};

const TABLE: &str = "lessons";

/// What a lesson has to be to be on offer: signed, of a case that was presented and is not held back.
const ON_OFFER: &str =
    "signed_by is not null and removed_at is null and cases.stage in ('presented', 'closed')
    and not exists (select 1 from case_findings where case_findings.case_id = cases.id)";

/// A lesson on offer for the booklet.
#[derive(Debug, Clone, PartialEq)]
pub struct Offered {
    /// Its id.
    pub id: i64,
    /// The id of its case.
    pub case_id: i64,
    /// The code of its case.
    pub code: CaseCode,
    /// The title of its case.
    pub title: Title,
    /// What it helps to do.
    pub kind: LessonKind,
    /// The lesson.
    pub text: Paragraph,
    /// Whether it is in the booklet.
    pub chosen: bool,
}

/// Lessons of a year that are not on offer, by what keeps them.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct HeldBack {
    /// Of presented cases, and nobody has signed them.
    pub unsigned: usize,
    /// Signed, of cases that may hold identifiers.
    pub identifiers: usize,
    /// Signed, of cases that were not presented yet.
    pub not_presented: usize,
    /// Signed, of cases that were withdrawn.
    pub withdrawn: usize,
}

impl HeldBack {
    /// How many there are.
    #[must_use]
    pub const fn total(self) -> usize {
        self.unsigned + self.identifiers + self.not_presented + self.withdrawn
    }
}

/// The years that have a lesson on offer, the latest first.
///
/// # Errors
/// What the database says.
pub async fn years(conn: &mut SqliteConnection, sight: Sight) -> Result<Vec<i64>, StoreError> {
    let mut sql = QueryBuilder::<Sqlite>::new(
        "select distinct code_year from lessons join cases on cases.id = lessons.case_id where ",
    );
    sql.push(ON_OFFER).push(" and ");
    push_sight(&mut sql, sight);
    sql.push(" order by code_year desc");
    let rows: Vec<(i64,)> = sql.build_query_as().fetch_all(conn).await?;
    Ok(rows.into_iter().map(|(year,)| year).collect())
}

#[derive(FromRow)]
struct OfferedRow {
    id: i64,
    case_id: i64,
    code_year: i64,
    code_number: i64,
    title: String,
    kind: String,
    text: String,
    chosen: bool,
}

/// The lessons on offer for a year, case by case in the order of their codes.
///
/// # Errors
/// What the database says, or a value in it that cannot be read.
pub async fn offered(
    conn: &mut SqliteConnection,
    year: i64,
    sight: Sight,
) -> Result<Vec<Offered>, StoreError> {
    let mut sql = QueryBuilder::<Sqlite>::new(
        "select lessons.id, case_id, code_year, code_number, title, kind, lessons.text,
                lessons.id not in (select lesson_id from booklet_left_out) as chosen
         from lessons join cases on cases.id = lessons.case_id where code_year = ",
    );
    sql.push_bind(year).push(" and ").push(ON_OFFER).push(" and ");
    push_sight(&mut sql, sight);
    sql.push(" order by code_number, lessons.id");
    let rows: Vec<OfferedRow> = sql.build_query_as().fetch_all(conn).await?;
    rows.iter()
        .map(|row| {
            Ok(Offered {
                id: row.id,
                case_id: row.case_id,
                code: code_of(TABLE, row.code_year, row.code_number)?,
                title: read(TABLE, row.id, &row.title)?,
                kind: read(TABLE, row.id, &row.kind)?,
                text: read(TABLE, row.id, &row.text)?,
                chosen: row.chosen,
            })
        })
        .collect()
}

/// How many lessons of a year are not on offer, and why. Numbers of all cases; no words of any.
///
/// # Errors
/// What the database says.
pub async fn held_back(conn: &mut SqliteConnection, year: i64) -> Result<HeldBack, StoreError> {
    // A case counts under the first thing that keeps it.
    let rows: Vec<(String, i64)> = sqlx::query_as(
        "select why, count(*) from (
             select case
                 when case_records.id in (select id from withdrawn_cases) then
                     case when signed_by is null then 'none' else 'withdrawn' end
                 when stage not in ('presented', 'closed') then
                     case when signed_by is null then 'none' else 'not presented' end
                 when signed_by is null then 'unsigned'
                 when exists (select 1 from case_findings where case_findings.case_id = case_records.id)
                     then 'identifiers'
                 else 'none' end as why
             from lessons join case_records on case_records.id = lessons.case_id
             where code_year = $1 and removed_at is null) as kept
         group by why",
    )
    .bind(year)
    .fetch_all(conn)
    .await?;
    let of = |why: &str| {
        let found = rows.iter().find(|(kept, _)| kept == why).map_or(0, |(_, lessons)| *lessons);
        usize::try_from(found).unwrap_or(0)
    };
    Ok(HeldBack {
        unsigned: of("unsigned"),
        identifiers: of("identifiers"),
        not_presented: of("not presented"),
        withdrawn: of("withdrawn"),
    })
}

/// Puts lessons into the booklets of their years, or leaves them out. Doing the same twice changes nothing.
///
/// # Errors
/// What the database says.
pub async fn choose(conn: &mut SqliteConnection, lessons: &[i64], chosen: bool) -> Result<(), StoreError> {
    if lessons.is_empty() {
        return Ok(());
    }
    let mut sql = if chosen {
        let mut sql = QueryBuilder::<Sqlite>::new("delete from booklet_left_out where lesson_id in (");
        let mut ids = sql.separated(", ");
        for lesson in lessons {
            ids.push_bind(*lesson);
        }
        sql.push(")");
        sql
    } else {
        let mut sql = QueryBuilder::<Sqlite>::new("insert into booklet_left_out (lesson_id) ");
        sql.push_values(lessons, |mut row, lesson| {
            row.push_bind(*lesson);
        });
        sql.push(" on conflict (lesson_id) do nothing");
        sql
    };
    sql.build().execute(conn).await?;
    Ok(())
}
