//! The counts behind the throttle, and the bound on how many there are.

use std::collections::HashMap;

use jiff::Timestamp;

/// A wait that doubles with each try after the free ones.
pub(super) struct Doubles {
    /// Tries without a wait.
    pub(super) free: u32,
    /// The first wait in seconds.
    pub(super) first: i64,
    /// The longest in seconds.
    pub(super) longest: i64,
    /// After how many quiet seconds all tries are forgotten.
    pub(super) forgotten: i64,
}

/// Tries that come back one by one.
pub(super) struct Refills {
    /// How many there are at most.
    pub(super) most: u32,
    /// In how many seconds each comes back.
    pub(super) each: i64,
}

/// What is counted from some moment on.
pub(super) trait Counted {
    fn new(now: Timestamp) -> Self;
    /// The moment that says how long ago it was last of use.
    fn moment(&self) -> Timestamp;
}

impl Counted for Timestamp {
    fn new(now: Timestamp) -> Self {
        now
    }
    fn moment(&self) -> Timestamp {
        *self
    }
}

/// Seconds since a moment. A moment that lies ahead of the clock becomes the present one.
fn since(moment: &mut Timestamp, now: Timestamp) -> i64 {
    *moment = (*moment).min(now);
    now.as_second() - moment.as_second()
}

#[derive(Debug)]
pub(super) struct Doubling {
    tries: u32,
    last: Timestamp,
}

impl Counted for Doubling {
    fn new(now: Timestamp) -> Self {
        Self { tries: 0, last: now }
    }
    fn moment(&self) -> Timestamp {
        self.last
    }
}

impl Doubling {
    pub(super) fn wait(&mut self, rule: &Doubles, now: Timestamp) -> i64 {
        let quiet = since(&mut self.last, now);
        if quiet >= rule.forgotten {
            self.tries = 0;
        }
        let Some(doubled) = self.tries.checked_sub(rule.free) else {
            return 0;
        };
        let wait = rule.first.saturating_mul(1 << doubled.min(30)).min(rule.longest);
        (wait - quiet).max(0)
    }

    pub(super) fn count(&mut self, _: &Doubles, now: Timestamp) {
        self.tries = self.tries.saturating_add(1);
        self.last = now;
    }
}

#[derive(Debug)]
pub(super) struct Refilling {
    used: u32,
    /// Since when the next one has been on its way back.
    since: Timestamp,
}

impl Counted for Refilling {
    fn new(now: Timestamp) -> Self {
        Self { used: 0, since: now }
    }
    fn moment(&self) -> Timestamp {
        self.since
    }
}

impl Refilling {
    fn refill(&mut self, rule: &Refills, now: Timestamp) -> i64 {
        let passed = since(&mut self.since, now);
        let back = u32::try_from(passed / rule.each).unwrap_or(u32::MAX);
        self.used = self.used.saturating_sub(back);
        if self.used == 0 {
            self.since = now;
            return 0;
        }
        let rest = passed % rule.each;
        self.since = Timestamp::from_second(now.as_second() - rest).unwrap_or(now);
        rest
    }

    pub(super) fn wait(&mut self, rule: &Refills, now: Timestamp) -> i64 {
        let rest = self.refill(rule, now);
        if self.used < rule.most { 0 } else { rule.each - rest }
    }

    pub(super) fn count(&mut self, rule: &Refills, now: Timestamp) {
        self.refill(rule, now);
        self.used = self.used.saturating_add(1);
    }

    pub(super) fn give_back(&mut self) {
        self.used = self.used.saturating_sub(1);
    }
}

/// The most entries of one kind: some hundred kilobytes.
pub(super) const MOST_ENTRIES: usize = 10_000;

/// Entries by key, never more than [`MOST_ENTRIES`]: a new one takes the place of the oldest.
#[derive(Debug)]
pub(super) struct Bounded<T>(HashMap<u64, T>);

impl<T> Default for Bounded<T> {
    fn default() -> Self {
        Self(HashMap::new())
    }
}

impl<T: Counted> Bounded<T> {
    pub(super) fn of(&mut self, key: u64, now: Timestamp) -> &mut T {
        self.make_room(key);
        self.0.entry(key).or_insert_with(|| T::new(now))
    }

    pub(super) fn set(&mut self, key: u64, value: T) {
        self.make_room(key);
        self.0.insert(key, value);
    }

    pub(super) fn contains(&self, key: u64) -> bool {
        self.0.contains_key(&key)
    }

    pub(super) fn remove(&mut self, key: u64) {
        self.0.remove(&key);
    }

    pub(super) fn len(&self) -> usize {
        self.0.len()
    }

    fn make_room(&mut self, key: u64) {
        if self.0.len() < MOST_ENTRIES || self.0.contains_key(&key) {
            return;
        }
        if let Some(oldest) = self.0.iter().min_by_key(|(_, value)| value.moment()).map(|(key, _)| *key) {
            self.0.remove(&oldest);
        }
    }
}
