//! The server is killed while people save: what was acknowledged is there, and the next start needs
//! nobody's hand.
//!
//! `RELOOK_KILLS=100 cargo test --test relook trust::killed` kills it a hundred times; without it, five
//! times. `RELOOK_SEED` sets the moments.

use std::collections::BTreeSet;
use std::sync::Mutex;
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::{Duration, Instant};

use relook::accounts::Role;

use super::asked;
use super::server::{Server, get, person, post, record};
use crate::cli::House;

const WRITERS: usize = 4;

pub(crate) fn from_environment(name: &str, otherwise: u64) -> u64 {
    std::env::var(name).map_or(otherwise, |text| text.parse().expect("a number"))
}

/// Moments that nobody chose, the same for the same seed.
pub(crate) struct Chance(pub(crate) u64);

impl Chance {
    pub(crate) fn below(&mut self, limit: u64) -> u64 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 33) % limit
    }
}

/// What the server has acknowledged, in the words that were saved.
#[derive(Default)]
struct Acknowledged {
    texts: Mutex<BTreeSet<String>>,
    /// Answers that were neither a success nor a broken connection.
    other: Mutex<Vec<String>>,
}

/// One person's saves until the server goes away: a case, events in it, its narrative.
fn save_on(address: &str, cookie: &str, name: &str, alive: &AtomicBool, done: &Acknowledged) {
    let saved = |text: &str| done.texts.lock().unwrap().insert(text.to_owned());
    let mut number = 0;
    while alive.load(Ordering::Relaxed) {
        number += 1;
        let situation = format!("Case {number} of {name}.");
        let path = match record(address, cookie, &situation) {
            Ok(path) => path,
            Err(None) => return,
            Err(Some(reply)) => return done.other.lock().unwrap().push(format!("{reply:?}")),
        };
        saved(&situation);
        for minute in 1..=3 {
            let text = format!("Event {minute} in case {number} of {name}");
            let at = format!("+{minute}:00");
            let fields = [("at", at.as_str()), ("kind", "finding"), ("text", text.as_str())];
            match post(address, cookie, &format!("{path}/events"), &fields) {
                Some(reply) if reply.status == 303 => saved(&text),
                Some(reply) => return done.other.lock().unwrap().push(format!("{reply:?}")),
                None => return,
            };
        }
        let narrative = format!("Narrative of case {number} of {name}");
        let Some(form) = get(address, cookie, &format!("{path}/narrative/edit")) else {
            return;
        };
        let fields = [("base", form.hidden("base")), ("narrative", narrative.clone())];
        let fields: Vec<(&str, &str)> = fields.iter().map(|(name, value)| (*name, value.as_str())).collect();
        match post(address, cookie, &format!("{path}/narrative"), &fields) {
            Some(reply) if reply.status == 303 => saved(&narrative),
            Some(reply) => return done.other.lock().unwrap().push(format!("{reply:?}")),
            None => return,
        };
    }
}

#[test]
fn what_was_acknowledged_outlives_a_killed_server() {
    let kills = from_environment("RELOOK_KILLS", 5);
    let mut chance = Chance(from_environment("RELOOK_SEED", 20_261_129));
    let house = House::new();
    let file = house.path("data/relook.sqlite");
    let cookies: Vec<String> = (0..WRITERS)
        .map(|writer| person(&house.path("data"), &format!("Fellow {writer}"), Role::Fellow))
        .collect();
    let done = Acknowledged::default();
    let mut slowest_start = Duration::ZERO;
    for kill in 0..kills {
        let started = Instant::now();
        let server = Server::start(&house);
        slowest_start = slowest_start.max(started.elapsed());
        assert_eq!(get(server.address(), &cookies[0], "/").expect("an answer").status, 200);
        let (address, log) = (server.address().to_owned(), server.log());
        assert!(!log.contains("panicked"), "{log}");
        let alive = AtomicBool::new(true);
        std::thread::scope(|scope| {
            for (writer, cookie) in cookies.iter().enumerate() {
                let name = format!("writer {writer} before kill {kill}");
                let (address, alive, done) = (&address, &alive, &done);
                scope.spawn(move || save_on(address, cookie, &name, alive, done));
            }
            std::thread::sleep(Duration::from_millis(100 + chance.below(500)));
            server.kill();
            alive.store(false, Ordering::Relaxed);
        });
        // The next start is the server's own; a second look from outside sees what it sees.
        if kill % 10 == 9 || kill + 1 == kills {
            let server = Server::start(&house);
            all_there(&file, &done);
            server.stop();
        }
    }
    let saved = done.texts.lock().unwrap().len();
    assert!(saved >= usize::try_from(kills).unwrap() * 3, "only {saved} saves in {kills} rounds");
    // The record's own checks: the file, the references, what is kept beside it.
    house.run(&["check", "--database"]).fine();
    println!("{kills} kills, {saved} acknowledged saves, none lost; slowest start {slowest_start:?}");
}

fn all_there(file: &std::path::Path, done: &Acknowledged) {
    assert_eq!(done.other.lock().unwrap()[..], [] as [String; 0]);
    assert_eq!(asked(file, "pragma integrity_check"), "ok");
    let held: BTreeSet<String> = asked(
        file,
        "select coalesce(group_concat(text, char(10)), '') from (
             select situation as text from cases union all select text from events
             union all select narrative from cases where narrative is not null)",
    )
    .lines()
    .map(str::to_owned)
    .collect();
    let acknowledged = done.texts.lock().unwrap();
    let lost: Vec<&String> = acknowledged.difference(&held).collect();
    assert!(lost.is_empty(), "acknowledged and lost: {lost:?}");
}
