//! A case as it is written down: the same types for the page, the case file and the JSON export.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::code::{CaseCode, Key};
use super::decision::Decision;
use super::lab::Lab;
use super::measure::{Age, Day, Egfr, HeartRate, Medina, Millimetres, Month, Pressure, WeightKg};
use super::observation::Observation;
use super::picture::Picture;
use super::reference::Reference;
use super::remark::PromptRemark;
use super::text::{Paragraph, Sentences, Story, Title, Words};
use super::words::{
    Access, ActionKind, ActionState, Device, DissectionType, EventKind, Extent, Harm, LessonKind,
    PerforationGrade, Presentation, Segment, Sex, Stage, Strength, Urgency, Weight,
};
use crate::clinical::quantities::{Dose, Volume};
use crate::quantity::{Certainty, Offset, TimiFlow};
use crate::vocabulary::{CauseSlug, MechanismSlug};

/// What the case, the patient, the procedure and the outcome are: all of a case that is not a list.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Head {
    /// What the case is called in the department.
    pub title: Title,
    /// The month of the procedure.
    pub month: Month,
    /// How far the case has come.
    pub stage: Stage,
    /// What moment zero is, in words.
    pub time_zero: Option<Words>,
    /// The situation in two sentences.
    pub situation: Option<Sentences>,
    /// The story, in Markdown.
    pub narrative: Option<Story>,
    /// Patient context without identifiers.
    pub patient: Patient,
    /// The procedure as planned.
    pub procedure: Procedure,
    /// How it ended.
    pub outcome: Outcome,
}

/// One anonymised procedure with at least one complication, as a case file holds it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Case {
    /// The version of this file format.
    pub format: Format,
    /// The code; the app gives the next free one when it is left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub code: Option<CaseCode>,
    /// What the case is called in the department; no names, no dates.
    pub title: Title,
    /// The month of the procedure, never a day.
    pub month: Month,
    /// How far the case has come.
    pub stage: Stage,
    /// What moment zero is, in words.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub time_zero: Option<Words>,
    /// The situation in two sentences.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub situation: Option<Sentences>,
    /// The story, in Markdown.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub narrative: Option<Story>,
    /// Patient context without identifiers.
    #[serde(default, skip_serializing_if = "Patient::is_empty")]
    pub patient: Patient,
    /// The procedure as planned.
    #[serde(default, skip_serializing_if = "Procedure::is_empty")]
    pub procedure: Procedure,
    /// Lesions treated or met, in the order they were entered.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub lesions: Vec<Lesion>,
    /// Events by time; those of equal time in the order they were entered.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub events: Vec<Event>,
    /// Complications in the order they were entered.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub complications: Vec<Complication>,
    /// Laboratory values by the time they were drawn.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub labs: Vec<Lab>,
    /// What was observed, for the definitions, in the order it was entered.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub observations: Vec<Observation>,
    /// What a person said about response prompts.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub prompts: Vec<PromptRemark>,
    /// Decision points by time.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub decisions: Vec<Decision>,
    /// Causes.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub causes: Vec<Cause>,
    /// Lessons.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub lessons: Vec<Lesson>,
    /// Actions.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub actions: Vec<Action>,
    /// Pictures, which a case file does not carry: it is text, and their pixels are none.
    #[serde(skip)]
    #[schemars(skip)]
    pub pictures: Vec<Picture>,
    /// How it ended.
    #[serde(default, skip_serializing_if = "Outcome::is_empty")]
    pub outcome: Outcome,
}

impl Case {
    /// All of the case that is not a list.
    #[must_use]
    pub fn head(&self) -> Head {
        Head {
            title: self.title.clone(),
            month: self.month,
            stage: self.stage,
            time_zero: self.time_zero.clone(),
            situation: self.situation.clone(),
            narrative: self.narrative.clone(),
            patient: self.patient.clone(),
            procedure: self.procedure.clone(),
            outcome: self.outcome.clone(),
        }
    }

    /// The first entry of a case: a month, what happened, in a sentence or two.
    #[must_use]
    pub fn first_entry(
        title: Title,
        month: Month,
        mechanism: MechanismSlug,
        situation: Option<Sentences>,
    ) -> Self {
        Self {
            format: Format,
            code: None,
            title,
            month,
            stage: Stage::Recorded,
            time_zero: None,
            situation,
            narrative: None,
            patient: Patient::default(),
            procedure: Procedure::default(),
            lesions: Vec::new(),
            events: Vec::new(),
            complications: vec![Complication::of(mechanism)],
            labs: Vec::new(),
            observations: Vec::new(),
            prompts: Vec::new(),
            decisions: Vec::new(),
            causes: Vec::new(),
            lessons: Vec::new(),
            actions: Vec::new(),
            pictures: Vec::new(),
            outcome: Outcome::default(),
        }
    }
}

/// The version of the case-file format: always 1.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Format;

impl Serialize for Format {
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_u8(1)
    }
}

impl<'de> Deserialize<'de> for Format {
    fn deserialize<D: serde::Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        match i64::deserialize(deserializer)? {
            1 => Ok(Self),
            other => Err(serde::de::Error::custom(format!(
                "format {other} is not known here; this program reads format 1"
            ))),
        }
    }
}

impl JsonSchema for Format {
    fn schema_name() -> std::borrow::Cow<'static, str> {
        "Format".into()
    }
    fn json_schema(_: &mut schemars::SchemaGenerator) -> schemars::Schema {
        schemars::json_schema!({ "type": "integer", "const": 1 })
    }
}

/// Patient context that names nobody.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, default)]
pub struct Patient {
    /// Age in years, or "90 or older".
    #[serde(skip_serializing_if = "Option::is_none")]
    pub age: Option<Age>,
    /// Sex.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub sex: Option<Sex>,
    /// How the patient came.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub presentation: Option<Presentation>,
    /// Relevant history, as trade terms; at most 20.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    #[schemars(length(max = 20))]
    pub history: Vec<Words>,
    /// eGFR before the procedure, mL/min/1.73 m².
    #[serde(skip_serializing_if = "Option::is_none")]
    pub egfr: Option<Egfr>,
    /// Weight, kg.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub weight_kg: Option<WeightKg>,
}

impl Patient {
    /// Whether nothing is recorded yet.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        *self == Self::default()
    }
}

/// The procedure as planned.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, default)]
pub struct Procedure {
    /// Arteries entered, in order.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    #[schemars(length(max = 5))]
    pub access: Vec<Access>,
    /// How soon it had to be done.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub urgency: Option<Urgency>,
    /// The planned strategy.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub strategy: Option<Sentences>,
}

impl Procedure {
    /// Whether nothing is recorded yet.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        *self == Self::default()
    }
}

/// How it ended for the patient.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, default)]
pub struct Outcome {
    /// The state at discharge, in a sentence.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub discharge: Option<Sentences>,
    /// Degree of harm.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub harm: Option<Harm>,
}

impl Outcome {
    /// Whether nothing is recorded yet.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        *self == Self::default()
    }
}

/// A lesion that was treated or met.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Lesion {
    /// Where it is.
    pub segment: Segment,
    /// Calcification by eye.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub calcification: Option<Extent>,
    /// Tortuosity on the way to it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub tortuosity: Option<Extent>,
    /// Medina class, when it is a bifurcation lesion.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub medina: Option<Medina>,
    /// Whether it is a chronic total occlusion.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub cto: bool,
    /// Whether it is ostial.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub ostial: bool,
    /// Length.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub length_mm: Option<Millimetres>,
    /// Reference diameter.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub reference_mm: Option<Millimetres>,
}

/// One timestamped thing that happened.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Event {
    /// The name by which complications, causes and lessons point to it.
    pub key: Key,
    /// When, from time zero.
    pub at: Offset,
    /// How sure the time is.
    #[serde(default, skip_serializing_if = "is_exact")]
    pub time: Certainty,
    /// What sort of thing it is.
    pub kind: EventKind,
    /// Where.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub segment: Option<Segment>,
    /// TIMI flow grade in that segment's vessel after it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub flow: Option<TimiFlow>,
    /// Arterial pressure, mmHg.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub pressure: Option<Pressure>,
    /// Heart rate per minute.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub heart_rate: Option<HeartRate>,
    /// Contrast given so far, all of it together.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub contrast: Option<Volume>,
    /// Air kerma at the reference point so far, as the equipment shows it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub air_kerma: Option<Dose>,
    /// The class of device in use.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub device: Option<Device>,
    /// What happened, in words.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub text: Option<Paragraph>,
}

impl Event {
    /// An event at an exact time, of which nothing more is known yet.
    #[must_use]
    pub const fn new(key: Key, at: Offset, kind: EventKind) -> Self {
        Self {
            key,
            at,
            time: Certainty::Exact,
            kind,
            segment: None,
            flow: None,
            pressure: None,
            heart_rate: None,
            contrast: None,
            air_kerma: None,
            device: None,
            text: None,
        }
    }
}

fn is_exact(certainty: &Certainty) -> bool {
    *certainty == Certainty::Exact
}

/// A classified harm.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Complication {
    /// The name by which a consequence points to it.
    pub key: Key,
    /// How the harm came about.
    pub mechanism: MechanismSlug,
    /// The vessel or branch.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub segment: Option<Segment>,
    /// The event where it began.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub began: Option<Key>,
    /// The event where it was recognised.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub recognised: Option<Key>,
    /// The event that was the first response to it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub responded: Option<Key>,
    /// The event where it was controlled.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub controlled: Option<Key>,
    /// Dissection type, when it is one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub dissection: Option<DissectionType>,
    /// Perforation grade, when it is one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub perforation: Option<PerforationGrade>,
    /// The worst TIMI flow it left.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub worst_flow: Option<TimiFlow>,
    /// The complication of this case that led to it; none for an index harm.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub consequence_of: Option<Key>,
}

impl Complication {
    /// A complication of which only the mechanism is known yet.
    #[must_use]
    pub fn of(mechanism: MechanismSlug) -> Self {
        Self {
            key: Key::next_free("c", |_| false),
            mechanism,
            segment: None,
            began: None,
            recognised: None,
            responded: None,
            controlled: None,
            dissection: None,
            perforation: None,
            worst_flow: None,
            consequence_of: None,
        }
    }
}

/// A contributing factor.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Cause {
    /// Its leaf in the root-cause taxonomy.
    pub cause: CauseSlug,
    /// The causal statement: cause, effect, event.
    pub statement: Paragraph,
    /// How much it carried; a contributing one unless somebody says otherwise.
    #[serde(default)]
    pub weight: Weight,
    /// The events that show it.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    #[schemars(length(max = 20))]
    pub shown_by: Vec<Key>,
}

/// What the department should do next time.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Lesson {
    /// What it helps to do.
    pub kind: LessonKind,
    /// The lesson.
    pub text: Paragraph,
    /// The event it is tied to.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub event: Option<Key>,
    /// The decision point it is tied to.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub decision: Option<Key>,
    /// What it rests on in print.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub reference: Option<Reference>,
    /// The lesson of several cases that it is one of, in the words that all of them share.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub recurring: Option<Sentences>,
    /// The attending who stands behind it, as the account is called; none while unsigned.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub signed_by: Option<Words>,
    /// The day it was signed.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub signed_on: Option<Day>,
}

/// A change that somebody owns.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Action {
    /// What will be different.
    pub what: Sentences,
    /// The role that owns it, never a person.
    pub owner: Words,
    /// When it is due.
    pub due: Day,
    /// How strongly it changes what will happen.
    pub strength: Strength,
    /// What sort of change it is; its strength is the one of that sort.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub kind: Option<ActionKind>,
    /// The cause that it answers.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub for_cause: Option<CauseSlug>,
    /// The mechanism that it is to make rarer; none for every mechanism of the case.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub for_mechanism: Option<MechanismSlug>,
    /// One measure with a number and a period.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub measure: Option<Sentences>,
    /// What the measure has to come to.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub target: Option<Words>,
    /// Where it stands.
    pub state: ActionState,
    /// The day from which it was in place, when it is done.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub done_on: Option<Day>,
}
