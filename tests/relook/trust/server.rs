//! The built program as a server on a real port, and people who are signed in there.

use std::io::{BufRead as _, BufReader, Read as _, Write as _};
use std::net::TcpStream;
use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::sync::{Arc, Mutex};
use std::time::{Duration, Instant};

use relook::accounts::{Role, Secret, store};
use relook::database::Database;

use crate::cli::House;
use crate::support::of;

/// A running server; killed when the test is done with it.
pub struct Server {
    child: Child,
    address: String,
    log: Arc<Mutex<String>>,
}

impl Server {
    /// Starts the server of a house and waits until it listens.
    pub fn start(house: &House) -> Self {
        let mut program = house.program();
        program.args(["serve", "--address", "127.0.0.1:0"]);
        Self::start_program(program).unwrap_or_else(|said| panic!("the server did not start: {said}"))
    }

    /// Starts a server, or gives what it said instead of listening.
    pub fn start_program(mut program: Command) -> Result<Self, String> {
        let mut child = program.stdout(Stdio::piped()).stderr(Stdio::piped()).spawn().expect("the program");
        let log = Arc::new(Mutex::new(String::new()));
        let (mut errors, kept) = (child.stderr.take().expect("its log"), Arc::clone(&log));
        let reader = std::thread::spawn(move || {
            let mut piece = [0; 4096];
            while let Ok(read @ 1..) = errors.read(&mut piece) {
                kept.lock().unwrap().push_str(&String::from_utf8_lossy(&piece[..read]));
            }
        });
        let mut lines = BufReader::new(child.stdout.take().expect("its output")).lines();
        let address = lines.find_map(|line| {
            let line = line.expect("a line");
            let rest = line.strip_prefix("Relook listens on http://")?;
            Some(rest.split(". ").next().expect("an address").to_owned())
        });
        let Some(address) = address else {
            child.wait().expect("the program");
            reader.join().expect("its log");
            return Err(log.lock().unwrap().clone());
        };
        std::thread::spawn(move || lines.for_each(drop));
        Ok(Self { child, address, log })
    }

    pub fn address(&self) -> &str {
        &self.address
    }

    /// What it logged so far.
    pub fn log(&self) -> String {
        self.log.lock().unwrap().clone()
    }

    /// Ends it without a word, as a power cut would.
    pub fn kill(mut self) {
        self.child.kill().expect("SIGKILL");
        self.child.wait().expect("the program");
    }

    /// Asks it to stop, as a system that shuts down does.
    pub fn stop(mut self) {
        let asked =
            Command::new("kill").args(["-TERM", &self.child.id().to_string()]).status().expect("kill");
        assert!(asked.success());
        wait_for("the server stops", || self.child.try_wait().expect("the program").is_some());
    }
}

impl Drop for Server {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

/// Waits until something is so.
#[track_caller]
pub fn wait_for(what: &str, mut so: impl FnMut() -> bool) {
    let start = Instant::now();
    while !so() {
        assert!(start.elapsed() < Duration::from_secs(40), "{what}: not in 40 seconds");
        std::thread::sleep(Duration::from_millis(1));
    }
}

/// Adds an account with an open session to a data folder, straight in the database; gives its cookie.
pub fn person(data: &Path, name: &str, role: Role) -> String {
    now(async {
        std::fs::create_dir_all(data).unwrap();
        let database = Database::open(&data.join("relook.sqlite")).await.unwrap();
        let secret = Secret::generate().unwrap();
        let at = jiff::Timestamp::now();
        let mut tx = database.write().await.unwrap();
        let id = store::insert(&mut tx, &of(name), role, at).await.unwrap();
        store::start_session(&mut tx, id, &secret, "Firefox on Linux", at).await.unwrap();
        tx.commit().await.unwrap();
        database.close().await;
        format!("relook_session={}", secret.expose())
    })
}

/// Runs to its end what is asynchronous.
pub fn now<T>(work: impl Future<Output = T>) -> T {
    tokio::runtime::Builder::new_current_thread().enable_all().build().unwrap().block_on(work)
}

/// An answer.
pub struct Reply {
    pub status: u16,
    pub location: String,
    pub body: String,
}

impl std::fmt::Debug for Reply {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let main = self.body.split("<main").nth(1).unwrap_or(&self.body);
        write!(f, "{} {}", self.status, main.chars().take(1_500).collect::<String>())
    }
}

impl Reply {
    /// What a hidden field of this name holds.
    pub fn hidden(&self, name: &str) -> String {
        let mark = format!("name=\"{name}\" value=\"");
        let rest = self.body.split(&mark).nth(1).unwrap_or_default();
        rest.split('"').next().unwrap_or_default().to_owned()
    }
}

/// Asks for a page; none when the server went away meanwhile.
pub fn get(address: &str, cookie: &str, path: &str) -> Option<Reply> {
    send(address, cookie, "GET", path, "")
}

/// Sends a form; none when the server went away before it answered.
pub fn post(address: &str, cookie: &str, path: &str, fields: &[(&str, &str)]) -> Option<Reply> {
    send(address, cookie, "POST", path, &crate::support::encoded(fields))
}

fn send(address: &str, cookie: &str, method: &str, path: &str, body: &str) -> Option<Reply> {
    let mut stream = TcpStream::connect(address).ok()?;
    stream.set_read_timeout(Some(Duration::from_secs(60))).ok()?;
    let request = format!(
        "{method} {path} HTTP/1.1\r\nHost: {address}\r\nOrigin: http://{address}\r\nSec-Fetch-Site: same-origin\r\n\
         Cookie: {cookie}\r\nConnection: close\r\nContent-Type: application/x-www-form-urlencoded\r\n\
         Content-Length: {}\r\n\r\n{body}",
        body.len()
    );
    stream.write_all(request.as_bytes()).ok()?;
    let mut answer = String::new();
    // What was acknowledged is acknowledged by the whole of its head.
    let _ = stream.read_to_string(&mut answer);
    let (head, body) = answer.split_once("\r\n\r\n")?;
    let status = head.split(' ').nth(1)?.parse().ok()?;
    let location = head.lines().find_map(|line| line.strip_prefix("location: ")).unwrap_or_default();
    Some(Reply { status, location: location.to_owned(), body: body.to_owned() })
}

/// Records a case with this situation; gives its address when the save was acknowledged.
pub fn record(address: &str, cookie: &str, situation: &str) -> Result<String, Option<Reply>> {
    let fields = [("month", "2026-02"), ("mechanism", "flow-no-reflow"), ("situation", situation)];
    match post(address, cookie, "/record", &fields) {
        Some(reply) if reply.status == 303 => Ok(reply.location),
        other => Err(other),
    }
}
