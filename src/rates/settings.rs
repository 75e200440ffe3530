//! What a department sets for its rates.

use super::suppress::SmallestCount;

/// Declares a whole number that can be set, with its range and the value where nobody set one.
macro_rules! setting {
    ($(#[$meta:meta])* $name:ident, $least:literal..=$most:literal, usual $usual:literal, $problem:literal) => {
        $(#[$meta])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq)]
        pub struct $name(u32);

        impl $name {
            /// The value where nobody set one.
            pub const USUAL: Self = Self($usual);

            /// The number.
            #[must_use]
            pub const fn get(self) -> u32 {
                self.0
            }
        }

        impl std::str::FromStr for $name {
            type Err = &'static str;
            fn from_str(text: &str) -> Result<Self, Self::Err> {
                let text = text.trim();
                // A plus sign would be read, too.
                let digits = text.bytes().all(|b| b.is_ascii_digit());
                match text.parse() {
                    Ok(number @ $least..=$most) if digits => Ok(Self(number)),
                    _ => Err($problem),
                }
            }
        }

        impl std::fmt::Display for $name {
            fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
                self.0.fmt(f)
            }
        }
    };
}

setting!(
    /// The fewest procedures on each side of a comparison before and after an action. A hundred is
    /// usual (our own choice).
    FewestCompared, 1..=100_000, usual 100,
    "The fewest procedures to compare are a whole number from 1 to 100000."
);

setting!(
    /// How long a false alarm of a watch should take on average at the acceptable rate, in years at
    /// the present volume. Five are usual: with two watches, a false alarm every two and a half (our
    /// own choice).
    FalseAlarmYears, 1..=50, usual 5,
    "The years until a false alarm are a whole number from 1 to 50."
);

setting!(
    /// The fewest procedures of an operator who is shown. Fifty are usual; below twenty a rate says
    /// next to nothing (our own choice).
    FewestByOperator, 20..=10_000, usual 50,
    "The fewest procedures of an operator are a whole number from 20 to 10000."
);

setting!(
    /// How many cases at least share what is told of one of them, before it leaves the department: k. It is
    /// another question than [`SmallestCount`], which hides cells of a table of counts: here a case is told
    /// by several facts at once. Five is usual (common practice).
    SmallestGroup, 2..=20, usual 5,
    "How many cases look alike is a whole number from 2 to 20."
);

/// What a department sets for its rates; each has a value where nobody set one.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Settings {
    /// The smallest count that leaves the department.
    pub smallest: SmallestCount,
    /// How many cases at least share what is told of one of them.
    pub group: SmallestGroup,
    /// The fewest procedures on each side of a comparison before and after.
    pub fewest_compared: FewestCompared,
    /// How long a false alarm of a watch should take.
    pub false_alarm: FalseAlarmYears,
}

impl Default for Settings {
    fn default() -> Self {
        Self {
            smallest: SmallestCount::default(),
            group: SmallestGroup::USUAL,
            fewest_compared: FewestCompared::USUAL,
            false_alarm: FalseAlarmYears::USUAL,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_setting_is_a_whole_number_in_its_range() {
        assert_eq!(" 5 ".parse(), Ok(FalseAlarmYears::USUAL));
        assert_eq!("20".parse::<FewestByOperator>().map(FewestByOperator::get), Ok(20));
        for bad in ["0", "51", "x", "", "2.5", "+5", "-5", "99999999999"] {
            assert!(bad.parse::<FalseAlarmYears>().is_err(), "{bad}");
        }
        for bad in ["19", "10001"] {
            assert!(bad.parse::<FewestByOperator>().is_err(), "{bad}");
        }
    }
}
