//! How a length of time is written.

use std::fmt;

/// A length of time in words: the number, and its unit, which is empty when the number names two
/// units itself.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DurationWords {
    /// The number, such as `38`, or a text such as `2 h 5 min`.
    pub number: String,
    /// `s`, `min`, `h` or `d`; empty when the number names its units.
    pub unit: &'static str,
}

impl DurationWords {
    /// Seconds below a minute, minutes and seconds below ten, whole minutes below two hours, then
    /// hours and minutes, and from two days on days and hours. Rounded half up.
    #[must_use]
    pub fn of(seconds: i64) -> Self {
        let one = |number: i64, unit| Self { number: number.to_string(), unit };
        let two = |large: i64, unit: &'static str, small: i64, small_unit: &str| {
            if small == 0 {
                one(large, unit)
            } else {
                Self { number: format!("{large} {unit} {small} {small_unit}"), unit: "" }
            }
        };
        let minutes = (seconds + 30).div_euclid(60);
        let hours = (seconds + 1800).div_euclid(3600);
        if seconds < 60 {
            one(seconds, "s")
        } else if seconds < 600 {
            two(seconds / 60, "min", seconds % 60, "s")
        } else if minutes < 120 {
            one(minutes, "min")
        } else if hours < 48 {
            two(minutes / 60, "h", minutes % 60, "min")
        } else {
            two(hours / 24, "d", hours % 24, "h")
        }
    }
}

impl fmt::Display for DurationWords {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.unit.is_empty() {
            f.write_str(&self.number)
        } else {
            write!(f, "{} {}", self.number, self.unit)
        }
    }
}
