//! Slides on a department's own template.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use relook::export::format::Options;
use relook::export::slides::FORMAT;
use relook::export::slides::template::clean;

use super::cases;
use super::readers::{Folder, pages, python_runs, read_with, to_pdf};

/// A presentation of a department, made by another program.
fn department(folder: &Path, name: &str, size: (&str, &str)) -> PathBuf {
    let path = folder.join(name);
    python_runs("make_template.py", &[path.to_str().unwrap(), size.0, size.1]);
    path
}

fn on_template(template: &Path, folder: &Path) -> Vec<PathBuf> {
    let cleaned = clean(&std::fs::read(template).unwrap()).unwrap();
    let options = Options { template: Some(Arc::new(cleaned.base)) };
    let stem = template.file_stem().unwrap().to_str().unwrap();
    [cases::ordinary(), cases::greek(), cases::nearly_empty()]
        .iter()
        .map(|told| {
            let path = folder.join(format!("{stem}-{}.pptx", told.name));
            std::fs::write(&path, (FORMAT.render)(&told.deck(), &options).unwrap()).unwrap();
            path
        })
        .collect()
}

#[test]
fn slides_take_the_masters_of_a_department_and_nothing_else() {
    let kept = Folder::new();
    let folder = kept.path().join("template");
    std::fs::create_dir_all(&folder).unwrap();
    for (name, size) in [("wide.pptx", ("960", "540")), ("narrow.pptx", ("720", "540"))] {
        let template = department(&folder, name, size);
        let bytes = std::fs::read(&template).unwrap();
        let kept = folder.join(format!("kept-{name}"));
        let cleaned = clean(&bytes).unwrap();
        assert_eq!(
            cleaned.left_out,
            ["One picture or object that could not be taken over: only whole PNG, JPEG and GIF files are."]
        );
        std::fs::write(&kept, cleaned.base.to_bytes().unwrap()).unwrap();
        let files = on_template(&template, &folder);
        let all: Vec<PathBuf> = files.iter().cloned().chain([kept]).collect();
        let faults = read_with("read_package.py", &all);
        let schema = read_with("check_schema.py", &all);
        let secrets = read_with("find_words.py", &all);
        for file in &all {
            let name = file.to_str().unwrap();
            assert_eq!(faults[name], serde_json::json!([]), "{name}");
            assert_eq!(schema[name], serde_json::json!([]), "{name}");
            assert_eq!(secrets[name], serde_json::json!([]), "{name}");
        }
        let read = read_with("read_slides.py", &files);
        let pdfs = to_pdf(&files, &folder);
        for (file, pdf) in files.iter().zip(&pdfs) {
            let deck = &read[file.to_str().unwrap()];
            assert_eq!(deck["size"], serde_json::json!([size.0.parse::<f64>().unwrap(), 540.0]));
            let layouts: Vec<&str> =
                deck["layouts"].as_array().unwrap().iter().map(|l| l.as_str().unwrap()).collect();
            assert!(layouts.contains(&"Title and Content") && layouts.contains(&"Title Only"), "{layouts:?}");
            let slides = deck["slides"].as_array().unwrap();
            assert_eq!(slides[0]["layout"], "Title Slide");
            for slide in slides {
                let foot = slide["shapes"].as_array().unwrap().iter().find(|shape| shape["name"] == "Footer");
                assert_eq!(foot.unwrap()["paragraphs"][0]["text"], super::CONFIDENTIAL);
                for shape in slide["shapes"].as_array().unwrap() {
                    let has_place =
                        shape["kind"].is_null() || !shape["layout"].as_array().unwrap().is_empty();
                    assert!(has_place, "{shape}");
                    for paragraph in shape["paragraphs"].as_array().unwrap_or(&Vec::new()) {
                        let small = shape["name"] == "Footer" || shape["name"] == "Slide number";
                        assert!(
                            small || paragraph["smallest"].as_f64().is_none_or(|size| size >= 24.0),
                            "{shape}"
                        );
                    }
                }
            }
            assert_eq!(pages(pdf), slides.len());
        }
    }
}
