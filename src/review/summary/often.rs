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
        let mut said = Vec::new();
        match line.no_rate() {
            Some(why) => {
                document.missing(format!("a rate for “{}”. {why}", line.label));
            }
            None => said.push(line.sentence()),
        }
        said.extend(line.notes());
        let (period, month) = (line.period(), self.case.head.month);
        // Outside the department it would say when the case was.
        if self.coarse.is_none() && (month < period.from() || month > period.to()) {
            said.push(format!("This case, of {}, is outside that period.", month.in_words()));
        }
        document.paragraph(said.join(" "));
    }
}
