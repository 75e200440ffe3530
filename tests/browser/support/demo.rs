//! The program as people run it: `relook demo` on a port of its own.

use std::collections::BTreeMap;
use std::io::{BufRead, BufReader};
use std::process::{Child, Command, Stdio};

/// A running demo, and what it printed.
pub struct Demo {
    process: Child,
    /// `http://127.0.0.1:port`.
    pub base: String,
    links: BTreeMap<String, String>,
}

impl Demo {
    /// Starts it and reads the sign-in links off its output, as a newcomer does; with options of the program.
    pub fn start(options: &[&str]) -> Self {
        let mut process = Command::new(env!("CARGO_BIN_EXE_relook"))
            .args(["demo", "--address", "127.0.0.1:0"])
            .args(options)
            .env("RUST_LOG", "error")
            .stdout(Stdio::piped())
            .spawn()
            .expect("the program starts");
        let mut lines = BufReader::new(process.stdout.take().unwrap()).lines();
        let mut links = BTreeMap::new();
        let mut person = String::new();
        let mut said = Vec::new();
        for line in lines.by_ref() {
            let line = line.unwrap();
            said.push(line.clone());
            if let Some(at) = line.find("http://") {
                links.insert(person.clone(), line[at..].trim().to_owned());
            } else if let Some((name, _)) = line.split_once(':') {
                person = name.trim().to_owned();
            }
            if line.contains("Ctrl-C") {
                break;
            }
        }
        let all = said.join("\n");
        assert_eq!(links.len(), 3, "the demo did not print a link for each of three people:\n{all}");
        let first = links.values().next().unwrap();
        let base = first[..first.find("/sign-in").expect("a sign-in link")].to_owned();
        // What it may still say is read, so that it never waits for a reader.
        std::thread::spawn(move || lines.for_each(drop));
        Self { process, base, links }
    }

    /// The sign-in link of `Fellow`, `Attending` or `Quality lead`.
    pub fn link(&self, person: &str) -> &str {
        self.links.get(person).unwrap_or_else(|| panic!("no link for {person} in {:?}", self.links))
    }
}

impl Demo {
    /// Asks it to stop, as a cable that is pulled does to who stands before it.
    pub fn stop(&self) {
        let _ = Command::new("kill").arg(self.process.id().to_string()).status();
    }
}

impl Drop for Demo {
    fn drop(&mut self) {
        // Asked to stop, it takes its temporary folder with it.
        self.stop();
        for _ in 0..100 {
            if matches!(self.process.try_wait(), Ok(Some(_))) {
                return;
            }
            std::thread::sleep(std::time::Duration::from_millis(50));
        }
        let _ = self.process.kill();
        let _ = self.process.wait();
    }
}
