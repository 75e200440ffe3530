//! Procedural myocardial injury.

use super::course::Course;
use super::universal;
use crate::clinical::answer::Judgement;
use crate::clinical::choices::{Choices, MajorInjury};
use crate::clinical::definition::{Assess, Definition, Section, Source};
use crate::clinical::facts::{Facts, IschaemiaFacts, LabFacts, OutcomeFacts, ProcedureFacts};
use crate::clinical::finding::Finding;
use crate::clinical::look::Look;
use crate::clinical::quantities::TroponinUnit;

/// Procedural myocardial injury.
pub const DEFINITION: Definition = Definition {
    slug: "myocardial-injury",
    name: "Procedural myocardial injury",
    section: Section::Infarction,
    rule: "From a normal baseline, troponin above the 99th percentile; from an elevated one that was stable or falling, \
           a rise of more than 20 %. The Universal Definition sets no upper limit. Minor: above 1 to 5 times the 99th \
           percentile. Major: above 5 times without evidence of new ischaemia. With that evidence it is a type 4a \
           infarction.",
    boundaries: "1.0 times is no injury, and a rise of 20 % none. Exactly 5.0 times is minor, unless your department \
                 takes “5 times or more” for major. An elevated baseline that was rising, or of which one sample alone is \
                 known, leaves it open.",
    sources: &[
        Source::recalled("Thygesen et al., Circulation 2018;138:e618", "injury"),
        Source::recalled("Bulluck et al., Eur Heart J 2021;42:2630", "minor and major, above 5 times"),
        Source::read(
            "pooled analysis of 9,081 elective procedures, Eur Heart J (PMC7850039)",
            "major as 5 times or more",
        ),
    ],
    inputs: &[
        ProcedureFacts::STARTED,
        ProcedureFacts::ENDED,
        LabFacts::TROPONIN_BEFORE,
        LabFacts::TROPONIN_TREND,
        LabFacts::TROPONIN_AFTER,
        IschaemiaFacts::ECG,
        IschaemiaFacts::ST_SHIFT,
        IschaemiaFacts::LBBB,
        IschaemiaFacts::Q_WAVES,
        IschaemiaFacts::IMAGING_LOSS,
        IschaemiaFacts::FLOW_LIMITING,
        IschaemiaFacts::THROMBUS_POST_MORTEM,
        OutcomeFacts::DEATH,
    ],
    choices: &["major-injury"],
    assess: Assess::Case(assess),
};

fn assess(facts: &Facts, choices: &Choices) -> Finding {
    let mut look = Look::at_case(&DEFINITION);
    let course = super::troponin(facts, &mut look);
    let infarction = universal::follow(facts, &course, &mut look).met();
    let rule = look.choose(choices.major_injury);
    judge(look, &course, &infarction, rule)
}

fn judge(look: Look, course: &Course<TroponinUnit>, infarction: &Judgement, rule: MajorInjury) -> Finding {
    let raised = Judgement::all([course.comparable(), course.peak_above(1)]);
    if raised.is_no() {
        const NO: &str = "no procedural injury";
        return if course.peak_above(1).is_no() {
            look.not_met(NO, format_args!("troponin of {}, not above it", course.peak_in_words()))
        } else {
            look.not_met(NO, super::too_small_a_rise(course))
        };
    }
    if raised.is_unknown() {
        return look.open(&raised);
    }
    let peak = course.peak_in_words();
    if infarction.is_yes() {
        return look.met(
            "infarction",
            "procedural injury, counted as type 4a infarction",
            format_args!("troponin of {peak}, with evidence of new ischaemia"),
        );
    }
    if infarction.is_unknown() {
        return look.open(infarction);
    }
    let major = match rule {
        MajorInjury::MoreThanFive => course.peak_above(5),
        MajorInjury::AtLeastFive => course.peak_at_least(5),
    };
    if major.is_yes() {
        let clause = format_args!("troponin of {peak}, without what makes a type 4a infarction");
        look.met("major", "major procedural injury", clause)
    } else {
        look.met("minor", "minor procedural injury", format_args!("troponin of {peak}"))
    }
}
