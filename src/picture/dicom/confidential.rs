//! Which attributes identify somebody: the basic application level confidentiality profile of PS3.15.

use std::collections::BTreeMap;
use std::sync::LazyLock;

use dicom_core::Tag;

const TABLE: &str = include_str!("confidential.tsv");

/// A row of the profile.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Attribute {
    /// The tag; in the three ranges `x` stands for any digit: `00100010`, `60xx3000`.
    pub tag: &'static str,
    /// The standard's name.
    pub name: &'static str,
    /// The value representation.
    pub representation: &'static str,
    /// What the basic profile does with it.
    pub action: &'static str,
}

/// The rows of the basic profile.
pub fn basic_profile() -> impl Iterator<Item = Attribute> {
    TABLE.lines().filter(|line| !line.starts_with('#')).filter_map(|line| {
        let mut cells = line.split('\t');
        Some(Attribute {
            tag: cells.next()?,
            name: cells.next()?,
            representation: cells.next()?,
            action: cells.next()?,
        })
    })
}

static BY_TAG: LazyLock<BTreeMap<Tag, Attribute>> = LazyLock::new(|| {
    basic_profile()
        .filter_map(|row| {
            let number = u32::from_str_radix(row.tag, 16).ok()?;
            let half = |number: u32| u16::try_from(number & 0xffff).ok();
            Some((Tag(half(number >> 16)?, half(number)?), row))
        })
        .collect()
});

/// The row of an attribute; of the ranges, the row of the range.
fn row_of(tag: Tag) -> Option<Attribute> {
    let pattern = match tag {
        Tag(group, _) if group >> 8 == 0x50 => "50xxxxxx",
        Tag(group, 0x3000) if group >> 8 == 0x60 => "60xx3000",
        Tag(group, 0x4000) if group >> 8 == 0x60 => "60xx4000",
        tag => return BY_TAG.get(&tag).copied(),
    };
    basic_profile().find(|row| row.tag == pattern)
}

/// What an attribute tells, as far as its group and representation say.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Sort {
    /// The patient: group 0010.
    Patient,
    /// A person.
    Person,
    /// A date or a time.
    Time,
    /// A number that no other file has.
    Number,
    /// Anything else: places, devices, descriptions.
    Other,
}

impl Sort {
    fn of(tag: Tag, row: &Attribute) -> Self {
        match (tag.0, row.representation) {
            (0x0010, _) => Self::Patient,
            (_, "PN") => Self::Person,
            (_, "DA" | "DT" | "TM") => Self::Time,
            (_, "UI") => Self::Number,
            _ => Self::Other,
        }
    }

    /// What such attributes tell.
    #[must_use]
    pub const fn label(self) -> &'static str {
        match self {
            Self::Patient => "The patient",
            Self::Person => "People",
            Self::Time => "Dates and times",
            Self::Number => "Numbers of this study alone",
            Self::Other => "Places, devices, descriptions",
        }
    }
}

/// An attribute that identifies somebody, and that a file held with a value. The value is not here: who adds a
/// picture knows the patient, and a page with the value would be one more place that shows it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Held {
    /// What it tells.
    pub sort: Sort,
    /// The standard's name.
    pub name: &'static str,
}

/// What was seen on the way through a file.
#[derive(Debug, Default)]
pub(super) struct Seen {
    held: Vec<Held>,
    private: usize,
}

impl Seen {
    /// An attribute with a value, at any depth.
    pub(super) fn note(&mut self, tag: Tag) {
        if tag.0 % 2 == 1 {
            self.private += 1;
        } else if let Some(row) = row_of(tag) {
            let held = Held { sort: Sort::of(tag, &row), name: row.name };
            if !self.held.contains(&held) {
                self.held.push(held);
            }
        }
    }

    pub(super) fn held(&self) -> Vec<Held> {
        let mut held = self.held.clone();
        held.sort();
        held
    }

    pub(super) fn private(&self) -> usize {
        self.private
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_row_of_the_profile_can_be_read() {
        let rows: Vec<Attribute> = basic_profile().collect();
        assert_eq!(rows.len(), TABLE.lines().filter(|line| !line.starts_with('#')).count());
        assert_eq!(BY_TAG.len(), rows.len() - 3, "all but the three ranges are tags, each once");
        assert!(rows.iter().all(|row| !row.name.is_empty() && row.representation.len() == 2));
    }

    /// PS3.15 Table E.1-1: rows that every edition since 2011 has (from memory).
    #[test]
    fn the_profile_holds_what_every_edition_has() {
        for (tag, name) in [
            (Tag(0x0010, 0x0010), "Patient's Name"),
            (Tag(0x0010, 0x0020), "Patient ID"),
            (Tag(0x0010, 0x0030), "Patient's Birth Date"),
            (Tag(0x0008, 0x0050), "Accession Number"),
            (Tag(0x0008, 0x0080), "Institution Name"),
            (Tag(0x0008, 0x0090), "Referring Physician's Name"),
            (Tag(0x0008, 0x1050), "Performing Physician's Name"),
            (Tag(0x0018, 0x1000), "Device Serial Number"),
            (Tag(0x0020, 0x000d), "Study Instance UID"),
            (Tag(0x6002, 0x3000), "Overlay Data"),
            (Tag(0x5004, 0x3000), "Curve Data"),
        ] {
            assert_eq!(row_of(tag).map(|row| row.name), Some(name), "{tag}");
        }
        assert_eq!(row_of(Tag(0x0028, 0x0010)), None, "the number of rows identifies nobody");
    }
}
