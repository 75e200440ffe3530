//! What the trade's definitions make of it: each grade in a sentence to be read aloud, what is not
//! met, and what cannot be decided and why.

use super::Writing;
use crate::case::reading::words::{join, lower_first, sentence, upper_first};
use crate::clinical::{Finding, Verdict};
use crate::document::{Block, Document, Fact, Phrase};
use crate::review::findings::definition_of;

/// The patient's eGFR stands in the background section.
const SAID_ELSEWHERE: &str = "egfr";

impl Writing<'_> {
    /// What is met, to be read aloud; the rest by name, since paper is short. What each grade rests
    /// on and what the open ones lack is folded beneath.
    pub(super) fn grades(&self, document: &mut Document) {
        let findings = &self.findings;
        let given: Vec<&Finding> =
            findings.met.iter().filter(|finding| finding.definition != SAID_ELSEWHERE).collect();
        if given.is_empty() && findings.not_met.is_empty() && findings.undecided.is_empty() {
            return;
        }
        document.part("By the trade's definitions");
        document.bullets(given.iter().map(|finding| met(finding)));
        if !findings.not_met.is_empty() {
            let names = named(&findings.not_met);
            document.paragraph(Phrase::new().strong("Not met: ").text(sentence(&names)));
        }
        if !findings.undecided.is_empty() {
            let names = named(&findings.undecided);
            document.paragraph(
                Phrase::new().strong("Not decidable with what is recorded: ").text(sentence(&names)),
            );
        }
        let facts: Vec<Fact> =
            given.into_iter().filter_map(basis).chain(findings.undecided.iter().map(lacks)).collect();
        if !facts.is_empty() {
            document.details("How each grade is decided, and what the open ones lack", [Block::facts(facts)]);
        }
    }
}

/// A grade: what to read aloud, and the rule by which it is given where sources clash.
fn met(finding: &Finding) -> Phrase {
    let phrase = Phrase::new().text(finding.sentence.clone());
    let notes = finding.notes.iter().map(|note| format!(" {}", sentence(note)));
    let chosen = finding.choices.iter().map(|choice| {
        let question = lower_first(choice.question);
        format!(" The department's choice, {question}: {}.", choice.taken)
    });
    notes.chain(chosen).fold(phrase, Phrase::quiet)
}

/// The names of definitions, each once, with what they were applied to.
fn named(findings: &[Finding]) -> String {
    let mut names: Vec<(&str, Vec<&str>)> = Vec::new();
    for finding in findings {
        let name = name(finding);
        let subject = finding.subject.as_ref().map(|subject| subject.label.as_str());
        match names.iter_mut().find(|(other, _)| *other == name) {
            Some((_, subjects)) => subjects.extend(subject),
            None => names.push((name, subject.into_iter().collect())),
        }
    }
    let words: Vec<String> = names
        .iter()
        .map(|(name, subjects)| match subjects.as_slice() {
            [] => (*name).to_owned(),
            subjects => format!("{name} ({})", subjects.join(", ")),
        })
        .collect();
    words.join("; ")
}

fn name(finding: &Finding) -> &'static str {
    definition_of(finding).map_or(finding.definition, |definition| definition.name)
}

/// What an open definition lacks.
fn lacks(finding: &Finding) -> Fact {
    let subject = finding.subject.as_ref().map(|subject| format!(", {}", subject.label));
    let text = match &finding.verdict {
        Verdict::Undecided { missing, .. } if !missing.is_empty() => {
            let lacking: Vec<&str> = missing.iter().map(|input| input.label).collect();
            format!("Not recorded: {}.", join(&lacking))
        }
        _ => finding.sentence.clone(),
    };
    Fact::new(format!("{}{}", name(finding), subject.unwrap_or_default()), text)
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
        sentence(&upper_first(clause)),
        inputs.join("; "),
        definition.rule,
        sources.join("; ")
    );
    Some(Fact::new(grade.label.clone(), text))
}
