//! Circulation, rhythm and pericardium.

use super::set::facts;
use crate::clinical::answer::Answer;
use crate::clinical::quantities::{Acidity, Count, HeartRate, Lactate, Pressure, Span};
use crate::clinical::words::words_as_facts;
use crate::quantity::words;

words!(
    /// A shock stage as a clinician judged it.
    ShockStage, "a shock stage", {
        A = "A", "A, at risk";
        B = "B", "B, beginning";
        C = "C", "C, classic";
        D = "D", "D, deteriorating";
        E = "E", "E, extremis";
    }
);

words_as_facts!(ShockStage);

facts!(
    /// The circulation at its worst.
    CirculationFacts of Circulation {
        /// The SCAI shock stage as a clinician judged it.
        judged JUDGED: Option<ShockStage> = "shock stage as judged";
        /// The lowest systolic pressure.
        systolic SYSTOLIC: Option<Pressure> = "lowest systolic pressure";
        /// The lowest mean pressure.
        mean MEAN: Option<Pressure> = "lowest mean pressure";
        /// How far the pressure fell from baseline.
        fall FALL: Option<Pressure> = "fall of the pressure from baseline";
        /// The fastest pulse.
        pulse PULSE: Option<HeartRate> = "fastest pulse";
        /// The highest lactate.
        lactate LACTATE: Option<Lactate> = "highest lactate";
        /// The lowest pH.
        acidity ACIDITY: Option<Acidity> = "lowest pH";
        /// Cold skin or another clinical sign that organs are not perfused.
        cold COLD: Answer = "clinical signs of hypoperfusion";
        /// Urine below 30 mL/h.
        low_urine LOW_URINE: Answer = "urine below 30 mL/h";
        /// How many vasoactive drugs ran at once.
        drugs DRUGS: Option<Count> = "number of vasoactive drugs";
        /// Whether a device supported the circulation.
        device DEVICE: Answer = "whether a device supported the circulation";
        /// Whether it got worse, or the first treatment failed.
        worsening WORSENING: Answer = "whether shock got worse or failed the first treatment";
        /// Arrest, going on or about to happen.
        arrest ARREST: Answer = "actual or impending arrest";
        /// Maximal support.
        maximal_support MAXIMAL_SUPPORT: Answer = "maximal support";
        /// Arrest with coma.
        coma COMA: Answer = "arrest with coma";
        /// How long systolic pressure stayed below 90 mmHg.
        low_for LOW_FOR: Option<Span> = "how long the pressure stayed low";
        /// Whether the pressure needed a drug or a device.
        pressure_support PRESSURE_SUPPORT: Answer = "whether the pressure needed support";
        /// Rales in the lower half of the lungs.
        rales RALES: Answer = "rales in the lower half of the lungs";
        /// A third heart sound.
        third_sound THIRD_SOUND: Answer = "a third heart sound";
        /// Pulmonary oedema.
        oedema OEDEMA: Answer = "pulmonary oedema";
        /// Whether pulse and pressure fell together, and atropine or fluid reversed it.
        vagal VAGAL: Answer = "a fall of pulse and pressure reversed by atropine or fluid";
    }
);

facts!(
    /// Rhythm and arrest.
    RhythmFacts of Rhythm {
        /// The slowest heart rate.
        slowest SLOWEST: Option<HeartRate> = "slowest heart rate";
        /// Whether a slow rhythm needed a drug or pacing.
        slow_treated SLOW_TREATED: Answer = "whether the slow rhythm needed a drug or pacing";
        /// Ventricular tachycardia or fibrillation.
        ventricular VENTRICULAR: Answer = "ventricular tachycardia or fibrillation";
        /// Whether that needed a shock or a drug.
        ventricular_treated VENTRICULAR_TREATED: Answer = "whether the ventricular rhythm needed a shock or a drug";
        /// Chest compressions.
        compressions COMPRESSIONS: Answer = "chest compressions";
        /// Defibrillation.
        defibrillation DEFIBRILLATION: Answer = "defibrillation";
    }
);

facts!(
    /// The pericardium.
    PericardiumFacts of Pericardium {
        /// Pericardial effusion.
        effusion EFFUSION: Answer = "a pericardial effusion";
        /// Whether it compromised filling or output.
        compromised COMPROMISED: Answer = "whether it compromised filling or output";
        /// Whether it needed drainage.
        drained DRAINED: Answer = "whether it needed drainage";
    }
);
