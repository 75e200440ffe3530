//! How often: the department's rate for the mechanism of the index harm.

use super::{Writing, index_complication};
use crate::document::Document;
use crate::rates::RateLine;

impl Writing<'_> {
    pub(super) fn how_often(&self, document: &mut Document, rate: Option<&RateLine>) {
        document.section("How often");
        let Some(index) = index_complication(self.case) else {
            document.missing("a mechanism, so there is no rate");
            return;
        };
        let Some(line) = rate else {
            let label = self.vocabulary.mechanism_label(&index.mechanism);
            document.missing(format!("the department's rate for “{label}”"));
            return;
        };
        match (line.rate(), line.no_rate()) {
            (None, Some(why)) => {
                document.missing(format!("a rate for “{}”. {why}", line.label));
            }
            _ => {
                document.paragraph(line.sentence());
            }
        }
        document.paragraph(line.notes().join(" "));
    }
}
