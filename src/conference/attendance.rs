//! Who came to a meeting: how many of each role, and never who.

use std::collections::BTreeMap;
use std::fmt;

use serde::{Serialize, Serializer};

use crate::quantity::words;

words!(
    /// A group of people who come to a conference.
    Attendee, "a group of people", {
        Interventional = "interventional-cardiologists", "Interventional cardiologists";
        Cardiologist = "other-cardiologists", "Other cardiologists";
        Fellow = "fellows", "Fellows and trainees";
        Surgeon = "surgeons", "Surgeons";
        Anaesthetist = "anaesthetists", "Anaesthetists and intensivists";
        Nurse = "nurses", "Nurses";
        Radiographer = "radiographers", "Radiographers and technologists";
        Pharmacist = "pharmacists", "Pharmacists";
        Quality = "quality", "Quality and safety";
        Student = "students", "Students";
        Other = "others", "Others";
    }
);

/// How many people of a group came, 1 to 500.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct People(u16);

/// Not a number of people.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[error("How many came is a whole number from 0 to 500, or nothing for none.")]
pub struct PeopleError;

impl People {
    /// The number.
    #[must_use]
    pub const fn get(self) -> u32 {
        self.0 as u32
    }

    /// The number that was typed; `None` for nobody.
    ///
    /// # Errors
    /// When it is no whole number from 0 to 500.
    pub fn read(text: &str) -> Result<Option<Self>, PeopleError> {
        let text = text.trim();
        // A plus sign would be read, too.
        if !text.bytes().all(|b| b.is_ascii_digit()) {
            return Err(PeopleError);
        }
        if text.is_empty() {
            return Ok(None);
        }
        match text.parse::<i64>().map_err(|_| PeopleError)? {
            0 => Ok(None),
            number => Self::try_from(number).map(Some),
        }
    }
}

impl TryFrom<i64> for People {
    type Error = PeopleError;
    fn try_from(number: i64) -> Result<Self, PeopleError> {
        match u16::try_from(number) {
            Ok(number @ 1..=500) => Ok(Self(number)),
            _ => Err(PeopleError),
        }
    }
}

impl fmt::Display for People {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.fmt(f)
    }
}

impl Serialize for People {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_u16(self.0)
    }
}

/// How many of each group came; a group of which nobody came is absent.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize)]
pub struct Attendance(BTreeMap<Attendee, People>);

impl Attendance {
    /// The groups that came, in the order of the list.
    pub fn groups(&self) -> impl Iterator<Item = (Attendee, People)> {
        self.0.iter().map(|(group, people)| (*group, *people))
    }

    /// Everybody together.
    fn total(&self) -> u32 {
        self.0.values().map(|people| people.get()).sum()
    }

    /// Whether nobody is counted.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    /// `Fellows and trainees: 4; Nurses: 3`; empty when nobody is counted.
    #[must_use]
    pub fn in_words(&self) -> String {
        let groups: Vec<String> =
            self.groups().map(|(group, people)| format!("{}: {people}", group.label())).collect();
        groups.join("; ")
    }

    /// `14 people`, `1 person`.
    #[must_use]
    pub fn total_in_words(&self) -> String {
        match self.total() {
            1 => "1 person".to_owned(),
            total => format!("{total} people"),
        }
    }
}

impl FromIterator<(Attendee, People)> for Attendance {
    fn from_iter<I: IntoIterator<Item = (Attendee, People)>>(groups: I) -> Self {
        Self(groups.into_iter().collect())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn how_many_came_is_a_whole_number_and_nobody_is_nothing() {
        assert_eq!(People::read(" 4 ").unwrap().map(People::get), Some(4));
        assert_eq!(People::read("500").unwrap().map(People::get), Some(500));
        for none in ["", "  ", "0", "00"] {
            assert_eq!(People::read(none), Ok(None), "{none}");
        }
        for bad in ["-1", "501", "four", "2.5", "+3", "99999", "1 2"] {
            assert_eq!(People::read(bad), Err(PeopleError), "{bad}");
        }
        for bad in [i64::MIN, -1, 0, 501, 65_536 + 3] {
            assert_eq!(People::try_from(bad), Err(PeopleError), "{bad}");
        }
    }

    #[test]
    fn groups_come_in_the_order_of_the_list_with_their_sum() {
        let people = |number: i64| People::try_from(number).unwrap();
        let came: Attendance =
            [(Attendee::Nurse, people(3)), (Attendee::Interventional, people(4))].into_iter().collect();
        let groups: Vec<Attendee> = came.groups().map(|(group, _)| group).collect();
        assert_eq!(groups, [Attendee::Interventional, Attendee::Nurse]);
        assert_eq!(came.total_in_words(), "7 people");
        assert_eq!(came.in_words(), "Interventional cardiologists: 4; Nurses: 3");
        assert_eq!(Attendance::default().total(), 0);
    }
}
