//! Where the definitions of the words come from: those that this summary uses, and no others.

use super::Writing;
use crate::case::reading::words::upper_first;
use crate::document::{Document, Phrase};
use crate::rates::RateLine;

/// A definition and its source. A star marks a reference given from memory.
const FLOW: &str = "flow grades: TIMI Study Group, N Engl J Med 1985;312:932*";
const SEGMENTS: &str = "segments: Austen, Circulation 1975;51(4 Suppl):5*";
const MEDINA: &str = "bifurcations: Medina, Rev Esp Cardiol 2006;59:183*";
const DISSECTION: &str = "dissection types: NHLBI, in Huber, Am J Cardiol 1991;68:467*";
const PERFORATION: &str = "perforation types: Ellis, Circulation 1994;90:2725";
const HARM: &str = "degree of harm: WHO, International Classification for Patient Safety, 2009*";
const CAUSES: &str = "families of causes: after the London Protocol, 2004*";
const STRENGTH: &str = "strength of actions: RCA², National Patient Safety Foundation, 2015*";
const MECHANISMS: &str = "mechanisms: this program's own";
const MECHANISMS_AND_FLOW: &str = "mechanisms, and time without flow: this program's own";
const WILSON: &str = "interval of the rate: Wilson, J Am Stat Assoc 1927;22:209";

impl Writing<'_> {
    /// One remark with the sources.
    pub(super) fn sources(&self, document: &mut Document, rate: Option<&RateLine>) {
        let case = self.case;
        let harms = || case.complications.iter().map(|row| &row.value);
        let flow = case.events.iter().any(|row| row.value.flow.is_some())
            || harms().any(|harm| harm.worst_flow.is_some());
        let segments = !case.lesions.is_empty() || case.events.iter().any(|row| row.value.segment.is_some());
        let used: Vec<&str> = [
            (flow, FLOW),
            (segments, SEGMENTS),
            (case.lesions.iter().any(|row| row.value.medina.is_some()), MEDINA),
            (harms().any(|harm| harm.dissection.is_some()), DISSECTION),
            (harms().any(|harm| harm.perforation.is_some()), PERFORATION),
            (case.head.outcome.harm.is_some(), HARM),
            (!case.causes.is_empty(), CAUSES),
            (!case.actions.is_empty(), STRENGTH),
            (!case.complications.is_empty(), if flow { MECHANISMS_AND_FLOW } else { MECHANISMS }),
            (rate.and_then(RateLine::rate).is_some_and(|rate| rate.events() > 0), WILSON),
        ]
        .into_iter()
        .filter_map(|(is_used, source)| is_used.then_some(source))
        .collect();
        if used.is_empty() {
            return;
        }
        let memory = if used.iter().any(|source| source.ends_with('*')) {
            " *Given from memory; read it before you quote it."
        } else {
            ""
        };
        document.note(
            Phrase::new().strong("Definitions. ").text(format!("{}.{memory}", upper_first(&used.join("; ")))),
        );
    }
}
