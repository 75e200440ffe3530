//! The list of cases: what can be asked of it, and the page of rows that answers.

use super::sight::Sight;
use super::store::{code_of, push_sight};
use sqlx::{QueryBuilder, Row, Sqlite, SqliteConnection};

use super::code::CaseCode;
use super::measure::Month;
use super::search_sqlite::{self, SearchQuery};
use super::words::{LessonKind, Segment, Stage};
use crate::database::{StoreError, read};
use crate::quantity::words;
use crate::vocabulary::{CauseSlug, MechanismSlug};

words!(
    /// What the list is ordered by.
    #[derive(Default)]
    Sort, "an order", {
        #[default]
        Newest = "newest", "Newest month first";
        Oldest = "oldest", "Oldest month first";
        Changed = "changed", "Last changed first";
    }
);

/// How many cases one page of the list shows.
pub const PAGE: usize = 40;
/// The list counts no further than this; beyond it says "more than".
pub const COUNT_AT_MOST: i64 = 400;
/// From so many answers on, a condition is called common: it is then looked up for each case in the
/// order of the list, because a page is full after few; a rare one leads instead.
const COMMON: i64 = 500;

/// What is asked of the list.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Filter {
    /// Only cases with a complication of this mechanism.
    pub mechanism: Option<MechanismSlug>,
    /// Only cases with a complication of this branch of the tree.
    pub branch: Option<String>,
    /// Only cases with this cause.
    pub cause: Option<CauseSlug>,
    /// Only cases with a cause of this branch of the taxonomy.
    pub cause_branch: Option<String>,
    /// Only cases with a lesson of this kind.
    pub lesson_kind: Option<LessonKind>,
    /// Only cases in one of these stages; empty is any.
    pub stages: Vec<Stage>,
    /// Not before this month.
    pub from: Option<Month>,
    /// Not after this month.
    pub to: Option<Month>,
    /// Only cases with a lesion or complication there.
    pub segment: Option<Segment>,
    /// Only cases that hold these words.
    pub words: Option<SearchQuery>,
    /// Only cases that this account recorded.
    pub recorded_by: Option<i64>,
    /// Only cases that are held back, because they may hold identifiers.
    pub held: bool,
    /// The order.
    pub sort: Sort,
}

/// Where a page starts: just after this row, in the order of the list.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Cursor {
    /// The sorted value of the last row seen: a month or a moment.
    pub value: String,
    /// Its id, for rows of equal value.
    pub id: i64,
}

impl std::fmt::Display for Cursor {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{}~{}", self.value, self.id)
    }
}

impl std::str::FromStr for Cursor {
    type Err = &'static str;
    fn from_str(text: &str) -> Result<Self, Self::Err> {
        let problem = "This page address is not one that the list gives.";
        let (value, id) = text.rsplit_once('~').ok_or(problem)?;
        if value.len() > 40 {
            return Err(problem);
        }
        Ok(Self { value: value.to_owned(), id: id.parse().map_err(|_| problem)? })
    }
}

/// A row of the list.
#[derive(Debug, Clone, PartialEq)]
pub struct Listed {
    /// The id.
    pub id: i64,
    /// The code.
    pub code: CaseCode,
    /// The title.
    pub title: String,
    /// The month of the procedure.
    pub month: Month,
    /// How far it has come.
    pub stage: Stage,
    /// Whether it is held back, because it may hold identifiers.
    pub held: bool,
    /// Its mechanisms, the index harm first, each once.
    pub mechanisms: Vec<MechanismSlug>,
    /// Where the words were found, with hits between [`search_sqlite::HIT_START`] and its end.
    pub excerpt: Option<String>,
}

/// A page of the list.
#[derive(Debug, Clone, PartialEq)]
pub struct Page {
    /// Its rows.
    pub rows: Vec<Listed>,
    /// Where the next page starts; none on the last.
    pub next: Option<Cursor>,
    /// How many cases answer, counted up to [`COUNT_AT_MOST`].
    pub total: i64,
}

#[derive(sqlx::FromRow)]
struct ListedRow {
    id: i64,
    code_year: i64,
    code_number: i64,
    title: String,
    procedure_month: String,
    stage: String,
    updated_at: String,
    held: bool,
}

/// Which conditions of a filter very many cases answer.
#[derive(Debug, Clone, Copy, Default)]
struct Common {
    mechanism: bool,
    cause: bool,
    segment: bool,
    words: bool,
}

impl Common {
    /// Looks no further than [`COMMON`] answers to each condition.
    async fn of(conn: &mut SqliteConnection, filter: &Filter) -> Result<Self, StoreError> {
        let mut common = Self::default();
        if let Some(mechanism) = &filter.mechanism {
            common.mechanism = MECHANISMS.is_common(conn, mechanism.as_str()).await?;
        }
        if let Some(cause) = &filter.cause {
            common.cause = CAUSES.is_common(conn, cause.as_str()).await?;
        }
        if let Some(segment) = filter.segment {
            common.segment = is_common(conn, ("complications", "segment"), segment.slug()).await?;
        }
        if let Some(words) = &filter.words {
            common.words = search_sqlite::count(conn, words, COMMON).await? >= COMMON;
        }
        Ok(common)
    }
}

/// Whether very many rows of a list hold a value.
async fn is_common(
    conn: &mut SqliteConnection,
    (list, column): (&'static str, &'static str),
    value: &str,
) -> Result<bool, StoreError> {
    let mut sql = QueryBuilder::<Sqlite>::new("select count(*) from (select 1 from ");
    sql.push(format_args!("{list} where removed_at is null and {column} = ")).push_bind(value);
    sql.push(" limit ").push_bind(COMMON).push(")");
    let (count,): (i64,) = sql.build_query_as().fetch_one(conn).await?;
    Ok(count >= COMMON)
}

/// A list of a case whose rows name a leaf of a tree, and the leaves with their branches.
struct Leaves {
    list: &'static str,
    column: &'static str,
    tree: &'static str,
}

const MECHANISMS: Leaves = Leaves { list: "complications", column: "mechanism", tree: "mechanisms" };
const CAUSES: Leaves = Leaves { list: "causes", column: "cause", tree: "cause_leaves" };

impl Leaves {
    async fn is_common(&self, conn: &mut SqliteConnection, slug: &str) -> Result<bool, StoreError> {
        is_common(conn, (self.list, self.column), slug).await
    }

    /// The condition that a case has this leaf.
    fn push_leaf(&self, sql: &mut QueryBuilder<Sqlite>, slug: String, common: bool) {
        let Self { list, column, .. } = self;
        sql.push(if common {
            format!(
                " and exists (select 1 from {list} where case_id = cases.id and removed_at is null and {column} = "
            )
        } else {
            format!(" and cases.id in (select case_id from {list} where removed_at is null and {column} = ")
        });
        sql.push_bind(slug).push(")");
    }

    /// The condition that a case has a leaf of this branch.
    fn push_branch(&self, sql: &mut QueryBuilder<Sqlite>, branch: String) {
        let Self { list, column, tree } = self;
        sql.push(format_args!(
            " and cases.id in (select case_id from {list} join {tree} on {tree}.slug = {list}.{column}
               where removed_at is null and {tree}.branch = "
        ));
        sql.push_bind(branch).push(")");
    }
}

impl Filter {
    /// Adds the conditions of the filter to a statement over `cases`, alone or joined with its lessons, that
    /// ends in a where clause; the answers to each condition lead to their cases.
    pub(super) fn push_to(&self, sql: &mut QueryBuilder<Sqlite>) {
        self.push_conditions(sql, Common::default());
    }

    /// Adds the conditions of the filter to a statement that ends in `where true`.
    fn push_conditions(&self, sql: &mut QueryBuilder<Sqlite>, common: Common) {
        if let Some(mechanism) = &self.mechanism {
            MECHANISMS.push_leaf(sql, mechanism.to_string(), common.mechanism);
        }
        if let Some(branch) = &self.branch {
            MECHANISMS.push_branch(sql, branch.clone());
        }
        if let Some(cause) = &self.cause {
            CAUSES.push_leaf(sql, cause.to_string(), common.cause);
        }
        if let Some(branch) = &self.cause_branch {
            CAUSES.push_branch(sql, branch.clone());
        }
        if let Some(kind) = self.lesson_kind {
            sql.push(
                " and exists (select 1 from lessons where case_id = cases.id and removed_at is null and kind = ",
            );
            sql.push_bind(kind.slug()).push(")");
        }
        if !self.stages.is_empty() {
            sql.push(" and stage in (");
            let mut list = sql.separated(", ");
            for stage in &self.stages {
                list.push_bind(stage.slug());
            }
            sql.push(")");
        }
        if let Some(from) = self.from {
            sql.push(" and procedure_month >= ").push_bind(from.to_string());
        }
        if let Some(to) = self.to {
            sql.push(" and procedure_month <= ").push_bind(to.to_string());
        }
        if let Some(segment) = self.segment {
            Self::push_segment(sql, segment, common.segment);
        }
        if let Some(words) = &self.words {
            sql.push(" and ").push(search_sqlite::matches(common.words));
            sql.push_bind(words.as_str().to_owned()).push(")");
        }
        if self.held {
            sql.push(" and cases.id in (select case_id from case_findings)");
        }
        if let Some(user) = self.recorded_by {
            sql.push(" and recorded_by = ").push_bind(user);
        }
    }

    fn push_segment(sql: &mut QueryBuilder<Sqlite>, segment: Segment, common: bool) {
        let [lesions, complications, end] = if common {
            [
                " and (exists (select 1 from lesions where case_id = cases.id and removed_at is null and segment = ",
                ") or exists (select 1 from complications where case_id = cases.id and removed_at is null and segment = ",
                "))",
            ]
        } else {
            [
                " and cases.id in (select case_id from lesions where removed_at is null and segment = ",
                " union select case_id from complications where removed_at is null and segment = ",
                ")",
            ]
        };
        sql.push(lesions).push_bind(segment.slug());
        sql.push(complications).push_bind(segment.slug()).push(end);
    }
}

/// The page of the list that starts after `after`.
///
/// It has the cases that `sight` sees and no other. It is found by value and not by counting rows off, so that the last page costs what the first
/// does.
///
/// # Errors
/// What the database says, or a value in it that cannot be read.
pub async fn page(
    conn: &mut SqliteConnection,
    (sight, filter): (Sight, &Filter),
    after: Option<&Cursor>,
) -> Result<Page, StoreError> {
    let (column, order, beyond) = match filter.sort {
        Sort::Newest => ("procedure_month", "desc", "<"),
        Sort::Oldest => ("procedure_month", "asc", ">"),
        Sort::Changed => ("updated_at", "desc", "<"),
    };
    let common = Common::of(conn, filter).await?;
    let mut sql = QueryBuilder::new(
        "select id, code_year, code_number, title, procedure_month, stage, updated_at,
                exists (select 1 from case_findings where case_findings.case_id = cases.id) as held
         from cases where ",
    );
    push_sight(&mut sql, sight);
    filter.push_conditions(&mut sql, common);
    if let Some(after) = after {
        sql.push(format!(" and ({column}, id) {beyond} ("));
        sql.push_bind(after.value.clone()).push(", ").push_bind(after.id).push(")");
    }
    sql.push(format!(" order by {column} {order}, id {order} limit "));
    sql.push_bind(i64::try_from(PAGE + 1).unwrap_or(i64::MAX));
    let mut found: Vec<ListedRow> = sql.build_query_as().fetch_all(&mut *conn).await?;
    let more = found.len() > PAGE;
    found.truncate(PAGE);
    let next = found.last().filter(|_| more).map(|row| Cursor {
        value: match filter.sort {
            Sort::Changed => row.updated_at.clone(),
            _ => row.procedure_month.clone(),
        },
        id: row.id,
    });
    let rows = fill(conn, filter, &found).await?;
    Ok(Page { rows, next, total: count(conn, (sight, filter)).await? })
}

async fn count(conn: &mut SqliteConnection, (sight, filter): (Sight, &Filter)) -> Result<i64, StoreError> {
    let mut sql = QueryBuilder::new("select count(*) from (select 1 from cases where ");
    push_sight(&mut sql, sight);
    filter.push_conditions(&mut sql, Common::default());
    sql.push(" limit ").push_bind(COUNT_AT_MOST + 1).push(")");
    let (total,): (i64,) = sql.build_query_as().fetch_one(conn).await?;
    Ok(total)
}

/// How many cases are in each stage, in the order of the stages, each counted up to
/// [`COUNT_AT_MOST`] and one more.
///
/// # Errors
/// What the database says.
pub async fn count_by_stage(conn: &mut SqliteConnection) -> Result<Vec<(Stage, i64)>, StoreError> {
    let mut sql = QueryBuilder::<Sqlite>::new("");
    for (index, stage) in Stage::ALL.iter().enumerate() {
        sql.push(if index == 0 { "select " } else { ", " });
        sql.push("(select count(*) from (select 1 from cases where stage = ").push_bind(stage.slug());
        sql.push(" limit ").push_bind(COUNT_AT_MOST + 1).push("))");
    }
    let row = sql.build().fetch_one(conn).await?;
    Stage::ALL.iter().enumerate().map(|(index, stage)| Ok((*stage, row.try_get(index)?))).collect()
}

/// Adds mechanisms and excerpts to the rows of a page, one statement each.
async fn fill(
    conn: &mut SqliteConnection,
    filter: &Filter,
    found: &[ListedRow],
) -> Result<Vec<Listed>, StoreError> {
    let ids: Vec<i64> = found.iter().map(|row| row.id).collect();
    let mechanisms = mechanisms_of(conn, &ids).await?;
    let excerpts = match &filter.words {
        Some(words) => search_sqlite::excerpts(conn, words, &ids).await?,
        None => Vec::new(),
    };
    found
        .iter()
        .map(|row| {
            let mut own: Vec<MechanismSlug> = Vec::new();
            for (_, slug) in mechanisms.iter().filter(|(id, _)| *id == row.id) {
                let slug = read("complications", row.id, slug)?;
                if !own.contains(&slug) {
                    own.push(slug);
                }
            }
            Ok(Listed {
                id: row.id,
                code: code_of("cases", row.code_year, row.code_number)?,
                title: row.title.clone(),
                month: read("cases", row.id, &row.procedure_month)?,
                stage: read("cases", row.id, &row.stage)?,
                held: row.held,
                mechanisms: own,
                excerpt: excerpts.iter().find(|(id, _)| *id == row.id).map(|(_, text)| text.clone()),
            })
        })
        .collect()
}

async fn mechanisms_of(conn: &mut SqliteConnection, ids: &[i64]) -> Result<Vec<(i64, String)>, StoreError> {
    if ids.is_empty() {
        return Ok(Vec::new());
    }
    let mut sql = QueryBuilder::new(
        "select case_id, mechanism from complications where removed_at is null and case_id in (",
    );
    let mut list = sql.separated(", ");
    for id in ids {
        list.push_bind(*id);
    }
    sql.push(") order by case_id, consequence_of is not null, id");
    Ok(sql.build_query_as().fetch_all(conn).await?)
}
