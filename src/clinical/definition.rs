//! What a definition is: its rule in words, where the rule comes from, and the function that applies it.

use super::choices::Choices;
use super::facts::{Facts, Input};
use super::finding::Finding;
use crate::quantity::words;

words!(
    /// Chapters of the page of all definitions, in its order.
    Section, "a section", {
        Flow = "flow", "Flow, blush and thrombus";
        Dissection = "dissection", "Dissection";
        Perforation = "perforation", "Perforation and tamponade";
        NoReflow = "no-reflow", "Slow flow and no-reflow";
        Closure = "closure", "Closure, side branches and bifurcations";
        Infarction = "infarction", "Peri-procedural infarction";
        StentThrombosis = "stent-thrombosis", "Stent thrombosis";
        Bleeding = "bleeding", "Bleeding and access site";
        Kidney = "kidney", "Kidney and contrast";
        Radiation = "radiation", "Radiation";
        Circulation = "circulation", "Shock, heart failure and rhythm";
        Outcome = "outcome", "Harm and composite outcome";
        Other = "other", "Other complications";
    }
);

/// How far a source can be relied on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Standing {
    /// The rule or number was read in the source.
    Read,
    /// It was read in another publication that quotes the source.
    ReadIn(&'static str),
    /// It was written from memory and not read again: verify before you rely on it.
    Recalled,
    /// No publication says so; it is our own convention.
    Own,
}

impl Standing {
    /// The standing in words, for the source line.
    #[must_use]
    pub fn in_words(self) -> String {
        match self {
            Self::Read => "read".to_owned(),
            Self::ReadIn(place) => format!("read in {place}"),
            Self::Recalled => "from memory; verify before you rely on it".to_owned(),
            Self::Own => "our own convention".to_owned(),
        }
    }

    /// Whether a doubt has to be shown.
    #[must_use]
    pub const fn is_doubtful(self) -> bool {
        matches!(self, Self::Recalled)
    }
}

/// Where a rule comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Source {
    /// The publication, or for [`Standing::Own`] the convention.
    pub citation: &'static str,
    /// Which part of the rule it gives.
    pub gives: &'static str,
    /// How far it can be relied on.
    pub standing: Standing,
}

impl Source {
    /// A source that was read.
    #[must_use]
    pub const fn read(citation: &'static str, gives: &'static str) -> Self {
        Self { citation, gives, standing: Standing::Read }
    }

    /// A source read through another.
    #[must_use]
    pub const fn read_in(citation: &'static str, place: &'static str, gives: &'static str) -> Self {
        Self { citation, gives, standing: Standing::ReadIn(place) }
    }

    /// A source written from memory.
    #[must_use]
    pub const fn recalled(citation: &'static str, gives: &'static str) -> Self {
        Self { citation, gives, standing: Standing::Recalled }
    }

    /// Our own convention.
    #[must_use]
    pub const fn own(convention: &'static str) -> Self {
        Self { citation: "Own convention", gives: convention, standing: Standing::Own }
    }
}

/// One of the trade's definitions.
#[derive(Debug, Clone, Copy)]
pub struct Definition {
    /// Its name in addresses and files.
    pub slug: &'static str,
    /// Its name on pages.
    pub name: &'static str,
    /// Its chapter.
    pub section: Section,
    /// The rule in plain words.
    pub rule: &'static str,
    /// What happens exactly at its limits, and what a missing input does.
    pub boundaries: &'static str,
    /// Where the rule comes from.
    pub sources: &'static [Source],
    /// What it looks at.
    pub inputs: &'static [Input],
    /// The department's choices that change its result, by slug.
    pub choices: &'static [&'static str],
    /// The function that applies it.
    pub assess: Assess,
}

/// The function that applies a definition.
#[derive(Debug, Clone, Copy)]
pub enum Assess {
    /// To the case: one finding.
    Case(fn(&Facts, &Choices) -> Finding),
    /// To each row of facts that it looks at: a finding each.
    Rows(fn(&Facts, &Choices) -> Vec<Finding>),
}

impl Definition {
    /// Applies it: one finding for the case, or one for each row of facts that it looks at.
    #[must_use]
    pub fn findings(&self, facts: &Facts, choices: &Choices) -> Vec<Finding> {
        match self.assess {
            Assess::Case(assess) => vec![assess(facts, choices)],
            Assess::Rows(assess) => assess(facts, choices),
        }
    }

    /// Whether a number or wording of it was recalled and not read.
    #[must_use]
    pub fn has_doubts(&self) -> bool {
        self.sources.iter().any(|source| source.standing.is_doubtful())
    }
}

impl PartialEq for Definition {
    /// A definition is its slug.
    fn eq(&self, other: &Self) -> bool {
        self.slug == other.slug
    }
}
