//! What every editable part of a case has: its values in a form, its fields, and how they are read.

use serde::Serialize;

use crate::case::store::{Part as List, RowValue};
use crate::case::{Case, Head, Key, Month, Row, StoredCase};
use crate::quantity::TimiFlow;
use crate::vocabulary::Vocabulary;
use crate::web::form::{Choice, ChoiceGroup, Field, FieldError, Values};

/// What a part's form may look at.
pub(super) struct Context<'a> {
    /// The trees.
    pub(super) vocabulary: &'a Vocabulary,
    /// The case that is edited.
    pub(super) case: &'a StoredCase,
    /// The month that it is now.
    pub(super) this_month: Month,
    /// The key that a new row would get.
    pub(super) free_key: Option<Key>,
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
    /// The fields.
    fn fields(context: &Context) -> Vec<Field>;
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

/// The four flow grades as choices.
pub(super) fn flows() -> Vec<Choice> {
    TimiFlow::ALL.iter().map(|flow| Choice::new(flow.grade(), flow)).collect()
}
