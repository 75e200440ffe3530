//! The case: its types, its rules, and the SQL that stores it.

mod check;
mod code;
mod decision;
mod lab;
mod measure;
pub mod observation;
mod picture;
mod record;
mod reference;
mod remark;
pub mod search_sqlite;
mod sight;
mod stored;
mod text;
mod words;

pub mod consistency;
pub mod drawing;
pub mod evidence;
pub mod harm_times;
pub mod identifier;
mod kind_guess;
pub mod known;
pub mod list;
pub mod past;
pub mod reading;
pub mod recurring;
pub mod series;
pub mod store;
pub mod traits;
pub mod withdrawal;

pub use check::{Place, Problem, check};
pub use code::{CaseCode, CodeError, Key};
pub use decision::{Decision, DecisionOption, OPTIONS_AT_MOST, OptionNumber, REASONS_AT_MOST};
pub use kind_guess::guess_kind;
pub use lab::{Lab, LabError, LabResult, LabTest};
pub use measure::{Age, Day, Egfr, HeartRate, MeasureError, Medina, Millimetres, Month, Pressure, WeightKg};
pub use observation::Observation;
pub use picture::{DigestError, PICTURES_AT_MOST, Picture, PictureDigest, Still, View, ViewError};
pub use record::{
    Action, Case, Cause, Complication, Event, Format, Head, Lesion, Lesson, Outcome, Patient, Procedure,
};
pub use reference::{Reference, ReferenceError};
pub use remark::{NotOne, PromptRemark, Says, YesNo};
pub use sight::{Sight, is_presented};
pub use stored::{Fingerprint, Row, StoredCase};
pub use text::{Line, Paragraph, Sentences, Story, Text, TextError, Title, Words};
pub use words::{
    Access, ActionKind, ActionState, Device, DissectionType, EventKind, Extent, Harm, LessonKind,
    PerforationGrade, Presentation, Segment, Sex, Stage, Strength, Urgency, Vessel, Weight,
};
