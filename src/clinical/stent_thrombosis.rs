//! Stent thrombosis by certainty.

use super::answer::Judgement;
use super::choices::{Choices, PossibleStentThrombosis};
use super::definition::{Assess, Definition, Section, Source};
use super::facts::{Facts, Row, StentThrombosisFacts};
use super::finding::Finding;
use super::look::Look;
use super::quantities::{Decimal, Measured, Span, SpanUnit};

/// Stent thrombosis by certainty, Academic Research Consortium.
pub const DEFINITION: Definition = Definition {
    slug: "stent-thrombosis",
    name: "Stent thrombosis, ARC certainty",
    section: Section::StentThrombosis,
    rule: "Definite: thrombus in the stent or within 5 mm of its edges on angiography, and within 48 h at least one of \
           ischaemic symptoms at rest, a new ischaemic ECG change, a rise and fall of biomarkers; or proof at autopsy \
           or in retrieved tissue. Probable: an unexplained death within 30 days, or at any time an infarction in the \
           stent's territory without angiographic proof and without another cause. Possible: an unexplained death \
           after 30 days; ARC-2 drops it.",
    boundaries: "Day 30 is probable, day 31 possible. An occlusion found by chance, without symptoms, ECG change or \
                 biomarkers, is not definite. An unexplained death without a date is open.",
    sources: &[
        Source::read("ARC table in J Am Coll Cardiol", "definite, probable, possible; 30 days and 1 year"),
        Source::recalled("Cutlip et al., Circulation 2007;115:2344", "5 mm, 48 h"),
        Source::recalled("ARC-2, Circulation 2018;137:2635", "possible is dropped"),
    ],
    inputs: &[
        StentThrombosisFacts::ANGIOGRAPHY,
        StentThrombosisFacts::REST_SYMPTOMS,
        StentThrombosisFacts::ECG_CHANGE,
        StentThrombosisFacts::BIOMARKERS,
        StentThrombosisFacts::TISSUE,
        StentThrombosisFacts::UNEXPLAINED_DEATH,
        StentThrombosisFacts::TERRITORY_INFARCTION,
        StentThrombosisFacts::SINCE,
    ],
    choices: &["possible-stent-thrombosis"],
    assess: Assess::Rows(assess),
};

const MONTH: Span = Measured::limit(Decimal::whole(30), SpanUnit::Days);

fn assess(facts: &Facts, choices: &Choices) -> Vec<Finding> {
    facts.stent_thromboses.iter().map(|row| judge(row, choices)).collect()
}

fn judge(row: &Row<StentThrombosisFacts>, choices: &Choices) -> Finding {
    let stent = &row.facts;
    let mut look = Look::at(&DEFINITION, &row.subject);
    let seen = look.answer(stent.angiography());
    let signs = Judgement::any([
        look.answer(stent.rest_symptoms()),
        look.answer(stent.ecg_change()),
        look.answer(stent.biomarkers()),
    ]);
    let tissue = look.answer(stent.tissue());
    let death = look.answer(stent.unexplained_death());
    let territory = look.answer(stent.territory_infarction());
    let within_month = look.test(stent.since(), |since| !since.is_above(MONTH));
    let rule = look.choose(choices.possible_stent_thrombosis);

    let definite = tissue.clone().or(seen.clone().and(signs.clone()));
    let probable = territory.clone().or(death.clone().and(within_month.clone()));
    let late_death = death.clone().and(within_month.negated());
    if definite.is_yes() {
        let clause = if tissue.is_yes() {
            "proved at autopsy or in retrieved tissue"
        } else {
            "thrombus in or near the stent on angiography, with signs of ischaemia within 48 h"
        };
        return look.met("definite", "definite stent thrombosis", clause);
    }
    if definite.is_unknown() {
        return look.open(&definite);
    }
    if probable.is_yes() {
        let clause = if territory.is_yes() {
            "an infarction in the stent's territory without angiographic proof and without another cause"
        } else {
            "an unexplained death within 30 days"
        };
        return look.met("probable", "probable stent thrombosis", clause);
    }
    if probable.is_unknown() {
        return look.open(&probable);
    }
    possible(look, rule, &late_death, &seen, &signs)
}

fn possible(
    look: Look,
    rule: PossibleStentThrombosis,
    late_death: &Judgement,
    seen: &Judgement,
    signs: &Judgement,
) -> Finding {
    const NO: &str = "no stent thrombosis";
    if late_death.is_yes() {
        return match rule {
            PossibleStentThrombosis::Counted => {
                look.met("possible", "possible stent thrombosis", "an unexplained death after 30 days")
            }
            PossibleStentThrombosis::Dropped => {
                look.not_met(NO, "an unexplained death after 30 days, which ARC-2 does not count")
            }
        };
    }
    if late_death.is_unknown() && rule == PossibleStentThrombosis::Counted {
        return look.open(late_death);
    }
    if seen.is_yes() && signs.is_no() {
        return look.not_met(NO, "thrombus or occlusion found by chance, without signs of ischaemia");
    }
    look.not_met(NO, "no thrombus, no unexplained death and no infarction of the stent's territory")
}
