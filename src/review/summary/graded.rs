//! What the trade's definitions make of it: each grade in a sentence to be read aloud, what is not
//! met, and what cannot be decided and why.

use super::Writing;
use crate::case::reading::words::{join, lower_first, sentence};
use crate::clinical::{Finding, Verdict};
use crate::document::{Block, Document, Fact, Phrase};
use crate::review::findings::definition_of;

impl Writing<'_> {
    pub(super) fn grades(&self, document: &mut Document) {
        let findings = &self.findings;
        if findings.met.is_empty() && findings.not_met.is_empty() && findings.undecided.is_empty() {
            return;
        }
        document.part("By the trade's definitions");
        document.bullets(findings.met.iter().map(met));
        if !findings.not_met.is_empty() {
            let all: Vec<String> = findings.not_met.iter().map(named).collect();
            document.paragraph(Phrase::new().strong("Not met. ").text(sentence(&all.join("; "))));
        }
        if !findings.undecided.is_empty() {
            let all: Vec<String> = findings.undecided.iter().map(undecided).collect();
            document
                .paragraph(Phrase::new().strong("Cannot be decided. ").missing(sentence(&all.join("; "))));
        }
        let facts: Vec<Fact> = findings.met.iter().filter_map(basis).collect();
        if !facts.is_empty() {
            document.details("How each grade is decided", [Block::facts(facts)]);
        }
    }
}

/// A grade: what to read aloud, and the rule by which it is given where sources clash.
fn met(finding: &Finding) -> Phrase {
    let phrase = Phrase::new().text(finding.sentence.clone());
    let notes = finding.notes.iter().map(|note| format!(" {}", sentence(note)));
    let chosen =
        finding.choices.iter().map(|choice| format!(" By the department's choice: {}.", choice.taken));
    notes.chain(chosen).fold(phrase, Phrase::quiet)
}

/// The name of a definition, and what it was applied to.
fn named(finding: &Finding) -> String {
    let name = definition_of(finding).map_or(finding.definition, |definition| definition.name);
    let subject = finding.subject.as_ref().map(|subject| format!(", {}", subject.label));
    format!("{}{}", name, subject.unwrap_or_default())
}

fn undecided(finding: &Finding) -> String {
    let Verdict::Undecided { missing, why } = &finding.verdict else {
        return named(finding);
    };
    let lacks: Vec<&str> = missing.iter().map(|input| input.label).collect();
    match lacks.as_slice() {
        [] => format!("{} ({})", named(finding), lower_first(why.trim_end_matches('.'))),
        lacks => format!("{} (lacks {})", named(finding), join(lacks)),
    }
}

/// What decided a grade: clause, inputs, rule and source.
fn basis(finding: &Finding) -> Option<Fact> {
    let definition = definition_of(finding)?;
    let Verdict::Met { grade, clause } = &finding.verdict else { return None };
    let inputs: Vec<String> = finding
        .used
        .iter()
        .map(|used| {
            let at = used.at.map(|at| format!(" at {at}")).unwrap_or_default();
            format!("{}: {}{at}", used.input.label, used.value)
        })
        .collect();
    let sources: Vec<String> = definition
        .sources
        .iter()
        .map(|source| format!("{} ({})", source.citation, source.standing.in_words()))
        .collect();
    let text = format!(
        "{} Inputs: {}. Rule: {} Source: {}.",
        sentence(&crate::case::reading::words::upper_first(clause)),
        inputs.join("; "),
        definition.rule,
        sources.join("; ")
    );
    Some(Fact::new(grade.label.clone(), text))
}
