//! The words by which the finders tell a name from the language of the trade, each list as one text.

mod calendar;
mod given_names;
mod people;
mod places;
mod trade;

pub(super) use calendar::{FOREIGN_MONTHS, MONTHS, SHORT_MONTHS, UNITS, WEEKDAYS};
pub(super) use given_names::{GIVEN_NAMES, NAMES_AND_WORDS, SURNAMES_AND_WORDS};
pub(super) use people::{
    DONE_TO_PERSONS, PERSON_VERBS, PERSONS, RELATIONS, ROLE_TITLES, ROLES, SPEAKING_VERBS, TITLES,
};
pub(super) use places::{
    AFTER_WARD, GENERIC_HOSPITALS, GENERIC_WARDS, HOSPITAL_WORDS, HOSPITALS_BEFORE, STREETS, STREETS_BEFORE,
};
pub(super) use trade::{ABBREVIATIONS, EPONYMS, TRADE_WORDS, WORD_ENDINGS};

/// Words of everyday English, so that an unknown one stands out. Its source stands in the file.
pub(super) const COMMON_WORDS: &str = include_str!("common_words.txt");
