//! Two versions of a form, merged field by field: what only one side changed needs no question.

use sha2::{Digest as _, Sha256};

use super::form::{Control, Field, FormView, Values};

/// The field of a form that carries the marks.
pub const MARKS: &str = "was";

/// A field as a text that two sides can be compared by.
fn text_of(field: &Field, values: &Values) -> String {
    FormView::in_words(field, values).replace("\r\n", "\n").trim().to_owned()
}

fn mark(text: &str) -> String {
    Sha256::digest(text.as_bytes()).iter().take(6).map(|byte| format!("{byte:02x}")).collect()
}

fn can_be_seen(field: &&Field) -> bool {
    !matches!(field.control, Control::Hidden)
}

/// What a form held when it was opened, as a mark for each field: enough to see later which of them changed.
#[must_use]
pub fn marks(fields: &[Field], values: &Values) -> String {
    let marks: Vec<String> = fields
        .iter()
        .filter(can_be_seen)
        .map(|field| format!("{}:{}", field.name, mark(&text_of(field, values))))
        .collect();
    marks.join(" ")
}

/// A field on which the two sides differ.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Difference {
    /// The field.
    pub label: String,
    /// What was saved meanwhile.
    pub saved: String,
    /// What was typed.
    pub yours: String,
}

/// Two versions of a form, merged.
#[derive(Debug, Clone)]
pub struct Merged {
    /// The form's values: what was typed, and what was saved meanwhile in fields that were not touched.
    pub values: Values,
    /// Fields that both sides changed: whoever typed decides.
    pub both: Vec<Difference>,
    /// Fields that were saved meanwhile and not touched here; they were taken over.
    pub theirs: Vec<Difference>,
    /// Fields that were touched here alone; they are kept.
    pub yours: Vec<Difference>,
}

/// Merges what was typed with what was saved since the form was opened. Without marks, every field that differs
/// counts as changed by both.
#[must_use]
pub fn merge(fields: &[Field], saved: &Values, typed: Values) -> Merged {
    let marks = typed.get(MARKS).to_owned();
    let opened = |name: &str| {
        marks
            .split(' ')
            .filter_map(|pair| pair.rsplit_once(':'))
            .find(|(other, _)| *other == name)
            .map(|(_, mark)| mark)
    };
    let mut merged = Merged { values: typed, both: Vec::new(), theirs: Vec::new(), yours: Vec::new() };
    for field in fields.iter().filter(can_be_seen) {
        let (theirs, yours) = (text_of(field, saved), text_of(field, &merged.values));
        if theirs == yours {
            continue;
        }
        let was = opened(field.name);
        let untouched = |text: &str| was.is_some_and(|was| was == mark(text));
        let difference =
            Difference { label: field.label.clone(), saved: theirs.clone(), yours: yours.clone() };
        if untouched(&yours) {
            merged.values = taken_over(merged.values, saved, field.name);
            merged.theirs.push(difference);
        } else if untouched(&theirs) {
            merged.yours.push(difference);
        } else {
            merged.both.push(difference);
        }
    }
    merged
}

/// The values with one field, and its unit, as it was saved.
fn taken_over(values: Values, saved: &Values, name: &str) -> Values {
    let unit = format!("{name}_unit");
    let is_of_field = |other: &str| other == name || other == unit;
    let kept = values.into_pairs().into_iter().filter(|(other, _)| !is_of_field(other));
    let theirs = saved.clone().into_pairs().into_iter().filter(|(other, _)| is_of_field(other));
    kept.chain(theirs).fold(Values::new(), |all, (name, value)| all.with(&name, value))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::web::form::Choice;

    fn fields() -> Vec<Field> {
        vec![
            Field::line("title", "Title", ""),
            Field::lines("story", "Story", 3),
            Field::new("tags", "Tags", Control::Checks(vec![Choice::new("a", "A"), Choice::new("b", "B")])),
            Field::quantity("dose", "Dose", &["mg", "g"], "mg"),
            Field::hidden("key"),
        ]
    }

    fn values(title: &str, story: &str, tags: &[&str], dose: &str) -> Values {
        Values::new()
            .with("title", title)
            .with("story", story)
            .with_all("tags", tags)
            .with_quantity("dose", dose)
    }

    fn opened() -> Values {
        values("T", "One\nTwo", &["a"], "5 mg")
    }

    fn typed(values: Values) -> Values {
        let marks = marks(&fields(), &opened());
        values.with(MARKS, marks)
    }

    fn labels(differences: &[Difference]) -> Vec<&str> {
        differences.iter().map(|difference| difference.label.as_str()).collect()
    }

    #[test]
    fn what_one_side_changed_needs_no_question() {
        let saved = values("Theirs", "One\nTwo", &["a", "b"], "7 mg");
        let merged = merge(&fields(), &saved, typed(values("T", "Mine", &["a"], "5 mg")));
        assert_eq!(labels(&merged.theirs), ["Title", "Tags", "Dose"]);
        assert_eq!(labels(&merged.yours), ["Story"]);
        assert!(merged.both.is_empty());
        assert_eq!(merged.values.get("title"), "Theirs");
        assert_eq!(merged.values.get("story"), "Mine");
        assert_eq!(merged.values.all("tags").collect::<Vec<_>>(), ["a", "b"]);
        assert_eq!(merged.values.quantity("dose"), "7 mg");
    }

    #[test]
    fn what_both_changed_is_asked_and_stays_as_typed() {
        let saved = values("T", "Theirs", &["a"], "5 mg");
        let merged = merge(&fields(), &saved, typed(values("T", "Mine", &["a"], "5 mg")));
        assert_eq!(labels(&merged.both), ["Story"]);
        assert_eq!(merged.values.get("story"), "Mine");
        assert!(merged.theirs.is_empty() && merged.yours.is_empty());
    }

    #[test]
    fn the_same_change_on_both_sides_is_no_difference() {
        let saved = values("T", "Both", &["a"], "5 mg");
        let merged = merge(&fields(), &saved, typed(values("T", "Both", &["a"], "5 mg")));
        assert!(merged.both.is_empty() && merged.theirs.is_empty() && merged.yours.is_empty());
    }

    #[test]
    fn a_browser_s_line_ends_are_no_change() {
        let saved = values("Theirs", "One\nTwo", &["a"], "5 mg");
        let merged = merge(&fields(), &saved, typed(values("T", "One\r\nTwo", &["a"], "5 mg")));
        assert_eq!(labels(&merged.theirs), ["Title"]);
        assert!(merged.both.is_empty() && merged.yours.is_empty());
    }

    #[test]
    fn without_marks_every_difference_is_asked() {
        let saved = values("Theirs", "One\nTwo", &["a"], "5 mg");
        let merged = merge(&fields(), &saved, values("T", "Mine", &["a"], "5 mg"));
        assert_eq!(labels(&merged.both), ["Title", "Story"]);
    }

    #[test]
    fn an_emptied_field_is_a_change_like_any_other() {
        let saved = values("T", "", &[], "5 mg");
        let merged = merge(&fields(), &saved, typed(values("T", "One\nTwo", &["b"], "")));
        assert_eq!(labels(&merged.theirs), ["Story"]);
        assert_eq!(labels(&merged.yours), ["Dose"]);
        assert_eq!(labels(&merged.both), ["Tags"]);
        assert_eq!(merged.values.get("story"), "");
    }
}
