//! The quantities that the definitions compare, each with its units.
//!
//! A number keeps the unit it was entered in. Values in different units of one quantity are
//! compared exactly; a value is turned into another unit for show alone.

mod against;
mod change;
mod decimal;
mod measured;

pub use against::AgainstLimit;
pub use decimal::Decimal;
pub use measured::{Measured, Unit};

use measured::units;

units!(
    /// Creatinine in serum or plasma; 1 mg/dL is 88.42 µmol/L.
    CreatinineUnit, "Creatinine", over 100, whole false, {
        MicromolPerL = "µmol/L", 100, 8_000 to 2_700_000;
        MgPerDl = "mg/dL", 8_842, 100 to 30_000;
    }
);

units!(
    /// Haemoglobin; 1 g/dL is 10 g/L, 1 mmol/L is 1.611 g/dL (from memory).
    HaemoglobinUnit, "Haemoglobin", over 1_000, whole false, {
        GPerDl = "g/dL", 1_000, 2_000 to 25_000;
        GPerL = "g/L", 100, 20_000 to 250_000;
        MmolPerL = "mmol/L", 1_611, 1_200 to 15_500;
    }
);

units!(
    /// Cardiac troponin; 1 ng/mL is 1,000 ng/L.
    TroponinUnit, "Troponin", over 1, whole false, {
        NgPerL = "ng/L", 1, 0 to 1_000_000_000;
        PgPerMl = "pg/mL", 1, 0 to 1_000_000_000;
        NgPerMl = "ng/mL", 1_000, 0 to 1_000_000;
        MicrogPerL = "µg/L", 1_000, 0 to 1_000_000;
    }
);

units!(
    /// CK-MB by mass or by activity; the two do not turn into each other.
    CkMbUnit, "CK-MB", over 1, whole false, {
        NgPerMl = "ng/mL", 1, 0 to 100_000_000;
        MicrogPerL = "µg/L", 1, 0 to 100_000_000;
        UPerL = "U/L", 1, 0 to 100_000_000, kind 1;
    }
);

units!(
    /// Radiation dose: air kerma at the reference point, or dose to the skin; 1 Gy is 100 rad.
    DoseUnit, "Dose", over 1_000, whole false, {
        Gy = "Gy", 1_000, 0 to 100_000;
        MGy = "mGy", 1, 0 to 100_000_000;
        Rad = "rad", 10, 0 to 10_000_000;
    }
);

units!(
    /// Kerma-area product; 1 Gy·cm² is 100 µGy·m².
    KermaAreaUnit, "Kerma-area product", over 1_000, whole false, {
        GyCm2 = "Gy·cm²", 1_000, 0 to 5_000_000;
        MicroGyM2 = "µGy·m²", 10, 0 to 500_000_000;
        CGyCm2 = "cGy·cm²", 10, 0 to 500_000_000;
        DGyCm2 = "dGy·cm²", 100, 0 to 50_000_000;
        MGyCm2 = "mGy·cm²", 1, 0 to 5_000_000_000;
        GyM2 = "Gy·m²", 10_000_000, 0 to 500;
    }
);

units!(
    /// A length of time; a year counts as 365 days (our own convention).
    SpanUnit, "Time", over 1, whole false, {
        Minutes = "min", 1, 0 to 15_000_000_000;
        Hours = "h", 60, 0 to 250_000_000;
        Days = "d", 1_440, 0 to 11_000_000;
        Years = "y", 525_600, 0 to 30_000;
    }
);

units!(
    /// Fluoroscopy time.
    FluoroscopyUnit, "Fluoroscopy time", over 1, whole false, { Minutes = "min", 1, 0 to 1_000_000; }
);
units!(
    /// A small length: a hole, a thrombus, a vessel.
    MillimetreUnit, "Length", over 1, whole false, { Mm = "mm", 1, 0 to 300_000; }
);
units!(
    /// A larger length: a haematoma.
    CentimetreUnit, "Size", over 1, whole false, { Cm = "cm", 1, 0 to 100_000; }
);
units!(
    /// A share in percent.
    PercentUnit, "Percentage", over 1, whole false, { Percent = "%", 1, 0 to 100_000; }
);
units!(
    /// Body weight.
    WeightUnit, "Weight", over 1, whole false, { Kg = "kg", 1, 25_000 to 350_000; }
);
units!(
    /// A volume of contrast or of blood.
    VolumeUnit, "Volume", over 1, whole false, { Ml = "mL", 1, 0 to 20_000_000; }
);
units!(
    /// Creatinine clearance, not related to body surface.
    ClearanceUnit, "Clearance", over 1, whole false, { MlPerMin = "mL/min", 1, 1_000 to 300_000; }
);
units!(
    /// Estimated glomerular filtration rate, related to body surface.
    EgfrUnit, "eGFR", over 1, whole false, { MlPerMin = "mL/min/1.73 m²", 1, 1_000 to 200_000; }
);
units!(
    /// Blood pressure.
    PressureUnit, "Pressure", over 1, whole false, { MmHg = "mmHg", 1, 0 to 350_000; }
);
units!(
    /// Pulse or heart rate.
    RateUnit, "Heart rate", over 1, whole false, { PerMinute = "/min", 1, 0 to 350_000; }
);
units!(
    /// Lactate in blood.
    LactateUnit, "Lactate", over 1, whole false, { MmolPerL = "mmol/L", 1, 0 to 40_000; }
);
units!(
    /// Acidity of blood.
    AcidityUnit, "pH", over 1, whole false, { Ph = "", 1, 6_000 to 8_000; }
);
units!(
    /// Platelets in blood.
    PlateletUnit, "Platelets", over 1, whole false, { GigaPerL = "×10⁹/L", 1, 1_000 to 3_000_000; }
);
units!(
    /// Age in whole years.
    AgeUnit, "Age", over 1, whole true, { Years = "years", 1, 18_000 to 120_000; }
);
units!(
    /// Units of red cells or whole blood.
    RedCellUnit, "Red cells", over 1, whole false, { Units = "units", 1, 0 to 100_000; }
);
units!(
    /// A place in a run of frames.
    FrameUnit, "Frame", over 1, whole true, { Frame = "", 1, 0 to 10_000_000; }
);
units!(
    /// How fast a run was filmed.
    FrameRateUnit, "Frame rate", over 1, whole false, { PerSecond = "/s", 1, 1_000 to 120_000; }
);
units!(
    /// How many of something there are.
    CountUnit, "Number", over 1, whole true, { Each = "", 1, 0 to 50_000; }
);

/// Creatinine, compared in the unit it was entered in.
pub type Creatinine = Measured<CreatinineUnit>;
/// Haemoglobin.
pub type Haemoglobin = Measured<HaemoglobinUnit>;
/// Troponin with the 99th percentile of its assay.
pub type Troponin = AgainstLimit<TroponinUnit>;
/// CK-MB with its upper limit of normal.
pub type CkMb = AgainstLimit<CkMbUnit>;
/// Air kerma or skin dose.
pub type Dose = Measured<DoseUnit>;
/// Kerma-area product.
pub type KermaArea = Measured<KermaAreaUnit>;
/// A length of time.
pub type Span = Measured<SpanUnit>;
/// Fluoroscopy time.
pub type FluoroscopyTime = Measured<FluoroscopyUnit>;
/// A length in millimetres.
pub type Millimetres = Measured<MillimetreUnit>;
/// A size in centimetres.
pub type Centimetres = Measured<CentimetreUnit>;
/// A percentage, 0 to 100.
pub type Percent = Measured<PercentUnit>;
/// Body weight, kg.
pub type Weight = Measured<WeightUnit>;
/// A volume, mL.
pub type Volume = Measured<VolumeUnit>;
/// Creatinine clearance, mL/min.
pub type Clearance = Measured<ClearanceUnit>;
/// eGFR, mL/min/1.73 m².
pub type Egfr = Measured<EgfrUnit>;
/// Blood pressure, mmHg.
pub type Pressure = Measured<PressureUnit>;
/// Heart rate, /min.
pub type HeartRate = Measured<RateUnit>;
/// Lactate, mmol/L.
pub type Lactate = Measured<LactateUnit>;
/// pH.
pub type Acidity = Measured<AcidityUnit>;
/// Platelets, ×10⁹/L.
pub type Platelets = Measured<PlateletUnit>;
/// Age, whole years.
pub type Age = Measured<AgeUnit>;
/// Red cells, units.
pub type RedCells = Measured<RedCellUnit>;
/// A frame's number.
pub type Frame = Measured<FrameUnit>;
/// Frames a second.
pub type FrameRate = Measured<FrameRateUnit>;
/// A number of things.
pub type Count = Measured<CountUnit>;
