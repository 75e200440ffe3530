//! How long the pages take in the server, over a department of many synthetic cases.
//!
//! `cargo bench --bench pages` makes a database of 50,000 cases in a temporary folder (another
//! number: `cargo bench --bench pages -- 100000`), asks the true router for each page, signed in,
//! 200 times, and prints median, 99th percentile and size. It prints what it measured and fails
//! on nothing: thresholds are for people to read.

#![allow(missing_docs, clippy::unwrap_used, clippy::panic)]

use std::time::{Duration, Instant};

use axum::Router;
use axum::body::Body;
use axum::http::{Request, StatusCode, header};
use http_body_util::BodyExt as _;
use relook::accounts::{Role, Secret, store as accounts};
use relook::case::{
    Age, Case, CaseCode, Complication, Event, EventKind, Month, Segment, Sex, Stage, store as cases,
};
use relook::database::Database;
use relook::quantity::{Offset, TimiFlow};
use relook::rates::{AtRisk, store as rates};
use relook::vocabulary::MechanismRole;
use relook::web::{App, Settings, application};
use tower::ServiceExt as _;

const TIMES: usize = 200;

/// A small linear congruential generator: the same department on every run.
struct Chance(u64);

impl Chance {
    fn below(&mut self, limit: usize) -> usize {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        usize::try_from(self.0 >> 33).unwrap() % limit
    }
}

const WORDS: [&str; 24] = [
    "wire",
    "calcified",
    "bend",
    "flow",
    "returned",
    "after",
    "balloon",
    "stent",
    "diagonal",
    "closed",
    "pressure",
    "fell",
    "second",
    "operator",
    "view",
    "contrast",
    "guide",
    "seated",
    "adenosine",
    "tamponade",
    "echo",
    "distal",
    "lumen",
    "confirmed",
];

fn sentence(chance: &mut Chance, length: usize) -> String {
    let words: Vec<&str> = (0..length).map(|_| WORDS[chance.below(WORDS.len())]).collect();
    format!("{}.", words.join(" "))
}

fn synthetic_case(
    chance: &mut Chance,
    mechanisms: &[relook::vocabulary::MechanismSlug],
    first: Month,
) -> Case {
    let month = first.plus(i64::try_from(chance.below(180)).unwrap());
    let mechanism = mechanisms[chance.below(chance_cap(mechanisms.len()))].clone();
    let title = sentence(chance, 8).parse().unwrap();
    let situation = sentence(chance, 24).parse().ok();
    let mut case = Case::first_entry(title, month, mechanism, situation);
    case.stage = Stage::ALL[chance.below(Stage::ALL.len())];
    case.narrative = sentence(chance, 120).parse().ok();
    let segment = Segment::ALL[chance.below(Segment::ALL.len())];
    for number in 0..12_i64 {
        let (key, at) = (format!("e{number}"), Offset::from_seconds(number * 210 - 180));
        let kind = EventKind::ALL[chance.below(EventKind::ALL.len())];
        case.events.push(Event {
            segment: Some(segment),
            flow: TimiFlow::try_from(i64::try_from(chance.below(4)).unwrap()).ok(),
            text: sentence(chance, 10).parse().ok(),
            ..Event::new(key.parse().unwrap(), at.unwrap(), kind)
        });
    }
    let index = &mut case.complications[0];
    index.segment = Some(segment);
    index.began = "e3".parse().ok();
    index.recognised = "e4".parse().ok();
    index.controlled = "e9".parse().ok();
    if chance.below(5) == 0 {
        let second = mechanisms[chance.below(mechanisms.len())].clone();
        case.complications.push(Complication {
            key: "c2".parse().unwrap(),
            consequence_of: "c1".parse().ok(),
            ..Complication::of(second)
        });
    }
    case.patient.age = Age::from_years(40 + i64::try_from(chance.below(55)).unwrap()).ok();
    case.patient.sex = Some(Sex::ALL[chance.below(2)]);
    case
}

/// Most cases fall on few mechanisms, as they do in a department.
const fn chance_cap(count: usize) -> usize {
    if count > 20 { 20 } else { count }
}

async fn fill(app: &App, count: usize) {
    let vocabulary = app.vocabulary();
    let mechanisms: Vec<_> = vocabulary
        .mechanisms
        .iter()
        .filter(|leaf| leaf.role == MechanismRole::Primary)
        .map(|leaf| leaf.slug.clone())
        .collect();
    let first = Month::new(2011, 12).unwrap();
    let mut chance = Chance(20_261_125);
    let mut tx = app.database.write().await.unwrap();
    for _ in 0..count {
        let case = synthetic_case(&mut chance, &mechanisms, first);
        cases::insert(&mut tx, &case, None, app.now()).await.unwrap();
    }
    let mut at_risk = Vec::new();
    for month in 0..180 {
        for stratum in &vocabulary.strata {
            let procedures = Some(u32::try_from(400 + chance.below(60)).unwrap());
            at_risk.push(AtRisk { month: first.plus(month), stratum: stratum.slug.clone(), procedures });
        }
    }
    rates::set_at_risk(&mut tx, &at_risk).await.unwrap();
    tx.commit().await.unwrap();
}

async fn sign_in(app: &App) -> String {
    let secret = Secret::generate().unwrap();
    let mut tx = app.database.write().await.unwrap();
    let id = accounts::insert(&mut tx, &"Quality lead".parse().unwrap(), Role::QualityLead, app.now())
        .await
        .unwrap();
    accounts::start_session(&mut tx, id, &secret, "", app.now()).await.unwrap();
    tx.commit().await.unwrap();
    format!("relook_session={}", secret.expose())
}

async fn ask(router: &Router, cookie: &str, path: &str) -> (Duration, usize, String) {
    let request = Request::get(path).header(header::COOKIE, cookie).body(Body::empty()).unwrap();
    let started = Instant::now();
    let response = router.clone().oneshot(request).await.unwrap();
    let status = response.status();
    let body = response.into_body().collect().await.unwrap().to_bytes();
    let taken = started.elapsed();
    assert_eq!(status, StatusCode::OK, "{path}");
    (taken, body.len(), String::from_utf8_lossy(&body).into_owned())
}

async fn measure(router: &Router, cookie: &str, name: &str, paths: &[String]) {
    let mut times = Vec::with_capacity(TIMES);
    let mut size = 0;
    for turn in 0..TIMES {
        let (taken, length, _) = ask(router, cookie, &paths[turn % paths.len()]).await;
        times.push(taken);
        size = length;
    }
    times.sort_unstable();
    let milliseconds = |time: Duration| time.as_secs_f64() * 1_000.0;
    println!(
        "{name:<46} median {:>7.2} ms   p99 {:>7.2} ms   {:>6} bytes",
        milliseconds(times[TIMES / 2]),
        milliseconds(times[TIMES * 99 / 100]),
        size
    );
}

/// The memory that the process holds now, in MiB.
fn resident() -> f64 {
    let status = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
    let line = status.lines().find(|line| line.starts_with("VmRSS:")).unwrap_or("VmRSS: 0 kB");
    let kib: f64 = line.split_whitespace().nth(1).and_then(|number| number.parse().ok()).unwrap_or(0.0);
    kib / 1_024.0
}

/// The address of a page deep in the list: what "next page" gives after many turns.
async fn deep_page(router: &Router, cookie: &str, turns: usize) -> String {
    let mut path = "/cases".to_owned();
    for _ in 0..turns {
        let (_, _, html) = ask(router, cookie, &path).await;
        let Some(start) = html.find("rel=\"next\" href=\"") else { break };
        let rest = &html[start + 17..];
        path = rest[..rest.find('"').unwrap()].replace("&amp;", "&").replace("&#38;", "&");
    }
    path
}

/// Every fact as it is recorded, so that nearly every case stands alone.
const ALL_FACTS: &str = "/export/combinations?place=exact&presentation=exact&access=exact&left-out=few";

#[tokio::main]
async fn main() {
    let count: usize = std::env::args().skip(1).find_map(|word| word.parse().ok()).unwrap_or(50_000);
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("relook.sqlite");
    let made = Instant::now();
    let app = App::new(Database::open(&file).await.unwrap(), Settings::default()).await.unwrap();
    fill(&app, count).await;
    println!(
        "{count} cases made in {:.1} s, {} MiB on disk",
        made.elapsed().as_secs_f64(),
        file.metadata().unwrap().len() >> 20
    );
    let cookie = sign_in(&app).await;
    app.database.close().await;
    drop(app);

    let cold = Instant::now();
    let app = App::new(Database::open(&file).await.unwrap(), Settings::default()).await.unwrap();
    let router = application(app.clone());
    let (first, ..) = ask(&router, &cookie, "/cases").await;
    println!(
        "open the database to first page: {:.1} ms (the page itself {:.1} ms)",
        cold.elapsed().as_secs_f64() * 1_000.0,
        first.as_secs_f64() * 1_000.0
    );

    let mut conn = app.database.read().await.unwrap();
    let codes: Vec<CaseCode> = cases::codes(&mut conn).await.unwrap();
    drop(conn);
    let some: Vec<String> =
        codes.iter().step_by((codes.len() / 50).max(1)).map(|code| format!("/cases/{code}")).collect();
    let summaries: Vec<String> = some.iter().map(|path| format!("{path}/summary")).collect();
    let combinations: Vec<String> = some.iter().map(|path| format!("{path}/combination")).collect();
    let protected: Vec<String> = some.iter().map(|path| format!("{path}/summary?protect=yes")).collect();
    let one = |path: &str| vec![path.to_owned()];
    measure(&router, &cookie, "case page", &some).await;
    measure(&router, &cookie, "teaching summary", &summaries).await;
    measure(&router, &cookie, "list, first page", &one("/cases")).await;
    measure(&router, &cookie, "list, after 25 pages", &one(&deep_page(&router, &cookie, 25).await)).await;
    measure(&router, &cookie, "list, oldest first", &one("/cases?sort=oldest")).await;
    measure(&router, &cookie, "list, last changed first", &one("/cases?sort=changed")).await;
    measure(&router, &cookie, "list by mechanism", &one("/cases?mechanism=flow-no-reflow")).await;
    measure(&router, &cookie, "list by rare mechanism", &one("/cases?mechanism=sys-stroke")).await;
    measure(&router, &cookie, "list by stage", &one("/cases?stage=ready")).await;
    measure(&router, &cookie, "list by months", &one("/cases?from=2025-01&to=2025-06")).await;
    measure(&router, &cookie, "list by segment", &one("/cases?segment=lad-mid")).await;
    measure(&router, &cookie, "list by common word", &one("/cases?q=calcified")).await;
    measure(&router, &cookie, "list by two words and a stage", &one("/cases?q=calcified+bend&stage=closed"))
        .await;
    measure(&router, &cookie, "overview", &one("/")).await;
    measure(&router, &cookie, "rates", &one("/rates")).await;
    measure(&router, &cookie, "combinations", &one("/export/combinations")).await;
    measure(&router, &cookie, "combinations, all facts", &one(ALL_FACTS)).await;
    measure(&router, &cookie, "combination of one case", &combinations).await;
    measure(&router, &cookie, "protected summary", &protected).await;
    println!("memory held: {:.1} MiB", resident());
}
