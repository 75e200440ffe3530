//! Complications of the access site, and whether they are major.

use super::answer::Judgement;
use super::choices::Choices;
use super::definition::{Assess, Definition, Section, Source};
use super::facts::{AccessFacts, Facts, Row};
use super::finding::Finding;
use super::look::Look;

/// Vascular access complication, VARC-3.
pub const DEFINITION: Definition = Definition {
    slug: "access-complication",
    name: "Access-site complication, VARC-3",
    section: Section::Bleeding,
    rule: "Major when it causes death, bleeding of VARC type 2 or more, ischaemia of a limb or an abdominal organ, or \
           irreversible neurological loss; otherwise minor. Kinds: pseudoaneurysm, a contained leak with flow in its \
           neck; arteriovenous fistula, a channel from artery to vein; retroperitoneal bleed, proved by imaging or \
           surgery; radial occlusion, no antegrade flow by Doppler or pulse test; limb ischaemia; compartment syndrome; \
           dissection of the access artery; nerve injury; infection; closure failure, another method was needed.",
    boundaries: "Any one of the four makes it major. It is minor only when all four are known not to be there.",
    sources: &[
        Source::recalled("Généreux et al., Eur Heart J 2021;42:1825 (VARC-3)", "major and minor"),
        Source::read("a published table of VARC-2 bleeding", "its types as BARC 3a, 3b and 3c"),
        Source::recalled("common practice", "the wording of the kinds"),
    ],
    inputs: &[
        AccessFacts::HARM,
        AccessFacts::DEATH,
        AccessFacts::BLEEDING,
        AccessFacts::ISCHAEMIA,
        AccessFacts::NEUROLOGICAL_LOSS,
    ],
    choices: &[],
    assess: Assess::Rows(assess),
};

fn assess(facts: &Facts, _: &Choices) -> Vec<Finding> {
    facts.access.iter().map(classify).collect()
}

fn classify(row: &Row<AccessFacts>) -> Finding {
    let seen = &row.facts;
    let mut look = Look::at(&DEFINITION, &row.subject);
    let harm = look.value(seen.harm());
    let signs = [
        ("it caused death", look.answer(seen.death())),
        ("it bled as VARC type 2 or more", look.answer(seen.bleeding())),
        ("it caused ischaemia of a limb or an abdominal organ", look.answer(seen.ischaemia())),
        ("it caused irreversible neurological loss", look.answer(seen.neurological_loss())),
    ];
    let named = signs.iter().find(|(_, met)| met.is_yes()).map(|(name, _)| *name);
    let major = Judgement::any(signs.into_iter().map(|(_, met)| met));
    let Some(harm) = harm else {
        return look.lacking([&AccessFacts::HARM]);
    };
    if let Some(name) = named {
        return look.met("major", "major access-site complication", format_args!("{}; {name}", harm.label()));
    }
    if major.is_unknown() {
        return look.open(&major);
    }
    let clause = format_args!("{}; it caused nothing that makes it major", harm.label());
    look.met("minor", "minor access-site complication", clause)
}
