//! What a suspicion says.

use std::ops::Range;

/// What sort of identifier a text may hold: Safe Harbor's list (45 CFR 164.514(b)(2)), cut so that
/// each sort has its own replacement. Biometrics and pictures of faces are in no text.
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
    /// The name of an account in a social network.
    Handle,
    /// The address of a device in a network: IP or MAC.
    IpAddress,
    /// A street address or a postcode.
    Address,
    /// A ward, bed or room, or a town.
    Location,
    /// A place on the map, in degrees.
    Coordinates,
    /// A hospital by its name.
    Hospital,
    /// A number that a register gives to a person: medical record, insurance, social security.
    RecordNumber,
    /// The number of an examination, a sample or a series of pictures.
    Accession,
    /// The serial, lot or unique number of a device.
    DeviceIdentifier,
    /// The number of a bank account or of a card.
    Account,
    /// The number of a certificate, a licence or a professional registration.
    Licence,
    /// The plate or the number of a vehicle.
    Vehicle,
    /// Any other code that stands for one person or one case.
    UniqueCode,
}

impl Kind {
    /// Every kind, in the order in which they are listed to a person.
    pub const ALL: [Self; 23] = [
        Self::Name,
        Self::Initials,
        Self::Date,
        Self::ClockTime,
        Self::Weekday,
        Self::Month,
        Self::AgeAbove89,
        Self::Phone,
        Self::Email,
        Self::Url,
        Self::Handle,
        Self::IpAddress,
        Self::Address,
        Self::Location,
        Self::Coordinates,
        Self::Hospital,
        Self::RecordNumber,
        Self::Accession,
        Self::DeviceIdentifier,
        Self::Account,
        Self::Licence,
        Self::Vehicle,
        Self::UniqueCode,
    ];

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
            Self::Handle => "Social network",
            Self::IpAddress => "Network address",
            Self::Address => "Address",
            Self::Location => "Place",
            Self::Coordinates => "Coordinates",
            Self::Hospital => "Hospital",
            Self::RecordNumber => "Record number",
            Self::Accession => "Examination number",
            Self::DeviceIdentifier => "Device number",
            Self::Account => "Account number",
            Self::Licence => "Licence number",
            Self::Vehicle => "Vehicle",
            Self::UniqueCode => "Unique code",
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
            Self::Handle => "The name of an account in a social network leads to a person.",
            Self::IpAddress => "A network address leads to a device and its user.",
            Self::Address => "This reads like a street address or a postcode.",
            Self::Location => "A place smaller than a state narrows down who it was.",
            Self::Coordinates => "Coordinates point at a house.",
            Self::Hospital => "This reads like the name of a hospital.",
            Self::RecordNumber => "A number from a register leads straight to one person.",
            Self::Accession => "The number of an examination leads to the person's pictures or samples.",
            Self::DeviceIdentifier => {
                "The number of a device is kept in the register of the person who carries it."
            }
            Self::Account => "The number of an account or a card belongs to one person.",
            Self::Licence => "The number of a licence or registration names its holder in a public register.",
            Self::Vehicle => {
                "The number of a vehicle leads to its owner, or to the crew that brought the patient."
            }
            Self::UniqueCode => "This reads like a code that stands for one person or one case.",
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
            Self::Handle => "leave it out, or say whose: the patient's account",
            Self::IpAddress => "leave it out, or say what: the imaging console",
            Self::Address => "leave it out, or say what matters: 40 minutes away by road",
            Self::Location => "what sort of place: the ward, a monitored bed, another town",
            Self::Coordinates => "leave it out, or say what matters: 40 minutes away by road",
            Self::Hospital => "the referring hospital, another hospital, this department",
            Self::RecordNumber => "leave it out: the case has its own code",
            Self::Accession => "what it was: the first angiogram, the second sample",
            Self::DeviceIdentifier => "the sort and size of the device, without its number",
            Self::Account => "leave it out",
            Self::Licence => "leave it out, or say the role: the operator",
            Self::Vehicle => "what it was: the ambulance, the patient's car",
            Self::UniqueCode => "leave it out: the case has its own code",
        }
    }

    /// Words that can take its place in most sentences.
    const fn put(self) -> Option<&'static str> {
        match self {
            Self::AgeAbove89 => Some("90 or older"),
            Self::Phone => Some("the telephone number"),
            Self::Email => Some("an e-mail address"),
            Self::Url => Some("a web page"),
            Self::Handle => Some("an account"),
            Self::IpAddress => Some("a network address"),
            Self::Address => Some("an address"),
            Self::Coordinates => Some("a place"),
            Self::RecordNumber => Some("the record number"),
            Self::Accession => Some("the examination number"),
            Self::DeviceIdentifier => Some("the device number"),
            Self::Account => Some("the account number"),
            Self::Licence => Some("the registration number"),
            Self::Vehicle => Some("the vehicle"),
            Self::UniqueCode => Some("a code"),
            Self::Name
            | Self::Initials
            | Self::Date
            | Self::ClockTime
            | Self::Weekday
            | Self::Month
            | Self::Location
            | Self::Hospital => None,
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
            put: kind.put().map(str::to_owned),
        }
    }

    /// The same with other words that can take its place.
    pub(super) fn with_put(self, put: Option<String>) -> Self {
        Self { put, ..self }
    }
}
