//! The rates of the periods that were asked for last, kept from one visit to the next until something
//! they are made of changes.

use std::sync::{Arc, Mutex, PoisonError};

use sqlx::SqliteConnection;

use crate::database::StoreError;
use crate::rates::{Period, RatesTable, store};
use crate::vocabulary::Vocabulary;

/// Rates that were worked out, and from what.
#[derive(Debug, Clone)]
struct Held {
    version: i64,
    period: Period,
    vocabulary: Arc<Vocabulary>,
    table: Arc<RatesTable>,
}

/// How many periods are held: that of the overview, and those that a few people look at.
const PERIODS: usize = 4;

/// The rates of the periods that were asked for last, the latest at the end.
#[derive(Debug, Default)]
pub(super) struct UsualRates(Mutex<Vec<Held>>);

impl UsualRates {
    /// The rates of a period: those that are held, when they are of this period, this vocabulary
    /// and this state of the record; worked out anew otherwise.
    ///
    /// # Errors
    /// What the database says, or a value in it that cannot be read.
    pub(super) async fn table(
        &self,
        conn: &mut SqliteConnection,
        vocabulary: &Arc<Vocabulary>,
        period: Period,
    ) -> Result<Arc<RatesTable>, StoreError> {
        // Read before the table: what another saves in between makes this version old, and the
        // next visit works the rates out again.
        let version = store::version(conn).await?;
        if let Some(table) = self.held(version, period, vocabulary) {
            return Ok(table);
        }
        let table = Arc::new(store::table(conn, vocabulary, period).await?);
        let held = Held { version, period, vocabulary: Arc::clone(vocabulary), table: Arc::clone(&table) };
        let mut all = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        all.retain(|other| other.version == version && other.period != period);
        if all.len() == PERIODS {
            all.remove(0);
        }
        all.push(held);
        drop(all);
        Ok(table)
    }

    fn held(&self, version: i64, period: Period, vocabulary: &Arc<Vocabulary>) -> Option<Arc<RatesTable>> {
        let held = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        held.iter()
            .find(|held| {
                held.version == version && held.period == period && Arc::ptr_eq(&held.vocabulary, vocabulary)
            })
            .map(|held| Arc::clone(&held.table))
    }
}
