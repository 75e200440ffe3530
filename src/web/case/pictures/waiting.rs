//! Pictures that were brought and are not saved: in memory alone, for a while, for who brought them.

use std::collections::BTreeMap;
use std::sync::atomic::{AtomicU64, Ordering};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};
use std::time::Duration;

use jiff::{SignedDuration, Timestamp};
use tokio::sync::{Semaphore, SemaphorePermit};

use crate::accounts::Secret;
use crate::case::PictureDigest;
use crate::picture::{Beside, Rectangle, Source, Zone};
use crate::web::error::Error;

/// For how long a picture waits, in minutes.
pub(super) const MINUTES: u32 = 30;
/// How many of one person wait; one more lets the oldest go.
const OF_ONE: usize = 2;
/// How many bytes wait in all.
const BYTES: usize = 192 * 1024 * 1024;
/// How many files are received and read at a time: each may take twice its size for a moment.
const AT_A_TIME: usize = 2;

/// What was burnt, as it would be kept, and looked at before it is.
#[derive(Debug, Clone)]
pub(super) struct Burnt {
    pub(super) frame: u32,
    pub(super) rectangles: Vec<Rectangle>,
    pub(super) png: Arc<[u8]>,
    pub(super) digest: PictureDigest,
    pub(super) width: u32,
    pub(super) height: u32,
    /// What still looks like writing.
    pub(super) zones: Vec<Zone>,
}

/// A picture that waits.
#[derive(Debug)]
pub(super) struct Brought {
    pub(super) token: String,
    pub(super) user: i64,
    pub(super) case: i64,
    /// The picture of the case that it takes the place of.
    pub(super) replaces: Option<i64>,
    pub(super) source: Source,
    pub(super) beside: Beside,
    since: Timestamp,
    /// Which it was of all that were ever brought: their order, whatever the clock did meanwhile.
    turn: u64,
    burnt: Mutex<Option<Burnt>>,
}

impl Brought {
    /// What was burnt last.
    pub(super) fn burnt(&self) -> Option<Burnt> {
        held(&self.burnt).clone()
    }

    pub(super) fn set_burnt(&self, burnt: Burnt) {
        *held(&self.burnt) = Some(burnt);
    }
}

/// What is brought.
pub(super) struct New {
    pub(super) user: i64,
    pub(super) case: i64,
    pub(super) replaces: Option<i64>,
    pub(super) source: Source,
    pub(super) beside: Beside,
}

/// All pictures that wait.
#[derive(Debug)]
pub(in crate::web) struct Waiting {
    brought: Mutex<BTreeMap<String, Arc<Brought>>>,
    turns: AtomicU64,
    readers: Semaphore,
}

impl Default for Waiting {
    fn default() -> Self {
        Self { brought: Mutex::default(), turns: AtomicU64::new(0), readers: Semaphore::new(AT_A_TIME) }
    }
}

fn held<T>(lock: &Mutex<T>) -> MutexGuard<'_, T> {
    // What stands behind the lock is set in one step, and whole.
    lock.lock().unwrap_or_else(PoisonError::into_inner)
}

impl Waiting {
    /// A turn to receive and read a file.
    pub(super) async fn turn(&self) -> Result<SemaphorePermit<'_>, Error> {
        self.readers.acquire().await.map_err(|error| Error::Internal(error.into()))
    }

    /// Lets a picture wait. Gives the name under which it is found.
    ///
    /// # Errors
    /// When too many wait.
    pub(super) fn add(self: &Arc<Self>, new: New, now: Timestamp) -> Result<String, Error> {
        let New { user, case, replaces, source, beside } = new;
        let token = Secret::generate().map_err(|error| Error::Internal(error.into()))?.expose().to_owned();
        let mut brought = held(&self.brought);
        forget_old(&mut brought, now);
        loop {
            let own: Vec<&Arc<Brought>> = brought.values().filter(|other| other.user == user).collect();
            if own.len() < OF_ONE {
                break;
            }
            let Some(oldest) = own.iter().min_by_key(|other| other.turn).map(|other| other.token.clone())
            else {
                break;
            };
            brought.remove(&oldest);
        }
        let waiting: usize = brought.values().map(|other| other.source.bytes()).sum();
        if waiting + source.bytes() > BYTES {
            return Err(Error::Conflict(format!(
                "Too many pictures wait to be saved at the moment. Send it again in some minutes; each waits for at most {MINUTES}."
            )));
        }
        let entry = Brought {
            token: token.clone(),
            user,
            case,
            replaces,
            source,
            beside,
            since: now,
            turn: self.turns.fetch_add(1, Ordering::Relaxed),
            burnt: Mutex::new(None),
        };
        brought.insert(token.clone(), Arc::new(entry));
        drop(brought);
        // Also where nobody asks for anything any more.
        let (all, own) = (Arc::downgrade(self), token.clone());
        tokio::spawn(async move {
            tokio::time::sleep(Duration::from_secs(u64::from(MINUTES) * 60)).await;
            if let Some(all) = all.upgrade() {
                all.forget(&own);
            }
        });
        Ok(token)
    }

    /// The picture of a name, for who brought it and for that case alone.
    pub(super) fn find(&self, token: &str, (user, case): (i64, i64), now: Timestamp) -> Option<Arc<Brought>> {
        let mut brought = held(&self.brought);
        forget_old(&mut brought, now);
        brought.get(token).filter(|entry| entry.user == user && entry.case == case).cloned()
    }

    /// Lets a picture go.
    pub(super) fn forget(&self, token: &str) {
        held(&self.brought).remove(token);
    }
}

fn forget_old(brought: &mut BTreeMap<String, Arc<Brought>>, now: Timestamp) {
    let limit = SignedDuration::from_mins(MINUTES.into());
    brought.retain(|_, entry| now.duration_since(entry.since) < limit);
}
