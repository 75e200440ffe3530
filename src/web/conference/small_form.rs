//! A form among others on one page: its fields have ids of their own, and some stand folded away.

use crate::web::form::{Field, FieldError, Values};

/// Fields that stand together.
pub(super) struct Group {
    /// What the folded group says; empty for fields that are always in view.
    pub(super) summary: &'static str,
    /// Whether it stands open.
    pub(super) open: bool,
    /// A class for how the fields lie.
    pub(super) class: &'static str,
    pub(super) fields: Vec<Field>,
}

impl Group {
    /// Fields that are always in view.
    pub(super) const fn in_view(fields: Vec<Field>) -> Self {
        Self { summary: "", open: true, class: "", fields }
    }

    /// Fields that are folded away until somebody wants them, or has typed into them.
    pub(super) const fn folded(summary: &'static str, open: bool, fields: Vec<Field>) -> Self {
        Self { summary, open, class: "", fields }
    }
}

/// The form. Its anchor begins the id of each field.
pub(super) struct SmallForm {
    pub(super) anchor: String,
    pub(super) action: String,
    pub(super) save: &'static str,
    pub(super) groups: Vec<Group>,
    pub(super) values: Values,
    pub(super) errors: Vec<FieldError>,
    /// The fingerprint of what was shown; empty when nothing could be overwritten.
    pub(super) base: String,
    /// What somebody saved meanwhile, to stand beside what was typed.
    pub(super) meanwhile: Option<String>,
}

impl SmallForm {
    pub(super) fn id(&self, name: &str) -> String {
        format!("{}-{name}", self.anchor)
    }

    pub(super) fn error(&self, name: &str) -> &str {
        self.errors.iter().find(|error| error.name == name).map_or("", |error| error.message.as_str())
    }

    /// The ids that describe a field: its hint and its error.
    pub(super) fn described_by(&self, field: &Field) -> String {
        let mut ids = Vec::new();
        if !field.hint.is_empty() {
            ids.push(format!("{}-hint", self.id(field.name)));
        }
        if !self.error(field.name).is_empty() {
            ids.push(format!("{}-error", self.id(field.name)));
        }
        ids.join(" ")
    }

    /// The label of a field; `This form` for what is wrong with all of it.
    pub(super) fn label_of(&self, name: &str) -> &str {
        self.groups
            .iter()
            .flat_map(|group| &group.fields)
            .find(|field| field.name == name)
            .map_or("This form", |field| field.label.as_str())
    }

    /// Where an error leads: its field, or the form.
    pub(super) fn place_of(&self, name: &str) -> String {
        let is_field = self.groups.iter().flat_map(|group| &group.fields).any(|field| field.name == name);
        if is_field { self.id(name) } else { self.anchor.clone() }
    }

    pub(super) fn error_heading(&self) -> String {
        match self.errors.len() {
            1 => "Nothing is saved yet: one thing needs another look".to_owned(),
            count => format!("Nothing is saved yet: {count} things need another look"),
        }
    }
}
