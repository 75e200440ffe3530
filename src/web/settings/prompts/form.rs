//! The form that a list is written in.

use askama::Template;

use super::differing::{Differing, differing};
use super::guide::{EXAMPLE, PARTS, Part, Row, vocabularies};
use super::{ADDRESS, shipped};
use crate::department::OwnList;
use crate::response::ListProblem;
use crate::vocabulary::Vocabulary;
use crate::web::frame::{Frame, Place, Visit};
use crate::web::state::App;

/// Something that is wrong with what was typed.
struct Mark {
    sentence: String,
    /// The line that it is about, shortened; empty when it is about no line.
    line: String,
}

/// The most characters that are shown of a line.
const LINE_AT_MOST: usize = 90;

/// What is wrong, each with the line that it is about.
fn marks(text: &str, problems: &[ListProblem]) -> Vec<Mark> {
    if text.trim().is_empty() {
        let sentence = "Write the list here, or start from one that is there already.".to_owned();
        return vec![Mark { sentence, line: String::new() }];
    }
    let lines: Vec<&str> = text.lines().collect();
    problems
        .iter()
        .map(|problem| Mark {
            sentence: problem.to_string(),
            line: shortened(lines.get(problem.line - 1).copied().unwrap_or_default()),
        })
        .collect()
}

fn shortened(line: &str) -> String {
    let line = line.trim();
    let mut short: String = line.chars().take(LINE_AT_MOST).collect();
    if short.len() < line.len() {
        short.push('…');
    }
    short
}

/// What was typed, as it is kept: lines end in `\n`, and the last one ends.
pub(super) fn normalised(typed: &str) -> String {
    let text = typed.replace("\r\n", "\n").replace('\r', "\n");
    let text = text.trim_start_matches('\u{feff}').trim_end();
    if text.is_empty() { String::new() } else { format!("{text}\n") }
}

/// The page with the form.
#[derive(Template)]
#[template(path = "settings/prompt_form.html")]
pub(super) struct FormPage {
    frame: Frame,
    back: String,
    eyebrow: String,
    title: String,
    lead: &'static str,
    action: String,
    save: &'static str,
    /// What is in the field.
    text: String,
    marks: Vec<Mark>,
    /// The fingerprint of what is kept; empty for a new list.
    base: String,
    /// Where what was kept meanwhile differs from what was typed.
    stale: Option<Differing>,
    /// Lists to start from: name and title. None when the list is there already.
    patterns: Vec<(String, String)>,
    example: &'static str,
    parts: &'static [Part],
    words: Vec<(&'static str, Vec<Row>)>,
}

impl FormPage {
    fn heading(&self) -> &'static str {
        if self.marks.len() == 1 {
            "Nothing is saved yet: the list needs another look"
        } else {
            "Nothing is saved yet: the list needs another look in several places"
        }
    }

    /// The form for a new list.
    pub(super) fn new(app: &App, visit: &Visit, vocabulary: &Vocabulary, text: String) -> Self {
        let department = app.department();
        let patterns = shipped(&department.prompts)
            .map(|list| (list.slug().to_string(), list.title().to_owned()))
            .collect();
        Self {
            frame: visit.frame(Place::Settings),
            back: ADDRESS.to_owned(),
            eyebrow: "Response prompts".to_owned(),
            title: "Add a list of your own".to_owned(),
            lead: "It stands beside the lists that ship, marked as your department’s. It can be changed or retired later; its lasting name stays.",
            action: ADDRESS.to_owned(),
            save: "Add it",
            text,
            marks: Vec::new(),
            base: String::new(),
            stale: None,
            patterns,
            example: EXAMPLE,
            parts: PARTS,
            words: vocabularies(vocabulary),
        }
    }

    /// The form for a list that is there.
    pub(super) fn edit(
        app: &App,
        visit: &Visit,
        vocabulary: &Vocabulary,
        list: &OwnList,
        text: String,
    ) -> Self {
        Self {
            back: format!("{ADDRESS}/{}", list.slug),
            eyebrow: list.title().to_owned(),
            title: format!("Change “{}”", list.title()),
            lead: "Cases show the list as it is kept here, from the next look on. The lasting name of the list stays; so should those of its steps and questions: what was said of them in a case is kept under them.",
            action: format!("{ADDRESS}/{}/edit", list.slug),
            save: "Save",
            patterns: Vec::new(),
            ..Self::new(app, visit, vocabulary, text)
        }
    }

    /// The form with what is wrong with what was typed.
    pub(super) fn marked(mut self, problems: &[ListProblem]) -> Self {
        self.marks = marks(&self.text, problems);
        self
    }

    /// The form, carrying the fingerprint of what was kept when it was opened.
    pub(super) fn opened_on(self, base: &str) -> Self {
        Self { base: base.to_owned(), ..self }
    }

    /// The same form over what was kept meanwhile.
    pub(super) fn over(self, saved: &str) -> Self {
        Self { stale: Some(differing(saved, &self.text)), save: "Save yours over it", ..self }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_typed_is_kept_with_plain_line_ends() {
        assert_eq!(normalised("\u{feff}a\r\n\r\n  b \rc  \r\n\r\n"), "a\n\n  b \nc\n");
        assert_eq!(normalised(" \r\n "), "");
        let text = normalised("a\r\nb");
        assert_eq!(normalised(&text), text);
    }

    #[test]
    fn a_mark_shows_the_line_that_it_is_about() {
        let problem = |line| ListProblem { line, column: 3, message: "Wrong.".to_owned() };
        let long = format!("a\n  {}\n", "ä".repeat(200));
        let found = marks(&long, &[problem(1), problem(2), problem(9)]);
        assert_eq!(found[0].sentence, "Line 1, column 3: Wrong.");
        assert_eq!(found[0].line, "a");
        assert_eq!(found[1].line, format!("{}…", "ä".repeat(90)));
        assert_eq!(found[2].line, "");
        assert_eq!(marks(" \n", &[problem(1)]).len(), 1);
    }
}
