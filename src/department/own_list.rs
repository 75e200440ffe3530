//! A list of response prompts of the department's own: its text as it is kept, and whether it can be
//! used.

use std::iter::once;

use super::PromptWords;
use crate::case::Key;
use crate::response::{LISTS, ListProblem, PromptList, Slug};

/// A list of the department's own.
#[derive(Debug, Clone)]
pub struct OwnList {
    /// Its lasting name, which remarks in cases keep.
    pub slug: String,
    /// The list as a file, as a person wrote it.
    pub text: String,
    /// No longer shown beside cases; their remarks stay.
    pub retired: bool,
    /// The list, or why it is left out.
    pub read: Result<PromptList, LeftOut>,
}

/// Why a stored list is left out.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum LeftOut {
    /// Its text is no list, or not with the words that are there now.
    #[error("{}", .0.iter().map(ToString::to_string).collect::<Vec<_>>().join(" "))]
    Problems(Vec<ListProblem>),
    /// Its text names another list.
    #[error("Its text names it “{0}”, but it is kept under another lasting name.")]
    OtherName(Slug),
    /// A list that came with a later version of the program has its name.
    #[error("A list that ships has the same lasting name.")]
    ShippedName,
}

impl OwnList {
    /// A list as it is stored, read with the words of the department.
    #[must_use]
    pub fn of(slug: String, text: String, retired: bool, words: &PromptWords) -> Self {
        let read = match read_own(&text, words) {
            Err(problems) => Err(LeftOut::Problems(problems)),
            Ok(list) if *list.slug() != *slug.as_str() => Err(LeftOut::OtherName(list.slug().clone())),
            Ok(_) if ships(&slug) => Err(LeftOut::ShippedName),
            Ok(list) => Ok(list),
        };
        Self { slug, text, retired, read }
    }

    /// What a person reads for it: its title, else its lasting name.
    #[must_use]
    pub fn title(&self) -> &str {
        self.read.as_ref().map_or(self.slug.as_str(), PromptList::title)
    }
}

/// Whether a list that ships has this lasting name.
#[must_use]
pub fn ships(slug: &str) -> bool {
    LISTS.iter().any(|(shipped, _)| *shipped == slug)
}

/// Reads a list of the department's own.
///
/// # Errors
/// What [`PromptList::parse`] finds; a character that was lost on the way; a name that a remark in a
/// case could not keep.
pub fn read_own(text: &str, words: &PromptWords) -> Result<PromptList, Vec<ListProblem>> {
    if let Some(at) = text.find('\u{FFFD}') {
        return Err(vec![problem_at(
            text,
            at,
            "Some characters here did not arrive whole. Type them again.",
        )]);
    }
    let list = PromptList::parse(text, &words.allowed())?;
    let questions = list.questions().iter().map(|question| &question.slug);
    let names = once(list.slug()).chain(questions).chain(list.steps().iter().map(|step| &step.slug));
    let too_long: Vec<ListProblem> = names
        .filter(|name| name.as_str().parse::<Key>().is_err())
        .map(|name| {
            let length = name.as_str().len();
            let message = format!(
                "The lasting name of a list, a question or a step has at most 40 characters; this has {length}."
            );
            problem_at_name(text, name.as_str(), message)
        })
        .collect();
    if too_long.is_empty() { Ok(list) } else { Err(too_long) }
}

/// Something that is wrong with the lasting name of a list, a question or a step, told where the name
/// stands in the text; at its beginning when it is not found.
#[must_use]
pub fn problem_at_name(text: &str, name: &str, message: impl Into<String>) -> ListProblem {
    let quoted = [format!("\"{name}\""), format!("'{name}'")];
    let mut start = 0;
    for line in text.split_inclusive('\n') {
        let is_name = line.trim_start().trim_start_matches(['"', '\'']).starts_with("slug");
        if let Some(at) = quoted.iter().find_map(|name| line.find(name.as_str()))
            && is_name
        {
            return problem_at(text, start + at, message);
        }
        start += line.len();
    }
    let anywhere = quoted.iter().find_map(|name| text.find(name.as_str()));
    problem_at(text, anywhere.unwrap_or(0), message)
}

/// A problem at a byte of the text.
fn problem_at(text: &str, at: usize, message: impl Into<String>) -> ListProblem {
    let before = text.get(..at).unwrap_or_default();
    let line_start = before.rfind('\n').map_or(0, |end| end + 1);
    ListProblem {
        line: before.matches('\n').count() + 1,
        column: before.get(line_start..).map_or(1, |line| line.chars().count() + 1),
        message: message.into(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::vocabulary::Vocabulary;

    const STEP: &str = "[[steps]]\nslug = \"look\"\ntext = \"A look.\"\nwhy = \"To see.\"\n";

    fn text(slug: &str, rest: &str) -> String {
        format!(
            "# Ours\nslug = \"{slug}\"\ntitle = \"Ours\"\nsource = \"Our protocol\"\nmechanisms = [\"flow-slow\"]\n{rest}"
        )
    }

    /// The shipped tree as a department has it.
    fn vocabulary() -> Vocabulary {
        Vocabulary { mechanisms: crate::vocabulary::shipped_mechanisms(), ..Vocabulary::default() }
    }

    fn own(kept_as: &str, text: &str) -> OwnList {
        OwnList::of(kept_as.to_owned(), text.to_owned(), false, &PromptWords::of(&vocabulary()))
    }

    #[test]
    fn a_list_is_used_when_its_text_is_a_list_of_its_own_name() {
        let list = own("ours", &text("ours", STEP));
        assert_eq!(list.read.as_ref().map(PromptList::title), Ok("Ours"));
        assert_eq!(list.title(), "Ours");
    }

    #[test]
    fn a_list_is_left_out_with_the_reason() {
        let broken = own("ours", &text("ours", ""));
        assert_eq!(broken.title(), "ours");
        let reason = broken.read.unwrap_err().to_string();
        assert_eq!(reason, "Line 1, column 1: This lacks “steps”, which a list needs.");
        assert_eq!(own("ours", &text("other", STEP)).read, Err(LeftOut::OtherName("other".parse().unwrap())));
        assert_eq!(own("no-reflow", &text("no-reflow", STEP)).read, Err(LeftOut::ShippedName));
    }

    #[test]
    fn a_name_that_no_remark_could_keep_is_told_where_it_stands() {
        let (fits, too_long) = ("x".repeat(40), "x".repeat(41));
        assert!(own(&fits, &text(&fits, STEP)).read.is_ok());
        let told = |text: &str| match read_own(text, &PromptWords::of(&vocabulary())) {
            Ok(_) => Vec::new(),
            Err(problems) => {
                problems.into_iter().map(|told| (told.line, told.column, told.message)).collect()
            }
        };
        let [(line, column, message)] = &told(&text(&too_long, STEP))[..] else { panic!("one problem") };
        assert_eq!((*line, *column), (2, 8));
        assert!(message.ends_with("has at most 40 characters; this has 41."), "{message}");
        // The name itself is meant, not what points to it from above.
        let pointed = text(
            "ours",
            &format!(
                "[[steps]]\nslug = \"first\"\ntext = \"A.\"\nwhy = \"B.\"\nbefore = \"{too_long}\"\n{STEP}"
            ),
        )
        .replace("\"look\"", &format!("\"{too_long}\""));
        assert_eq!(told(&pointed).iter().map(|(line, ..)| *line).collect::<Vec<_>>(), [12]);
    }

    #[test]
    fn a_lost_character_is_told_where_it_stands() {
        let typed = text("ours", STEP).replace("To see.", "Tä \u{FFFD} see.");
        let problems = read_own(&typed, &PromptWords::of(&vocabulary())).unwrap_err();
        assert_eq!((problems[0].line, problems[0].column), (9, 11));
    }
}
