//! The Medina class of a bifurcation lesion.

use std::fmt;
use std::str::FromStr;

use serde::{Deserialize, Serialize};

use super::MeasureError;
use crate::quantity::serde_as_text;

/// Medina class of a bifurcation lesion: proximal main, distal main and side branch, 1 where the
/// diameter stenosis is 50 % or more.
///
/// # Source
/// Medina et al., Rev Esp Cardiol 2006;59:183 (from memory). (0,0,0) is no bifurcation lesion.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Medina([bool; 3]);

impl Medina {
    /// The seven classes.
    pub const ALL: [Self; 7] = [
        Self([true, true, true]),
        Self([true, true, false]),
        Self([true, false, true]),
        Self([false, true, true]),
        Self([true, false, false]),
        Self([false, true, false]),
        Self([false, false, true]),
    ];

    /// The class of three diameter stenoses in percent: proximal main, distal main, side branch;
    /// none when all are below 50 %, which is no bifurcation lesion.
    #[must_use]
    pub fn from_stenoses(percent: [u8; 3]) -> Option<Self> {
        let class = percent.map(|stenosis| stenosis >= 50);
        class.contains(&true).then_some(Self(class))
    }

    /// A true bifurcation has the side branch and at least one main segment narrowed.
    #[must_use]
    pub const fn is_true_bifurcation(self) -> bool {
        self.0[2] && (self.0[0] || self.0[1])
    }
}

impl fmt::Display for Medina {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let [a, b, c] = self.0.map(u8::from);
        write!(f, "{a},{b},{c}")
    }
}

impl FromStr for Medina {
    type Err = MeasureError;
    fn from_str(text: &str) -> Result<Self, Self::Err> {
        let text: String = text.chars().filter(|c| !c.is_whitespace()).collect();
        Self::ALL.into_iter().find(|class| class.to_string() == text).ok_or(MeasureError(
            "A Medina class is three digits, each 0 or 1, such as 1,1,1; 0,0,0 is no bifurcation lesion.",
        ))
    }
}

serde_as_text!(Medina, ToString::to_string, "Medina class", "^[01],[01],[01]$");
