//! What it was: the complications with their grades and times, the chain they form, and the
//! minutes without flow. And how it ended.

use super::Writing;
use crate::case::consistency::contradictions;
use crate::case::reading::ComplicationSpan;
use crate::case::reading::words::{event_numbers, later, lower_first, place_words, sentence, short_time};
use crate::case::{Complication, Key, Outcome, StoredCase, drawing};
use crate::document::{Block, Document, Fact, Figure, Phrase, Svg};
use crate::quantity::Certainty;
use crate::timeline::Elapsed;
use crate::vocabulary::Vocabulary;

/// How the minutes without flow are worked out.
const FLOW_RULE: &str = "Per vessel. From the first time flow is seen at TIMI 0 or 1 to the first later time it is seen at TIMI 3. Flow stays as last seen until it is seen again, so the true beginning may be as early as the last sight of TIMI 2 or 3. A vessel that is not seen at TIMI 3 again is counted to the last event before a pause of two hours.";

impl Writing<'_> {
    pub(super) fn what_it_was(&self, document: &mut Document) {
        document.section("What it was");
        if self.case.complications.is_empty() {
            document.missing("the complication and its mechanism");
        } else {
            self.chain(document);
            self.complications(document);
        }
        self.flow(document);
        self.grades(document);
        for found in contradictions(self.case, &self.reading) {
            document.note(Phrase::new().strong("The record contradicts itself. ").text(found.sentence));
        }
    }

    fn chain(&self, document: &mut Document) {
        if let Some(figure) = chain_figure(self.case, self.vocabulary, "summary-chain") {
            document.figure(figure);
        }
    }

    fn complications(&self, document: &mut Document) {
        let harms = self.case.complications.iter().zip(self.reading.spans());
        document.bullets(harms.map(|(row, span)| self.complication(&row.value, span)));
    }

    /// What it was, where, and how long after its beginning it was recognised, first responded to
    /// and controlled.
    fn complication(&self, harm: &Complication, span: &ComplicationSpan) -> Phrase {
        let name = drawing::complication_words(harm, self.vocabulary);
        let place = harm
            .segment
            .map_or_else(String::new, |segment| format!(", {}", lower_first(&place_words(segment))));
        let phrase = Phrase::new().strong(format!("{name}{place}. "));
        let phrase = self.end(phrase, "Began", harm.began.as_ref(), None).text(", ");
        let phrase =
            self.end(phrase, "recognised", harm.recognised.as_ref(), span.to_recognition()).text(", ");
        let phrase = match &harm.responded {
            Some(key) => self.end(phrase, "first response", Some(key), span.to_response()).text(", "),
            None => phrase,
        };
        self.end(phrase, "controlled", harm.controlled.as_ref(), span.to_control()).text(".")
    }

    /// One end of a span: after how long, and at which event.
    fn end(&self, phrase: Phrase, what: &str, key: Option<&Key>, elapsed: Option<Elapsed>) -> Phrase {
        let event = key.and_then(|key| self.case.events.iter().find(|row| row.value.key == *key));
        let Some(event) = event.map(|row| &row.value) else {
            return phrase.missing(format!("{what}: not recorded"));
        };
        let number =
            self.reading.number(&event.key).map_or_else(String::new, |number| format!("event {number}"));
        let phrase = phrase.text(format!("{what} "));
        match elapsed {
            Some(Elapsed::NONE) => phrase.strong("at once"),
            Some(elapsed) => phrase.strong(later(elapsed)).quiet(format!(" ({number})")),
            None if event.time == Certainty::OrderOnly => phrase.text(format!("at {number}")),
            None => {
                phrase.text(format!("at {}", short_time(event.at, event.time))).quiet(format!(" ({number})"))
            }
        }
    }

    fn flow(&self, document: &mut Document) {
        let sentences = self.reading.flow_sentences();
        if sentences.is_empty() {
            let seen = self.reading.vessels().iter().any(|vessel| !vessel.history.sights().is_empty());
            if seen {
                document.paragraph("Flow was not seen below TIMI 3 after it had been normal.");
            } else if !self.case.events.is_empty() {
                document.missing("the flow of any vessel");
            }
            return;
        }
        document.bullets(sentences.iter().map(|found| found.text.clone()));
        let inputs: Vec<String> = sentences
            .iter()
            .map(|found| format!("{}: {}", found.vessel.label(), event_numbers(&found.events).to_lowercase()))
            .collect();
        document.details(
            "How the time without flow is worked out",
            [Block::facts([
                Fact::new("Inputs", inputs.join("; ")),
                Fact::new("Rule", FLOW_RULE),
                Fact::new("Source", "Flow grades: TIMI Study Group, N Engl J Med 1985;312:932 (from memory). The interval is this program's own measure."),
            ])],
        );
    }

    pub(super) fn how_it_ended(&self, document: &mut Document) {
        document.paragraph(outcome_words(&self.case.head.outcome));
    }

    /// The numbers of events, for "Events 7 and 9."
    pub(super) fn shown_by<'k>(&self, keys: impl IntoIterator<Item = &'k Key>) -> String {
        let mut numbers: Vec<u32> = keys.into_iter().filter_map(|key| self.reading.number(key)).collect();
        numbers.sort_unstable();
        numbers.dedup();
        event_numbers(&numbers)
    }
}

/// The chain of a case's harms, drawn; none when no harm is said to have led to another.
#[must_use]
pub fn chain_figure(case: &StoredCase, vocabulary: &Vocabulary, prefix: &str) -> Option<Figure> {
    let chain = drawing::chain(case, vocabulary);
    if chain.edges.is_empty() {
        return None;
    }
    let drawn = chain.draw(prefix);
    Some(Figure {
        title: drawn.title,
        description: String::new(),
        svg: Svg::trusted(drawn.svg),
        values: None,
        summary: String::new(),
        source: String::new(),
    })
}

/// How it ended, and the degree of harm.
#[must_use]
pub fn outcome_words(outcome: &Outcome) -> Phrase {
    let ended = Phrase::new().strong("How it ended. ");
    let ended = match &outcome.discharge {
        Some(discharge) => ended.text(sentence(discharge.as_str())),
        None => ended.missing("State at discharge not recorded."),
    };
    match outcome.harm {
        Some(harm) => ended.text(" Degree of harm: ").strong(harm.label().to_lowercase()).text("."),
        None => ended.text(" ").missing("Degree of harm not recorded."),
    }
}
