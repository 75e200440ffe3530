//! Side branches and bifurcations.

use super::set::facts;
use crate::clinical::quantities::{Millimetres, Percent};
use crate::clinical::words::words_as_facts;
use crate::quantity::TimiFlow;
use crate::quantity::words;

words!(
    /// The Medina class of a bifurcation lesion: proximal main, distal main, side branch.
    MedinaClass, "a Medina class", {
        C000 = "0,0,0", "0,0,0";
        C100 = "1,0,0", "1,0,0";
        C010 = "0,1,0", "0,1,0";
        C001 = "0,0,1", "0,0,1";
        C110 = "1,1,0", "1,1,0";
        C101 = "1,0,1", "1,0,1";
        C011 = "0,1,1", "0,1,1";
        C111 = "1,1,1", "1,1,1";
    }
);

impl MedinaClass {
    /// The class of three segments: proximal main, distal main, side branch.
    #[must_use]
    pub const fn of(proximal: bool, distal: bool, side: bool) -> Self {
        match (proximal, distal, side) {
            (false, false, false) => Self::C000,
            (true, false, false) => Self::C100,
            (false, true, false) => Self::C010,
            (false, false, true) => Self::C001,
            (true, true, false) => Self::C110,
            (true, false, true) => Self::C101,
            (false, true, true) => Self::C011,
            (true, true, true) => Self::C111,
        }
    }

    /// Whether the side branch and at least one main segment are narrowed.
    #[must_use]
    pub const fn is_true_bifurcation(self) -> bool {
        matches!(self, Self::C101 | Self::C011 | Self::C111)
    }
}

words_as_facts!(MedinaClass);

facts!(
    /// A side branch at a lesion that was treated.
    SideBranchFacts of SideBranch {
        /// TIMI flow in the branch before.
        before BEFORE: Option<TimiFlow> = "flow in the branch before";
        /// TIMI flow in the branch afterwards; 0 when it is no longer seen.
        after AFTER: Option<TimiFlow> = "flow in the branch afterwards";
        /// Diameter of the branch.
        diameter DIAMETER: Option<Millimetres> = "diameter of the branch";
    }
);

facts!(
    /// A bifurcation lesion.
    BifurcationFacts of Bifurcation {
        /// The class as the operator judged it.
        judged JUDGED: Option<MedinaClass> = "Medina class as judged";
        /// Stenosis of the proximal main vessel, percent of the diameter.
        proximal PROXIMAL: Option<Percent> = "stenosis of the proximal main vessel";
        /// Stenosis of the distal main vessel, percent of the diameter.
        distal DISTAL: Option<Percent> = "stenosis of the distal main vessel";
        /// Stenosis of the side branch, percent of the diameter.
        side SIDE: Option<Percent> = "stenosis of the side branch";
    }
);
