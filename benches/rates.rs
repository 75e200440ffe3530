//! How long the page of rates takes over a million cases and fifteen years, beside the same counts
//! by plain SQL over the base tables in the same run.
//!
//! `cargo bench --bench rates` (another number of cases: `-- 200000`). It prints and fails on nothing.

#![allow(missing_docs, clippy::unwrap_used, clippy::panic)]

use std::time::{Duration, Instant};

use axum::Router;
use axum::body::Body;
use axum::http::{Request, StatusCode, header};
use http_body_util::BodyExt as _;
use relook::accounts::{Role, Secret, store as accounts};
use relook::case::Month;
use relook::database::Database;
use relook::rates::{AtRisk, Period, store as rates};
use relook::web::{App, Settings, application};
use sqlx::SqliteConnection;
use tower::ServiceExt as _;

const TIMES: usize = 60;
const MONTHS: i64 = 180;

/// The counts from the base tables, as they would be made without kept ones.
const PLAIN: [&str; 3] = [
    "select procedure_month, count(distinct case_id) from complications
     where removed_at is null and procedure_month between $1 and $2 group by procedure_month",
    "select procedure_month, (select branch from mechanisms where slug = mechanism) as branch_slug,
            count(distinct case_id) from complications
     where removed_at is null and procedure_month between $1 and $2 group by procedure_month, branch_slug",
    "select procedure_month, mechanism, count(distinct case_id) from complications
     where removed_at is null and procedure_month between $1 and $2 group by procedure_month, mechanism",
];

/// Writes the cases with plain statements and counts them once at the end: the triggers would do the
/// same case by case, and take longer than anybody waits for a bench.
async fn fill(conn: &mut SqliteConnection, cases: i64) {
    let triggers: Vec<(String,)> = sqlx::query_as("select name from sqlite_master where type = 'trigger'")
        .fetch_all(&mut *conn)
        .await
        .unwrap();
    for (name,) in triggers {
        sqlx::query(sqlx::AssertSqlSafe(format!("drop trigger {name}"))).execute(&mut *conn).await.unwrap();
    }
    let month = "printf('%04d-%02d', 2011 + (11 + (n * 7919) % 180) / 12, 1 + (11 + (n * 7919) % 180) % 12)";
    for sql in [
        format!(
            "with recursive numbers(n) as (select 1 union all select n + 1 from numbers where n < {cases})
             insert into case_records (id, code_year, code_number, title, procedure_month, stage, created_at, updated_at)
             select n, 2000, n, 'A case', {month}, 'recorded', '', '' from numbers"
        ),
        "create temp table leaves as
         select slug, row_number() over (order by position) - 1 as place from mechanisms where role = 'primary'"
            .to_owned(),
        "insert into complications (case_id, procedure_month, key, mechanism)
         select id, procedure_month, 'c1', slug from cases
         join leaves on place = (id * 31) % (select count(*) from leaves)"
            .to_owned(),
        "insert into complications (case_id, procedure_month, key, mechanism)
         select id, procedure_month, 'c2', slug from cases
         join leaves on place = (id * 17 + 5) % (select count(*) from leaves) where id % 4 = 0"
            .to_owned(),
        "insert into case_traits (case_id, trait, holds) select id, 'any', 1 from cases".to_owned(),
        "insert into case_traits (case_id, trait, holds) select id, 'radial', id % 8 > 0 from cases".to_owned(),
    ] {
        sqlx::query(sqlx::AssertSqlSafe(sql)).execute(&mut *conn).await.unwrap();
    }
    let started = Instant::now();
    rates::rebuild(conn).await.unwrap();
    println!("everything counted anew in {:.1} s", started.elapsed().as_secs_f64());
}

async fn plain(conn: &mut SqliteConnection, from: Month, to: Month) -> usize {
    let mut rows = 0;
    for sql in PLAIN {
        rows += sqlx::query(sql)
            .bind(from.to_string())
            .bind(to.to_string())
            .fetch_all(&mut *conn)
            .await
            .unwrap()
            .len();
    }
    rows
}

async fn ask(router: &Router, cookie: &str, path: &str) -> (Duration, usize) {
    let request = Request::get(path).header(header::COOKIE, cookie).body(Body::empty()).unwrap();
    let started = Instant::now();
    let response = router.clone().oneshot(request).await.unwrap();
    let status = response.status();
    let body = response.into_body().collect().await.unwrap().to_bytes();
    let taken = started.elapsed();
    assert_eq!(status, StatusCode::OK, "{path}");
    (taken, body.len())
}

fn told(name: &str, mut times: Vec<Duration>, note: &str) -> f64 {
    times.sort_unstable();
    let milliseconds = |time: Duration| time.as_secs_f64() * 1_000.0;
    let median = milliseconds(times[times.len() / 2]);
    println!(
        "{name:<56} median {median:>8.2} ms   p99 {:>8.2} ms   {note}",
        milliseconds(times[times.len() * 99 / 100])
    );
    median
}

#[tokio::main]
async fn main() {
    let cases: i64 = std::env::args().skip(1).find_map(|word| word.parse().ok()).unwrap_or(1_000_000);
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("relook.sqlite");
    let app = App::new(Database::open(&file).await.unwrap(), Settings::default()).await.unwrap();
    let made = Instant::now();
    let (from, to) = (Month::new(2011, 12).unwrap(), Month::new(2011, 12).unwrap().plus(MONTHS - 1));
    let secret = Secret::generate().unwrap();
    let mut tx = app.database.write().await.unwrap();
    fill(&mut tx, cases).await;
    let volume = u32::try_from(cases / MONTHS * 4).unwrap().clamp(1, AtRisk::MOST);
    let at_risk: Vec<AtRisk> = (0..MONTHS)
        .flat_map(|month| {
            app.vocabulary()
                .strata
                .iter()
                .map(|stratum| AtRisk {
                    month: from.plus(month),
                    stratum: stratum.slug.clone(),
                    procedures: Some(volume),
                })
                .collect::<Vec<_>>()
        })
        .collect();
    rates::set_at_risk(&mut tx, &at_risk).await.unwrap();
    let id = accounts::insert(&mut tx, &"Quality lead".parse().unwrap(), Role::QualityLead, app.now())
        .await
        .unwrap();
    accounts::start_session(&mut tx, id, &secret, "", app.now()).await.unwrap();
    tx.commit().await.unwrap();
    let cookie = format!("relook_session={}", secret.expose());
    println!(
        "{cases} cases over {MONTHS} months made in {:.0} s, {} MiB on disk",
        made.elapsed().as_secs_f64(),
        file.metadata().unwrap().len() >> 20
    );
    let router = application(app.clone());
    let all = format!("from={from}&to={to}");
    let mut page = 0.0;
    for (name, path) in [
        ("page of rates, 15 years", format!("/rates?{all}")),
        ("page of rates, 15 years, by branch", format!("/rates?{all}&by=branch")),
        ("page of rates, 15 years, radial PCI", format!("/rates?{all}&stratum=radial-pci")),
        ("page of rates, the usual year", "/rates".to_owned()),
    ] {
        let (mut times, mut size) = (Vec::new(), 0);
        for _ in 0..TIMES {
            let (taken, length) = ask(&router, &cookie, &path).await;
            times.push(taken);
            size = length;
        }
        let median = told(name, times, &format!("{size} bytes"));
        if page == 0.0 {
            page = median;
        }
    }
    let mut conn = app.database.read().await.unwrap();
    let vocabulary = app.vocabulary();
    let mut times = Vec::new();
    for _ in 0..TIMES {
        let started = Instant::now();
        let period = Period::new(from, to).unwrap();
        std::hint::black_box(rates::table(&mut conn, &vocabulary, period).await.unwrap());
        times.push(started.elapsed());
    }
    told("the table alone, from kept counts", times, "");
    let (mut times, mut rows) = (Vec::new(), 0);
    for _ in 0..5 {
        let started = Instant::now();
        rows = plain(&mut conn, from, to).await;
        times.push(started.elapsed());
    }
    let by_sql = told("the same counts by plain SQL over the base tables", times, &format!("{rows} rows"));
    println!("plain SQL takes {:.0} times as long as the whole page", by_sql / page);
    let (taken, size) = ask(&router, &cookie, &format!("/rates/mechanism/flow-no-reflow?{all}")).await;
    println!("page of one mechanism, 15 years: {:.0} ms, {size} bytes", taken.as_secs_f64() * 1_000.0);
}
