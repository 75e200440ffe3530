//! What the overview reads from the record: only what the role is shown, and the same number of
//! statements however many cases there are.

use sqlx::SqliteConnection;

use crate::accounts::{Role, User};
use crate::case::list::{self, Filter, Page, Sort};
use crate::case::store::UnsignedLesson;
use crate::case::{Action, CaseCode, Day, Month, Row, Sight, Stage, store as cases};
use crate::conference::{Conference, store as conferences};
use crate::database::StoreError;
use crate::rates::{Movements, Period, RatesTable, moved, store as rates};
use crate::review::stage::{NextStep, next_step};
use crate::vocabulary::{StratumSlug, Vocabulary};
use crate::web::state::App;

/// How many open actions are read; beyond it the overview says "more than".
pub(super) const ACTIONS_AT_MOST: usize = 100;
/// How many unsigned lessons are read.
pub(super) const LESSONS_AT_MOST: usize = 20;

/// Months in a row whose procedures at risk lack the same strata.
pub(super) struct NotCounted {
    pub(super) first: Month,
    pub(super) last: Month,
    /// The strata that are missing, in words; none when all are.
    pub(super) strata: Option<Vec<String>>,
}

impl NotCounted {
    /// How many months they are.
    pub(super) fn months(&self) -> usize {
        usize::try_from(self.first.until(self.last) + 1).unwrap_or(0)
    }

    /// The months, in words.
    pub(super) fn in_words(&self) -> String {
        Period::new(self.first, self.last).map_or_else(
            |_| format!("{} to {}", self.first.in_words(), self.last.in_words()),
            |months| months.to_string(),
        )
    }
}

/// What was read.
pub(super) struct Gathered {
    /// Which cases the viewer sees.
    pub(super) sight: Sight,
    pub(super) today: Day,
    /// Whether any case is recorded at all.
    pub(super) any_case: bool,
    /// Whether procedures at risk were ever counted.
    pub(super) ever_counted: bool,
    pub(super) movements: Movements,
    pub(super) conference: Option<Conference>,
    pub(super) actions: Vec<(CaseCode, Row<Action>)>,
    pub(super) mine: Option<Page>,
    /// The next step of the first of `mine`, in their order.
    pub(super) step: Option<(CaseCode, NextStep)>,
    pub(super) lessons: Vec<UnsignedLesson>,
    pub(super) ready: Option<Page>,
    pub(super) presented: Option<Page>,
    pub(super) not_counted: Vec<NotCounted>,
    pub(super) stages: Vec<(Stage, i64)>,
}

impl Gathered {
    pub(super) async fn read(
        conn: &mut SqliteConnection,
        app: &App,
        user: &User,
    ) -> Result<Self, StoreError> {
        let (vocabulary, today, month) = (app.vocabulary(), app.today(), app.this_month());
        let counted = rates::latest_counted_month(conn, month).await?;
        let period = Period::to_last_counted(counted, month);
        let table = app.usual_rates.table(conn, &vocabulary, period).await?;
        let mut gathered = Self {
            sight: Sight::of(user),
            today,
            any_case: table.recorded_since.is_some(),
            ever_counted: counted.is_some(),
            movements: moved(&table),
            conference: conferences::next(conn, today).await?,
            actions: Vec::new(),
            mine: None,
            step: None,
            lessons: Vec::new(),
            ready: None,
            presented: None,
            not_counted: Vec::new(),
            stages: Vec::new(),
        };
        if user.role.writes() {
            gathered.actions = cases::list_open(conn, Sight::of(user), at_most(ACTIONS_AT_MOST)).await?;
        }
        match user.role {
            Role::Fellow => gathered.read_mine(conn, user.id).await?,
            Role::Attending => {
                gathered.lessons = cases::list_unsigned(conn, at_most(LESSONS_AT_MOST)).await?;
                gathered.ready =
                    Some(cases_in(conn, Sight::of(user), (&[Stage::Ready], Sort::Changed)).await?);
            }
            Role::QualityLead => {
                gathered.not_counted = not_counted(conn, &vocabulary, &table, month).await?;
                gathered.stages = list::count_by_stage(conn).await?;
            }
            Role::Reader => {
                gathered.presented = Some(
                    cases_in(conn, Sight::of(user), (&[Stage::Presented, Stage::Closed], Sort::Newest))
                        .await?,
                );
            }
        }
        Ok(gathered)
    }

    /// Reads the fellow's cases that are not ready yet, and the first of them whole.
    async fn read_mine(&mut self, conn: &mut SqliteConnection, user_id: i64) -> Result<(), StoreError> {
        let filter = Filter {
            stages: vec![Stage::Recorded, Stage::InPreparation],
            recorded_by: Some(user_id),
            sort: Sort::Changed,
            ..Filter::default()
        };
        let page = list::page(conn, (Sight::OwnAndPresented(user_id), &filter), None).await?;
        if let Some(row) = page.rows.first()
            && let Some(case) = cases::find(conn, row.code).await?
        {
            self.step = Some((row.code, next_step(&case, false)));
        }
        self.mine = Some(page);
        Ok(())
    }
}

/// One more than is shown, so that "more" is known.
fn at_most(number: usize) -> i64 {
    i64::try_from(number + 1).unwrap_or(i64::MAX)
}

async fn cases_in(
    conn: &mut SqliteConnection,
    sight: Sight,
    (stages, sort): (&[Stage], Sort),
) -> Result<Page, StoreError> {
    let filter = Filter { stages: stages.to_vec(), sort, ..Filter::default() };
    list::page(conn, (sight, &filter), None).await
}

/// The months that are over, since the usual period began and cases are recorded, in which a
/// stratum was not counted.
async fn not_counted(
    conn: &mut SqliteConnection,
    vocabulary: &Vocabulary,
    table: &RatesTable,
    this_month: Month,
) -> Result<Vec<NotCounted>, StoreError> {
    let Some(since) = table.recorded_since else {
        return Ok(Vec::new());
    };
    let (from, to) = (table.period.from().max(since), this_month.plus(-1));
    let counted = rates::at_risk(conn, from, to).await?;
    let mut found: Vec<NotCounted> = Vec::new();
    for month in (0..=from.until(to)).map(|index| from.plus(index)) {
        let has = |stratum: &StratumSlug| {
            counted.iter().any(|cell| cell.month == month && cell.stratum == *stratum)
        };
        let missing: Vec<String> = vocabulary
            .strata
            .iter()
            .filter(|stratum| !has(&stratum.slug))
            .map(|stratum| stratum.label.clone())
            .collect();
        if missing.is_empty() {
            continue;
        }
        let strata = (missing.len() < vocabulary.strata.len()).then_some(missing);
        match found.last_mut() {
            Some(before) if before.last.plus(1) == month && before.strata == strata => before.last = month,
            _ => found.push(NotCounted { first: month, last: month, strata }),
        }
    }
    Ok(found)
}
