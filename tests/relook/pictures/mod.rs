//! Pictures: what is kept of a file, read by programs that know nothing of Relook; what a person has to do before
//! one is kept; who sees it; and files that nobody should send.

mod bare;
mod hostile;
mod independent;
mod kept;
mod shown;

use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

use relook::case::{CaseCode, store};

use crate::support::{Client, Page, StatusCode, TestApp};

/// What every text beside the pixels of the made files holds.
const MARK: &str = "ZQTOLLAND";

/// Runs tests/python/pictures.py.
fn python(arguments: &[&str]) -> Vec<u8> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let program = root.join("target/python/bin/python");
    assert!(program.exists(), "{} is missing: tests/run installs it", program.display());
    let done = Command::new(program)
        .arg(root.join("tests/python/pictures.py"))
        .args(arguments)
        .stderr(Stdio::piped())
        .output()
        .unwrap();
    assert!(done.status.success(), "{arguments:?}: {}", String::from_utf8_lossy(&done.stderr));
    done.stdout
}

fn told(arguments: &[&str]) -> String {
    String::from_utf8(python(arguments)).unwrap().trim().to_owned()
}

/// Runs exiftool over a file.
fn exiftool(arguments: &[&str], file: &Path) -> String {
    let done =
        Command::new("exiftool").args(arguments).arg(file).output().expect("exiftool: tests/run installs it");
    String::from_utf8_lossy(&done.stdout).into_owned()
}

/// The files that tests/python/pictures.py makes, in a folder that goes when it does.
fn made() -> (tempfile::TempDir, PathBuf) {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("made");
    python(&["make", path.to_str().unwrap()]);
    (folder, path)
}

/// Where pydicom keeps its public sample files.
fn samples() -> PathBuf {
    told(&["samples"]).into()
}

/// A form with a file.
fn multipart(name: &str, bytes: &[u8]) -> (&'static str, Vec<u8>) {
    let mut body = format!(
        "--edge\r\nContent-Disposition: form-data; name=\"file\"; filename=\"{name}\"\r\nContent-Type: application/octet-stream\r\n\r\n"
    )
    .into_bytes();
    body.extend_from_slice(bytes);
    body.extend_from_slice(b"\r\n--edge--\r\n");
    ("multipart/form-data; boundary=edge", body)
}

/// Sends a file for a case.
async fn bring(client: &Client, address: &str, bytes: &[u8]) -> Page {
    // What a file is called says nothing.
    let (kind, body) = multipart("TOLLAND_MAUD_19310402.gif", bytes);
    client.post_body(address, kind, body).await
}

/// Where a picture of a case is brought.
fn new_path(code: CaseCode) -> String {
    format!("/cases/{code}/pictures/new")
}

/// Sends a file that is taken; gives where its editor is.
async fn brought(client: &Client, code: CaseCode, bytes: &[u8]) -> String {
    let page = bring(client, &new_path(code), bytes).await;
    page.expect(StatusCode::SEE_OTHER);
    page.location().to_owned()
}

/// Burns rectangles out of a frame.
async fn burn(client: &Client, editor: &str, frame: &str, rectangles: &[[&str; 4]]) -> Page {
    let mut fields = vec![("frame", frame), ("do", "burn")];
    for rectangle in rectangles {
        fields.extend(["left", "top", "width", "height"].into_iter().zip(*rectangle));
    }
    client.post(editor, &fields).await
}

/// Says what a picture shows and that it was looked at.
async fn say(client: &Client, editor: &str, more: &[(&str, &str)]) -> Page {
    let look = format!("{editor}/look");
    let page = client.get(&look).await;
    page.expect(StatusCode::OK);
    let base = page.value("base");
    let mut fields = vec![("base", base.as_str()), ("shows", "The branch ends early."), ("looked", "yes")];
    fields.retain(|(name, _)| more.iter().all(|(other, _)| other != name));
    fields.extend(more);
    client.post(&look, &fields).await
}

/// Brings a file and keeps a frame of it; gives the PNG that is kept.
async fn keep(app: &TestApp, client: &Client, code: CaseCode, bytes: &[u8], frame: &str) -> Vec<u8> {
    let editor = brought(client, code, bytes).await;
    burn(client, &editor, frame, &[]).await.expect(StatusCode::SEE_OTHER);
    say(client, &editor, &[("no-writing", "yes")]).await.expect(StatusCode::SEE_OTHER);
    newest(app, code).await
}

/// The PNG of the picture of a case that was kept last.
async fn newest(app: &TestApp, code: CaseCode) -> Vec<u8> {
    let case = app.case(code).await;
    let row = case.pictures.iter().max_by_key(|row| row.id).expect("a picture");
    let mut conn = app.app.database.read().await.unwrap();
    store::png(&mut conn, &row.value.still.digest).await.unwrap().expect("its pixels")
}

/// Whether bytes stand somewhere in others.
fn holds(bytes: &[u8], text: &[u8]) -> bool {
    bytes.windows(text.len()).any(|window| window == text)
}
