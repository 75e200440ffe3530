//! Facts by family and name: the one door for forms, files and stores.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::set::{FactError, FactSet};
use super::{
    AccessFacts, AortaFacts, BifurcationFacts, BleedingFacts, CirculationFacts, DeviceFacts, DissectionFacts,
    EmbolismFacts, FrameCountFacts, HaematomaFacts, IschaemiaFacts, KidneyFacts, NeurologyFacts,
    OutcomeFacts, PatientFacts, PerforationFacts, PericardiumFacts, ProcedureFacts, RadiationFacts,
    ReactionFacts, RhythmFacts, SideBranchFacts, StentThrombosisFacts, ThrombusFacts, VesselFacts,
};
use super::{Facts, Family, Input, LabFacts, LabStatements};

/// What a row of facts is about.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize, JsonSchema)]
#[serde(default, deny_unknown_fields)]
pub struct Subject {
    /// What a person calls it: `LAD`, `first diagonal`.
    pub label: String,
    /// Where it is recorded, for a link; handed back as it is.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub origin: Option<String>,
}

impl Subject {
    /// A subject by its label.
    #[must_use]
    pub fn named(label: impl Into<String>) -> Self {
        Self { label: label.into(), origin: None }
    }
}

/// Facts about one of several things.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize, JsonSchema)]
#[serde(default, deny_unknown_fields)]
pub struct Row<T: FactSet> {
    /// What it is about.
    pub subject: Subject,
    /// What is recorded.
    pub facts: T,
}

impl<T: FactSet> Row<T> {
    /// Facts about a thing by its label.
    #[must_use]
    pub fn of(label: impl Into<String>, facts: T) -> Self {
        Self { subject: Subject::named(label), facts }
    }
}

/// One recorded fact as text.
#[derive(Debug, Clone, PartialEq)]
pub struct Recorded {
    /// The row of its family, from 0; `None` in a family that a case has once.
    pub row: Option<usize>,
    /// The input.
    pub input: Input,
    /// The value as text that reads back.
    pub text: String,
}

/// Writes the functions that find a family by its name.
macro_rules! families {
    (once { $($once:ident: $once_type:ty = $($once_field:ident).+;)+ } many { $($many:ident: $many_type:ty = $many_field:ident;)+ }) => {
        impl Family {
            /// Whether a case can have several of these, each a row with its subject.
            #[must_use]
            pub const fn is_listed(self) -> bool {
                matches!(self, $(Self::$many)|+)
            }

            /// The inputs, in the order of the form. Laboratory series are [`LabFacts::SERIES`].
            #[must_use]
            pub const fn inputs(self) -> &'static [Input] {
                match self {
                    $(Self::$once => <$once_type as FactSet>::INPUTS,)+
                    $(Self::$many => <$many_type as FactSet>::INPUTS,)+
                }
            }
        }

        impl Facts {
            /// Records what a person typed for an input of a family that a case has once, or of one
            /// row of a family that it has several of. A blank text takes the value out.
            ///
            /// # Errors
            /// When there is no such input or row, or the text is not a value of the input.
            pub fn record(&mut self, family: Family, row: Option<usize>, slug: &str, text: &str) -> Result<(), FactError> {
                let no_row = || FactError::NoSuchInput(slug.to_owned());
                match (family, row) {
                    $((Family::$once, None) => self.$($once_field).+.record(slug, text),)+
                    $((Family::$many, Some(row)) => {
                        self.$many_field.get_mut(row).ok_or_else(no_row)?.facts.record(slug, text)
                    })+
                    _ => Err(no_row()),
                }
            }

            /// All that is recorded, by family in the order of the type, except laboratory series.
            #[must_use]
            pub fn recorded(&self) -> Vec<Recorded> {
                let mut found = Vec::new();
                let mut take = |row: Option<usize>, set: Vec<(Input, String)>| {
                    found.extend(set.into_iter().map(|(input, text)| Recorded { row, input, text }));
                };
                $(take(None, self.$($once_field).+.recorded());)+
                $(for (row, held) in self.$many_field.iter().enumerate() {
                    take(Some(row), held.facts.recorded());
                })+
                found
            }

            /// The subjects of the rows of a family, in order; none for a family that a case has once.
            #[must_use]
            pub fn subjects(&self, family: Family) -> Vec<&Subject> {
                match family {
                    $(Family::$many => self.$many_field.iter().map(|row| &row.subject).collect(),)+
                    _ => Vec::new(),
                }
            }

            /// Adds a row without facts to a family that a case has several of, and gives its place.
            pub fn add_row(&mut self, family: Family, subject: Subject) -> Option<usize> {
                match family {
                    $(Family::$many => {
                        self.$many_field.push(Row { subject, facts: <$many_type>::default() });
                        Some(self.$many_field.len() - 1)
                    })+
                    _ => None,
                }
            }
        }
    };
}

families!(
    once {
        Patient: PatientFacts = patient;
        Procedure: ProcedureFacts = procedure;
        Labs: LabStatements = labs.statements;
        Ischaemia: IschaemiaFacts = ischaemia;
        Bleeding: BleedingFacts = bleeding;
        Kidney: KidneyFacts = kidney;
        Radiation: RadiationFacts = radiation;
        Circulation: CirculationFacts = circulation;
        Rhythm: RhythmFacts = rhythm;
        Pericardium: PericardiumFacts = pericardium;
        Outcome: OutcomeFacts = outcome;
        Neurology: NeurologyFacts = neurology;
        Reaction: ReactionFacts = reaction;
        Embolism: EmbolismFacts = embolism;
    }
    many {
        Vessel: VesselFacts = vessels;
        FrameCount: FrameCountFacts = frame_counts;
        Thrombus: ThrombusFacts = thrombi;
        Dissection: DissectionFacts = dissections;
        Perforation: PerforationFacts = perforations;
        SideBranch: SideBranchFacts = side_branches;
        Bifurcation: BifurcationFacts = bifurcations;
        StentThrombosis: StentThrombosisFacts = stent_thromboses;
        Access: AccessFacts = access;
        Haematoma: HaematomaFacts = haematomas;
        Device: DeviceFacts = devices;
        Aorta: AortaFacts = aorta;
    }
);

impl LabFacts {
    /// Whether an input is a series of laboratory values.
    #[must_use]
    pub fn is_series(input: Input) -> bool {
        Self::SERIES.contains(&input)
    }
}
