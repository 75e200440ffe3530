//! The published check rows of each definition, run through the registry.
//!
//! A row is what was recorded, what has to come out, and its mark: P, the expected value is stated by
//! the publication; D, derived from the published rule by arithmetic or logic; O, our own convention.
//! Values are typed as a person types them and go in by the same door as a form.

mod angiography;
mod arbitrary;
mod bleeding;
mod branch;
mod circulation;
mod doubts;
mod infarction;
mod kidney;
mod law;
mod marker_words;
mod other;
mod outcome;
mod quantities;
mod radiation;
mod registry;
mod stent_thrombosis;
mod text;
mod words;

use super::facts::{FactSet, Sample};
use super::{Choices, Facts, Family, Finding, Subject, Verdict, definition};
use crate::quantity::Offset;

/// Where the expected value of a row comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Mark {
    /// Stated by the publication.
    P,
    /// Derived from the published rule.
    D,
    /// Our own convention.
    O,
}

/// What has to come out.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Expect {
    /// A grade of this code.
    Met(&'static str),
    /// Not met.
    No,
    /// Not decidable, for want of exactly these inputs (by slug).
    Lacks(&'static [&'static str]),
    /// The typed text is refused before any rule sees it.
    Refused,
}

use Expect::{Lacks, Met, No, Refused};
use Mark::{D, O, P};

/// One check row.
pub struct Check {
    definition: &'static str,
    source: &'static str,
    mark: Mark,
    given: String,
    facts: Facts,
    refused: Option<String>,
    choices: Choices,
    expect: Expect,
    says: &'static str,
}

/// The check rows of one definition from one source.
pub struct Table {
    definition: &'static str,
    source: &'static str,
    rows: Vec<Check>,
}

impl Table {
    pub fn of(definition: &'static str, source: &'static str) -> Self {
        Self { definition, source, rows: Vec::new() }
    }

    /// A row: mark, what was recorded (see [`given`]), and what has to come out.
    pub fn row(mut self, mark: Mark, given_text: &str, expect: Expect) -> Self {
        let (facts, refused) = given(given_text);
        self.rows.push(Check {
            definition: self.definition,
            source: self.source,
            mark,
            given: given_text.to_owned(),
            facts,
            refused,
            choices: Choices::default(),
            expect,
            says: "",
        });
        self
    }

    /// What the headline, the clause or a note of the row just added has to say.
    pub fn says(mut self, words: &'static str) -> Self {
        self.rows.last_mut().unwrap().says = words;
        self
    }

    /// An answer that the department took for the row just added.
    pub fn when(mut self, question: &str, answer: &str) -> Self {
        self.rows.last_mut().unwrap().choices.take(question, answer).unwrap();
        self
    }

    pub fn from(mut self, source: &'static str) -> Self {
        self.source = source;
        self
    }
}

/// Reads facts from a text: families parted by `|`, inputs by `;`. A laboratory value is
/// `troponin: -60 7 ng/L (limit 14 ng/L); 600 70 ng/L (limit 14 ng/L)`, minutes before the value.
///
/// The procedure begins and ends at time zero unless the text says otherwise. Gives the sentence of
/// a value that was refused.
pub fn given(text: &str) -> (Facts, Option<String>) {
    let mut facts = Facts::default();
    facts.procedure.record("started", "0").unwrap();
    facts.procedure.record("ended", "0").unwrap();
    let mut refused = None;
    for part in text.split('|').map(str::trim).filter(|part| !part.is_empty()) {
        let (name, inputs) = part.split_once(':').unwrap_or_else(|| panic!("no family in {part:?}"));
        for input in inputs.split(';').map(str::trim).filter(|input| !input.is_empty()) {
            let (slug, value) = input.split_once(' ').unwrap_or((input, ""));
            if let Err(problem) = record(&mut facts, name.trim(), slug, value.trim()) {
                refused = Some(problem);
            }
        }
    }
    (facts, refused)
}

fn record(facts: &mut Facts, name: &str, slug: &str, value: &str) -> Result<(), String> {
    let labs = &mut facts.labs;
    match name {
        "troponin" => add(&mut labs.troponin, slug, value),
        "ck_mb" => add(&mut labs.ck_mb, slug, value),
        "creatinine" => add(&mut labs.creatinine, slug, value),
        "haemoglobin" => add(&mut labs.haemoglobin, slug, value),
        "platelets" => add(&mut labs.platelets, slug, value),
        name => {
            let family: Family = name.parse().unwrap();
            if !family.is_listed() {
                return facts.record(family, None, slug, value).map_err(|problem| problem.to_string());
            }
            if facts.subjects(family).is_empty() {
                facts.add_row(family, Subject::named("LAD")).unwrap();
            }
            facts.record(family, Some(0), slug, value).map_err(|problem| problem.to_string())
        }
    }
}

fn add<T: std::str::FromStr>(series: &mut Vec<Sample<T>>, minutes: &str, value: &str) -> Result<(), String>
where
    T::Err: std::fmt::Display,
{
    let drawn = Offset::parse_typed(minutes).unwrap();
    series.push(Sample::drawn(drawn, value.parse().map_err(|problem: T::Err| problem.to_string())?));
    Ok(())
}

/// All check rows.
pub fn all() -> Vec<Check> {
    [
        angiography::tables(),
        branch::tables(),
        infarction::tables(),
        stent_thrombosis::tables(),
        bleeding::tables(),
        kidney::tables(),
        radiation::tables(),
        circulation::tables(),
        outcome::tables(),
        other::tables(),
    ]
    .into_iter()
    .flatten()
    .flat_map(|table| table.rows)
    .collect()
}

/// What the one finding of a definition is.
pub fn finding(slug: &str, facts: &Facts, choices: &Choices) -> Finding {
    let mut found = definition(slug).unwrap().findings(facts, choices);
    assert_eq!(found.len(), 1, "{slug} gives one finding");
    found.remove(0)
}

/// What is wrong with a row, if anything.
fn problem(row: &Check) -> Option<String> {
    let about = format!("{} ({:?}, {}): {}", row.definition, row.mark, row.source, row.given);
    if row.expect == Refused {
        return row.refused.is_none().then(|| format!("{about}: should be refused"));
    }
    if let Some(sentence) = &row.refused {
        return Some(format!("{about}: refused with {sentence}"));
    }
    let found = finding(row.definition, &row.facts, &row.choices);
    let right = match (&found.verdict, row.expect) {
        (Verdict::Met { grade, .. }, Met(code)) => grade.code == code,
        (Verdict::NotMet { .. }, No) => true,
        (Verdict::Undecided { missing, .. }, Lacks(inputs)) => {
            missing.iter().map(|input| input.slug).collect::<Vec<_>>() == inputs
        }
        _ => false,
    };
    let told = format!("{} {}", found.sentence, found.notes.join(" "));
    if !right {
        return Some(format!("{about}: expected {:?}, found {:?}", row.expect, found.verdict));
    }
    (!told.contains(row.says)).then(|| format!("{about}: should say {:?}, says {told:?}", row.says))
}

#[test]
fn every_check_row_comes_out_as_published() {
    let problems: Vec<String> = all().iter().filter_map(problem).collect();
    assert!(problems.is_empty(), "{} rows differ:\n{}", problems.len(), problems.join("\n"));
}
