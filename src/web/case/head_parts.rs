//! The forms of a case's head: situation, story, patient, procedure, outcome.

use serde::Serialize;

use super::part::{Context, HeadPart, Part};
use crate::case::{
    Access, Age, Egfr, Harm, Head, Month, Outcome, Patient, Presentation, Procedure, Sentences, Sex, Story,
    Title, Urgency, WeightKg, Words,
};
use crate::choices;
use crate::web::form::{Control, Field, FieldError, Reader, Values};

/// Title, month, time zero and the situation in two sentences.
pub(super) struct SituationPart;

#[derive(Debug, Clone, PartialEq, Serialize)]
pub(super) struct Situation {
    title: Title,
    month: Month,
    time_zero: Option<Words>,
    situation: Option<Sentences>,
}

impl Part for SituationPart {
    type Value = Situation;
    const TITLE: &'static str = "Situation";

    fn values(value: &Situation) -> Values {
        Values::new()
            .with("title", &value.title)
            .with("month", value.month)
            .with_opt("situation", value.situation.as_ref())
            .with_opt("time_zero", value.time_zero.as_ref())
    }

    fn fields(_: &Context, _: &Values) -> Vec<Field> {
        vec![
            Field::line("title", "Title", "").hint("What happened, in a line. No names, no dates."),
            Field::new("month", "Month of the procedure", Control::Line { kind: "month", width: "w-mid", unit: "" })
                .hint("Never the day."),
            Field::lines("situation", "The situation in two sentences", 4)
                .hint("Who came for what, and what happened. At most 600 characters.")
                .optional(),
            Field::line("time_zero", "What is time zero?", "")
                .hint("The moment from which all times of this case count, such as “first balloon inflated” or “guide engaged”.")
                .optional(),
        ]
    }

    fn read(values: &Values, context: &Context, _: Option<&Situation>) -> Result<Situation, Vec<FieldError>> {
        let mut reader = Reader::new(values);
        let title = reader.required("title", "Say in a line what happened.");
        let month = reader.past_month("month", context.this_month);
        let situation = reader.optional("situation");
        let time_zero = reader.optional("time_zero");
        let value = title.zip(month).map(|(title, month)| Situation { title, month, time_zero, situation });
        reader.finish(value)
    }
}

impl HeadPart for SituationPart {
    const SLUG: &'static str = "situation";
    fn of(head: &Head) -> Situation {
        Situation {
            title: head.title.clone(),
            month: head.month,
            time_zero: head.time_zero.clone(),
            situation: head.situation.clone(),
        }
    }
    fn put(head: &mut Head, value: Situation) {
        head.title = value.title;
        head.month = value.month;
        head.time_zero = value.time_zero;
        head.situation = value.situation;
    }
}

/// The story, in Markdown.
pub(super) struct NarrativePart;

impl Part for NarrativePart {
    type Value = Option<Story>;
    const TITLE: &'static str = "Narrative";
    const LEAD: &'static str =
        "What happened and the thinking behind it, in the order in which it was known.";

    fn values(value: &Option<Story>) -> Values {
        Values::new().with_opt("narrative", value.as_ref())
    }

    fn fields(_: &Context, _: &Values) -> Vec<Field> {
        vec![
            Field::lines("narrative", "The story", 16)
                .hint("Paragraphs; Markdown for lists and emphasis works. No names, no dates, no clock times. At most 20,000 characters.")
                .optional(),
        ]
    }

    fn read(
        values: &Values,
        _: &Context,
        _: Option<&Option<Story>>,
    ) -> Result<Option<Story>, Vec<FieldError>> {
        let mut reader = Reader::new(values);
        let story = reader.optional("narrative");
        reader.finish(Some(story))
    }
}

impl HeadPart for NarrativePart {
    const SLUG: &'static str = "narrative";
    fn of(head: &Head) -> Option<Story> {
        head.narrative.clone()
    }
    fn put(head: &mut Head, value: Option<Story>) {
        head.narrative = value;
    }
}

/// Patient context.
pub(super) struct PatientPart;

impl Part for PatientPart {
    type Value = Patient;
    const TITLE: &'static str = "Patient";
    const LEAD: &'static str = "Only what the review needs, and nothing that names a person.";

    fn values(value: &Patient) -> Values {
        Values::new()
            .with_opt("age", value.age)
            .with_opt("sex", value.sex)
            .with_opt("presentation", value.presentation)
            .with("history", value.history.iter().map(Words::as_str).collect::<Vec<_>>().join("\n"))
            .with_opt("egfr", value.egfr)
            .with_opt("weight_kg", value.weight_kg)
    }

    fn fields(_: &Context, _: &Values) -> Vec<Field> {
        vec![
            Field::number("age", "Age", "years")
                .hint("Above 89, write 90: it is kept as “90 or older”.")
                .optional(),
            Field::words("sex", "Sex", "Not recorded", choices!(Sex)),
            Field::words("presentation", "Presentation", "Not recorded", choices!(Presentation)),
            Field::lines("history", "Relevant history", 4)
                .hint("Trade terms, one a line, at most 20: diabetes, earlier PCI of the RCA.")
                .optional(),
            Field::number("egfr", "eGFR before the procedure", "mL/min/1.73 m²").optional(),
            Field::number("weight_kg", "Weight", "kg").optional(),
        ]
    }

    fn read(values: &Values, _: &Context, _: Option<&Patient>) -> Result<Patient, Vec<FieldError>> {
        let mut reader = Reader::new(values);
        let value = Patient {
            age: reader.optional::<Age>("age"),
            sex: reader.optional("sex"),
            presentation: reader.optional("presentation"),
            history: reader.lines("history", 20),
            egfr: reader.optional::<Egfr>("egfr"),
            weight_kg: reader.optional::<WeightKg>("weight_kg"),
        };
        reader.finish(Some(value))
    }
}

impl HeadPart for PatientPart {
    const SLUG: &'static str = "patient";
    fn of(head: &Head) -> Patient {
        head.patient.clone()
    }
    fn put(head: &mut Head, value: Patient) {
        head.patient = value;
    }
}

/// The procedure as planned.
pub(super) struct ProcedurePart;

impl Part for ProcedurePart {
    type Value = Procedure;
    const TITLE: &'static str = "Procedure";

    fn values(value: &Procedure) -> Values {
        Values::new()
            .with_all("access", &value.access)
            .with_opt("urgency", value.urgency)
            .with_opt("strategy", value.strategy.as_ref())
    }

    fn fields(_: &Context, _: &Values) -> Vec<Field> {
        vec![
            Field::new("access", "Access", Control::Checks(choices!(Access))).hint("All that were used."),
            Field::words("urgency", "Urgency", "Not recorded", choices!(Urgency)),
            Field::lines("strategy", "Planned strategy", 3)
                .hint("As it was before the first puncture. At most 600 characters.")
                .optional(),
        ]
    }

    fn read(values: &Values, _: &Context, _: Option<&Procedure>) -> Result<Procedure, Vec<FieldError>> {
        let mut reader = Reader::new(values);
        let mut access: Vec<Access> = Vec::new();
        for each in reader.many("access") {
            if !access.contains(&each) {
                access.push(each);
            }
        }
        let value =
            Procedure { access, urgency: reader.optional("urgency"), strategy: reader.optional("strategy") };
        reader.finish(Some(value))
    }
}

impl HeadPart for ProcedurePart {
    const SLUG: &'static str = "procedure";
    fn of(head: &Head) -> Procedure {
        head.procedure.clone()
    }
    fn put(head: &mut Head, value: Procedure) {
        head.procedure = value;
    }
}

/// How it ended.
pub(super) struct OutcomePart;

impl Part for OutcomePart {
    type Value = Outcome;
    const TITLE: &'static str = "Outcome";

    fn values(value: &Outcome) -> Values {
        Values::new().with_opt("discharge", value.discharge.as_ref()).with_opt("harm", value.harm)
    }

    fn fields(_: &Context, _: &Values) -> Vec<Field> {
        let harm = Harm::ALL
            .iter()
            .zip([
                "no symptom, no treatment",
                "minor or short; observation or minor treatment",
                "intervention, longer stay, or lasting loss",
                "life-saving or major intervention, shorter life, or major lasting loss",
                "on balance brought about or forward by the event",
            ])
            .map(|(word, meaning)| {
                crate::web::form::Choice::new(word.slug(), word.label()).explained(meaning)
            })
            .collect();
        vec![
            Field::lines("discharge", "State at discharge", 3).hint("In a sentence. No dates.").optional(),
            Field::new("harm", "Degree of harm", Control::Radios(harm)).hint(
                "WHO International Classification for Patient Safety, version 1.1 (wording from memory).",
            ),
        ]
    }

    fn read(values: &Values, _: &Context, _: Option<&Outcome>) -> Result<Outcome, Vec<FieldError>> {
        let mut reader = Reader::new(values);
        let value = Outcome { discharge: reader.optional("discharge"), harm: reader.optional("harm") };
        reader.finish(Some(value))
    }
}

impl HeadPart for OutcomePart {
    const SLUG: &'static str = "outcome";
    fn of(head: &Head) -> Outcome {
        head.outcome.clone()
    }
    fn put(head: &mut Head, value: Outcome) {
        head.outcome = value;
    }
}
