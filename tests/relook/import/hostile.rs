//! Files that are no case files at all, and files made to do harm: always a sentence, never a panic.

use std::fmt::Write as _;
use std::time::{Duration, Instant};

use proptest::prelude::*;
use relook::import::case_file::{Language, read};
use relook::import::{FileProblem, at_risk};

use super::{GOOD, shipped_vocabulary};

fn told(bytes: &[u8], language: Language) -> Vec<FileProblem> {
    read(bytes, language, shipped_vocabulary()).expect_err("a bad file")
}

/// Each as bytes, with the place and a telling part of the message.
#[test]
fn what_is_no_text_is_told_so_at_its_byte() {
    let huge = vec![b'#'; 1024 * 1024 + 1];
    let latin_1: Vec<u8> = [b"format = 1\ntitle = \"Caf".as_slice(), &[0xe9], b"\"\n"].concat();
    let cut_short = [GOOD.as_bytes(), &[0xe2, 0x80]].concat();
    let utf_16: Vec<u8> = "\u{feff}format = 1".encode_utf16().flat_map(u16::to_le_bytes).collect();
    let picture = [b"\x89PNG\r\n\x1a\n".as_slice(), &[0, 0, 0, 13]].concat();
    let zero = b"format = 1\ntitle = \"a\0b\"\n".to_vec();
    let after_umlaut: Vec<u8> = ["# é\n# üü".as_bytes(), &[0xff]].concat();
    for (bytes, line, column, says) in [
        (huge, 1, 1, "larger than 1 MiB"),
        (latin_1, 2, 13, "not valid UTF-8"),
        (cut_short, 102, 1, "not valid UTF-8"),
        (utf_16, 1, 1, "saved as UTF-16"),
        (picture, 1, 1, "not valid UTF-8"),
        (zero, 2, 11, "not a text file"),
        (after_umlaut, 2, 5, "not valid UTF-8"),
    ] {
        for language in [Language::Toml, Language::Json] {
            let problems = told(&bytes, language);
            assert_eq!(problems.len(), 1, "{says}");
            assert_eq!((problems[0].line, problems[0].column), (line, column), "{says}");
            assert!(problems[0].message.contains(says), "{}", problems[0]);
        }
    }
}

#[test]
fn an_empty_file_is_told_what_it_needs() {
    for text in ["", "\n\n", "# nothing but a remark\n"] {
        let problems = told(text.as_bytes(), Language::Toml);
        let needs: Vec<bool> = ["format", "title", "month", "stage"]
            .iter()
            .map(|key| {
                problems.iter().any(|problem| problem.message.contains(&format!("needs the key “{key}”")))
            })
            .collect();
        assert_eq!(needs, [true; 4], "{problems:?}");
        assert!(problems.iter().all(|problem| (problem.line, problem.column) == (1, 1)));
    }
}

#[test]
fn nesting_without_end_is_refused_quickly() {
    let size = 1_000_000;
    let bombs = [
        (format!("a = {}", "[".repeat(size)), Language::Toml),
        (format!("a = {}1{}", "[".repeat(size / 2), "]".repeat(size / 2)), Language::Toml),
        (format!("a = {}", "{b=".repeat(size / 3)), Language::Toml),
        (format!("{}a = 1", "a.".repeat(size / 2)), Language::Toml),
        (format!("[{}a]", "a.".repeat(size / 2)), Language::Toml),
        ("[".repeat(size), Language::Json),
        (format!("{}1{}", "[".repeat(size / 2), "]".repeat(size / 2)), Language::Json),
        (format!("{}1{}", "{\"a\":".repeat(size / 8), "}".repeat(size / 8)), Language::Json),
        (format!("{{\"events\": {}{}}}", "[".repeat(size / 2), "]".repeat(size / 2)), Language::Json),
        ("=\n".repeat(size / 20), Language::Toml),
        ("[[events]]\n".repeat(size / 11), Language::Toml),
        ("[a]\n".repeat(size / 40), Language::Toml),
        (format!("title = \"{}\"", "\\u0041".repeat(size / 6)), Language::Toml),
        (format!("{{{}}}", "\"a\":1,".repeat(size / 6)), Language::Json),
    ];
    for (text, language) in bombs {
        let start = Instant::now();
        let problems = told(text.as_bytes(), language);
        assert!(start.elapsed() < Duration::from_secs(20), "{} took {:?}", &text[..20], start.elapsed());
        assert!(problems.len() <= 101, "{}: {}", &text[..20], problems.len());
    }
}

#[test]
fn many_different_keys_in_one_object_are_refused_without_comparing_all_of_them() {
    let mut text = String::from("{");
    for n in 0..80_000 {
        let _ = write!(text, "\"k{n}\":1,");
    }
    text.push_str("\"z\":1}");
    let start = Instant::now();
    assert!(!told(text.as_bytes(), Language::Json).is_empty());
    assert!(start.elapsed() < Duration::from_secs(10), "{:?}", start.elapsed());
}

#[test]
fn a_file_nested_a_little_too_deep_is_told_where() {
    let text = GOOD.replace("harm = \"moderate\"", "harm = [[[[[[[[1]]]]]]]]");
    let problems = told(text.as_bytes(), Language::Toml);
    assert!(problems.iter().any(|problem| problem.message.contains("nested deeper")), "{problems:?}");
    assert!(problems.iter().all(|problem| problem.line == 101), "{problems:?}");
}

#[test]
fn huge_text_is_told_how_much_fits() {
    let text =
        GOOD.replace("First paragraph.", &"word ".repeat(5_000)).replace("Turn the tip.", &"é".repeat(2_001));
    let problems = told(text.as_bytes(), Language::Toml);
    assert_eq!(problems.len(), 2, "{problems:?}");
    assert!(
        problems[0].message.starts_with("At most 20000 characters fit here; this has 250"),
        "{}",
        problems[0]
    );
    assert_eq!((problems[0].line, problems[0].column, problems[0].path.as_str()), (8, 13, "narrative"));
    assert_eq!(problems[1].message, "At most 2000 characters fit here; this has 2001.");
}

#[test]
fn a_file_with_thousands_of_slips_is_told_of_the_first_hundred() {
    let text: String = (0..5_000).fold("format = 1\n".to_owned(), |mut text, n| {
        let _ = writeln!(text, "k{n} = 1");
        text
    });
    let problems = told(text.as_bytes(), Language::Toml);
    assert_eq!(problems.len(), 101);
    assert!(problems[100].message.contains("There are more problems"), "{}", problems[100]);
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 400, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn arbitrary_bytes_never_panic(bytes in proptest::collection::vec(any::<u8>(), 0..600)) {
        for language in [Language::Toml, Language::Json] {
            prop_assert!(read(&bytes, language, shipped_vocabulary()).is_err());
        }
        let _ = at_risk::read(&bytes, shipped_vocabulary());
    }

    #[test]
    fn texts_of_the_signs_that_matter_never_panic(text in "[\\[\\]{}=,.\"'\\\\#:a-c0-9\\n\\r\\t ‸é+-]{0,120}") {
        for language in [Language::Toml, Language::Json] {
            for problem in told(text.as_bytes(), language) {
                let lines = text.split('\n').count();
                prop_assert!((1..=lines).contains(&problem.line), "{problem}");
                let line = text.split('\n').nth(problem.line - 1).unwrap_or_default();
                prop_assert!((1..=line.chars().count() + 2).contains(&problem.column), "{problem}");
                prop_assert!(!problem.message.is_empty());
            }
        }
        let _ = at_risk::read(text.as_bytes(), shipped_vocabulary());
    }

    /// A good file with some bytes changed, dropped or doubled: read or told, never a panic; and what
    /// is read can be written and read again.
    #[test]
    fn mutated_good_files_never_panic(
        edits in proptest::collection::vec((0..4000_usize, 0..4_u8, any::<u8>()), 1..12),
        as_json in any::<bool>(),
    ) {
        let good = read(GOOD.as_bytes(), Language::Toml, shipped_vocabulary()).expect("the good file");
        let (text, language) = if as_json {
            (relook::export::case_file::to_json(&good), Language::Json)
        } else {
            (GOOD.to_owned(), Language::Toml)
        };
        let mut bytes = text.into_bytes();
        for (at, what, byte) in edits {
            let at = at % bytes.len();
            match what {
                0 => bytes[at] = byte,
                1 => { bytes.remove(at); }
                2 => bytes.insert(at, b"\"[]{}=,.\n"[usize::from(byte) % 9]),
                _ => { let copy: Vec<u8> = bytes[at..(at + 40).min(bytes.len())].to_vec(); bytes.splice(at..at, copy); }
            }
        }
        match read(&bytes, language, shipped_vocabulary()) {
            Ok(case) => {
                let written = relook::export::case_file::to_toml(&case);
                prop_assert_eq!(read(written.as_bytes(), Language::Toml, shipped_vocabulary()), Ok(case));
            }
            Err(problems) => prop_assert!(!problems.is_empty()),
        }
    }
}
