//! Dissection of an ostium into the aorta, Dunning classes.

use super::choices::{Choices, DunningLimit};
use super::definition::{Assess, Definition, Section, Source};
use super::facts::{AortaFacts, AorticReach, Facts, Row};
use super::finding::Finding;
use super::look::Look;
use super::quantities::{Decimal, Measured, MillimetreUnit, Millimetres};

/// Aortocoronary dissection, Dunning class.
pub const DEFINITION: Definition = Definition {
    slug: "aortic-dissection",
    name: "Aortocoronary dissection, Dunning class",
    section: Section::Dissection,
    rule: "I: the cusp only. II: less than 40 mm up the aorta. III: 40 mm or more.",
    boundaries: "Exactly 40 mm is class III, unless your department takes III as more than 40 mm. The quotation that was \
                 read leaves exactly 40 mm open.",
    sources: &[
        Source::recalled("Dunning's classes", "the classes, III as 40 mm or more"),
        Source::read(
            "Baumann et al., BMC Med Imaging 2017",
            "the classes, II as less and III as more than 40 mm",
        ),
    ],
    inputs: &[AortaFacts::REACH, AortaFacts::EXTENT],
    choices: &["dunning"],
    assess: Assess::Rows(assess),
};

const FORTY_MM: Millimetres = Measured::limit(Decimal::whole(40), MillimetreUnit::Mm);

fn assess(facts: &Facts, choices: &Choices) -> Vec<Finding> {
    facts.aorta.iter().map(|row| classify(row, choices)).collect()
}

fn classify(row: &Row<AortaFacts>, choices: &Choices) -> Finding {
    let mut look = Look::at(&DEFINITION, &row.subject);
    let Some(reach) = look.value(row.facts.reach()) else {
        return look.lacking([&AortaFacts::REACH]);
    };
    if reach == AorticReach::Cusp {
        return look.met("I", "Dunning I", "it reaches the cusp only");
    }
    let Some(extent) = look.value(row.facts.extent()) else {
        return look.lacking([&AortaFacts::EXTENT]);
    };
    let far = match look.choose(choices.dunning) {
        DunningLimit::ThirdClass => extent.is_at_least(FORTY_MM),
        DunningLimit::SecondClass => extent.is_above(FORTY_MM),
    };
    let clause = format_args!("it reaches {extent} up the aorta");
    if far { look.met("III", "Dunning III", clause) } else { look.met("II", "Dunning II", clause) }
}
