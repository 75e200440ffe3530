//! Coronary perforation, Ellis types.

use super::answer::Judgement;
use super::choices::{Choices, PerforationHole};
use super::definition::{Assess, Definition, Section, Source};
use super::facts::{EllisType, Facts, PerforationFacts, Row};
use super::finding::Finding;
use super::look::{Look, Text};
use super::quantities::{Decimal, Measured, MillimetreUnit, Millimetres};

/// Coronary perforation, Ellis types.
pub const DEFINITION: Definition = Definition {
    slug: "perforation-type",
    name: "Coronary perforation, Ellis type",
    section: Section::Perforation,
    rule: "I: a crater outside the lumen, no extravasation. II: pericardial or myocardial blush, no jet. III: a jet \
           through a frank hole of 1 mm or more. III-CS, cavity spilling: the hole opens into a chamber, the \
           coronary sinus, a vein or another cavity; some call it IV. V: a distal, wire-related exit, a later \
           addition that stands beside I to III.",
    boundaries: "A hole of exactly 1 mm is type III, unless your department takes “more than 1 mm”. A jet whose hole \
                 was not measured counts as III and says so. A jet through a smaller hole with blush counts as II \
                 and says so. The type as judged stands.",
    sources: &[
        Source::read_in(
            "Ellis et al., Circulation 1994;90:2725",
            "“Coronary artery perforation during PCI”, johnsonfrancis.org",
            "types I to III",
        ),
        Source::read(
            "Barbosa et al., Rev Bras Cardiol Invasiva 2013;21:73",
            "the name IV for spilling into a ventricle",
        ),
        Source::read("a data standard's quotation of the types", "type III as more than 1 mm"),
        Source::recalled("Muller et al., EuroIntervention 2008;4:181", "type V; its origin is not settled"),
        Source::own("a jet of unmeasured width counts as III; a jet below 1 mm with blush counts as II"),
    ],
    inputs: &[
        PerforationFacts::JUDGED,
        PerforationFacts::CAVITY,
        PerforationFacts::JET,
        PerforationFacts::HOLE,
        PerforationFacts::BLUSH,
        PerforationFacts::CRATER,
        PerforationFacts::DISTAL_WIRE,
    ],
    choices: &["perforation-hole"],
    assess: Assess::Rows(assess),
};

const ONE_MM: Millimetres = Measured::limit(Decimal::whole(1), MillimetreUnit::Mm);

fn assess(facts: &Facts, choices: &Choices) -> Vec<Finding> {
    facts.perforations.iter().map(|row| classify(row, choices)).collect()
}

/// The clause of a type that an operator judged.
const fn as_judged(kind: EllisType) -> &'static str {
    match kind {
        EllisType::I => "as judged: a crater outside the lumen without extravasation",
        EllisType::II => "as judged: blush without a jet",
        EllisType::III => "as judged: a jet through a frank hole",
        EllisType::CavitySpilling => "as judged: the hole opens into a cavity",
        EllisType::V => "as judged: a distal, wire-related exit",
    }
}

/// What the findings on the angiogram come to.
enum Described {
    Type(EllisType, Text),
    None,
    Open(Judgement),
}

fn classify(row: &Row<PerforationFacts>, choices: &Choices) -> Finding {
    let hole = &row.facts;
    let mut look = Look::at(&DEFINITION, &row.subject);
    let mut notes = Vec::new();
    let described = describe(hole, choices, &mut look, &mut notes);
    // A type V as judged says so by itself.
    if look.answer(hole.distal_wire()).is_yes() && hole.judged != Some(EllisType::V) {
        look.note("A distal, wire-related exit: also reported as type V, a later addition.");
    }
    if let Some(judged) = look.value(hole.judged()) {
        if let Described::Type(described, _) = &described
            && *described != judged
            && judged != EllisType::V
        {
            look.note(format_args!("What was seen fits {}. Check which is right.", described.label()));
        }
        return look.met(judged.slug(), judged.label(), as_judged(judged));
    }
    for note in notes {
        look.note(note);
    }
    match described {
        Described::Type(kind, clause) => look.met(kind.slug(), kind.label(), clause),
        Described::None => look.not_met("no perforation", "no cavity, jet, blush or crater was seen"),
        Described::Open(clause) => look.open(&clause),
    }
}

fn describe(
    hole: &PerforationFacts,
    choices: &Choices,
    look: &mut Look,
    notes: &mut Vec<String>,
) -> Described {
    let cavity = look.answer(hole.cavity());
    let jet = look.answer(hole.jet());
    let blush = look.answer(hole.blush());
    let crater = look.answer(hole.crater());
    let kind = |kind: EllisType, clause: &'static str| Described::Type(kind, clause.into());
    if cavity.is_yes() {
        return kind(EllisType::CavitySpilling, "the hole opens into a cavity");
    }
    if cavity.is_unknown() {
        return Described::Open(cavity);
    }
    if jet.is_unknown() {
        return Described::Open(jet);
    }
    if jet.is_yes() {
        return by_width(hole, choices, look, notes, blush);
    }
    if blush.is_yes() {
        return kind(EllisType::II, "blush without a jet");
    }
    if blush.is_unknown() {
        return Described::Open(blush);
    }
    match crater {
        crater if crater.is_yes() => kind(EllisType::I, "a crater outside the lumen without extravasation"),
        crater if crater.is_no() => Described::None,
        crater => Described::Open(crater),
    }
}

fn by_width(
    hole: &PerforationFacts,
    choices: &Choices,
    look: &mut Look,
    notes: &mut Vec<String>,
    blush: Judgement,
) -> Described {
    let Some(width) = look.value(hole.hole()) else {
        notes.push("The size of the hole was not measured; a jet counts as type III.".to_owned());
        return Described::Type(EllisType::III, "a jet of contrast".into());
    };
    let wide = match look.choose(choices.perforation_hole) {
        PerforationHole::AtLeastOne => width.is_at_least(ONE_MM),
        PerforationHole::MoreThanOne => width.is_above(ONE_MM),
    };
    if wide {
        return Described::Type(EllisType::III, format!("a jet through a hole of {width}").into());
    }
    if blush.is_yes() {
        notes.push(if width.is_below(ONE_MM) {
            "Jet below 1 mm.".to_owned()
        } else {
            format!("Jet of {width}.")
        });
        let clause = format!("blush, with a jet through a hole of {width} only");
        return Described::Type(EllisType::II, clause.into());
    }
    Described::Open(if blush.is_unknown() {
        blush
    } else {
        Judgement::open("A jet through so small a hole without blush fits none of the types.")
    })
}
