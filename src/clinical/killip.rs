//! Killip class.

use super::choices::Choices;
use super::definition::{Assess, Definition, Section, Source};
use super::facts::{CirculationFacts, Facts};
use super::finding::Finding;
use super::look::Look;
use super::shock::is_hypotensive;

/// Killip class.
pub const DEFINITION: Definition = Definition {
    slug: "killip",
    name: "Killip class",
    section: Section::Circulation,
    rule: "I: no heart failure. II: rales in the lower half of the lungs, or a third heart sound. III: pulmonary oedema. \
           IV: cardiogenic shock, systolic below 90 mmHg with hypoperfusion.",
    boundaries: "The highest class counts. Systolic of exactly 90 is not class IV.",
    sources: &[Source::recalled("Killip and Kimball, Am J Cardiol 1967;20:457", "the classes")],
    inputs: &[
        CirculationFacts::SYSTOLIC,
        CirculationFacts::COLD,
        CirculationFacts::OEDEMA,
        CirculationFacts::RALES,
        CirculationFacts::THIRD_SOUND,
    ],
    choices: &[],
    assess: Assess::Case(assess),
};

fn assess(facts: &Facts, _: &Choices) -> Finding {
    let seen = &facts.circulation;
    let mut look = Look::at_case(&DEFINITION);
    let shock = look.test(seen.systolic(), is_hypotensive).and(look.answer(seen.cold()));
    let (rales, third) = (look.answer(seen.rales()), look.answer(seen.third_sound()));
    let signs = match (rales.is_yes(), third.is_yes()) {
        (true, true) => "rales in the lower half of the lungs and a third heart sound",
        (true, false) => "rales in the lower half of the lungs",
        _ => "a third heart sound",
    };
    let classes = [
        ("IV", "Killip IV", shock, "systolic pressure below 90 mmHg with hypoperfusion"),
        ("III", "Killip III", look.answer(seen.oedema()), "pulmonary oedema"),
        ("II", "Killip II", rales.or(third), signs),
    ];
    for (code, label, met, clause) in classes {
        if met.is_yes() {
            return look.met(code, label, clause);
        }
        if met.is_unknown() {
            return look.open(&met);
        }
    }
    look.met("I", "Killip I", "no sign of heart failure")
}
