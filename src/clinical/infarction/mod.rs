//! Infarction and injury around the procedure, by four definitions side by side.
//!
//! They share one reading of a biomarker: [`Course`] holds the baseline, whether an elevated one was
//! stable or falling, and the peak within 48 h.

pub mod arc2;
mod course;
pub mod injury;
pub mod scai;
pub mod universal;

use course::{By, Course};

use super::facts::{Facts, LabFacts};
use super::look::{self, Look};
use super::quantities::{CkMbUnit, TroponinUnit};

/// The course of troponin, with what was looked at noted.
fn troponin(facts: &Facts, look: &mut Look) -> Course<TroponinUnit> {
    let inputs = course::Inputs {
        before: &LabFacts::TROPONIN_BEFORE,
        trend: &LabFacts::TROPONIN_TREND,
        after: &LabFacts::TROPONIN_AFTER,
    };
    Course::read(&facts.labs.troponin, &facts.procedure, inputs, look)
}

/// The clause of a troponin that did not rise by more than 20 % from an elevated baseline.
fn too_small_a_rise(course: &Course<TroponinUnit>) -> String {
    let change = course.change_in_words("troponin", By::Percent);
    if course.has_risen() {
        look::write(format_args!("{change} from an elevated baseline, not above 20 %"))
    } else {
        look::write(format_args!("{change}, after an elevated baseline"))
    }
}

/// The course of CK-MB, with what was looked at noted.
fn ck_mb(facts: &Facts, look: &mut Look) -> Course<CkMbUnit> {
    let inputs = course::Inputs {
        before: &LabFacts::CK_MB_BEFORE,
        trend: &LabFacts::CK_MB_TREND,
        after: &LabFacts::CK_MB_AFTER,
    };
    Course::read(&facts.labs.ck_mb, &facts.procedure, inputs, look)
}
