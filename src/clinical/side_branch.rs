//! Side-branch occlusion.

use std::fmt;

use super::answer::{Answer, Judgement};
use super::choices::{Choice, Choices, SideBranchRule};
use super::definition::{Assess, Definition, Section, Source};
use super::facts::{Facts, Row, SideBranchFacts};
use super::finding::Finding;
use super::look::{Look, only_missing};
use super::quantities::{Decimal, Measured, MillimetreUnit, Millimetres};
use crate::quantity::TimiFlow;

/// Side-branch occlusion.
pub const DEFINITION: Definition = Definition {
    slug: "side-branch-occlusion",
    name: "Side-branch occlusion",
    section: Section::Closure,
    rule: "There is no single rule, so your department takes one. R1, strict: TIMI 0 afterwards, or the branch is no \
           longer seen. R2, usual: TIMI 0 to 1 afterwards. R3, research: TIMI below 3 afterwards in a branch of 2.3 mm \
           or more. R4: any fall of the grade. Each asks that flow be lower than before.",
    boundaries: "A branch that had the same flow before is not a new loss. 2.3 mm is within R3, 2.2 mm outside it. \
                 Other studies count branches from 1.5, 2.0, 2.5 or 2.75 mm.",
    sources: &[
        Source::read("Hahn et al., J Am Coll Cardiol 2013;62:1654", "R3 and 2.3 mm"),
        Source::recalled("Dou et al., RESOLVE score", "R4"),
        Source::recalled("SYNTAX score; common practice", "branch sizes of 1.5, 2.0 and 2.5 mm; R1 and R2"),
        Source::read("“Simple vs complex stenting of large bifurcations”, PMC6999681", "2.75 mm"),
        Source::recalled(
            "European Bifurcation Club",
            "the rule of function: a branch one would not want to lose",
        ),
        Source::own("to be new, the grade has to be lower than before"),
    ],
    inputs: &[SideBranchFacts::BEFORE, SideBranchFacts::AFTER, SideBranchFacts::DIAMETER],
    choices: &["side-branch"],
    assess: Assess::Rows(assess),
};

const STUDY_SIZE: Millimetres = Measured::limit(Decimal::thousandths(2_300), MillimetreUnit::Mm);

fn assess(facts: &Facts, choices: &Choices) -> Vec<Finding> {
    facts.side_branches.iter().map(|row| judge(row, choices)).collect()
}

fn judge(row: &Row<SideBranchFacts>, choices: &Choices) -> Finding {
    const NO: &str = "no side-branch occlusion";
    let mut look = Look::at(&DEFINITION, &row.subject);
    let before = look.value(row.facts.before());
    let after = look.value(row.facts.after());
    let diameter = look.value(row.facts.diameter());
    let rule = look.choose(choices.side_branch);
    let met = by_rule(rule, before, after, diameter);
    let [r1, r2, r3, r4] = [SideBranchRule::R1, SideBranchRule::R2, SideBranchRule::R3, SideBranchRule::R4]
        .map(|one| match by_rule(one, before, after, diameter).answer() {
            Answer::Yes => "yes",
            Answer::No => "no",
            Answer::Unknown => "not decidable",
        });
    look.note(format_args!("By each rule: R1 {r1}, R2 {r2}, R3 {r3}, R4 {r4}."));
    if met.is_unknown() {
        return look.open(&met);
    }
    let (Some(before), Some(after)) = (before, after) else {
        return look.not_met(NO, "flow afterwards is above the limit of the rule, whatever it was before");
    };
    let change = format_args!("{before} before and {after} afterwards");
    if met.is_yes() {
        return look.met(
            rule.option(),
            "side-branch occlusion",
            format_args!("{change}, by rule {}", in_words(rule)),
        );
    }
    if after >= before {
        return look.not_met(NO, format_args!("{change}: flow did not fall, so it is not new"));
    }
    if rule == SideBranchRule::R3 && diameter.is_some_and(|size| size.is_below(STUDY_SIZE)) {
        return look
            .not_met(NO, "a branch below 2.3 mm lies outside the size of the study that the rule is from");
    }
    look.not_met(NO, format_args!("{change}, which rule {} does not count", in_words(rule)))
}

/// A rule inside a sentence: `R2 (TIMI 0 to 1 afterwards)`.
fn in_words(rule: SideBranchRule) -> impl fmt::Display {
    let (name, what) = rule.words().split_once(": ").unwrap_or((rule.words(), ""));
    fmt::from_fn(move |f| write!(f, "{name} ({what})"))
}

fn by_rule(
    rule: SideBranchRule,
    before: Option<TimiFlow>,
    after: Option<TimiFlow>,
    diameter: Option<Millimetres>,
) -> Judgement {
    let afterwards =
        |highest: u8| Judgement::test(&SideBranchFacts::AFTER, after, |flow| flow.grade() <= highest);
    let limit = match rule {
        SideBranchRule::R1 => afterwards(0),
        SideBranchRule::R2 => afterwards(1),
        SideBranchRule::R3 => {
            afterwards(2).and(Judgement::test(&SideBranchFacts::DIAMETER, diameter, |size| {
                size.is_at_least(STUDY_SIZE)
            }))
        }
        // No grade is lower than the highest, so that a fall cannot end there.
        SideBranchRule::R4 => afterwards(2),
    };
    limit.and(fell(before, after))
}

fn fell(before: Option<TimiFlow>, after: Option<TimiFlow>) -> Judgement {
    match (before, after) {
        (Some(before), Some(after)) => Judgement::known(after < before),
        (Some(before), None) if before.grade() == 0 => Judgement::known(false),
        (None, Some(after)) if after.grade() == 3 => Judgement::known(false),
        (before, after) => Judgement::lacking(only_missing([
            (&SideBranchFacts::BEFORE, before.is_none()),
            (&SideBranchFacts::AFTER, after.is_none()),
        ])),
    }
}
