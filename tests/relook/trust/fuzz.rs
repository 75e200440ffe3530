//! Input that nobody meant to send: never a panic, never an answer of 500 or above.
//!
//! `RELOOK_FUZZ=1000000 cargo test --test relook trust::fuzz -- --nocapture` sends a million inputs over
//! all readers and prints how many each had; without it some thousands. `RELOOK_SEED` gives other ones.
//! Half of the inputs are changed from the demo's own files and from forms as pages send them, half are
//! put together from bytes and from the words that the readers look for.

use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::Path;

use relook::export::html::markdown_to_html;
use relook::import::at_risk;
use relook::import::case_file::{Language, read};
use relook::quantity::Offset;
use relook::web::form::Values;
use relook::web::router::routes;

use super::killed::{Chance, from_environment};
use crate::import::shipped_vocabulary;
use crate::support::{CaseBuilder, TestApp};

/// How many inputs of a hundred each reader has.
const SHARES: [(&str, u64); 7] = [
    ("case file, TOML", 18),
    ("case file, JSON", 18),
    ("Markdown", 18),
    ("time entry", 20),
    ("CSV of procedures at risk", 12),
    ("form decoding", 13),
    ("form posts through the router", 1),
];

/// Words that the readers look for, and bytes that trip readers up.
const PIECES: [&str; 56] = [
    "[[events]]\n",
    "[patient]\n",
    "at = \"+1:00\"\n",
    "kind = ",
    "\"\"\"",
    "'''",
    "= ",
    "{",
    "}",
    "[",
    "]",
    ",",
    ":",
    "\"",
    "\\u0000",
    "\\uD800",
    "\u{feff}",
    "\u{202e}",
    "é",
    "𝔘",
    "\0",
    "\r\n",
    "\t",
    "#",
    "null",
    "true",
    "-0",
    "1e309",
    "9999999999999999999",
    "format = 1\n",
    "title",
    "<script>",
    "<img src=x onerror=alert(1)>",
    "](javascript:x)",
    "![",
    "|---|",
    "```",
    "> ",
    "* ",
    "1. ",
    "&#x6a;",
    "--:--",
    "+",
    "-",
    "~",
    "+99:99",
    "24:60:61",
    "about ",
    "month,all-pci\n",
    "2026-01,",
    "%",
    "%zz",
    "&",
    "=",
    ";",
    "base=",
];

/// An input put together from pieces and bytes.
fn made_up(chance: &mut Chance) -> Vec<u8> {
    let mut bytes = Vec::new();
    for _ in 0..chance.below(24) {
        if chance.below(3) == 0 {
            bytes.extend((0..chance.below(9)).map(|_| byte(chance)));
        } else {
            bytes.extend(pick(chance, &PIECES).as_bytes());
        }
    }
    bytes
}

fn byte(chance: &mut Chance) -> u8 {
    u8::try_from(chance.below(256)).unwrap()
}

fn pick<'a, T>(chance: &mut Chance, among: &'a [T]) -> &'a T {
    &among[place(chance, among.len())]
}

fn place(chance: &mut Chance, length: usize) -> usize {
    usize::try_from(chance.below(u64::try_from(length.max(1)).unwrap())).unwrap()
}

/// A good input with a few things changed: bytes flipped, cut out, doubled, pieces put in.
fn changed(chance: &mut Chance, good: &[u8]) -> Vec<u8> {
    // A stretch of it, now and then, so that most inputs are quick to read.
    let mut bytes = if chance.below(4) == 0 || good.len() < 400 {
        good.to_vec()
    } else {
        let start = place(chance, good.len() - 300);
        good[start..(start + 60 + place(chance, 1_200)).min(good.len())].to_vec()
    };
    for _ in 0..=chance.below(6) {
        let at = place(chance, bytes.len());
        match chance.below(5) {
            0 if !bytes.is_empty() => bytes[at] = byte(chance),
            1 => drop(bytes.drain(at..(at + place(chance, 40)).min(bytes.len()))),
            2 => {
                let end = (at + place(chance, 60)).min(bytes.len());
                let part = bytes[at..end].to_vec();
                bytes.splice(at..at, part);
            }
            3 => bytes.truncate(at),
            _ => drop(bytes.splice(at..at, pick(chance, &PIECES).bytes())),
        }
    }
    bytes
}

/// Good inputs to change.
struct Good {
    toml: Vec<Vec<u8>>,
    json: Vec<Vec<u8>>,
    words: Vec<Vec<u8>>,
    table: Vec<u8>,
}

impl Good {
    fn read() -> Self {
        let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("demo-cases");
        let mut good = Self { toml: Vec::new(), json: Vec::new(), words: Vec::new(), table: Vec::new() };
        let mut paths: Vec<_> =
            std::fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path()).collect();
        paths.sort();
        for path in paths {
            match path.extension().and_then(|end| end.to_str()) {
                Some("toml") => {
                    let bytes = std::fs::read(&path).unwrap();
                    let case = read(&bytes, Language::Toml, shipped_vocabulary()).unwrap();
                    good.json.push(relook::export::case_file::to_json(&case).into_bytes());
                    good.words.extend(case.narrative.iter().map(|story| story.as_str().as_bytes().to_vec()));
                    good.toml.push(bytes);
                }
                Some("csv") => good.table = std::fs::read(&path).unwrap(),
                _ => {}
            }
        }
        good
    }
}

/// Runs one reader on one input and fails with the input when it panics.
fn survives(reader: &str, input: &[u8], work: impl FnOnce(&[u8])) {
    let outcome = catch_unwind(AssertUnwindSafe(|| work(input)));
    assert!(outcome.is_ok(), "{reader} panicked on {:?}", String::from_utf8_lossy(input));
}

fn one_of(chance: &mut Chance, good: &[Vec<u8>]) -> Vec<u8> {
    if chance.below(2) == 0 {
        made_up(chance)
    } else {
        let good = pick(chance, good).clone();
        changed(chance, &good)
    }
}

#[test]
fn no_reader_panics_on_what_nobody_meant_to_send() {
    let inputs = from_environment("RELOOK_FUZZ", 6_000);
    let mut chance = Chance(from_environment("RELOOK_SEED", 20_261_129));
    let good = Good::read();
    let vocabulary = shipped_vocabulary();
    let times: Vec<Vec<u8>> =
        ["+0:00", "-3:00", "+1:02:30", "~12 min", "about +5", "14:02", "90", "+12:30±2"]
            .map(|text| text.as_bytes().to_vec())
            .to_vec();
    let forms: Vec<Vec<u8>> = [
        "base=abc&title=A+case&situation=Flow%20gone",
        "at=%2B5%3A00&kind=flow&segment=lad-mid&flow=0",
        "option-1=a&option-2=b&chosen=2&for-1=x&for-1=y",
    ]
    .map(|text| text.as_bytes().to_vec())
    .to_vec();
    for (reader, share) in &SHARES[..6] {
        let number = inputs * share / 100;
        let mut accepted = 0_u64;
        for _ in 0..number {
            match *reader {
                "case file, TOML" => {
                    let input = one_of(&mut chance, &good.toml);
                    survives(reader, &input, |bytes| {
                        accepted += u64::from(read(bytes, Language::Toml, vocabulary).is_ok())
                    });
                }
                "case file, JSON" => {
                    let input = one_of(&mut chance, &good.json);
                    survives(reader, &input, |bytes| {
                        accepted += u64::from(read(bytes, Language::Json, vocabulary).is_ok())
                    });
                }
                "Markdown" => {
                    let input = one_of(&mut chance, &good.words);
                    survives(reader, &input, |bytes| {
                        let html = markdown_to_html(&String::from_utf8_lossy(bytes)).to_lowercase();
                        for never in
                            ["<script", "<iframe", "<style", "<svg", "href=\"javascript:", "<form", "<input"]
                        {
                            assert!(!html.contains(never), "{never} came through");
                        }
                        accepted += 1;
                    });
                }
                "time entry" => {
                    let input = one_of(&mut chance, &times);
                    survives(reader, &input, |bytes| {
                        let text = String::from_utf8_lossy(bytes);
                        let _ = text.parse::<Offset>();
                        if let Ok(offset) = Offset::parse_typed(&text) {
                            // What was read once is written so that it reads the same.
                            assert_eq!(offset.to_string().parse(), Ok(offset));
                            accepted += 1;
                        }
                    });
                }
                "CSV of procedures at risk" => {
                    let input = one_of(&mut chance, std::slice::from_ref(&good.table));
                    survives(reader, &input, |bytes| {
                        accepted += u64::from(at_risk::read(bytes, vocabulary).is_ok())
                    });
                }
                _ => {
                    let input = one_of(&mut chance, &forms);
                    survives(reader, &input, |bytes| {
                        let values = Values::from_encoded(&String::from_utf8_lossy(bytes));
                        accepted += u64::from(!values.into_pairs().is_empty());
                    });
                }
            }
        }
        println!("{reader}: {number} inputs, {accepted} accepted, no panic");
    }
}

/// The values of a path that a form can be sent to.
fn address(chance: &mut Chance, path: &str, case: &str) -> String {
    path.split('/')
        .map(|part| match part {
            "{code}" => case.to_owned(),
            part if part.starts_with('{') => match chance.below(4) {
                0 => made_up_name(chance),
                1 => "no-reflow".to_owned(),
                _ => (1 + chance.below(3)).to_string(),
            },
            part => part.to_owned(),
        })
        .collect::<Vec<_>>()
        .join("/")
}

fn made_up_name(chance: &mut Chance) -> String {
    form_urlencoded::byte_serialize(&made_up(chance)).collect::<String>().replace('+', "%20")
}

const NAMES: [&str; 34] = [
    "base",
    "title",
    "month",
    "mechanism",
    "situation",
    "at",
    "kind",
    "text",
    "segment",
    "flow",
    "systolic",
    "diastolic",
    "narrative",
    "option-1",
    "option-2",
    "chosen",
    "cause",
    "statement",
    "shown_by",
    "what",
    "owner",
    "due",
    "strength",
    "name",
    "role",
    "stage",
    "line",
    "held_on",
    "number",
    "value",
    "to",
    "year",
    "order",
    "number-1",
];

#[tokio::test]
async fn no_form_that_is_posted_anywhere_gets_an_answer_of_500() {
    let share = SHARES[6].1;
    let posts = (from_environment("RELOOK_FUZZ", 30_000) * share / 100).max(200);
    let mut chance = Chance(from_environment("RELOOK_SEED", 20_261_129) + 1);
    let app = TestApp::init().await;
    let case = CaseBuilder::new("Fuzzed").complete().action("A second wire", "2026-09-01").insert(&app).await;
    let case = case.code.to_string();
    let lead = app.with_quality_lead().await;
    // Signing out and ending accounts would end the visit; the rest is posted to.
    let paths: Vec<&str> = routes()
        .rules()
        .into_iter()
        .filter(|rule| {
            rule.method == "POST" && !rule.path.starts_with("/sign-") && !rule.path.contains("/users/")
        })
        .map(|rule| rule.path)
        .collect();
    assert!(paths.len() > 40, "{}", paths.len());
    let mut answers = std::collections::BTreeMap::<u16, u64>::new();
    for turn in 0..posts {
        let path = address(&mut chance, paths[usize::try_from(turn).unwrap() % paths.len()], &case);
        let body = if chance.below(4) == 0 {
            made_up(&mut chance)
        } else {
            let mut form = form_urlencoded::Serializer::new(String::new());
            for _ in 0..chance.below(9) {
                let value = made_up(&mut chance);
                let value = match chance.below(3) {
                    0 => "2026-01".to_owned(),
                    1 => chance.below(9_999).to_string(),
                    _ => String::from_utf8_lossy(&value).into_owned(),
                };
                let name: &str = NAMES[place(&mut chance, NAMES.len())];
                form.append_pair(name, &value);
            }
            form.finish().into_bytes()
        };
        let page = lead.post_body(&path, "application/x-www-form-urlencoded", body.clone()).await;
        assert!(page.status.as_u16() < 500, "POST {path} with {:?}: {page}", String::from_utf8_lossy(&body));
        *answers.entry(page.status.as_u16()).or_default() += 1;
    }
    println!("{posts} form posts to {} addresses: {answers:?}", paths.len());
    assert!(!answers.contains_key(&401), "the visit ended on the way");
}
