//! The backups that the server keeps: taken once a day, listed here, and one more when it is asked for.

use std::time::Duration;

use askama::Template;
use axum::extract::State;
use axum::response::Response;
use jiff::Timestamp;
use jiff::tz::TimeZone;

use super::Entry;
use crate::backup::BackupError;
use crate::backup::desk::Desk;
use crate::backup::folder::Kept;
use crate::backup::rotation::{ASKED, DAYS, MONTHS, WEEKS};
use crate::web::access::Allow;
use crate::web::error::Error;
use crate::web::frame::{Frame, Place, Visit, lead_to, page};
use crate::web::router::Routes;
use crate::web::state::App;

const ADDRESS: &str = "/settings/backups";

/// How often the server looks whether the backup of the day is due.
const LOOK: Duration = Duration::from_secs(10 * 60);

pub(super) fn add_routes(routes: Routes) -> Routes {
    routes.get(ADDRESS, Allow::Keepers, show_backups).post(ADDRESS, Allow::Keepers, take_backup)
}

/// Takes the backup of each day, for as long as the server runs.
pub(in crate::web) async fn keep(app: App) {
    let Some(desk) = app.settings.backups.clone() else {
        return;
    };
    let mut looks = tokio::time::interval(LOOK);
    loop {
        looks.tick().await;
        desk.take_if_due(app.now()).await;
    }
}

/// A row of the list.
struct Row {
    taken: String,
    why: String,
    size: String,
    verified: Option<Verified>,
    name: String,
}

/// What was proven of a backup, in words.
struct Verified {
    rows: String,
    step: i64,
    sha256: String,
}

#[derive(Template)]
#[template(path = "settings/backups.html")]
struct BackupsPage {
    frame: Frame,
    state: String,
    /// Why the last try failed, with when.
    failed: Option<(String, String)>,
    /// Whether there is a place for backups at all.
    kept: bool,
    folder: String,
    rows: Vec<Row>,
    days: usize,
    weeks: usize,
    months: usize,
    asked: usize,
}

async fn show_backups(State(app): State<App>, visit: Visit) -> Result<Response, Error> {
    let desk = app.settings.backups.as_ref();
    let (kept, unread) = match desk {
        Some(desk) => list(desk).await,
        None => (Vec::new(), None),
    };
    let failed = desk.and_then(Desk::failed).map(|failed| (in_words(failed.at), failed.why));
    page(&BackupsPage {
        frame: visit.frame(Place::Settings),
        state: state(desk.is_some(), &kept, app.now()),
        failed: failed.or_else(|| unread.map(|why| (in_words(app.now()), why))),
        kept: desk.is_some(),
        folder: desk.map(|desk| desk.folder().path().display().to_string()).unwrap_or_default(),
        rows: kept.into_iter().map(row).collect(),
        days: DAYS,
        weeks: WEEKS,
        months: MONTHS,
        asked: ASKED,
    })
}

/// What lies there, or why that cannot be seen.
async fn list(desk: &Desk) -> (Vec<Kept>, Option<String>) {
    match desk.list().await {
        Ok(kept) => (kept, None),
        Err(error) => (Vec::new(), Some(error.to_string())),
    }
}

async fn take_backup(State(app): State<App>, _: Visit) -> Result<Response, Error> {
    let desk = app
        .settings
        .backups
        .as_ref()
        .ok_or_else(|| Error::Conflict("This server keeps nothing, so it has no backups.".to_owned()))?;
    let said = match desk.take(app.now()).await {
        Ok(_) => format!("Backed up and verified {}.", app.clock()),
        // The page says why.
        Err(BackupError::Unproven { .. }) => "The copy was not sound and was not kept.".to_owned(),
        Err(_) => "The backup could not be written.".to_owned(),
    };
    Ok(lead_to(ADDRESS, &said, None))
}

fn row(kept: Kept) -> Row {
    Row {
        taken: in_words(kept.name.at),
        why: kept.name.kind.in_words(),
        size: size(kept.bytes),
        verified: kept.proof.map(|proof| Verified {
            rows: grouped(proof.rows),
            step: proof.step,
            sha256: proof.sha256.chars().take(12).collect(),
        }),
        name: kept.name.to_string(),
    }
}

fn in_words(at: Timestamp) -> String {
    at.to_zoned(TimeZone::system()).strftime("%-d %B %Y, %H:%M").to_string()
}

/// Hours after which a missing backup is worth a word: a day, and a night that the server was off.
const LATE_AFTER_HOURS: i64 = 48;

fn state(has_place: bool, kept: &[Kept], now: Timestamp) -> String {
    if !has_place {
        return "This is the demo: nothing is kept, so there is nothing to back up.".to_owned();
    }
    let Some(newest) = kept.iter().filter(|kept| kept.name.at <= now).max_by_key(|kept| kept.name.at) else {
        return "There is no backup yet.".to_owned();
    };
    let hours = (now.as_second() - newest.name.at.as_second()) / 3_600;
    let late = if hours > LATE_AFTER_HOURS { " That is long ago: one a day is due." } else { "" };
    format!("The last backup is of {}.{late}", in_words(newest.name.at))
}

/// A number of bytes for a person.
fn size(bytes: u64) -> String {
    const KIB: u64 = 1_024;
    const MIB: u64 = KIB * KIB;
    if bytes < KIB {
        format!("{bytes} bytes")
    } else if bytes < MIB {
        format!("{} KiB", bytes / KIB)
    } else {
        format!("{}.{} MiB", bytes / MIB, bytes % MIB * 10 / MIB)
    }
}

/// `12,345`.
fn grouped(number: u64) -> String {
    let digits = number.to_string();
    let mut text = String::new();
    for (place, digit) in digits.chars().enumerate() {
        if place > 0 && (digits.len() - place).is_multiple_of(3) {
            text.push(',');
        }
        text.push(digit);
    }
    text
}

/// The entry on the page of settings.
pub(super) async fn entry(app: &App) -> Entry {
    let now = match &app.settings.backups {
        None => state(false, &[], app.now()),
        Some(desk) => match (desk.failed(), list(desk).await) {
            (Some(failed), _) => format!("The last try, {}, failed.", in_words(failed.at)),
            (None, (_, Some(_))) => "The folder of backups cannot be read.".to_owned(),
            (None, (kept, None)) => state(true, &kept, app.now()),
        },
    };
    Entry {
        href: ADDRESS,
        title: "Backups",
        text: "Copies of the whole record that the server takes by itself, each verified.",
        now,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::backup::name::{BackupName, Kind};

    fn kept(at: &str) -> Kept {
        Kept { name: BackupName::new(at.parse().unwrap(), Kind::Daily), bytes: 1, proof: None }
    }

    #[test]
    fn a_backup_that_is_late_is_told() {
        let now = "2026-11-29T12:00:00Z".parse().unwrap();
        assert!(state(true, &[], now).contains("no backup yet"));
        assert!(!state(true, &[kept("2026-11-27T13:00:00Z")], now).contains("long ago"));
        assert!(state(true, &[kept("2026-11-27T10:00:00Z")], now).contains("long ago"));
        // What a clock that ran ahead has dated is no backup of these days.
        let ahead = [kept("2036-11-27T10:00:00Z"), kept("2026-11-27T10:00:00Z")];
        assert!(state(true, &ahead, now).contains("long ago"));
    }

    #[test]
    fn sizes_and_numbers_are_for_people() {
        for (bytes, text) in [
            (0, "0 bytes"),
            (1_023, "1023 bytes"),
            (1_024, "1 KiB"),
            (1_048_576, "1.0 MiB"),
            (5_767_168, "5.5 MiB"),
        ] {
            assert_eq!(size(bytes), text);
        }
        for (number, text) in [(0, "0"), (999, "999"), (1_000, "1,000"), (12_345_678, "12,345,678")] {
            assert_eq!(grouped(number), text);
        }
    }
}
