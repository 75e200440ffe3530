//! The ways to tell a fact, from as recorded to hidden.

use super::{CaseFacts, Fact};
use crate::case::{Access, Age, Month};
use crate::quantity::words;
use crate::vocabulary::Vocabulary;

words!(
    /// How exactly a fact is told.
    Way, "a way to tell it", {
        Exact = "exact", "As recorded";
        Quarter = "quarter", "Quarter";
        HalfYear = "half-year", "Half-year";
        Year = "year", "Year";
        FiveYears = "band5", "Bands of 5 years";
        TenYears = "band10", "Bands of 10 years";
        TwentyYears = "band20", "Bands of 20 years";
        Branch = "branch", "Branch of the tree";
        Vessel = "vessel", "Vessel";
        Limb = "limb", "Arm or groin";
        Hidden = "hidden", "Hidden";
    }
);

impl Fact {
    /// The ways to tell it, each at least as general as the one before.
    #[must_use]
    pub const fn ways(self) -> &'static [Way] {
        match self {
            Self::Month => &[Way::Exact, Way::Quarter, Way::HalfYear, Way::Year, Way::Hidden],
            Self::Age => &[Way::Exact, Way::FiveYears, Way::TenYears, Way::TwentyYears, Way::Hidden],
            Self::Sex | Self::Presentation => &[Way::Exact, Way::Hidden],
            Self::Mechanism => &[Way::Exact, Way::Branch, Way::Hidden],
            Self::Place => &[Way::Exact, Way::Vessel, Way::Hidden],
            Self::Access => &[Way::Exact, Way::Limb, Way::Hidden],
        }
    }

    /// How many times what is lost of it counts: a table of cases is for the mechanism, then for the place
    /// (our own choice).
    #[must_use]
    pub const fn worth(self) -> u32 {
        match self {
            Self::Mechanism => 3,
            Self::Place => 2,
            _ => 1,
        }
    }

    /// The way at a level; the most general beyond the last.
    #[must_use]
    pub fn way(self, level: usize) -> Way {
        self.ways().get(level).copied().unwrap_or(Way::Hidden)
    }

    /// The level of a way, when the fact has it.
    #[must_use]
    pub fn level(self, way: Way) -> Option<usize> {
        self.ways().iter().position(|own| *own == way)
    }
}

const UNKNOWN: &str = "not recorded";

/// What is told of a case.
pub(super) fn told(way: Way, fact: Fact, case: &CaseFacts, vocabulary: &Vocabulary) -> String {
    if way == Way::Hidden {
        return "any".to_owned();
    }
    let known = match fact {
        Fact::Month => Some(month(way, case.month)),
        Fact::Age => case.age.map(|value| age(way, value)),
        Fact::Sex => case.sex.map(|sex| sex.label().to_owned()),
        Fact::Mechanism => case.mechanism.as_ref().map(|slug| match way {
            Way::Branch => branch(slug, vocabulary),
            _ => vocabulary.mechanism_label(slug),
        }),
        Fact::Place => case.segment.map(|segment| match way {
            Way::Vessel => segment.vessel().label().to_owned(),
            _ => segment.label().to_owned(),
        }),
        Fact::Presentation => case.presentation.map(|presentation| presentation.label().to_owned()),
        Fact::Access => case.access.map(|access| match way {
            Way::Limb => if access == Access::Femoral { "Groin" } else { "Arm" }.to_owned(),
            _ => access.label().to_owned(),
        }),
    };
    known.unwrap_or_else(|| UNKNOWN.to_owned())
}

fn branch(slug: &crate::vocabulary::MechanismSlug, vocabulary: &Vocabulary) -> String {
    let branch = vocabulary.mechanism(slug).map(|leaf| leaf.branch.as_str());
    let found = branch.and_then(|own| vocabulary.mechanism_branches.iter().find(|branch| branch.slug == own));
    found.map_or_else(|| branch.unwrap_or(UNKNOWN).to_owned(), |branch| branch.label.clone())
}

fn month(way: Way, month: Month) -> String {
    let (year, of_year) = (month.year(), month.month());
    match way {
        Way::Quarter => {
            let quarter =
                ["first", "second", "third", "fourth"][usize::try_from((of_year - 1) / 3).unwrap_or(0)];
            format!("{year}, {quarter} quarter")
        }
        Way::HalfYear => format!("{year}, {} half", if of_year <= 6 { "first" } else { "second" }),
        Way::Year => year.to_string(),
        _ => month.in_words(),
    }
}

/// Ninety and older stay together at every level; the youngest band begins at 18.
fn age(way: Way, age: Age) -> String {
    let (years, width) = match (age, way) {
        (Age::NinetyOrOlder, _) => return age.to_string(),
        (Age::Years(years), Way::FiveYears) => (years, 5),
        (Age::Years(years), Way::TenYears) => (years, 10),
        (Age::Years(years), Way::TwentyYears) => (years, 20),
        (Age::Years(years), _) => return format!("{years} years"),
    };
    // Those of 18 and 19 would be a band of their own in bands of twenty.
    let low = if width == 20 && years < 40 { 18 } else { (years / width * width).max(18) };
    let high = (years / width * width + width - 1).min(89).max(if low == 18 && width == 20 { 39 } else { 0 });
    format!("{low} to {high} years")
}
