//! What every request shares.

use std::path::PathBuf;
use std::sync::{Arc, Mutex, MutexGuard, PoisonError, RwLock};

use jiff::Timestamp;
use jiff::tz::TimeZone;

use sqlx::SqliteConnection;

use super::case::Waiting;
use super::cookie::Transport;
use super::files::Desk;
use super::health::Readiness;
use super::hosts::Hosts;
use super::layers::Rate;
use super::usual_rates::UsualRates;
use super::votes::VotesAddress;
use crate::accounts::Throttle;
use crate::backup::desk::Desk as BackupDesk;
use crate::case::{Day, Month, store as cases};
use crate::database::{Database, StoreError};
use crate::department::{self, Department, template_store};
use crate::export::slides::{Base, template};
use crate::vocabulary::{Vocabulary, store};

/// How the server runs.
#[derive(Debug, Clone, Default)]
pub struct Settings {
    /// Whether the data is the invented department of the demo, which every page then says.
    pub demo: bool,
    /// Where phones vote, when the server was opened to them; else only hands are counted.
    pub votes_address: Option<VotesAddress>,
    /// The names that the server is known by.
    pub hosts: Hosts,
    /// The names that the door for phones is known by.
    pub phone_hosts: Hosts,
    /// How phones reach their door.
    pub phone_transport: Transport,
    /// How people reach it.
    pub transport: Transport,
    /// How many requests one address may send.
    pub rate: Rate,
    /// The folder that must be writable for the server to be ready; none is not looked at.
    pub data_folder: Option<PathBuf>,
    /// Whether requests come through a proxy that says in `X-Forwarded-For` where from. Else that header is
    /// anybody's word, and is not looked at.
    pub trust_proxy: bool,
    /// Where backups are kept; none where nothing is to be kept.
    pub backups: Option<BackupDesk>,
}

/// The clock that pages ask. It can be set apart from the machine's, so that nobody has to wait to see what
/// an hour, or a clock that jumps, does.
#[derive(Debug, Clone, Default)]
pub struct Clock {
    hands: Arc<Mutex<Hands>>,
}

#[derive(Debug, Clone, Copy, Default)]
struct Hands {
    /// Seconds ahead of the machine's clock.
    ahead: i64,
    /// Where it stands still; none while it runs.
    still: Option<Timestamp>,
}

impl Clock {
    fn hands(&self) -> MutexGuard<'_, Hands> {
        self.hands.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// The present moment.
    #[must_use]
    pub fn now(&self) -> Timestamp {
        let hands = *self.hands();
        let now = hands.still.unwrap_or_else(Timestamp::now);
        now.checked_add(jiff::SignedDuration::from_secs(hands.ahead)).unwrap_or(now)
    }

    /// Sets it ahead of the machine's clock, or of where it stands still, by so many seconds; behind when
    /// they are negative.
    pub fn set_ahead(&self, seconds: i64) {
        self.hands().ahead = seconds;
    }

    /// Lets it stand still.
    pub fn stop(&self) {
        self.hands().still = Some(Timestamp::now());
    }
}

/// The shared state of the server.
#[derive(Debug, Clone)]
pub struct App {
    /// The open database.
    pub database: Database,
    /// How the server runs.
    pub settings: Arc<Settings>,
    /// The clock that pages ask.
    pub clock: Clock,
    /// What was tried lately at the doors.
    throttle: Arc<Mutex<Throttle>>,
    vocabulary: Arc<RwLock<Arc<Vocabulary>>>,
    department: Arc<RwLock<Arc<Department>>>,
    /// The rates of the usual period, as the overview shows them.
    pub(super) usual_rates: Arc<UsualRates>,
    /// Votes, and the close of a poll, are written one after the other in the order in which they came:
    /// a room full of phones then takes one connection, and leaves the others to the pages.
    pub(super) vote_turn: Arc<tokio::sync::Mutex<()>>,
    /// Where files are made.
    pub(super) files: Arc<Desk>,
    /// Pictures that were brought and are not saved.
    pub(super) pictures: Arc<Waiting>,
    /// Whether the server was ready when it was last looked.
    pub(super) readiness: Arc<Readiness>,
}

impl App {
    /// The state over an open database; puts the shipped vocabularies into it.
    ///
    /// # Errors
    /// What the database says.
    pub async fn new(database: Database, settings: Settings) -> Result<Self, StoreError> {
        let mut tx = database.write().await?;
        store::seed(&mut tx).await?;
        cases::keep_up(&mut tx).await?;
        cases::forget_pixels(&mut tx, Timestamp::now()).await?;
        let vocabulary = store::load(&mut tx).await?;
        let department = department::store::load(&mut tx, &vocabulary).await?;
        let template = template_store::load(&mut tx).await?;
        tx.commit().await?;
        let files = Desk::default();
        files.build_on(template.and_then(|kept| read_template(&kept.package)));
        Ok(Self {
            database,
            settings: Arc::new(settings),
            clock: Clock::default(),
            throttle: Arc::default(),
            vocabulary: Arc::new(RwLock::new(Arc::new(vocabulary))),
            department: Arc::new(RwLock::new(Arc::new(department))),
            usual_rates: Arc::default(),
            vote_turn: Arc::default(),
            files: Arc::new(files),
            pictures: Arc::default(),
            readiness: Arc::default(),
        })
    }

    /// The same state behind the door for phones, which is known by names of its own.
    pub(super) fn for_phones(mut self) -> Self {
        let settings = Arc::make_mut(&mut self.settings);
        settings.hosts = settings.phone_hosts.clone();
        settings.transport = settings.phone_transport;
        self
    }

    /// The vocabularies as they are now.
    #[must_use]
    pub fn vocabulary(&self) -> Arc<Vocabulary> {
        held_now(&self.vocabulary)
    }

    /// Reads the vocabularies again after a change.
    ///
    /// # Errors
    /// What the database says.
    pub async fn reload_vocabulary(&self) -> Result<(), StoreError> {
        let fresh = Arc::new(store::load(&mut *self.database.read().await?).await?);
        swap(&self.vocabulary, fresh);
        // A list of prompts may name a leaf that is new.
        self.reload_department().await
    }

    /// The department's settings as they are now.
    #[must_use]
    pub fn department(&self) -> Arc<Department> {
        held_now(&self.department)
    }

    /// Reads the department's settings again after a change.
    ///
    /// # Errors
    /// What the database says.
    pub async fn reload_department(&self) -> Result<(), StoreError> {
        let fresh = department::store::load(&mut *self.database.read().await?, &self.vocabulary()).await?;
        swap(&self.department, Arc::new(fresh));
        Ok(())
    }

    /// Remembers, in the transaction of a save, the units that differ from the usual ones. Says
    /// whether there are any; then the settings are read again once it is done.
    ///
    /// # Errors
    /// What the database says.
    pub async fn remember_units(
        &self,
        conn: &mut SqliteConnection,
        used: Vec<(&'static str, String)>,
    ) -> Result<bool, StoreError> {
        let department = self.department();
        let new: Vec<_> =
            used.into_iter().filter(|(quantity, unit)| !department.units.holds(quantity, unit)).collect();
        department::store::remember_units(conn, &new).await?;
        Ok(!new.is_empty())
    }

    /// The present moment: the one place where pages ask the clock.
    #[must_use]
    pub fn now(&self) -> Timestamp {
        self.clock.now()
    }

    /// What was tried lately at the doors.
    pub(super) fn throttle(&self) -> MutexGuard<'_, Throttle> {
        // A panic in between leaves a count off by one at most.
        self.throttle.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// Today's date where the server stands.
    #[must_use]
    pub fn today(&self) -> Day {
        self.now().to_zoned(TimeZone::system()).date().into()
    }

    /// This month where the server stands.
    #[must_use]
    pub fn this_month(&self) -> Month {
        let date = self.today().date();
        Month::new(date.year().into(), date.month().into())
            .unwrap_or_else(|_| unreachable!("a clock between 1990 and 2100"))
    }

    /// The time of day where the server stands, `14:02`.
    #[must_use]
    pub fn clock(&self) -> String {
        self.now().to_zoned(TimeZone::system()).strftime("%H:%M").to_string()
    }
}

/// The department's own slides as they are kept; ours are taken where they cannot be read.
fn read_template(package: &[u8]) -> Option<Base> {
    match template::clean(package) {
        Ok(cleaned) => Some(cleaned.base),
        Err(refused) => {
            tracing::warn!(%refused, "the department's slides cannot be read: ours are used");
            None
        }
    }
}

/// What stands behind a lock now.
fn held_now<T>(lock: &RwLock<Arc<T>>) -> Arc<T> {
    match lock.read() {
        Ok(held) => Arc::clone(&held),
        // A writer panicked while it swapped one pointer for another: both are whole.
        Err(poisoned) => Arc::clone(&poisoned.into_inner()),
    }
}

fn swap<T>(lock: &RwLock<Arc<T>>, fresh: Arc<T>) {
    match lock.write() {
        Ok(mut held) => *held = fresh,
        Err(poisoned) => *poisoned.into_inner() = fresh,
    }
}
