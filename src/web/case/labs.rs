//! The laboratory values of a case on its page: a table, and a drawing for each test.

use crate::case::{LabTest, StoredCase, series};
use crate::clinical::Facts;
use crate::figure::Figure;

/// A row of the table.
pub(super) struct LabRow {
    pub(super) id: i64,
    pub(super) number: usize,
    pub(super) test: &'static str,
    pub(super) drawn: String,
    pub(super) returned: String,
    pub(super) value: String,
    pub(super) limit: String,
}

/// The section of laboratory values.
pub(super) struct LabsView {
    pub(super) rows: Vec<LabRow>,
    pub(super) tests: &'static [LabTest],
    /// A drawing for each test that has values.
    pub(super) figures: Vec<Figure>,
}

impl LabsView {
    pub(super) fn of(case: &StoredCase, facts: &Facts) -> Self {
        let rows = (1..)
            .zip(&case.labs)
            .map(|(number, row)| LabRow {
                id: row.id,
                number,
                test: row.value.result.test().label(),
                drawn: row.value.drawn.to_string(),
                returned: row.value.returned.map(|at| at.to_string()).unwrap_or_default(),
                value: row.value.result.value(),
                limit: row.value.result.limit().unwrap_or_default(),
            })
            .collect();
        let figures = series::charts(case, facts)
            .iter()
            .map(|(test, chart)| chart.draw(&format!("series-{test}")))
            .collect();
        Self { rows, tests: LabTest::ALL, figures }
    }
}
