//! How a rule looks at facts: everything it reads is noted, and it ends in one finding.

use std::borrow::Cow;
use std::fmt::{self, Write as _};

use super::answer::{Answer, Judgement};
use super::choices::{Choice, Chosen};
use super::definition::Definition;
use super::facts::{FactValue, Input, Sample, Seen, Subject};
use super::finding::{Finding, Grade, Origin, Used, Verdict};
use super::sentence;

/// A text that is often one that never changes.
pub(super) type Text = Cow<'static, str>;

/// What a text is made of: one that is there, or one still to be written, in one piece.
pub(super) trait Words {
    /// The text.
    fn text(self) -> Text;
}

impl Words for &'static str {
    fn text(self) -> Text {
        Text::Borrowed(self)
    }
}

impl Words for String {
    fn text(self) -> Text {
        Text::Owned(self)
    }
}

impl Words for Text {
    fn text(self) -> Text {
        self
    }
}

impl Words for fmt::Arguments<'_> {
    fn text(self) -> Text {
        Text::Owned(write(self))
    }
}

/// Writes a text with room for a clause, so that it seldom has to grow.
pub(super) fn write(words: fmt::Arguments<'_>) -> String {
    let mut text = String::with_capacity(96);
    // Writing into a text cannot fail.
    let _ = text.write_fmt(words);
    text
}

/// A definition at work on one case or one row of facts.
#[derive(Debug)]
pub(super) struct Look {
    definition: &'static Definition,
    subject: Option<Subject>,
    origin: Option<Origin>,
    used: Vec<Used>,
    choices: Vec<Chosen>,
    notes: Vec<String>,
}

impl Look {
    /// Looks at the case as a whole.
    pub(super) const fn at_case(definition: &'static Definition) -> Self {
        let (subject, origin) = (None, None);
        Self { definition, subject, origin, used: Vec::new(), choices: Vec::new(), notes: Vec::new() }
    }

    /// Looks at one of several things.
    pub(super) fn at(definition: &'static Definition, subject: &Subject) -> Self {
        let origin = subject.origin.as_deref().map(Origin::from);
        Self { subject: Some(subject.clone()), origin, ..Self::at_case(definition) }
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
    pub(super) fn sample<T>(&mut self, input: &'static Input, sample: &Sample<T>, value: String) {
        let origin = sample.origin.as_deref().map(Origin::from);
        let used = Used { input, value, at: Some(sample.drawn), origin };
        if !self.used.contains(&used) {
            self.take(used);
        }
    }

    /// Keeps what was looked at. Most rules look at few of their inputs in one case.
    fn take(&mut self, used: Used) {
        if self.used.capacity() == 0 {
            self.used.reserve_exact(self.definition.inputs.len().min(12));
        }
        self.used.push(used);
    }

    /// Notes which of several clashing rules is applied.
    pub(super) fn choose<C: Choice>(&mut self, taken: C) -> C {
        self.choices.push(Chosen::of(taken));
        taken
    }

    /// Adds what else has to be known with the result.
    pub(super) fn note(&mut self, words: impl Words) {
        self.notes.push(words.text().into_owned());
    }

    /// Notes an input once: within one case or row it has one value.
    fn note_used(&mut self, input: &'static Input, value: impl FnOnce() -> String) {
        if !self.used.iter().any(|used| used.at.is_none() && used.input == input) {
            self.take(Used { input, value: value(), at: None, origin: self.origin.clone() });
        }
    }

    /// Ends in a grade. The clause continues "because …" and has no full stop.
    pub(super) fn met(self, code: impl Words, label: impl Words, clause: impl Words) -> Finding {
        let (code, label, clause) = (code.text(), label.text(), clause.text());
        let sentence = sentence::decided(self.about(), &label, &clause);
        let headline = label.clone();
        self.end(Verdict::Met { grade: Grade { code, label }, clause }, headline, sentence)
    }

    /// Ends in "not met". The label says what it is not.
    pub(super) fn not_met(self, label: impl Words, clause: impl Words) -> Finding {
        let (label, clause) = (label.text(), clause.text());
        let sentence = sentence::decided(self.about(), &label, &clause);
        self.end(Verdict::NotMet { clause }, label, sentence)
    }

    /// Ends undecided for want of inputs.
    pub(super) fn lacking(self, missing: impl IntoIterator<Item = &'static Input>) -> Finding {
        self.undecided(missing.into_iter().collect(), None)
    }

    /// Ends undecided because a clause is not settled.
    pub(super) fn open(self, clause: &Judgement) -> Finding {
        let why = (!clause.reasons().is_empty()).then(|| clause.reasons().join(" "));
        self.undecided(clause.inputs().collect(), why)
    }

    /// Ends undecided because the rule has no place for what is recorded; the reason is a sentence.
    pub(super) fn no_rule(self, why: impl Words) -> Finding {
        self.undecided(Vec::new(), Some(why.text().into_owned()))
    }

    /// Ends undecided for want of inputs, with a sentence that says more.
    pub(super) fn undecided(self, missing: Vec<&'static Input>, more: Option<String>) -> Finding {
        let mut why = more.unwrap_or_default();
        if let Some((first, rest)) = missing.split_first() {
            let length: usize = missing.iter().map(|input| input.label.len() + 2).sum();
            why.reserve(length + 17);
            why.push_str(if why.is_empty() { "Not recorded: " } else { " Not recorded: " });
            why.push_str(first.label);
            for input in rest {
                why.push_str("; ");
                why.push_str(input.label);
            }
            why.push('.');
        }
        let sentence = sentence::undecided(self.about(), self.definition.name, &why);
        let missing = missing.into_iter().copied().collect();
        self.end(Verdict::Undecided { missing, why }, Text::Borrowed("not decidable"), sentence)
    }

    /// What it is about, when that has a name.
    fn about(&self) -> Option<&str> {
        self.subject.as_ref().map(|subject| subject.label.trim()).filter(|label| !label.is_empty())
    }

    fn end(self, verdict: Verdict, headline: Text, sentence: String) -> Finding {
        Finding {
            definition: self.definition.slug,
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

/// Those inputs that are marked as missing.
pub(super) fn only_missing<const N: usize>(lacks: [(&'static Input, bool); N]) -> Vec<&'static Input> {
    lacks.into_iter().filter_map(|(input, lacks)| lacks.then_some(input)).collect()
}
