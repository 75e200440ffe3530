//! What a definition may ask for: every input has a name, a place in a form and a way to be written.

use super::super::answer::Answer;
use super::super::quantities::{Measured, Unit};
use crate::clinical::words::Word;
use crate::quantity::words;
use crate::quantity::{Offset, QuantityError, TimiFlow};

words!(
    /// Inputs that are asked for together.
    Family, "a family of inputs", {
        Patient = "patient", "Patient";
        Procedure = "procedure", "Procedure";
        Labs = "labs", "Laboratory values";
        Vessel = "vessel", "Flow in a vessel";
        FrameCount = "frame-count", "Frame count";
        Thrombus = "thrombus", "Thrombus";
        Dissection = "dissection", "Dissection";
        Perforation = "perforation", "Perforation";
        SideBranch = "side-branch", "Side branch";
        Bifurcation = "bifurcation", "Bifurcation";
        Ischaemia = "ischaemia", "Signs of ischaemia";
        StentThrombosis = "stent-thrombosis", "Stent thrombosis";
        Bleeding = "bleeding", "Bleeding";
        Kidney = "kidney", "Kidney and contrast";
        Radiation = "radiation", "Radiation";
        Circulation = "circulation", "Circulation";
        Rhythm = "rhythm", "Rhythm and arrest";
        Pericardium = "pericardium", "Pericardium";
        Outcome = "outcome", "Outcome";
        Access = "access", "Access site";
        Haematoma = "haematoma", "Haematoma";
        Neurology = "neurology", "Neurological deficit";
        Reaction = "reaction", "Reaction to a drug or contrast";
        Device = "device", "Device";
        Embolism = "embolism", "Air and other emboli";
        Aorta = "aorta", "Dissection into the aorta";
    }
);

/// How an input is written, so that a form can be made from it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    /// Yes, no or not known.
    Answer,
    /// One word of a closed list.
    OneOf(&'static [Word]),
    /// A TIMI flow grade, 0 to 3.
    Flow,
    /// A time from time zero.
    Offset,
    /// A number with one of these units; the first is usual. One unit: it may be left out.
    Quantity(&'static [&'static str]),
    /// Laboratory values over time.
    Series(&'static [&'static str]),
}

/// One input of a definition.
#[derive(Debug, Clone, Copy)]
pub struct Input {
    /// What it is asked together with.
    pub family: Family,
    /// Its name within the family, also the name of the field.
    pub slug: &'static str,
    /// What it is, as it stands in the middle of a sentence.
    pub label: &'static str,
    /// What exactly is asked.
    pub help: &'static str,
    /// How it is written.
    pub kind: Kind,
}

impl PartialEq for Input {
    /// An input is its family and its slug.
    fn eq(&self, other: &Self) -> bool {
        (self.family, self.slug) == (other.family, other.slug)
    }
}

impl Eq for Input {}

/// An input with what is recorded for it.
#[derive(Debug, Clone, PartialEq)]
pub struct Seen<T> {
    /// The input.
    pub input: &'static Input,
    /// What is recorded.
    pub value: T,
}

/// A value that one input can hold, written as text.
pub trait FactValue: Clone + PartialEq {
    /// How it is written.
    const KIND: Kind;
    /// Reads what a person types.
    ///
    /// # Errors
    /// A sentence that says what is allowed.
    fn read(text: &str) -> Result<Self, QuantityError>;
    /// Writes it so that it reads back.
    fn write(&self) -> String;
    /// Writes it for a sentence.
    fn say(&self) -> String {
        self.write()
    }
}

/// The place for a value that may be missing.
pub trait Slot: Clone + PartialEq + Default {
    /// How it is written.
    const KIND: Kind;
    /// Whether nothing is recorded.
    fn is_empty(&self) -> bool;
    /// What is recorded; empty for nothing.
    fn text(&self) -> String;
    /// Reads what a person types; a blank text empties the place.
    ///
    /// # Errors
    /// A sentence that says what is allowed.
    fn read(text: &str) -> Result<Self, QuantityError>;
}

impl<T: FactValue> Slot for Option<T> {
    const KIND: Kind = T::KIND;
    fn is_empty(&self) -> bool {
        self.is_none()
    }
    fn text(&self) -> String {
        self.as_ref().map(T::write).unwrap_or_default()
    }
    fn read(text: &str) -> Result<Self, QuantityError> {
        if text.trim().is_empty() { Ok(None) } else { T::read(text).map(Some) }
    }
}

impl Slot for Answer {
    const KIND: Kind = Kind::Answer;
    fn is_empty(&self) -> bool {
        self.is_unknown()
    }
    fn text(&self) -> String {
        if self.is_unknown() { String::new() } else { self.slug().to_owned() }
    }
    fn read(text: &str) -> Result<Self, QuantityError> {
        if text.trim().is_empty() { Ok(Self::Unknown) } else { text.parse() }
    }
}

/// Whether a place holds nothing, for leaving it out of a file.
pub(super) fn is_empty<S: Slot>(slot: &S) -> bool {
    slot.is_empty()
}

impl<U: Unit> FactValue for Measured<U> {
    const KIND: Kind = Kind::Quantity(U::SYMBOLS);
    fn read(text: &str) -> Result<Self, QuantityError> {
        text.parse()
    }
    fn write(&self) -> String {
        self.text()
    }
}

impl FactValue for TimiFlow {
    const KIND: Kind = Kind::Flow;
    fn read(text: &str) -> Result<Self, QuantityError> {
        text.parse()
    }
    fn write(&self) -> String {
        self.grade().to_string()
    }
    fn say(&self) -> String {
        self.to_string()
    }
}

impl FactValue for Offset {
    const KIND: Kind = Kind::Offset;
    fn read(text: &str) -> Result<Self, QuantityError> {
        text.parse()
    }
    fn write(&self) -> String {
        self.to_file_text()
    }
    fn say(&self) -> String {
        self.to_string()
    }
}
