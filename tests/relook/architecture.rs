//! The direction of imports, read from the sources: cores know only the floor, the record knows no
//! edge, SQL stays in stores, the clock and templates at the edge.

use std::fs;
use std::path::{Path, PathBuf};

/// The modules in the order in which each may use what stands before it.
const FLOOR: &[&str] = &["quantity"];
const CORES: &[&str] = &[
    "clinical",
    "deidentify",
    "document",
    "figure",
    "picture",
    "response",
    "statement",
    "stats",
    "timeline",
];
const RECORD: &[&str] = &[
    "history",
    "database",
    "backup",
    "vocabulary",
    "accounts",
    "draft",
    "case",
    "department",
    "rates",
    "conference",
    "review",
];
const EDGES: &[&str] = &["import", "export", "web", "cli"];

fn sources() -> Vec<(PathBuf, String)> {
    fn walk(folder: &Path, found: &mut Vec<PathBuf>) {
        for entry in fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                walk(&path, found);
            } else if path.extension().is_some_and(|ending| ending == "rs") {
                found.push(path);
            }
        }
    }
    let mut found = Vec::new();
    walk(&Path::new(env!("CARGO_MANIFEST_DIR")).join("src"), &mut found);
    found.into_iter().map(|path| (path.clone(), fs::read_to_string(&path).unwrap())).collect()
}

/// The top module that a source belongs to.
fn module(path: &Path) -> String {
    let inside = path.strip_prefix(Path::new(env!("CARGO_MANIFEST_DIR")).join("src")).unwrap();
    let first = inside.components().next().unwrap().as_os_str().to_string_lossy();
    first.trim_end_matches(".rs").to_owned()
}

/// Every `crate::name` of a text with its line number; comments are left out.
fn uses(text: &str) -> Vec<(usize, String)> {
    let mut found = Vec::new();
    for (index, line) in text.lines().enumerate() {
        if line.trim_start().starts_with("//") {
            continue;
        }
        for part in line.split("crate::").skip(1) {
            let name: String = part.chars().take_while(|c| c.is_alphanumeric() || *c == '_').collect();
            found.push((index + 1, name));
        }
    }
    found
}

fn allowed(module: &str) -> Vec<&'static str> {
    let mut allowed: Vec<&str> = FLOOR.to_vec();
    if CORES.contains(&module) || FLOOR.contains(&module) {
        return allowed;
    }
    allowed.extend(CORES);
    if let Some(place) = RECORD.iter().position(|name| *name == module) {
        allowed.extend(&RECORD[..place]);
        return allowed;
    }
    allowed.extend(RECORD);
    match module {
        "import" | "export" => {}
        "web" => allowed.extend(["import", "export"]),
        _ => allowed.extend(EDGES),
    }
    allowed
}

#[test]
fn each_module_imports_only_what_stands_before_it() {
    let known: Vec<&str> = [FLOOR, CORES, RECORD, EDGES].concat();
    let mut wrong = Vec::new();
    for (path, text) in sources() {
        let own = module(&path);
        if ["lib", "main", "build"].contains(&own.as_str()) {
            continue;
        }
        assert!(
            known.contains(&own.as_str()),
            "{own} is in no ring: give it a place in this test and in lib.rs"
        );
        let may = allowed(&own);
        for (line, name) in uses(&text) {
            if known.contains(&name.as_str()) && name != own && !may.contains(&name.as_str()) {
                wrong.push(format!("{}:{line}: {own} uses {name}", path.display()));
            }
        }
    }
    assert!(wrong.is_empty(), "imports against the direction:\n{}", wrong.join("\n"));
}

#[test]
fn libraries_of_the_edges_stay_at_the_edges() {
    /// Whether a source may name a library.
    type May = fn(&Path) -> bool;
    let rules: [(&str, May); 5] = [
        ("rusqlite::", |path| module(path) == "database" && path.to_string_lossy().ends_with("_sqlite.rs")),
        ("axum::", |path| module(path) == "web"),
        ("askama::", |path| module(path) == "web"),
        ("sqlx::", |path| {
            let text = path.to_string_lossy();
            matches!(module(path).as_str(), "database" | "history")
                || text.ends_with("store.rs")
                || text.contains("/store/")
                || text.ends_with("_sqlite.rs")
                || text.ends_with("case/list.rs")
                || text.ends_with("store_tests.rs")
                // The edges name sqlx's connection where they pass one on, and no statement.
                || matches!(module(path).as_str(), "web" | "cli")
        }),
        ("Timestamp::now", |path| {
            text_ends(path, &["web/state.rs", "main.rs", "src/database.rs"]) || module(path) == "cli"
        }),
    ];
    let mut wrong = Vec::new();
    for (path, text) in sources() {
        for (name, may) in rules {
            if may(&path) {
                continue;
            }
            for (index, line) in text.lines().enumerate() {
                let code = line.trim_start();
                if !code.starts_with("//") && code.contains(name) {
                    wrong.push(format!("{}:{}: {name}", path.display(), index + 1));
                }
            }
        }
    }
    assert!(wrong.is_empty(), "libraries where they do not belong:\n{}", wrong.join("\n"));
}

fn text_ends(path: &Path, endings: &[&str]) -> bool {
    endings.iter().any(|ending| path.to_string_lossy().ends_with(ending))
}

#[test]
fn the_edges_hold_no_sql() {
    let mut wrong = Vec::new();
    for (path, text) in sources() {
        if !EDGES.contains(&module(&path).as_str()) {
            continue;
        }
        for (index, line) in text.lines().enumerate() {
            if ["sqlx::query", "query_as(", "QueryBuilder"].iter().any(|word| line.contains(word)) {
                wrong.push(format!("{}:{}", path.display(), index + 1));
            }
        }
    }
    assert!(wrong.is_empty(), "statements outside the stores:\n{}", wrong.join("\n"));
}

#[test]
fn templates_hold_no_inline_script_or_style() {
    fn walk(folder: &Path, wrong: &mut Vec<String>) {
        for entry in fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                walk(&path, wrong);
                continue;
            }
            let text = fs::read_to_string(&path).unwrap().to_lowercase();
            let found = [
                "<style",
                "style=\"",
                "onclick=",
                "onload=",
                "onchange=",
                "javascript:",
                "http://",
                "https://",
            ]
            .into_iter()
            .find(|word| text.contains(word));
            if let Some(word) = found {
                wrong.push(format!("{}: {word}", path.display()));
            }
            for part in text.split("<script").skip(1) {
                if !part.contains("src=\"/static/js/") {
                    wrong.push(format!("{}: a script without a file of ours", path.display()));
                }
            }
        }
    }
    let mut wrong = Vec::new();
    walk(&Path::new(env!("CARGO_MANIFEST_DIR")).join("templates"), &mut wrong);
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}
