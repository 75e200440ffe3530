//! What a suspicion says.

use std::ops::Range;

/// What sort of identifier a text may hold: Safe Harbor's list (45 CFR 164.514(b)(2)), cut so that
/// each sort has its own replacement.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Kind {
    /// A person's name.
    Name,
    /// A person's initials.
    Initials,
    /// A day, or a month with its year.
    Date,
    /// A time of day. No element of Safe Harbor alone; with a log it finds the case.
    ClockTime,
    /// A day of the week.
    Weekday,
    /// A month without a year.
    Month,
    /// An age of 90 or more.
    AgeAbove89,
    /// A telephone, fax or pager number.
    Phone,
    /// An e-mail address.
    Email,
    /// A web address.
    Url,
    /// A network address.
    IpAddress,
    /// A street address or a postcode.
    Address,
    /// A ward, bed or room, or a town.
    Location,
    /// A hospital by its name.
    Hospital,
    /// A number that a register gives to a person: medical record, insurance, social security.
    RecordNumber,
    /// The number of an examination, a sample or a series of pictures.
    Accession,
    /// The serial, lot or unique number of a device.
    DeviceIdentifier,
}

impl Kind {
    /// The kind as a person reads it.
    #[must_use]
    pub const fn label(self) -> &'static str {
        match self {
            Self::Name => "Name",
            Self::Initials => "Initials",
            Self::Date => "Date",
            Self::ClockTime => "Clock time",
            Self::Weekday => "Day of the week",
            Self::Month => "Month",
            Self::AgeAbove89 => "Age above 89",
            Self::Phone => "Telephone",
            Self::Email => "E-mail",
            Self::Url => "Web address",
            Self::IpAddress => "Network address",
            Self::Address => "Address",
            Self::Location => "Place",
            Self::Hospital => "Hospital",
            Self::RecordNumber => "Record number",
            Self::Accession => "Examination number",
            Self::DeviceIdentifier => "Device number",
        }
    }

    /// Why it is suspected, a sentence.
    const fn why(self) -> &'static str {
        match self {
            Self::Name => "This reads like the name of a person.",
            Self::Initials => "Initials tell those who know the people who it was.",
            Self::Date => "A date tied to a person identifies; the year alone may stay.",
            Self::ClockTime => "A time of day leads back to the case in any log of that day.",
            Self::Weekday => "A day of the week narrows a case down in a small department.",
            Self::Month => "A month narrows a case down; the case keeps its month apart from the text.",
            Self::AgeAbove89 => "Few people reach 90, so an age above 89 identifies.",
            Self::Phone => "This reads like a number that reaches a person.",
            Self::Email => "An e-mail address names a person.",
            Self::Url => "A web address may lead to a record.",
            Self::IpAddress => "A network address leads to a device and its user.",
            Self::Address => "This reads like a street address or a postcode.",
            Self::Location => "A place smaller than a state narrows down who it was.",
            Self::Hospital => "This reads like the name of a hospital.",
            Self::RecordNumber => "A number from a register leads straight to one person.",
            Self::Accession => "The number of an examination leads to the person's pictures or samples.",
            Self::DeviceIdentifier => {
                "The number of a device is kept in the register of the person who carries it."
            }
        }
    }

    /// What could stand there instead.
    const fn instead(self) -> &'static str {
        match self {
            Self::Name => "the role: the operator, the patient, the patient's wife",
            Self::Initials => "the role: the operator, the nurse, the patient",
            Self::Date => "a day counted from the procedure, such as day 3 after PCI",
            Self::ClockTime => "a time from time zero, such as +12 min",
            Self::Weekday => "on a weekday, at the weekend, or out of hours",
            Self::Month => "leave it out, or count: two months before",
            Self::AgeAbove89 => "90 or older",
            Self::Phone => "leave it out, or say whose: the on-call number",
            Self::Email => "leave it out, or say whose: the referrer's address",
            Self::Url => "leave it out, or name the publication",
            Self::IpAddress => "leave it out, or say what: the imaging console",
            Self::Address => "leave it out, or say what matters: 40 minutes away by road",
            Self::Location => "what sort of place: the ward, a monitored bed, another town",
            Self::Hospital => "the referring hospital, another hospital, this department",
            Self::RecordNumber => "leave it out: the case has its own code",
            Self::Accession => "what it was: the first angiogram, the second sample",
            Self::DeviceIdentifier => "the sort and size of the device, without its number",
        }
    }
}

/// How sure a suspicion is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Confidence {
    /// The form or the words beside it leave little else.
    High,
    /// It may well be something else, or identifies only beside other things.
    Low,
}

/// A place in a text that may identify a person.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Suspicion {
    /// What it may be.
    pub kind: Kind,
    /// Where it is, in bytes; both ends lie between characters.
    pub span: Range<usize>,
    /// How sure that is.
    pub confidence: Confidence,
    /// Why it is suspected, a sentence.
    pub why: String,
    /// What could stand there instead: words to put in, or a hint.
    pub instead: String,
    /// Words that can take its place as they are, where there are such: `90 or older`.
    pub put: Option<String>,
}

impl Suspicion {
    /// A suspicion with the kind's own words.
    pub(super) fn new(kind: Kind, span: Range<usize>, confidence: Confidence) -> Self {
        Self {
            kind,
            span,
            confidence,
            why: kind.why().to_owned(),
            instead: kind.instead().to_owned(),
            put: None,
        }
    }
}
