//! Lists that are shown page by page: how many there are, and where the next page is.

use super::form::Values;
use crate::case::list::{COUNT_AT_MOST, Cursor};

/// `12 cases that answer`, `More than 400 cases`.
pub(super) fn count_in_words(total: i64, (one, many): (&str, &str), filtered: bool) -> String {
    let which = if filtered { " that answer" } else { "" };
    match total {
        total if total > COUNT_AT_MOST => format!("More than {COUNT_AT_MOST} {many}{which}"),
        1 => format!("One {one}{}", if filtered { " that answers" } else { "" }),
        total => format!("{total} {many}{which}"),
    }
}

/// The address of the page that starts after a row, or of the first one, with the same questions.
pub(super) fn page_address(path: &str, values: &Values, after: Option<&Cursor>) -> String {
    let mut query = form_urlencoded::Serializer::new(String::new());
    for (name, value) in values.clone().into_pairs() {
        if name != "after" && !value.is_empty() {
            query.append_pair(&name, &value);
        }
    }
    if let Some(after) = after {
        query.append_pair("after", &after.to_string());
    }
    format!("{path}?{}", query.finish())
}
