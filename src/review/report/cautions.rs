//! What to keep in mind when reading the report.

use super::Writing;
use crate::document::Document;

const FIXED: [&str; 5] = [
    "Small numbers never rank people. The report counts complications, never operators, and no rate here says how well anybody \
     works.",
    "It is made for peer review and teaching. Local law decides who may read it and what protects it; hand it on only as that law \
     and your department allow.",
    "Many lines are looked at. About one comparison in twenty seems to move by chance alone, and a chart now and then gives a signal \
     without a cause.",
    "What was unusually high tends to be lower afterwards, and the other way round, whatever anybody did.",
    "Rates are not adjusted for risk. A quarter with more difficult procedures has more complications.",
];

const OVERLAP: &str = "What is hidden here can be worked out by whoever also has numbers over other months that overlap with these. \
     Give no such table beside this report.";

impl Writing<'_> {
    pub(super) fn cautions(&self, document: &mut Document) {
        document.section("Cautions");
        let hidden = self.inputs.settings.smallest.note().map(|note| format!("{note} {OVERLAP}"));
        let running = self.still_runs().then(|| {
            "The quarter is not over: what is told today and again at its end differs by what came between, so hand on only the \
             finished report."
                .to_owned()
        });
        document.bullets(FIXED.iter().map(|text| (*text).to_owned()).chain(hidden).chain(running));
    }
}
