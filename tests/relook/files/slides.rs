//! Slides, opened by python-pptx and LibreOffice.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::sync::OnceLock;

use relook::document::{Block, Deck, SlideKind};
use relook::export::format::Options;
use relook::export::slides::FORMAT;
use serde_json::Value;

use super::readers::{Folder, pages, read_with, to_pdf, words};
use super::{CONFIDENTIAL, Told, cases};

/// Every case with its deck and its file, made once.
fn made() -> &'static [(Told, Deck, Vec<u8>)] {
    static MADE: OnceLock<Vec<(Told, Deck, Vec<u8>)>> = OnceLock::new();
    MADE.get_or_init(|| {
        let make = |told: Told| {
            let deck = told.deck();
            let bytes = (FORMAT.render)(&deck, &Options::default()).unwrap();
            (told, deck, bytes)
        };
        cases::all().into_iter().map(make).collect()
    })
}

/// The files in a folder, in the order of the cases.
fn written(folder: &Path) -> Vec<PathBuf> {
    made()
        .iter()
        .map(|(told, _, bytes)| {
            let path = folder.join(format!("{}.pptx", told.name));
            std::fs::write(&path, bytes).unwrap();
            path
        })
        .collect()
}

/// Words with no more than one space between them, without marks of direction.
fn plain(text: &str) -> String {
    text.replace(['\u{200E}', '\u{200F}'], "").split_whitespace().collect::<Vec<_>>().join(" ")
}

fn list<'v>(value: &'v Value, name: &str) -> &'v [Value] {
    value[name].as_array().map_or(&[], Vec::as_slice)
}

fn text_of(shape: &Value) -> String {
    list(shape, "paragraphs").iter().map(|p| p["text"].as_str().unwrap()).collect::<Vec<_>>().join("\n")
}

fn shape<'v>(slide: &'v Value, name: &str) -> Option<&'v Value> {
    list(slide, "shapes").iter().find(|shape| shape["name"] == name)
}

/// What a slide of a file says in its title, without what says that it goes on.
fn title(slide: &Value) -> String {
    text_of(shape(slide, "Title").unwrap()).trim_end_matches(" (continued)").to_owned()
}

/// All words that stand under the titles of a file: text and cells.
fn body(slides: &[&Value]) -> String {
    let mut text = String::new();
    for slide in slides {
        for one in list(slide, "shapes") {
            if one["name"] == "Text" {
                text.push_str(&text_of(one));
                text.push(' ');
            }
            for row in list(one, "table") {
                for cell in row.as_array().unwrap() {
                    text.push_str(cell.as_str().unwrap());
                    text.push(' ');
                }
            }
        }
    }
    plain(&text)
}

/// The same words, as the deck has them.
fn told(blocks: &[Block]) -> Vec<String> {
    let mut all = Vec::new();
    for block in blocks {
        match block {
            Block::Paragraph(phrase) | Block::Note(phrase) | Block::Caution(phrase) => {
                all.push(phrase.to_text())
            }
            Block::List { items, .. } => all.extend(items.iter().map(|item| item.to_text())),
            Block::Facts(facts) => {
                for fact in facts {
                    all.push(fact.label.clone());
                    all.push(fact.value.to_text());
                }
            }
            Block::Table(table) => all.extend(table.rows().iter().flatten().map(|cell| cell.to_text())),
            _ => {}
        }
    }
    all
}

/// The slides of a file by the slide of the deck that they tell: those that go on stand behind it.
fn by_slide<'v>(deck: &Deck, file: &'v Value) -> Vec<Vec<&'v Value>> {
    let mut grouped: Vec<Vec<&Value>> = Vec::new();
    for slide in list(file, "slides") {
        let whole = text_of(shape(slide, "Title").unwrap());
        if whole.ends_with(" (continued)") {
            grouped.last_mut().unwrap().push(slide);
        } else {
            grouped.push(vec![slide]);
        }
    }
    assert_eq!(grouped.len(), deck.slides.len());
    grouped
}

#[test]
fn slides_say_what_the_record_says() {
    let folder = Folder::new();
    let files = written(folder.path());
    let read = read_with("read_slides.py", &files);
    for ((case, deck, _), file) in made().iter().zip(&files) {
        let file = &read[file.to_str().unwrap()];
        assert_eq!(file["size"], serde_json::json!([960.0, 540.0]));
        assert_eq!(file["core"]["author"], "");
        assert_eq!(file["core"]["changed_by"], "");
        for (slide, pages) in deck.slides.iter().zip(by_slide(deck, file)) {
            let first = pages[0];
            let short = title(first);
            let begins = short.trim_end_matches('…');
            assert!(plain(&slide.title).starts_with(plain(begins).as_str()), "{}: {short}", case.name);
            let body = body(&pages);
            if short.ends_with('…') && !slide.title.ends_with('…') {
                assert!(body.contains(&plain(&slide.title)), "{}: {}", case.name, slide.title);
            }
            for words in told(&slide.blocks) {
                // A paragraph that goes on on the next slide is there in pieces.
                let squeezed = |text: &str| text.split_whitespace().collect::<String>();
                assert!(squeezed(&body).contains(&squeezed(&words)), "{}: {words:?} in {body:?}", case.name);
            }
            let figures: Vec<&str> = slide
                .blocks
                .iter()
                .filter_map(|block| match block {
                    Block::Figure(figure) => Some(figure.description.as_str()),
                    _ => None,
                })
                .collect();
            let pictures: Vec<&Value> = pages
                .iter()
                .flat_map(|page| list(page, "shapes"))
                .filter(|one| one["name"] == "Figure")
                .collect();
            assert_eq!(pictures.len(), figures.len(), "{}: {}", case.name, slide.name);
            for (picture, description) in pictures.iter().zip(figures) {
                let alternative = picture["description"].as_str().unwrap();
                assert!(alternative.contains(plain(description).as_str()), "{alternative}");
                assert_eq!(picture["image"]["type"], "image/png");
                // Two dots a point of its width.
                let (wide, dots) =
                    (picture["place"][2].as_f64().unwrap(), picture["image"]["size"][0].as_f64().unwrap());
                assert!((dots - 2.0 * wide).abs() < 3.0, "{dots} dots for {wide} points");
            }
            let notes: Vec<&str> =
                slide.notes.lines().map(str::trim).filter(|line| !line.is_empty()).collect();
            match first["notes"].as_str() {
                Some(found) => assert_eq!(found.lines().collect::<Vec<_>>(), notes),
                None => assert!(notes.is_empty(), "{}: {}", case.name, slide.name),
            }
        }
    }
}

#[test]
fn every_slide_stands_on_its_layout_with_its_line_and_its_number() {
    let folder = Folder::new();
    let files = written(folder.path());
    let read = read_with("read_slides.py", &files);
    for file in &files {
        for slide in list(&read[file.to_str().unwrap()], "slides") {
            for one in list(slide, "shapes") {
                assert!(
                    one["kind"].is_null() || !list(one, "layout").is_empty(),
                    "{}: {one} takes over from nothing",
                    file.display()
                );
                let is_small = ["Footer", "Slide number", "Part"].iter().any(|name| one["name"] == *name);
                for paragraph in list(one, "paragraphs").iter().filter(|_| !is_small) {
                    let size = paragraph["smallest"].as_f64();
                    assert!(size.is_none_or(|size| size >= 24.0), "{paragraph}");
                }
                assert!(one["smallest"].as_f64().is_none_or(|size| size >= 18.0), "{one}");
                let place: Vec<f64> = list(one, "place").iter().map(|n| n.as_f64().unwrap()).collect();
                assert!(
                    place[0] >= 0.0
                        && place[1] >= 0.0
                        && place[0] + place[2] <= 960.1
                        && place[1] + place[3] <= 540.1,
                    "{one}"
                );
            }
            assert_eq!(text_of(shape(slide, "Footer").unwrap()), CONFIDENTIAL);
            assert_eq!(shape(slide, "Slide number").unwrap()["fields"], serde_json::json!(["slidenum"]));
        }
    }
}

#[test]
fn the_parts_of_a_file_hold_together_and_follow_the_schemas() {
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

/// What LibreOffice lays out: as many pages as slides, and every word within the place for it. Its fonts
/// stand in for ours, as on a machine that has not ours either.
#[test]
fn no_word_leaves_its_place_when_libreoffice_lays_the_slides_out() {
    let folder = Folder::new();
    let files = written(folder.path());
    let read = read_with("read_slides.py", &files);
    let pdfs = to_pdf(&files, folder.path());
    for ((file, pdf), (told, _, _)) in files.iter().zip(&pdfs).zip(made()) {
        let slides = list(&read[file.to_str().unwrap()], "slides");
        assert_eq!(pages(pdf), slides.len(), "{}", told.name);
        for (number, (words, slide)) in words(pdf).iter().zip(slides).enumerate() {
            let title = shape(slide, "Title").unwrap();
            let opening = slide["layout"] == "Opening";
            let title_bottom = title["place"][1].as_f64().unwrap() + title["place"][3].as_f64().unwrap();
            for ([left, top, right, bottom], word) in words {
                let at =
                    format!("{}, slide {}: {word:?} at {left} {top} {right} {bottom}", told.name, number + 1);
                assert!(*left >= 46.0 && *right <= 914.0, "{at}");
                assert!(*top >= 14.0 && *bottom <= 533.0, "{at}");
                // Between what is told and the line at the foot nothing stands, nor between title and text.
                let middle = (top + bottom) / 2.0;
                assert!(!(486.0..498.0).contains(&middle), "{at}");
                if !opening {
                    assert!(!(title_bottom + 1.0..title_bottom + 9.0).contains(&middle), "{at}");
                }
            }
        }
    }
}

#[test]
fn a_stop_point_is_two_slides_and_the_first_tells_nothing() {
    let (told, deck, _) = made().iter().find(|(told, _, _)| told.name == "ordinary").unwrap();
    let mut stops: BTreeMap<&str, Vec<&str>> = BTreeMap::new();
    for slide in &deck.slides {
        match &slide.kind {
            SlideKind::Question(decision) => stops.entry(decision).or_default().push("question"),
            SlideKind::Answer(decision) => stops.entry(decision).or_default().push("answer"),
            _ => {}
        }
    }
    assert!(!stops.is_empty());
    for (decision, slides) in &stops {
        assert_eq!(slides, &["question", "answer"], "{decision}");
    }
    for row in &told.case.decisions {
        let decision = &row.value;
        let Some(at) = deck.slides.iter().position(
            |slide| matches!(&slide.kind, SlideKind::Question(asked) if asked == decision.key.as_str()),
        ) else {
            continue;
        };
        let before: String =
            deck.slides[..=at].iter().map(|slide| format!("{} {:?}", slide.title, slide.blocks)).collect();
        if let Some(followed) = &decision.followed {
            assert!(!before.contains(followed.as_str()), "the answer stands before its question");
        }
        // The reasons are the presenter's to bring up.
        for reason in decision.options.iter().flat_map(|option| &option.reasons_for) {
            assert!(deck.slides[at].notes.contains(reason.as_str().trim_end_matches('.')), "{reason}");
        }
    }
}

#[test]
fn the_same_record_is_the_same_file() {
    for (_, deck, bytes) in
        made().iter().filter(|(told, _, _)| told.name == "ordinary" || told.name == "emoji")
    {
        assert!((FORMAT.render)(deck, &Options::default()).unwrap() == *bytes);
    }
}
