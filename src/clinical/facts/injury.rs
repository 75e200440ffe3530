//! Tears and holes: dissection, perforation, dissection into the aorta.

use super::set::facts;
use crate::clinical::answer::Answer;
use crate::clinical::quantities::Millimetres;
use crate::clinical::words::words_as_facts;
use crate::quantity::words;

words!(
    /// A dissection type as judged by the operator.
    DissectionLetter, "a dissection type", {
        None = "none", "no dissection";
        A = "A", "type A";
        B = "B", "type B";
        C = "C", "type C";
        D = "D", "type D";
        E = "E", "type E";
        F = "F", "type F";
    }
);

words!(
    /// The look of a dissection on the angiogram.
    DissectionLook, "a look of dissection", {
        LumenLucency = "lumen-lucency", "lucency in the lumen";
        DoubleLumen = "double-lumen", "parallel tracts or double lumen";
        OutsideContrast = "outside-contrast", "contrast outside the lumen";
        Spiral = "spiral", "spiral lucency";
        FillingDefect = "filling-defect", "new, persistent filling defect";
        None = "none", "none of these";
    }
);

words!(
    /// A perforation type as judged by the operator.
    EllisType, "a perforation type", {
        I = "I", "Ellis I";
        II = "II", "Ellis II";
        III = "III", "Ellis III";
        CavitySpilling = "III-CS", "Ellis III, cavity spilling";
        V = "V", "type V, distal";
    }
);

words!(
    /// How far a tear at the ostium reaches.
    AorticReach, "a reach of a tear", {
        Cusp = "cusp", "the cusp only";
        Ascending = "ascending", "up the ascending aorta";
    }
);

words_as_facts!(DissectionLetter, DissectionLook, EllisType, AorticReach);

facts!(
    /// One coronary dissection.
    DissectionFacts of Dissection {
        /// The type as the operator judged it.
        judged JUDGED: Option<DissectionLetter> = "dissection type as judged";
        /// The look that fits best.
        look LOOK: Option<DissectionLook> = "look of the dissection";
        /// Whether contrast stayed after the rest had cleared.
        contrast_stays CONTRAST_STAYS: Answer = "whether contrast stayed";
        /// Whether flow was impaired or the vessel occluded.
        flow_impaired FLOW_IMPAIRED: Answer = "whether flow was impaired";
    }
);

facts!(
    /// One coronary perforation.
    PerforationFacts of Perforation {
        /// The type as the operator judged it.
        judged JUDGED: Option<EllisType> = "perforation type as judged";
        /// A crater outside the lumen.
        crater CRATER: Answer = "a crater outside the lumen";
        /// Pericardial or myocardial blush.
        blush BLUSH: Answer = "pericardial or myocardial blush";
        /// A jet through a frank hole.
        jet JET: Answer = "a jet of contrast";
        /// The width of the hole.
        hole HOLE: Option<Millimetres> = "width of the hole";
        /// Whether the hole opens into a chamber, coronary sinus, vein or other cavity.
        cavity CAVITY: Answer = "whether it opens into a cavity";
        /// Whether it lies distally, where a wire left the vessel.
        distal_wire DISTAL_WIRE: Answer = "whether it is a distal wire exit";
    }
);

facts!(
    /// A tear at a coronary ostium that reaches the aorta.
    AortaFacts of Aorta {
        /// How far it reaches.
        reach REACH: Option<AorticReach> = "how far the tear reaches";
        /// How far it reaches up the aorta.
        extent EXTENT: Option<Millimetres> = "extent up the aorta";
    }
);
