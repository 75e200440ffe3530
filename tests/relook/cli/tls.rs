//! `relook serve` over TLS, with a certificate that the test makes, and with clients that are slow.

use std::io::{Read as _, Write as _};
use std::net::TcpStream;
use std::path::PathBuf;
use std::sync::Arc;
use std::time::Duration;

use rcgen::{CertifiedKey, generate_simple_self_signed};
use tokio_rustls::rustls::crypto::ring;
use tokio_rustls::rustls::pki_types::pem::PemObject as _;
use tokio_rustls::rustls::pki_types::{CertificateDer, ServerName};
use tokio_rustls::rustls::{ClientConfig, ClientConnection, RootCertStore, StreamOwned};

use super::House;
use super::server::Running;

/// A certificate for `localhost` in two files of the house.
struct Files {
    certificate: PathBuf,
    key: PathBuf,
}

impl Files {
    fn make(house: &House) -> Self {
        let files = Self { certificate: house.path("chain.pem"), key: house.path("key.pem") };
        files.renew();
        files
    }

    /// Writes another certificate over the one that is there.
    fn renew(&self) {
        let CertifiedKey { cert, signing_key } =
            generate_simple_self_signed(["localhost".to_owned()]).expect("a certificate");
        std::fs::write(&self.certificate, cert.pem()).expect("a file");
        std::fs::write(&self.key, signing_key.serialize_pem()).expect("a file");
    }

    /// What a client that trusts this certificate and no other knows.
    fn trusted(&self) -> Arc<ClientConfig> {
        let mut roots = RootCertStore::empty();
        roots.add(CertificateDer::from_pem_file(&self.certificate).expect("a certificate")).expect("a root");
        let config = ClientConfig::builder_with_provider(Arc::new(ring::default_provider()))
            .with_safe_default_protocol_versions()
            .expect("versions")
            .with_root_certificates(roots)
            .with_no_client_auth();
        Arc::new(config)
    }
}

type Stream = StreamOwned<ClientConnection, TcpStream>;

fn connect(config: &Arc<ClientConfig>, port: u16) -> Stream {
    let name = ServerName::try_from("localhost").expect("a name");
    let connection = ClientConnection::new(Arc::clone(config), name).expect("a connection");
    StreamOwned::new(connection, plain(port))
}

fn plain(port: u16) -> TcpStream {
    let stream = TcpStream::connect(("127.0.0.1", port)).expect("the server");
    stream.set_read_timeout(Some(Duration::from_secs(90))).expect("a bound");
    stream
}

/// All that is answered until the other side closes, or the error that ended it.
fn rest(stream: &mut impl std::io::Read) -> std::io::Result<String> {
    let mut answer = Vec::new();
    stream.read_to_end(&mut answer)?;
    Ok(String::from_utf8_lossy(&answer).into_owned())
}

fn get(config: &Arc<ClientConfig>, port: u16, path: &str) -> std::io::Result<String> {
    let mut stream = connect(config, port);
    write!(stream, "GET {path} HTTP/1.1\r\nHost: localhost:{port}\r\nConnection: close\r\n\r\n")?;
    rest(&mut stream)
}

/// A server over TLS, and the port that it took.
fn serve(house: &House, files: &Files, more: &[&str]) -> (Running, u16) {
    let mut program = house.program();
    program.args(["serve", "--address", "127.0.0.1:0", "--host", "localhost"]);
    program.arg("--tls-cert").arg(&files.certificate).arg("--tls-key").arg(&files.key).args(more);
    let server = Running::start(program);
    let at = server.said.find("Relook listens on https://127.0.0.1:").expect("an address");
    let digits = server.said[at..].split(':').nth(2).expect("a port").chars();
    let port = digits.take_while(char::is_ascii_digit).collect::<String>().parse().expect("a port");
    (server, port)
}

#[test]
fn pages_come_over_tls_to_who_trusts_the_certificate_and_links_lead_there() {
    let house = House::new();
    let files = Files::make(&house);
    let (server, port) = serve(&house, &files, &[]);
    let link = &server.links()[0];
    assert!(link.starts_with(&format!("https://localhost:{port}/sign-in/link/")), "{link}");
    let trusted = files.trusted();
    let page = get(&trusted, port, link.split(&port.to_string()).nth(1).expect("a path")).expect("a page");
    assert!(page.starts_with("HTTP/1.1 200") && page.contains("Quality lead"), "{page}");
    assert!(page.to_lowercase().contains("strict-transport-security: max-age=31536000"), "{page}");
    let stranger = Files { certificate: house.path("other.pem"), key: house.path("other-key.pem") };
    stranger.renew();
    assert!(get(&stranger.trusted(), port, "/health").is_err(), "a stranger's certificate is trusted");
    // Without TLS nothing of a page is answered.
    let mut bare = plain(port);
    // The server may be gone from the connection before all of it is written.
    let _ = write!(bare, "GET /sign-in HTTP/1.1\r\nHost: localhost:{port}\r\n\r\n");
    let answer = rest(&mut bare).unwrap_or_default();
    assert!(!answer.contains("HTTP/1.1"), "{answer}");
    assert_eq!(server.stop(), Some(0));
}

#[test]
fn a_client_that_does_not_go_on_keeps_nobody_else_waiting() {
    let house = House::new();
    let files = Files::make(&house);
    let (server, port) = serve(&house, &files, &[]);
    let trusted = files.trusted();
    // Some agree on nothing, some break off in the middle of it, some in the head of a request.
    let mut slow: Vec<TcpStream> = (0..40).map(|_| plain(port)).collect();
    for stream in slow.iter_mut().take(20) {
        stream.write_all(b"\x16\x03\x01").expect("the server");
    }
    let mut halves: Vec<Stream> = (0..20).map(|_| connect(&trusted, port)).collect();
    for half in &mut halves {
        half.write_all(b"GET /sign-in HTTP/1.1\r\nHost: loc").expect("the server");
    }
    for _ in 0..20 {
        let answer = get(&trusted, port, "/health").expect("an answer");
        assert!(answer.starts_with("HTTP/1.1 200"), "{answer}");
    }
    // In the end each is closed by the server.
    let mut first = slow.swap_remove(30);
    assert_eq!(first.read(&mut [0_u8; 64]).ok(), Some(0), "a handshake that never begins is not cut");
    let mut half = halves.remove(0);
    let cut = rest(&mut half).unwrap_or_default();
    assert!(cut.is_empty() || cut.starts_with("HTTP/1.1 408"), "{cut}");
    assert_eq!(server.stop(), Some(0));
}

#[test]
fn a_renewed_certificate_is_taken_up_on_a_hang_up_and_a_broken_one_is_not() {
    let house = House::new();
    let files = Files::make(&house);
    let (server, port) = serve(&house, &files, &[]);
    let old = files.trusted();
    assert!(get(&old, port, "/health").is_ok());
    std::fs::write(&files.certificate, "no certificate").expect("a file");
    server.signal("-HUP");
    std::thread::sleep(Duration::from_millis(300));
    assert!(get(&old, port, "/health").is_ok(), "the old certificate is gone for a broken one");
    files.renew();
    let new = files.trusted();
    server.signal("-HUP");
    let taken_up = (0..100).any(|_| {
        std::thread::sleep(Duration::from_millis(50));
        get(&new, port, "/health").is_ok()
    });
    assert!(taken_up, "the renewed certificate is not used");
    assert!(get(&old, port, "/health").is_err());
    assert_eq!(server.stop(), Some(0));
}

#[test]
fn what_was_accepted_is_finished_before_the_server_ends_with_tls_and_without() {
    let house = House::new();
    let files = Files::make(&house);
    let trusted = files.trusted();
    let body = "name=Nobody&password=not+the+right+words&next=%2F";
    let head = |port: u16| {
        format!(
            "POST /sign-in HTTP/1.1\r\nHost: localhost:{port}\r\nContent-Type: application/x-www-form-urlencoded\r\nContent-Length: {}\r\n\r\n{}",
            body.len(),
            &body[..20]
        )
    };
    let (server, port) = serve(&house, &files, &[]);
    let mut stream = connect(&trusted, port);
    stream.write_all(head(port).as_bytes()).expect("the server");
    finish(&server, port, &mut stream, &body[20..]);
    assert_eq!(server.stop(), Some(0));

    let mut program = house.program();
    program.args(["serve", "--address", "127.0.0.1:0"]);
    let server = Running::start(program);
    let at = server.said.find("http://127.0.0.1:").expect("an address") + "http://127.0.0.1:".len();
    let port = server.said[at..].split(['.', '/', '\n']).next().expect("a port").parse().expect("a port");
    let mut stream = plain(port);
    stream.write_all(head(port).as_bytes()).expect("the server");
    finish(&server, port, &mut stream, &body[20..]);
    assert_eq!(server.stop(), Some(0));
}

/// Asks the server to stop while a request is half sent, waits until nobody else is let in, and sends the
/// rest: it is answered.
fn finish(server: &Running, port: u16, stream: &mut (impl std::io::Read + std::io::Write), rest_of_it: &str) {
    stream.flush().expect("the server");
    // The head is with the server before it is asked to stop.
    std::thread::sleep(Duration::from_millis(300));
    server.signal("-TERM");
    let closed = (0..200).any(|_| {
        std::thread::sleep(Duration::from_millis(25));
        TcpStream::connect(("127.0.0.1", port)).is_err()
    });
    assert!(closed, "the server still lets others in");
    stream.write_all(rest_of_it.as_bytes()).expect("the server");
    stream.flush().expect("the server");
    let answer = rest(stream).unwrap_or_default();
    assert!(answer.starts_with("HTTP/1.1 422") && answer.contains("do not go together"), "{answer}");
}

#[test]
fn a_certificate_that_cannot_be_used_is_refused_with_a_sentence_before_anything_is_made() {
    let house = House::new();
    let files = Files::make(&house);
    let other = Files { certificate: house.path("other.pem"), key: house.path("other-key.pem") };
    other.renew();
    std::fs::write(house.path("empty.pem"), "").expect("a file");
    let serve = |certificate: &str, key: &str| {
        house.run(&["serve", "--address", "127.0.0.1:0", "--tls-cert", certificate, "--tls-key", key])
    };
    serve("absent.pem", "key.pem").refused("absent.pem holds no certificate that can be read");
    serve("empty.pem", "key.pem").refused("empty.pem holds no certificate that can be read");
    serve("chain.pem", "absent.pem").refused("absent.pem holds no private key that can be read");
    serve("chain.pem", "chain.pem").refused("chain.pem holds no private key that can be read");
    serve("chain.pem", "other-key.pem").refused("do not go together");
    let half = house.run(&["serve", "--tls-cert", "chain.pem"]);
    assert_eq!(half.code, 2, "{half:?}");
    assert!(!house.path("data").exists());
    drop(files);
}

#[test]
fn behind_a_proxy_links_and_cookies_are_made_for_its_name_and_https() {
    let house = House::new();
    let mut program = house.program();
    program.args(["serve", "--address", "127.0.0.1:0", "--host", "review.example", "--https"]);
    let server = Running::start(program);
    let link = &server.links()[0];
    assert!(link.starts_with("https://review.example/sign-in/link/"), "{link}");
    assert!(server.said.contains("Relook listens on http://127.0.0.1:"), "{}", server.said);
    assert_eq!(server.stop(), Some(0));
    house
        .run(&["user", "add", "Dr A", "--role", "fellow", "--address", "review.example:443", "--https"])
        .fine()
        .says("https://review.example/sign-in/link/");
}

#[test]
fn the_log_is_json_where_it_is_asked_for_and_holds_no_secret() {
    let house = House::new();
    let mut program = house.program();
    let log = std::fs::File::create(house.path("log")).expect("a file");
    program.args(["serve", "--address", "127.0.0.1:0", "--log-format", "json"]);
    let server = Running::start_with_log(program, log.into());
    let link = server.links()[0].clone();
    let at = link.find("/sign-in").expect("a path");
    let host = link["http://".len()..at].to_owned();
    let mut stream = TcpStream::connect(&host).expect("the server");
    write!(stream, "GET {} HTTP/1.1\r\nHost: {host}\r\nConnection: close\r\n\r\n", &link[at..])
        .expect("the server");
    assert!(rest(&mut stream).expect("a page").starts_with("HTTP/1.1 200"));
    assert_eq!(server.stop(), Some(0));
    let text = std::fs::read_to_string(house.path("log")).expect("the log");
    let secret = link.rsplit('/').next().expect("a secret");
    assert!(!text.contains(secret), "the link's secret stands in the log");
    let answered: Vec<serde_json::Value> =
        text.lines().map(|line| serde_json::from_str(line).expect("a JSON object")).collect();
    let fields =
        &answered.iter().find(|line| line["fields"]["message"] == "answered").expect("a line")["fields"];
    assert_eq!(fields["route"], "/sign-in/link/{secret}");
    assert_eq!(fields["status"], 200);
}
