//! A page that is one form, and the page that sets two versions of it side by side.

use askama::Template;

use super::form::{Control, FormView, Values};
use super::frame::Frame;

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

/// A field that two versions answer differently.
struct Difference {
    label: String,
    saved: String,
    yours: String,
}

/// The page that sets what was saved meanwhile beside what was typed, and asks.
#[derive(Template)]
#[template(path = "stale.html")]
pub(super) struct StalePage {
    frame: Frame,
    eyebrow: String,
    title: String,
    differences: Vec<Difference>,
    form: FormView,
}

impl FormPage {
    /// The same form over what was saved meanwhile.
    pub(super) fn stale(self, saved: &Values) -> StalePage {
        let Self { frame, eyebrow, title, form, .. } = self;
        let differences = form
            .fields
            .iter()
            .map(|field| Difference {
                label: field.label.clone(),
                saved: FormView::in_words(field, saved),
                yours: FormView::in_words(field, &form.values),
            })
            .filter(|difference| difference.saved.trim() != difference.yours.trim())
            .collect();
        StalePage {
            frame,
            eyebrow,
            title,
            differences,
            form: FormView { save: "Save yours over it", ..form },
        }
    }
}
