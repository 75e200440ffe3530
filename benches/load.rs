//! How the server holds when fifty people edit at once: true HTTP on loopback, the built program over one
//! SQLite file, and no save lost.
//!
//! `cargo bench --bench load` has 50 people edit for 60 s (others: `cargo bench --bench load -- 20 10`).
//! Each edits the story of a case of their own, and with every fifth edit adds a line to one that ten of
//! them share: a stale save (409) is counted, read afresh and tried again. At the end each person's last
//! acknowledged text, and every acknowledged line, has to be there. A bare axum route is asked by as many
//! people for 10 s in the same run. It prints what it measured, and fails when a save was lost or an
//! answer was an error; times are for people to read.

#![allow(missing_docs, clippy::unwrap_used, clippy::panic)]

use std::io::{BufRead as _, BufReader};
use std::process::{Child, Command, Stdio};
use std::sync::Arc;
use std::time::{Duration, Instant};

use axum::body::Body;
use axum::http::{Request, StatusCode, header};
use axum::routing::get;
use http_body_util::BodyExt as _;
use hyper_util::client::legacy::Client;
use hyper_util::client::legacy::connect::HttpConnector;
use hyper_util::rt::TokioExecutor;
use relook::accounts::{Role, Secret, store as accounts};
use relook::case::{Case, CaseCode, store as cases};
use relook::database::Database;

/// How many people share a case.
const SHARERS: usize = 10;
/// Every so many edits go to the shared case.
const SHARED_EVERY: usize = 5;
/// How long somebody looks at the page before the next edit.
const THINKING: Duration = Duration::from_millis(100);

type Http = Client<HttpConnector, Body>;

/// One person: a session, a case of their own, one that they share, and what was acknowledged.
struct Person {
    number: usize,
    cookie: String,
    own: CaseCode,
    shared: CaseCode,
    last: String,
    lines: Vec<String>,
    took: Vec<Duration>,
    conflicts: usize,
    errors: Vec<String>,
}

struct Server(Child, String);

impl Drop for Server {
    fn drop(&mut self) {
        let _ = self.0.kill();
        let _ = self.0.wait();
    }
}

fn serve(data: &std::path::Path) -> Server {
    let mut child = Command::new(env!("CARGO_BIN_EXE_relook"))
        .args(["serve", "--address", "127.0.0.1:0", "--requests-per-second", "0", "--data"])
        .arg(data)
        .env("RUST_LOG", "error")
        .stdout(Stdio::piped())
        .spawn()
        .unwrap();
    let address = BufReader::new(child.stdout.take().unwrap()).lines().map(Result::unwrap).find_map(|line| {
        let rest = line.strip_prefix("Relook listens on http://")?;
        Some(rest.split(". ").next()?.to_owned())
    });
    Server(child, address.unwrap())
}

async fn fill(data: &std::path::Path, people: usize) -> Vec<Person> {
    std::fs::create_dir_all(data).unwrap();
    let database = Database::open(&data.join("relook.sqlite")).await.unwrap();
    let mut tx = database.write().await.unwrap();
    relook::vocabulary::store::seed(&mut tx).await.unwrap();
    let now = jiff::Timestamp::now();
    let mut list = Vec::new();
    let mut shared = None;
    for number in 0..people {
        let name = format!("Person {number}").parse().unwrap();
        let id = accounts::insert(&mut tx, &name, Role::Attending, now).await.unwrap();
        let secret = Secret::generate().unwrap();
        accounts::start_session(&mut tx, id, &secret, "Firefox on Linux", now).await.unwrap();
        let of = |title: String| {
            Case::first_entry(
                title.parse().unwrap(),
                "2026-01".parse().unwrap(),
                "flow-no-reflow".parse().unwrap(),
                None,
            )
        };
        let own = cases::insert(&mut tx, &of(format!("Case of {number}")), Some(id), now).await.unwrap();
        if number % SHARERS == 0 {
            shared = Some(
                cases::insert(&mut tx, &of(format!("Shared from {number}")), Some(id), now).await.unwrap(),
            );
        }
        list.push(Person {
            number,
            cookie: format!("relook_session={}", secret.expose()),
            own,
            shared: shared.unwrap(),
            last: String::new(),
            lines: Vec::new(),
            took: Vec::new(),
            conflicts: 0,
            errors: Vec::new(),
        });
    }
    tx.commit().await.unwrap();
    database.close().await;
    list
}

/// The value of a field on an edit page: a hidden one, or the text of the story.
fn field(html: &str, start: &str, end: &str) -> String {
    let rest = html.split_once(start).map_or("", |(_, rest)| rest);
    let value = rest.split_once(end).map_or("", |(value, _)| value);
    value.replace("&#10;", "\n").replace("&#13;", "\r").trim_start_matches('\n').to_owned()
}

impl Person {
    async fn ask(
        &mut self,
        http: &Http,
        address: &str,
        path: &str,
        form: Option<String>,
    ) -> Option<(StatusCode, String)> {
        let mut request = Request::builder()
            .uri(format!("http://{address}{path}"))
            .header(header::COOKIE, &self.cookie)
            .header(header::ORIGIN, format!("http://{address}"))
            .header("sec-fetch-site", "same-origin");
        let body = match form {
            None => Body::empty(),
            Some(form) => {
                request =
                    request.method("POST").header(header::CONTENT_TYPE, "application/x-www-form-urlencoded");
                Body::from(form)
            }
        };
        let started = Instant::now();
        let answer = http.request(request.body(body).unwrap()).await;
        let (status, bytes) = match answer {
            Ok(answer) => {
                let status = answer.status();
                match answer.into_body().collect().await {
                    Ok(body) => (status, body.to_bytes()),
                    Err(error) => {
                        self.errors.push(format!("{path}: {error}"));
                        return None;
                    }
                }
            }
            Err(error) => {
                self.errors.push(format!("{path}: {error}"));
                return None;
            }
        };
        self.took.push(started.elapsed());
        let good = matches!(status, StatusCode::OK | StatusCode::SEE_OTHER | StatusCode::CONFLICT);
        if !good {
            self.errors.push(format!("{path}: {status}"));
            return None;
        }
        Some((status, String::from_utf8_lossy(&bytes).into_owned()))
    }

    /// Edits the story of a case until it is saved; with a line to add, what others wrote stays.
    async fn edit(
        &mut self,
        http: &Http,
        address: &str,
        code: CaseCode,
        write: &(dyn Fn(&str) -> String + Sync),
    ) -> bool {
        let path = format!("/cases/{code}/narrative");
        loop {
            let Some((_, page)) = self.ask(http, address, &format!("{path}/edit"), None).await else {
                return false;
            };
            let base = field(&page, "name=\"base\" value=\"", "\"");
            let held = field(page.split("<textarea").nth(1).unwrap_or_default(), ">", "</textarea>");
            let form = form_urlencoded::Serializer::new(String::new())
                .append_pair("base", &base)
                .append_pair("narrative", &write(held.trim_end()))
                .finish();
            match self.ask(http, address, &path, Some(form)).await {
                Some((StatusCode::SEE_OTHER, _)) => return true,
                Some((StatusCode::CONFLICT, _)) => self.conflicts += 1,
                Some((status, _)) => {
                    self.errors.push(format!("{path}: {status}"));
                    return false;
                }
                None => return false,
            }
        }
    }

    async fn work(mut self, http: Http, address: Arc<str>, until: Instant) -> Self {
        let mut edit = 0;
        while Instant::now() < until {
            edit += 1;
            if edit % SHARED_EVERY == 0 {
                let line = format!("{edit} by {}.", self.number);
                // The last lines stay, so that the story does not outgrow what a story may hold.
                let added =
                    |held: &str| if held.is_empty() { line.clone() } else { format!("{held}\n{line}") };
                if self.edit(&http, &address, self.shared, &added).await {
                    self.lines.push(line.clone());
                }
            } else {
                let text =
                    format!("Edit {edit} of {}. {}", self.number, "The wire passed at once. ".repeat(20));
                if self.edit(&http, &address, self.own, &|_| text.clone()).await {
                    self.last = text;
                }
            }
            tokio::time::sleep(THINKING).await;
        }
        self
    }
}

fn told(what: &str, mut took: Vec<Duration>, seconds: f64) {
    took.sort_unstable();
    let at = |share: f64| took[((took.len() - 1) as f64 * share) as usize].as_secs_f64() * 1_000.0;
    println!(
        "{what}: {} requests, {:.0} a second, median {:.1} ms, 99th percentile {:.1} ms, longest {:.1} ms",
        took.len(),
        took.len() as f64 / seconds,
        at(0.5),
        at(0.99),
        at(1.0)
    );
}

async fn bare(people: usize, seconds: u64) {
    let listener = tokio::net::TcpListener::bind("127.0.0.1:0").await.unwrap();
    let address = listener.local_addr().unwrap();
    let router = axum::Router::new().route("/", get(async || "ok"));
    tokio::spawn(async move { axum::serve(listener, router).await });
    let http: Http = Client::builder(TokioExecutor::new()).build_http();
    let until = Instant::now() + Duration::from_secs(seconds);
    let asking = (0..people).map(|_| {
        let http = http.clone();
        tokio::spawn(async move {
            let mut took = Vec::new();
            while Instant::now() < until {
                let started = Instant::now();
                let request =
                    Request::builder().uri(format!("http://{address}/")).body(Body::empty()).unwrap();
                http.request(request).await.unwrap().into_body().collect().await.unwrap();
                took.push(started.elapsed());
            }
            took
        })
    });
    let mut took = Vec::new();
    for each in asking.collect::<Vec<_>>() {
        took.extend(each.await.unwrap());
    }
    told("a bare axum route, asked without a pause", took, seconds as f64);
}

#[tokio::main]
async fn main() {
    let numbers: Vec<u64> = std::env::args().filter_map(|text| text.parse().ok()).collect();
    let people = usize::try_from(numbers.first().copied().unwrap_or(50)).unwrap();
    let seconds = numbers.get(1).copied().unwrap_or(60);
    let folder = tempfile::tempdir().unwrap();
    let list = fill(folder.path(), people).await;
    let server = serve(folder.path());
    let address: Arc<str> = server.1.as_str().into();
    let http: Http = Client::builder(TokioExecutor::new()).build_http();
    let started = Instant::now();
    let until = started + Duration::from_secs(seconds);
    let working: Vec<_> = list
        .into_iter()
        .map(|person| tokio::spawn(person.work(http.clone(), Arc::clone(&address), until)))
        .collect();
    let mut done = Vec::new();
    for each in working {
        done.push(each.await.unwrap());
    }
    let took = started.elapsed().as_secs_f64();
    drop(server);

    let database = Database::open(&folder.path().join("relook.sqlite")).await.unwrap();
    let mut lost = Vec::new();
    for person in &done {
        let mut conn = database.read().await.unwrap();
        let story =
            |case: relook::case::StoredCase| case.to_case().narrative.map(|story| story.as_str().to_owned());
        let own = cases::find(&mut conn, person.own).await.unwrap().and_then(story).unwrap_or_default();
        if own.trim_end() != person.last.trim_end() {
            lost.push(format!("the last text of {}", person.number));
        }
        let shared = cases::find(&mut conn, person.shared).await.unwrap().and_then(story).unwrap_or_default();
        lost.extend(person.lines.iter().filter(|line| !shared.lines().any(|held| held == *line)).cloned());
    }
    database.close().await;
    let saves: usize = done.iter().map(|person| person.lines.len()).sum();
    let conflicts: usize = done.iter().map(|person| person.conflicts).sum();
    let errors: Vec<&String> = done.iter().flat_map(|person| &person.errors).collect();
    println!(
        "{people} people edit for {seconds} s; {saves} lines on shared cases, {conflicts} stale saves answered 409 and tried again"
    );
    println!("errors: {}, lost updates: {}", errors.len(), lost.len());
    told(
        "edits and the forms before them",
        done.iter().flat_map(|person| person.took.clone()).collect(),
        took,
    );
    bare(people, 10).await;
    assert!(errors.is_empty(), "{:?}", &errors[..errors.len().min(5)]);
    assert!(lost.is_empty(), "{:?}", &lost[..lost.len().min(5)]);
}
