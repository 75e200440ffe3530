//! A page that is one form, and the page that sets two versions of it side by side.

use askama::Template;

use super::form::{Control, FormView, Values};
use super::frame::Frame;
use super::merge::{MARKS, Merged, marks, merge};

/// A page that is one form.
#[derive(Template)]
#[template(path = "form_page.html")]
pub(super) struct FormPage {
    pub(super) frame: Frame,
    /// What the form belongs to; leads where giving up leads. Empty for none.
    pub(super) eyebrow: String,
    pub(super) title: String,
    /// One sentence over the form; may be empty.
    pub(super) lead: String,
    pub(super) form: FormView,
}

/// The page that sets what was saved meanwhile beside what was typed, and asks.
#[derive(Template)]
#[template(path = "stale.html")]
pub(super) struct StalePage {
    frame: Frame,
    eyebrow: String,
    title: String,
    merged: Merged,
    form: FormView,
}

impl FormPage {
    /// The same form over what was saved meanwhile.
    pub(super) fn stale(self, saved: &Values) -> StalePage {
        let Self { frame, eyebrow, title, form, .. } = self;
        let FormView { fields, values, .. } = &form;
        let mut merged = merge(fields, saved, values.clone());
        // From here on the form builds on what is saved now.
        merged.values = merged.values.without(MARKS).with(MARKS, marks(fields, saved));
        let save = if merged.both.is_empty() { "Save both" } else { "Save yours over it" };
        let form = FormView { save, values: merged.values.clone(), ..form };
        StalePage { frame, eyebrow, title, merged, form }
    }
}
