//! The independent readers: Python's libraries in `target/python`, and LibreOffice.

use std::path::{Path, PathBuf};
use std::process::Command;

use serde_json::Value;

/// Where the Python of the tests is.
fn python() -> PathBuf {
    let python = Path::new(env!("CARGO_MANIFEST_DIR")).join("target/python/bin/python");
    assert!(
        python.exists(),
        "{} is not there: tests/run puts it there, with the packages of tests/python/requirements.txt",
        python.display()
    );
    python
}

/// What a script of `tests/python` prints.
pub fn python_runs(script: &str, arguments: &[&str]) -> Vec<u8> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/python").join(script);
    let output = Command::new(python()).arg(path).args(arguments).output().expect("Python runs");
    assert!(output.status.success(), "{script}: {}", String::from_utf8_lossy(&output.stderr));
    output.stdout
}

/// What a script of `tests/python` says about some files.
pub fn read_with(script: &str, files: &[PathBuf]) -> Value {
    let names: Vec<&str> = files.iter().map(|file| file.to_str().unwrap()).collect();
    let said = python_runs(script, &names);
    serde_json::from_slice(&said)
        .unwrap_or_else(|error| panic!("{script}: {error}: {}", String::from_utf8_lossy(&said)))
}

/// Files as PDF, as LibreOffice lays them out; in the folder that is given.
pub fn to_pdf(files: &[PathBuf], folder: &Path) -> Vec<PathBuf> {
    let folder = &folder.join(format!("pdf-{}", files[0].extension().unwrap().to_str().unwrap()));
    std::fs::create_dir_all(folder).unwrap();
    // A profile of its own, so that tests beside each other do not wait for one another.
    let profile = format!("-env:UserInstallation=file://{}", folder.join("profile").display());
    let output = Command::new("soffice")
        .arg(profile)
        .args(["--headless", "--convert-to", "pdf", "--outdir"])
        .arg(folder)
        .args(files)
        .output()
        .expect("LibreOffice is there: tests/run installs libreoffice-impress and libreoffice-writer");
    let said = String::from_utf8_lossy(&output.stderr).into_owned();
    assert!(output.status.success(), "LibreOffice: {said}");
    files
        .iter()
        .map(|file| {
            let pdf = folder.join(file.file_stem().unwrap()).with_extension("pdf");
            assert!(pdf.exists(), "LibreOffice made no {}: {said}", pdf.display());
            pdf
        })
        .collect()
}

/// How many pages a PDF has.
pub fn pages(pdf: &Path) -> usize {
    let output =
        Command::new("pdfinfo").arg(pdf).output().expect("poppler-utils is there: tests/run installs it");
    let text = String::from_utf8_lossy(&output.stdout).into_owned();
    let line = text.lines().find(|line| line.starts_with("Pages:")).unwrap_or_else(|| panic!("{text}"));
    line["Pages:".len()..].trim().parse().unwrap()
}

/// Where on each page of a PDF words stand: left, top, right, bottom in points, and the word.
pub fn words(pdf: &Path) -> Vec<Vec<([f64; 4], String)>> {
    let output = Command::new("pdftotext").args(["-bbox"]).arg(pdf).arg("-").output().expect("poppler-utils");
    let text = String::from_utf8_lossy(&output.stdout).into_owned();
    let mut pages = Vec::new();
    for line in text.lines().map(str::trim) {
        if line.starts_with("<page ") {
            pages.push(Vec::new());
        } else if let Some(rest) = line.strip_prefix("<word ") {
            let number = |name: &str| -> f64 {
                let (_, rest) = rest.split_once(&format!("{name}=\"")).unwrap();
                rest.split('"').next().unwrap().parse().unwrap()
            };
            let word = rest.split_once('>').unwrap().1.trim_end_matches("</word>").to_owned();
            pages.last_mut().unwrap().push((["xMin", "yMin", "xMax", "yMax"].map(number), word));
        }
    }
    pages
}

/// A folder of a test; with `RELOOK_FILES` that one, where files stay to be looked at.
pub struct Folder {
    _kept: Option<tempfile::TempDir>,
    path: PathBuf,
}

impl Folder {
    pub fn new() -> Self {
        if let Some(folder) = std::env::var_os("RELOOK_FILES") {
            std::fs::create_dir_all(&folder).unwrap();
            return Self { _kept: None, path: folder.into() };
        }
        let folder = tempfile::tempdir().unwrap();
        Self { path: folder.path().to_owned(), _kept: Some(folder) }
    }

    pub fn path(&self) -> &Path {
        &self.path
    }
}
