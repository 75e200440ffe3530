//! The keys of rows by their ids, for what points to them.

use std::collections::BTreeMap;

use crate::case::code::Key;

/// The keys of a case's events, or of its complications.
pub(super) struct Keys(BTreeMap<i64, Key>);

impl Keys {
    pub(super) fn of<'k>(rows: impl IntoIterator<Item = (i64, &'k Key)>) -> Self {
        Self(rows.into_iter().map(|(id, key)| (id, key.clone())).collect())
    }

    /// The key of a row; none when it points nowhere, or to one that was taken out.
    pub(super) fn get(&self, id: Option<i64>) -> Option<Key> {
        id.and_then(|id| self.0.get(&id).cloned())
    }
}
