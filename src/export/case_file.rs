//! A case as a file that reads back to the same case: TOML for people, JSON for programs.
//!
//! Both are deterministic: the same case gives the same bytes, whichever database it comes from.

mod toml_text;

use crate::case::{
    Action, Case, Cause, Complication, Decision, DecisionOption, Event, Lab, Lesion, Lesson, Observation,
    Outcome, Patient, Procedure, PromptRemark,
};
use crate::export::format::Format;
use crate::export::record::Record;
use crate::quantity::Certainty;
use toml_text::TomlText;

/// The record as people write it.
pub const TOML: Format<Record> = Format {
    slug: "toml",
    name: "Case file (TOML)",
    extension: "toml",
    media_type: "application/toml; charset=utf-8",
    use_for: "The record itself, to be read, edited by hand and imported again.",
    render: |record, _| Ok(to_toml(&record.case).into_bytes()),
};

/// The record as programs read it.
pub const JSON: Format<Record> = Format {
    slug: "json",
    name: "JSON",
    extension: "json",
    media_type: "application/json",
    use_for: "The record itself for other programs, after a published schema.",
    render: |record, _| Ok(to_json(&record.case).into_bytes()),
};

/// The case as a TOML file, in the order in which a person writes one.
#[must_use]
pub fn to_toml(case: &Case) -> String {
    // Taken apart by name, here and below, so that a new field cannot be left out of the file.
    let Case {
        format: _,
        code,
        title,
        month,
        stage,
        time_zero,
        situation,
        narrative,
        patient,
        procedure,
        lesions,
        events,
        complications,
        labs,
        observations,
        prompts,
        decisions,
        causes,
        lessons,
        actions,
        // Pixels have no place in a text.
        pictures: _,
        outcome,
    } = case;
    let mut file = TomlText::default();
    file.number("format", 1);
    file.text_opt("code", code.as_ref());
    file.text("title", title);
    file.text("month", month);
    file.text("stage", stage);
    file.text_opt("time_zero", time_zero.as_ref());
    file.text_opt("situation", situation.as_ref());
    if let Some(narrative) = narrative {
        file.story("narrative", narrative.as_str());
    }
    write_patient(&mut file, patient);
    write_procedure(&mut file, procedure);
    lesions.iter().for_each(|row| write_lesion(&mut file, row));
    events.iter().for_each(|row| write_event(&mut file, row));
    complications.iter().for_each(|row| write_complication(&mut file, row));
    labs.iter().for_each(|row| write_lab(&mut file, row));
    observations.iter().for_each(|row| write_observation(&mut file, row));
    prompts.iter().for_each(|row| write_prompt(&mut file, row));
    decisions.iter().for_each(|row| write_decision(&mut file, row));
    causes.iter().for_each(|row| write_cause(&mut file, row));
    lessons.iter().for_each(|row| write_lesson(&mut file, row));
    actions.iter().for_each(|row| write_action(&mut file, row));
    write_outcome(&mut file, outcome);
    file.into_text()
}

fn write_patient(file: &mut TomlText, patient: &Patient) {
    if patient.is_empty() {
        return;
    }
    let Patient { age, sex, presentation, history, egfr, weight_kg } = patient;
    file.heading("[patient]");
    match age {
        Some(crate::case::Age::Years(years)) => file.number("age", years),
        Some(older) => file.text("age", older),
        None => {}
    }
    file.text_opt("sex", sex.as_ref());
    file.text_opt("presentation", presentation.as_ref());
    file.texts("history", history);
    file.number_opt("egfr", egfr.as_ref());
    file.number_opt("weight_kg", weight_kg.as_ref());
}

fn write_procedure(file: &mut TomlText, procedure: &Procedure) {
    if procedure.is_empty() {
        return;
    }
    let Procedure { access, urgency, strategy } = procedure;
    file.heading("[procedure]");
    file.texts("access", access);
    file.text_opt("urgency", urgency.as_ref());
    file.text_opt("strategy", strategy.as_ref());
}

fn write_lesion(file: &mut TomlText, lesion: &Lesion) {
    let Lesion { segment, calcification, tortuosity, medina, cto, ostial, length_mm, reference_mm } = lesion;
    file.heading("[[lesions]]");
    file.text("segment", segment);
    file.text_opt("calcification", calcification.as_ref());
    file.text_opt("tortuosity", tortuosity.as_ref());
    file.text_opt("medina", medina.as_ref());
    file.number_opt("cto", cto.then_some(true));
    file.number_opt("ostial", ostial.then_some(true));
    file.number_opt("length_mm", length_mm.as_ref());
    file.number_opt("reference_mm", reference_mm.as_ref());
}

fn write_event(file: &mut TomlText, event: &Event) {
    let Event { key, at, time, kind, segment, flow, pressure, heart_rate, contrast, air_kerma, device, text } =
        event;
    file.heading("[[events]]");
    file.text("key", key);
    file.text("at", at.to_file_text());
    file.text_opt("time", (*time != Certainty::Exact).then_some(time));
    file.text("kind", kind);
    file.text_opt("segment", segment.as_ref());
    file.number_opt("flow", flow.map(|flow| flow.grade()));
    file.text_opt("pressure", pressure.as_ref());
    file.number_opt("heart_rate", heart_rate.as_ref());
    file.text_opt("contrast", contrast.as_ref());
    file.text_opt("air_kerma", air_kerma.as_ref());
    file.text_opt("device", device.as_ref());
    file.text_opt("text", text.as_ref());
}

fn write_complication(file: &mut TomlText, complication: &Complication) {
    let Complication {
        key,
        mechanism,
        segment,
        began,
        recognised,
        responded,
        controlled,
        dissection,
        perforation,
        worst_flow,
        consequence_of,
    } = complication;
    file.heading("[[complications]]");
    file.text("key", key);
    file.text("mechanism", mechanism);
    file.text_opt("segment", segment.as_ref());
    file.text_opt("began", began.as_ref());
    file.text_opt("recognised", recognised.as_ref());
    file.text_opt("responded", responded.as_ref());
    file.text_opt("controlled", controlled.as_ref());
    file.text_opt("dissection", dissection.as_ref());
    file.text_opt("perforation", perforation.as_ref());
    file.number_opt("worst_flow", worst_flow.map(|flow| flow.grade()));
    file.text_opt("consequence_of", consequence_of.as_ref());
}

fn write_lab(file: &mut TomlText, lab: &Lab) {
    let Lab { drawn, returned, result } = lab;
    file.heading("[[labs]]");
    file.text("test", result.test());
    file.text("drawn", drawn.to_file_text());
    file.text_opt("returned", returned.map(crate::quantity::Offset::to_file_text));
    file.text("value", result.value());
    file.text_opt("limit", result.limit());
}

fn write_observation(file: &mut TomlText, observation: &Observation) {
    let Observation { complication, segment, label, .. } = observation;
    file.heading("[[observations]]");
    file.text("family", observation.family());
    file.text_opt("complication", complication.as_ref());
    file.text_opt("segment", segment.as_ref());
    file.text_opt("label", label.as_ref());
    file.heading("[observations.answers]");
    for (input, text) in observation.answers() {
        file.text(input.slug, text);
    }
}

fn write_prompt(file: &mut TomlText, remark: &PromptRemark) {
    let PromptRemark { complication, list, step, says } = remark;
    file.heading("[[prompts]]");
    file.text("complication", complication);
    file.text("list", list);
    file.text("step", step);
    file.text_opt("done_at", says.done_at());
    file.text_opt("because", says.because());
    file.text_opt("answer", says.answer());
}

fn write_decision(file: &mut TomlText, decision: &Decision) {
    let Decision { key, at, question, options, chosen, chosen_by, followed } = decision;
    file.heading("[[decisions]]");
    file.text("key", key);
    file.text("at", at.to_file_text());
    file.text("question", question);
    file.number_opt("chosen", chosen.as_ref());
    file.text_opt("chosen_by", chosen_by.as_ref());
    file.text_opt("followed", followed.as_ref());
    for DecisionOption { text, reasons_for, reasons_against } in options {
        file.heading("[[decisions.options]]");
        file.text("text", text);
        file.texts("for", reasons_for);
        file.texts("against", reasons_against);
    }
}

fn write_cause(file: &mut TomlText, cause: &Cause) {
    let Cause { cause, statement, weight, shown_by } = cause;
    file.heading("[[causes]]");
    file.text("cause", cause);
    file.text("statement", statement);
    file.text("weight", weight);
    file.texts("shown_by", shown_by);
}

fn write_lesson(file: &mut TomlText, lesson: &Lesson) {
    let Lesson { kind, text, event, decision, reference, recurring, signed_by, signed_on } = lesson;
    file.heading("[[lessons]]");
    file.text("kind", kind);
    file.text("text", text);
    file.text_opt("event", event.as_ref());
    file.text_opt("decision", decision.as_ref());
    file.text_opt("reference", reference.as_ref());
    file.text_opt("recurring", recurring.as_ref());
    file.text_opt("signed_by", signed_by.as_ref());
    file.text_opt("signed_on", signed_on.as_ref());
}

fn write_action(file: &mut TomlText, action: &Action) {
    let Action {
        what,
        owner,
        due,
        strength,
        kind,
        for_cause,
        for_mechanism,
        measure,
        target,
        state,
        done_on,
    } = action;
    file.heading("[[actions]]");
    file.text("what", what);
    file.text("owner", owner);
    file.text("due", due);
    file.text("strength", strength);
    file.text_opt("kind", kind.as_ref());
    file.text_opt("for_cause", for_cause.as_ref());
    file.text_opt("for_mechanism", for_mechanism.as_ref());
    file.text_opt("measure", measure.as_ref());
    file.text_opt("target", target.as_ref());
    file.text("state", state);
    file.text_opt("done_on", done_on.as_ref());
}

fn write_outcome(file: &mut TomlText, outcome: &Outcome) {
    if outcome.is_empty() {
        return;
    }
    let Outcome { discharge, harm } = outcome;
    file.heading("[outcome]");
    file.text_opt("discharge", discharge.as_ref());
    file.text_opt("harm", harm.as_ref());
}

/// The case as a JSON file, indented.
#[must_use]
#[expect(clippy::expect_used, reason = "a case holds neither a map nor a number that is not finite")]
pub fn to_json(case: &Case) -> String {
    let mut text = serde_json::to_string_pretty(case).expect("a case can be written as JSON");
    text.push('\n');
    text
}

/// The JSON Schema (draft 2020-12) of a case file, TOML or JSON. What must hold across the parts of
/// a case, such as keys that are met, is beyond it.
#[must_use]
pub fn schema() -> serde_json::Value {
    let mut schema = schemars::schema_for!(Case).to_value();
    if let Some(top) = schema.as_object_mut() {
        top.insert("title".to_owned(), "Relook case".into());
    }
    schema
}

/// The schema as a file.
#[must_use]
pub fn schema_file() -> String {
    format!("{:#}\n", schema())
}
