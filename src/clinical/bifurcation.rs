//! Medina class of a bifurcation lesion.

use super::answer::{Answer, Judgement};
use super::choices::{Choices, MedinaLimit};
use super::definition::{Assess, Definition, Section, Source};
use super::facts::{BifurcationFacts, Facts, MedinaClass, Row, Seen};
use super::finding::Finding;
use super::look::{Look, Words};
use super::quantities::{Decimal, Measured, Percent, PercentUnit};

/// Medina class.
pub const DEFINITION: Definition = Definition {
    slug: "medina",
    name: "Medina class",
    section: Section::Closure,
    rule: "Three digits for the proximal main vessel, the distal main vessel and the side branch: 1 where the diameter \
           stenosis is 50 % or more, else 0. 0,0,0 is no bifurcation lesion. A true bifurcation has 1 in the side branch \
           and in at least one main segment: 1,1,1, 1,0,1 and 0,1,1.",
    boundaries: "Exactly 50 % counts, unless your department takes “more than 50 %”. One missing stenosis leaves the \
                 class open. The class as judged stands.",
    sources: &[
        Source::recalled("Medina et al., Rev Esp Cardiol 2006;59:183", "the class, 50 % or more"),
        Source::read(
            "“The Medina classification since its description”, Rev Esp Cardiol 2022",
            "more than 50 %; every X,X,1 except 0,0,1 is a true bifurcation",
        ),
        Source::read("a perspective on bifurcation classes", "the three classes that are true bifurcations"),
    ],
    inputs: &[
        BifurcationFacts::JUDGED,
        BifurcationFacts::PROXIMAL,
        BifurcationFacts::DISTAL,
        BifurcationFacts::SIDE,
    ],
    choices: &["medina"],
    assess: Assess::Rows(assess),
};

const HALF: Percent = Measured::limit(Decimal::whole(50), PercentUnit::Percent);

fn assess(facts: &Facts, choices: &Choices) -> Vec<Finding> {
    facts.bifurcations.iter().map(|row| classify(row, choices)).collect()
}

fn classify(row: &Row<BifurcationFacts>, choices: &Choices) -> Finding {
    let lesion = &row.facts;
    let mut look = Look::at(&DEFINITION, &row.subject);
    let rule = look.choose(choices.medina);
    let segments = [lesion.proximal(), lesion.distal(), lesion.side()];
    let narrowed = segments.map(|segment| is_narrowed(&mut look, segment, rule));
    let measured = class_of(&narrowed);
    if let Some(judged) = look.value(lesion.judged()) {
        if let Some(measured) = measured
            && measured != judged
        {
            look.note(format_args!(
                "The stenoses as measured make {}. Check which is right.",
                measured.label()
            ));
        }
        return finish(look, judged, "the class is as judged");
    }
    let Some(class) = measured else {
        return look.open(&Judgement::all(narrowed.into_iter().filter(Judgement::is_unknown)));
    };
    let percent = |seen: Seen<Option<Percent>>| seen.value.map_or_else(String::new, Percent::text);
    let clause = format_args!(
        "stenosis of {} in the proximal main vessel, {} in the distal one and {} in the side branch",
        percent(lesion.proximal()),
        percent(lesion.distal()),
        percent(lesion.side())
    );
    finish(look, class, clause)
}

fn is_narrowed(look: &mut Look, segment: Seen<Option<Percent>>, rule: MedinaLimit) -> Judgement {
    look.test(segment, |percent| match rule {
        MedinaLimit::AtLeastHalf => percent.is_at_least(HALF),
        MedinaLimit::MoreThanHalf => percent.is_above(HALF),
    })
}

fn class_of(narrowed: &[Judgement; 3]) -> Option<MedinaClass> {
    let digit = |clause: &Judgement| match clause.answer() {
        Answer::Yes => Some(true),
        Answer::No => Some(false),
        Answer::Unknown => None,
    };
    let [proximal, distal, side] = narrowed;
    Some(MedinaClass::of(digit(proximal)?, digit(distal)?, digit(side)?))
}

fn finish(look: Look, class: MedinaClass, clause: impl Words) -> Finding {
    if class == MedinaClass::C000 {
        return look.not_met("no bifurcation lesion", clause);
    }
    let kind = if class.is_true_bifurcation() { "true bifurcation" } else { "not a true bifurcation" };
    look.met(class.slug(), format_args!("Medina {}, {kind}", class.label()), clause)
}
