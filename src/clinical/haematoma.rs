//! Haematoma at the access site.

use super::answer::Judgement;
use super::choices::Choices;
use super::definition::{Assess, Definition, Section, Source};
use super::facts::{Facts, HaematomaFacts, HaematomaSite, Row};
use super::finding::Finding;
use super::look::{Look, Text, write};
use super::quantities::{CentimetreUnit, Centimetres, Decimal, Measured};

/// Haematoma at the access site: EASY classes after radial access, size after femoral access.
pub const DEFINITION: Definition = Definition {
    slug: "haematoma",
    name: "Haematoma at the access site",
    section: Section::Bleeding,
    rule: "After radial access, EASY classes. I: up to 5 cm. II: up to 10 cm. III: above 10 cm, below the elbow. IV: above \
           the elbow. V: threatens the flow of the limb. After femoral access the size is recorded, and 5 cm or more is \
           commonly reportable.",
    boundaries: "5.0 cm is class I, 5.1 cm class II, 10.0 cm class II, 10.1 cm class III. 5.0 cm in the groin is reportable; \
                 limits there vary from study to study.",
    sources: &[
        Source::recalled("Bertrand et al., 2010 (EASY)", "the classes"),
        Source::recalled("common practice", "5 cm after femoral access"),
    ],
    inputs: &[
        HaematomaFacts::SITE,
        HaematomaFacts::SIZE,
        HaematomaFacts::ABOVE_ELBOW,
        HaematomaFacts::THREATENS_LIMB,
    ],
    choices: &[],
    assess: Assess::Rows(assess),
};

const fn cm(number: i64) -> Centimetres {
    Measured::limit(Decimal::whole(number), CentimetreUnit::Cm)
}

fn assess(facts: &Facts, _: &Choices) -> Vec<Finding> {
    facts.haematomas.iter().map(classify).collect()
}

fn classify(row: &Row<HaematomaFacts>) -> Finding {
    let seen = &row.facts;
    let mut look = Look::at(&DEFINITION, &row.subject);
    match look.value(seen.site()) {
        None => look.lacking([&HaematomaFacts::SITE]),
        Some(HaematomaSite::Femoral) => femoral(look, seen),
        Some(HaematomaSite::Radial) => radial(look, seen),
    }
}

fn femoral(mut look: Look, seen: &HaematomaFacts) -> Finding {
    match look.value(seen.size()) {
        None => look.lacking([&HaematomaFacts::SIZE]),
        Some(size) if size.is_at_least(cm(5)) => {
            look.met("reportable", "femoral haematoma of 5 cm or more", format_args!("{size} in the groin"))
        }
        Some(size) => look.not_met("femoral haematoma below 5 cm", format_args!("{size} in the groin")),
    }
}

fn radial(mut look: Look, seen: &HaematomaFacts) -> Finding {
    let size = look.value(seen.size());
    let above = |limit: i64| Judgement::test(&HaematomaFacts::SIZE, size, |size| size.is_above(cm(limit)));
    let told = |clause: &'static str| match size {
        Some(size) => write(format_args!("{size}, {clause}")).into(),
        None => Text::Borrowed(clause),
    };
    let classes = [
        (
            "V",
            "radial haematoma, EASY class V",
            look.answer(seen.threatens_limb()),
            "it threatens the flow of the limb",
        ),
        (
            "IV",
            "radial haematoma, EASY class IV",
            look.answer(seen.above_elbow()),
            "it reaches above the elbow",
        ),
        ("III", "radial haematoma, EASY class III", above(10), "above 10 cm and below the elbow"),
        ("II", "radial haematoma, EASY class II", above(5), "above 5 cm and up to 10 cm"),
    ];
    for (code, label, met, clause) in classes {
        if met.is_yes() {
            return look.met(code, label, told(clause));
        }
        if met.is_unknown() {
            return look.open(&met);
        }
    }
    look.met("I", "radial haematoma, EASY class I", told("up to 5 cm"))
}
