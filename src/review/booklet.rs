//! The lessons booklet: the chosen lessons of a year with their cases in short, for whoever is new.
//!
//! Signed lessons of presented cases, by mechanism in the order of the tree, then by case: its account (`case`),
//! its drawings once however many lessons it has, its lessons with what they rest on (`lesson`), its actions. At
//! the end what is in print, and an index (`index`). It tells neither month, day, age, sex nor who signed: the
//! year and the code of a case are all that says when.

mod case;
mod index;
mod lesson;
pub mod store;

use std::collections::BTreeSet;

use crate::case::reading::words::{count, join, lower_first};
use crate::case::{Lesson, LessonKind, Row, StoredCase, is_presented};
use crate::conference::Confidentiality;
use crate::document::{Block, Document, Level, Phrase};
use crate::review::summary::{CAUTION, index_complication};
use crate::vocabulary::Vocabulary;

/// What stands over it: whom it is for, and what goes before it.
pub const FOR_TEACHING: &str = "For teaching. Each lesson was learned from a single case of this department; where your local protocols say otherwise, they hold.";

/// What a booklet is made from.
#[derive(Debug)]
pub struct Inputs<'a> {
    /// The year of its cases.
    pub year: i64,
    /// What the department puts over what is confidential.
    pub line: &'a Confidentiality,
    /// The cases, in the order of their codes.
    pub cases: &'a [StoredCase],
    /// The ids of the lessons that were chosen.
    pub chosen: &'a BTreeSet<i64>,
}

/// A case of the booklet with those of its lessons that are in it.
struct Told<'a> {
    case: &'a StoredCase,
    lessons: Vec<&'a Row<Lesson>>,
}

/// A lesson that was written, for the index and the list of what is in print.
struct Written<'a> {
    number: usize,
    lesson: &'a Lesson,
    anchor: String,
    case: &'a StoredCase,
    case_anchor: String,
}

/// The booklet of a year. A lesson that nobody signed, of a case that was not presented or is held back, is left
/// out even when it was chosen.
#[must_use]
pub fn booklet(inputs: &Inputs, vocabulary: &Vocabulary) -> Document {
    let told = told(inputs);
    let mut document = Document::new(format!("Lessons of {}", inputs.year));
    document.stands_as(format!("{} Lessons of {}, made from the record.", inputs.line, inputs.year));
    opening(&mut document, &told);
    let mut written: Vec<Written> = Vec::new();
    for (label, cases) in by_mechanism(&told, vocabulary) {
        document.section(label);
        for told in cases {
            case::write(&mut document, told, vocabulary, &mut written);
        }
    }
    index::in_print(&mut document, &written);
    index::index(&mut document, &written);
    document.caution(FOR_TEACHING).caution(CAUTION);
    document
}

fn told<'a>(inputs: &Inputs<'a>) -> Vec<Told<'a>> {
    let may_be_told = |case: &&StoredCase| is_presented(case.head.stage) && !case.is_held();
    let mut told: Vec<Told> = Vec::new();
    for case in inputs.cases.iter().filter(may_be_told) {
        let lessons: Vec<&Row<Lesson>> = case
            .lessons
            .iter()
            .filter(|row| row.value.signed_by.is_some() && inputs.chosen.contains(&row.id))
            .collect();
        if !lessons.is_empty() {
            told.push(Told { case, lessons });
        }
    }
    told
}

/// The cases under the mechanism of their first harm, in the order of the tree; what it has lost, and cases
/// without a harm, come last.
fn by_mechanism<'t, 'a>(told: &'t [Told<'a>], vocabulary: &Vocabulary) -> Vec<(String, Vec<&'t Told<'a>>)> {
    let mut placed: Vec<(usize, String, &Told)> = told
        .iter()
        .map(|told| match index_complication(told.case) {
            Some(harm) => {
                let place = vocabulary.mechanisms.iter().position(|leaf| leaf.slug == harm.mechanism);
                (place.unwrap_or(usize::MAX), vocabulary.mechanism_label(&harm.mechanism), told)
            }
            None => (usize::MAX, "No mechanism recorded".to_owned(), told),
        })
        .collect();
    placed.sort_by(|(place, label, _), (other, other_label, _)| {
        place.cmp(other).then_with(|| label.cmp(other_label))
    });
    let mut groups: Vec<(String, Vec<&Told>)> = Vec::new();
    for (_, label, told) in placed {
        match groups.last_mut() {
            Some((last, cases)) if *last == label => cases.push(told),
            _ => groups.push((label, vec![told])),
        }
    }
    groups
}

fn opening(document: &mut Document, told: &[Told]) {
    let lessons: usize = told.iter().map(|told| told.lessons.len()).sum();
    if lessons == 0 {
        document.paragraph("No lesson is chosen for this booklet yet.");
        return;
    }
    document.paragraph(format!(
        "{} from {}. An attending stands behind each of them.",
        counted(lessons, "lesson"),
        lower_first(&counted(told.len(), "case")),
    ));
    document.push(Block::Caution(Phrase::from(FOR_TEACHING)));
    document.section("How to read it");
    let kinds: Vec<String> = LessonKind::ALL.iter().map(|kind| lower_first(kind.label())).collect();
    document.bullets([
        Phrase::from(
            "Lessons stand under what went wrong first, in the order of the department’s tree of mechanisms, and under their case.",
        ),
        Phrase::from(
            "A case is told in short: the situation, what it was, how it ended, and its drawing once. Then its lessons, each with what it rests on, and what the department does about it.",
        ),
        Phrase::from(format!("A lesson helps to {}.", either(&kinds))),
        Phrase::from(
            "Times count from the time zero of the case. Numbers of events are the same in the drawing, in the table under it, and in the summary of the case.",
        ),
        Phrase::from(
            "Nobody is named. The code of a case holds its year; month, day, age and sex are left out. What people wrote stays as they wrote it.",
        ),
        Phrase::from("The index at the end leads from what a lesson helps to do to the lesson and its case."),
    ]);
}

/// `a, b or c`.
fn either(words: &[String]) -> String {
    join(words).replacen(" and ", " or ", 1)
}

/// `One lesson`, `Three lessons`.
fn counted(number: usize, one: &str) -> String {
    if number == 1 { format!("One {one}") } else { format!("{} {one}s", count(number)) }
}

/// Adds a heading and gives the name that a link can lead to.
fn heading(document: &mut Document, level: Level, text: String) -> String {
    document.heading(level, text);
    match document.blocks().last() {
        Some(Block::Heading(heading)) => heading.anchor.as_str().to_owned(),
        _ => String::new(),
    }
}

#[cfg(test)]
mod tests;
