//! Reading case files from the command line: files and folders, all of them before anything is done.

use std::collections::BTreeMap;
use std::io::{IsTerminal as _, Read as _, Write};
use std::path::{Path, PathBuf};

use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};

use crate::case::{Case, CaseCode};
use crate::import::case_file::{self, Language};
use crate::import::{FILE_AT_MOST, FileProblem};
use crate::vocabulary::Vocabulary;

/// From so many files on, a terminal shows how far the work has come.
const MANY: usize = 50;

/// What was read: the good files with their cases, and a line for each problem.
#[derive(Default)]
pub(super) struct Files {
    pub(super) cases: Vec<(PathBuf, Case)>,
    /// `path:line:column: …`, or `path: …` for a file as a whole.
    pub(super) problems: Vec<String>,
    /// How many files were looked at.
    pub(super) looked_at: usize,
}

impl Files {
    /// Reads every file named, and every case file in every folder named.
    pub(super) fn read(named: &[PathBuf], vocabulary: &Vocabulary) -> Self {
        let mut files = Self::default();
        let mut paths = Vec::new();
        for path in named {
            match case_files(path) {
                Ok(found) => paths.extend(found),
                Err(problem) => files.refuse(path, &problem),
            }
        }
        let bar = progress("Reading", paths.len());
        for path in paths {
            files.looked_at += 1;
            files.read_one(path, vocabulary);
            bar.inc(1);
        }
        bar.finish_and_clear();
        files.refuse_codes_given_twice();
        files
    }

    fn refuse(&mut self, path: &Path, problem: &str) {
        self.problems.push(format!("{}: {problem}", path.display()));
    }

    fn read_one(&mut self, path: PathBuf, vocabulary: &Vocabulary) {
        let bytes = match read_bounded(&path) {
            Ok(bytes) => bytes,
            Err(error) => return self.refuse(&path, &format!("This file cannot be read: {error}.")),
        };
        match case_file::read(&bytes, Language::of(&path, &bytes), vocabulary) {
            Ok(case) => self.cases.push((path, case)),
            Err(problems) => self.problems.extend(problems.iter().map(|problem| in_file(&path, problem))),
        }
    }

    fn refuse_codes_given_twice(&mut self) {
        let mut first: BTreeMap<CaseCode, PathBuf> = BTreeMap::new();
        let mut twice = Vec::new();
        for (path, case) in &self.cases {
            let Some(code) = case.code else {
                continue;
            };
            match first.get(&code) {
                Some(other) => {
                    twice.push((path.clone(), format!("{} has the code {code} too.", other.display())))
                }
                None => {
                    first.insert(code, path.clone());
                }
            }
        }
        for (path, problem) in twice {
            self.refuse(&path, &problem);
        }
    }

    /// Writes the problems, a line each.
    pub(super) fn tell(&self, to: &mut dyn Write) -> std::io::Result<()> {
        self.problems.iter().try_for_each(|problem| writeln!(to, "{problem}"))
    }
}

/// A problem with the name of its file before it.
pub(super) fn in_file(path: &Path, problem: &FileProblem) -> String {
    format!("{}:{problem}", path.display())
}

/// A file itself; of a folder the case files that lie directly in it, by name.
fn case_files(path: &Path) -> Result<Vec<PathBuf>, String> {
    if !path.is_dir() {
        return Ok(vec![path.to_owned()]);
    }
    let entries = std::fs::read_dir(path).map_err(|error| format!("This folder cannot be read: {error}."))?;
    let mut found = Vec::new();
    for entry in entries {
        let entry = entry.map_err(|error| format!("This folder cannot be read: {error}."))?.path();
        let end = entry.extension().map(|end| end.to_string_lossy().to_lowercase());
        if entry.is_file() && matches!(end.as_deref(), Some("toml" | "json")) {
            found.push(entry);
        }
    }
    if found.is_empty() {
        return Err("This folder holds no case file, neither .toml nor .json.".to_owned());
    }
    found.sort();
    Ok(found)
}

/// Reads a file, and of one that is too large no more than shows that it is.
pub(super) fn read_bounded(path: &Path) -> std::io::Result<Vec<u8>> {
    let mut bytes = Vec::new();
    let limit = u64::try_from(FILE_AT_MOST).unwrap_or(u64::MAX).saturating_add(1);
    std::fs::File::open(path)?.take(limit).read_to_end(&mut bytes)?;
    Ok(bytes)
}

/// A bar for long work, on a terminal; nothing otherwise.
pub(super) fn progress(what: &'static str, steps: usize) -> ProgressBar {
    let shown = steps > MANY && std::io::stderr().is_terminal();
    let target = if shown { ProgressDrawTarget::stderr() } else { ProgressDrawTarget::hidden() };
    let bar = ProgressBar::with_draw_target(u64::try_from(steps).ok(), target).with_message(what);
    match ProgressStyle::with_template("{msg} {bar:40} {pos} of {len}, {eta} left") {
        Ok(style) => bar.with_style(style),
        Err(_) => bar,
    }
}
