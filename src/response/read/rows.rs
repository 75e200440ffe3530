//! The parts of a list: the list itself, a question, a step, a condition, a sign.

use std::str::FromStr;

use super::super::list::{Answer, Condition, Place, PromptList, Question, Sign, Since, Step};
use super::super::slug::Slug;
use super::Allowed;
use super::fields::{Fields, text_of};
use super::nearest::hint;
use super::problem::Problems;
use super::tree::{Node, Value};
use crate::quantity::TimiFlow;

const MECHANISMS_AT_MOST: usize = 60;
const QUESTIONS_AT_MOST: usize = 10;
const STEPS_AT_MOST: usize = 40;
const SIGNS_AT_MOST: usize = 10;
const HINTS_AT_MOST: usize = 20;
const TITLE_AT_MOST: usize = 120;
const SENTENCE_AT_MOST: usize = 240;
const SOURCE_AT_MOST: usize = 600;
const HINT_AT_MOST: usize = 40;
const SLUG_AT_MOST: usize = 48;

/// What a reference points to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Sort {
    Question,
    Step,
}

/// A row's own slug, and where it stands.
pub(super) struct Named {
    pub(super) slug: Slug,
    pub(super) sort: Sort,
    pub(super) at: usize,
}

/// A reference to a question or a step, and where it stands.
pub(super) struct Pointer {
    pub(super) to: Slug,
    pub(super) sort: Sort,
    pub(super) at: usize,
    /// For a question that hangs on another: its own number, which has to be higher.
    pub(super) from_question: Option<usize>,
}

/// Reads the parts, and keeps what has to be looked at once all are read.
pub(super) struct Reader<'a> {
    allowed: &'a Allowed<'a>,
    pub(super) problems: Problems,
    pub(super) named: Vec<Named>,
    pub(super) pointers: Vec<Pointer>,
    /// Whether a row's slug could not be read, so that what points to it seems to point nowhere.
    pub(super) slug_lost: bool,
}

impl<'a> Reader<'a> {
    pub(super) const fn new(allowed: &'a Allowed<'a>, problems: Problems) -> Self {
        Self { allowed, problems, named: Vec::new(), pointers: Vec::new(), slug_lost: false }
    }

    pub(super) fn list(&mut self, mut fields: Fields) -> Option<PromptList> {
        let slug = self.slug(&mut fields);
        let title = fields.need("title", TITLE_AT_MOST, &mut self.problems);
        let source = fields.need("source", SOURCE_AT_MOST, &mut self.problems);
        fields.require("mechanisms", &mut self.problems);
        let mechanisms = self.mechanisms(&mut fields, "mechanisms", true);
        let questions = fields.items("questions", QUESTIONS_AT_MOST, &mut self.problems);
        let questions: Vec<Option<Question>> =
            questions.iter().enumerate().map(|(number, node)| self.question(node, number)).collect();
        fields.require("steps", &mut self.problems);
        if let Some(Node { value: Value::List(steps), at }) = fields.node("steps")
            && steps.is_empty()
        {
            self.problems.add(*at, "A list has at least one step.");
        }
        let steps = fields.items("steps", STEPS_AT_MOST, &mut self.problems);
        let steps: Vec<Option<Step>> = steps.iter().map(|node| self.step(node)).collect();
        fields.refuse_unknown(&mut self.problems);
        let (slug, title, source) = (slug?, title?, source?);
        let questions = questions.into_iter().collect::<Option<_>>()?;
        let steps = steps.into_iter().collect::<Option<_>>()?;
        Some(PromptList { slug, title, source, mechanisms, questions, steps })
    }

    fn question(&mut self, node: &Node, number: usize) -> Option<Question> {
        let mut fields = self.row(node, "a question")?;
        let slug = self.named(&mut fields, Sort::Question);
        let asks = fields.need("asks", SENTENCE_AT_MOST, &mut self.problems);
        let only_if = self.condition(&mut fields, Some(number));
        let yes_mechanisms = self.mechanisms(&mut fields, "yes_mechanisms", false);
        let no_mechanisms = self.mechanisms(&mut fields, "no_mechanisms", false);
        let yes_signs = self.signs(&mut fields, "yes_signs");
        let no_signs = self.signs(&mut fields, "no_signs");
        fields.refuse_unknown(&mut self.problems);
        let (slug, asks) = (slug?, asks?);
        Some(Question { slug, asks, only_if, yes_mechanisms, no_mechanisms, yes_signs, no_signs })
    }

    fn step(&mut self, node: &Node) -> Option<Step> {
        let mut fields = self.row(node, "a step")?;
        let slug = self.named(&mut fields, Sort::Step);
        let text = fields.need("text", SENTENCE_AT_MOST, &mut self.problems);
        let why = fields.need("why", SENTENCE_AT_MOST, &mut self.problems);
        let source = fields.text("source", SOURCE_AT_MOST, &mut self.problems);
        let only_if = self.condition(&mut fields, None);
        let before = self.pointer(&mut fields, "before", Sort::Step, None);
        let may_precede = fields.flag("may_precede", &mut self.problems);
        let signs = self.signs(&mut fields, "signs");
        let suggests = self.signs(&mut fields, "suggests");
        let hints = self.hints(&mut fields);
        if may_precede && signs.iter().chain(&suggests).any(|sign| sign.from != Since::AfterOnset) {
            let message = "This step may come before the onset, so “from” means nothing in its signs. Take one of the two out.";
            self.problems.add(fields.at, message);
        }
        fields.refuse_unknown(&mut self.problems);
        let (slug, text, why) = (slug?, text?, why?);
        Some(Step { slug, text, why, source, only_if, before, may_precede, signs, suggests, hints })
    }

    /// The keys of a row with a slug of its own.
    fn row<'f>(&mut self, node: &'f Node, noun: &'static str) -> Option<Fields<'f>> {
        let fields = Fields::of(node, noun, &mut self.problems);
        self.slug_lost |= fields.is_none();
        fields
    }

    fn condition(&mut self, fields: &mut Fields, from_question: Option<usize>) -> Option<Condition> {
        let mut part = fields.part("only_if", "a condition", &mut self.problems)?;
        part.require("question", &mut self.problems);
        let question = self.pointer(&mut part, "question", Sort::Question, from_question);
        part.require("answer", &mut self.problems);
        let answer = self.word(&mut part, "answer", Answer::ALL, Answer::slug);
        part.refuse_unknown(&mut self.problems);
        Some(Condition { question: question?, answer: answer? })
    }

    fn signs(&mut self, fields: &mut Fields, key: &'static str) -> Vec<Sign> {
        let nodes = fields.items(key, SIGNS_AT_MOST, &mut self.problems);
        nodes.iter().filter_map(|node| self.sign(node)).collect()
    }

    fn sign(&mut self, node: &Node) -> Option<Sign> {
        let mut fields = Fields::of(node, "a sign", &mut self.problems)?;
        fields.require("kinds", &mut self.problems);
        let kinds = self.words(&mut fields, "kinds", "a kind of event", self.allowed.kinds, true);
        let devices = self.words(&mut fields, "devices", "a device class", self.allowed.devices, false);
        let place = self.word(&mut fields, "place", Place::ALL, Place::slug).unwrap_or(Place::Any);
        let from = self.word(&mut fields, "from", Since::ALL, Since::slug).unwrap_or(Since::AfterOnset);
        let after_step = self.pointer(&mut fields, "after_step", Sort::Step, None);
        let after_lost_flow = fields.flag("after_lost_flow", &mut self.problems);
        let flow_at_least = fields.node("flow_at_least").and_then(|node| match node.value {
            Value::Whole(grade) if TimiFlow::try_from(grade).is_ok() => TimiFlow::try_from(grade).ok(),
            _ => {
                self.problems.add(node.at, "A TIMI flow grade is 0, 1, 2 or 3, without quotes.");
                None
            }
        });
        fields.refuse_unknown(&mut self.problems);
        Some(Sign { kinds, devices, place, flow_at_least, after_lost_flow, from, after_step })
    }

    fn hints(&mut self, fields: &mut Fields) -> Vec<String> {
        let mut hints = Vec::new();
        for node in fields.items("hints", HINTS_AT_MOST, &mut self.problems) {
            let Some(hint) = text_of(node, HINT_AT_MOST, &mut self.problems) else { continue };
            if hint.trim_end_matches('*').is_empty() || hint.chars().rev().skip(1).any(|c| c == '*') {
                self.problems
                    .add(node.at, "A hint is a word; * stands only at its end and means any ending.");
            } else {
                hints.push(hint.to_owned());
            }
        }
        hints
    }

    /// The slug of a list.
    fn slug(&mut self, fields: &mut Fields) -> Option<Slug> {
        let at = fields.node("slug").map_or(fields.at, |node| node.at);
        let text = fields.need("slug", SLUG_AT_MOST, &mut self.problems)?;
        text.parse().map_err(|error: super::super::SlugError| self.problems.add(at, error.to_string())).ok()
    }

    /// The slug of a row, which others may point to.
    fn named(&mut self, fields: &mut Fields, sort: Sort) -> Option<Slug> {
        let at = fields.node("slug").map_or(fields.at, |node| node.at);
        let slug = self.slug(fields);
        match &slug {
            Some(slug) => self.named.push(Named { slug: slug.clone(), sort, at }),
            None => self.slug_lost = true,
        }
        slug
    }

    fn pointer(
        &mut self,
        fields: &mut Fields,
        key: &'static str,
        sort: Sort,
        from_question: Option<usize>,
    ) -> Option<Slug> {
        let at = fields.node(key)?.at;
        let text = fields.text(key, SLUG_AT_MOST, &mut self.problems)?;
        match text.parse::<Slug>() {
            Ok(to) => {
                self.pointers.push(Pointer { to: to.clone(), sort, at, from_question });
                Some(to)
            }
            Err(error) => {
                self.problems.add(at, error.to_string());
                None
            }
        }
    }

    fn mechanisms(&mut self, fields: &mut Fields, key: &'static str, needed: bool) -> Vec<Slug> {
        self.words(fields, key, "a mechanism", self.allowed.mechanisms, needed)
    }

    /// A list of words that the record knows.
    fn words(
        &mut self,
        fields: &mut Fields,
        key: &'static str,
        what: &str,
        allowed: &[&str],
        needed: bool,
    ) -> Vec<Slug> {
        if let Some(Node { value: Value::List(items), at }) = fields.node(key)
            && items.is_empty()
            && needed
        {
            self.problems.add(*at, format!("“{key}” needs at least one."));
        }
        let mut words = Vec::new();
        for node in fields.items(key, MECHANISMS_AT_MOST, &mut self.problems) {
            let Some(given) = text_of(node, SLUG_AT_MOST, &mut self.problems) else { continue };
            match given.parse() {
                Ok(word) if words.contains(&word) => {
                    self.problems.add(node.at, format!("“{given}” stands here twice."))
                }
                Ok(word) if allowed.contains(&given) => words.push(word),
                _ => self.problems.add(node.at, unknown(given, what, allowed)),
            }
        }
        words
    }

    /// A word of a closed list.
    fn word<T: FromStr + Copy>(
        &mut self,
        fields: &mut Fields,
        key: &'static str,
        all: &[T],
        slug: fn(T) -> &'static str,
    ) -> Option<T> {
        let at = fields.node(key)?.at;
        let given = fields.text(key, SLUG_AT_MOST, &mut self.problems)?;
        let known: Vec<&str> = all.iter().map(|word| slug(*word)).collect();
        given
            .parse()
            .map_err(|_| self.problems.add(at, unknown(&given, &format!("a word for “{key}”"), &known)))
            .ok()
    }
}

/// A word that is not in its list: the nearest one, or the whole list when it is short.
fn unknown(given: &str, what: &str, allowed: &[&str]) -> String {
    let near = hint(given, allowed.iter().copied());
    if near.is_empty() && allowed.len() <= 40 {
        format!("“{given}” is not {what}. Allowed: {}.", allowed.join(", "))
    } else {
        format!("“{given}” is not {what}.{near}")
    }
}
