//! Rows of several cases, read with one statement whatever the number of cases.

use std::collections::BTreeMap;

use sqlx::{QueryBuilder, Sqlite};

use crate::case::stored::Row;
use crate::database::StoreError;

/// A statement that names some cases between its two parts: the first ends in `in `.
pub(super) fn of_cases(select: &'static str, cases: &[i64], order: &'static str) -> QueryBuilder<Sqlite> {
    let mut sql = QueryBuilder::<Sqlite>::new(select);
    sql.push("(");
    let mut list = sql.separated(", ");
    for id in cases {
        list.push_bind(*id);
    }
    sql.push(") ").push(order);
    sql
}

/// Rows of a list, by the ids of their cases and in their order.
pub(super) struct ByCase<T>(BTreeMap<i64, Vec<Row<T>>>);

impl<T> ByCase<T> {
    /// Rows, each with the id of its case.
    pub(super) fn of(
        rows: impl IntoIterator<Item = Result<(i64, Row<T>), StoreError>>,
    ) -> Result<Self, StoreError> {
        let mut by_case: BTreeMap<i64, Vec<Row<T>>> = BTreeMap::new();
        for row in rows {
            let (case, row) = row?;
            by_case.entry(case).or_default().push(row);
        }
        Ok(Self(by_case))
    }

    /// The rows of every case.
    pub(super) fn rows(&self) -> impl Iterator<Item = &Row<T>> {
        self.0.values().flatten()
    }

    /// The rows of a case, which are no longer here then.
    pub(super) fn take(&mut self, case: i64) -> Vec<Row<T>> {
        self.0.remove(&case).unwrap_or_default()
    }
}
