//! Word files, opened by python-docx and LibreOffice.

use std::path::{Path, PathBuf};
use std::sync::OnceLock;

use relook::document::Document;
use relook::export::format::Options;
use relook::export::word::FORMAT;

use super::readers::{Folder, pages, read_with, to_pdf};
use super::said::{Said, plain};
use super::{Told, cases};

/// Every case with its summary and its file, made once.
fn made() -> &'static [(Told, Document, Vec<u8>)] {
    static MADE: OnceLock<Vec<(Told, Document, Vec<u8>)>> = OnceLock::new();
    MADE.get_or_init(|| {
        let make = |told: Told| {
            let summary = told.summary();
            let bytes = (FORMAT.render)(&summary, &Options::default()).unwrap();
            (told, summary, bytes)
        };
        cases::all().into_iter().map(make).collect()
    })
}

/// The files in a folder, in the order of the cases.
fn written(folder: &Path) -> Vec<PathBuf> {
    made()
        .iter()
        .map(|(told, _, bytes)| {
            let path = folder.join(format!("{}.docx", told.name));
            std::fs::write(&path, bytes).unwrap();
            path
        })
        .collect()
}

#[test]
fn a_word_file_says_what_the_record_says() {
    let folder = Folder::new();
    let files = written(folder.path());
    let read = read_with("read_word.py", &files);
    for ((told, document, _), file) in made().iter().zip(&files) {
        let expected = Said::of(document.blocks());
        let found = &read[file.to_str().unwrap()];
        assert_eq!(found["core"]["author"], "");
        assert_eq!(found["core"]["title"].as_str().unwrap(), document.title());
        assert_eq!(found["language"], "en-GB");
        let paragraphs: Vec<(String, String)> = found["paragraphs"]
            .as_array()
            .unwrap()
            .iter()
            .map(|p| (p["style"].as_str().unwrap().to_owned(), plain(p["text"].as_str().unwrap())))
            .collect();
        let of_style = |style: &str| {
            paragraphs
                .iter()
                .filter(|(own, _)| own.starts_with(style))
                .map(|(_, text)| text.clone())
                .collect::<Vec<_>>()
        };
        assert_eq!(of_style("Title"), [plain(document.title())]);
        let headings = of_style("Heading");
        assert!(expected.headings.iter().all(|heading| headings.contains(heading)), "{headings:?}");
        for words in &expected.paragraphs {
            assert!(paragraphs.iter().any(|(_, text)| text == words), "{}: {words}", told.name);
        }
        let tables: Vec<Vec<Vec<String>>> = found["tables"]
            .as_array()
            .unwrap()
            .iter()
            .map(|table| {
                let row = |row: &serde_json::Value| {
                    row.as_array().unwrap().iter().map(|cell| plain(cell.as_str().unwrap())).collect()
                };
                table["rows"].as_array().unwrap().iter().map(row).collect()
            })
            .collect();
        for table in &expected.tables {
            assert!(tables.contains(table), "{}: {table:?}", told.name);
        }
        let drawings: Vec<&str> =
            found["pictures"].as_array().unwrap().iter().map(|text| text.as_str().unwrap()).collect();
        assert_eq!(drawings.len(), expected.drawings.len());
        for (drawing, description) in drawings.iter().zip(&expected.drawings) {
            assert!(drawing.contains(description.as_str()), "{drawing}");
        }
        assert_eq!(plain(found["header"].as_str().unwrap()), plain(document.standing().unwrap()));
        assert_eq!(found["fields"], serde_json::json!([" PAGE ", " NUMPAGES "]));
    }
}

#[test]
fn the_parts_of_a_word_file_hold_together_and_follow_the_schemas() {
    let folder = Folder::new();
    let files = written(folder.path());
    let faults = read_with("read_package.py", &files);
    let schema = read_with("check_schema.py", &files);
    for file in &files {
        let name = file.to_str().unwrap();
        assert_eq!(faults[name], serde_json::json!([]), "{name}");
        assert_eq!(schema[name], serde_json::json!([]), "{name}");
    }
}

#[test]
fn libreoffice_lays_a_word_file_out() {
    let folder = Folder::new();
    let files = written(folder.path());
    for pdf in to_pdf(&files, folder.path()) {
        assert!(pages(&pdf) > 0);
    }
}

#[test]
fn the_same_record_is_the_same_file() {
    for (_, document, bytes) in made() {
        assert!((FORMAT.render)(document, &Options::default()).unwrap() == *bytes);
    }
}
