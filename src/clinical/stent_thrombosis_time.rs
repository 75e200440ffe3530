//! Stent thrombosis by time.

use super::choices::Choices;
use super::definition::{Assess, Definition, Section, Source};
use super::facts::{Facts, Row, StentThrombosisFacts};
use super::finding::Finding;
use super::look::Look;
use super::quantities::{Decimal, Measured, Span, SpanUnit};

/// Stent thrombosis by time since the implantation, Academic Research Consortium.
pub const DEFINITION: Definition = Definition {
    slug: "stent-thrombosis-time",
    name: "Stent thrombosis, time",
    section: Section::StentThrombosis,
    rule: "From the end of the implantation: acute up to 24 h, subacute up to 30 days, late up to 1 year, very late \
           after that. Early is acute and subacute together. A thrombosis before the patient leaves the laboratory is \
           intraprocedural.",
    boundaries: "24.0 h is acute, 24.1 h subacute; day 30 subacute, day 31 late; 1 year is 365 days (our own convention), \
                 so that day 365 is late and day 366 very late.",
    sources: &[
        Source::read("ARC table in J Am Coll Cardiol", "30 days and 1 year"),
        Source::recalled("Cutlip et al., Circulation 2007;115:2344", "24 h"),
        Source::own("a year is 365 days; intraprocedural thrombosis is kept apart"),
    ],
    inputs: &[StentThrombosisFacts::SINCE, StentThrombosisFacts::IN_LABORATORY],
    choices: &[],
    assess: Assess::Rows(assess),
};

const DAY: Span = Measured::limit(Decimal::whole(24), SpanUnit::Hours);
const MONTH: Span = Measured::limit(Decimal::whole(30), SpanUnit::Days);
const YEAR: Span = Measured::limit(Decimal::whole(365), SpanUnit::Days);

fn assess(facts: &Facts, _: &Choices) -> Vec<Finding> {
    facts.stent_thromboses.iter().map(judge).collect()
}

fn judge(row: &Row<StentThrombosisFacts>) -> Finding {
    let mut look = Look::at(&DEFINITION, &row.subject);
    let since = look.value(row.facts.since());
    if look.answer(row.facts.in_laboratory()).is_yes() {
        return look.met("intraprocedural", "intraprocedural", "before the patient left the laboratory");
    }
    let Some(since) = since else {
        return look.lacking([&StentThrombosisFacts::SINCE]);
    };
    let after = format_args!("{since} after the implantation");
    if !since.is_above(DAY) {
        look.met("acute", "acute, early", format_args!("{after}, within 24 h"))
    } else if !since.is_above(MONTH) {
        look.met("subacute", "subacute, early", format_args!("{after}, after 24 h and within 30 days"))
    } else if !since.is_above(YEAR) {
        look.met("late", "late", format_args!("{after}, after 30 days and within 1 year"))
    } else {
        look.met("very-late", "very late", format_args!("{after}, after 1 year"))
    }
}
