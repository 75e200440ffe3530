//! What is known of a word, looked up once: the lists it stands on.

use std::collections::HashMap;
use std::sync::LazyLock;

use super::lists;

/// A list of words.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[repr(u8)]
pub(super) enum Class {
    Title,
    RoleTitle,
    Relation,
    Role,
    Person,
    PersonVerb,
    SpeakingVerb,
    DoneToPerson,
    Given,
    GivenOrWord,
    SurnameOrWord,
    Eponym,
    Trade,
    Abbreviation,
    Month,
    ShortMonth,
    ForeignMonth,
    Weekday,
    Unit,
    Street,
    StreetBefore,
    Hospital,
    HospitalBefore,
    GenericHospital,
    GenericWard,
    AfterWard,
    /// A word of everyday English.
    Common,
}

/// The lists that a word stands on.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub(super) struct Classes(u32);

impl Classes {
    /// The lists of a word in small letters.
    pub(super) fn of(lower: &str) -> Self {
        LEXICON.get(lower).copied().unwrap_or_default()
    }

    pub(super) const fn has(self, class: Class) -> bool {
        self.0 & (1 << class as u8) != 0
    }
}

const LISTS: [(Class, &str); 26] = [
    (Class::Title, lists::TITLES),
    (Class::RoleTitle, lists::ROLE_TITLES),
    (Class::Relation, lists::RELATIONS),
    (Class::Role, lists::ROLES),
    (Class::Person, lists::PERSONS),
    (Class::PersonVerb, lists::PERSON_VERBS),
    (Class::SpeakingVerb, lists::SPEAKING_VERBS),
    (Class::DoneToPerson, lists::DONE_TO_PERSONS),
    (Class::Given, lists::GIVEN_NAMES),
    (Class::GivenOrWord, lists::NAMES_AND_WORDS),
    (Class::SurnameOrWord, lists::SURNAMES_AND_WORDS),
    (Class::Eponym, lists::EPONYMS),
    (Class::Trade, lists::TRADE_WORDS),
    (Class::Abbreviation, lists::ABBREVIATIONS),
    (Class::Month, lists::MONTHS),
    (Class::ShortMonth, lists::SHORT_MONTHS),
    (Class::ForeignMonth, lists::FOREIGN_MONTHS),
    (Class::Weekday, lists::WEEKDAYS),
    (Class::Unit, lists::UNITS),
    (Class::Street, lists::STREETS),
    (Class::StreetBefore, lists::STREETS_BEFORE),
    (Class::Hospital, lists::HOSPITAL_WORDS),
    (Class::HospitalBefore, lists::HOSPITALS_BEFORE),
    (Class::GenericHospital, lists::GENERIC_HOSPITALS),
    (Class::GenericWard, lists::GENERIC_WARDS),
    (Class::AfterWard, lists::AFTER_WARD),
];

/// All words of all lists. Made at the first look, which takes some milliseconds, and kept.
static LEXICON: LazyLock<HashMap<&'static str, Classes>> = LazyLock::new(|| {
    let common = lists::COMMON_WORDS.lines().filter(|line| !line.starts_with('#'));
    let common = common.flat_map(|line| line.split(' ').map(|word| (Class::Common, word)));
    let listed = LISTS.iter().flat_map(|(class, words)| words.split(' ').map(|word| (*class, word)));
    let mut lexicon: HashMap<&'static str, Classes> = HashMap::with_capacity(48_000);
    for (class, word) in common.chain(listed) {
        lexicon.entry(word).or_default().0 |= 1 << class as u8;
    }
    lexicon
});
