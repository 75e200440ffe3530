//! The facts and the lists of a case, made ready for its template.

use super::advice::{self, Advice};
use crate::case::reading::words::{lower_first, sentence};
use crate::case::reading::{Reading, place_words};
use crate::case::store::ActionStep;
use crate::case::{Action, ActionState, Day, Lesion, Observation, StoredCase, drawing, evidence};
use crate::clinical::Kind;
use crate::rates::Subject;
use crate::vocabulary::Vocabulary;
use crate::web::form::capitalised;
use crate::web::rates::subject_path;

/// A fact of a list of facts; none is "Not recorded".
pub(super) struct Fact {
    pub(super) label: &'static str,
    pub(super) value: Option<String>,
    pub(super) wide: bool,
}

impl Fact {
    pub(super) fn new(label: &'static str, value: Option<impl ToString>) -> Self {
        Self { label, value: value.map(|value| value.to_string()), wide: false }
    }

    pub(super) fn wide(label: &'static str, value: Option<impl ToString>) -> Self {
        Self { wide: true, ..Self::new(label, value) }
    }
}

/// An entry of a list: a head, lines under it, and how it is changed.
pub(super) struct Item {
    pub(super) id: i64,
    /// Its place on the page, for links; empty for none.
    pub(super) anchor: String,
    pub(super) head: String,
    pub(super) meta: String,
    pub(super) text: String,
    pub(super) foot: String,
    /// The foot's button; none without one.
    pub(super) button: Option<Button>,
    /// Inputs, rule and source of a computed sentence.
    pub(super) rule: Option<Rule>,
    pub(super) editable: bool,
    /// What may be asked about its words.
    pub(super) advice: Vec<Advice>,
    /// How it came to stand where it stands, from the first day on.
    pub(super) history: Vec<String>,
    /// Where it leads on to.
    pub(super) links: Vec<Link>,
    /// What it was before, folded away.
    pub(super) folded: Option<Folded>,
}

/// Earlier versions of an entry, under one line that opens them.
pub(super) struct Folded {
    pub(super) summary: String,
    pub(super) versions: Vec<Version>,
}

/// An entry as it was.
pub(super) struct Version {
    pub(super) text: String,
    pub(super) foot: String,
}

/// A place to go on to.
pub(super) struct Link {
    pub(super) href: String,
    pub(super) label: String,
}

impl Link {
    pub(super) fn new(href: impl Into<String>, label: impl Into<String>) -> Self {
        Self { href: href.into(), label: label.into() }
    }
}

/// A button that sends one value.
pub(super) struct Button {
    pub(super) action: String,
    pub(super) label: &'static str,
    pub(super) name: &'static str,
    pub(super) value: String,
}

pub(super) struct Rule {
    pub(super) inputs: String,
    pub(super) rule: &'static str,
    pub(super) source: &'static str,
}

impl Item {
    pub(super) fn new(id: i64, head: impl Into<String>) -> Self {
        Self {
            id,
            anchor: String::new(),
            head: head.into(),
            meta: String::new(),
            text: String::new(),
            foot: String::new(),
            button: None,
            rule: None,
            editable: true,
            links: Vec::new(),
            folded: None,
            advice: Vec::new(),
            history: Vec::new(),
        }
    }
}

pub(super) fn patient_facts(case: &StoredCase) -> Vec<Fact> {
    let patient = &case.head.patient;
    let history: Vec<&str> = patient.history.iter().map(|term| term.as_str()).collect();
    vec![
        Fact::new("Age", patient.age.map(|age| format!("{age} years"))),
        Fact::new("Sex", patient.sex.map(|sex| capitalised(sex.label()))),
        Fact::new("Presentation", patient.presentation.map(|word| word.label())),
        Fact::new("eGFR", patient.egfr.map(|egfr| format!("{egfr} mL/min/1.73 m²"))),
        Fact::new("Weight", patient.weight_kg.map(|weight| format!("{weight} kg"))),
        Fact::wide("History", (!history.is_empty()).then(|| capitalised(&history.join(", ")))),
    ]
}

pub(super) fn procedure_facts(case: &StoredCase) -> Vec<Fact> {
    let procedure = &case.head.procedure;
    let access: Vec<String> = procedure.access.iter().map(|word| word.label().to_lowercase()).collect();
    vec![
        Fact::new("Access", (!access.is_empty()).then(|| capitalised(&access.join(", then ")))),
        Fact::new("Urgency", procedure.urgency.map(|word| word.label())),
        Fact::wide("Plan", procedure.strategy.as_ref()),
    ]
}

pub(super) fn outcome_facts(case: &StoredCase) -> Vec<Fact> {
    let outcome = &case.head.outcome;
    vec![
        Fact::new("Degree of harm", outcome.harm.map(|word| word.label())),
        Fact::wide("At discharge", outcome.discharge.as_ref()),
    ]
}

/// A lesion in words: length, reference, features.
pub(super) fn lesion_words(lesion: &Lesion) -> String {
    let words = [
        lesion.length_mm.map(|length| format!("{length} mm long")),
        lesion.reference_mm.map(|reference| format!("reference {reference} mm")),
        lesion.calcification.map(|extent| format!("calcification {}", extent.label())),
        lesion.tortuosity.map(|extent| format!("tortuosity {}", extent.label())),
        lesion.medina.map(|class| {
            let kind = if class.is_true_bifurcation() { ", a true bifurcation" } else { "" };
            format!("Medina {class}{kind}")
        }),
        lesion.cto.then(|| "chronic total occlusion".to_owned()),
        lesion.ostial.then(|| "ostial".to_owned()),
    ];
    let words: Vec<String> = words.into_iter().flatten().collect();
    if words.is_empty() {
        "Nothing else is recorded.".to_owned()
    } else {
        format!("{}.", capitalised(&words.join("; ")))
    }
}

pub(super) fn complication_items(case: &StoredCase, vocabulary: &Vocabulary, reading: &Reading) -> Vec<Item> {
    case.complications
        .iter()
        .zip(reading.spans())
        .map(|(row, span)| {
            let complication = &row.value;
            let number = |key: &Option<crate::case::Key>| key.as_ref().and_then(|key| reading.number(key));
            let links: Vec<String> = [
                ("began at event", number(&complication.began)),
                ("recognised at", number(&complication.recognised)),
                ("first response at", number(&complication.responded)),
                ("controlled at", number(&complication.controlled)),
            ]
            .into_iter()
            .filter_map(|(word, number)| number.map(|number| format!("{word} {number}")))
            .collect();
            let parent = complication.consequence_of.as_ref().and_then(|key| {
                case.complications.iter().find(|other| other.value.key == *key)
            });
            let meta = [
                complication.segment.map(place_words),
                parent.map(|parent| {
                    format!("a consequence of: {}", vocabulary.mechanism_label(&parent.value.mechanism).to_lowercase())
                }),
                (!links.is_empty()).then(|| links.join(", ")),
            ];
            let meta: Vec<String> = meta.into_iter().flatten().map(|part| capitalised(&part)).collect();
            Item {
                meta: meta.join(". "),
                text: span.sentence().unwrap_or_else(|| "When it began, was recognised and was controlled is not linked to events yet.".to_owned()),
                rule: (!links.is_empty()).then(|| Rule {
                    inputs: format!("{}.", capitalised(&links.join(", "))),
                    rule: "Time from the event where it began to the events where it was recognised and controlled. An estimated time gives the shortest and longest that fit.",
                    source: "Our own convention.",
                }),
                anchor: format!("complication-{}", row.id),
                ..Item::new(row.id, drawing::complication_words(complication, vocabulary))
            }
        })
        .collect()
}

pub(super) fn decision_items(case: &StoredCase, writes: bool) -> Vec<Item> {
    case.decisions
        .iter()
        .map(|row| {
            let decision = &row.value;
            let options = match decision.options.len() {
                1 => "One option".to_owned(),
                count => format!("{} options", capitalised(&crate::case::reading::words::count(count))),
            };
            let chosen = decision.chosen.zip(decision.chosen_option()).map_or_else(
                || "What was chosen is not recorded.".to_owned(),
                |(number, option)| {
                    format!("Chosen: option {number}, {}.", option.text.as_str().trim_end_matches('.'))
                },
            );
            Item {
                anchor: format!("decision-{}", decision.key),
                meta: format!("{} · {options}", decision.at),
                text: chosen,
                links: if writes {
                    vec![Link::new(
                        format!("/cases/{}/points/{}", case.code, decision.key),
                        "What was known, and your judgement",
                    )]
                } else {
                    Vec::new()
                },
                ..Item::new(row.id, decision.question.to_string())
            }
        })
        .collect()
}

pub(super) fn cause_items(
    case: &StoredCase,
    vocabulary: &Vocabulary,
    reading: &Reading,
    writes: bool,
) -> Vec<Item> {
    case.causes
        .iter()
        .map(|row| {
            let numbers: Vec<u32> = row.value.shown_by.iter().filter_map(|key| reading.number(key)).collect();
            let branch = vocabulary
                .cause(&row.value.cause)
                .and_then(|leaf| vocabulary.cause_branches.iter().find(|branch| branch.slug == leaf.branch));
            let shown = if numbers.is_empty() {
                "No event shows this yet.".to_owned()
            } else {
                format!("Shown by {}.", crate::case::reading::event_numbers(&numbers).to_lowercase())
            };
            Item {
                meta: [
                    branch.map(|branch| branch.label.clone()),
                    Some(row.value.weight.label().to_lowercase()),
                ]
                .into_iter()
                .flatten()
                .collect::<Vec<_>>()
                .join(" · "),
                advice: if writes { advice::on(row.value.statement.as_str()) } else { Vec::new() },
                text: row.value.statement.to_string(),
                foot: shown,
                ..Item::new(row.id, vocabulary.cause_label(&row.value.cause))
            }
        })
        .collect()
}

pub(super) fn action_items(
    case: &StoredCase,
    vocabulary: &Vocabulary,
    steps: &[ActionStep],
    today: Day,
) -> Vec<Item> {
    case.actions
        .iter()
        .map(|row| {
            let action = &row.value;
            let mut went: Vec<&ActionStep> = steps.iter().filter(|step| step.action == row.id).collect();
            // One step is no history: it is where the action stands.
            if went.len() < 2 {
                went.clear();
            }
            Item {
                meta: action_meta(action, vocabulary),
                text: format!("Measure: {}", lower_first(&measure_in_words(action))),
                foot: standing_in_words(action, today),
                history: went.into_iter().map(step_in_words).collect(),
                links: action
                    .for_mechanism
                    .as_ref()
                    .filter(|_| action.state == ActionState::Done)
                    .map(|slug| {
                        let label = vocabulary.mechanism_label(slug);
                        Link::new(
                            subject_path(&Subject::Mechanism(slug.clone())),
                            format!("Is it happening less? {label}"),
                        )
                    })
                    .into_iter()
                    .collect(),
                button: (action.state == ActionState::Open).then(|| Button {
                    action: format!("/cases/{}/actions/{}/state", case.code, row.id),
                    label: "Mark as done",
                    name: "state",
                    value: ActionState::Done.slug().to_owned(),
                }),
                ..Item::new(row.id, action.what.to_string())
            }
        })
        .collect()
}

/// Owner, strength and kind, and what the action answers.
fn action_meta(action: &Action, vocabulary: &Vocabulary) -> String {
    let strength = action.strength.label().to_lowercase();
    [
        Some(capitalised(action.owner.as_str())),
        Some(match action.kind {
            Some(kind) => format!("{strength}: {}", lower_first(kind.label())),
            None => strength,
        }),
        action
            .for_cause
            .as_ref()
            .map(|slug| format!("answers “{}”", lower_first(&vocabulary.cause_label(slug)))),
        action
            .for_mechanism
            .as_ref()
            .map(|slug| format!("to make “{}” rarer", lower_first(&vocabulary.mechanism_label(slug)))),
    ]
    .into_iter()
    .flatten()
    .collect::<Vec<_>>()
    .join(" · ")
}

/// The measure of an action with its target.
pub(in crate::web) fn measure_in_words(action: &Action) -> String {
    let target = action.target.as_ref().map(|target| format!(" Target: {target}.")).unwrap_or_default();
    match &action.measure {
        Some(measure) => format!("{}{target}", sentence(measure.as_str())),
        None => format!("None yet.{target}"),
    }
}

/// Where an action stands, with its day.
pub(in crate::web) fn standing_in_words(action: &Action, today: Day) -> String {
    let due = action.due.in_words();
    match (action.state, action.done_on) {
        (ActionState::Open, _) if action.due < today => format!("Overdue since {due}."),
        (ActionState::Open, _) => format!("Due {due}."),
        (ActionState::Done, Some(day)) => format!("In place since {}. It was due {due}.", day.in_words()),
        (ActionState::Done, None) => format!(
            "Done. It was due {due}. Say since when it is in place, so that the rates can be told apart."
        ),
        (ActionState::Dropped, _) => "Dropped.".to_owned(),
    }
}

fn step_in_words(step: &ActionStep) -> String {
    let day: Day = step.at.to_zoned(jiff::tz::TimeZone::system()).date().into();
    let state = match step.state {
        ActionState::Open => format!("open, due {}", step.due.in_words()),
        ActionState::Done => "done".to_owned(),
        ActionState::Dropped => "dropped".to_owned(),
    };
    format!("{}: {state}", day.in_words())
}

/// What was observed: "yes" first, then values, then "no", so that what matters stands in front.
pub(super) fn observation_items(case: &StoredCase, vocabulary: &Vocabulary) -> Vec<Item> {
    case.observations
        .iter()
        .map(|row| {
            let seen = &row.value;
            let about = evidence::subject_of(row, vocabulary, case).map(|subject| subject.label);
            let head = match about {
                Some(label) => format!("{} · {label}", seen.family().label()),
                None => seen.family().label().to_owned(),
            };
            Item {
                anchor: format!("observation-{}", row.id),
                text: observed_words(seen),
                ..Item::new(row.id, head)
            }
        })
        .collect()
}

fn observed_words(seen: &Observation) -> String {
    let (mut yes, mut no, mut values) = (Vec::new(), Vec::new(), Vec::new());
    for (input, text) in seen.answers() {
        match (input.kind, text.as_str()) {
            (Kind::Answer, "yes") => yes.push(input.label.to_owned()),
            (Kind::Answer, _) => no.push(input.label.to_owned()),
            (Kind::OneOf(words), slug) => {
                let word = words.iter().find(|word| word.slug == slug);
                values.push(format!("{}: {}", input.label, word.map_or(slug, |word| word.label)));
            }
            (_, text) => values.push(format!("{}: {text}", input.label)),
        }
    }
    let said =
        |word: &str, list: Vec<String>| (!list.is_empty()).then(|| format!("{word}{}.", list.join("; ")));
    let values = said("", values).map(|text| capitalised(&text));
    let parts: Vec<String> = [said("Yes: ", yes), values, said("No: ", no)].into_iter().flatten().collect();
    if parts.is_empty() { "Nothing is answered yet.".to_owned() } else { parts.join(" ") }
}
