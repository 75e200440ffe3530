//! What every editable part of a case has: its values in a form, its fields, and how they are read.

use std::sync::Arc;

use serde::Serialize;

use crate::case::store::{Part as List, RowValue};
use crate::case::{Case, Head, Key, Month, Row, StoredCase};
use crate::department::Department;
use crate::quantity::TimiFlow;
use crate::vocabulary::Vocabulary;
use crate::web::form::{Choice, ChoiceGroup, Field, FieldError, Values};
use crate::web::state::App;

/// What a part's form may look at.
#[derive(Clone)]
pub(super) struct Context<'a> {
    /// The trees.
    pub(super) vocabulary: &'a Vocabulary,
    /// The department's settings.
    pub(super) department: &'a Department,
    /// The case that is edited.
    pub(super) case: &'a StoredCase,
    /// The month that it is now.
    pub(super) this_month: Month,
    /// The key that a new row would get.
    pub(super) free_key: Option<Key>,
}

/// What every form takes from the shelf: the trees and the settings, as they are now.
pub(super) struct Shelf {
    vocabulary: Arc<Vocabulary>,
    department: Arc<Department>,
    this_month: Month,
}

impl Shelf {
    pub(super) fn of(app: &App) -> Self {
        Self { vocabulary: app.vocabulary(), department: app.department(), this_month: app.this_month() }
    }

    pub(super) fn context<'a>(&'a self, case: &'a StoredCase) -> Context<'a> {
        Context {
            vocabulary: &self.vocabulary,
            department: &self.department,
            case,
            this_month: self.this_month,
            free_key: None,
        }
    }
}

/// A part of a case that one form edits.
pub(super) trait Part {
    /// What the form is read into.
    type Value: Clone + PartialEq + Serialize;
    /// What the form is called.
    const TITLE: &'static str;
    /// One sentence over the form; may be empty.
    const LEAD: &'static str = "";

    /// What the form holds for a value.
    fn values(value: &Self::Value) -> Values;
    /// The fields of a form that holds these values.
    fn fields(context: &Context, values: &Values) -> Vec<Field>;
    /// What the form is called when it holds these values.
    fn title(_: &Values) -> String {
        Self::TITLE.to_owned()
    }
    /// The sentence over the form when it holds these values; may be empty.
    fn lead(_: &Values) -> String {
        Self::LEAD.to_owned()
    }
    /// The quantities of a value with the units that they were given in, to be offered next time.
    fn units(_: &Self::Value) -> Vec<(&'static str, String)> {
        Vec::new()
    }
    /// Reads what was typed; `was` is the value that the form edits, none for a new row.
    fn read(
        values: &Values,
        context: &Context,
        was: Option<&Self::Value>,
    ) -> Result<Self::Value, Vec<FieldError>>;
}

/// A part of the case's head.
pub(super) trait HeadPart: Part {
    /// Its place in the address and its anchor on the page.
    const SLUG: &'static str;
    fn of(head: &Head) -> Self::Value;
    fn put(head: &mut Head, value: Self::Value);
}

/// A row of one of the case's lists.
pub(super) trait RowPart: Part {
    /// The list; its slug is the place in the address and the anchor on the page.
    const LIST: List;
    /// What a row is called in a sentence.
    const NOUN: &'static str;
    fn rows(case: &StoredCase) -> &[Row<Self::Value>];
    fn rows_mut(case: &mut Case) -> &mut Vec<Self::Value>;
    fn row_value(value: Self::Value) -> RowValue;
    /// What a new row's form begins with, when it was opened with these values.
    fn fresh(_: &Context, values: Values) -> Values {
        values
    }
    /// The row that a new one with these values would stand beside, though only one of its kind may
    /// be there: it is edited instead.
    fn already(_: &StoredCase, _: &Values) -> Option<i64> {
        None
    }
    /// Why this account may not change this row; none when it may.
    fn refuse(_value: &Self::Value, _signs: bool) -> Option<&'static str> {
        None
    }
}

/// The choices of segments.
pub(super) fn segments() -> Vec<ChoiceGroup> {
    let choices = crate::case::Segment::ALL
        .iter()
        .map(|segment| Choice::new(segment.slug(), segment.label()).found_by(segment.synonyms()))
        .collect();
    vec![ChoiceGroup { label: String::new(), choices }]
}

/// The events of a case as choices, in their order and with their numbers.
pub(super) fn events(case: &StoredCase) -> Vec<Choice> {
    (1..)
        .zip(&case.events)
        .map(|(number, row): (u32, _)| {
            let text = row.value.text.as_ref().map_or("", |text| text.as_str());
            let short: String = text.chars().take(70).collect();
            let more = if text.chars().count() > 70 { "…" } else { "" };
            Choice::new(
                &row.value.key,
                format!("{number} · {} · {} {short}{more}", row.value.at, row.value.kind.label()),
            )
        })
        .collect()
}

/// The decision points of a case as choices.
pub(super) fn decisions(case: &StoredCase) -> Vec<Choice> {
    case.decisions
        .iter()
        .map(|row| Choice::new(&row.value.key, format!("{} · {}", row.value.at, row.value.question)))
        .collect()
}

/// The four flow grades as choices.
pub(super) fn flows() -> Vec<Choice> {
    TimiFlow::ALL.iter().map(|flow| Choice::new(flow.grade(), flow)).collect()
}
