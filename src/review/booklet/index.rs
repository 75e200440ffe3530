//! What ends the booklet: the publications, and the way from what a lesson helps to do to the lesson and its case.

use super::{Written, counted};
use crate::case::reading::words::{join, lower_first, shorten};
use crate::case::{LessonKind, Reference};
use crate::document::{Column, Document, Phrase, Table};

/// At most so many characters of a lesson in the index.
const SHORT: usize = 110;

/// The publications that the lessons rest on, each once, with its lessons. The record holds their numbers and no
/// more.
pub(super) fn in_print(document: &mut Document, written: &[Written]) {
    let mut each: Vec<(&Reference, Vec<&Written>)> = Vec::new();
    for lesson in written {
        let Some(reference) = &lesson.lesson.reference else { continue };
        match each.iter_mut().find(|(known, _)| *known == reference) {
            Some((_, lessons)) => lessons.push(lesson),
            None => each.push((reference, vec![lesson])),
        }
    }
    if each.is_empty() {
        return;
    }
    document.section("In print");
    document.bullets(each.into_iter().map(|(reference, lessons)| {
        let numbers: Vec<String> = lessons.iter().map(|one| one.number.to_string()).collect();
        let noun = if lessons.len() == 1 { "lesson" } else { "lessons" };
        Phrase::new()
            .link(reference.to_string(), &reference.address())
            .quiet(format!(" ({noun} {})", join(&numbers)))
    }));
}

/// Every lesson by what it helps to do, with its case.
pub(super) fn index(document: &mut Document, written: &[Written]) {
    if written.is_empty() {
        return;
    }
    document.section("Index");
    for kind in LessonKind::ALL.iter().copied() {
        let of_kind: Vec<&Written> = written.iter().filter(|one| one.lesson.kind == kind).collect();
        if of_kind.is_empty() {
            continue;
        }
        document.part(format!("To {}", lower_first(kind.label())));
        let columns = [Column::number("No."), Column::text("Lesson"), Column::text("Case")];
        let caption = format!("{} to {}", counted(of_kind.len(), "lesson"), lower_first(kind.label()));
        document.table(Table::of(caption, columns).rows(of_kind.into_iter().map(row)));
    }
}

fn row(one: &Written) -> [Phrase; 3] {
    let to = |anchor: &str| format!("#{anchor}");
    [
        one.number.to_string().into(),
        Phrase::new().link(shorten(one.lesson.text.as_str(), SHORT), &to(&one.anchor)),
        Phrase::new()
            .link(one.case.code.to_string(), &to(&one.case_anchor))
            .quiet(format!(" {}", one.case.head.title)),
    ]
}
