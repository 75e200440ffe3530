//! A chromedriver on a port of its own.

use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::process::{Child, Command, Stdio};
use std::time::Duration;

/// A running chromedriver.
pub struct Chromedriver {
    process: Child,
    port: u16,
}

impl Chromedriver {
    /// Starts it; it chooses a free port and says which.
    pub fn start() -> Self {
        let mut process = Command::new("chromedriver")
            .arg("--port=0")
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .unwrap_or_else(|error| panic!("chromedriver does not start ({error}). tests/run installs it."));
        let mut lines = BufReader::new(process.stdout.take().unwrap()).lines();
        let port = lines
            .by_ref()
            .map_while(Result::ok)
            .find_map(|line| line.split("successfully on port ").nth(1)?.trim_end_matches('.').parse().ok())
            .expect("chromedriver says on which port it listens");
        std::thread::spawn(move || lines.for_each(drop));
        Self { process, port }
    }

    pub fn url(&self) -> String {
        format!("http://127.0.0.1:{}", self.port)
    }

    /// Asks it to close its browser and to end.
    fn shut_down(&self) -> std::io::Result<()> {
        let mut stream = TcpStream::connect(("127.0.0.1", self.port))?;
        stream.set_read_timeout(Some(Duration::from_secs(10)))?;
        write!(stream, "GET /shutdown HTTP/1.1\r\nHost: 127.0.0.1\r\nConnection: close\r\n\r\n")?;
        stream.read_to_end(&mut Vec::new())?;
        Ok(())
    }
}

impl Drop for Chromedriver {
    fn drop(&mut self) {
        let _ = self.shut_down();
        for _ in 0..100 {
            if matches!(self.process.try_wait(), Ok(Some(_))) {
                return;
            }
            std::thread::sleep(Duration::from_millis(50));
        }
        let _ = self.process.kill();
        let _ = self.process.wait();
    }
}
