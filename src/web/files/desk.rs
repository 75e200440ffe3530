//! Where files are made: away from the pages, few at a time, and how large each was.

use std::collections::HashMap;
use std::num::NonZero;
use std::sync::{Arc, Mutex, PoisonError, RwLock};

use jiff::Timestamp;
use tokio::sync::{Semaphore, SemaphorePermit};

use crate::export::slides::Base;
use crate::web::error::Error;

/// How many sizes are remembered.
const REMEMBERED: usize = 2_000;

/// A file that was made.
#[derive(Debug, Clone, Copy)]
pub(super) struct Made {
    pub(super) bytes: usize,
    pub(super) at: Timestamp,
}

/// Where files are made.
#[derive(Debug)]
pub(in crate::web) struct Desk {
    seats: Semaphore,
    /// Whose turn it is to put together what a file is made from.
    turns: Semaphore,
    made: Mutex<HashMap<(i64, &'static str), Made>>,
    /// The department's own slides, when it has some.
    template: RwLock<Option<Arc<Base>>>,
}

impl Default for Desk {
    /// One seat less than there are cores, and at least one: whoever reads a page does not wait for who
    /// takes a file.
    fn default() -> Self {
        let cores = std::thread::available_parallelism().map_or(1, NonZero::get);
        Self {
            seats: Semaphore::new(cores.saturating_sub(1).max(1)),
            turns: Semaphore::new(1),
            made: Mutex::default(),
            template: RwLock::default(),
        }
    }
}

impl Desk {
    /// Does some work on a thread of its own, once there is a seat. Who has gone meanwhile leaves the queue.
    pub(in crate::web) async fn work<T: Send + 'static>(
        &self,
        work: impl FnOnce() -> T + Send + 'static,
    ) -> Result<T, Error> {
        let _seat = self.seats.acquire().await.map_err(anyhow::Error::from)?;
        Ok(tokio::task::spawn_blocking(work).await.map_err(anyhow::Error::from)?)
    }

    /// A turn to put together what a file is made from: reading a case and drawing its figures keeps a thread of
    /// the server busy, and many who ask at once would keep all of them from the pages.
    pub(super) async fn turn(&self) -> Result<SemaphorePermit<'_>, Error> {
        Ok(self.turns.acquire().await.map_err(anyhow::Error::from)?)
    }

    /// The department's own slides as they are now.
    pub(super) fn template(&self) -> Option<Arc<Base>> {
        self.template.read().unwrap_or_else(PoisonError::into_inner).clone()
    }

    /// Builds on these slides from now on, or on ours. What was remembered of sizes no longer holds.
    pub(in crate::web) fn build_on(&self, template: Option<Base>) {
        *self.template.write().unwrap_or_else(PoisonError::into_inner) = template.map(Arc::new);
        self.made.lock().unwrap_or_else(PoisonError::into_inner).clear();
    }

    /// Remembers how large a file of a case was.
    pub(super) fn remember(&self, case: i64, format: &'static str, bytes: usize, at: Timestamp) {
        let mut made = self.made.lock().unwrap_or_else(PoisonError::into_inner);
        if made.len() >= REMEMBERED && !made.contains_key(&(case, format)) {
            let oldest = made.iter().min_by_key(|(_, made)| made.at).map(|(key, _)| *key);
            oldest.map(|key| made.remove(&key));
        }
        made.insert((case, format), Made { bytes, at });
    }

    /// How large a file of a case was when it was last made, since the server started.
    pub(super) fn last(&self, case: i64, format: &str) -> Option<Made> {
        let made = self.made.lock().unwrap_or_else(PoisonError::into_inner);
        made.iter().find(|((of, slug), _)| *of == case && *slug == format).map(|(_, made)| *made)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_oldest_is_forgotten_first() {
        let desk = Desk::default();
        let at = |second: i64| Timestamp::from_second(second).unwrap();
        for case in 0..=i64::try_from(REMEMBERED).unwrap() {
            desk.remember(case, "slides", 10, at(case));
        }
        assert!(desk.last(0, "slides").is_none());
        assert_eq!(desk.last(1, "slides").map(|made| made.bytes), Some(10));
        desk.remember(1, "slides", 20, at(9_000));
        assert_eq!(desk.last(1, "slides").map(|made| made.bytes), Some(20));
        assert!(desk.last(1, "word").is_none());
    }

    #[tokio::test]
    async fn one_at_a_time_puts_together_what_a_file_is_made_from() {
        let desk = Desk::default();
        let turn = desk.turn().await.unwrap();
        assert!(desk.turns.try_acquire().is_err());
        drop(turn);
        assert!(desk.turn().await.is_ok());
    }

    #[tokio::test]
    async fn work_that_ends_gives_its_seat_back() {
        let desk = Desk { seats: Semaphore::new(1), ..Desk::default() };
        for number in 0..3 {
            assert_eq!(desk.work(move || number).await.unwrap(), number);
        }
    }
}
