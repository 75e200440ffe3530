//! What the definitions say about a case, made ready for its template: each grade with its deciding
//! clause, its inputs with links, its rule, the department's choice and its source.

use super::links::Links;
use crate::case::reading::words::{join, upper_first};
use crate::clinical::{Definition, Finding, Input, Verdict};
use crate::review::findings::{Findings, definition_of};

/// Words with a link; without an address they are words alone.
pub(super) struct Linked {
    pub(super) text: String,
    pub(super) href: String,
}

/// An input that was looked at.
pub(super) struct UsedInput {
    pub(super) label: String,
    pub(super) value: Linked,
    pub(super) at: String,
}

/// A source line.
pub(super) struct SourceLine {
    pub(super) text: String,
    pub(super) standing: String,
}

/// A finding on the page.
pub(super) struct FindingView {
    /// `BARC 3b`.
    pub(super) headline: String,
    /// `Bleeding, BARC types · right coronary artery`.
    pub(super) about: String,
    /// To be read aloud.
    pub(super) sentence: String,
    pub(super) clause: String,
    pub(super) notes: Vec<String>,
    pub(super) missing: Vec<Linked>,
    pub(super) used: Vec<UsedInput>,
    pub(super) rule: &'static str,
    pub(super) definition: &'static str,
    pub(super) choices: Vec<String>,
    pub(super) sources: Vec<SourceLine>,
}

/// A definition that nothing is recorded for.
pub(super) struct Untouched {
    pub(super) name: &'static str,
    pub(super) slug: &'static str,
}

/// All findings of a case.
pub(super) struct FindingsView {
    pub(super) met: Vec<FindingView>,
    /// Grades that the record states itself.
    pub(super) as_judged: Vec<FindingView>,
    pub(super) not_met: Vec<FindingView>,
    pub(super) undecided: Vec<FindingView>,
    pub(super) untouched: Vec<Untouched>,
    /// Whether any grade rests on a rule that was written from memory.
    pub(super) doubts: bool,
}

impl FindingsView {
    pub(super) fn of(findings: &Findings, links: &Links) -> Self {
        let views = |found: &[Finding]| -> Vec<FindingView> {
            found.iter().filter_map(|one| Some(view(one, definition_of(one)?, links))).collect()
        };
        Self {
            met: views(&findings.met),
            as_judged: views(&findings.as_judged),
            not_met: views(&findings.not_met),
            undecided: views(&findings.undecided),
            untouched: findings
                .untouched
                .iter()
                .map(|definition| Untouched { name: definition.name, slug: definition.slug })
                .collect(),
            doubts: findings.told().filter_map(definition_of).any(Definition::has_doubts),
        }
    }

    pub(super) fn is_empty(&self) -> bool {
        self.met.is_empty()
            && self.as_judged.is_empty()
            && self.not_met.is_empty()
            && self.undecided.is_empty()
    }
}

fn view(finding: &Finding, definition: &'static Definition, links: &Links) -> FindingView {
    let about = match &finding.subject {
        Some(subject) => format!("{} · {}", definition.name, subject.label),
        None => definition.name.to_owned(),
    };
    let (clause, missing): (&str, &[Input]) = match &finding.verdict {
        Verdict::Met { clause, .. } | Verdict::NotMet { clause } => (clause, &[]),
        Verdict::Undecided { missing, why } => (why, missing),
    };
    FindingView {
        headline: upper_first(&finding.headline),
        about,
        sentence: finding.sentence.clone(),
        clause: upper_first(clause),
        notes: finding.notes.clone(),
        missing: missing
            .iter()
            .map(|input| Linked {
                text: input.label.to_owned(),
                href: links.to_record(input, finding.subject.as_ref()),
            })
            .collect(),
        used: finding
            .used
            .iter()
            .map(|used| UsedInput {
                label: upper_first(used.input.label),
                at: used.at.map(|at| format!("drawn at {at}")).unwrap_or_default(),
                value: Linked { text: used.value.clone(), href: links.to_recorded(used) },
            })
            .collect(),
        rule: definition.rule,
        definition: definition.slug,
        choices: finding
            .choices
            .iter()
            .map(|choice| format!("{}: {} ({}).", choice.question, choice.taken, choice.source))
            .collect(),
        sources: definition
            .sources
            .iter()
            .map(|source| SourceLine {
                text: [source.citation, source.gives]
                    .into_iter()
                    .filter(|part| !part.is_empty())
                    .collect::<Vec<_>>()
                    .join(": "),
                standing: source.standing.in_words(),
            })
            .collect(),
    }
}

impl FindingView {
    /// What is missing, as one phrase for who cannot follow a link.
    pub(super) fn missing_words(&self) -> String {
        join(&self.missing.iter().map(|missing| missing.text.as_str()).collect::<Vec<_>>())
    }
}
