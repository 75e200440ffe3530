//! How a rule looks at facts: everything it reads is noted, and it ends in one finding.

use std::borrow::Cow;

use super::answer::{Answer, Judgement};
use super::choices::{Choice, Chosen};
use super::definition::Definition;
use super::facts::{FactValue, Input, Sample, Seen, Subject};
use super::finding::{Finding, Grade, Used, Verdict};

/// A definition at work on one case or one row of facts.
#[derive(Debug)]
pub(super) struct Look {
    definition: &'static str,
    name: &'static str,
    subject: Option<Subject>,
    used: Vec<Used>,
    choices: Vec<Chosen>,
    notes: Vec<String>,
}

impl Look {
    /// Looks at the case as a whole.
    pub(super) fn at_case(definition: &Definition) -> Self {
        Self {
            definition: definition.slug,
            name: definition.name,
            subject: None,
            used: Vec::with_capacity(definition.inputs.len()),
            choices: Vec::new(),
            notes: Vec::new(),
        }
    }

    /// Looks at one of several things.
    pub(super) fn at(definition: &Definition, subject: &Subject) -> Self {
        Self { subject: Some(subject.clone()), ..Self::at_case(definition) }
    }

    /// Reads an answer.
    pub(super) fn answer(&mut self, seen: Seen<Answer>) -> Judgement {
        if !seen.value.is_unknown() {
            self.note_used(seen.input, || seen.value.label().to_owned());
        }
        Judgement::of(seen.input, seen.value)
    }

    /// Reads a value that may be missing.
    pub(super) fn value<T: FactValue>(&mut self, seen: Seen<Option<T>>) -> Option<T> {
        if let Some(value) = &seen.value {
            self.note_used(seen.input, || value.say());
        }
        seen.value
    }

    /// Reads a value and tests it.
    pub(super) fn test<T: FactValue>(
        &mut self,
        seen: Seen<Option<T>>,
        holds: impl FnOnce(T) -> bool,
    ) -> Judgement {
        let input = seen.input;
        Judgement::test(input, self.value(seen), holds)
    }

    /// Notes a laboratory value that was looked at.
    pub(super) fn sample<T>(&mut self, input: Input, sample: &Sample<T>, value: String) {
        let used = Used { input, value, at: Some(sample.drawn), origin: sample.origin.clone() };
        if !self.used.contains(&used) {
            self.used.push(used);
        }
    }

    /// Notes which of several clashing rules is applied.
    pub(super) fn choose<C: Choice>(&mut self, taken: C) -> C {
        self.choices.push(Chosen::of(taken));
        taken
    }

    /// Adds what else has to be known with the result.
    pub(super) fn note(&mut self, text: impl Into<String>) {
        self.notes.push(text.into());
    }

    /// Notes an input once: within one case or row it has one value.
    fn note_used(&mut self, input: Input, value: impl FnOnce() -> String) {
        if !self.used.iter().any(|used| used.at.is_none() && used.input == input) {
            let origin = self.subject.as_ref().and_then(|subject| subject.origin.clone());
            self.used.push(Used { input, value: value(), at: None, origin });
        }
    }

    /// Ends in a grade. The clause continues "because …" and has no full stop.
    pub(super) fn met(
        self,
        code: impl Into<Cow<'static, str>>,
        label: impl Into<String>,
        clause: impl Into<String>,
    ) -> Finding {
        let (label, clause) = (label.into(), clause.into());
        let sentence = self.sentence(&label, &clause);
        let verdict = Verdict::Met { grade: Grade { code: code.into(), label: label.clone() }, clause };
        self.end(verdict, label, sentence)
    }

    /// Ends in "not met". The label says what it is not.
    pub(super) fn not_met(self, label: impl Into<String>, clause: impl Into<String>) -> Finding {
        let (label, clause) = (label.into(), clause.into());
        let sentence = self.sentence(&label, &clause);
        self.end(Verdict::NotMet { clause }, label, sentence)
    }

    /// Ends undecided for want of inputs.
    pub(super) fn lacking(self, missing: impl IntoIterator<Item = Input>) -> Finding {
        self.undecided(missing.into_iter().collect(), None)
    }

    /// Ends undecided because a clause is not settled.
    pub(super) fn open(self, clause: &Judgement) -> Finding {
        let why = (!clause.reasons().is_empty()).then(|| clause.reasons().join(" "));
        self.undecided(clause.inputs().to_vec(), why)
    }

    /// Ends undecided because the rule has no place for what is recorded; the reason is a sentence.
    pub(super) fn no_rule(self, why: impl Into<String>) -> Finding {
        self.undecided(Vec::new(), Some(why.into()))
    }

    /// Ends undecided for want of inputs, with a sentence that says more.
    pub(super) fn undecided(self, missing: Vec<Input>, more: Option<String>) -> Finding {
        let mut why = String::new();
        if !missing.is_empty() {
            let labels: Vec<&str> = missing.iter().map(|input| input.label).collect();
            why = format!("Not recorded: {}.", labels.join("; "));
        }
        if let Some(more) = more {
            why = if why.is_empty() { more } else { format!("{more} {why}") };
        }
        let about = self.label().map(|label| format!("{label}. ")).unwrap_or_default();
        let sentence = format!("{about}{}: not decidable. {why}", self.name).trim_end().to_owned();
        self.end(Verdict::Undecided { missing, why }, "not decidable".to_owned(), sentence)
    }

    /// What it is about, when that has a name.
    fn label(&self) -> Option<&str> {
        self.subject.as_ref().map(|subject| subject.label.as_str()).filter(|label| !label.is_empty())
    }

    fn sentence(&self, label: &str, clause: &str) -> String {
        match self.label() {
            Some(about) => format!("{about}: {label}. {}.", capital(clause)),
            None => format!("{}. {}.", capital(label), capital(clause)),
        }
    }

    fn end(self, verdict: Verdict, headline: String, sentence: String) -> Finding {
        Finding {
            definition: self.definition,
            subject: self.subject,
            verdict,
            headline,
            sentence,
            used: self.used,
            choices: self.choices,
            notes: self.notes,
        }
    }
}

/// With a capital first letter, unless the word is written otherwise, as eGFR is.
pub(super) fn capital(text: &str) -> String {
    let mut letters = text.chars();
    match letters.next() {
        Some(first) if !letters.clone().next().is_some_and(char::is_uppercase) => {
            first.to_uppercase().chain(letters).collect()
        }
        _ => text.to_owned(),
    }
}

/// Those inputs that are marked as missing.
pub(super) fn only_missing<const N: usize>(lacks: [(Input, bool); N]) -> Vec<Input> {
    lacks.into_iter().filter_map(|(input, lacks)| lacks.then_some(input)).collect()
}
