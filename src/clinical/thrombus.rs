//! TIMI thrombus grade.

use super::choices::{Choices, ThrombusTop};
use super::definition::{Assess, Definition, Section, Source};
use super::facts::{Facts, Row, ThrombusFacts, ThrombusLook};
use super::finding::Finding;
use super::look::{Look, only_missing};
use super::quantities::{Decimal, Millimetres};

/// TIMI thrombus grade, by d = largest dimension of the thrombus ÷ diameter of the vessel.
pub const DEFINITION: Definition = Definition {
    slug: "timi-thrombus",
    name: "TIMI thrombus grade",
    section: Section::Flow,
    rule: "d is the largest dimension of the thrombus divided by the diameter of the vessel. 0: none. 1: possible \
           (haze, reduced density, irregular contour, smooth meniscus at an occlusion), not diagnostic. 2: definite, d at most a \
           half. 3: definite, d above a half and below 2. 4: definite, d of 2 or more. 5: total occlusion, recent.",
    boundaries: "d of exactly 0.5 is grade 2, of exactly 2 grade 4, so that no size is without a grade. One public \
                 page prints grade 4 as “>2” and another grade 2 as “<1/2”; that would leave gaps.",
    sources: &[
        Source::read_in(
            "Gibson et al., Circulation 2001;103:2550",
            "“TIMI thrombus grade”, WikiDoc and johnsonfrancis.org",
            "grades 0 to 5",
        ),
        Source::recalled("later versions of the scale", "grade 6 for a chronic total occlusion"),
    ],
    inputs: &[ThrombusFacts::LOOK, ThrombusFacts::SIZE, ThrombusFacts::VESSEL],
    choices: &["thrombus-top"],
    assess: Assess::Rows(assess),
};

fn assess(facts: &Facts, choices: &Choices) -> Vec<Finding> {
    facts.thrombi.iter().map(|row| grade(row, choices)).collect()
}

fn grade(row: &Row<ThrombusFacts>, choices: &Choices) -> Finding {
    let mut look = Look::at(&DEFINITION, &row.subject);
    let Some(seen) = look.value(row.facts.look()) else {
        return look.lacking([&ThrombusFacts::LOOK]);
    };
    match seen {
        ThrombusLook::None => look.met("0", "thrombus grade 0", seen.label()),
        ThrombusLook::Possible => look.met("1", "thrombus grade 1", seen.label()),
        ThrombusLook::RecentOcclusion => look.met("5", "thrombus grade 5", seen.label()),
        ThrombusLook::ChronicOcclusion => match look.choose(choices.thrombus_top) {
            ThrombusTop::Six => look.met("6", "thrombus grade 6", seen.label()),
            ThrombusTop::NoGrade => look
                .not_met("no thrombus grade", "the scale from 0 to 5 has no place for a chronic occlusion"),
        },
        ThrombusLook::Definite => by_size(look, &row.facts),
    }
}

/// The ratios that decide: a half and 2.
const LIMITS: [Decimal; 2] = [Decimal::thousandths(500), Decimal::whole(2)];

fn by_size(mut look: Look, facts: &ThrombusFacts) -> Finding {
    let (size, vessel) = (look.value(facts.size()), look.value(facts.vessel()));
    let (Some(size), Some(vessel)) = (size, vessel) else {
        return look.lacking(only_missing([
            (&ThrombusFacts::SIZE, size.is_none()),
            (&ThrombusFacts::VESSEL, vessel.is_none()),
        ]));
    };
    let Some(times) = Decimal::quotient(size.value().wide(), vessel.value().wide()) else {
        return look.no_rule("A vessel of 0 mm has no thrombus grade. Check its diameter.");
    };
    let times = times.spoken(&LIMITS);
    let clause =
        format_args!("definite thrombus of {size} in a vessel of {vessel}, {times} times its diameter");
    match size_grade(size, vessel) {
        2 => look.met("2", "thrombus grade 2", clause),
        3 => look.met("3", "thrombus grade 3", clause),
        _ => look.met("4", "thrombus grade 4", clause),
    }
}

/// The grade of a definite thrombus by its size, 2 to 4.
fn size_grade(size: Millimetres, vessel: Millimetres) -> u8 {
    let (size, vessel) = (size.value().wide(), vessel.value().wide());
    if 2 * size <= vessel {
        2
    } else if size < 2 * vessel {
        3
    } else {
        4
    }
}
