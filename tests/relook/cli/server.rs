//! `relook serve` and `relook demo`: they start, answer, and end.

use std::io::{BufRead as _, BufReader, Read as _, Write as _};
use std::net::{TcpListener, TcpStream};
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};

use super::House;

/// A running server; killed when the test is done with it, however it ends.
pub struct Running {
    child: Child,
    /// What it has printed up to the line that says how to stop it.
    pub said: String,
}

impl Running {
    pub fn start(program: Command) -> Self {
        Self::start_with_log(program, Stdio::null())
    }

    /// The same, with its log going there.
    pub fn start_with_log(mut program: Command, log: Stdio) -> Self {
        let mut child = program.stdout(Stdio::piped()).stderr(log).spawn().expect("the program");
        let mut lines = BufReader::new(child.stdout.take().expect("its output")).lines();
        let mut said = String::new();
        for line in &mut lines {
            let line = line.expect("a line");
            said.push_str(&line);
            said.push('\n');
            if line.contains("Ctrl-C") {
                break;
            }
        }
        assert!(said.contains("Ctrl-C"), "it ended after saying: {said}");
        // What it still says is read and dropped, so that it never waits for a reader.
        std::thread::spawn(move || lines.for_each(drop));
        Self { child, said }
    }

    pub fn links(&self) -> Vec<String> {
        self.said
            .lines()
            .map(str::trim)
            .filter(|line| line.contains("/sign-in/link/"))
            .map(str::to_owned)
            .collect()
    }

    /// Sends it a signal, when it is still there.
    pub fn signal(&self, signal: &str) {
        let _ =
            Command::new("kill").args([signal, &self.child.id().to_string()]).stderr(Stdio::null()).status();
    }

    /// Asks it to stop, as Ctrl-C does, and gives its exit code.
    pub fn stop(mut self) -> Option<i32> {
        self.signal("-INT");
        let start = Instant::now();
        while start.elapsed() < Duration::from_secs(20) {
            if let Some(status) = self.child.try_wait().expect("the program") {
                return status.code();
            }
            std::thread::sleep(Duration::from_millis(20));
        }
        panic!("it did not stop");
    }
}

impl Drop for Running {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

/// The answer to a request, whole.
fn get(url: &str) -> String {
    let rest = url.strip_prefix("http://").expect("a URL");
    let (host, path) = rest.split_at(rest.find('/').unwrap_or(rest.len()));
    let path = if path.is_empty() { "/" } else { path };
    let mut stream = TcpStream::connect(host).expect("the server");
    write!(stream, "GET {path} HTTP/1.1\r\nHost: {host}\r\nConnection: close\r\n\r\n").expect("the server");
    let mut answer = String::new();
    stream.read_to_string(&mut answer).expect("an answer");
    answer
}

#[test]
fn the_first_start_of_the_server_makes_the_quality_lead_and_the_second_does_not() {
    let house = House::new();
    let start = || {
        let mut program = house.program();
        program.args(["serve", "--address", "127.0.0.1:0"]);
        Running::start(program)
    };
    let first = start();
    let links = first.links();
    assert_eq!(links.len(), 1, "{}", first.said);
    let page = get(&links[0]);
    assert!(page.starts_with("HTTP/1.1 200"), "{page}");
    assert!(page.contains("Quality lead"), "{page}");
    assert_eq!(first.stop(), Some(0));
    let second = start();
    assert_eq!(second.links().len(), 0, "{}", second.said);
    assert_eq!(second.stop(), Some(0));
    house.run(&["user", "list"]).fine().says("Quality lead  quality-lead");
}

#[test]
fn a_taken_address_is_refused_with_a_sentence_before_anything_is_made() {
    let house = House::new();
    let taken = TcpListener::bind("127.0.0.1:0").expect("a port");
    let address = taken.local_addr().expect("an address").to_string();
    house.run(&["serve", "--address", &address]).refused("Is it running already?");
    assert!(!house.path("data").exists());
}

#[test]
fn the_demo_gives_each_of_three_people_a_link_and_leaves_nothing_behind() {
    let house = House::new();
    let temporary = house.path("temporary");
    std::fs::create_dir(&temporary).expect("a folder");
    let taken = TcpListener::bind("127.0.0.1:0").expect("a port");
    let address = taken.local_addr().expect("an address");
    let mut program = house.program();
    program.env("TMPDIR", &temporary).args(["demo", "--address", &address.to_string()]);
    let demo = Running::start(program);
    let links = demo.links();
    assert_eq!(links.len(), 3, "{}", demo.said);
    for (link, role) in links.iter().zip(["Fellow", "Attending", "Quality lead"]) {
        assert!(!link.contains(&format!("//{address}/")), "{link} names the port that is taken");
        for _ in 0..2 {
            let page = get(link);
            assert!(page.starts_with("HTTP/1.1 200"), "{page}");
            assert!(page.contains(role), "{role} is not on {page}");
        }
    }
    assert_eq!(std::fs::read_dir(&temporary).expect("the folder").count(), 1);
    assert_eq!(demo.stop(), Some(0));
    assert_eq!(std::fs::read_dir(&temporary).expect("the folder").count(), 0);
    assert!(!house.path("data").exists());
}

#[test]
fn the_second_door_serves_votes_alone_and_closes_with_the_first() {
    let house = House::new();
    let mut program = house.program();
    program.args(["serve", "--address", "127.0.0.1:0", "--votes-on", "127.0.0.1:0"]);
    let server = Running::start(program);
    let line =
        server.said.lines().find(|line| line.starts_with("Phones vote at ")).expect("a line on phones");
    let door = line["Phones vote at ".len()..].split(',').next().expect("an address").to_owned();
    let vote = get(&format!("{door}/vote/k7m3xq"));
    assert!(vote.starts_with("HTTP/1.1 404") && vote.contains("There is no vote here"), "{vote}");
    assert!(get(&format!("{door}/vote/static/css/vote.css")).starts_with("HTTP/1.1 200"));
    for path in ["/", "/sign-in", "/cases", "/static/css/base.css"] {
        let answer = get(&format!("{door}{path}"));
        assert!(answer.starts_with("HTTP/1.1 404"), "{path}: {answer}");
    }
    assert!(get(&server.links()[0]).starts_with("HTTP/1.1 200"));
    // A phone that never ends its request does not keep the server up.
    let mut slow = TcpStream::connect(door.trim_start_matches("http://")).expect("the door");
    let host = door.trim_start_matches("http://");
    write!(slow, "POST /vote/k7m3xq HTTP/1.1\r\nHost: {host}\r\nContent-Length: 9\r\n\r\nopt")
        .expect("the door");
    assert_eq!(server.stop(), Some(0));
}

#[test]
fn the_demo_opens_the_second_door_under_the_address_that_phones_see() {
    let house = House::new();
    let mut program = house.program();
    let seen = "http://votes.ward.example:8080";
    program.args(["demo", "--address", "127.0.0.1:0", "--votes-on", "0.0.0.0:0", "--votes-address", seen]);
    let demo = Running::start(program);
    assert!(demo.said.contains(&format!("Phones vote at {seen}, ")), "{}", demo.said);
    assert_eq!(demo.stop(), Some(0));
}

#[test]
fn a_second_door_that_phones_cannot_find_is_refused_with_a_sentence() {
    let house = House::new();
    for every in ["0.0.0.0:0", "[::]:0"] {
        house
            .run(&["serve", "--address", "127.0.0.1:0", "--votes-on", every])
            .refused("Say which one they see with --votes-address");
    }
    let taken = TcpListener::bind("127.0.0.1:0").expect("a port");
    let address = taken.local_addr().expect("an address").to_string();
    house
        .run(&["serve", "--address", "127.0.0.1:0", "--votes-on", &address])
        .refused("Choose another with --votes-on");
    for wrong in [
        &["--votes-address", "http://10.0.0.7"][..],
        &["--votes-on", "0.0.0.0:0", "--votes-address", "http://0.0.0.0:80"],
        &["--votes-on", "0.0.0.0:0", "--votes-address", "10.0.0.7:80"],
    ] {
        let answer = house.run(&[&["serve", "--address", "127.0.0.1:0"], wrong].concat());
        assert_eq!(answer.code, 2, "{wrong:?}: {answer:?}");
    }
    assert!(!house.path("data").exists());
}
