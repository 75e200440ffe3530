//! Forms of many small fields: reading them, and two people at one form.
//!
//! The form carries what it showed when it was opened. So a field that only the other person changed
//! stays as they saved it, and only a field that both changed is a question.

use crate::web::form::Values;

/// What is wrong with a field.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Wrong {
    /// A few words that fit beneath it.
    pub(super) short: &'static str,
    /// What was typed and what is allowed.
    pub(super) sentence: String,
}

/// A field that cannot be read, as the list above the form names it.
pub(super) struct Mark {
    pub(super) name: String,
    pub(super) place: String,
    pub(super) sentence: String,
}

/// The fields that cannot be read.
pub(super) fn marks<K>(typed: &[Cell<K>]) -> Vec<Mark> {
    typed
        .iter()
        .filter_map(|cell| {
            let sentence = cell.value.as_ref().err()?.sentence.clone();
            Some(Mark { name: cell.name.clone(), place: cell.place.clone(), sentence })
        })
        .collect()
}

/// A field as it came back.
#[derive(Debug, Clone)]
pub(super) struct Cell<K> {
    /// What it is about.
    pub(super) key: K,
    /// Its name, also its id.
    pub(super) name: String,
    /// What a person calls it.
    pub(super) place: String,
    /// What is saved; empty for nothing.
    saved: String,
    /// As it was typed.
    pub(super) typed: String,
    /// What was typed, as it would be saved.
    pub(super) value: Result<String, Wrong>,
    /// What the form showed when it was opened, where it says so.
    was: Option<String>,
}

/// A field that the form has, before it came back.
#[derive(Debug, Clone)]
pub(super) struct Place<K> {
    pub(super) key: K,
    pub(super) name: String,
    pub(super) place: String,
    pub(super) saved: String,
}

/// A field with two versions.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Difference {
    pub(super) name: String,
    pub(super) place: String,
    pub(super) saved: String,
    pub(super) yours: String,
}

/// What fields hold, as one line: what a form showed when it was opened.
pub(super) fn line_of<K>(places: &[Place<K>]) -> String {
    let mut line = form_urlencoded::Serializer::new(String::new());
    for place in places {
        line.append_pair(&place.name, &place.saved);
    }
    line.finish()
}

/// Reads every field that the form sent; one that it did not send stays as it is saved.
pub(super) fn read_cells<K>(
    places: Vec<Place<K>>,
    values: &Values,
    parse: impl Fn(&str) -> Result<String, Wrong>,
) -> Vec<Cell<K>> {
    let opened = Values::from_encoded(values.get("was"));
    places
        .into_iter()
        .filter_map(|Place { key, name, place, saved }| {
            let typed = values.all(&name).next()?.to_owned();
            let was = opened.all(&name).next().map(str::to_owned);
            Some(Cell { key, name, place, saved, value: parse(&typed), typed, was })
        })
        .collect()
}

impl<K> Cell<K> {
    /// Whether it came back as it was opened.
    fn untouched(&self) -> bool {
        self.value.as_ref().ok() == self.was.as_ref() && self.was.is_some()
    }

    /// Whether both this form and somebody else changed it, to different things.
    pub(super) fn is_question(&self) -> bool {
        !self.untouched()
            && self.was.as_ref() != Some(&self.saved)
            && self.value.as_ref().ok() != Some(&self.saved)
    }

    /// What is to be saved; `None` when nothing is, or nothing can be.
    pub(super) fn change(&self) -> Option<&str> {
        let value = self.value.as_ref().ok()?;
        (!self.untouched() && *value != self.saved).then_some(value)
    }

    /// What it shows when the form comes back: what was typed, or what somebody else saved where
    /// nothing was typed.
    pub(super) fn shown(&self) -> &str {
        if self.untouched() { &self.saved } else { &self.typed }
    }

    /// Its two versions, in words.
    pub(super) fn difference(&self, words: impl Fn(&str) -> String) -> Difference {
        Difference {
            name: self.name.clone(),
            place: self.place.clone(),
            saved: words(&self.saved),
            yours: words(&self.typed),
        }
    }
}

/// What stands over the list of marked fields.
pub(super) fn error_heading(marked: usize) -> String {
    match marked {
        1 => "Nothing is saved yet: one field needs another look".to_owned(),
        count => format!("Nothing is saved yet: {count} fields need another look"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn cell(saved: &str, typed: &str, was: Option<&str>) -> Cell<()> {
        let place =
            Place { key: (), name: "n".to_owned(), place: "March".to_owned(), saved: saved.to_owned() };
        let opened: Vec<Place<()>> =
            was.map(|was| Place { saved: was.to_owned(), ..place.clone() }).into_iter().collect();
        let values = Values::new().with("n", typed).with("was", line_of(&opened));
        let parse = |text: &str| Ok(text.trim().to_owned());
        read_cells(vec![place], &values, parse).remove(0)
    }

    #[test]
    fn a_field_that_only_the_other_changed_stays_as_they_saved_it() {
        let found = cell("104", "", Some(""));
        assert!(!found.is_question());
        assert_eq!((found.change(), found.shown()), (None, "104"));
    }

    #[test]
    fn a_field_that_both_changed_is_a_question_and_yours_stands() {
        let found = cell("104", "110", Some("100"));
        assert!(found.is_question());
        assert_eq!(found.shown(), "110");
        let alike = cell("104", " 104 ", Some("100"));
        assert!(!alike.is_question());
        assert_eq!(alike.change(), None);
    }

    #[test]
    fn a_field_that_only_you_changed_is_saved() {
        let found = cell("100", "110", Some("100"));
        assert!(!found.is_question());
        assert_eq!(found.change(), Some("110"));
        assert_eq!(cell("100", "", Some("100")).change(), Some(""), "emptied");
    }

    #[test]
    fn without_what_the_form_showed_every_difference_is_a_question() {
        assert!(cell("104", "7", None).is_question());
        assert!(cell("104", "", None).is_question());
        assert!(!cell("104", "104", None).is_question());
    }

    #[test]
    fn a_field_that_was_not_sent_is_left_alone() {
        let place = Place { key: (), name: "n".to_owned(), place: String::new(), saved: "4".to_owned() };
        assert!(read_cells(vec![place], &Values::new(), |text| Ok(text.to_owned())).is_empty());
    }
}
