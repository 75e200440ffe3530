//! Kidney, contrast and radiation.

use super::set::facts;
use crate::clinical::answer::Answer;
use crate::clinical::quantities::{Clearance, Dose, Egfr, FluoroscopyTime, KermaArea, Span, Volume};

facts!(
    /// What is known about the kidneys besides creatinine, and how much contrast was given.
    KidneyFacts of Kidney {
        /// Whether renal replacement was started after the procedure.
        replacement REPLACEMENT: Answer = "whether renal replacement was started";
        /// How long urine stayed below 0.5 mL/kg/h.
        urine_below_half URINE_BELOW_HALF: Option<Span> = "time with urine below 0.5 mL/kg/h";
        /// How long urine stayed below 0.3 mL/kg/h.
        urine_below_third URINE_BELOW_THIRD: Option<Span> = "time with urine below 0.3 mL/kg/h";
        /// How long there was no urine.
        anuria ANURIA: Option<Span> = "time without urine";
        /// Contrast given in the procedure.
        contrast CONTRAST: Option<Volume> = "contrast volume";
        /// Creatinine clearance by Cockcroft and Gault, as recorded; computed when left out.
        clearance CLEARANCE: Option<Clearance> = "creatinine clearance";
        /// eGFR before the procedure, as recorded; computed when left out.
        egfr EGFR: Option<Egfr> = "eGFR before the procedure";
        /// Whether something other than contrast explains a rise of creatinine.
        other_cause OTHER_CAUSE: Answer = "another cause of the rise in creatinine";
    }
);

facts!(
    /// Radiation of the procedure, as the equipment shows it.
    RadiationFacts of Radiation {
        /// Peak skin dose, where it was estimated.
        skin SKIN: Option<Dose> = "peak skin dose";
        /// Air kerma at the reference point.
        air_kerma AIR_KERMA: Option<Dose> = "air kerma at the reference point";
        /// Kerma-area product.
        kerma_area KERMA_AREA: Option<KermaArea> = "kerma-area product";
        /// Fluoroscopy time; a poor measure of dose.
        fluoroscopy FLUOROSCOPY: Option<FluoroscopyTime> = "fluoroscopy time";
    }
);
