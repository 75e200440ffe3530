//! What the rules may look at, split by family; everything may be missing.
//!
//! A family is a type whose fields can be read and written by name ([`FactSet`]), so that a form,
//! a file and a store need no list of their own. Families that a case has several of (vessels,
//! dissections …) are rows with a [`Subject`].

mod angiography;
mod bleeding;
mod branch;
mod circulation;
mod dose;
mod injury;
mod input;
mod ischaemia;
mod labs;
mod outcome;
mod procedure;
mod rows;
mod set;

pub use angiography::{Blush, Coronary, FrameCountFacts, ThrombusFacts, ThrombusLook, VesselFacts};
pub use bleeding::{AccessFacts, AccessHarm, BleedingFacts, HaematomaFacts, HaematomaSite};
pub use branch::{BifurcationFacts, MedinaClass, SideBranchFacts};
pub use circulation::{CirculationFacts, PericardiumFacts, RhythmFacts, ShockStage};
pub use dose::{KidneyFacts, RadiationFacts};
pub use injury::{
    AortaFacts, AorticReach, DissectionFacts, DissectionLetter, DissectionLook, EllisType, PerforationFacts,
};
use input::is_empty;
pub use input::{FactValue, Family, Input, Kind, Seen, Slot};
pub use ischaemia::{IschaemiaFacts, StentThrombosisFacts};
pub use labs::{LabFacts, LabStatements, Ranked, Sample, Split, last_before, split};
pub use outcome::{
    AirExtent, DeviceFacts, DeviceKind, EmbolismFacts, HarmDegree, NeurologyFacts, OutcomeFacts,
    ReactionFacts,
};
pub use procedure::{PatientFacts, ProcedureFacts, Sex};
pub use rows::{Recorded, Row, Subject};
pub use set::{FactError, FactSet};

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::quantity::Offset;

/// All that the definitions may look at in one case.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize, JsonSchema)]
#[serde(default, deny_unknown_fields)]
pub struct Facts {
    /// Patient context.
    #[serde(skip_serializing_if = "is_default")]
    pub patient: PatientFacts,
    /// When the procedure ran.
    #[serde(skip_serializing_if = "is_default")]
    pub procedure: ProcedureFacts,
    /// Laboratory values.
    #[serde(skip_serializing_if = "is_default")]
    pub labs: LabFacts,
    /// Signs of ischaemia after the procedure.
    #[serde(skip_serializing_if = "is_default")]
    pub ischaemia: IschaemiaFacts,
    /// Bleeding.
    #[serde(skip_serializing_if = "is_default")]
    pub bleeding: BleedingFacts,
    /// Kidney and contrast.
    #[serde(skip_serializing_if = "is_default")]
    pub kidney: KidneyFacts,
    /// Radiation.
    #[serde(skip_serializing_if = "is_default")]
    pub radiation: RadiationFacts,
    /// Circulation.
    #[serde(skip_serializing_if = "is_default")]
    pub circulation: CirculationFacts,
    /// Rhythm and arrest.
    #[serde(skip_serializing_if = "is_default")]
    pub rhythm: RhythmFacts,
    /// Pericardium.
    #[serde(skip_serializing_if = "is_default")]
    pub pericardium: PericardiumFacts,
    /// Outcome.
    #[serde(skip_serializing_if = "is_default")]
    pub outcome: OutcomeFacts,
    /// Neurological deficit.
    #[serde(skip_serializing_if = "is_default")]
    pub neurology: NeurologyFacts,
    /// Reaction to a drug or contrast.
    #[serde(skip_serializing_if = "is_default")]
    pub reaction: ReactionFacts,
    /// Air and other emboli.
    #[serde(skip_serializing_if = "is_default")]
    pub embolism: EmbolismFacts,
    /// Flow, a row a vessel.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub vessels: Vec<Row<VesselFacts>>,
    /// Frame counts, a row a run.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub frame_counts: Vec<Row<FrameCountFacts>>,
    /// Thrombus, a row a lesion.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub thrombi: Vec<Row<ThrombusFacts>>,
    /// Dissections.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub dissections: Vec<Row<DissectionFacts>>,
    /// Perforations.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub perforations: Vec<Row<PerforationFacts>>,
    /// Side branches.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub side_branches: Vec<Row<SideBranchFacts>>,
    /// Bifurcations.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub bifurcations: Vec<Row<BifurcationFacts>>,
    /// Stent thromboses, a row a stent.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub stent_thromboses: Vec<Row<StentThrombosisFacts>>,
    /// Harms at the access site.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub access: Vec<Row<AccessFacts>>,
    /// Haematomas.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub haematomas: Vec<Row<HaematomaFacts>>,
    /// Devices that failed or were lost.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub devices: Vec<Row<DeviceFacts>>,
    /// Tears at an ostium that reach the aorta.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub aorta: Vec<Row<AortaFacts>>,
}

impl Facts {
    /// The facts with only those laboratory values whose result had come back by a moment.
    #[must_use]
    pub fn with_results_by(&self, moment: Offset) -> Self {
        Self { labs: self.labs.known_by(moment), ..self.clone() }
    }
}

/// Whether nothing differs from an empty family, for leaving it out of a file.
fn is_default<T: Default + PartialEq>(family: &T) -> bool {
    *family == T::default()
}
