//! The teaching summary: the document that a case becomes, made from its record alone.
//!
//! Situation, background, what happened, what it was, why, what could be otherwise, lessons,
//! actions, how often. Each module below writes some of these sections. A fact is said once, and
//! what the record does not hold is named as missing where it would stand. The order follows SBAR
//! as used for morbidity and mortality meetings (Mitchell et al., Am J Surg 2012;203:26).

mod background;
mod graded;
mod happened;
mod harms;
mod learned;
mod often;
mod responses;
mod sources;
mod stills;

pub use background::lesion_words;
pub use happened::{event_words, kind_words, timeline_figure};
pub use harms::{chain_figure, outcome_words};
pub use learned::{action_words, decision_words};
pub use stills::{moment_and_view, still, still_address};

use crate::case::reading::Reading;
use crate::case::{Complication, Stage, StoredCase};
use crate::department::Department;
use crate::document::Document;
use crate::rates::RateLine;
use crate::rates::combination::Coarse;
use crate::response::PromptList;
use crate::review::findings::Findings;
use crate::vocabulary::{MechanismSlug, Vocabulary};

/// The caution that stands under every summary, deck and report.
pub const CAUTION: &str = "For peer review and teaching. Not for the care of an individual patient. Local protocols, local law on peer-review protection, and licensed judgement decide. Rates on small numbers never rank people.";

/// A case being written up: what every section needs.
struct Writing<'a> {
    case: &'a StoredCase,
    vocabulary: &'a Vocabulary,
    reading: Reading,
    findings: Findings,
    prompts: &'a [PromptList],
    /// Month and age as they are told outside the department; as recorded without it.
    coarse: Option<&'a Coarse>,
}

/// The teaching summary of a case, with the department's rate for the mechanism of its index harm
/// when it is at hand ([`rate_mechanism`] says which mechanism that is).
#[must_use]
pub fn teaching_summary(
    case: &StoredCase,
    vocabulary: &Vocabulary,
    department: &Department,
    rate: Option<&RateLine>,
) -> Document {
    summary_told(case, vocabulary, department, rate, None)
}

/// The same with the month and the age told as generally as [`Coarse`] says, and without the code, which
/// holds the year. What people wrote stays as they wrote it.
#[must_use]
pub fn protected_summary(
    case: &StoredCase,
    vocabulary: &Vocabulary,
    department: &Department,
    rate: Option<&RateLine>,
    coarse: &Coarse,
) -> Document {
    summary_told(case, vocabulary, department, rate, Some(coarse))
}

fn summary_told(
    case: &StoredCase,
    vocabulary: &Vocabulary,
    department: &Department,
    rate: Option<&RateLine>,
    coarse: Option<&Coarse>,
) -> Document {
    let reading = Reading::of(&case.events, &case.complications);
    let findings = Findings::of(case, &reading, vocabulary, &department.choices);
    let writing = Writing { case, vocabulary, reading, findings, prompts: &department.prompts, coarse };
    let mut document = Document::new(case.head.title.as_str());
    document.stands_as(standing(case, coarse));
    match &case.head.situation {
        Some(situation) => document.paragraph(situation.as_str()),
        None => document.missing("the situation in two sentences"),
    };
    writing.background(&mut document);
    writing.what_happened(&mut document);
    writing.stills(&mut document);
    writing.what_it_was(&mut document);
    writing.how_it_ended(&mut document);
    writing.responses(&mut document);
    writing.why(&mut document);
    writing.what_could_be_otherwise(&mut document);
    writing.lessons(&mut document);
    writing.actions(&mut document);
    writing.how_often(&mut document, rate);
    writing.sources(&mut document, rate);
    document.caution(CAUTION);
    document
}

/// The harm that the others followed from: the first that is no consequence of another.
#[must_use]
pub fn index_complication(case: &StoredCase) -> Option<&Complication> {
    let mut harms = case.complications.iter().map(|row| &row.value);
    harms.clone().find(|harm| harm.consequence_of.is_none()).or_else(|| harms.next())
}

/// The mechanism whose rate belongs in the summary.
#[must_use]
pub fn rate_mechanism(case: &StoredCase) -> Option<MechanismSlug> {
    index_complication(case).map(|harm| harm.mechanism.clone())
}

fn standing(case: &StoredCase, coarse: Option<&Coarse>) -> String {
    let draft = match case.head.stage {
        Stage::Recorded | Stage::InPreparation => " Draft: the case is still being prepared.",
        Stage::Ready | Stage::Presented | Stage::Closed => "",
    };
    let which = match coarse {
        None => format!("Case {}, {}", case.code, case.head.month.in_words()),
        Some(Coarse { month: Some(month), .. }) => format!("A case of {month}"),
        Some(_) => "A case".to_owned(),
    };
    format!("Confidential. Peer review and teaching. {which}, made from the record.{draft}")
}
