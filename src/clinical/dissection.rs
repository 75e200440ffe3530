//! Coronary dissection, NHLBI types A to F.

use super::choices::Choices;
use super::definition::{Assess, Definition, Section, Source};
use super::facts::{DissectionFacts, DissectionLetter, DissectionLook, Facts, Row};
use super::finding::Finding;
use super::look::Look;

/// Coronary dissection, NHLBI types.
pub const DEFINITION: Definition = Definition {
    slug: "dissection-type",
    name: "Coronary dissection, NHLBI type",
    section: Section::Dissection,
    rule: "A: lucency in the lumen during injection, little or no contrast left afterwards. B: parallel tracts or \
           double lumen split by a lucent line, little or no contrast left. C: contrast outside the lumen that \
           persists after clearance. D: spiral lucency, often with a long stain. E: new, persistent filling defect, \
           which may be thrombus. F: none of A to E, but flow is impaired or the vessel occluded.",
    boundaries: "A letter from A to F or “none”; others are refused. The type as judged stands; where the look says \
                 otherwise, that is noted. A spiral tear with occlusion stays D, with TIMI 0 recorded beside it. \
                 C to F are called complex.",
    sources: &[
        Source::read("“Coronary artery dissection classification”, WikiDoc", "the types"),
        Source::recalled("Huber et al., Am J Cardiol 1991;68:467", "the types"),
        Source::own("complex means C to F; the usual split: A and B tend to heal, C to F carry the risk"),
        Source::own("a spiral tear with occlusion stays type D"),
    ],
    inputs: &[
        DissectionFacts::JUDGED,
        DissectionFacts::LOOK,
        DissectionFacts::CONTRAST_STAYS,
        DissectionFacts::FLOW_IMPAIRED,
    ],
    choices: &[],
    assess: Assess::Rows(assess),
};

fn assess(facts: &Facts, _: &Choices) -> Vec<Finding> {
    facts.dissections.iter().map(classify).collect()
}

/// The clause of a type that an operator judged.
const fn as_judged(letter: DissectionLetter) -> &'static str {
    match letter {
        DissectionLetter::None => "as judged: no dissection was seen",
        DissectionLetter::A => "as judged: lucency in the lumen, little or no contrast left",
        DissectionLetter::B => "as judged: parallel tracts or double lumen, little or no contrast left",
        DissectionLetter::C => "as judged: contrast outside the lumen that stays",
        DissectionLetter::D => "as judged: spiral lucency",
        DissectionLetter::E => "as judged: a new, persistent filling defect",
        DissectionLetter::F => "as judged: impaired flow or occlusion, with none of the looks A to E",
    }
}

/// What the look alone comes to.
enum Described {
    Type(DissectionLetter, &'static str),
    Lacking(Vec<&'static super::facts::Input>),
    NoType(&'static str),
}

fn classify(row: &Row<DissectionFacts>) -> Finding {
    let tear = &row.facts;
    let mut look = Look::at(&DEFINITION, &row.subject);
    look.value(tear.look());
    look.answer(tear.contrast_stays());
    look.answer(tear.flow_impaired());
    let described = describe(tear);
    if let Some(judged) = look.value(tear.judged()) {
        if let Described::Type(letter, _) = described
            && letter != judged
        {
            look.note(format_args!("The look fits {}. Check which is right.", letter.label()));
        }
        return finish(look, judged, as_judged(judged));
    }
    match described {
        Described::Type(letter, clause) => finish(look, letter, clause),
        Described::Lacking(mut inputs) => {
            if tear.look.is_none() {
                inputs.insert(0, &DissectionFacts::JUDGED);
            }
            look.lacking(inputs)
        }
        Described::NoType(why) => look.no_rule(why),
    }
}

fn describe(tear: &DissectionFacts) -> Described {
    use DissectionLetter as Letter;
    let Some(seen) = tear.look else {
        return Described::Lacking(vec![&DissectionFacts::LOOK]);
    };
    let stays = tear.contrast_stays;
    let lacks_stay = || Described::Lacking(vec![&DissectionFacts::CONTRAST_STAYS]);
    match seen {
        DissectionLook::Spiral => Described::Type(Letter::D, "spiral lucency"),
        DissectionLook::FillingDefect => Described::Type(Letter::E, "a new, persistent filling defect"),
        DissectionLook::OutsideContrast if stays.is_yes() => {
            Described::Type(Letter::C, "contrast outside the lumen stayed")
        }
        DissectionLook::OutsideContrast if stays.is_no() => {
            Described::NoType("Contrast outside the lumen that clears fits none of the types.")
        }
        DissectionLook::LumenLucency if stays.is_no() => {
            Described::Type(Letter::A, "lucency in the lumen, and contrast cleared")
        }
        DissectionLook::DoubleLumen if stays.is_no() => {
            Described::Type(Letter::B, "parallel tracts or double lumen, and contrast cleared")
        }
        DissectionLook::LumenLucency | DissectionLook::DoubleLumen if stays.is_yes() => Described::NoType(
            "Types A and B leave little or no contrast; contrast outside the lumen that stays is type C.",
        ),
        DissectionLook::None if tear.flow_impaired.is_yes() => {
            Described::Type(Letter::F, "impaired flow or occlusion, with none of the looks A to E")
        }
        DissectionLook::None if tear.flow_impaired.is_no() => {
            Described::Type(Letter::None, "none of the looks A to E, and flow was not impaired")
        }
        DissectionLook::None => Described::Lacking(vec![&DissectionFacts::FLOW_IMPAIRED]),
        _ => lacks_stay(),
    }
}

fn finish(mut look: Look, letter: DissectionLetter, clause: &'static str) -> Finding {
    if letter == DissectionLetter::None {
        return look.not_met("no dissection", clause);
    }
    let complex = letter >= DissectionLetter::C;
    look.note(if complex { "Complex: types C to F." } else { "Not complex: types A and B." });
    let label = match letter {
        DissectionLetter::None => "no dissection",
        DissectionLetter::A => "dissection type A",
        DissectionLetter::B => "dissection type B",
        DissectionLetter::C => "dissection type C, complex",
        DissectionLetter::D => "dissection type D, complex",
        DissectionLetter::E => "dissection type E, complex",
        DissectionLetter::F => "dissection type F, complex",
    };
    look.met(letter.slug(), label, clause)
}
